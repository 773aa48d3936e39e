//! Who may come in: the machine itself, and devices that were paired.
//!
//! Every request passes [`guard`]: a Host that is ours (else a foreign page could reach us by a name
//! that it points here: DNS rebinding), a device that is known, and for anything that changes
//! something an Origin that is ours (else a foreign page could post in our name: CSRF).

mod headers;
mod let_in;
mod pace;
mod pairing;

pub(crate) use let_in::{let_in, make_code};
pub(crate) use pairing::{pair, pair_page};

use crate::app::Shared;
use crate::choices::cookie;
use crate::problem::Problem;
use crate::serve::Lan;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::request::Parts;
use axum::http::{HeaderMap, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Redirect, Response};
use pace::{CODES, Pace, UNPAIRED};
use std::net::{IpAddr, SocketAddr};

/// The cookie that holds a device's secret.
pub(crate) const COOKIE: &str = "axlestand-device";

/// Which names are ours, who is in a hurry.
pub(crate) struct Doors {
    hosts: Vec<String>,
    /// Whether it answers at every address: then any address of the network is a name of ours. A foreign
    /// page is named, so that it gets in by none.
    everywhere: bool,
    pace: Pace,
    codes: Pace,
    /// Where devices of the home network come in over plain http; none where only this machine may come.
    address: Option<String>,
}

impl Doors {
    pub(crate) fn new(port: u16, lan: Option<Lan>) -> Self {
        let told = lan.map(|lan| shown(lan.told));
        let address = told.as_ref().map(|told| format!("http://{told}:{port}"));
        let mut names = vec!["localhost".to_owned(), "127.0.0.1".to_owned(), "[::1]".to_owned()];
        names.extend(told);
        let mut hosts: Vec<String> = names.iter().map(|name| format!("{name}:{port}")).collect();
        // A browser leaves the usual port out (RFC 9110, 4.2.1).
        if port == 80 {
            hosts.extend(names);
        }
        let everywhere = lan.is_some_and(|lan| lan.at.is_unspecified());
        Self { hosts, everywhere, pace: Pace::of(UNPAIRED), codes: Pace::of(CODES), address }
    }

    /// The names of the app over https.
    pub(crate) fn also(&mut self, port: u16, lan: Option<Lan>, name: &str) {
        self.hosts.extend(Self::new(port, lan).hosts);
        self.hosts.push(format!("{name}:{port}"));
    }

    /// Whether a request is meant for us by the name it uses.
    fn knows(&self, headers: &HeaderMap) -> bool {
        let host = headers.get(header::HOST).and_then(|host| host.to_str().ok());
        let is_address = |host: &str| host.parse::<SocketAddr>().is_ok() || host.parse::<IpAddr>().is_ok();
        host.is_some_and(|host| {
            self.hosts.iter().any(|ours| ours.eq_ignore_ascii_case(host))
                || self.everywhere && is_address(host)
        })
    }

    /// Whether a change is asked for by one of our own pages.
    fn is_own_page(&self, headers: &HeaderMap) -> bool {
        let origin = headers.get(header::ORIGIN).and_then(|origin| origin.to_str().ok());
        let host = origin.and_then(|o| o.strip_prefix("http://").or_else(|| o.strip_prefix("https://")));
        let asked = headers.get(header::HOST).and_then(|host| host.to_str().ok());
        host.is_some() && host == asked
    }
}

/// An address as it stands in a URL.
fn shown(ip: IpAddr) -> String {
    match ip {
        IpAddr::V4(v4) => v4.to_string(),
        IpAddr::V6(v6) => format!("[{v6}]"),
    }
}

/// Marks a request that came over TLS.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OverTls;

/// The device that a request comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Device {
    /// The machine itself.
    Own,
    /// A paired device, by its id.
    Paired(String),
}

impl Device {
    pub(crate) fn name(&self) -> &str {
        match self {
            Self::Own => "this-machine",
            Self::Paired(id) => id,
        }
    }
}

/// Lets a request through, or says why not.
pub(crate) async fn guard(State(app): State<Shared>, request: Request, next: Next) -> Response {
    let (mut parts, body) = request.into_parts();
    let answer = match admitted(&app, &parts).await {
        Ok(device) => {
            if let Some(device) = device {
                parts.extensions.insert(device);
            }
            next.run(Request::from_parts(parts, body)).await
        }
        Err(answer) => *answer,
    };
    headers::protected(answer)
}

/// The device of a request; `None` for what everyone may see: the way in, style and script.
async fn admitted(app: &Shared, request: &Parts) -> Result<Option<Device>, Box<Response>> {
    let headers = &request.headers;
    let refused = |problem: Problem| Box::new(problem.into_response());
    if !app.doors.knows(headers) {
        return Err(refused(Problem::new(
            StatusCode::MISDIRECTED_REQUEST,
            "Wrong name",
            "This server does not answer to the name in the address.",
            "Use the address that 'axlestand serve' shows.",
        )));
    }
    let reads = matches!(request.method, Method::GET | Method::HEAD);
    if !reads && !app.doors.is_own_page(headers) {
        return Err(refused(Problem::new(
            StatusCode::FORBIDDEN,
            "Not from here",
            "Changes are accepted only from a page of this app.",
            "Open the app's own page and do it there.",
        )));
    }
    let peer = request.extensions.get::<ConnectInfo<SocketAddr>>().map(|info| info.0.ip());
    if peer.is_some_and(|ip| ip.to_canonical().is_loopback()) {
        return Ok(Some(Device::Own));
    }
    if let Some(secret) = cookie(headers, COOKIE).map(str::to_owned) {
        let known = app.garage(None, move |garage| garage.device_of(&secret)).await;
        if let Some(id) = known.map_err(refused)? {
            return Ok(Some(Device::Paired(id)));
        }
    }
    let path = request.uri.path();
    let guide = app.way.is_some() && (path == "/phone" || path.starts_with("/phone/"));
    let open = guide || path == "/pair" || path.starts_with("/a/");
    if !app.doors.pace.allows(peer) {
        return Err(refused(Problem::new(
            StatusCode::TOO_MANY_REQUESTS,
            "Too fast",
            "Too many requests came from this device.",
            "Wait a minute.",
        )));
    }
    // With the app switched on, new devices come in over https alone.
    let plain = request.extensions.get::<OverTls>().is_none();
    if app.way.is_some() && plain && (path == "/" || path == "/pair") {
        return Err(Box::new(Redirect::to("/phone").into_response()));
    }
    if open {
        return Ok(None);
    }
    if reads && path == "/" {
        return Err(Box::new(Redirect::to("/pair").into_response()));
    }
    Err(refused(Problem::new(
        StatusCode::UNAUTHORIZED,
        "Not paired",
        "This device has not been let in yet, or it was shut out.",
        "Scan the code that a device shows which is in already (More, Let a device in), or the one of 'axlestand serve --lan'.",
    )))
}

#[cfg(test)]
mod tests {
    use super::Doors;
    use crate::serve::Lan;
    use axum::http::{HeaderMap, HeaderValue, header};

    /// By RFC 9110, 7.2, Host is what stands in the address: a foreign page's is a name, even where that
    /// name was pointed here.
    #[test]
    fn where_it_answers_everywhere_any_address_is_ours_and_no_foreign_name() {
        let [told, at] = ["192.168.1.20", "0.0.0.0"].map(|text| text.parse().unwrap());
        let (everywhere, alone) =
            (Doors::new(7717, Some(Lan { told, at })), Doors::new(7717, Some(Lan { told, at: told })));
        let knows = |doors: &Doors, host: &'static str| {
            doors.knows(&HeaderMap::from_iter([(header::HOST, HeaderValue::from_static(host))]))
        };
        for (host, both) in [("192.168.1.20:7717", true), ("10.0.0.5:8080", false), ("[fd00::1]:7717", false)]
        {
            assert!(knows(&everywhere, host), "{host}");
            assert_eq!(knows(&alone, host), both, "{host}");
        }
        for host in ["evil.example:7717", "10.0.0.5.evil.example:7717", "10.0.0.5:7717@evil.example", ""] {
            assert!(!knows(&everywhere, host), "{host}");
        }
    }
}
