//! The way in for a device: the QR code's secret against a secret of its own.

use super::{COOKIE, OverTls};
use crate::app::Shared;
use crate::choices::Choices;
use crate::pages::shell::{Frame, page};
use crate::problem::Problem;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::{Extension, Form};
use maud::{Markup, html};
use serde::Deserialize;

/// The page that a QR code opens. The secret stands behind `#`, so that it is in no log; the script
/// puts it into the form. Without script it is typed.
pub(crate) async fn pair_page(choices: Choices) -> Markup {
    let body = html! {
        h1 { "Let this device in" }
        p { "The computer that runs Axlestand shows a QR code and a code to type: " code { "axlestand serve --lan" } "." }
        form method="post" action="/pair" data-pair {
            label for="secret" { "Code" }
            input id="secret" name="secret" autocomplete="off" autocapitalize="off" spellcheck="false" required;
            label for="name" { "What this device is called" }
            input id="name" name="name" value="phone" maxlength="40" required;
            button.big type="submit" { "Let it in" }
        }
        p.quiet { "Over plain http, others on the same network can read along. Use a network that you trust." }
    };
    page(&Frame { title: "Pairing", head: None, here: "", choices }, &body)
}

/// What the form says.
#[derive(Debug, Deserialize)]
pub(crate) struct Shown {
    secret: String,
    name: String,
}

/// Lets a device in that shows a secret.
pub(crate) async fn pair(
    State(app): State<Shared>,
    tls: Option<Extension<OverTls>>,
    Form(shown): Form<Shown>,
) -> Result<Response, Problem> {
    let name = if shown.name.trim().is_empty() { "phone".to_owned() } else { shown.name };
    let secret = shown.secret.trim().to_lowercase();
    let paired = app.garage(None, move |garage| garage.pair(&secret, &name)).await?;
    let Some(paired) = paired else {
        return Err(Problem::new(
            StatusCode::FORBIDDEN,
            "This code does not let in",
            "The code is mistyped, was used already or is older than ten minutes.",
            "Show a new one: Let a device in, on a device that is in already.",
        ));
    };
    let cookie = format!(
        "{COOKIE}={}; HttpOnly; SameSite=Strict; Path=/; Max-Age=31536000{}",
        paired.secret,
        if tls.is_some() { "; Secure" } else { "" }
    );
    Ok(([(header::SET_COOKIE, cookie)], Redirect::to("/")).into_response())
}
