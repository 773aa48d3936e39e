//! How a hold stands, as people say it.

use axlestand_model::car::Hold;

/// `hub nut is out`, `wheel nuts are out`: several equal ones are spoken of as several.
pub(crate) fn phrase(hold: Hold<'_>, stands: &str) -> String {
    let is = if hold.count() > 1 { "are" } else { "is" };
    format!("{} {is} {stands}", hold.name())
}
