//! Paper and files of a job, each to be taken along.

use super::address;
use super::form::line;
use super::shell::{Frame, page, stages};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::forecast::Ask;
use axlestand_garage::sheets::{SheetFile, SheetKind, SheetWanted};
use axlestand_garage::views::HeadView;
use axlestand_garage::{AxleEnd, Hand, Paper, Room, Theme, View};
use axum::extract::{Path, Query, State};
use axum::http::header;
use axum::response::{IntoResponse as _, Response};
use maud::{Markup, html};
use serde::Deserialize;

/// Word, kind, how its name ends, what it is.
const KINDS: [(&str, SheetKind, &str, &str); 20] = [
    ("all", SheetKind::All, "pdf", "The whole job’s paper in one file"),
    ("job", SheetKind::Job, "pdf", "Rows to tick, by stage and side"),
    ("open", SheetKind::Open, "pdf", "Open items, the most dangerous first"),
    ("deferred", SheetKind::Deferred, "pdf", "Final torques that wait, by car state"),
    ("shopping", SheetKind::Shopping, "pdf", "What to buy, look up and start days before"),
    ("tools", SheetKind::Tools, "pdf", "Tools, with those missing first"),
    ("labels", SheetKind::Labels, "pdf", "Labels for bags and tray places"),
    ("card", SheetKind::Card, "pdf", "Card for the windscreen: DO NOT DRIVE"),
    ("readings", SheetKind::Readings, "pdf", "What to read on the wheels, with boxes"),
    ("road", SheetKind::Road, "pdf", "Report: fitness for the road"),
    ("alignment", SheetKind::Alignment, "pdf", "Report: hand-over to whoever aligns the wheels"),
    ("owner", SheetKind::Owner, "pdf", "Report: record for the next owner"),
    ("notes", SheetKind::Notes, "pdf", "Report: own notes for next time"),
    ("curves", SheetKind::Curves, "pdf", "Camber, toe and track against wheel travel"),
    ("forecast", SheetKind::Forecast, "pdf", "When it will be done, as a plot"),
    ("torque", SheetKind::Torque, "pdf", "Clamp load of a torque against friction"),
    ("corner", SheetKind::Corner, "svg", "A corner with its fasteners, as a picture"),
    ("plan", SheetKind::Plan, "svg", "The plan along time, as a picture"),
    ("calendar", SheetKind::Calendar, "ics", "Calendar: days before, the start, rechecks"),
    ("parts", SheetKind::Parts, "csv", "Parts and fasteners, as a table"),
];

/// How the file is wanted.
#[derive(Debug, Clone, PartialEq, Eq, Default, Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    paper: String,
    #[serde(default)]
    side: String,
    #[serde(default)]
    axle: String,
    #[serde(default)]
    stage: String,
    #[serde(default)]
    item: String,
    #[serde(default)]
    day: String,
}

pub(crate) async fn sheets(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let head = app.job(job, axlestand_garage::Garage::head).await?;
    Ok(sheets_page(&head, choices))
}

/// Makes a file.
pub(crate) async fn make(
    State(app): State<Shared>,
    Path((job, file)): Path<(String, String)>,
    Query(asked): Query<Asked>,
    choices: Choices,
) -> Result<Response, Problem> {
    let kind = KINDS.iter().find(|(word, _, ending, _)| file == format!("{word}.{ending}"));
    let Some((word, kind, ..)) = kind else {
        return Err(Problem::not_here(&format!("there is no sheet called {file}")));
    };
    let some = |text: &str| Some(text.trim().to_owned()).filter(|text| !text.is_empty());
    let stage = stages().find(|(stage, _)| *stage == asked.stage).map(|(stage, _)| stage.to_owned());
    let side = match asked.side.as_str() {
        "left" => Some(Hand::Left),
        "right" => Some(Hand::Right),
        _ => None,
    };
    let wanted = SheetWanted {
        kind: *kind,
        side,
        axle: if asked.axle == "rear" { AxleEnd::Rear } else { AxleEnd::Front },
        stage: stage.clone(),
        paper: if asked.paper == "letter" { Paper::Letter } else { Paper::A4 },
        item: some(&asked.item),
        day: some(&asked.day),
        ask: Ask::default(),
        view: View::Oblique,
        room: Room::Wide,
        theme: Theme::Paper,
    };
    let units = choices.units(&app);
    let made = app.garage(Some(job), move |garage| garage.sheet(&wanted, units)).await?;
    let part = |text: Option<&str>| text.map_or_else(String::new, |text| format!("-{text}"));
    let side = side.map(|side| if side == Hand::Left { "left" } else { "right" });
    let end = (asked.axle == "rear").then_some("rear");
    let name = format!("{word}{}{}{}.{}", part(stage.as_deref()), part(end), part(side), made.extension);
    Ok(download(made, &name))
}

/// A file as something to be kept, never to be run.
fn download(made: SheetFile, name: &str) -> Response {
    let kind = match made.extension {
        "pdf" => "application/pdf",
        "svg" => "image/svg+xml",
        "ics" => "text/calendar; charset=utf-8",
        _ => "text/csv; charset=utf-8",
    };
    let headers = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
    ];
    (headers, made.bytes).into_response()
}

pub(crate) fn sheets_page(head: &HeadView, choices: Choices) -> Markup {
    let job = &head.job;
    let body = html! {
        h1 { "Sheets" }
        p.quiet { "Made from the job as it stands now. PDF prints on A4; for Letter paper, one side or one stage, choose below." }
        ul.methods {
            @for (word, kind, ending, what) in KINDS.iter().filter(|(_, kind, ..)| *kind != SheetKind::Torque) {
                @let _ = kind;
                li { a.button download href=(address(job, &format!("sheet/{word}.{ending}"))) { (what) span.quiet { " · " (ending.to_uppercase()) } } }
            }
        }
        h2 { "Otherwise" }
        @for (word, _, ending, what) in KINDS.iter().filter(|(word, ..)| takes(word).is_some()) {
            details {
                summary { (what) }
                form.field method="get" action=(address(job, &format!("sheet/{word}.{ending}"))) { (options(word, ending)) button type="submit" { "Take it" } }
            }
        }
    };
    page(&Frame { title: "Sheets", head: Some(head), here: "", choices }, &body)
}

/// What can be chosen for a sheet, beside the paper: `axle`, `side`, `stage`, `item`, `method`, `day`.
fn takes(word: &str) -> Option<&'static [&'static str]> {
    Some(match word {
        "job" => &["stage", "side"],
        "curves" | "corner" => &["axle", "side"],
        "labels" => &["side"],
        "torque" => &["item"],
        "readings" => &["method"],
        "calendar" => &["day"],
        "all" => &[],
        _ => return None,
    })
}

fn options(word: &str, ending: &str) -> Markup {
    let choice = |name: &str, title: &str, list: &[(&str, &str)]| {
        html! { label { span { (title) } select name=(name) { @for (value, text) in list { option value=(value) { (text) } } } } }
    };
    html! {
        @if ending == "pdf" { (choice("paper", "Paper", &[("a4", "A4"), ("letter", "Letter")])) }
        @for what in takes(word).unwrap_or_default() {
            @match *what {
                "side" => (choice("side", "Side", &[("", "both, or the left one"), ("left", "left"), ("right", "right")])),
                "axle" => (choice("axle", "End of the car", &[("front", "front"), ("rear", "rear")])),
                "stage" => { label { span { "Stage" } select name="stage" { option value="" { "all" } @for (value, title) in stages() { option value=(value) { (title) } } } } },
                "item" => (line("Fastener", "item", "arm-front-bolt", true)),
                "method" => (line("Way to read", "item", "strings", false)),
                _ => (line("Day on which the work starts", "day", "2027-04-10", false)),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::KINDS;
    use crate::workbench::{JOB, Workbench};
    use axum::http::StatusCode;

    /// What a file of each ending begins with: ISO 32000 (PDF), SVG, RFC 5545 (calendar).
    const BEGINNINGS: [(&str, &str, &[u8]); 4] = [
        ("pdf", "application/pdf", b"%PDF-"),
        ("svg", "image/svg+xml", b"<svg"),
        ("ics", "text/calendar; charset=utf-8", b"BEGIN:VCALENDAR\r\n"),
        ("csv", "text/csv; charset=utf-8", b""),
    ];

    #[test]
    fn every_sheet_is_a_file_of_its_kind_with_a_name() {
        let bench = Workbench::with_job();
        for (word, _, ending, _) in KINDS {
            let item = if word == "torque" { "?item=arm-front-bolt.left" } else { "" };
            let answer = bench.get(&format!("/job/{JOB}/sheet/{word}.{ending}{item}"));
            assert_eq!(answer.status, StatusCode::OK, "{word}: {}", answer.text());
            let (_, kind, beginning) = BEGINNINGS.iter().find(|(e, ..)| *e == ending).unwrap();
            assert_eq!(answer.kind, *kind, "{word}");
            assert!(answer.bytes.starts_with(beginning), "{word}");
            assert_eq!(answer.name, format!("attachment; filename=\"{word}.{ending}\""));
        }
    }

    #[test]
    fn side_stage_and_paper_are_kept_in_the_name_and_nonsense_is_refused() {
        let bench = Workbench::with_job();
        let answer = bench.get(&format!("/job/{JOB}/sheet/job.pdf?stage=strip&side=left&paper=letter"));
        assert_eq!(answer.name, "attachment; filename=\"job-strip-left.pdf\"");
        for bad in
            ["job.exe", "..%2Fledger.pdf", "nothing.pdf", "calendar.ics?day=soon", "torque.pdf?item=nothing"]
        {
            let answer = bench.get(&format!("/job/{JOB}/sheet/{bad}"));
            assert!(answer.status.is_client_error(), "{bad}: {}", answer.status);
        }
        let page = bench.get(&format!("/job/{JOB}/sheets")).page();
        for (word, _, ending, _) in KINDS {
            assert!(page.contains(&format!("sheet/{word}.{ending}")), "{word}");
        }
    }
}
