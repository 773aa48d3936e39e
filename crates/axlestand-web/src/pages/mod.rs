//! The pages, each from views of the garage.

pub(crate) mod assume;
pub(crate) mod calc;
pub(crate) mod car;
pub(crate) mod cars;
pub(crate) mod changes;
pub(crate) mod corner;
pub(crate) mod curves;
pub(crate) mod devices;
pub(crate) mod forecast;
pub(crate) mod form;
pub(crate) mod guide;
pub(crate) mod handover;
pub(crate) mod height;
pub(crate) mod home;
pub(crate) mod item;
pub(crate) mod lead;
pub(crate) mod learn;
pub(crate) mod ledger;
pub(crate) mod look;
pub(crate) mod open;
pub(crate) mod photo;
pub(crate) mod plain;
pub(crate) mod prepare;
pub(crate) mod prove;
pub(crate) mod report;
pub(crate) mod routes;
pub(crate) mod set;
pub(crate) mod settings;
pub(crate) mod sheets;
pub(crate) mod shell;
pub(crate) mod stage;
pub(crate) mod start;
pub(crate) mod words;
pub(crate) mod work;

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};

/// What stands as it is in a piece of an address.
const PLAIN: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'_').remove(b'.').remove(b'~');

/// A text as one piece of an address.
pub(crate) fn piece(text: &str) -> String {
    utf8_percent_encode(text, PLAIN).to_string()
}

/// The address of a job's page.
pub(crate) fn address(job: &str, rest: &str) -> String {
    format!("/job/{}/{rest}", piece(job))
}

/// The address of a step in the work view.
pub(crate) fn step_address(job: &str, step: &str) -> String {
    address(job, &format!("now?step={}", piece(step)))
}

/// The address of an item.
pub(crate) fn item_address(job: &str, item: &str) -> String {
    address(job, &format!("item/{}", piece(item)))
}
