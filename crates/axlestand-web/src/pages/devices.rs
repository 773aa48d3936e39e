//! Devices that may come in, and shutting one out.

use super::piece;
use super::shell::{Frame, page};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::DeviceView;
use axum::extract::{Path, State};
use axum::response::Redirect;
use maud::{Markup, html};

pub(crate) async fn devices(State(app): State<Shared>, choices: Choices) -> Result<Markup, Problem> {
    let devices = app.garage(None, |garage| garage.devices()).await?;
    Ok(devices_page(&devices, choices))
}

/// Shuts a device out.
pub(crate) async fn shut(State(app): State<Shared>, Path(id): Path<String>) -> Result<Redirect, Problem> {
    app.garage(None, move |garage| garage.shut_out(&id).map(|_| ())).await?;
    Ok(Redirect::to("/devices"))
}

pub(crate) fn devices_page(devices: &[DeviceView], choices: Choices) -> Markup {
    let body = html! {
        h1 { "Devices" }
        p.quiet { "This machine itself may always come in. Others are let in by a code that they scan." }
        p { a.button href="/let-in" { "Let a device in" } }
        @if devices.is_empty() { p { "No other device was let in yet." } }
        ul.devices {
            @for device in devices {
                li {
                    p { strong { (device.name) } ", let in " (device.paired.get(..16).unwrap_or(&device.paired).replace('T', " ")) }
                    @match &device.shut {
                        Some(at) => p.state { "shut out " (at.get(..16).unwrap_or(at).replace('T', " ")) },
                        None => form method="post" action=(format!("/devices/{}", piece(&device.id))) { button type="submit" { "Shut it out" } },
                    }
                }
            }
        }
    };
    page(&Frame { title: "Devices", head: None, here: "", choices }, &body)
}
