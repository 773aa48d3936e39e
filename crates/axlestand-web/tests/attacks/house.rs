//! A garage with a job, served without a socket, and who asks.

use axlestand_garage::delivery::Command;
use axlestand_garage::views::log;
use axlestand_garage::{Clock, Garage, NoRandom, StartJob, SystemClock, Units};
use axlestand_web::{Lan, Serving, app};
use axum::Router;
use axum::body::Body;
use axum::extract::ConnectInfo;
use axum::http::{HeaderMap, Method, Request, StatusCode};
use http_body_util::BodyExt as _;
use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};
use tempfile::TempDir;
use tower::ServiceExt as _;

pub(crate) const HOST: &str = "192.168.1.20:7717";
pub(crate) const ORIGIN: &str = "http://192.168.1.20:7717";
/// What no device that was not let in may see.
pub(crate) const PRIVATE: [&str; 4] = ["private-job", "Wagtail", "control arm", "a note for nobody else"];
/// Script and markup as somebody might type it.
pub(crate) const SCRIPT: &str = "\"'><img src=x onerror=alert(1)><script>alert(2)</script>";

/// A clock whose minutes the test moves.
struct Moved(Arc<AtomicU32>);

impl Clock for Moved {
    fn now(&mut self) -> String {
        let minutes = self.0.load(Ordering::Relaxed);
        format!("2026-05-02T{:02}:{:02}:00+00:00", 8 + minutes / 60, minutes % 60)
    }

    fn new_id(&mut self) -> Result<String, NoRandom> {
        SystemClock.new_id()
    }
}

pub(crate) struct House {
    folder: TempDir,
    app: Router,
    minutes: Arc<AtomicU32>,
}

/// Who asks for what.
pub(crate) struct Asked {
    pub(crate) peer: &'static str,
    pub(crate) method: Method,
    pub(crate) path: String,
    pub(crate) headers: Vec<(&'static str, String)>,
    pub(crate) body: Vec<u8>,
}

pub(crate) struct Reply {
    pub(crate) status: StatusCode,
    pub(crate) headers: HeaderMap,
    pub(crate) text: String,
}

impl House {
    pub(crate) fn new() -> Self {
        Self::named("private-job", |car| car)
    }

    /// A house with a job of that name, whose vehicle file was changed.
    pub(crate) fn named(job: &str, change: impl FnOnce(String) -> String) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let minutes = Arc::new(AtomicU32::new(0));
        let car = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../cars/wagtail.toml");
        let own = folder.path().join("car.toml");
        std::fs::write(&own, change(std::fs::read_to_string(car).unwrap())).unwrap();
        let mut garage =
            Garage::open_or_create(folder.path(), Box::new(Moved(Arc::clone(&minutes)))).unwrap();
        let replace = vec!["control-arm.left".to_owned()];
        let start =
            StartJob { car: own, replace, name: Some(job.to_owned()), rust: 2, ..StartJob::default() };
        garage.start_job(&start).unwrap();
        garage.note(None, "a note for nobody else").unwrap();
        let clock = Arc::clone(&minutes);
        let home = IpAddr::from([192, 168, 1, 20]);
        let serving = Serving {
            app: None,
            folder: folder.path().to_owned(),
            units: Units::Metric,
            clock: Arc::new(move || Box::new(Moved(Arc::clone(&clock)))),
            port: 7717,
            lan: Some(Lan { told: home, at: home }),
        };
        Self { folder, app: app(serving, 7717), minutes }
    }

    pub(crate) fn wait_minutes(&self, minutes: u32) {
        self.minutes.fetch_add(minutes, Ordering::Relaxed);
    }

    pub(crate) fn garage(&self) -> Garage {
        Garage::open(self.folder.path(), Box::new(Moved(Arc::clone(&self.minutes))), None).unwrap()
    }

    /// How many entries the ledger has.
    pub(crate) fn entries(&self) -> usize {
        log(&self.garage().job().unwrap()).len()
    }

    /// How many files lie in the folder of photos.
    pub(crate) fn photos(&self) -> usize {
        std::fs::read_dir(self.folder.path().join("photos")).map_or(0, Iterator::count)
    }

    pub(crate) fn record(&self, command: &Command) {
        self.garage().carry_out(command).unwrap();
    }

    pub(crate) async fn ask(&self, asked: Asked) -> Reply {
        let name = format!("{} {}", asked.method, asked.path.get(..80).unwrap_or(&asked.path));
        let mut request = Request::builder().method(asked.method).uri(&asked.path);
        for (header, value) in &asked.headers {
            request = request.header(*header, value.as_str());
        }
        let mut request = request.body(Body::from(asked.body)).unwrap();
        let peer = SocketAddr::new(asked.peer.parse().unwrap(), 50_000);
        request.extensions_mut().insert(ConnectInfo(peer));
        let answer = self.app.clone().oneshot(request).await.unwrap();
        let (parts, body) = answer.into_parts();
        let live = parts.headers.get("content-type").is_some_and(|kind| kind == "text/event-stream");
        let bytes = if live { Vec::new() } else { body.collect().await.unwrap().to_bytes().to_vec() };
        let text = String::from_utf8_lossy(&bytes).into_owned();
        assert!(!text.contains("The program failed"), "{name} broke a handler: {text}");
        assert_ne!(parts.status, StatusCode::INTERNAL_SERVER_ERROR, "{name}: {text}");
        Reply { status: parts.status, headers: parts.headers, text }
    }

    /// A page, asked for by the machine itself.
    pub(crate) async fn page(&self, path: &str) -> Reply {
        self.ask(Asked::own(Method::GET, path)).await
    }

    /// A form, sent by the machine itself from its own page.
    pub(crate) async fn form(&self, path: &str, fields: &[(&str, &str)]) -> Reply {
        self.ask(Asked { body: form(fields), ..Asked::own(Method::POST, path) }.with("content-type", FORM))
            .await
    }

    /// A queue's batch, sent by the machine itself.
    pub(crate) async fn json(&self, path: &str, body: impl Into<Vec<u8>>) -> Reply {
        let asked = Asked { body: body.into(), ..Asked::own(Method::POST, path) };
        self.ask(asked.with("content-type", "application/json")).await
    }
}

pub(crate) const FORM: &str = "application/x-www-form-urlencoded";

impl Asked {
    /// From the machine itself, with the Host and Origin of our own page.
    pub(crate) fn own(method: Method, path: &str) -> Self {
        let headers = vec![("host", HOST.to_owned()), ("origin", ORIGIN.to_owned())];
        Self { peer: "127.0.0.1", method, path: path.to_owned(), headers, body: Vec::new() }
    }

    /// From another device in the network.
    pub(crate) fn stranger(peer: &'static str, method: Method, path: &str) -> Self {
        Self { peer, ..Self::own(method, path) }
    }

    pub(crate) fn with(mut self, header: &'static str, value: &str) -> Self {
        self.headers.retain(|(name, _)| *name != header);
        self.headers.push((header, value.to_owned()));
        self
    }

    pub(crate) fn without(mut self, header: &str) -> Self {
        self.headers.retain(|(name, _)| *name != header);
        self
    }
}

/// Fields as a browser encodes them.
pub(crate) fn form(fields: &[(&str, &str)]) -> Vec<u8> {
    let encoded = |text: &str| {
        percent_encoding::utf8_percent_encode(text, percent_encoding::NON_ALPHANUMERIC).to_string()
    };
    let pairs = fields.iter().map(|(name, value)| format!("{}={}", encoded(name), encoded(value)));
    pairs.collect::<Vec<_>>().join("&").into_bytes()
}

/// Every address that routes.rs names, with its pieces filled in: as it stands there, and below the job.
pub(crate) fn addresses() -> Vec<String> {
    let source = include_str!("../../src/routes.rs");
    let routes: Vec<&str> =
        source.split(".route(\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert!(routes.len() >= 18, "routes.rs is written otherwise: {routes:?}");
    let filled = |route: &str| {
        let pieces = route.split('/').map(|piece| match piece {
            "{job}" => "private-job",
            "{item}" => "arm-front-bolt.left",
            "{stage}" => "refit",
            piece if piece.starts_with('{') => "0123",
            piece => piece,
        });
        pieces.collect::<Vec<_>>().join("/")
    };
    let all = routes.into_iter().map(filled);
    all.flat_map(|path| [format!("/job/private-job{path}"), path]).collect()
}
