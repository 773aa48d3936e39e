//! Requests in somebody else's name.

use crate::house::{Asked, House, PRIVATE, addresses, form};
use axum::http::{Method, StatusCode};

/// DNS rebinding: a foreign page reaches us by a name of its own.
#[tokio::test]
async fn a_foreign_host_gets_nothing() {
    let house = House::new();
    let foreign = [
        "evil.example:7717",
        "192.168.1.20:7718",
        "192.168.1.20",
        "localhost.evil.example:7717",
        "127.0.0.1:7717.evil.example",
        "localhost:7717@evil.example",
        "",
    ];
    for host in foreign {
        for path in ["/", "/job/private-job/now", "/devices", "/live", "/pair"] {
            let reply = house.ask(Asked::own(Method::GET, path).with("host", host)).await;
            assert_eq!(reply.status, StatusCode::MISDIRECTED_REQUEST, "{host} {path}");
            assert!(PRIVATE.iter().all(|word| !reply.text.contains(word)), "{host} {path}: {}", reply.text);
        }
    }
    let reply = house.ask(Asked::own(Method::GET, "/").without("host")).await;
    assert_eq!(reply.status, StatusCode::MISDIRECTED_REQUEST);
}

/// CSRF: a page of somebody else posts with the browser of a device that was let in.
#[tokio::test]
async fn what_no_page_of_ours_sent_changes_nothing() {
    let house = House::new();
    let before = house.entries();
    let origins = [
        None,
        Some("null"),
        Some("http://evil.example"),
        Some("http://192.168.1.20:7718"),
        Some("http://192.168.1.20:7717.evil.example"),
        Some("http://evil.example/192.168.1.20:7717"),
        Some("ftp://192.168.1.20:7717"),
        Some("192.168.1.20:7717"),
        Some(""),
    ];
    for path in addresses() {
        for origin in origins {
            let asked = Asked {
                body: form(&[("do", "note"), ("text", "forged")]),
                ..Asked::own(Method::POST, &path).with("content-type", "application/x-www-form-urlencoded")
            };
            let asked = match origin {
                Some(origin) => asked.with("origin", origin),
                None => asked.without("origin"),
            };
            let reply = house.ask(asked).await;
            assert_eq!(reply.status, StatusCode::FORBIDDEN, "{origin:?} {path}");
        }
    }
    assert_eq!(house.entries(), before);
    // The same from our own page is recorded: the refusals above are for the Origin alone.
    let reply = house.form("/job/private-job/entry", &[("do", "note"), ("text", "true")]).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER);
    assert_eq!(house.entries(), before + 1);
}

#[tokio::test]
async fn a_wrong_method_changes_nothing() {
    let house = House::new();
    let before = house.entries();
    for path in addresses() {
        for method in ["DELETE", "PUT", "PATCH", "OPTIONS", "TRACE", "CONNECT", "BREW"] {
            let method = Method::from_bytes(method.as_bytes()).unwrap();
            let reply = house.ask(Asked::own(method.clone(), &path)).await;
            assert!(reply.status.is_client_error(), "{method} {path}: {}", reply.status);
            let reply = house.ask(Asked::own(method.clone(), &path).without("origin")).await;
            assert_eq!(reply.status, StatusCode::FORBIDDEN, "{method} {path}");
        }
    }
    assert_eq!(house.entries(), before);
}

/// OWASP's headers against framing, sniffing and script from elsewhere, on every answer.
#[tokio::test]
async fn every_answer_keeps_to_itself() {
    let house = House::new();
    for path in addresses() {
        for peer in ["127.0.0.1", "192.168.1.66"] {
            let reply = house.ask(Asked::stranger(peer, Method::GET, &path)).await;
            let policy = reply.headers["content-security-policy"].to_str().unwrap();
            assert!(
                policy.starts_with("default-src 'none'; script-src 'self'; style-src 'self'"),
                "{policy}"
            );
            assert!(!policy.contains("unsafe"), "{policy}");
            assert!(policy.contains("frame-ancestors 'none'"), "{policy}");
            assert_eq!(reply.headers["x-content-type-options"], "nosniff", "{path}");
            assert!(!reply.headers.contains_key("access-control-allow-origin"), "{path}");
            assert!(
                !reply.text.contains(" style=\"") || reply.text.contains("<svg"),
                "{path} has inline style"
            );
        }
    }
}
