//! Routes to a part beside each other: replace, repair, take another part instead.

use super::item_address;
use super::plain::on_page;
use super::shell::{Frame, page};
use super::words::{about, count, percent};
use super::{address, piece};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::forecast::{Ask, RouteView, RoutesView};
use axlestand_garage::views::{HeadView, part_names};
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use maud::{Markup, html};
use serde::Deserialize;

/// Which part, and which other instead.
#[derive(Debug, Default, Clone, Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    part: String,
    #[serde(default)]
    instead: String,
}

/// Everything that the page shows.
pub(crate) struct Routes {
    head: HeadView,
    /// The parts of the car: id and name.
    parts: Vec<(String, String)>,
    asked: Asked,
    /// The routes, or why there are none; none before a part was chosen.
    view: Option<Result<RoutesView, String>>,
}

/// The address of the routes to a part.
pub(crate) fn routes_address(job: &str, part: &str) -> String {
    address(job, &format!("routes?part={}", piece(part)))
}

pub(crate) async fn routes(
    State(app): State<Shared>,
    Path(job): Path<String>,
    Query(asked): Query<Asked>,
    choices: Choices,
) -> Result<Response, Problem> {
    let shown = app
        .garage(Some(job), move |garage| {
            let instead: Vec<String> =
                Some(asked.instead.clone()).filter(|instead| !instead.is_empty()).into_iter().collect();
            let view = match (!asked.part.is_empty())
                .then(|| garage.routes(&asked.part, &instead, &Ask::default()))
            {
                Some(Err(why)) if why.is_of_the_machine() => return Err(why),
                view => view.map(|view| view.map_err(|why| why.to_string())),
            };
            let job = garage.job()?;
            Ok(Routes { head: garage.head(&job)?, parts: part_names(&job), asked, view })
        })
        .await?;
    let status = match &shown.view {
        Some(Err(_)) => StatusCode::UNPROCESSABLE_ENTITY,
        _ => StatusCode::OK,
    };
    Ok((status, routes_page(&shown, choices)).into_response())
}

pub(crate) fn routes_page(shown: &Routes, choices: Choices) -> Markup {
    let job = &shown.head.job;
    let body = html! {
        h1 { "Repair or replace" }
        p.quiet { "The ways to a part side by side, each for the whole rest of the job." }
        form.field method="get" action=(address(job, "routes")) {
            label { span { "The part" } (select("part", &shown.parts, &shown.asked.part, None)) }
            label { span { "or replace this instead" } (select("instead", &shown.parts, &shown.asked.instead, Some("nothing else"))) }
            button type="submit" { "Compare" }
        }
        @match &shown.view {
            None => {},
            Some(Err(why)) => p.not-yet role="alert" { strong { (on_page(why)) } },
            Some(Ok(view)) => {
                h2 { "To the " (view.part) }
                ol.routes { @for route in &view.routes { li { (route_block(route, &view.currency)) } } }
                p.quiet { "Typical assumptions until this car has shown otherwise." }
                p { a.button href=(item_address(job, &shown.asked.part)) { "Take one: the part’s page" } }
            },
        }
        p { a.button href=(address(job, "prepare")) { "Prepare" } }
    };
    page(&Frame { title: "Repair or replace", head: Some(&shown.head), here: "prepare", choices }, &body)
}

fn select(name: &str, parts: &[(String, String)], chosen: &str, none: Option<&str>) -> Markup {
    html! {
        select name=(name) {
            @if let Some(none) = none { option value="" { (none) } }
            @for (id, title) in parts { option value=(id) selected[id == chosen] { (title) } }
        }
    }
}

fn route_block(route: &RouteView, currency: &str) -> Markup {
    let money = format!("{:.2} {currency}", route.money);
    html! {
        p { strong { (route.name) } }
        @if let Some(why) = &route.impossible {
            p { "Not possible: " (on_page(why)) "." }
        } @else {
            p { (about(route.minutes)) " on average, " (about(route.from)) " to " (about(route.to)) " in eight of ten; " (percent(route.stop)) " that work stops for a part." }
            p {
                @match (route.money > 0.0, route.unpriced.len()) {
                    (_, 0) => { "Money: " (money.trim_end()) },
                    (true, more) => { "Money: " (money.trim_end()) " and " (count(more, "thing")) " without a price" },
                    (false, more) => { "No price given for " (count(more, "thing")) },
                }
                "."
            }
            @if !route.more_parts.is_empty() { p { "More than planned: " (route.more_parts.join(", ")) "." } }
            @if let Some(tools) = route.missing_tools.as_ref().filter(|tools| !tools.is_empty()) { p { "Tools missing: " (tools.join(", ")) "." } }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};
    use axum::http::StatusCode;

    #[test]
    fn routes_stand_beside_each_other_and_nonsense_is_said() {
        let bench = Workbench::with_job();
        assert!(bench.get(&format!("/job/{JOB}/routes")).page().contains("or replace this instead"));
        let page = bench.get(&format!("/job/{JOB}/routes?part=control-arm.left&instead=")).page();
        for shown in ["as planned", "in eight of ten", "Take one"] {
            assert!(page.contains(shown), "{shown}: {page}");
        }
        for query in ["part=no-such-part", "part=wheel-nuts.left", "part=control-arm.left&instead=nothing"] {
            let answer = bench.get(&format!("/job/{JOB}/routes?{query}"));
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
            assert!(answer.page().contains("role=\"alert\""), "{query}");
        }
    }
}
