//! How a phone is told to trust the certificate, in plain words; and the certificate itself.

use super::AppWay;
use crate::app::Shared;
use crate::choices::Choices;
use crate::pages::shell::{Frame, page};
use crate::problem::Problem;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse as _, Response};
use maud::{Markup, html};

pub(crate) async fn guide(State(app): State<Shared>, choices: Choices) -> Result<Markup, Problem> {
    let way = app
        .way
        .as_ref()
        .ok_or_else(|| Problem::not_here("the app is not switched on: axlestand serve --lan --app"))?;
    Ok(guide_page(way, choices))
}

/// The authority's certificate, as phones take it.
pub(crate) async fn authority_file(State(app): State<Shared>) -> Result<Response, Problem> {
    let way = app
        .way
        .as_ref()
        .ok_or_else(|| Problem::not_here("the app is not switched on: axlestand serve --lan --app"))?;
    let headers = [
        (header::CONTENT_TYPE, "application/x-x509-ca-cert"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"axlestand-ca.crt\""),
    ];
    Ok((headers, way.authority.clone()).into_response())
}

pub(crate) fn guide_page(way: &AppWay, choices: Choices) -> Markup {
    let body = html! {
        h1 { "The app on this phone" }
        p { "Do this once on each phone. Then the garage opens from the home screen, with or without a signal, and the screen stays on while you work." }
        h2 { "1 Get the certificate" }
        p { a.button href="/phone/axlestand-ca.crt" { "The certificate" } }
        p { "Compare these pairs of characters with those that the computer shows. If they differ, stop: somebody may be in between." }
        p { code { (way.fingerprint) } }
        p.quiet { "It can vouch only for addresses of a home network and for the one name of this computer, for nothing on the internet." }
        h2 { "2 Tell the phone to trust it" }
        p.quiet { "The names below were not tried on every phone and change from version to version. Where one is missing, search the phone’s settings for “certificate”." }
        h3 { "Android" }
        ol {
            li { "Settings: search for “CA certificate” (under Security, Encryption and credentials, Install a certificate)." }
            li { "Choose “CA certificate”, read the warning, “Install anyway”, and pick axlestand-ca.crt from the downloads." }
            li { "Use Chrome. Firefox does not take it without a hidden setting." }
        }
        h3 { "iPhone, iPad" }
        ol {
            li { "Use Safari for this page and allow the download of the profile." }
            li { "Settings: “Profile Downloaded” at the top, Install." }
            li { "Settings, General, About, Certificate Trust Settings: switch on full trust for it. Without this step it does not work." }
        }
        h2 { "3 Open the app" }
        p { a.button href=(format!("{}/pair", way.address)) { "Open " (way.address) } }
        p { "If the browser shows a warning there, step 2 is not done: go back, do not click through it." }
        p { "Let the phone in with the second code that the computer shows. Then choose “Add to home screen” or “Install” in the browser’s menu." }
        p.quiet { "To undo this later, delete the certificate in the same settings of the phone." }
    };
    page(&Frame { title: "The app on this phone", head: None, here: "", choices }, &body)
}
