//! Where a text leads on, as a link to the page where it is done.

use super::plain::on_page;
use super::set::guide_address;
use super::{address, car, step_address};
use axlestand_garage::Lead;
use maud::{Markup, html};

/// A text with the link that it leads to. `job` is the job whose page shows it.
pub(crate) fn led(text: &str, lead: Option<&Lead>, job: &str) -> Markup {
    html! {
        (on_page(text))
        @if let Some((at, words)) = lead.and_then(|lead| link(lead, job)) {
            " " a.do-first href=(at) { (words) }
        }
    }
}

/// Address and words; `None` where the form stands on the same page, or is none of a page's.
fn link(lead: &Lead, job: &str) -> Option<(String, &'static str)> {
    Some(match lead {
        Lead::Guide { method } => (guide_address(job, method), "Lead me through it"),
        Lead::Guides => (address(job, "set"), "Ways to read"),
        Lead::Alignment => (address(job, "set"), "How the wheels stand"),
        Lead::Keep => (address(job, "set"), "Set"),
        Lead::Height => (address(job, "height"), "Heights"),
        Lead::Ledger => (address(job, "ledger"), "Ledger"),
        Lead::Look => (address(job, "look"), "Look at it"),
        Lead::Place { method, .. } => (guide_address(job, method), "Read it"),
        Lead::Value { item, .. } => (car::fill_in_address(job, item), "Write it in"),
        Lead::Row { action } => (step_address(job, action), "Do this"),
        Lead::Check { job, .. } => (address(job, "prove"), "See that job"),
        Lead::Jobs => ("/".to_owned(), "Jobs"),
        Lead::StartJob => ("/start".to_owned(), "Start a job"),
        Lead::Axle { .. }
        | Lead::Correct { .. }
        | Lead::Turned
        | Lead::Sessions
        | Lead::JobName
        | Lead::Parts
        | Lead::CarCheck
        | Lead::FileName
        | Lead::FileNameOrOver
        | Lead::Over
        | Lead::Folder
        | Lead::GarageCheck
        | Lead::Backup
        | Lead::Restore
        | Lead::AlthoughChanged => return None,
    })
}
