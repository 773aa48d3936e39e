//! What a forecast goes by, stated by the owner: hours, prices, assumptions.

use super::address;
use super::form::hidden;
use super::plain::on_page;
use super::shell::{Frame, page};
use super::words::capital;
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::forecast::{FieldFault, ForecastText, StatedField, TypedField, stated_fields};
use axlestand_garage::views::HeadView;
use axlestand_garage::{Garage, GarageError};
use axum::Form;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};

/// What the page shows.
pub(crate) struct Assume {
    pub(crate) head: HeadView,
    pub(crate) text: ForecastText,
    /// The fields; why the file is not understood otherwise.
    pub(crate) fields: Result<Vec<StatedField>, String>,
    /// Fields as they were filled in but not written.
    pub(crate) typed: Vec<TypedField>,
    /// What is wrong with which of them.
    pub(crate) faults: Vec<FieldFault>,
    /// Why nothing was written.
    pub(crate) why: Option<String>,
}

impl Assume {
    fn of(garage: &mut Garage) -> Result<Self, GarageError> {
        let text = garage.forecast_text()?;
        let job = garage.job()?;
        let fields = stated_fields(&text.text).map_err(|why| why.to_string());
        let (typed, faults) = (Vec::new(), Vec::new());
        Ok(Self { head: garage.head(&job)?, text, fields, typed, faults, why: None })
    }
}

pub(crate) async fn shown(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let shown = app.record(Some(job), Assume::of).await?;
    Ok(assume_page(&shown, choices))
}

/// Writes the fields, or the file as it was typed.
pub(crate) async fn write(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Problem> {
    let back = address(&job, "forecast");
    let refused = app.record(Some(job), move |garage| kept(garage, &sent)).await?;
    Ok(match refused {
        None => Redirect::to(&back).into_response(),
        Some(shown) => (StatusCode::UNPROCESSABLE_ENTITY, assume_page(&shown, choices)).into_response(),
    })
}

/// Keeps what was sent; what to show where it was not kept.
fn kept(garage: &mut Garage, sent: &[(String, String)]) -> Result<Option<Assume>, GarageError> {
    let of = |name: &str| sent.iter().find(|(key, _)| key == name).map(|(_, text)| text.as_str());
    let mark = of("mark").unwrap_or_default();
    let typed = typed(sent);
    let kept = match of("text") {
        Some(text) => garage.keep_forecast_text(text, mark).map(|()| Vec::new()),
        None => garage.state_forecast(&typed, mark),
    };
    let (faults, why) = match kept {
        Ok(faults) if faults.is_empty() => return Ok(None),
        Ok(faults) => (faults, Some("What is marked below is not understood yet.".to_owned())),
        Err(why) if why.is_of_the_machine() => return Err(why),
        Err(why) => (Vec::new(), Some(why.to_string())),
    };
    let mut shown = Assume { typed, faults, why, ..Assume::of(garage)? };
    if let Some(text) = of("text") {
        shown.text = ForecastText { text: text.to_owned(), mark: mark.to_owned() };
    }
    Ok(Some(shown))
}

/// The fields of the form: `value.NAME` and `from.NAME`.
fn typed(sent: &[(String, String)]) -> Vec<TypedField> {
    let mut all: Vec<TypedField> = Vec::new();
    for (key, text) in sent {
        if let Some(name) = key.strip_prefix("value.") {
            all.push(TypedField { name: name.to_owned(), value: text.clone(), from: String::new() });
        } else if let Some(name) = key.strip_prefix("from.")
            && let Some(field) = all.iter_mut().find(|field| field.name == name)
        {
            field.from.clone_from(text);
        }
    }
    all
}

pub(crate) fn assume_page(shown: &Assume, choices: Choices) -> Markup {
    let job = &shown.head.job;
    let as_file = shown.fields.is_err() || (shown.why.is_some() && shown.typed.is_empty());
    let body = html! {
        h1 { "What a forecast goes by" }
        @if let Some(why) = &shown.why { div.not-yet role="alert" { p { strong { "Not written." } }
            @if shown.faults.is_empty() { pre.scroll tabindex="0" { (on_page(why)) } }
            @else { ul.reasons { @for (name, why) in &shown.faults { li { (why) " " a.do-first href=(format!("#value-{name}")) { (named(shown, name)) } } } } }
        } }
        @match &shown.fields {
            Ok(fields) => (form(shown, fields)),
            Err(why) => div.not-yet { p { strong { "The file counts for nothing yet." } } pre.scroll tabindex="0" { (on_page(why)) } },
        }
        details open[as_file] {
            summary { "As a file, with prices of things" }
            p { "The file forecast.toml of the garage. Take the # away from a line and put your own value in; a line with # counts for nothing." }
            form.field method="post" action=(address(job, "assume")) {
                (hidden("mark", &shown.text.mark))
                label { span { "The file" } textarea.code name="text" rows="24" autocomplete="off" autocapitalize="none" spellcheck="false" { (shown.text.text) } }
                button.big type="submit" { "Write the file" }
            }
        }
        p { a.button href=(address(job, "forecast")) { "The forecast" } }
    };
    page(
        &Frame { title: "What a forecast goes by", head: Some(&shown.head), here: "prepare", choices },
        &body,
    )
}

fn form(shown: &Assume, fields: &[StatedField]) -> Markup {
    let (general, assumed): (Vec<&StatedField>, Vec<&StatedField>) =
        fields.iter().partition(|field| field.from.is_none());
    let yours = assumed.iter().filter(|field| !field.stated.is_empty()).count();
    let wrong = assumed.iter().any(|field| shown.faults.iter().any(|(name, _)| *name == field.name));
    html! {
        p { "What you leave empty is taken as it stands beside the field." }
        form method="post" action=(address(&shown.head.job, "assume")) {
            (hidden("mark", &shown.text.mark))
            @for field in general { (row(shown, field)) }
            details open[yours > 0 || wrong] {
                summary { "Assumptions (" (assumed.len()) ", " (yours) " yours)" }
                p.quiet { "Typical values are judgement, no measurement behind them. Yours count from the next forecast on." }
                @for field in assumed { (row(shown, field)) }
            }
            button.big type="submit" { "Keep it" }
        }
    }
}

/// A field's name in words.
fn named(shown: &Assume, name: &str) -> String {
    let fields = shown.fields.as_deref().unwrap_or_default();
    fields
        .iter()
        .find(|field| field.name == name)
        .map_or_else(|| name.to_owned(), |field| capital(&field.what))
}

/// One field: name in words, value with its unit, where it comes from, what is wrong beside it.
fn row(shown: &Assume, field: &StatedField) -> Markup {
    let typed = shown.typed.iter().find(|one| one.name == field.name);
    let value = typed.map_or(&field.stated, |one| &one.value);
    let wrong = shown.faults.iter().find(|(name, _)| *name == field.name).map(|(_, why)| why);
    let fault = format!("wrong-{}", field.name);
    html! {
        div.assumed {
            label {
                span { (capital(&field.what)) @if !field.unit.is_empty() { ", " (field.unit) } }
                input id=(format!("value-{}", field.name)) name=(format!("value.{}", field.name)) value=(value) autocomplete="off" aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong.map(|_| fault.as_str())];
            }
            @if let Some(why) = wrong { strong.wrong id=(fault) { (why) } }
            p.quiet { "Else " (field.typical) }
            @if let Some(from) = &field.from {
                label { span { "Where yours comes from" } input name=(format!("from.{}", field.name)) value=(typed.map_or(from, |one| &one.from)) placeholder="timed at this car" autocomplete="off"; }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};
    use axum::http::StatusCode;

    fn mark(page: &str) -> String {
        let (_, rest) = page.split_once("name=\"mark\" value=\"").unwrap();
        rest.split('"').next().unwrap().to_owned()
    }

    #[test]
    fn the_owners_assumptions_are_kept_and_the_forecast_goes_by_them() {
        let bench = Workbench::with_job();
        let at = format!("/job/{JOB}/assume");
        let page = bench.get(&at).page();
        assert!(page.contains("# sessions ="), "{page}");
        let first = mark(&page);
        for (text, said) in [("luck = 1", "not understood"), ("[assume]\nluck = 1", "is no assumption")] {
            let refused = bench.post(&at, &[("text", text), ("mark", &first)]);
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
            let page = refused.page();
            assert!(page.contains(said) && page.contains("luck = 1</textarea>"), "{page}");
        }
        let kept =
            bench.post(&at, &[("text", "sessions = [\"Sat 9-18\"]\r\ntrip = 4\r\n"), ("mark", &first)]);
        assert!(kept.status.is_redirection(), "{}", kept.text());
        assert!(bench.get(&at).page().contains("trip = 4"));
        // Changed by another meanwhile, it is not written over.
        let late = bench.post(&at, &[("text", "trip = 9"), ("mark", &first)]);
        assert_eq!(late.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(late.page().contains("changed meanwhile"));
        assert!(bench.get(&format!("/job/{JOB}/forecast")).page().contains("done by"));
    }

    #[test]
    fn a_field_is_kept_with_its_source_and_a_wrong_one_says_so_beside_itself() {
        let bench = Workbench::with_job();
        let at = format!("/job/{JOB}/assume");
        let first = mark(&bench.get(&at).page());
        let fields = |value, from| {
            [
                ("mark", first.as_str()),
                ("value.try_minutes", value),
                ("from.try_minutes", from),
                ("value.trip", "4"),
            ]
        };
        for (value, from, said) in [
            ("soon", "timed", "is no number"),
            ("30", "", "where your value comes from"),
            ("-1", "x", "goes from 0 to 480"),
        ] {
            let refused = bench.post(&at, &fields(value, from));
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{value}");
            let page = refused.page();
            let (_, beside) = page.split_once("id=\"wrong-try_minutes\">").unwrap();
            assert!(beside.split('<').next().unwrap().contains(said), "{said}");
            assert!(page.contains(&format!("name=\"value.try_minutes\" value=\"{value}\"")), "{page}");
        }
        assert!(!bench.get(&at).page().contains("name=\"value.trip\" value=\"4\""), "all or nothing");
        let kept = bench.post(&at, &fields("30", "timed at this car"));
        assert!(kept.status.is_redirection(), "{}", kept.text());
        let forecast = bench.get(&format!("/job/{JOB}/forecast?session=Sat+9-18")).page();
        assert!(forecast.contains("[stated: timed at this car]"), "{forecast}");
        // An old page does not write over what is newer.
        let late = bench.post(&at, &fields("45", "guess"));
        assert!(late.page().contains("changed meanwhile"));
    }
}
