//! Devices that were not let in, were shut out, or show what they should not have.

use crate::house::{Asked, FORM, House, PRIVATE, Reply, SCRIPT, addresses, form};
use axum::http::{Method, StatusCode};

const PHONE: &str = "192.168.1.66";

async fn pair(house: &House, secret: &str, name: &str) -> Reply {
    let asked = Asked::stranger(PHONE, Method::POST, "/pair").with("content-type", FORM);
    house.ask(Asked { body: form(&[("secret", secret), ("name", name)]), ..asked }).await
}

fn cookie(reply: &Reply) -> String {
    let set = reply.headers["set-cookie"].to_str().unwrap();
    assert!(set.contains("; HttpOnly; SameSite=Strict; Path=/"), "{set}");
    set.split(';').next().unwrap().to_owned()
}

async fn now(house: &House, cookie: &str) -> Reply {
    house.ask(Asked::stranger(PHONE, Method::GET, "/job/private-job/now").with("cookie", cookie)).await
}

#[tokio::test]
async fn unpaired_every_address_gives_the_way_in_or_nothing() {
    // An address of its own for each look, as one that asks too often is not answered at all.
    let peers = ["192.168.1.66", "10.0.0.9", "203.0.113.7", "fe80::1", "::ffff:192.168.1.66"];
    let house = House::new();
    let before = house.entries();
    let cookies = ["", "axlestand-device=", "axlestand-device=;;;=;", "axlestand-device=00 %e9%00'--"];
    let mut rounds = peers.into_iter();
    for cookie in cookies {
        for method in [Method::GET, Method::POST] {
            let peer = peers[usize::from(method == Method::POST)];
            for path in addresses() {
                let asked = Asked::stranger(peer, method.clone(), &path).with("cookie", cookie);
                let asked = Asked {
                    body: form(&[("do", "note"), ("text", "in")]),
                    ..asked.with("content-type", FORM)
                };
                let reply = house.ask(asked).await;
                let is_way_in = path == "/pair" || path.starts_with("/a/");
                let expected: &[u16] = match (is_way_in, path.as_str(), &method) {
                    (true, ..) => &[200, 403, 404, 405, 422, 429],
                    (_, "/", &Method::GET) => &[303, 429],
                    _ => &[401, 429],
                };
                assert!(expected.contains(&reply.status.as_u16()), "{method} {path}: {}", reply.status);
                let leaked = PRIVATE.iter().find(|word| reply.text.contains(**word));
                assert!(leaked.is_none(), "{method} {path} tells '{leaked:?}'");
                assert!(!reply.headers.contains_key("set-cookie"), "{method} {path}");
            }
        }
        let first = rounds.next().unwrap();
        let reply = house.ask(Asked::stranger(first, Method::HEAD, "/job/private-job/now")).await;
        assert!([401, 429].contains(&reply.status.as_u16()), "{}", reply.status);
    }
    assert_eq!(house.entries(), before);
}

/// One that is not let in may ask 120 times a minute; the machine itself as often as it likes.
#[tokio::test]
async fn one_that_tries_too_often_is_not_answered() {
    let house = House::new();
    let mut refused = 0;
    for _ in 0..150 {
        let reply = house.ask(Asked::stranger("192.168.1.99", Method::GET, "/pair")).await;
        refused += u32::from(reply.status == StatusCode::TOO_MANY_REQUESTS);
    }
    assert_eq!(refused, 30);
    assert_eq!(house.ask(Asked::stranger("192.168.1.98", Method::GET, "/pair")).await.status, StatusCode::OK);
    assert_eq!(house.page("/pair").await.status, StatusCode::OK);
}

#[tokio::test]
async fn a_code_lets_in_once_and_the_device_can_be_shut_out() {
    let house = House::new();
    let secret = house.garage().pairing_secret().unwrap();
    assert_eq!(secret.len(), 64);
    assert_eq!(pair(&house, &"0".repeat(64), "thief").await.status, StatusCode::FORBIDDEN);
    assert_eq!(pair(&house, &secret[..63], "thief").await.status, StatusCode::FORBIDDEN);
    let let_in = pair(&house, &format!("  {} ", secret.to_uppercase()), "phone").await;
    assert_eq!(let_in.status, StatusCode::SEE_OTHER);
    let own = cookie(&let_in);
    assert!(!own.contains(&secret), "the code itself must not be what lets in later");
    assert_eq!(now(&house, &own).await.status, StatusCode::OK);

    let replayed = pair(&house, &secret, "thief").await;
    assert_eq!(replayed.status, StatusCode::FORBIDDEN);
    assert!(!replayed.headers.contains_key("set-cookie"));

    for forged in [own.to_uppercase(), format!("{own}0"), own[..own.len() - 1].to_owned()] {
        assert_eq!(now(&house, &forged).await.status, StatusCode::UNAUTHORIZED, "{forged}");
    }
    let id = house.garage().devices().unwrap()[0].id.clone();
    assert_eq!(house.form(&format!("/devices/{id}"), &[]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(now(&house, &own).await.status, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn a_code_is_good_for_ten_minutes() {
    let house = House::new();
    let (early, late) = (house.garage().pairing_secret().unwrap(), house.garage().pairing_secret().unwrap());
    house.wait_minutes(9);
    assert_eq!(pair(&house, &early, "phone").await.status, StatusCode::SEE_OTHER);
    house.wait_minutes(2);
    assert_eq!(pair(&house, &late, "phone").await.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn a_name_is_only_a_name() {
    let house = House::new();
    for name in
        [SCRIPT, "two\r\nset-cookie: axlestand-device=1", "../../etc/passwd", "'; DROP TABLE device;--"]
    {
        let secret = house.garage().pairing_secret().unwrap();
        let reply = pair(&house, &secret, name).await;
        assert_eq!(reply.status, StatusCode::SEE_OTHER, "{name}");
        assert_eq!(reply.headers.get_all("set-cookie").iter().count(), 1);
    }
    // What cannot be shown is refused, and the code is not spent on it.
    let secret = house.garage().pairing_secret().unwrap();
    assert_eq!(pair(&house, &secret, "bell\u{7}").await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(pair(&house, &secret, "turned \u{202e}round").await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(pair(&house, &secret, &"long".repeat(30)).await.status, StatusCode::SEE_OTHER);
    assert_eq!(house.garage().devices().unwrap().len(), 5);
    let page = house.page("/devices").await.text;
    assert!(!page.contains("<img src=x") && page.contains("&lt;img src=x"), "{page}");
}

/// The code that stands on the page, to be typed.
fn shown_code(page: &str) -> String {
    let codes = page.split("<code class=\"fingerprint\">").skip(1);
    let mut codes = codes.filter_map(|rest| rest.split('<').next()).filter(|code| code.len() == 64);
    codes.next().unwrap().to_owned()
}

async fn ask_for_code(house: &House, peer: &'static str, cookie: &str) -> Reply {
    house.ask(Asked::stranger(peer, Method::POST, "/let-in").with("cookie", cookie)).await
}

#[tokio::test]
async fn a_device_that_is_in_lets_a_further_one_in_once() {
    let house = House::new();
    // Looking at the page makes no code.
    let page = house.page("/let-in").await;
    assert!(page.status.is_success() && !page.text.contains("<svg") && page.text.contains("Show a code"));
    assert_eq!(ask_for_code(&house, PHONE, "").await.status, StatusCode::UNAUTHORIZED);
    let own = house.form("/let-in", &[]).await;
    assert_eq!((own.status, own.headers["cache-control"].to_str().unwrap()), (StatusCode::OK, "no-store"));
    let let_in = pair(&house, &shown_code(&own.text), "phone").await;
    assert_eq!(let_in.status, StatusCode::SEE_OTHER);
    let phone = cookie(&let_in);

    let shown = ask_for_code(&house, PHONE, &phone).await;
    assert_eq!(shown.status, StatusCode::OK);
    let code = shown_code(&shown.text);
    // The code alone, black on white; the address to scan names the way in.
    assert!(shown.text.contains("fill=\"#fff\"") && shown.text.contains("fill=\"#000\""));
    assert!(shown.text.contains("http://192.168.1.20:7717/pair"), "{}", shown.text);
    let foreign = Asked::stranger(PHONE, Method::POST, "/let-in").with("cookie", &phone);
    let foreign = house.ask(foreign.with("origin", "http://192.168.1.66:7717")).await;
    assert_eq!(foreign.status, StatusCode::FORBIDDEN);
    assert!(!foreign.text.contains("<svg"));

    assert_eq!(pair(&house, &code, "tablet").await.status, StatusCode::SEE_OTHER);
    assert_eq!(pair(&house, &code, "thief").await.status, StatusCode::FORBIDDEN);
    let devices = house.garage().devices().unwrap();
    let first = devices.iter().find(|device| device.name == "phone").unwrap();
    assert_eq!(house.form(&format!("/devices/{}", first.id), &[]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(ask_for_code(&house, PHONE, &phone).await.status, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn a_code_off_a_page_is_good_for_ten_minutes() {
    let house = House::new();
    let code = shown_code(&house.form("/let-in", &[]).await.text);
    house.wait_minutes(11);
    assert_eq!(pair(&house, &code, "phone").await.status, StatusCode::FORBIDDEN);
}

/// Six codes a minute, also for the machine itself: a page that got in cannot strew codes about.
#[tokio::test]
async fn codes_are_not_made_without_end() {
    let house = House::new();
    let mut made = 0;
    for _ in 0..20 {
        let reply = house.form("/let-in", &[]).await;
        made += u32::from(reply.status == StatusCode::OK);
        assert!(reply.status == StatusCode::OK || reply.status == StatusCode::TOO_MANY_REQUESTS);
    }
    assert_eq!(made, 6);
}
