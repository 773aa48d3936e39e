//! Starting and stopping.

use crate::access::Doors;
use crate::app::App;
use crate::kept::Sets;
use crate::live::Live;
use crate::routes::routes;
use axlestand_garage::{Clock, GarageError, Units};
use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;
use tokio::net::TcpListener;

/// Makes the clock of a garage.
pub type MakeClock = Arc<dyn Fn() -> Box<dyn Clock> + Send + Sync>;

/// What is served, and to whom.
pub struct Serving {
    /// The garage's folder.
    pub folder: PathBuf,
    /// Which units come first where a device did not choose.
    pub units: Units,
    /// The clock.
    pub clock: MakeClock,
    /// The port; 0 takes any free one.
    pub port: u16,
    /// This machine's address in the home network, where other devices may come; only this machine
    /// itself if absent.
    pub lan: Option<IpAddr>,
}

/// How a device comes in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pairing {
    /// Where the app answers: `http://192.168.1.20:7717`.
    pub address: String,
    /// The port.
    pub port: u16,
}

/// Why it cannot be served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The port is taken.
    #[error(
        "port {0} is taken: another axlestand is running, or another program; phones keep what is not sent yet under this port, so no other one is taken by itself. End the other program, or choose a port with --port and use that one from now on"
    )]
    Taken(u16),
    /// The port cannot be opened.
    #[error("port {port} cannot be opened: {why}")]
    Closed {
        /// The port.
        port: u16,
        /// Why.
        why: std::io::Error,
    },
    /// The server failed.
    #[error("the server stopped: {0}")]
    Failed(std::io::Error),
    /// The garage cannot be used.
    #[error(transparent)]
    Garage(#[from] GarageError),
}

/// Serves a garage until the program is told to stop (SIGINT, SIGTERM). `started` is told where it
/// answers, once it does.
///
/// # Errors
/// [`ServeError`] where the port cannot be opened or the server fails.
pub fn serve(serving: Serving, started: impl FnOnce(&Pairing)) -> Result<(), ServeError> {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
    runtime.map_err(ServeError::Failed)?.block_on(answer(serving, started))
}

async fn answer(serving: Serving, started: impl FnOnce(&Pairing)) -> Result<(), ServeError> {
    let host = if serving.lan.is_some() { IpAddr::from([0, 0, 0, 0]) } else { IpAddr::from([127, 0, 0, 1]) };
    let listener = TcpListener::bind((host, serving.port)).await.map_err(|why| match why.kind() {
        std::io::ErrorKind::AddrInUse => ServeError::Taken(serving.port),
        _ => ServeError::Closed { port: serving.port, why },
    })?;
    let port = listener.local_addr().map_err(ServeError::Failed)?.port();
    let pairing = Pairing { address: format!("http://{}:{port}", shown(serving.lan)), port };
    let service = app(serving, port).into_make_service_with_connect_info::<SocketAddr>();
    started(&pairing);
    // What was acknowledged is durable, so that nothing has to be waited for at the end.
    tokio::select! {
        served = axum::serve(listener, service) => served.map_err(ServeError::Failed),
        () = told_to_stop() => Ok(()),
    }
}

/// The app without a socket, as it answers on `port`. Who asks stands in the request's extensions as
/// `ConnectInfo<SocketAddr>`; without that it counts as a device that was not let in.
pub fn app(serving: Serving, port: u16) -> axum::Router {
    routes(Arc::new(App {
        sets: Sets::default(),
        as_app: false,
        live: Live::watch(serving.folder.clone(), Arc::clone(&serving.clock)),
        folder: serving.folder,
        units: serving.units,
        clock: serving.clock,
        doors: Doors::new(port, serving.lan),
    }))
}

/// An address as it stands in a URL.
fn shown(lan: Option<IpAddr>) -> String {
    match lan {
        None => "127.0.0.1".to_owned(),
        Some(IpAddr::V4(v4)) => v4.to_string(),
        Some(IpAddr::V6(v6)) => format!("[{v6}]"),
    }
}

async fn told_to_stop() {
    let interrupted = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut terminated) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = interrupted => {}
                _ = terminated.recv() => {}
            }
            return;
        }
    }
    let _ = interrupted.await;
}
