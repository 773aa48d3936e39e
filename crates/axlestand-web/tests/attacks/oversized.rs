//! Too much, too deep, of the wrong kind.

use crate::house::{Asked, FORM, House, form};
use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

fn note(id: u32, text: &str) -> Value {
    json!({ "id": format!("{id:032x}"), "number": id, "job": "private-job", "made": 1000.0 + f64::from(id),
        "fields": [["do", "note"], ["text", text]] })
}

fn batch(entries: &[Value]) -> String {
    json!({ "queue": "0123456789abcdef", "sent": 2_000_000.0, "entries": entries }).to_string()
}

#[tokio::test]
async fn what_is_too_big_is_refused_and_nothing_recorded() {
    let house = House::new();
    let before = house.entries();
    let big = "x".repeat(600_000);
    let entry = "/job/private-job/entry";
    let refused = house.form(entry, &[("do", "note"), ("text", &big)]).await;
    assert_eq!(refused.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(
        refused.text.contains("Nothing of it was recorded") && refused.text.contains("Go back and send less")
    );
    let refused = house.json("/deliver", batch(&[note(1, &big)])).await.status;
    assert_eq!(refused, StatusCode::PAYLOAD_TOO_LARGE);
    // More than a field may hold, and more than a person reads.
    for length in [8_001, 2_001] {
        let text = "x".repeat(length);
        let reply = house.form(entry, &[("do", "note"), ("text", &text)]).await;
        assert!(reply.status.is_client_error(), "{length}: {}", reply.status);
        assert!(reply.text.contains("at most"), "{}", reply.text);
    }
    let many: Vec<(String, String)> = (0..5_000).map(|n| ("rows".to_owned(), n.to_string())).collect();
    let mut many: Vec<(&str, &str)> = many.iter().map(|(name, row)| (name.as_str(), row.as_str())).collect();
    many.push(("do", "done"));
    assert!(house.form(entry, &many).await.status.is_client_error());
    assert_eq!(house.entries(), before);
}

/// An empty field would mean the last entry, whichever that is by now.
#[tokio::test]
async fn an_entry_that_is_not_named_is_not_taken_back() {
    let house = House::new();
    let before = house.entries();
    for fields in [&[("do", "take-back"), ("entry", "")][..], &[("do", "take-back")]] {
        let reply = house.form("/job/private-job/entry", fields).await;
        assert_eq!(reply.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(reply.text.contains("say which entry is taken back"), "{}", reply.text);
    }
    assert_eq!(house.entries(), before);
}

#[tokio::test]
async fn json_that_is_none_or_of_another_shape_is_refused() {
    let house = House::new();
    let before = house.entries();
    let deep = "[".repeat(200_000);
    let deep_in = format!("{{\"queue\":\"q\",\"sent\":0,\"entries\":{deep}");
    let of = |entry: &str| format!("{{\"queue\":\"q\",\"sent\":0,\"entries\":[{entry}]}}");
    let bodies = [
        String::new(),
        "{".to_owned(),
        "null".to_owned(),
        "[]".to_owned(),
        "\u{0}".to_owned(),
        deep,
        deep_in,
        "{\"queue\":1,\"sent\":0,\"entries\":[]}".to_owned(),
        "{\"queue\":\"q\",\"sent\":NaN,\"entries\":[]}".to_owned(),
        "{\"queue\":\"q\",\"sent\":1e999,\"entries\":[]}".to_owned(),
        "{\"queue\":\"q\",\"sent\":0,\"entries\":{}}".to_owned(),
        "{\"queue\":\"q\",\"sent\":0,\"entries\":[],\"more\":1}".to_owned(),
        of("1"),
        of("{}"),
        of("{\"id\":\"x\",\"number\":1.5,\"job\":\"private-job\",\"made\":0,\"fields\":[]}"),
        of("{\"id\":\"x\",\"number\":99999999999999999999,\"job\":\"private-job\",\"made\":0,\"fields\":[]}"),
        of("{\"id\":\"x\",\"number\":1,\"job\":\"private-job\",\"made\":0,\"fields\":[[\"do\"]]}"),
        of("{\"id\":\"x\",\"number\":1,\"job\":\"private-job\",\"made\":\"0\",\"fields\":[]}"),
    ];
    for body in bodies {
        for path in ["/deliver", "/seen"] {
            let reply = house.json(path, body.clone()).await;
            // A queue whose entries are not understood is taken: they are kept for a person to look at.
            let kept = path == "/deliver" && reply.status == StatusCode::OK && reply.text.contains("refusal");
            assert!(kept || reply.status.is_client_error(), "{path} {:.60}: {}", body, reply.status);
        }
    }
    let not_text = Asked { body: vec![0xff, 0xfe, 0x00], ..Asked::own(Method::POST, "/deliver") };
    assert!(house.ask(not_text.with("content-type", "application/json")).await.status.is_client_error());
    for kind in ["text/plain", "application/xml", "multipart/form-data; boundary=x", ""] {
        let asked =
            Asked { body: batch(&[note(1, "in")]).into_bytes(), ..Asked::own(Method::POST, "/deliver") };
        assert_eq!(
            house.ask(asked.with("content-type", kind)).await.status,
            StatusCode::UNSUPPORTED_MEDIA_TYPE
        );
        let asked =
            Asked { body: form(&[("do", "note")]), ..Asked::own(Method::POST, "/job/private-job/entry") };
        assert_eq!(
            house.ask(asked.with("content-type", kind)).await.status,
            StatusCode::UNSUPPORTED_MEDIA_TYPE
        );
    }
    assert_eq!(house.entries(), before);
}

/// A clock that was set anew, an id that is none, an entry of another job: each is answered for itself,
/// and what stands beside it in the batch is recorded all the same.
#[tokio::test]
async fn one_bad_entry_does_not_hold_up_the_others() {
    let house = House::new();
    let before = house.entries();
    let bad_id = json!({ "id": "<script>", "number": 1, "job": "private-job", "made": 0.0, "fields": [["do", "note"], ["text", "a"]] });
    let unknown = json!({ "id": format!("{:032x}", 7), "number": -9_223_372_036_854_775_808i64, "job": "private-job",
        "made": 1e308, "fields": [["do", "fly"]] });
    let far = json!({ "id": format!("{:032x}", 8), "number": 9_223_372_036_854_775_807i64, "job": "private-job",
        "made": -1e308, "fields": [["do", "note"], ["text", "from another age"]] });
    let reply = house.json("/deliver", batch(&[bad_id, unknown, far, note(9, "good")])).await;
    assert_eq!(reply.status, StatusCode::OK, "{}", reply.text);
    let answers: Value = serde_json::from_str(&reply.text).unwrap();
    let recorded: Vec<bool> =
        answers["answers"].as_array().unwrap().iter().map(|a| a["recorded"].as_bool().unwrap()).collect();
    assert_eq!(recorded, [false, false, true, true], "{}", reply.text);
    assert_eq!(house.entries(), before + 2);
}

#[tokio::test]
async fn an_entry_for_a_job_that_is_not_there_does_not_hold_up_the_others() {
    let house = House::new();
    let before = house.entries();
    let elsewhere = json!({ "id": format!("{:032x}", 5), "number": 1, "job": "../private-job", "made": 0.0,
        "fields": [["do", "note"], ["text", "a"]] });
    let reply = house.json("/deliver", batch(&[elsewhere, note(6, "good")])).await;
    assert_eq!(reply.status, StatusCode::OK, "{}", reply.text);
    assert_eq!(house.entries(), before + 1);
}

/// A batch takes 50; what is not answered stays in the device's queue.
#[tokio::test]
async fn ten_thousand_ids_at_once_are_no_more_than_fifty() {
    let house = House::new();
    let before = house.entries();
    let all: Vec<Value> = (1..=10_000).map(|id| note(id, "n")).collect();
    assert_eq!(house.json("/deliver", batch(&all)).await.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(house.entries(), before);
    let reply = house.json("/deliver", batch(&all[..2_000])).await;
    let answers: Value = serde_json::from_str(&reply.text).unwrap();
    assert_eq!(answers["answers"].as_array().unwrap().len(), 50);
    assert_eq!(house.entries(), before + 50);
    // The same once more: nothing is recorded twice.
    house.json("/deliver", batch(&all[..50])).await;
    assert_eq!(house.entries(), before + 50);
}

#[tokio::test]
async fn a_form_that_says_nothing_sensible_records_nothing() {
    let house = House::new();
    let before = house.entries();
    let entry = "/job/private-job/entry";
    let forms: &[&[(&str, &str)]] = &[
        &[],
        &[("do", "")],
        &[("do", "note")],
        &[("do", "done")],
        &[("do", "done"), ("rows", "99999")],
        &[("do", "done"), ("rows", "1"), ("tray", "-1")],
        &[("do", "done"), ("rows", "1"), ("tray", "99999999999")],
        &[("do", "read"), ("reading", "height-front"), ("value", "NaN mm")],
        &[("do", "read"), ("reading", "height-front"), ("value", "inf mm")],
        &[("do", "read"), ("reading", "height-front"), ("value", "1e999 mm")],
        &[("do", "read"), ("reading", "../x"), ("value", "1 mm")],
        &[("do", "gauge"), ("value.", "1")],
        &[("do", "gauge"), ("value.x", "\u{221e}")],
        &[("do", "take-back"), ("entry", "../../x")],
        &[("do", "skip"), ("rows", "1")],
        &[("do", "note"), ("text", "bell \u{7}")],
        &[("do", "note"), ("text", "a"), ("unknown", "b")],
        &[("do", "stuck"), ("item", "nothing.left")],
        &[("do", "choose"), ("item", "arm-front-bolt.left"), ("way", "magic")],
    ];
    for fields in forms {
        let reply = house.form(entry, fields).await;
        assert!(reply.status.is_client_error(), "{fields:?}: {}", reply.status);
    }
    for body in ["%", "%zz=1", "&&&===", "do=note&text=%ff%fe"] {
        let asked = Asked { body: body.as_bytes().to_vec(), ..Asked::own(Method::POST, entry) };
        let reply = house.ask(asked.with("content-type", FORM)).await;
        assert!(reply.status.is_client_error() || reply.status.is_redirection(), "{body}: {}", reply.status);
    }
    // Bytes that are no UTF-8 arrive as the sign for that, as a form says nothing of its encoding.
    assert!(house.entries() <= before + 1);
}
