//! The work view: one step at a time.

use super::changes::change;
use super::form::{entry, hidden, line, named_entry, number};
use super::lead::led;
use super::photo::{photo_form, photo_strip};
use super::plain::on_page;
use super::shell::{Frame, page};
use super::words::capital;
use super::{address, item_address, step_address};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::fastening::AtHand;
use axlestand_garage::photos::{PhotoView, photos_of};
use axlestand_garage::views::{
    FigureView, HeadView, LogLine, ReplanView, RowView, StepView, WorkView, log, replan, work,
};
use axlestand_garage::{AxleEnd, Hand, Room, Units, View, corner_picture};
use axum::extract::{Path, Query, State};
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;

/// Which step, and what was recorded just before.
#[derive(Debug, Default, Deserialize)]
pub(crate) struct Asked {
    step: Option<String>,
    told: Option<String>,
}

/// Everything that the page shows.
pub(crate) struct Work {
    pub(crate) head: HeadView,
    pub(crate) work: WorkView,
    /// The corner with what the step touches, as SVG.
    pub(crate) picture: Option<String>,
    /// Photos of what the step is about.
    pub(crate) photos: Vec<PhotoView>,
    /// The entry that was recorded just before.
    pub(crate) told: Option<LogLine>,
    /// What it changed in the plan.
    pub(crate) change: Option<ReplanView>,
}

pub(crate) async fn now(
    State(app): State<Shared>,
    Path(job): Path<String>,
    Query(asked): Query<Asked>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let units = choices.units(&app);
    let shown = app
        .job(job, move |garage, job| {
            let work = work(job, asked.step.as_deref(), &AtHand::default(), units)?;
            let told = asked.told.filter(|id| id.len() >= 8);
            let told = told
                .and_then(|id| log(job).into_iter().find(|line| !line.withdrawn && line.id.starts_with(&id)));
            let change = if told.is_some() { replan(job)? } else { None };
            let picture = picture(job, work.step.as_ref(), units);
            let photos = work.step.as_ref().map(|step| photos_of(job, &step.item)).unwrap_or_default();
            Ok(Work { head: garage.head(job)?, picture, photos, work, told, change })
        })
        .await?;
    Ok(work_page(&shown, choices))
}

pub(crate) fn picture(job: &axlestand_garage::Job, step: Option<&StepView>, units: Units) -> Option<String> {
    let step = step?;
    let side = match step.side? {
        "left" => Hand::Left,
        _ => Hand::Right,
    };
    corner_picture(job, AxleEnd::Front, side, View::Oblique, Room::Narrow, Some(&step.row.action), units).ok()
}

pub(crate) fn work_page(shown: &Work, choices: Choices) -> Markup {
    let job = shown.head.job.as_str();
    let body = html! {
        @if let Some(told) = &shown.told { (told_line(job, told)) }
        @if let Some(one) = &shown.change { details.changed-plan { summary { "The plan changed: " (capital(&one.since)) } (change(job, one)) } }
        @if let Some(why) = &shown.work.come_down { p.caution { (on_page(why)) "." } }
        @for wait in &shown.work.goes_on { p.remark { (on_page(&wait.text)) } }
        @match &shown.work.step {
            Some(step) => (step_card(job, step, shown)),
            None => (nothing_left(shown)),
        }
        @if !shown.work.then.is_empty() {
            section.then aria-labelledby="then" {
                h2 #then { "After it" }
                ol { @for row in &shown.work.then { li { (row_link(job, row)) } } }
            }
        }
    };
    let title = shown.work.step.as_ref().map_or("Now", |step| step.row.text.as_str());
    page(&Frame { title, head: Some(&shown.head), here: "now", choices }, &body)
}

fn told_line(job: &str, told: &LogLine) -> Markup {
    let undo = html! {
        (hidden("entry", &told.id))
        button.small type="submit" { "Take it back" }
    };
    html! { div.told { p { "Recorded: " (told.words) } (entry(job, "take-back", &undo)) } }
}

/// A row as a link into the work view.
pub(crate) fn row_link(job: &str, row: &RowView) -> Markup {
    html! {
        a.row href=(step_address(job, &row.action)) data-action=(row.action) {
            @if let Some(number) = row.number { b.number { (number) } " " }
            (row.text)
            span.place { (row.place) }
        }
    }
}

fn nothing_left(shown: &Work) -> Markup {
    let head = &shown.head;
    html! {
        h1 { @if head.finished == head.total { "Every row is done or left out" } @else { "Nothing can be done right now" } }
        p { (head.finished) " of " (head.total) " rows." }
        @if !shown.work.against.is_empty() {
            h2 { "Against driving" }
            ul { @for reason in &shown.work.against { li { (led(&reason.text, reason.lead.as_ref(), &head.job)) } } }
        }
        @if !shown.work.left_out.is_empty() {
            h2 { "Left out" }
            // Each begins with the number of its row.
            ul { @for row in &shown.work.left_out { li { a href=(step_address(&head.job, row.split(' ').next().unwrap_or(row))) { (row) } } } }
        }
        p { a.button href=(address(&head.job, "prove")) { "What still stands between the car and the road" } }
        p { a.button href=(address(&head.job, "open")) { "Open items: " (head.open) } }
    }
}

fn step_card(job: &str, step: &StepView, shown: &Work) -> Markup {
    let row = &step.row;
    html! {
        article.step data-action=(row.action) data-number=[row.number] {
            @if let Some(caution) = &row.caution { p.caution { strong { "Caution: " } (caution) } }
            h1 {
                @if let Some(number) = row.number { span.number { (number) } " " }
                (row.text)
            }
            p.place { @if let Some(side) = step.side { b.side { (side.to_uppercase()) } " " } (row.place) }
            @if row.status == "done" { p.state { "✓ done" @if step.again { "; it can be done once more" } } }
            @if row.status == "skipped" { p.state { "– left out" } }
            @if !step.first.is_empty() { (not_yet(job, &step.first)) }
            @if !step.once_more.is_empty() {
                details { summary { "To do it once more" } ul.reasons { @for one in &step.once_more { (reason(job, one)) } } }
            }
            @if let Some(figure) = &step.figure { (figure_block(figure)) }
            @if let Some(place) = &step.look_up { (look_up_block(job, step, place)) }
            @if step.figure.is_none() && step.look_up.is_none() {
                @if let Some(torque) = &row.torque { p.torque { (led(torque, row.torque_lead.as_ref(), job)) } }
            }
            @if let Some(tool) = &row.tool { p.tool { b { "Tool: " } (tool) } }
            @if let Some(tray) = step.tray { p.tray { b { @if step.from_tray { "From tray place " } @else { "Tray place " } (tray) } } }
            @for wait in &row.not_before { p.caution { (on_page(&wait.text)) } }
            @for remark in row.remarks.iter().map(|remark| &remark.text).chain(row.starts.as_ref().map(|starts| &starts.text)) { p.remark { (on_page(remark)) } }
            @for more in &row.leads { p.remark { (led(&more.text, more.lead.as_ref(), job)) } }
            @if let Some(set) = &row.set {
                @for warning in &set.warnings { p.caution { (on_page(warning)) } }
                @for then in &set.then { p.remark { (on_page(then)) } }
                @if set.settled { (reasons(set)) }
            }
            @if let Some(reading) = &step.reading { (reading_form(job, reading, step.reading_unit)) }
            (photo_strip(&shown.photos))
            @if let Some(picture) = &shown.picture { figure.picture { (PreEscaped(picture)) } }
            (answers(job, step))
            (at_hand(step))
        }
    }
}

/// The answer's button, which stays within a thumb's reach however long the step's page is.
fn at_hand(step: &StepView) -> Markup {
    html! {
        @if step.reading.is_some() { div.at-hand { button.big type="submit" form="answer" { "Record" } } }
        @else if step.row.status != "done" || step.again {
            div.at-hand { button.big.done.waits[!step.first.is_empty()] type="submit" form="answer" { "Done" } }
        }
    }
}

/// Reasons that are shown at once; the rest is one tap away, so that the step itself stays in view.
const AT_ONCE: usize = 1;

/// Why it cannot be done now: before the torque, which would be set too early otherwise.
fn not_yet(job: &str, first: &[(String, Option<String>)]) -> Markup {
    let (now, more) = first.split_at(first.len().min(AT_ONCE));
    html! {
        div.not-yet {
            h2 { "Not yet" }
            ul.reasons { @for one in now { (reason(job, one)) } }
            @if !more.is_empty() {
                details {
                    summary { (more.len()) " more" }
                    ul.reasons { @for one in more { (reason(job, one)) } }
                }
            }
        }
    }
}

fn reason(job: &str, (why, first): &(String, Option<String>)) -> Markup {
    html! {
        li {
            (on_page(why))
            @if let Some(first) = first { " " a.do-first href=(step_address(job, first)) { "Do this first" } }
        }
    }
}

fn figure_block(figure: &FigureView) -> Markup {
    html! {
        div.figure {
            p.big { span.digits { (figure.number) } " " span.unit { (figure.unit) } @if let Some(angle) = &figure.angle { " " span.angle { (angle) } } }
            p.second { (figure.second) }
            p {
                @if let Some(condition) = &figure.condition { (condition) ", " }
                @if let Some(state) = figure.car_state { "car " (state) ", " }
                span.source { (figure.source) }
            }
            @if let Some(line) = &figure.on_wrench { p.wrench { (line) } }
        }
    }
}

fn look_up_block(job: &str, step: &StepView, place: &str) -> Markup {
    html! {
        div.figure.missing {
            p { strong { "No torque yet. " } "Look it up: " (place) ". It is never made up here." }
            p { a href=(super::car::fill_in_address(job, &step.item)) { "Write value and source into the vehicle file" } }
        }
    }
}

fn reasons(set: &axlestand_garage::fastening::SettingView) -> Markup {
    html! {
        details {
            summary { "Why this number" }
            dl { @for reason in &set.reasons { dt { (reason.what) } dd { (on_page(&reason.text)) @if let Some(source) = &reason.source { " " span.source { (source) } } } } }
        }
    }
}

/// What can be answered to a step beside its button: how it was done otherwise, what goes wrong.
fn answers(job: &str, step: &StepView) -> Markup {
    let row = &step.row;
    html! {
        div.answers {
            @if step.reading.is_none() && (row.status != "done" || step.again) { (done_form(job, step)) }
            div.trouble {
                @if step.may_stick {
                    (entry(job, "stuck", &html! { (hidden("item", &step.item)) button type="submit" { "Stuck" } }))
                }
                @if step.may_break {
                    (entry(job, "broken", &html! { (hidden("item", &step.item)) button type="submit" { "Broke" } }))
                }
                a.button href=(item_address(job, &step.item)) { "Can’t find" }
                button type="button" data-speak hidden { "Read aloud" }
            }
            details {
                summary { "Note" }
                (entry(job, "note", &html! {
                    (hidden("item", &step.item))
                    (line("Note", "text", "what you saw", true))
                    button type="submit" { "Keep the note" }
                }))
            }
            details {
                summary { "Photo" }
                (photo_form(job, &row.action))
            }
            @if step.may_be_left_out {
                details {
                    summary { "Leave it out" }
                    (entry(job, "skip", &html! {
                        (hidden("rows", &row.action))
                        (line("Why", "reason", "say why", true))
                        button type="submit" { "Leave it out" }
                    }))
                }
            }
        }
    }
}

fn reading_form(job: &str, reading: &str, unit: &str) -> Markup {
    let like = match unit {
        "°" => "0.2 ± 0.1",
        "in" => "24 1/8",
        _ => "612 ± 1",
    };
    named_entry(
        job,
        "read",
        "answer",
        &html! {
            (hidden("reading", reading))
            (hidden("unit.value", unit))
            label.reading { span { "Reading, " b { (unit) } } input name="value" placeholder=(like) inputmode="text" autocomplete="off" required; }
        },
    )
}

/// What the person reads off a fastener in the hand, folded away: most steps need none of it.
fn read_off(step: &StepView) -> Markup {
    let label = |what: &str| match what {
        "thread" => ("Thread", "M14×1.5"),
        "length" => ("Length under the head", "85 mm"),
        "class" => ("Strength class, as it stands on it", "10.9"),
        _ => ("Head and size", "hex 21"),
    };
    html! {
        @if !step.read_off.is_empty() {
            details {
                summary { "Read off it" }
                p.quiet { "What you see on it, where the file says nothing or something else. Recorded with Done, and taken into the vehicle file when you say so there." }
                @for (what, known) in &step.read_off {
                    @let (words, like) = label(what);
                    label { span { (words) @if let Some(known) = known { " (file: " (known) ")" } }
                        input name=(format!("seen.{what}")) placeholder=(like) autocomplete="off"; }
                }
            }
        }
    }
}

fn done_form(job: &str, step: &StepView) -> Markup {
    let tightens = step.figure.is_some() || step.look_up.is_some();
    named_entry(
        job,
        "done",
        "answer",
        &html! {
            (hidden("rows", &step.row.action))
            details {
                summary { "Done, but otherwise" }
                @if tightens {
                    (line("Torque reached", "torque", "110 N·m", false))
                    (line("Where that value stands", "source", "manual, page", false))
                    (line("Thread as it is", "condition", "dry, oiled, anti-seize", false))
                    (line("Wrench", "wrench", "", false))
                    label.switch { input type="checkbox" name="seated" value="yes"; span { "Only seated: the final torque comes later" } }
                }
                @if step.verb == "undo" { (number("Tray place", "tray", "7")) }
                @if step.verb == "fit" {
                    (line("Length of what goes in", "length", "85 mm", false))
                    label.switch { input type="checkbox" name="reused" value="yes"; span { "The old one went back in" } }
                    label.switch { input type="checkbox" name="fresh" value="yes"; span { "A new one went in" } }
                }
                (line("Remark", "note", "", false))
            }
            (read_off(step))
        },
    )
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};

    #[test]
    fn what_is_done_is_not_offered_to_be_left_out() {
        let bench = Workbench::with_job();
        let page = |step: &str| bench.get(&format!("/job/{JOB}/now?step={step}")).page();
        assert!(page("do:order-parts").contains("Leave it out"));
        bench.post(&format!("/job/{JOB}/entry"), &[("do", "done"), ("rows", "do:order-parts")]);
        let done = page("do:order-parts");
        assert!(!done.contains("Leave it out") && done.contains("data-speak"), "{done}");
    }

    #[test]
    fn broke_is_offered_where_something_can_break() {
        let bench = Workbench::with_job();
        for (step, can_break) in [
            ("read:height-front.left", false),
            ("do:lower", false),
            ("off:wheel.left", true),
            ("undo:wheel-nuts.left", true),
            ("undo:arm-front-bolt.left", true),
        ] {
            let page = bench.get(&format!("/job/{JOB}/now?step={step}")).page();
            assert!(page.contains("data-speak"), "{step}: {page}");
            assert_eq!(page.contains(">Broke<"), can_break, "{step}");
        }
        for (item, can_break) in [("lower", false), ("height-front.left", false), ("wheel.left", true)] {
            let page = bench.get(&format!("/job/{JOB}/item/{item}")).page();
            assert_eq!(page.contains(">It broke<"), can_break, "{item}: {page}");
        }
    }
}
