//! Script and markup in every text that a person can type comes back as text.

use crate::house::{House, SCRIPT};
use axlestand_garage::delivery::{Command, Done, Remark};
use axum::http::StatusCode;

const PAGES: [&str; 17] = [
    "car",
    "report",
    "sheets",
    "height",
    "read?method=strings",
    "now",
    "open",
    "corner",
    "corner?side=right&view=above",
    "ledger",
    "look",
    "prepare",
    "strip",
    "refit",
    "set",
    "prove",
    "item/arm-front-bolt.left",
];

/// No answer holds the tags themselves.
fn is_text(page: &str, at: &str) {
    for tag in ["<img src=x", "<script>alert", "'><", "onerror=alert(1)>"] {
        assert!(!page.contains(tag), "{at} holds {tag} as markup");
    }
}

#[tokio::test]
async fn in_what_is_recorded() {
    let house = House::new();
    let remark = |note: &str| Remark { item: "arm-front-bolt.left".to_owned(), note: Some(note.to_owned()) };
    house.record(&Command::Note { item: None, text: SCRIPT.to_owned() });
    house.record(&Command::Note { item: Some("arm-front-bolt.left".to_owned()), text: SCRIPT.to_owned() });
    house.record(&Command::Stuck(remark(SCRIPT)));
    house.record(&Command::Broken(remark(SCRIPT)));
    house.record(&Command::Replaced(remark(SCRIPT)));
    house.record(&Command::Skip { rows: "1".to_owned(), reason: SCRIPT.to_owned() });
    let mut seen = 0;
    for page in PAGES {
        let reply = house.page(&format!("/job/private-job/{page}")).await;
        assert_eq!(reply.status, StatusCode::OK, "{page}");
        is_text(&reply.text, page);
        seen += reply.text.matches("&lt;img src=x").count();
    }
    assert!(seen >= 6, "the texts are not shown at all: {seen}");
}

#[tokio::test]
async fn in_what_is_refused() {
    let house = House::new();
    let fields: [&[(&str, &str)]; 7] = [
        &[("do", SCRIPT)],
        &[("do", "done"), ("rows", SCRIPT)],
        &[("do", "done"), ("rows", "1"), ("torque", SCRIPT), ("source", SCRIPT), ("wrench", SCRIPT)],
        &[("do", "done"), ("rows", "1"), ("condition", SCRIPT), ("length", SCRIPT)],
        &[("do", "read"), ("reading", SCRIPT), ("value", SCRIPT)],
        &[("do", "take-back"), ("entry", SCRIPT), ("reason", SCRIPT)],
        &[("do", "note"), ("text", "a"), (SCRIPT, "b")],
    ];
    for form in fields {
        let reply = house.form("/job/private-job/entry", form).await;
        assert!(reply.status.is_client_error(), "{form:?}: {}", reply.status);
        is_text(&reply.text, &format!("{form:?}"));
    }
    let elsewhere: [(&str, &[(&str, &str)]); 6] = [
        (
            "/start",
            &[("car", SCRIPT), ("replace", SCRIPT), ("rust", SCRIPT), ("toolbox", SCRIPT), ("name", SCRIPT)],
        ),
        ("/start", &[("car", "car.toml"), ("replace", SCRIPT), ("rust", "2"), ("name", SCRIPT)]),
        ("/cars/new", &[("kind", SCRIPT), ("file", SCRIPT), ("name", SCRIPT), ("wheelbase", SCRIPT)]),
        (
            "/cars/car.toml",
            &[
                ("item", SCRIPT),
                ("field", SCRIPT),
                ("value", SCRIPT),
                ("unit", SCRIPT),
                ("source", SCRIPT),
                ("measured", SCRIPT),
            ],
        ),
        (
            "/job/private-job/car",
            &[
                ("item", "arm-front-bolt"),
                ("field", "torque"),
                ("value", SCRIPT),
                ("unit", ""),
                ("source", SCRIPT),
                ("measured", ""),
            ],
        ),
        ("/settings", &[("look", SCRIPT), ("hand", SCRIPT), ("units", SCRIPT)]),
    ];
    for (path, form) in elsewhere {
        let reply = house.form(path, form).await;
        assert!(reply.status.is_client_error() || path == "/settings", "{path}: {}", reply.status);
        is_text(&reply.text, path);
        let cookies: Vec<_> = reply.headers.get_all("set-cookie").iter().collect();
        assert!(cookies.iter().all(|cookie| !cookie.as_bytes().contains(&b'<')), "{path}: {cookies:?}");
    }
    let typed = percent_encoding::utf8_percent_encode(SCRIPT, percent_encoding::NON_ALPHANUMERIC).to_string();
    for place in [
        "/TYPED",
        "/job/TYPED/now",
        "/job/private-job/TYPED",
        "/job/private-job/item/TYPED",
        "/job/private-job/now?step=TYPED",
        "/job/private-job/now?told=TYPED",
        "/job/private-job/corner?side=TYPED&view=TYPED",
        "/cars/TYPED",
        "/start?car=TYPED",
        "/calc/TYPED",
        "/calc/torque?torque=TYPED&value=TYPED&length=TYPED",
        "/job/private-job/car?item=TYPED&written=TYPED",
        "/job/private-job/read?method=TYPED",
        "/job/private-job/sheet/TYPED?paper=TYPED&side=TYPED&stage=TYPED&item=TYPED&day=TYPED",
    ] {
        is_text(&house.page(&place.replace("TYPED", &typed)).await.text, place);
    }
}

/// What could not be recorded waits with all that was typed.
#[tokio::test]
async fn in_what_needs_a_look() {
    let house = House::new();
    let done = Done {
        rows: vec!["final:arm-front-bolt.left".to_owned()],
        note: Some(SCRIPT.to_owned()),
        torque: Some(SCRIPT.to_owned()),
        ..Done::default()
    };
    let fields: Vec<[&str; 2]> =
        vec![["do", "done"], ["rows", "final:arm-front-bolt.left"], ["torque", SCRIPT], ["note", SCRIPT]];
    let batch = serde_json::json!({ "queue": SCRIPT, "sent": 1.0, "entries": [
        { "id": format!("{:032x}", 3), "number": 1, "job": "private-job", "made": 1.0, "fields": fields }] });
    let reply = house.json("/deliver", batch.to_string()).await;
    assert_eq!(reply.status, StatusCode::OK, "{}", reply.text);
    assert!(house.garage().carry_out(&Command::Done(done)).is_err());
    assert_eq!(house.garage().waiting().unwrap().len(), 1);
    let page = house.page("/job/private-job/look").await.text;
    is_text(&page, "look");
    assert!(page.contains("&lt;img src=x"), "{page}");
}

#[tokio::test]
async fn in_the_names_of_car_and_job() {
    let job = "\"'><img src=x onerror=alert(1)>";
    let house = House::named(job, |car| {
        let changed = car.replacen("name = \"", "name = \"<img src=x onerror=alert(1)> ", 40);
        assert_ne!(car, changed);
        changed
    });
    let path = percent_encoding::utf8_percent_encode(job, percent_encoding::NON_ALPHANUMERIC).to_string();
    for page in PAGES {
        let reply = house.page(&format!("/job/{path}/{page}")).await;
        assert_eq!(reply.status, StatusCode::OK, "{page}: {}", reply.text);
        is_text(&reply.text, page);
    }
}
