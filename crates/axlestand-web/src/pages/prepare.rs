//! Prepare: what has to be at hand, in which order the work goes, what may go wrong.

use super::car::fill_in_address;
use super::form::{entry, hidden};
use super::plain::on_page;
use super::shell::{Frame, page};
use super::stage::ticks;
use super::words::{about, amount, count, hours, percent};
use super::{address, item_address, step_address};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::views::{
    BlockView, HeadView, MarkView, MarksView, NeedView, PrepareView, ToolView, UndoneView, prepare,
};
use axlestand_garage::{ItemId, for_page, plan_picture};

use axum::extract::{Path, State};
use maud::{Markup, PreEscaped, html};

/// Other ways to free something.
pub(crate) struct Ways {
    pub(crate) item: String,
    pub(crate) name: String,
    /// Id and name.
    pub(crate) ways: Vec<(String, String)>,
    /// The name of the one chosen.
    pub(crate) chosen: Option<String>,
}

/// Everything that the page shows.
pub(crate) struct Prepare {
    pub(crate) head: HeadView,
    pub(crate) view: PrepareView,
    pub(crate) ways: Vec<Ways>,
    /// The plan along time, as SVG.
    pub(crate) picture: String,
}

pub(crate) async fn stage(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let units = choices.units(&app);
    let shown = app
        .job(job, move |garage, job| {
            let view = prepare(job, units)?;
            let ways = ways(job, &view.undone);
            let picture = for_page(&plan_picture(job)?);
            Ok(Prepare { head: garage.head(job)?, view, ways, picture })
        })
        .await?;
    Ok(prepare_page(&shown, choices))
}

fn ways(job: &axlestand_garage::Job, undone: &[UndoneView]) -> Vec<Ways> {
    // What is free, or was, comes free in another way no more.
    let was_freed = |item: &ItemId| job.state.hold(item).was_out || job.state.part(item).was_off;
    let of = |one: &UndoneView| {
        let ways =
            job.car.ways.iter().filter(|way| way.frees.to_string() == one.item && !was_freed(&way.frees));
        let ways: Vec<_> = ways.map(|way| (way.id.to_string(), way.name.clone())).collect();
        (!ways.is_empty()).then(|| Ways {
            item: one.item.clone(),
            name: one.name.clone(),
            ways,
            chosen: one.way.clone(),
        })
    };
    undone.iter().filter_map(of).collect()
}

pub(crate) fn prepare_page(shown: &Prepare, choices: Choices) -> Markup {
    let (view, job) = (&shown.view, shown.head.job.as_str());
    let own: Vec<BlockView> =
        view.blocks.iter().filter(|block| block.stage.eq_ignore_ascii_case("prepare")).cloned().collect();
    let body = html! {
        h1 { "Prepare" }
        p { (count(view.rows, "row")) ", about " strong { (hours(view.minutes + view.setup_minutes)) } " with changes of place and tool, at rust grade " (view.rust) "." @if view.finished > 0 { " " (view.finished) " of them are done or left out; the others take about " (hours(view.minutes_left)) ", changes not counted." } }
        @if let Some(why) = &view.come_down { p.caution { (on_page(why)) "." } }
        p { "Allowing for what may be stuck, the rest takes " (about(view.outlook.half)) " or less in half of such jobs, " (about(view.outlook.four_of_five)) " or less in four of five" @if view.outlook.stated { ", by your assumptions and typical ones for the rest" } "." }
        @if let Some(note) = &view.outlook.note { p { strong { "! " } (on_page(note)) } }
        p.choose {
            a.button href=(address(job, "forecast")) { "When, and what to buy ahead" }
            a.button href=(address(job, "sheet/shopping.pdf")) download { "Shopping list (PDF)" }
            a.button href=(address(job, "sheets")) { "All sheets" }
        }
        (look_up(job, view))
        @let early = shown.head.stage == "prepare";
        (needs("Parts to buy", &view.parts, early, false))
        (needs("New each time: buy", &view.one_use, early, false))
        (needs("Consumables", &view.consumables, early, true))
        (tools(&view.tools, early))
        @if !view.ahead.is_empty() {
            h2 { "Start days before" }
            ul { @for one in &view.ahead { li { (one.days) " days before: " (one.name) } } }
        }
        @if own.iter().flat_map(|block| &block.rows).any(|row| row.status == "pending") {
            h2 { "To do before the car is lifted" }
            (entry(job, "done", &ticks(job, &own)))
        }
        h2 { "Order of work" }
        p { a.button href=(address(job, "changes")) { "What changed in it, and why" } }
        figure.picture.wide { div.scroll tabindex="0" role="group" aria-label="The plan along time" { (PreEscaped(&shown.picture)) } }
        (marks(job, &view.marks))
        (order(job, view))
        (risks(job, view))
        (other_ways(job, &shown.ways))
        (reasons(job, view))
    };
    page(&Frame { title: "Prepare", head: Some(&shown.head), here: "prepare", choices }, &body)
}

fn look_up(job: &str, view: &PrepareView) -> Markup {
    html! {
        h2 { "To look up in your service manual: " (view.look_up.len()) }
        @if view.look_up.is_empty() { p { "Every specification that this job needs is in the vehicle file." } }
        ul.specs {
            @for look in &view.look_up {
                li.danger[look.critical] {
                    p.name { a href=(fill_in_address(job, &look.item)) { (look.name) ": " (look.field) } @if look.critical { " " strong { "critical" } } }
                    @if let Some(place) = &look.look_in { p.quiet { "usually under: " (place) } }
                }
            }
        }
    }
}

/// A list of what to have, open while it is being bought; `what_for` says for what where the name does not.
fn needs(title: &str, list: &[NeedView], open: bool, what_for: bool) -> Markup {
    html! {
        @if !list.is_empty() {
            details.list open[open] {
                summary { h2 { (title) ": " (list.len()) } }
                ul.needs {
                    @for need in list {
                        li { b { (amount(need.amount, &need.unit)) } " " (need.what) @if let Some(have) = need.in_hand() { " – " (have) } @if what_for && !need.for_items.is_empty() { span.quiet { " – " (few(&need.for_items)) } } }
                    }
                }
            }
        }
    }
}

/// The first few of a list.
fn few(list: &[String]) -> String {
    let first = list.iter().take(2).cloned().collect::<Vec<_>>().join(", ");
    match list.len() {
        0..=2 => first,
        more => format!("{first} and {} more", more - 2),
    }
}

fn tools(tools: &[ToolView], open: bool) -> Markup {
    let known = tools.iter().any(|tool| tool.owned.is_some());
    let (have, missing): (Vec<_>, Vec<_>) = tools.iter().partition(|tool| tool.owned == Some(true));
    html! {
        details.list open[open] {
            summary { h2 { @if known { "Tools to buy or borrow: " } @else { "Tools: " } (missing.len()) } }
            @if known && missing.is_empty() { p { "Your toolbox has all of them." } }
            ul.needs {
                @for tool in &missing {
                    li { b { (tool.tool) } @if let Some(other) = &tool.stand_in { " (or " (other) ", which really fits)" } span.quiet { " – " (few(&tool.for_items)) } }
                }
            }
        }
        @if !have.is_empty() {
            details { summary { "In your toolbox: " (have.len()) } ul.needs { @for tool in &have { li { (tool.tool) span.quiet { " – " (few(&tool.for_items)) } } } } }
        }
    }
}

fn marks(job: &str, marks: &MarksView) -> Markup {
    let row = |mark: &MarkView| {
        html! { a href=(step_address(job, &mark.row.to_string())) { "row " (mark.row) } }
    };
    html! {
        ul.marks {
            @if let Some(mark) = &marks.no_return {
                li.danger { p { strong { "No way back" } " from " (row(mark)) " on: " (mark.text) ". Something is used up that cannot go back as it was. Before it, about " (hours(mark.minutes)) " in: is everything in hand? " (marks.parts_ready) " of " (marks.parts) " parts to replace are recorded as lying ready." } }
            } @else if marks.past_return { li { p { "The point of no return is behind you: something was used up that cannot go back as it was." } } }
            @if let Some((from, to)) = marks.no_roll {
                li.danger { p { strong { "Do not roll the car" } " from row " (from) " on until row " (to) " is done." } }
            }
            @let stops = stops(marks);
            @if !stops.is_empty() {
                li { p { "Good places to stop for the night, nothing hanging: " @for (at, stop) in stops.iter().enumerate() { @if at > 0 { ", " } "after " (row(stop)) " (about " (hours(stop.minutes)) " in, " (stop.car_state) ")" } "." } }
            }
        }
    }
}

/// How many stops for the night are named, and how many minutes lie between them at least.
const STOPS: (usize, f64) = (6, 60.0);

fn stops(marks: &MarksView) -> Vec<&MarkView> {
    let mut list: Vec<&MarkView> = Vec::new();
    for stop in marks.stops.iter().filter(|stop| stop.started) {
        let far = list.last().is_none_or(|last| stop.minutes >= last.minutes + STOPS.1);
        if list.len() < STOPS.0 && far {
            list.push(stop);
        }
    }
    list
}

fn order(job: &str, view: &PrepareView) -> Markup {
    let near = if view.gap <= 0.0 {
        "the best possible".to_owned()
    } else {
        format!("within {:.0} % of the best possible", (view.gap * 100.0).ceil())
    };
    html! {
        p { "Changing place and tool takes about " (hours(view.setup_minutes)) " of it (typical); the order is " (near) " for these steps and times." }
        // The rows themselves stand on the pages of the stages.
        ol.order {
            @for block in &view.blocks {
                li { a href=(address(job, &block.stage.to_lowercase())) { b { (block.stage) } " · " (block.place) } " · car " (block.car_state) " · " (count(block.rows.len(), "row")) ", " (hours(block.minutes)) " left" }
            }
        }
    }
}

/// How many risks are listed at once.
const RISKS: usize = 8;

fn risks(job: &str, view: &PrepareView) -> Markup {
    let line = |risk: &axlestand_garage::views::RiskView| {
        html! {
            li {
                b { (percent(risk.chance)) } " " a href=(item_address(job, &risk.item)) { (risk.name) } ": up to " (hours(risk.minutes))
                @if !risk.ways.is_empty() { span.quiet { "; other way: " (risk.ways.join(", ")) } }
            }
        }
    };
    html! {
        @if !view.risks.is_empty() {
            h2 { "May be seized: " (view.risks.len()) }
            p.quiet { "An assumption by exposure and rust grade, not a measurement." }
            ul.needs { @for risk in view.risks.iter().take(RISKS) { (line(risk)) } }
            @if view.risks.len() > RISKS {
                details { summary { "And " (view.risks.len() - RISKS) " more" } ul.needs { @for risk in view.risks.iter().skip(RISKS) { (line(risk)) } } }
            }
        }
    }
}

fn other_ways(job: &str, ways: &[Ways]) -> Markup {
    html! {
        @if !ways.is_empty() {
            h2 { "Another way: " (ways.len()) }
            p.quiet { "The way that costs less time on average is taken by itself; choose otherwise here." }
            @for one in ways {
                details.way {
                    summary { (one.name) ": " @match &one.chosen { Some(way) => b { (way) }, None => "in the usual manner" } }
                    @for (way, name) in one.ways.iter().filter(|(_, name)| Some(name) != one.chosen.as_ref()) {
                        (choose(job, &one.item, way, name))
                    }
                    @if one.chosen.is_some() { (choose(job, &one.item, "usual", "In the usual manner")) }
                }
            }
        }
    }
}

fn choose(job: &str, item: &str, way: &str, name: &str) -> Markup {
    entry(
        job,
        "choose",
        &html! {
            (hidden("back", &address(job, "prepare"))) (hidden("item", item)) (hidden("way", way))
            button type="submit" { (name) }
        },
    )
}

fn reasons(job: &str, view: &PrepareView) -> Markup {
    let why = |one: &UndoneView| match (one.goal, one.because.is_empty()) {
        (true, _) => "is to be replaced".to_owned(),
        (false, false) => format!("for: {}", one.because.join("; ")),
        (false, true) => "is open already".to_owned(),
    };
    html! {
        details {
            summary { "What comes apart, and why: " (view.undone.len()) }
            @if !view.ways_proven { p.quiet { "The choice of ways is the cheapest found, not proven to be the cheapest." } }
            ul.needs { @for one in &view.undone { li { a href=(item_address(job, &one.item)) { (one.name) } @if let Some(way) = &one.way { " [by: " (way) "]" } ": " (why(one)) } } }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};
    use axum::http::StatusCode;

    #[test]
    fn everything_to_have_at_hand_is_there() {
        let bench = Workbench::with_job();
        let page = bench.get(&format!("/job/{JOB}/prepare")).page();
        for shown in [
            "Parts to buy",
            "New each time",
            "Consumables",
            "Tools to buy or borrow",
            "In your toolbox",
            "To look up in your service manual",
            "No way back",
            "Do not roll the car",
            "stop for the night",
            "of the best possible",
            "May be seized",
            "What comes apart, and why",
            "<svg",
        ] {
            assert!(page.contains(shown), "{shown}");
        }
        assert!(page.contains("name=\"rows\""), "the rows of Prepare can be ticked");
    }

    #[test]
    fn another_way_is_chosen_and_the_page_comes_back() {
        let bench = Workbench::with_job();
        let path = format!("/job/{JOB}/prepare");
        let page = bench.get(&path).page();
        let way = page.split("name=\"way\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
        let item = page.split("name=\"item\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
        let fields = [("do", "choose"), ("item", &item), ("way", &way), ("back", &path)];
        let answer = bench.post(&format!("/job/{JOB}/entry"), &fields);
        assert_eq!((answer.status, answer.location.as_deref()), (StatusCode::SEE_OTHER, Some(path.as_str())));
        assert!(bench.get(&path).page().contains("In the usual manner"));
    }
}
