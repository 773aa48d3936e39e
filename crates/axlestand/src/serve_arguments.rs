//! The command line of the garage app.

use clap::{Args, Subcommand};
use std::net::IpAddr;

/// The port that is used where none is given: phones keep what is not sent yet under it.
pub(crate) const PORT: u16 = 7717;

#[derive(Debug, Args)]
#[command(after_help = "axlestand serve --demo     an invented job, half done, to look around in\n\
    axlestand serve            this garage, for this machine alone\n\
    axlestand serve --lan      also for a phone on the same network: shows a QR code to scan\n\
    axlestand serve --lan --app      the phone's app, with a certificate that you tell it to trust\n\
    What is recorded is safe when the server is stopped (Ctrl-C) or the machine dies.")]
pub(crate) struct ServeArgs {
    /// Serve an invented job, half done, from a folder of its own.
    #[arg(long)]
    pub(crate) demo: bool,
    /// Let devices of the home network in, each by a code; give this machine's address there where
    /// it is not found by itself. 0.0.0.0 answers at every address of this machine.
    #[arg(long, value_name = "ADDRESS", num_args = 0..=1, value_parser = at_home)]
    pub(crate) lan: Option<Option<IpAddr>>,
    /// Answer at every address of this machine, whatever address is told: as where a container's host
    /// passes connections on.
    #[arg(long, requires = "lan")]
    pub(crate) everywhere: bool,
    /// Also as an app over https: it opens without a signal and keeps the screen on, once a phone
    /// trusts this machine's certificate; shows how.
    #[arg(long, requires = "lan")]
    pub(crate) app: bool,
    /// The port of the app over https, remembered too; the one after --port at first.
    #[arg(long, requires = "app", value_name = "PORT")]
    pub(crate) app_port: Option<u16>,
    /// Folder of this machine's certificates for the app.
    #[arg(long, requires = "app", value_name = "DIR", env = "AXLESTAND_CERTIFICATES")]
    pub(crate) certificates: Option<std::path::PathBuf>,
    /// The port; remembered for next time, 7717 at first. Stay with one: phones keep what is not sent
    /// yet under it. 0 takes any free one, for this time.
    #[arg(long)]
    pub(crate) port: Option<u16>,
}

/// An address at which devices of the home network can come in; an unspecified one stands for all.
fn at_home(given: &str) -> Result<IpAddr, String> {
    let address: IpAddr =
        given.parse().map_err(|_| "not an address; write it like 192.168.1.20".to_owned())?;
    let address = address.to_canonical();
    // RFC 4291, 2.5.6: good on one link only, so that a phone would have to name its own interface with it.
    let is_of_one_link = matches!(address, IpAddr::V6(v6) if v6.is_unicast_link_local());
    let is_broadcast = matches!(address, IpAddr::V4(v4) if v4.is_broadcast());
    let for_many =
        "it stands for many devices, not for this machine; give this machine's address, like 192.168.1.20";
    match address {
        _ if address.is_multicast() || is_broadcast => Err(for_many.to_owned()),
        _ if address.is_loopback() => Err(
            "this machine alone is reached there; leave out --lan for that, or give its address in the network"
                .to_owned(),
        ),
        _ if is_of_one_link => {
            Err("phones do not open an address of one link (fe80::); give another one of this machine".to_owned())
        }
        _ => Ok(address),
    }
}

#[derive(Debug, Args)]
pub(crate) struct DevicesArgs {
    #[command(subcommand)]
    pub(crate) command: Option<DevicesCommand>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum DevicesCommand {
    /// The devices that were let in.
    List,
    /// A new code to let one more device in, good once and for ten minutes.
    Pair,
    /// Shut a device out, by its name or the beginning of its id.
    ShutOut {
        /// Which.
        device: String,
    },
}
