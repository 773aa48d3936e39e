//! Headers that every answer carries.

use axum::http::{HeaderName, HeaderValue, header};
use axum::response::Response;

const HEADERS: [(HeaderName, &str); 5] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    // Forms carry their origin only where a referrer may be told to ourselves.
    (header::REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// The answer with the headers that keep it to itself.
pub(crate) fn protected(mut answer: Response) -> Response {
    for (name, value) in HEADERS {
        answer.headers_mut().insert(name, HeaderValue::from_static(value));
    }
    let cache = HeaderValue::from_static("no-store");
    answer.headers_mut().entry(header::CACHE_CONTROL).or_insert(cache);
    answer
}
