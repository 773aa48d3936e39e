//! Set: how the wheels stand, what to read next, what to turn.

use super::form::{entry, hidden, line};
use super::lead::led;
use super::plain::on_page;
use super::shell::{Frame, page};
use super::stage::ticks;
use super::words::{capital, count, signed};
use super::{address, piece};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::alignment::{
    AimZone, AlignmentView, AlignmentWanted, BumpView, ForetoldView, MethodView, QuantityView, Rods,
    StepView, adjuster_names, alignment, bump, guides, said,
};
use axlestand_garage::views::{BlockView, HeadView, blocks};
use axlestand_garage::{Units, in_100};
use axum::extract::{Path, State};
use maud::{Markup, html};

/// Everything that the page shows.
pub(crate) struct Set {
    pub(crate) head: HeadView,
    /// How the wheels stand, or why that cannot be told.
    pub(crate) view: Result<AlignmentView, String>,
    pub(crate) methods: Vec<MethodView>,
    pub(crate) adjusters: Vec<String>,
    pub(crate) bump: Vec<BumpView>,
    pub(crate) units: Units,
    pub(crate) rows: Vec<BlockView>,
    /// What the owner said of the steering.
    pub(crate) said: AlignmentWanted,
}

pub(crate) async fn stage(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let units = choices.units(&app);
    let shown = app
        .job(job, move |garage, job| {
            let view = alignment(job, &AlignmentWanted { units, ..AlignmentWanted::default() })
                .map_err(|why| on_page(&why.to_string()));
            let rows = blocks(job, units)?.into_iter().filter(|b| b.stage.eq_ignore_ascii_case("set"));
            Ok(Set {
                head: garage.head(job)?,
                view,
                methods: guides(job, units),
                adjusters: adjuster_names(job),
                bump: bump(job, units).unwrap_or_default(),
                units,
                rows: rows.collect(),
                said: said(job),
            })
        })
        .await?;
    Ok(set_page(&shown, choices))
}

pub(crate) fn set_page(shown: &Set, choices: Choices) -> Markup {
    let job = shown.head.job.as_str();
    let body = html! {
        h1 { "Set" }
        p.choose { a.button href=(address(job, "height")) { "Heights and collars" } a.button href=(address(job, "sheet/readings.pdf")) download { "Sheet for readings (PDF)" } }
        h2 { "How the wheels stand" }
        @match &shown.view {
            Ok(view) => {
                (verdict(job, view))
                (told(view))
                (work(job, view))
                (next(job, view))
                (keep(job, view))
                (notes(view, &shown.said, job))
            },
            Err(why) => p.not-yet role="alert" { strong { (why) } },
        }
        (bump_sweeps(&shown.bump, shown.units))
        h2 { "Ways to read the wheels" }
        ul.methods {
            @for method in &shown.methods {
                li { a.button href=(guide_address(job, &method.method)) { b { (method.name) } ": " (method.read) " of " (method.of) " read" br; span.quiet { (on_page(method.tells)) } }
                    @if !method.others.is_empty() { p.quiet { "That is the front left wheel. The others:" } p.choose { @for (other, wheel) in &method.others { a.button href=(guide_address(job, other)) { (capital(wheel)) } } } } }
            }
        }
        (turned_otherwise(job, &shown.adjusters))
        @if shown.rows.iter().flat_map(|block| &block.rows).any(|row| row.status == "pending") {
            h2 { "Rows of this stage" }
            (entry(job, "done", &ticks(job, &shown.rows)))
        }
    };
    page(&Frame { title: "Set", head: Some(&shown.head), here: "set", choices }, &body)
}

/// The address of the list that leads through a method.
pub(crate) fn guide_address(job: &str, method: &str) -> String {
    address(job, &format!("read?method={}", piece(method)))
}

/// What it comes to, and what to do.
pub(crate) fn verdict(job: &str, view: &AlignmentView) -> Markup {
    let state = match view.state {
        "nothing" => "nothing read yet".to_owned(),
        "foretold" => format!("turned since round {}; what follows is predicted, not read", view.round),
        _ => format!("round {}, {}", view.round, count(view.readings, "reading")),
    };
    html! {
        p.quiet { (state) @if view.set_aside > 0 { ", " (count(view.set_aside, "earlier reading")) " no longer " @if view.set_aside == 1 { "counts" } @else { "count" } } }
        p.big-line { strong { (on_page(&view.verdict.text)) } }
        @if !view.verdict.todo.is_empty() { ul { @for todo in &view.verdict.todo { li { (led(&todo.text, todo.lead.as_ref(), job)) } } } }
        @for finding in &view.findings {
            p.not-yet[finding.blocks] { @if finding.blocks { strong { "Stop: " } } (on_page(&finding.text)) }
        }
        @if !view.again.is_empty() { p { strong { "Read again: " } (view.again.join(", ")) } }
    }
}

/// Every quantity with its uncertainty and how it stands against its target.
pub(crate) fn told(view: &AlignmentView) -> Markup {
    html! {
        @if !view.told.is_empty() {
            table.told-table {
                thead { tr { th scope="col" { "Angle" } th scope="col" { "Value" } th scope="col" { "Target" } } }
                tbody { @for one in &view.told { (told_row(one)) } }
            }
            p.quiet { (view.signs) }
            details { summary { "By which rule" } p { (view.rule) } }
        }
        @if !view.not_known.is_empty() { p { "Cannot be told from what was read: " (view.not_known.join(", ")) "." } }
        @for line in &view.learned { p { "Learned: " (line) } }
    }
}

fn told_row(one: &QuantityView) -> Markup {
    let places = if one.u >= 1.0 { 1 } else { 2 };
    html! {
        tr {
            th scope="row" { (one.what) }
            td { b { (signed(one.value, places)) "°" } " ± " (format!("{:.places$}", one.u)) "°" }
            td {
                @if let Some(aim) = &one.aim {
                    @if aim.zone != AimZone::NoTarget { (zone_mark(aim.zone)) " " strong { (aim.zone.word()) } @if let Some(chance) = aim.chance() { " (" (chance) ")" } br; span.source { (aim.target) } } @else { span.quiet { (aim.target) } }
                }
            }
        }
    }
}

fn zone_mark(zone: AimZone) -> &'static str {
    match zone.is_within() {
        Some(true) => "✓",
        Some(false) => "✕",
        None => "?",
    }
}

fn work(job: &str, view: &AlignmentView) -> Markup {
    html! {
        @if !view.work.is_empty() {
            h2 { "To turn, in this order" }
            p.quiet { "Loosen the jam nuts first; tighten them to their torque afterwards. Record each turn as it was made, even where it differs from this." }
            ol.turns { @for step in &view.work { li { p { (led(&step.text, step.lead.as_ref(), job)) } (turned(job, step)) } } }
        }
        @if !view.foretold.is_empty() {
            h3 { "What it should come to" }
            ul.needs { @for one in &view.foretold { li { (foretold(one)) } } }
        }
    }
}

fn foretold(one: &ForetoldView) -> Markup {
    html! { (one.what) ": " (signed(one.before, 2)) "° → " b { (signed(one.after, 2)) "°" } " ± " (format!("{:.2}", one.u)) "°, " (in_100(one.probability)) " within limits" }
}

fn turned(job: &str, step: &StepView) -> Markup {
    let (Some(adjuster), Some(turn)) = (&step.adjuster, &step.turn) else { return html! {} };
    entry(
        job,
        "turned",
        &html! {
            (hidden("back", &address(job, "set"))) (hidden("adjuster", adjuster))
            label { span { "Turned by" } input name="amount" value=(turn) autocomplete="off" required; }
            button type="submit" { "Record the turn" }
        },
    )
}

fn turned_otherwise(job: &str, adjusters: &[String]) -> Markup {
    html! {
        @if !adjusters.is_empty() {
            details {
                summary { "Something else was turned" }
                (entry(job, "turned", &html! {
                    (hidden("back", &address(job, "set")))
                    label { span { "What" } select name="adjuster" { @for one in adjusters { option value=(one) { (one) } } } }
                    (line("By how much", "amount", "2 flats longer, or with its sign: +0.4°", true))
                    button type="submit" { "Record the turn" }
                }))
            }
        }
    }
}

fn next(job: &str, view: &AlignmentView) -> Markup {
    html! {
        @if !view.next.is_empty() {
            h2 { "Measure this next" }
            p.quiet { "What tells most for its minutes comes first." }
            ul.methods { @for next in &view.next { li { a.button href=(guide_address(job, next.method)) { (on_page(&next.line)) } } } }
        }
    }
}

fn keep(job: &str, view: &AlignmentView) -> Markup {
    html! {
        @if view.state == "read" {
            details {
                summary { "Keep this as the car’s readings" }
                p { "Toe and camber as they come out of what was read go into the ledger under the readings of the vehicle file, with their uncertainty." }
                (entry(job, "keep-alignment", &html! { (hidden("back", &address(job, "set"))) button type="submit" { "Keep it" } }))
            }
        }
    }
}

fn notes(view: &AlignmentView, said: &AlignmentWanted, job: &str) -> Markup {
    let rods = said.rods.map_or("", Rods::word);
    html! {
        @for note in &view.notes { p.quiet { "Note: " (on_page(note)) "." } }
        details {
            summary { "Say more about the steering" }
            p.quiet { "Said once, it is kept for this job." }
            (entry(job, "state", &html! {
                (hidden("back", &address(job, "set")))
                label { span { "Tie rods" }
                    select name="rods" {
                        @for (word, title) in [("", "as the file says"), ("behind", "behind the axle"), ("ahead", "ahead of the axle")] {
                            // What was said is not unsaid by choosing nothing: it is taken back in the ledger.
                            @if !word.is_empty() || rods.is_empty() { option value=(word) selected[rods == word] { (title) } }
                        }
                    }
                }
                label { span { "Turns of the steering wheel for one of the road wheels" } input name="ratio" value=(said.ratio.as_deref().unwrap_or_default()) placeholder="16" inputmode="decimal" autocomplete="off"; }
                button type="submit" { "Keep it" }
            }))
        }
    }
}

fn bump_sweeps(views: &[BumpView], units: Units) -> Markup {
    html! {
        @for view in views.iter().filter(|view| !view.answers.is_empty()) {
            h2 { (view.wheel.replace('-', " ")) ", " (view.angle) " over height" }
            ul.needs {
                @for answer in &view.answers {
                    @let (lowered, places, unit) = units.figure_in(answer.lowered, 0, "mm");
                    li { (signed(lowered, places)) " " (unit) " lower: " b { (signed(answer.change, 2)) "°" } " ± " (format!("{:.2}", answer.u)) "°"
                        @if let Some(by) = answer.by_hardpoints { span.quiet { " (by the file’s hardpoints " (signed(by, 2)) "°)" } } }
                }
            }
            @for note in &view.notes { p.quiet { "Note: " (on_page(note)) "." } }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};

    #[test]
    fn what_is_said_of_the_steering_is_kept_for_the_job() {
        let bench = Workbench::with_job();
        let (at, entry) = (format!("/job/{JOB}/set"), format!("/job/{JOB}/entry"));
        assert!(bench.get(&at).page().contains("steering ratio 16 (typical"));
        let refused = bench.post(&entry, &[("do", "state"), ("ratio", "1600")]);
        assert!(refused.page().contains("is no steering ratio"));
        let kept =
            bench.post(&entry, &[("do", "state"), ("rods", "ahead"), ("ratio", "15.5"), ("back", &at)]);
        assert_eq!(kept.location.as_deref(), Some(at.as_str()), "{}", kept.text());
        let page = bench.get(&at).page();
        assert!(page.contains("value=\"15.5\"") && page.contains("value=\"ahead\" selected"), "{page}");
        assert!(!page.contains("steering ratio 16"), "{page}");
        // The same said again records nothing and is no error.
        let again = bench.post(&entry, &[("do", "state"), ("rods", "ahead"), ("back", &at)]);
        assert_eq!(again.location.as_deref(), Some(at.as_str()), "{}", again.text());
    }

    #[test]
    fn every_wheel_has_its_own_list() {
        let bench = Workbench::with_job();
        let page = bench.get(&format!("/job/{JOB}/set")).page();
        for method in ["bump.front-right", "bump.rear-left", "survey.front-right"] {
            let at = super::guide_address(JOB, method);
            assert!(page.contains(&format!("href=\"{at}\"")), "{method}: {page}");
            assert!(bench.get(&at).page().contains("name=\"value."), "{method}");
        }
        // The rear axle is a twist beam, which the survey does not know.
        assert!(!page.contains("survey.rear"), "{page}");
    }
}
