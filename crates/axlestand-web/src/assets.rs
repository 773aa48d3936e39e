//! Style and script, embedded. Their address holds a hash of all of them, so that a phone may keep
//! them for ever and a new build is never mixed with an old one.

use axum::extract::Path;
use axum::http::{HeaderName, HeaderValue, header};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use std::hash::{DefaultHasher, Hasher as _};
use std::sync::OnceLock;

use crate::choices::Choices;
use crate::pages::shell::{Frame, page};
use crate::problem::Problem;

const SCRIPT: &str = "text/javascript; charset=utf-8";

/// Name, type, bytes.
const FILES: &[(&str, &str, &[u8])] = &[
    ("app.js", SCRIPT, include_bytes!("../assets/app.js")),
    ("aloud.js", SCRIPT, include_bytes!("../assets/aloud.js")),
    ("awake.js", SCRIPT, include_bytes!("../assets/awake.js")),
    ("entries.js", SCRIPT, include_bytes!("../assets/entries.js")),
    ("handover.js", SCRIPT, include_bytes!("../assets/handover.js")),
    ("install.js", SCRIPT, include_bytes!("../assets/install.js")),
    ("kept.js", SCRIPT, include_bytes!("../assets/kept.js")),
    ("live.js", SCRIPT, include_bytes!("../assets/live.js")),
    ("photo.js", SCRIPT, include_bytes!("../assets/photo.js")),
    ("places.js", SCRIPT, include_bytes!("../assets/places.js")),
    ("queue.js", SCRIPT, include_bytes!("../assets/queue.js")),
    ("store.js", SCRIPT, include_bytes!("../assets/store.js")),
    ("sw.js", SCRIPT, include_bytes!("../assets/sw.js")),
    ("unsent.js", SCRIPT, include_bytes!("../assets/unsent.js")),
    ("icon.svg", "image/svg+xml", include_bytes!("../assets/icon.svg")),
    ("app.webmanifest", "application/manifest+json", include_bytes!("../assets/app.webmanifest")),
];

/// Icons of the app, by their size in pixels.
const ICONS: [(&str, u32); 3] = [("icon-180.png", 180), ("icon-192.png", 192), ("icon-512.png", 512)];

/// The style: the tones of the look, then the rules.
fn style() -> &'static str {
    static STYLE: OnceLock<String> = OnceLock::new();
    STYLE.get_or_init(|| {
        let (mut paper, mut slate) = (String::new(), String::new());
        for (name, on_paper, on_slate) in axlestand_garage::tones() {
            paper.push_str(&format!("--{name}:{on_paper};"));
            slate.push_str(&format!("--{name}:{on_slate};"));
        }
        format!(
            ":root{{color-scheme:light;{paper}}}\n\
             @media (prefers-color-scheme:dark){{:root:not([data-look=paper],[data-look=outdoor]){{color-scheme:dark;{slate}}}}}\n\
             :root[data-look=slate]{{color-scheme:dark;{slate}}}\n{}",
            include_str!("../assets/app.css")
        )
    })
}

/// The hash in the addresses.
pub(crate) fn version() -> &'static str {
    static VERSION: OnceLock<String> = OnceLock::new();
    VERSION.get_or_init(|| {
        let mut hasher = DefaultHasher::new();
        hasher.write(style().as_bytes());
        for (name, _, bytes) in FILES {
            hasher.write(name.as_bytes());
            hasher.write(bytes);
        }
        format!("{:016x}", hasher.finish())
    })
}

/// The address of a file.
pub(crate) fn address(name: &str) -> String {
    format!("/a/{}/{name}", version())
}

/// Style, shell and the list of files, made once.
fn made(name: &str) -> Option<(&'static str, Vec<u8>)> {
    if name == "app.css" {
        return Some(("text/css; charset=utf-8", style().as_bytes().to_vec()));
    }
    if name == "shell" {
        return Some(("text/html; charset=utf-8", shell().into_string().into_bytes()));
    }
    if name == "files.json" {
        let files = FILES.iter().map(|(name, ..)| *name);
        let all: Vec<&str> = files.chain(["app.css", "shell", "icon-192.png"]).collect();
        return Some(("application/json", serde_json::to_vec(&all).unwrap_or_default()));
    }
    let (_, size) = ICONS.iter().find(|(icon, _)| *icon == name)?;
    Some(("image/png", axlestand_garage::app_icon(*size)))
}

/// The page that a browser keeps by itself: it shows what the device kept of the garage.
fn shell() -> Markup {
    let body = html! {
        p { "Looking for what this phone kept …" }
        noscript { p { "What a phone keeps is shown by script, which is switched off here." } }
    };
    page(&Frame { title: "Axlestand", head: None, here: "shell", choices: Choices::default() }, &body)
}

/// Answers with a file.
pub(crate) async fn file(Path((asked, name)): Path<(String, String)>) -> Result<Response, Problem> {
    if asked != version() {
        // A bookmark of an older build; the page behind `#` goes along.
        return match name.as_str() {
            "shell" => Ok(Redirect::to(&address("shell")).into_response()),
            _ => Err(Problem::not_here("this file belongs to another build")),
        };
    }
    let found = FILES.iter().find(|(file, ..)| *file == name).map(|(_, kind, bytes)| (*kind, bytes.to_vec()));
    let (kind, bytes) = found.or_else(|| made(&name)).ok_or_else(|| Problem::not_here(&name))?;
    let mut answer = (
        [(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "public, max-age=31536000, immutable")],
        bytes,
    )
        .into_response();
    if name == "sw.js" {
        let whole = HeaderValue::from_static("/");
        answer.headers_mut().insert(HeaderName::from_static("service-worker-allowed"), whole);
    }
    Ok(answer)
}
