//! Letting a further device in, from one that is in already: a code to scan, good once and for ten minutes.
//!
//! A code is made by a form (the guard wants its Origin to be ours), never by looking at a page.

use crate::app::Shared;
use crate::choices::Choices;
use crate::pages::shell::{Frame, page};
use crate::phone::AppWay;
use crate::problem::Problem;
use axlestand_garage::devices::way_in;
use axlestand_garage::qr_svg;
use axum::Extension;
use axum::extract::{ConnectInfo, State};
use axum::http::StatusCode;
use maud::{Markup, PreEscaped, html};
use std::net::SocketAddr;

/// What the page shows.
pub(crate) struct LetIn<'a> {
    /// Where devices come in; none where only this machine may come.
    pub(crate) address: Option<&'a str>,
    /// The app over https, where it is served.
    pub(crate) app: Option<&'a AppWay>,
    /// The secret that was made just now.
    pub(crate) secret: Option<&'a str>,
}

impl<'a> LetIn<'a> {
    fn of(app: &'a Shared, secret: Option<&'a str>) -> Self {
        let plain = app.doors.address.as_deref();
        let address = app.way.as_ref().map(|way| way.address.as_str()).or(plain);
        Self { address, app: app.way.as_ref(), secret }
    }
}

/// Offers to make a code.
pub(crate) async fn let_in(State(app): State<Shared>, choices: Choices) -> Markup {
    let_in_page(&LetIn::of(&app, None), choices)
}

/// Makes a code and shows it.
pub(crate) async fn make_code(
    State(app): State<Shared>,
    peer: Option<Extension<ConnectInfo<SocketAddr>>>,
    choices: Choices,
) -> Result<Markup, Problem> {
    if app.doors.address.is_none() {
        let text = "This garage is served to this machine alone, so no code would let anybody in.";
        let hint = "Serve it to the home network first: axlestand serve --lan.";
        return Err(Problem::new(StatusCode::CONFLICT, "Only this machine", text, hint));
    }
    if !app.doors.codes.allows(peer.map(|Extension(ConnectInfo(from))| from.ip())) {
        let text = "Too many codes were made in this minute.";
        return Err(Problem::new(StatusCode::TOO_MANY_REQUESTS, "Too fast", text, "Wait a minute."));
    }
    let secret = app.record(None, axlestand_garage::Garage::pairing_secret).await?;
    Ok(let_in_page(&LetIn::of(&app, Some(&secret)), choices))
}

pub(crate) fn let_in_page(shown: &LetIn<'_>, choices: Choices) -> Markup {
    let body = html! {
        h1 { "Let a device in" }
        @match (shown.address, shown.secret) {
            (None, _) => {
                p { "This garage is served to this machine alone. Serve it to the home network, and phones can come in: " code { "axlestand serve --lan" } "." }
            },
            (Some(_), None) => {
                p { "A code lets one device in, once, within ten minutes. Whoever scans it can see and change everything here: show it to nobody else." }
                form method="post" action="/let-in" { button.big type="submit" { "Show a code" } }
            },
            (Some(address), Some(secret)) => (code(address, secret, shown.app)),
        }
        p { a.button href="/devices" { "Devices" } }
    };
    page(&Frame { title: "Let a device in", head: None, here: "", choices }, &body)
}

fn code(address: &str, secret: &str, app: Option<&AppWay>) -> Markup {
    html! {
        @if let Some(app) = app {
            p { "A phone that was not here before first gets the certificate and is told to trust it: " code { (app.guide) } }
            p { "Its fingerprint (SHA-256), which the phone has to show as well:" }
            p { code.fingerprint { (app.fingerprint) } }
        }
        p { "Scan it with the other device’s camera: good once, for ten minutes." }
        @if let Some(picture) = qr_svg(&way_in(address, secret)) { div.qr { (PreEscaped(picture)) } }
        details {
            summary { "No camera? Type it" }
            p { "Open " code { (address) "/pair" } " on it and type this code:" }
            p { code.fingerprint { (secret) } }
        }
        @if app.is_none() { p.quiet { "Over plain http others in the same network can read along. Use a network that you trust." } }
        form method="post" action="/let-in" { button type="submit" { "Another code" } }
    }
}
