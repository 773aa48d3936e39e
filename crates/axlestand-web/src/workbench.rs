//! The app on the invented car, for tests of pages: asked and answered as a browser without script does.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use crate::access::Doors;
use crate::app::{App, Shared};
use crate::live::Live;
use crate::routes::routes;
use axlestand_garage::{Clock, Garage, StartJob, SystemClock, Units};
use axum::body::Body;
use axum::extract::ConnectInfo;
use axum::http::{Request, Response, StatusCode, header};
use http_body_util::BodyExt as _;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::sync::Arc;
use tower::ServiceExt as _;

/// The invented car and its toolbox.
pub(crate) const CAR: &str = include_str!("../../../cars/wagtail.toml");
const TOOLBOX: &str = include_str!("../../../cars/toolbox.toml");
/// The job of [`Workbench::with_job`].
pub(crate) const JOB: &str = "wagtail";

/// A garage in a folder of its own with the app over it.
pub(crate) struct Workbench {
    /// Around the garage's folder, so that there is something outside of it.
    around: tempfile::TempDir,
    app: Shared,
}

/// What came back.
pub(crate) struct Answer {
    pub(crate) status: StatusCode,
    pub(crate) location: Option<String>,
    pub(crate) kind: String,
    pub(crate) name: String,
    pub(crate) bytes: Vec<u8>,
}

impl Answer {
    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.bytes).into_owned()
    }

    /// The page, which has to be one in whole: every tag that is opened is closed again.
    pub(crate) fn page(&self) -> String {
        let text = self.text();
        assert!(text.ends_with("</html>"), "{}: {text}", self.status);
        assert!(!text.contains(" style="), "a style that the policy forbids: {text}");
        text
    }
}

impl Workbench {
    /// A garage without a job; the car's file and the toolbox lie in it.
    pub(crate) fn empty() -> Self {
        let around = tempfile::tempdir().unwrap();
        let folder = around.path().join("garage");
        std::fs::create_dir(&folder).unwrap();
        std::fs::write(folder.join("wagtail.toml"), CAR).unwrap();
        std::fs::write(folder.join("toolbox.toml"), TOOLBOX).unwrap();
        let clock = || Box::new(SystemClock) as Box<dyn Clock>;
        Garage::open_or_create(&folder, clock()).unwrap();
        let app = App {
            turn: tokio::sync::Mutex::default(),
            folder: folder.clone(),
            units: Units::Metric,
            clock: Arc::new(clock),
            doors: Doors::new(7717, None),
            live: Live::watch(folder, Arc::new(clock)),
            sets: crate::kept::Sets::default(),
            way: None,
        };
        Self { around, app: Arc::new(app) }
    }

    /// A job to replace control arms and tie-rod ends, nothing done yet.
    pub(crate) fn with_job() -> Self {
        let bench = Self::empty();
        let mut garage = bench.garage();
        let start = StartJob {
            car: bench.path().join("wagtail.toml"),
            replace: vec!["control-arm".to_owned(), "tie-rod-end".to_owned()],
            rust: 3,
            toolbox: Some(bench.path().join("toolbox.toml")),
            name: Some(JOB.to_owned()),
            ..StartJob::default()
        };
        garage.start_job(&start).unwrap();
        bench
    }

    pub(crate) fn path(&self) -> PathBuf {
        self.around.path().join("garage")
    }

    pub(crate) fn garage(&self) -> Garage {
        Garage::open_or_create(&self.path(), Box::new(SystemClock)).unwrap()
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        self.ask(Request::get(path), Body::empty())
    }

    /// A page as a device sees it that chose something.
    pub(crate) fn get_as(&self, path: &str, choice: &str) -> Answer {
        self.ask(Request::get(path).header(header::COOKIE, choice), Body::empty())
    }

    pub(crate) fn post(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let pair = |(name, value): &(&str, &str)| {
            format!("{}={}", crate::pages::piece(name), crate::pages::piece(value))
        };
        let body = fields.iter().map(pair).collect::<Vec<_>>().join("&");
        let request = Request::post(path)
            .header(header::ORIGIN, "http://localhost:7717")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.ask(request, Body::from(body))
    }

    fn ask(&self, request: axum::http::request::Builder, body: Body) -> Answer {
        let mut request = request.header(header::HOST, "localhost:7717").body(body).unwrap();
        request.extensions_mut().insert(ConnectInfo(SocketAddr::from(([127, 0, 0, 1], 9))));
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        runtime.block_on(async {
            let answer = routes(Arc::clone(&self.app)).oneshot(request).await.unwrap();
            let status = answer.status();
            let text = |answer: &Response<Body>, name| {
                answer.headers().get(name).and_then(|value| value.to_str().ok()).map(str::to_owned)
            };
            let location = text(&answer, header::LOCATION);
            let kind = text(&answer, header::CONTENT_TYPE).unwrap_or_default();
            let name = text(&answer, header::CONTENT_DISPOSITION).unwrap_or_default();
            let bytes = answer.into_body().collect().await.unwrap().to_bytes().to_vec();
            Answer { status, location, kind, name, bytes }
        })
    }
}
