//! A list that leads through a way to read the wheels: place by place, with the answer as it grows.

use super::address;
use super::form::{entry, hidden};
use super::plain::on_page;
use super::set::{guide_address, told, verdict};
use super::shell::{Frame, page};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::alignment::{
    AlignmentView, AlignmentWanted, GuidePlace, GuideStep, GuideView, alignment, guide, guide_picture,
};
use axlestand_garage::views::HeadView;
use axlestand_garage::{Units, for_page};
use axum::extract::{Path, Query, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;

/// Which way to read.
#[derive(Debug, Default, Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    method: String,
}

/// Everything that the page shows.
pub(crate) struct Guide {
    pub(crate) head: HeadView,
    pub(crate) guide: GuideView,
    /// From where to where it is read.
    pub(crate) picture: Option<String>,
    /// How the wheels stand by what was read so far, or why that cannot be told.
    pub(crate) view: Result<AlignmentView, String>,
    pub(crate) units: Units,
}

pub(crate) async fn read(
    State(app): State<Shared>,
    Path(job): Path<String>,
    Query(asked): Query<Asked>,
    choices: Choices,
) -> Result<Response, Problem> {
    if asked.method.is_empty() {
        return Ok(Redirect::to(&address(&job, "set")).into_response());
    }
    let units = choices.units(&app);
    let shown = app
        .job(job, move |garage, job| {
            Ok(Guide {
                head: garage.head(job)?,
                guide: guide(job, &asked.method, units)?,
                picture: guide_picture(job, &asked.method, units).map(|drawing| for_page(&drawing)),
                view: alignment(job, &AlignmentWanted { units, ..AlignmentWanted::default() })
                    .map_err(|why| on_page(&why.to_string())),
                units,
            })
        })
        .await?;
    Ok(guide_page(&shown, choices).into_response())
}

pub(crate) fn guide_page(shown: &Guide, choices: Choices) -> Markup {
    let (job, guide) = (shown.head.job.as_str(), &shown.guide);
    let method = &guide.method;
    // What was read answers at once, above the list.
    let any = if guide.on_stands {
        !guide.told.is_empty()
    } else {
        shown.view.as_ref().is_ok_and(|view| view.readings > 0)
    };
    let body = html! {
        h1 { (method.name) ": " (method.read) " of " (method.of) " read" }
        p { "Tells " (on_page(method.tells)) "." }
        p { "Takes " (on_page(guide.takes)) "." }
        @if let Some(picture) = &shown.picture {
            figure.picture.wide { div.scroll tabindex="0" role="group" aria-label="From where to where" { (PreEscaped(picture)) } }
        }
        @if shown.head.on_stands && !guide.on_stands {
            p.not-yet { strong { "The car is on stands." } " Wheels are read with it on its wheels, lowered and settled." }
        }
        @if any { (so_far(shown)) }
        @for (at, step) in guide.steps.iter().enumerate() { (step_form(job, guide, at, step, shown.units)) }
        @if !any { (so_far(shown)) }
        p { a.button href=(address(job, "set")) { "Set: what to turn, other ways to read" } }
    };
    page(&Frame { title: method.name, head: Some(&shown.head), here: "set", choices }, &body)
}

/// How the wheels stand by what was read so far.
fn so_far(shown: &Guide) -> Markup {
    html! {
        section.answer {
            h2 { "By what was read so far" }
            @if shown.guide.on_stands {
                @if shown.guide.told.is_empty() { p { "Nothing was read yet that says how the wheels stand." } }
                ul { @for line in &shown.guide.told { li { (on_page(line)) } } }
            } @else {
                @match &shown.view {
                    Ok(view) => { (verdict(&shown.head.job, view)) (told(view)) },
                    Err(why) => p { (why) },
                }
            }
        }
    }
}

/// The unit beside a field: the user's own for lengths.
fn unit_of(place: &GuidePlace, units: Units) -> &'static str {
    if place.unit == "mm" && units == Units::Inch { "in" } else { place.unit }
}

fn step_form(job: &str, guide: &GuideView, at: usize, step: &GuideStep, units: Units) -> Markup {
    let left = step.places.iter().any(|place| place.read.len() < place.times);
    let is_next = step.places.iter().any(|place| Some(&place.place) == guide.next.as_ref());
    let means = step.places.iter().find_map(|place| place.at);
    let fields = html! {
        (hidden("back", &guide_address(job, &guide.method.method)))
        @for place in &step.places { (place_field(place, guide, units)) }
        @if let Some(means) = means {
            @let unit = units.length_unit();
            (hidden("unit.at", unit))
            label { span { "Where: " (means) ", " (unit) }
                input name="at" inputmode="decimal" autocomplete="off" placeholder="as last time"; }
        }
        @if let Some(first) = step.places.first() {
            p.quiet { "By " (first.instrument) ", ± " (first.u) " each; type ± behind the number where yours is better or worse." }
        }
        button.big type="submit" { "Record" }
    };
    html! {
        section.guide.now[is_next] {
            h2 { "Step " (at + 1) @if !left { " ✓" } @if step.optional { span.quiet { " (may be left out)" } } @if is_next { span.at { " ●" } } }
            p { (on_page(step.how)) }
            @if step.optional || !left { details { summary { @if left { "Read this too" } @else { "Read again" } } (entry(job, "gauge", &fields)) } }
            @else { (entry(job, "gauge", &fields)) }
        }
    }
}

fn place_field(place: &GuidePlace, guide: &GuideView, units: Units) -> Markup {
    let name = format!("value.{}", place.place);
    let unit = unit_of(place, units);
    let left = place.times.saturating_sub(place.read.len());
    html! {
        (hidden(&format!("unit.{name}"), unit))
        label.reading {
            span {
                @if left == 0 { "✓ " } @else if Some(&place.place) == guide.next.as_ref() { span.at { "● " } "next: " }
                (on_page(&place.what)) ", " b { (unit) }
                @if place.times > 1 { " (" (left) " of " (place.times) " left)" }
                @if !place.read.is_empty() { span.quiet { " read: " (place.read.join(", ")) } }
            }
            input name=(name) inputmode=(if unit == "°" || unit == "in" { "text" } else { "decimal" }) autocomplete="off";
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};
    use axum::http::StatusCode;

    fn entry(bench: &Workbench, fields: &[(&str, &str)]) -> crate::workbench::Answer {
        bench.post(&format!("/job/{JOB}/entry"), fields)
    }

    /// The first steps of a list on plates, as the form sends them: bare numbers, their unit hidden beside.
    fn plates(value: &'static str) -> Vec<(&'static str, &'static str)> {
        vec![
            ("do", "gauge"),
            ("unit.value.plates.front.front-tape", "mm"),
            ("value.plates.front.front-tape", value),
            ("unit.value.plates.front.rear-tape", "mm"),
            ("value.plates.front.rear-tape", "1602"),
            ("unit.at", "mm"),
            ("at", "400"),
        ]
    }

    #[test]
    fn every_list_has_a_field_for_each_place() {
        let bench = Workbench::with_job();
        let set = bench.get(&format!("/job/{JOB}/set")).page();
        assert!(set.contains("nothing read yet") && set.contains("Ways to read the wheels"));
        assert!(!set.contains("axlestand ") && !set.contains(" --"), "{set}");
        let methods: Vec<&str> =
            set.split("read?method=").skip(1).filter_map(|rest| rest.split('"').next()).collect();
        assert!(methods.len() >= 6, "{methods:?}");
        for method in methods {
            let page = bench.get(&format!("/job/{JOB}/read?method={method}")).page();
            assert!(page.contains("name=\"value."), "{method}");
            assert!(!page.contains("axlestand ") && !page.contains("--at"), "{method}: {page}");
        }
        assert!(bench.get(&format!("/job/{JOB}/read?method=nonsense")).status.is_client_error());
    }

    /// 1600 in front and 1602 mm behind, the tapes 400 mm apart along the car: total toe is atan(2 / 400),
    /// 0.286° (plane trigonometry).
    #[test]
    fn several_numbers_at_once_give_an_answer_with_its_uncertainty() {
        let bench = Workbench::with_job();
        let answer = entry(&bench, &plates("1600"));
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
        let page = bench.get(&format!("/job/{JOB}/read?method=plates")).page();
        assert!(page.contains("read: 1600"), "{page}");
        assert!(page.contains("total toe front") && page.contains("+0.29°"), "{page}");
    }

    #[test]
    fn an_odd_number_is_asked_about_and_stays_until_it_is_right() {
        let bench = Workbench::with_job();
        entry(&bench, &plates("1600"));
        let odd = [
            ("do", "gauge"),
            ("unit.value.plates.front.front-tape", "mm"),
            ("value.plates.front.front-tape", "1640"),
            ("at", "400 mm"),
        ];
        let answer = entry(&bench, &odd);
        assert_eq!(answer.status, StatusCode::CONFLICT);
        let page = answer.page();
        for shown in
            ["read it a third time", "value=\"1640 mm\"", "name=\"sure\"", "Looked at again and right"]
        {
            assert!(page.contains(shown), "{shown}: {page}");
        }
        let sure = [odd.as_slice(), &[("sure", "yes")]].concat();
        assert_eq!(entry(&bench, &sure).status, StatusCode::SEE_OTHER);
    }

    /// Typed in inches it is asked about in inches: 62.99 in front, then 64 in, which is 1.01 in more.
    #[test]
    fn who_chose_inches_reads_and_is_asked_in_them() {
        let bench = Workbench::with_job();
        let tape = |value: &'static str| {
            let place = "value.plates.front.front-tape";
            [
                ("do", "gauge"),
                ("unit.value.plates.front.front-tape", "in"),
                (place, value),
                ("unit.at", "in"),
                ("at", "15 3/4"),
            ]
        };
        assert_eq!(entry(&bench, &tape("62.99")).status, StatusCode::SEE_OTHER);
        let asked = entry(&bench, &tape("64")).page();
        assert!(asked.contains("differs by 1.010 in from the 62.990 in"), "{asked}");
        for method in ["plates", "strings", "floor", "bump", "survey"] {
            let page = bench.get_as(&format!("/job/{JOB}/read?method={method}"), "units=inch").page();
            assert!(!page.contains(" mm") && page.contains(" in"), "{method}: {page}");
        }
        let set = bench.get_as(&format!("/job/{JOB}/set"), "units=inch").page();
        assert!(!set.contains(" mm") && set.contains("16.38 in apart"), "{set}");
    }

    #[test]
    fn a_refused_number_names_its_place_and_is_kept() {
        let bench = Workbench::with_job();
        let answer = entry(
            &bench,
            &[("do", "gauge"), ("value.plates.front.front-tape", "16000 mm"), ("at", "400 mm")],
        );
        assert_eq!(answer.status, StatusCode::CONFLICT);
        let page = answer.page();
        assert!(page.contains("plates.front.front-tape") && page.contains("value=\"16000 mm\""), "{page}");
    }

    #[test]
    fn what_was_turned_is_recorded_in_flats() {
        let bench = Workbench::with_job();
        let answer =
            entry(&bench, &[("do", "turned"), ("adjuster", "tie-rod.left"), ("amount", "2 flats longer")]);
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
        let log = bench.get(&format!("/job/{JOB}/ledger")).page();
        assert!(log.contains("2 flats longer"));
    }
}
