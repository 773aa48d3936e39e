//! How this device wants it: look, hand, units; and the way to what is needed seldom.

use super::shell::{Frame, page};
use crate::choices::{Choices, Look};
use axlestand_garage::Units;
use axum::Form;
use axum::http::{HeaderValue, header};
use axum::response::{AppendHeaders, IntoResponse, Redirect};
use maud::{Markup, html};
use serde::Deserialize;

/// What the form says.
#[derive(Debug, Deserialize)]
pub(crate) struct Wanted {
    look: String,
    hand: String,
    units: String,
}

pub(crate) async fn settings(choices: Choices) -> Markup {
    settings_page(choices)
}

/// Keeps the choices in cookies of this device.
pub(crate) async fn keep(Form(wanted): Form<Wanted>) -> impl IntoResponse {
    let look = Look::of(&wanted.look).word();
    let hand = if wanted.hand == "left" { "left" } else { "right" };
    let units = if wanted.units == "inch" { "inch" } else { "metric" };
    let set = [("look", look), ("hand", hand), ("units", units)].map(|(name, value)| {
        let cookie = format!("{name}={value}; SameSite=Strict; Path=/; Max-Age=31536000");
        (header::SET_COOKIE, HeaderValue::from_str(&cookie).unwrap_or(HeaderValue::from_static("")))
    });
    (AppendHeaders(set), Redirect::to("/settings"))
}

pub(crate) fn settings_page(choices: Choices) -> Markup {
    let inch = choices.units == Some(Units::Inch);
    let body = html! {
        h1 { "More" }
        p { a.button href="/" { "Jobs" } " " a.button href="/devices" { "Devices" } " " a.button href="/let-in" { "Let a device in" } " " a.button href="/cars" { "Cars" } " " a.button href="/start" { "Start a job" } " " a.button href="/calc" { "Calculators" } }
        form.settings method="post" action="/settings" {
            fieldset { legend { "Look" }
                @for (look, word, title) in Look::ALL {
                    label.switch { input type="radio" name="look" value=(word) checked[look == choices.look]; span { (title) } }
                }
            }
            fieldset { legend { "Hand" }
                label.switch { input type="radio" name="hand" value="right" checked[!choices.left_hand]; span { "Right" } }
                label.switch { input type="radio" name="hand" value="left" checked[choices.left_hand]; span { "Left" } }
            }
            fieldset { legend { "Units first" }
                label.switch { input type="radio" name="units" value="metric" checked[!inch]; span { "mm, N·m" } }
                label.switch { input type="radio" name="units" value="inch" checked[inch]; span { "inch, lb·ft" } }
            }
            button.big type="submit" { "Keep" }
        }
    };
    page(&Frame { title: "More", head: None, here: "", choices }, &body)
}
