//! Files that are no photo, or no file at all.

use crate::house::{Asked, House};
use axum::http::{Method, StatusCode};

const ID: &str = "0123456789abcdef0123456789abcdef";

/// A PNG's head (ISO/IEC 15948, 11.2.2) that claims a size and brings no picture.
fn png_head(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".to_vec();
    bytes.extend(width.to_be_bytes());
    bytes.extend(height.to_be_bytes());
    bytes.extend([8, 2, 0, 0, 0, 0, 0, 0, 0]);
    bytes
}

async fn sent(house: &House, path: &str, kind: &str, body: Vec<u8>) -> StatusCode {
    let asked = Asked { body, ..Asked::own(Method::POST, path) };
    house.ask(asked.with("content-type", kind)).await.status
}

#[tokio::test]
async fn what_is_no_photo_is_not_kept() {
    let house = House::new();
    let before = house.entries();
    let jpeg_without_end = [&[0xff, 0xd8, 0xff, 0xe0, 0, 16][..], &[0; 400]].concat();
    let bodies = [
        Vec::new(),
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>".to_vec(),
        b"<!doctype html><script>alert(1)</script>".to_vec(),
        b"GIF89a\x01\0\x01\0\0\0\0".to_vec(),
        b"#!/bin/sh\n".to_vec(),
        jpeg_without_end,
        png_head(1, 1),
        png_head(0, 0),
        png_head(15_999, 15_999),
        png_head(u32::MAX, u32::MAX),
        b"RIFF\xff\xff\xff\xffWEBPVP8L".to_vec(),
    ];
    for body in bodies {
        let named = format!("{:.20}", String::from_utf8_lossy(&body));
        let status = sent(&house, &format!("/photo/{ID}"), "image/jpeg", body.clone()).await;
        assert!(status.is_client_error(), "{named}: {status}");
        let form = [
            b"--x\r\ncontent-disposition: form-data; name=\"file\"; filename=\"../../a.jpg\"\r\n\r\n",
            &body[..],
            b"\r\n--x--\r\n",
        ]
        .concat();
        let status = sent(&house, "/job/private-job/photo", "multipart/form-data; boundary=x", form).await;
        assert!(status.is_client_error(), "{named} in a form: {status}");
    }
    let big = vec![0xff; 25 * 1024 * 1024];
    assert_eq!(sent(&house, &format!("/photo/{ID}"), "image/jpeg", big).await, StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(house.page(&format!("/photo/{ID}.jpg")).await.status, StatusCode::NOT_FOUND);
    assert_eq!(house.entries(), before);
    assert_eq!(house.photos(), 0);
}

#[tokio::test]
async fn a_photo_goes_nowhere_but_into_its_folder() {
    let house = House::new();
    let long = "0".repeat(33);
    for id in [
        "..%2f..%2fgarage.db",
        "%2e%2e",
        "0123",
        &long,
        "0123456789abcdef0123456789abcde%2f",
        "%00",
        "car.toml",
    ] {
        let status = sent(&house, &format!("/photo/{id}"), "image/png", png_head(1, 1)).await;
        assert!(status.is_client_error(), "{id}: {status}");
        assert!(house.page(&format!("/photo/{id}")).await.status.is_client_error(), "{id}");
    }
    assert_eq!(house.photos(), 0);
}

#[tokio::test]
async fn a_form_in_pieces_that_do_not_fit_is_refused() {
    let house = House::new();
    let before = house.entries();
    let forms: [(&str, &[u8]); 6] = [
        ("multipart/form-data", b"--x\r\n"),
        ("multipart/form-data; boundary=", b"--\r\n"),
        ("multipart/form-data; boundary=x", b""),
        ("multipart/form-data; boundary=x", b"--x"),
        ("multipart/form-data; boundary=x", b"--x\r\ncontent-disposition: form-data\r\n\r\n"),
        ("multipart/form-data; boundary=x", b"--y\r\n\r\n\r\n--y--"),
    ];
    for (kind, body) in forms {
        let status = sent(&house, "/job/private-job/photo", kind, body.to_vec()).await;
        assert!(status.is_client_error(), "{kind} {body:?}: {status}");
    }
    assert_eq!(house.entries(), before);
}

/// One grey pixel (ISO/IEC 15948).
#[rustfmt::skip]
const PIXEL: [u8; 67] = [137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72, 68, 82, 0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0, 58, 126, 155, 85, 0, 0, 0, 10, 73, 68, 65, 84, 120, 156, 99, 104, 0, 0, 0, 130, 0, 129, 119, 205, 114, 182, 0, 0, 0, 0, 73, 69, 78, 68, 174, 66, 96, 130];

/// Gone back to and sent with another note, the form makes another entry about the same picture.
#[tokio::test]
async fn a_photo_sent_again_with_another_note_keeps_both_notes() {
    let house = House::new();
    let before = house.entries();
    for (note, entries) in [("first", 1), ("second", 2)] {
        let field = |name: &str, text: &str| {
            format!("--x\r\ncontent-disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n").into_bytes()
        };
        let file =
            b"--x\r\ncontent-disposition: form-data; name=\"file\"; filename=\"a.png\"\r\n\r\n".to_vec();
        let form = [field("id", ID), field("note", note), file, PIXEL.to_vec(), b"\r\n--x--\r\n".to_vec()];
        let kind = "multipart/form-data; boundary=x";
        let status = sent(&house, "/job/private-job/photo", kind, form.concat()).await;
        assert!(status.is_redirection(), "{note}: {status}");
        assert_eq!(house.entries(), before + entries, "{note}");
    }
    assert_eq!(house.photos(), 1);
}
