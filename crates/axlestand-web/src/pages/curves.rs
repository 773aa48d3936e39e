//! Camber, toe and track against wheel travel, as a table.

use super::address;
use super::form::number_kept;
use super::plain::on_page;
use super::shell::{Frame, page};
use super::words::signed;
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::geometry::{ColumnView, CurveRow, CurvesView, CurvesWanted, Racks};
use axlestand_garage::views::HeadView;
use axlestand_garage::{Hand, geometry};
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use maud::{Markup, html};
use serde::Deserialize;

/// Which curves.
#[derive(Debug, Default, Clone, Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    axle: String,
    #[serde(default)]
    side: String,
    #[serde(default)]
    from: String,
    #[serde(default)]
    to: String,
    #[serde(default)]
    step: String,
    #[serde(default)]
    roll: Option<String>,
}

impl Asked {
    fn wanted(&self) -> Result<CurvesWanted, String> {
        let mm = |text: &str, usual: f64, what: &str| match text.trim().trim_end_matches("mm").trim() {
            "" => Ok(usual),
            typed => typed
                .replace('−', "-")
                .parse()
                .map_err(|_| format!("{what}: '{typed}' is not a number of mm; write it like 60")),
        };
        Ok(CurvesWanted {
            axle: if self.axle == "rear" { "rear" } else { "front" }.to_owned(),
            side: if self.side == "right" { Hand::Right } else { Hand::Left },
            from: mm(&self.from, -60.0, "from")?,
            to: mm(&self.to, 60.0, "to")?,
            step: mm(&self.step, 10.0, "step")?,
            racks: Racks::Straight,
        })
    }
}

pub(crate) async fn curves(
    State(app): State<Shared>,
    Path(job): Path<String>,
    Query(asked): Query<Asked>,
    choices: Choices,
) -> Result<Response, Problem> {
    let shown = asked.clone();
    let (head, view) = app
        .job(job, move |garage, job| {
            let view = asked.wanted().and_then(|wanted| {
                let of = if asked.roll.is_some() { geometry::roll_curves } else { geometry::curves };
                of(&job.car, &wanted).map_err(|why| why.to_string())
            });
            Ok((garage.head(job)?, view))
        })
        .await?;
    let status = if view.is_ok() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    Ok((status, curves_page(&head, &shown, view.as_ref(), choices)).into_response())
}

pub(crate) fn curves_page(
    head: &HeadView,
    asked: &Asked,
    view: Result<&CurvesView, &String>,
    choices: Choices,
) -> Markup {
    let job = &head.job;
    let axle = if asked.axle == "rear" { "rear" } else { "front" };
    let body = html! {
        h1 { "Curves" }
        @match view {
            Err(why) => p.not-yet role="alert" { strong { (on_page(why)) } },
            Ok(view) => (table(view)),
        }
        (form(job, asked))
        p { a.button download href=(address(job, &format!("sheet/curves.pdf?axle={axle}&side={}", asked.side))) { "The same drawn, on paper" span.quiet { " · PDF" } } }
        p { a.button href=(address(job, "height")) { "Heights" } }
    };
    page(&Frame { title: "Curves", head: Some(head), here: "set", choices }, &body)
}

fn form(job: &str, asked: &Asked) -> Markup {
    let choice = |name: &str, title: &str, list: [&str; 2], chosen: &str| {
        html! { label { span { (title) } select name=(name) { @for value in list { option value=(value) selected[value == chosen] { (value) } } } } }
    };
    html! {
        form.field method="get" action=(address(job, "curves")) {
            h2 { "Others" }
            (choice("axle", "End of the car", ["front", "rear"], &asked.axle))
            (choice("side", "Side", ["left", "right"], &asked.side))
            (number_kept("From, mm (wheel up is +)", "from", "-60", &asked.from))
            (number_kept("To, mm", "to", "60", &asked.to))
            (number_kept("Step, mm", "step", "10", &asked.step))
            label.switch { input type="checkbox" name="roll" value="yes" checked[asked.roll.is_some()]; span { "As the body rolls: the right wheel goes the other way" } }
            button type="submit" { "Reckon" }
        }
    }
}

fn table(view: &CurvesView) -> Markup {
    let mut groups: Vec<&str> = view.columns.iter().map(|column| column.group).collect();
    groups.dedup();
    html! {
        p { (view.car) ": " (view.axle) " axle, " (view.layout) ", " (view.wheels) @if let Some(side) = view.side { ", " (side) } "." }
        @for group in groups { (piece(view, group)) }
        p.quiet {
            @if view.against == "opposite-travel" { "Travel: left wheel up from the height at which the points were taken, right wheel down." }
            @else { "Travel: wheel up from the height at which the points were taken. Angles relative to the body." }
        }
        @if view.droop.is_some() || view.bump.is_some() {
            p { "The damper ends the travel at " (end(view.droop)) " mm (full droop) and " (end(view.bump)) " mm (bump stop touched). Rows with * lie beyond: the links would go there, the wheel does not." }
        }
        @for note in &view.notes { p.quiet { (on_page(note)) } }
        details {
            summary { "Signs, and where the figures come from" }
            dl {
                @for column in view.columns.iter().filter(|column| !column.sign.is_empty()) { dt { (column.name) } dd { (column.sign) } }
                @for input in &view.inputs { dt { (input.what) } dd { (input.value) " " span.source { "[" (input.from) "]" } } }
            }
        }
    }
}

fn end(travel: Option<f64>) -> String {
    travel.map_or_else(|| "?".to_owned(), |travel| signed(travel, 0))
}

fn piece(view: &CurvesView, group: &str) -> Markup {
    let columns: Vec<(usize, &ColumnView)> =
        view.columns.iter().enumerate().filter(|(_, column)| column.group == group).collect();
    let has_height = view.rows.iter().any(|row| row.height.is_some());
    html! {
        div.scroll tabindex="0" role="region" aria-label=(group.replace('-', " ")) {
            table.figures {
                caption { (group.replace('-', " ")) }
                thead { tr {
                    th scope="col" { "travel" br; span.quiet { "mm" } }
                    @if has_height { th scope="col" { "height" br; span.quiet { "mm" } } }
                    @for (_, column) in &columns { th scope="col" { (column.name) br; span.quiet { (column.unit) } } }
                } }
                tbody { @for row in &view.rows { (line(row, has_height, &columns)) } }
            }
        }
    }
}

fn line(row: &CurveRow, has_height: bool, columns: &[(usize, &ColumnView)]) -> Markup {
    let value = |at: usize, places: usize| {
        row.values.get(at).copied().flatten().map_or_else(|| "–".to_owned(), |value| signed(value, places))
    };
    html! {
        tr {
            th scope="row" { (signed(row.travel, 0)) @if row.beyond.is_some() { " *" } }
            @if has_height { td { (row.height.map_or_else(|| "–".to_owned(), |height| format!("{height:.0}"))) } }
            @match &row.trouble {
                Some(trouble) => td colspan=(columns.len()) { (trouble) },
                None => { @for (at, column) in columns { td { (value(*at, column.places)) } } },
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};
    use axum::http::StatusCode;

    #[test]
    fn they_stand_as_a_table_of_either_side_and_in_roll() {
        let bench = Workbench::with_job();
        for query in ["", "?axle=front&side=right&from=-30&to=30&step=15", "?roll=yes"] {
            let answer = bench.get(&format!("/job/{JOB}/curves{query}"));
            assert_eq!(answer.status, StatusCode::OK, "{query}: {}", answer.text());
            let page = answer.page();
            assert!(page.contains("camber") && page.contains("<tbody>"), "{query}");
        }
        let few = bench.get(&format!("/job/{JOB}/curves?from=-30&to=30&step=15")).page();
        assert!(few.contains("−15") && !few.contains("−60"));
    }

    #[test]
    fn nonsense_is_said_without_options() {
        let bench = Workbench::with_job();
        for query in ["from=soup", "from=60&to=-60", "step=0", "from=-1e9"] {
            let answer = bench.get(&format!("/job/{JOB}/curves?{query}"));
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
            let page = answer.page();
            assert!(page.contains("role=\"alert\"") && !page.contains("--from"), "{query}: {page}");
        }
    }
}
