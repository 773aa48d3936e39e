//! Heights and collars: where the car stands, where the collars belong, what another height does to the
//! angles, and how far a new tie-rod end is screwed on.

use super::address;
use super::plain::on_page;
use super::shell::{Frame, page};
use super::words::signed;
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::geometry::{
    AxlePreview, CornerHeight, HeightView, HeightWanted, InputView, PreviewView, PreviewWanted, TieRodView,
    Value, height, preview, tie_rod_end,
};
use axlestand_garage::views::HeadView;
use axlestand_garage::{Hand, Job, Units, with_unit};
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use maud::{Markup, html};
use std::collections::BTreeMap;

const WHEELS: [&str; 4] = ["front-left", "front-right", "rear-left", "rear-right"];

/// What was typed, by the name of the field.
pub(crate) type Typed = BTreeMap<String, String>;

/// Everything that the page shows; an error stands where an answer cannot be given.
pub(crate) struct Heights {
    pub(crate) head: HeadView,
    pub(crate) typed: Typed,
    pub(crate) view: Result<HeightView, String>,
    pub(crate) preview: Option<Result<PreviewView, String>>,
    pub(crate) tie_rod: Option<Result<TieRodView, String>>,
    pub(crate) units: Units,
}

pub(crate) async fn heights(
    State(app): State<Shared>,
    Path(job): Path<String>,
    Query(typed): Query<Typed>,
    choices: Choices,
) -> Result<Response, Problem> {
    let units = choices.units(&app);
    let shown = app.job(job, move |garage, job| Ok(gather(garage.head(job)?, job, typed, units))).await?;
    let wrong =
        [shown.view.is_err(), matches!(shown.preview, Some(Err(_))), matches!(shown.tie_rod, Some(Err(_)))];
    let status = if wrong.contains(&true) { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    Ok((status, heights_page(&shown, choices)).into_response())
}

fn gather(head: HeadView, job: &Job, typed: Typed, units: Units) -> Heights {
    let unit = units.length_unit();
    let some = |name: &str| {
        let text = typed.get(name).map(|text| text.trim()).filter(|text| !text.is_empty())?;
        Some(with_unit(text, unit))
    };
    let wheels = |what: &str| {
        let given = |wheel: &&str| Some(format!("{wheel}={}", some(&format!("{what}-{wheel}"))?));
        WHEELS.iter().filter_map(given).collect()
    };
    let plain =
        |name: &str| typed.get(name).map(|text| text.trim().to_owned()).filter(|text| !text.is_empty());
    let wanted = HeightWanted {
        now: wheels("now"),
        want: wheels("want"),
        cross: plain("cross").map(|cross| if cross.ends_with('%') { cross } else { format!("{cross} %") }),
        front_spring: plain("front-spring"),
        rear_spring: plain("rear-spring"),
        units,
        ..HeightWanted::default()
    };
    let lower = PreviewWanted { lower: some("lower"), front: some("front"), rear: some("rear"), units };
    let is_asked = lower != PreviewWanted { units, ..PreviewWanted::default() };
    let said = |why: axlestand_garage::GarageError| on_page(&why.to_string());
    let side = if typed.get("side").is_some_and(|side| side == "right") { Hand::Right } else { Hand::Left };
    Heights {
        view: height(&job.car, Some(job), &wanted).map_err(said),
        preview: is_asked.then(|| preview(&job.car, Some(job), &lower).map_err(said)),
        tie_rod: some("new-end").map(|length| tie_rod_end(job, side, &length, units).map_err(said)),
        head,
        typed,
        units,
    }
}

pub(crate) fn heights_page(shown: &Heights, choices: Choices) -> Markup {
    let body = html! {
        h1 { "Heights and collars" }
        p.quiet { "Hub centre to arch. ± is half the spread that typical inputs leave." }
        @match &shown.view {
            Ok(view) => (standing(view, shown.units)),
            Err(why) => p.not-yet role="alert" { strong { (why) } },
        }
        (want_form(shown))
        h2 { "What another height does" }
        @match &shown.preview {
            Some(Ok(view)) => (previewed(view, shown.units)),
            Some(Err(why)) => p.not-yet role="alert" { strong { (why) } },
            None => "",
        }
        (preview_form(shown))
        h2 { "New tie-rod end" }
        @match &shown.tie_rod {
            Some(Ok(view)) => { p.big-line { strong { (on_page(&view.line)) } } @for line in &view.lines { p { (on_page(line)) } } (inputs(&view.inputs)) },
            Some(Err(why)) => p.not-yet role="alert" { strong { (why) } },
            None => "",
        }
        (tie_rod_form(shown))
        p { a.button href=(address(&shown.head.job, "curves")) { "Camber, toe and track against wheel travel" } }
        p { a.button href=(address(&shown.head.job, "set")) { "Set" } }
    };
    page(&Frame { title: "Heights", head: Some(&shown.head), here: "set", choices }, &body)
}

fn with_spread(value: Value, places: usize) -> String {
    let spread = value.spread.filter(|s| *s > 0.5 * 10_f64.powi(-(places as i32)));
    let spread = spread.map_or_else(String::new, |s| format!(" ± {s:.places$}"));
    value.value.map_or_else(|| "–".to_owned(), |v| format!("{v:.places$}{spread}"))
}

/// A height as a tape shows it, with more places where that would not tell it from its target.
fn taped(corner: &CornerHeight, units: Units) -> String {
    let value = corner.height;
    let spread = value.spread.filter(|spread| *spread > 0.5);
    let (spread, places, unit) = units.figure_in(spread.unwrap_or_default(), 0, "mm");
    let spread = if spread > 0.0 { format!(" (± {spread:.places$} {unit})") } else { String::new() };
    let said = |height: f64| match &corner.target {
        Some(target) => {
            let [height, ..] = target.said(height, units);
            height
        }
        None => units.on_tape(height),
    };
    value.value.map_or_else(|| "–".to_owned(), |height| said(height) + &spread)
}

/// A figure in the user's unit, with its unit.
fn told(value: Value, places: usize, unit: &'static str, units: Units) -> Option<String> {
    let here = |value: f64| units.figure_in(value, 0, unit).0;
    let (one, places, shown) = units.figure_in(value.value?, places, unit);
    let text = with_spread(Value { value: Some(one), spread: value.spread.map(here) }, places);
    Some(if shown.is_empty() { text } else { format!("{text} {shown}") })
}

/// Name, unit, places, and the figure of a corner.
type Line = (&'static str, &'static str, usize, fn(&CornerHeight) -> Value);

const LINES: [Line; 7] = [
    ("load on the tyre", "N", 0, |c| c.load),
    ("wheel rate", "N/mm", 1, |c| c.wheel_rate),
    ("ride frequency", "Hz", 2, |c| c.frequency),
    ("left to the bump stop", "mm", 0, |c| c.bump_left),
    ("left to full droop", "mm", 0, |c| c.droop_left),
    ("spring still compressed at full droop by (− is loose)", "mm", 0, |c| c.hold_at_droop),
    ("energy in the spring", "J", 0, |c| c.energy),
];

fn standing(view: &HeightView, units: Units) -> Markup {
    html! {
        @for danger in &view.dangers { p.caution { (danger) } }
        div.corners { @for corner in &view.corners { (corner_card(corner, view.changes, units)) } }
        p { "Cross-weight (front right and rear left): " b { (with_spread(view.cross_weight, 1)) " %" } }
        @if let (true, Some(aim)) = (view.changes, view.aim_percent.filter(|aim| aim.abs() >= 0.05)) {
            p { "Headlamps aim " (signed(aim, 1)) " %: have them set." }
        }
        @for note in &view.notes { p.quiet { (on_page(note)) } }
        (inputs(&view.inputs))
    }
}

fn corner_card(corner: &CornerHeight, changes: bool, units: Units) -> Markup {
    let collar = corner.collar_change.value.filter(|change| changes && change.abs() > 0.05);
    html! {
        section.corner-card {
            h3 { (corner.wheel.replace('-', " ")) }
            p.big-line { b { (taped(corner, units)) } @if let Some(wanted) = corner.wanted { " (wanted " (units.on_tape(wanted)) ")" } }
            @if let Some(now) = corner.now { p { "now " (units.on_tape(now)) } }
            @if let Some(change) = collar {
                p { strong { "Collar or seat: " @if change > 0.0 { "raise" } @else { "lower" } " by " (said(change.abs(), 1, "mm", units)) } @if let Some(turns) = corner.collar_turns { ", " (format!("{:.1}", turns.abs())) " turns" } }
            }
            @if let (Some(target), Some(height)) = (&corner.target, corner.height.value) {
                @let [_, lower, upper] = target.said(height, units);
                p { (target.verdict) ": target " (lower) " to " (upper) }
            }
            details { summary { "More" }
                dl { @for (name, unit, places, of) in LINES { @if let Some(text) = told(of(corner), places, unit, units) { dt { (name) } dd { (text) } } } }
            }
        }
    }
}

fn inputs(inputs: &[InputView]) -> Markup {
    html! {
        @if !inputs.is_empty() {
            details { summary { "What it is reckoned from: " (inputs.len()) }
                dl { @for one in inputs { dt { (one.what) } dd { (one.value) " " span.source { "[" (one.from) "]" } @if let Some(range) = &one.range { " varied " (range) } } } }
            }
        }
    }
}

fn field(shown: &Heights, name: &str, label: &str, example: &str) -> Markup {
    let value = shown.typed.get(name).map_or("", String::as_str);
    html! { label { span { (label) } input name=(name) value=(value) placeholder=(example) inputmode="text" autocomplete="off"; } }
}

fn unit(shown: &Heights) -> &'static str {
    shown.units.length_unit()
}

fn want_form(shown: &Heights) -> Markup {
    let own = |what: &str| {
        html! { @for wheel in WHEELS { (field(shown, &format!("{what}-{wheel}"), &format!("{}, {}", wheel.replace('-', " "), unit(shown)), "")) } }
    };
    html! {
        form.field method="get" action=(address(&shown.head.job, "height")) {
            h2 { "Where should it stand?" }
            div.pairs { (own("want")) }
            (field(shown, "cross", "Cross-weight wanted, %", "50"))
            details { summary { "Heights other than in the ledger, or other springs" }
                p.quiet { "Heights now:" }
                div.pairs { (own("now")) }
                (field(shown, "front-spring", "Other springs at the front: rate x free length", example(shown, "28 N/mm x 350 mm", "160 lb/in x 14 in")))
                (field(shown, "rear-spring", "Other springs at the rear", example(shown, "23 N/mm x 300 mm", "130 lb/in x 12 in")))
            }
            button type="submit" { "Reckon the collars" }
        }
    }
}

fn preview_form(shown: &Heights) -> Markup {
    html! {
        form.field method="get" action=(address(&shown.head.job, "height")) {
            (field(shown, "lower", &format!("Both axles lower by, {} (− raises)", unit(shown)), example(shown, "30", "1 1/4")))
            (field(shown, "front", &format!("Or the front axle, {}", unit(shown)), ""))
            (field(shown, "rear", &format!("And the rear axle, {}", unit(shown)), ""))
            button type="submit" { "Look ahead" }
        }
    }
}

fn tie_rod_form(shown: &Heights) -> Markup {
    let right = shown.typed.get("side").is_some_and(|side| side == "right");
    html! {
        form.field method="get" action=(address(&shown.head.job, "height")) {
            p.quiet { "How much thread has to show so that the rod is as long as it was read with the old end." }
            label { span { "Side" } select name="side" { option value="left" { "left" } option value="right" selected[right] { "right" } } }
            (field(shown, "new-end", &format!("New end, counting face to ball centre, {}", unit(shown)), example(shown, "83", "3 1/4")))
            button type="submit" { "Reckon the thread" }
        }
    }
}

fn previewed(view: &PreviewView, units: Units) -> Markup {
    html! {
        @for axle in &view.axles { (axle_preview(axle, units)) }
        @if let Some(aim) = view.aim_percent.filter(|aim| aim.abs() >= 0.05) { p { "Headlamps aim " (signed(aim, 1)) " %: have them set." } }
        @for note in &view.notes { p.quiet { (on_page(note)) } }
    }
}

fn example(shown: &Heights, metric: &'static str, inch: &'static str) -> &'static str {
    if shown.units == Units::Inch { inch } else { metric }
}

/// A figure without a spread, in the user's unit.
fn said(value: f64, places: usize, unit: &'static str, units: Units) -> String {
    told(Value { value: Some(value), spread: None }, places, unit, units).unwrap_or_default()
}

/// A unit as it stands behind a number.
fn unit_text(unit: &str) -> String {
    if unit == "°" { unit.to_owned() } else { format!(" {unit}") }
}

fn axle_preview(axle: &AxlePreview, units: Units) -> Markup {
    let moved = if axle.lower.abs() < 0.05 {
        "as high as it is".to_owned()
    } else {
        format!(
            "{} {}",
            said(axle.lower.abs(), 0, "mm", units),
            if axle.lower > 0.0 { "lower" } else { "higher" }
        )
    };
    html! {
        h3 { (axle.axle) " axle, " (moved) }
        @if let Some(missing) = &axle.missing { p { "No angles: " (on_page(missing)) "." } }
        @if !axle.angles.is_empty() {
            table.told-table {
                thead { tr { th scope="col" { "Angle" } th scope="col" { "Change" } th scope="col" { "Before → after" } } }
                tbody {
                    @for angle in &axle.angles {
                        @let angle = angle.in_units(units);
                        @let (places, unit) = (angle.places, angle.unit);
                        @let spread = angle.change_spread.filter(|s| *s > 0.5 * 10_f64.powi(-(places as i32)));
                        tr {
                            th scope="row" { (angle.name) }
                            td { b { (signed(angle.change, places)) } @if let Some(spread) = spread { " ± " (format!("{spread:.places$}")) } (unit_text(unit)) }
                            td {
                                @if let (Some(before), Some(after)) = (angle.before, angle.after) { (format!("{:.places$} → {:.places$}", before, after)) (unit_text(unit)) }
                                @if let (Some(target), Some(verdict)) = (&angle.target, &angle.verdict) { br; (verdict) ": target " (target) }
                            }
                        }
                    }
                }
            }
        }
        @for line in &axle.adjust { p { "→ " (on_page(line)) } }
        (inputs(&axle.inputs))
    }
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};
    use axlestand_garage::ReadWith;
    use axum::http::StatusCode;

    fn read_heights(bench: &Workbench) {
        let mut garage = bench.garage();
        for (reading, value) in [
            ("height-front.left", "357 ± 1.5 mm"),
            ("height-front.right", "357 ± 1.5 mm"),
            ("height-rear.left", "368 ± 1.5 mm"),
            ("height-rear.right", "368 ± 1.5 mm"),
        ] {
            garage.read(reading, value, &ReadWith::default()).unwrap();
        }
    }

    #[test]
    fn what_is_missing_is_said_and_what_was_typed_is_kept() {
        let bench = Workbench::with_job();
        let answer = bench.get(&format!("/job/{JOB}/height?want-front-left=far&lower=soft&new-end=long"));
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        let page = answer.page();
        for kept in ["value=\"far\"", "value=\"soft\"", "value=\"long\"", "role=\"alert\""] {
            assert!(page.contains(kept), "{kept}: {page}");
        }
        assert!(!page.contains("axlestand ") && !page.contains(" --"), "{page}");
    }

    #[test]
    fn wanted_heights_give_collars_and_lowering_gives_angles() {
        let bench = Workbench::with_job();
        read_heights(&bench);
        let page = bench.get(&format!("/job/{JOB}/height")).page();
        assert!(page.contains("front left") && page.contains("Cross-weight"), "{page}");
        let wanted =
            "want-front-left=364&want-front-right=364&want-rear-left=371&want-rear-right=371&lower=-7";
        let answer = bench.get(&format!("/job/{JOB}/height?{wanted}"));
        let page = answer.page();
        assert_eq!(answer.status, StatusCode::OK, "{page}");
        assert!(
            page.contains("Collar or seat: raise by")
                && page.contains("7 mm higher")
                && page.contains("camber"),
            "{page}"
        );
    }

    /// 14 1/16 in is 357.19 mm.
    #[test]
    fn who_chose_inches_types_and_sees_fractions_of_them() {
        let bench = Workbench::with_job();
        read_heights(&bench);
        let (inch, at) = ("units=inch", format!("/job/{JOB}/now?step=read:height-front.left"));
        assert!(bench.get_as(&at, inch).page().contains("name=\"unit.value\" value=\"in\""));
        let fields =
            [("do", "read"), ("reading", "height-front.left"), ("unit.value", "in"), ("value", "14 1/16")];
        assert!(bench.post(&format!("/job/{JOB}/entry"), &fields).status.is_redirection());
        let page = bench.get_as(&format!("/job/{JOB}/height?lower=1%201/4"), inch).page();
        assert!(page.contains("14 1/16 in") && page.contains("1.25 in lower"), "{page}");
        assert!(page.contains("bump steer of a wheel, per inch up") && page.contains(" lb/in"), "{page}");
        // Nobody read the heights since the work.
        assert!(page.contains("as read before: within limits"), "{page}");
        assert!(!page.contains(" mm</b>"), "{page}");
        let page = bench.get(&format!("/job/{JOB}/height?lower=31.75")).page();
        assert!(page.contains("357 mm") && page.contains("32 mm lower"), "{page}");
    }
}
