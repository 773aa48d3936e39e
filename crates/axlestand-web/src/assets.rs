//! Style and script, embedded. Their address holds a hash of all of them, so that a phone may keep
//! them for ever and a new build is never mixed with an old one.

use axum::extract::Path;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use std::hash::{DefaultHasher, Hasher as _};
use std::sync::OnceLock;

use crate::problem::Problem;

const SCRIPT: &str = "text/javascript; charset=utf-8";

/// Name, type, bytes.
const FILES: &[(&str, &str, &[u8])] = &[
    ("app.js", SCRIPT, include_bytes!("../assets/app.js")),
    ("aloud.js", SCRIPT, include_bytes!("../assets/aloud.js")),
    ("live.js", SCRIPT, include_bytes!("../assets/live.js")),
    ("photo.js", SCRIPT, include_bytes!("../assets/photo.js")),
    ("queue.js", SCRIPT, include_bytes!("../assets/queue.js")),
    ("icon.svg", "image/svg+xml", include_bytes!("../assets/icon.svg")),
];

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

/// Answers with a file.
pub(crate) async fn file(Path((asked, name)): Path<(String, String)>) -> Result<Response, Problem> {
    let found = if name == "app.css" {
        Some(("text/css; charset=utf-8", style().as_bytes()))
    } else {
        FILES.iter().find(|(file, ..)| *file == name).map(|(_, kind, bytes)| (*kind, *bytes))
    };
    let (kind, bytes) = found
        .filter(|_| asked == version())
        .ok_or_else(|| Problem::not_here("this file belongs to another build"))?;
    let headers =
        [(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "public, max-age=31536000, immutable")];
    Ok((headers, bytes).into_response())
}
