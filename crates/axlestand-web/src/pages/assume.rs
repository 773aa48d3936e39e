//! What a forecast goes by, stated by the owner: hours, prices, assumptions.

use super::address;
use super::form::hidden;
use super::plain::on_page;
use super::shell::{Frame, page};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::forecast::ForecastText;
use axlestand_garage::views::HeadView;
use axum::Form;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;

/// The form.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct Typed {
    text: String,
    mark: String,
}

pub(crate) async fn shown(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let (head, text) = app
        .record(Some(job), |garage| {
            let text = garage.forecast_text()?;
            let job = garage.job()?;
            Ok((garage.head(&job)?, text))
        })
        .await?;
    Ok(assume_page(&head, &text, None, choices))
}

pub(crate) async fn write(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let back = address(&job, "forecast");
    let (head, kept) = app
        .record(Some(job), {
            let typed = typed.clone();
            move |garage| {
                let kept = match garage.keep_forecast_text(&typed.text, &typed.mark) {
                    Err(why) if why.is_of_the_machine() => return Err(why),
                    kept => kept.map_err(|why| why.to_string()),
                };
                let job = garage.job()?;
                Ok((garage.head(&job)?, kept))
            }
        })
        .await?;
    match kept {
        Ok(()) => Ok(Redirect::to(&back).into_response()),
        Err(why) => {
            let text = ForecastText { text: typed.text, mark: typed.mark };
            let page = assume_page(&head, &text, Some(&why), choices);
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

pub(crate) fn assume_page(
    head: &HeadView,
    text: &ForecastText,
    why: Option<&str>,
    choices: Choices,
) -> Markup {
    let job = &head.job;
    let body = html! {
        h1 { "What a forecast goes by" }
        @if let Some(why) = why { div.not-yet role="alert" { p { strong { "Not written." } } pre.scroll tabindex="0" { (on_page(why)) } } }
        p { "Your hours, prices and assumptions, in the file forecast.toml of the garage. Take the # away from a line and put your own value in; a line with # counts for nothing." }
        form.field method="post" action=(address(job, "assume")) {
            (hidden("mark", &text.mark))
            label { span { "The file" } textarea.code name="text" rows="24" autocomplete="off" autocapitalize="none" spellcheck="false" { (text.text) } }
            button.big type="submit" { "Write it" }
        }
        p { a.button href=(address(job, "forecast")) { "The forecast" } }
    };
    page(&Frame { title: "What a forecast goes by", head: Some(head), here: "prepare", choices }, &body)
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
}
