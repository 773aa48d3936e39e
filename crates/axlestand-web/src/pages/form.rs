//! Forms that record something.

use super::address;
use axlestand_garage::new_id;
use maud::{Markup, html};

/// A form that records something in a job: `what` is the command. It carries an id of its own, so
/// that pressing twice records once.
pub(crate) fn entry(job: &str, what: &str, inner: &Markup) -> Markup {
    form(job, what, None, inner)
}

/// The same, where its button stands elsewhere on the page and names it by `name`.
pub(crate) fn named_entry(job: &str, what: &str, name: &str, inner: &Markup) -> Markup {
    form(job, what, Some(name), inner)
}

fn form(job: &str, what: &str, name: Option<&str>, inner: &Markup) -> Markup {
    // Without chance there is no id: the server then makes one, and pressing twice is not noticed.
    let id = new_id().unwrap_or_default();
    html! {
        form.entry id=[name] method="post" action=(address(job, "entry")) data-entry=(what) {
            input type="hidden" name="id" value=(id);
            input type="hidden" name="do" value=(what);
            (inner)
        }
    }
}

/// A hidden field.
pub(crate) fn hidden(name: &str, value: &str) -> Markup {
    html! { input type="hidden" name=(name) value=(value); }
}

/// A line of text to fill in.
pub(crate) fn line(label: &str, name: &str, hint: &str, required: bool) -> Markup {
    html! {
        label { span { (label) } input name=(name) placeholder=(hint) autocomplete="off" required[required]; }
    }
}

/// Numbers to fill in: on a phone a number pad with a sign and a point.
pub(crate) fn number(label: &str, name: &str, hint: &str) -> Markup {
    number_kept(label, name, hint, "")
}

/// The same with what was typed before.
pub(crate) fn number_kept(label: &str, name: &str, hint: &str, typed: &str) -> Markup {
    let typed = Some(typed).filter(|typed| !typed.is_empty());
    html! {
        label { span { (label) } input name=(name) value=[typed] placeholder=(hint) inputmode="decimal" autocomplete="off"; }
    }
}
