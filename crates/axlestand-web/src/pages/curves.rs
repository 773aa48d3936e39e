//! Camber, toe and track against wheel travel, as a table.

use super::address;
use super::form::number_kept;
use super::plain::on_page;
use super::shell::{Frame, page};
use super::words::signed;
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::geometry::{
    ColumnView, CurveRow, CurvesView, CurvesWanted, Racks, travel, usual_travels,
};
use axlestand_garage::views::HeadView;
use axlestand_garage::{Hand, Units, geometry};
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
    fn wanted(&self, units: Units) -> Result<CurvesWanted, String> {
        let usual = usual_travels(units);
        let mm = |text: &str, usual: &str, what: &str| {
            let text = if text.trim().is_empty() { usual } else { text };
            travel(what, text, units).map_err(|why| why.to_string())
        };
        Ok(CurvesWanted {
            axle: if self.axle == "rear" { "rear" } else { "front" }.to_owned(),
            side: if self.side == "right" { Hand::Right } else { Hand::Left },
            from: mm(&self.from, usual[0], "from")?,
            to: mm(&self.to, usual[1], "to")?,
            step: mm(&self.step, usual[2], "step")?,
            racks: Racks::Straight,
            units,
        })
    }
}

pub(crate) async fn curves(
    State(app): State<Shared>,
    Path(job): Path<String>,
    Query(asked): Query<Asked>,
    choices: Choices,
) -> Result<Response, Problem> {
    let (shown, units) = (asked.clone(), choices.units(&app));
    let (head, view) = app
        .job(job, move |garage, job| {
            let view = asked.wanted(units).and_then(|wanted| {
                let of = if asked.roll.is_some() { geometry::roll_curves } else { geometry::curves };
                of(&job.car, &wanted).map_err(|why| why.to_string())
            });
            Ok((garage.head(job)?, view))
        })
        .await?;
    let status = if view.is_ok() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    Ok((status, curves_page(&head, (&shown, units), view.as_ref(), choices)).into_response())
}

pub(crate) fn curves_page(
    head: &HeadView,
    (asked, units): (&Asked, Units),
    view: Result<&CurvesView, &String>,
    choices: Choices,
) -> Markup {
    let job = &head.job;
    let axle = if asked.axle == "rear" { "rear" } else { "front" };
    let body = html! {
        h1 { "Curves" }
        @match view {
            Err(why) => p.not-yet role="alert" { strong { (on_page(why)) } },
            Ok(view) => (table(view, units)),
        }
        (form(job, asked, units))
        p { a.button download href=(address(job, &format!("sheet/curves.pdf?axle={axle}&side={}", asked.side))) { "The same drawn, on paper" span.quiet { " · PDF" } } }
        p { a.button href=(address(job, "height")) { "Heights" } }
    };
    page(&Frame { title: "Curves", head: Some(head), here: "set", choices }, &body)
}

fn form(job: &str, asked: &Asked, units: Units) -> Markup {
    let ([from, to, step], unit) = (usual_travels(units), units.length_unit());
    let choice = |name: &str, title: &str, list: [&str; 2], chosen: &str| {
        html! { label { span { (title) } select name=(name) { @for value in list { option value=(value) selected[value == chosen] { (value) } } } } }
    };
    html! {
        form.field method="get" action=(address(job, "curves")) {
            h2 { "Others" }
            (choice("axle", "End of the car", ["front", "rear"], &asked.axle))
            (choice("side", "Side", ["left", "right"], &asked.side))
            (number_kept(&format!("From, {unit} (wheel up is +)"), "from", from, &asked.from))
            (number_kept(&format!("To, {unit}"), "to", to, &asked.to))
            (number_kept(&format!("Step, {unit}"), "step", step, &asked.step))
            label.switch { input type="checkbox" name="roll" value="yes" checked[asked.roll.is_some()]; span { "As the body rolls: the right wheel goes the other way" } }
            button type="submit" { "Reckon" }
        }
    }
}

fn table(view: &CurvesView, units: Units) -> Markup {
    let mut groups: Vec<&str> = view.columns.iter().map(|column| column.group).collect();
    groups.dedup();
    html! {
        p { (view.car) ": " (view.axle) " axle, " (view.layout) ", " (view.wheels) "." }
        @for group in groups { (piece(view, group, units)) }
        p.quiet {
            @if view.against == "opposite-travel" { "Travel: left wheel up from the height at which the points were taken, right wheel down." }
            @else { "Travel: wheel up from the height at which the points were taken. Angles relative to the body." }
        }
        @if view.droop.is_some() || view.bump.is_some() {
            p { "The damper ends the travel at " (end(view.droop, units)) " " (units.length_unit()) " (full droop) and " (end(view.bump, units)) " " (units.length_unit()) " (bump stop touched). Rows with * lie beyond: the links would go there, the wheel does not." }
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

fn end(travel: Option<f64>, units: Units) -> String {
    travel.map_or_else(|| "?".to_owned(), |travel| moved(travel, units))
}

/// A travel with its sign.
fn moved(mm: f64, units: Units) -> String {
    let (travel, places, _) = units.figure_in(mm, 0, "mm");
    signed(travel, places)
}

fn piece(view: &CurvesView, group: &str, units: Units) -> Markup {
    let columns: Vec<(usize, &ColumnView)> =
        view.columns.iter().enumerate().filter(|(_, column)| column.group == group).collect();
    let has_height = view.rows.iter().any(|row| row.height.is_some());
    html! {
        div.scroll tabindex="0" role="region" aria-label=(group.replace('-', " ")) {
            table.figures {
                caption { (group.replace('-', " ")) }
                thead { tr {
                    th scope="col" { "travel" br; span.quiet { (units.length_unit()) } }
                    @if has_height { th scope="col" { "height" br; span.quiet { (units.length_unit()) } } }
                    @for (_, column) in &columns { th scope="col" { (column.name) br; span.quiet { (units.figure_in(0.0, 0, column.unit).2) } } }
                } }
                tbody { @for row in &view.rows { (line(row, has_height, &columns, units)) } }
            }
        }
    }
}

fn line(row: &CurveRow, has_height: bool, columns: &[(usize, &ColumnView)], units: Units) -> Markup {
    let value = |at: usize, column: &ColumnView| {
        let value = row.values.get(at).copied().flatten();
        value.map_or_else(
            || "–".to_owned(),
            |value| {
                let (value, places, _) = units.figure_in(value, column.places, column.unit);
                signed(value, places)
            },
        )
    };
    let height = |mm: f64| {
        let (height, places, _) = units.figure_in(mm, 0, "mm");
        format!("{height:.places$}")
    };
    html! {
        tr {
            th scope="row" { (moved(row.travel, units)) @if row.beyond.is_some() { " *" } }
            @if has_height { td { (row.height.map_or_else(|| "–".to_owned(), height)) } }
            @match &row.trouble {
                Some(trouble) => td colspan=(columns.len()) { (trouble) },
                None => { @for (at, column) in columns { td { (value(*at, column)) } } },
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
    fn the_range_asked_for_stays_in_the_form() {
        let bench = Workbench::with_job();
        let page = bench.get(&format!("/job/{JOB}/curves?side=right&from=-35&to=45&step=20&roll=yes")).page();
        for kept in [
            "value=\"-35\"",
            "value=\"45\"",
            "value=\"20\"",
            "value=\"right\" selected",
            "value=\"yes\" checked",
        ] {
            assert!(page.contains(kept), "{kept}: {page}");
        }
        // What is not understood stays as well, to be mended.
        let wrong = bench.get(&format!("/job/{JOB}/curves?from=soup&to=45")).page();
        assert!(wrong.contains("value=\"soup\"") && wrong.contains("value=\"45\""), "{wrong}");
    }

    /// An inch is 25.4 mm (ISO 80000-3).
    #[test]
    fn who_chose_inches_asks_for_and_sees_them() {
        let bench = Workbench::with_job();
        let of = |query: &str, units: &str| bench.get_as(&format!("/job/{JOB}/curves{query}"), units).page();
        let usual = of("", "units=inch");
        assert!(usual.contains("From, in") && usual.contains("−2.50") && !usual.contains(">mm<"), "{usual}");
        let asked = of("?from=-1&to=1&step=25.4mm", "units=inch");
        assert!(asked.contains("−1.00") && asked.contains("+1.00"), "{asked}");
        let metric = of("?from=-1in&to=1in&step=1in", "units=metric");
        assert!(metric.contains("−25") && metric.contains("+25"), "{metric}");
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
