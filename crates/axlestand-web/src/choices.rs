//! What a device's user chose about the look: kept in plain cookies on that device.

use crate::app::Shared;
use axlestand_garage::Units;
use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use axum::http::{HeaderMap, header};
use std::convert::Infallible;

/// The choices of a device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Choices {
    /// `auto` (as the device is set), `paper`, `slate` or `outdoor`.
    pub(crate) look: Look,
    /// Buttons for the left hand.
    pub(crate) left_hand: bool,
    /// Which units come first; the server's own where the device did not choose.
    pub(crate) units: Option<Units>,
}

/// The ground of the pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Look {
    /// As the device is set.
    #[default]
    Auto,
    /// Ink on paper.
    Paper,
    /// Chalk on slate.
    Slate,
    /// Black on white, heavier: for bright sun.
    Outdoor,
}

impl Look {
    pub(crate) const ALL: [(Self, &'static str, &'static str); 4] = [
        (Self::Auto, "auto", "As the device is set"),
        (Self::Paper, "paper", "Light: ink on paper"),
        (Self::Slate, "slate", "Dark: chalk on slate"),
        (Self::Outdoor, "outdoor", "Outdoors: heavy black on white"),
    ];

    pub(crate) fn word(self) -> &'static str {
        Self::ALL.iter().find(|(look, ..)| *look == self).map_or("auto", |(_, word, _)| word)
    }

    pub(crate) fn of(word: &str) -> Self {
        Self::ALL.iter().find(|(_, w, _)| *w == word).map_or(Self::Auto, |(look, ..)| *look)
    }
}

impl Choices {
    pub(crate) fn of(headers: &HeaderMap) -> Self {
        Self {
            look: cookie(headers, "look").map_or(Look::Auto, Look::of),
            left_hand: cookie(headers, "hand") == Some("left"),
            units: match cookie(headers, "units") {
                Some("inch") => Some(Units::Inch),
                Some("metric") => Some(Units::Metric),
                _ => None,
            },
        }
    }

    /// The units shown first.
    pub(crate) fn units(self, app: &Shared) -> Units {
        self.units.unwrap_or(app.units)
    }
}

/// The value of a cookie.
pub(crate) fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let lines = headers.get_all(header::COOKIE).iter().filter_map(|line| line.to_str().ok());
    let mut pairs = lines.flat_map(|line| line.split(';')).filter_map(|pair| pair.trim().split_once('='));
    pairs.find(|(key, _)| *key == name).map(|(_, value)| value)
}

impl<S: Sync> FromRequestParts<S> for Choices {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Infallible> {
        Ok(Self::of(&parts.headers))
    }
}
