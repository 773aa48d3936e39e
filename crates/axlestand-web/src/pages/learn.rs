//! What was seen at the car and is not in its vehicle file yet: shown, and written back on request.

use super::address;
use super::shell::{Frame, page};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::vehicle::{self, Lesson};
use axlestand_garage::views::HeadView;
use axum::extract::{Path, State};
use axum::response::Redirect;
use maud::{Markup, html};

pub(crate) async fn lessons(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let (head, list) = app.job(job, |garage, job| Ok((garage.head(job)?, vehicle::lessons(job)))).await?;
    Ok(learn_page(&head, &list, choices))
}

/// Writes it into the vehicle file, as measured.
pub(crate) async fn write(State(app): State<Shared>, Path(job): Path<String>) -> Result<Redirect, Problem> {
    let back = address(&job, "learn");
    app.record(Some(job), |garage| {
        let job = garage.job()?;
        if !vehicle::learn(&job)?.is_empty() {
            // The changed file is taken over by the job at once.
            garage.job()?;
        }
        Ok(())
    })
    .await?;
    Ok(Redirect::to(&back))
}

pub(crate) fn learn_page(head: &HeadView, list: &[Lesson], choices: Choices) -> Markup {
    let job = &head.job;
    let body = html! {
        h1 { "Seen at the car" }
        @if list.is_empty() {
            p { "Nothing was seen that the vehicle file does not say. What is typed as “Length of what goes in”, or seen at a fastener while it is in your hand, comes here." }
        } @else {
            p { "This was seen while the work went on and is not in the vehicle file yet." }
            ul.open {
                @for lesson in list {
                    li {
                        code { (lesson.item) } ": " (lesson.field) " " strong { (lesson.seen) }
                        @if let Some(said) = &lesson.file_says { " (the file says " (said) ")" }
                    }
                }
            }
            form method="post" action=(address(job, "learn")) {
                button.big type="submit" { "Write it into the vehicle file, as measured" }
            }
        }
        p { a.button href=(address(job, "car")) { "The vehicle file" } }
    };
    page(&Frame { title: "Seen at the car", head: Some(head), here: "", choices }, &body)
}

#[cfg(test)]
mod tests {
    use crate::workbench::{JOB, Workbench};
    use axlestand_garage::Details;

    #[test]
    fn what_was_seen_is_shown_and_written_back_as_measured() {
        let bench = Workbench::with_job();
        assert!(bench.get(&format!("/job/{JOB}/learn")).page().contains("Nothing was seen"));
        bench.garage().done(&["do:chock".to_owned()], &Details::default(), &[]).unwrap();
        // Off the step's page: what it offers to fill in is what is sent.
        let row = "loosen:wheel-nuts.left";
        let step = bench.get(&crate::pages::step_address(JOB, row)).page();
        assert!(step.contains("name=\"seen.drive\"") && !step.contains("name=\"seen.thread\""), "{step}");
        let entry = format!("/job/{JOB}/entry");
        let send =
            |field: &str, value: &str| bench.post(&entry, &[("do", "done"), ("rows", row), (field, value)]);
        for (field, value, said) in [("seen.drive", "no head", "no head"), ("seen.colour", "red", "colour")] {
            let refused = send(field, value);
            assert!(!refused.status.is_redirection() && refused.page().contains(said), "{}", refused.text());
        }
        let sent = send("seen.drive", "hex 19");
        assert!(sent.status.is_redirection(), "{}", sent.text());
        let page = bench.get(&format!("/job/{JOB}/learn")).page();
        assert!(page.contains("hex 19") && page.contains("wheel-nuts"), "{page}");
        let written = bench.post(&format!("/job/{JOB}/learn"), &[]);
        assert!(written.status.is_redirection(), "{}", written.text());
        assert!(bench.get(&format!("/job/{JOB}/learn")).page().contains("Nothing was seen"));
        let file = std::fs::read_to_string(bench.path().join("wagtail.toml")).unwrap();
        assert!(file.contains("hex 19"), "{file}");
    }
}
