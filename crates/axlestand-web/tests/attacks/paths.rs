//! Addresses that try to get out of their folder.

use crate::house::{Asked, House};
use axum::http::Method;

#[tokio::test]
async fn no_piece_of_an_address_leaves_the_garage() {
    let house = House::new();
    let long = "a".repeat(10_000);
    let pieces = [
        "..",
        ".",
        "%2e%2e",
        "..%2f..%2f..%2fetc%2fpasswd",
        "%2fetc%2fpasswd",
        "..%5c..%5cgarage.db",
        "garage.db",
        "%00",
        "car.toml%00.svg",
        "%ff%fe",
        "C%3a%5c",
        "con",
        "%0d%0aset-cookie:%20a=b",
        "%25252e",
        "~root",
        "*",
        "%f0%9f%94%a7",
        "1e999",
        "-1",
        "99999999999999999999",
        "arm-front-bolt.left%27%20or%201=1",
        &long,
    ];
    let places = [
        "/PIECE",
        "/a/PIECE/app.css",
        "/a/PIECE/PIECE",
        "/job/PIECE/now",
        "/job/PIECE/PIECE",
        "/job/private-job/PIECE",
        "/job/private-job/item/PIECE",
        "/job/private-job/now?step=PIECE",
        "/job/private-job/now?told=PIECE",
        "/job/private-job/corner?side=PIECE&view=PIECE",
        "/devices/PIECE",
        "/job/private-job/look/PIECE",
        "/cars/PIECE",
        "/cars/PIECE?item=PIECE",
        "/calc/PIECE",
        "/job/private-job/sheet/PIECE",
        "/job/private-job/sheet/labels.pdf?paper=PIECE&side=PIECE&day=PIECE&item=PIECE",
        "/job/private-job/read?method=PIECE",
    ];
    let before = house.entries();
    for place in places {
        for piece in pieces {
            let path = place.replace("PIECE", piece);
            for method in [Method::GET, Method::POST] {
                let reply = house.ask(Asked::own(method, &path)).await;
                // The machine's list of users, the database, the vehicle file as text.
                for secret in ["root:x:", "SQLite format 3", "[[part]]", "[car]"] {
                    assert!(!reply.text.contains(secret), "{path} gives {secret}");
                }
                assert!(!reply.headers.contains_key("set-cookie"), "{path}");
            }
        }
    }
    assert_eq!(house.entries(), before);
}
