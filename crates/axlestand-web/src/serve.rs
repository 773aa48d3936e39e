//! Starting and stopping.

use crate::access::{Doors, OverTls};
use crate::addresses::{is_of_all, own_addresses};
use crate::app::{App, Shared};
use crate::kept::Sets;
use crate::live::Live;
use crate::phone::{AppWay, Arrival, CertificateError, TlsListener, acceptor, certificate};
use crate::routes::routes;
use crate::sockets::Sockets;
use axlestand_garage::devices::fingerprint;
use axlestand_garage::{Clock, GarageError, Units};
use axum::extract::{ConnectInfo, Request};
use axum::middleware::{Next, from_fn};
use axum::response::Response;
use axum::serve::Listener as _;
use std::io::ErrorKind;
use std::net::IpAddr;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

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
    /// Where other devices of the home network may come; only this machine itself if absent.
    pub lan: Option<Lan>,
    /// Also as an app over https.
    pub app: Option<AsApp>,
}

/// Where devices of the home network come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lan {
    /// The address there that they are told.
    pub told: IpAddr,
    /// Where it answers: that address alone, or every address where this is an unspecified one (`0.0.0.0`).
    pub at: IpAddr,
}

/// What the app over https needs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AsApp {
    /// The folder in which this machine's certificates are kept.
    pub folder: PathBuf,
    /// This machine's name.
    pub host: String,
    /// The https port.
    pub port: u16,
}

/// How a device comes in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pairing {
    /// Where the app answers: `http://192.168.1.20:7717`.
    pub address: String,
    /// The port.
    pub port: u16,
    /// The app over https, where it is served.
    pub app: Option<AppWay>,
}

/// Why it cannot be served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The port is taken.
    #[error(
        "port {0} is taken: another axlestand is running, or another program; phones keep what is not sent yet under this port, so no other one is taken by itself. End the other program, or choose a port with --port and use that one from now on"
    )]
    Taken(u16),
    /// The address is not this machine's.
    #[error(
        "{address} is no address of this machine, so nothing can come in there; it has {}; where a container's host passes connections on, answer at every address: --everywhere",
        listed(ours)
    )]
    NotOurs {
        /// The address.
        address: IpAddr,
        /// Those that it has.
        ours: Vec<IpAddr>,
    },
    /// The port cannot be opened.
    #[error("port {port} cannot be opened: {why}")]
    Closed {
        /// The port.
        port: u16,
        /// Why.
        why: std::io::Error,
    },
    /// There is no certificate for the app.
    #[error(transparent)]
    Certificate(#[from] CertificateError),
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
    let listener = bind(serving.lan, serving.port).await?;
    let port = listener.local_addr().map_err(ServeError::Failed)?.port();
    let address = format!("http://{}:{port}", shown(serving.lan));
    let mut doors = Doors::new(port, serving.lan);
    let (encrypted, way) = match &serving.app {
        None => (None, None),
        Some(app) => {
            let (listener, way, name) = as_app(app, serving.lan, &address).await?;
            doors.also(app.port, serving.lan, &name);
            (Some(listener), Some(way))
        }
    };
    let app = running(serving, doors, way.clone());
    let plain_routes = routes(Arc::clone(&app)).layer(from_fn(arrived_plain));
    let plain = axum::serve(listener, plain_routes.into_make_service_with_connect_info::<Arrival>());
    started(&Pairing { address, port, app: way });
    let over_tls = async {
        match encrypted {
            None => std::future::pending().await,
            Some(listener) => {
                let routes = routes(app).layer(from_fn(arrived));
                axum::serve(listener, routes.into_make_service_with_connect_info::<Arrival>()).await
            }
        }
    };
    // What was acknowledged is durable, so that nothing has to be waited for at the end.
    tokio::select! {
        served = async { plain.await } => served.map_err(ServeError::Failed),
        served = over_tls => served.map_err(ServeError::Failed),
        () = told_to_stop() => Ok(()),
    }
}

/// The app without a socket, as it answers on `port`. Who asks stands in the request's extensions as
/// `ConnectInfo<SocketAddr>`; without that it counts as a device that was not let in.
pub fn app(serving: Serving, port: u16) -> axum::Router {
    let doors = Doors::new(port, serving.lan);
    routes(running(serving, doors, None))
}

fn running(serving: Serving, doors: Doors, way: Option<AppWay>) -> Shared {
    Arc::new(App {
        live: Live::watch(serving.folder.clone(), Arc::clone(&serving.clock)),
        sets: Sets::default(),
        turn: tokio::sync::Mutex::default(),
        way,
        folder: serving.folder,
        units: serving.units,
        clock: serving.clock,
        doors,
    })
}

async fn bind(lan: Option<Lan>, port: u16) -> Result<Sockets, ServeError> {
    let at = lan.map(|lan| lan.at);
    if let Some(address) = at.filter(|at| is_of_all(*at)) {
        return Err(ServeError::NotOurs { address, ours: own_addresses() });
    }
    Sockets::open(at, port).await.map_err(|why| match (why.kind(), at) {
        (ErrorKind::AddrInUse, _) => ServeError::Taken(port),
        (ErrorKind::AddrNotAvailable, Some(address)) => {
            ServeError::NotOurs { address, ours: own_addresses() }
        }
        _ => ServeError::Closed { port, why },
    })
}

/// Addresses to choose from.
fn listed(ours: &[IpAddr]) -> String {
    match ours {
        [] => "none in a network".to_owned(),
        [only] => format!("{only}: give that one"),
        several => {
            let names: Vec<String> = several.iter().map(ToString::to_string).collect();
            format!("{}: give one of them", names.join(", "))
        }
    }
}

/// Opens the https port: with its certificate, and what phones are told of it.
async fn as_app(
    app: &AsApp,
    lan: Option<Lan>,
    plain: &str,
) -> Result<(TlsListener, AppWay, String), ServeError> {
    let Some(IpAddr::V4(address)) = lan.map(|lan| lan.told) else {
        return Err(CertificateError::NotPrivate(shown(lan)).into());
    };
    #[expect(clippy::disallowed_methods, reason = "certificates go by the machine's clock, not the garage's")]
    let now = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_secs());
    let certificate = certificate(&app.folder, address, &app.host, now)?;
    let tcp = bind(lan, app.port).await?;
    let listener = TlsListener::new(tcp, acceptor(&certificate)?).map_err(ServeError::Failed)?;
    let way = AppWay {
        address: format!("https://{address}:{}", app.port),
        guide: format!("{plain}/phone"),
        fingerprint: fingerprint(&certificate.authority),
        authority: certificate.authority.to_vec(),
    };
    Ok((listener, way, certificate.name))
}

/// Marks from where a request came.
async fn arrived_plain(mut request: Request, next: Next) -> Response {
    if let Some(ConnectInfo(Arrival(from))) = request.extensions().get::<ConnectInfo<Arrival>>().copied() {
        request.extensions_mut().insert(ConnectInfo(from));
    }
    next.run(request).await
}

/// Marks a request that came over TLS, and from where.
async fn arrived(mut request: Request, next: Next) -> Response {
    if let Some(ConnectInfo(Arrival(from))) = request.extensions().get::<ConnectInfo<Arrival>>().copied() {
        request.extensions_mut().insert(ConnectInfo(from));
        request.extensions_mut().insert(OverTls);
    }
    next.run(request).await
}

/// An address as it stands in a URL.
fn shown(lan: Option<Lan>) -> String {
    match lan.map(|lan| lan.told) {
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
