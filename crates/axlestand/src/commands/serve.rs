//! The garage app: serving it, and the devices that may use it.

use super::{MakeClock, demo, garage};
use crate::arguments::Cli;
use crate::output::{Failure, Output};
use crate::serve_arguments::{DevicesArgs, DevicesCommand, PORT, ServeArgs};
use axlestand_garage::devices::way_in;
use axlestand_garage::served::ServedAt;
use axlestand_garage::{Garage, SystemClock, qr_text};
use axlestand_web::{AppWay, AsApp, Lan, Pairing, Serving, own_address};
use serde_json::json;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Serves the garage app until the program is stopped.
pub(super) fn serve(cli: &Cli, args: &ServeArgs, output: &mut Output<'_>) -> Result<bool, Failure> {
    let folder = if args.demo { demo::half_done()? } else { cli.garage.clone() };
    let lan = lan(args)?;
    // Made where there is none, so that the first job can be started in the app.
    let mut garage = Garage::open_or_create(&folder, Box::new(SystemClock))?;
    let secret = lan.map(|_| garage.pairing_secret()).transpose()?;
    let before = garage.served_at()?;
    let port = args.port.or(before.port).unwrap_or(PORT);
    let serving = Serving {
        folder: folder.clone(),
        units: cli.units(),
        clock: Arc::new(|| Box::new(SystemClock)),
        port,
        lan,
        app: args.app.then(|| as_app(args, port, &before)).transpose()?,
    };
    let app_port = serving.app.as_ref().map(|app| app.port);
    let mut said = Ok(());
    axlestand_web::serve(serving, |pairing| {
        let now = ServedAt {
            // Any free port is meant for once.
            port: if port == 0 { before.port } else { Some(port) },
            app_port: app_port.or(before.app_port),
            address: lan.map(|_| pairing.app.as_ref().map_or(&pairing.address, |app| &app.address).clone()),
        };
        // Where it cannot be remembered, it is served all the same; whatever is recorded says why.
        let _ = garage.keep_served_at(&now);
        said = tell(&folder, args.demo, pairing, secret.as_deref(), output)
            .and_then(|()| tell_moved(&before, &now, output));
    })?;
    said?;
    Ok(true)
}

/// Where the certificates of the app are kept: with the user, not with the garage, which is copied and
/// shared.
fn as_app(args: &ServeArgs, port: u16, before: &ServedAt) -> Result<AsApp, Failure> {
    let variable = |name: &str| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    let config = variable("XDG_CONFIG_HOME")
        .or_else(|| variable("APPDATA"))
        .or_else(|| variable("HOME").map(|home| home.join(".config")));
    let folder = args
        .certificates
        .clone()
        .or_else(|| config.map(|config| config.join("axlestand").join("certificates")))
        .ok_or_else(|| Failure::Usage("say where to keep certificates: --certificates DIR".to_owned()))?;
    let port = args.app_port.or(before.app_port).or_else(|| port.checked_add(1));
    let port = port.ok_or_else(|| Failure::Usage("give the https port: --app-port 7718".to_owned()))?;
    // Where the system has no such file, the machine goes by a usual name.
    let host = std::fs::read_to_string("/proc/sys/kernel/hostname").unwrap_or_default();
    Ok(AsApp { folder, host, port })
}

/// Says where the app answers and how a device comes in.
fn tell(
    folder: &Path,
    demo: bool,
    pairing: &Pairing,
    secret: Option<&str>,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    let own = format!("http://localhost:{}", pairing.port);
    if output.is_json() {
        let at = pairing.app.as_ref().map_or(&pairing.address, |app| &app.address);
        let code = secret.map(|secret| way_in(at, secret));
        let app = pairing
            .app
            .as_ref()
            .map(|app| json!({ "address": app.address, "guide": app.guide, "fingerprint": app.fingerprint }));
        output.json(&json!({ "address": own, "garage": folder, "pair": code, "app": app }))?;
        return output.flush();
    }
    output.line(format!("The garage app: {own}"))?;
    output.line(format!(
        "  garage: {}{}",
        folder.display(),
        if demo { " (invented, half done)" } else { "" }
    ))?;
    if let (Some(secret), Some(app)) = (secret, &pairing.app) {
        tell_app(app, output)?;
        tell_way_in(&app.address, secret, output)?;
    } else if let Some(secret) = secret {
        tell_way_in(&pairing.address, secret, output)?;
        output.line(
            "  over plain http others on the same network can read along: use a network that you trust",
        )?;
    } else {
        output.line("  for this machine alone; a phone on the same network: axlestand serve --lan")?;
    }
    output.line("  stop it with Ctrl-C; what was recorded is safe")?;
    output.flush()
}

/// Another port than the one before: phones do not see there what they keep.
fn tell_moved(before: &ServedAt, now: &ServedAt, output: &mut Output<'_>) -> Result<(), Failure> {
    let moved = |was: Option<u16>, is: Option<u16>| was.filter(|_| was != is);
    let Some(was) = moved(before.port, now.port).or(moved(before.app_port, now.app_port)) else {
        return Ok(());
    };
    if output.is_json() {
        return Ok(());
    }
    output.line(format!(
        "  caution: it was served on port {was} before. What a phone has not sent yet waits there: serve it on that port once more, or hand it over as a file"
    ))?;
    output.flush()
}

fn tell_app(app: &AppWay, output: &mut Output<'_>) -> Result<(), Failure> {
    output.line("")?;
    output.line("Once on each phone: scan this, get the certificate there, tell the phone to trust it.")?;
    tell_code(&app.guide, output)?;
    output.line(format!("Or open {}. The certificate's fingerprint (SHA-256):", app.guide))?;
    output.line(format!("  {}", app.fingerprint))
}

/// A code to scan. On a terminal it is black on white whatever the terminal's own tones are: an inverted
/// code is not read by every phone.
fn tell_code(text: &str, output: &mut Output<'_>) -> Result<(), Failure> {
    for line in qr_text(text).lines() {
        if output.colour() {
            // 16 and 231 of the 256 colours are black and white in every scheme.
            output.line(format!("\x1b[38;5;16;48;5;231m{line}\x1b[0m"))?;
        } else {
            output.line(line)?;
        }
    }
    output.line("")
}

fn tell_way_in(address: &str, secret: &str, output: &mut Output<'_>) -> Result<(), Failure> {
    output.line("")?;
    output.line("Let a phone in: scan this with its camera, within ten minutes, once.")?;
    tell_code(&way_in(address, secret), output)?;
    output.line(format!("Or open {address}/pair and type the code: {secret}"))?;
    output.line("  another device: axlestand devices pair; shut one out: axlestand devices shut-out NAME")
}

/// Where devices of the home network come, and where it answers.
fn lan(args: &ServeArgs) -> Result<Option<Lan>, Failure> {
    let Some(given) = args.lan else { return Ok(None) };
    let every = |told: IpAddr| match told {
        IpAddr::V4(_) => IpAddr::from(Ipv4Addr::UNSPECIFIED),
        IpAddr::V6(_) => IpAddr::from(Ipv6Addr::UNSPECIFIED),
    };
    Ok(Some(match given {
        Some(at) if at.is_unspecified() => Lan { told: address()?, at },
        given => {
            let told = given.map_or_else(address, Ok)?;
            Lan { told, at: if args.everywhere { every(told) } else { told } }
        }
    }))
}

/// This machine's address in its network.
fn address() -> Result<IpAddr, Failure> {
    own_address().ok_or_else(|| {
        Failure::Usage(
            "this machine's address on the home network was not found: give it, like --lan 192.168.1.20"
                .to_owned(),
        )
    })
}

/// Lists devices, lets one in, shuts one out.
pub(super) fn devices(
    cli: &Cli,
    args: &DevicesArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let mut garage = garage(cli, clock)?;
    match &args.command {
        None | Some(DevicesCommand::List) => list(&garage, output),
        Some(DevicesCommand::Pair) => {
            let secret = garage.pairing_secret()?;
            let served = garage.served_at()?;
            let is_served = served.address.is_some();
            let address = match served.address {
                Some(address) => address,
                None => format!("http://{}:{}", address()?, served.port.unwrap_or(PORT)),
            };
            if output.is_json() {
                output.json(&json!({ "pair": way_in(&address, &secret) }))?;
            } else {
                tell_way_in(&address, &secret, output)?;
                if !is_served {
                    output.line("  it answers there only while it is served: axlestand serve --lan")?;
                }
            }
            Ok(true)
        }
        Some(DevicesCommand::ShutOut { device }) => {
            let device = garage.shut_out(device)?;
            if output.is_json() {
                output.json(&device)?;
            } else {
                output.line(format!("Shut out: {}.", device.name))?;
            }
            Ok(true)
        }
    }
}

fn list(garage: &Garage, output: &mut Output<'_>) -> Result<bool, Failure> {
    let devices = garage.devices()?;
    if output.is_json() {
        output.json(&devices)?;
        return Ok(true);
    }
    if devices.is_empty() {
        output.line("No device was let in yet: axlestand serve --lan shows the way in.")?;
    }
    for device in devices {
        let id = device.id.get(..8).unwrap_or(&device.id);
        let at = device.paired.get(..16).unwrap_or(&device.paired).replace('T', " ");
        let shut = device.shut.as_ref().map_or("", |_| "  (shut out)");
        output.line(format!("{id}  {}  let in {at}{shut}", device.name))?;
    }
    Ok(true)
}

#[cfg(test)]
mod tests {
    use super::lan;
    use crate::arguments::{Cli, Command};
    use clap::Parser as _;

    /// Told address and where it answers; addresses of documentation (RFC 5737, RFC 3849).
    fn of(arguments: &[&str]) -> Option<[String; 2]> {
        let cli = Cli::try_parse_from([&["axlestand", "serve"], arguments].concat()).unwrap();
        let Command::Serve(args) = cli.command else { panic!("{arguments:?}") };
        lan(&args).unwrap().map(|lan| [lan.told.to_string(), lan.at.to_string()])
    }

    #[test]
    fn every_address_answers_only_where_that_is_asked_for() {
        assert_eq!(of(&[]), None);
        let pair = |told: &str, at: &str| Some([told.to_owned(), at.to_owned()]);
        assert_eq!(of(&["--lan", "192.0.2.7"]), pair("192.0.2.7", "192.0.2.7"));
        assert_eq!(of(&["--lan", "192.0.2.7", "--everywhere"]), pair("192.0.2.7", "0.0.0.0"));
        assert_eq!(of(&["--lan", "2001:db8::7", "--everywhere"]), pair("2001:db8::7", "::"));
        assert!(Cli::try_parse_from(["axlestand", "serve", "--everywhere"]).is_err());
    }
}
