//! Bytes on a real socket that no browser sends.

use axlestand_garage::{Garage, SystemClock, Units};
use axlestand_web::{Serving, serve};
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::sync::{Arc, mpsc};
use std::time::Duration;

/// Starts a server on a free port of this machine; it ends with the test.
fn started() -> (u16, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    Garage::open_or_create(folder.path(), Box::new(SystemClock)).unwrap();
    let serving = Serving {
        app: None,
        folder: folder.path().to_owned(),
        units: Units::Metric,
        clock: Arc::new(|| Box::new(SystemClock)),
        port: 0,
        lan: None,
    };
    let (tell, told) = mpsc::channel();
    std::thread::spawn(move || serve(serving, |pairing| tell.send(pairing.port).unwrap()));
    (told.recv_timeout(Duration::from_secs(30)).unwrap(), folder)
}

/// What comes back within two seconds, or until the server ends the connection.
fn answer(port: u16, bytes: &[u8]) -> String {
    let mut socket = TcpStream::connect(("127.0.0.1", port)).unwrap();
    socket.set_read_timeout(Some(Duration::from_secs(2))).unwrap();
    // The server may end the connection while the rest is still being sent.
    let _ = socket.write_all(bytes);
    let mut said = Vec::new();
    let mut piece = [0; 4096];
    while let Ok(n @ 1..) = socket.read(&mut piece) {
        said.extend_from_slice(&piece[..n]);
    }
    String::from_utf8_lossy(&said).into_owned()
}

fn sane(port: u16) -> String {
    answer(
        port,
        format!("GET /settings HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n").as_bytes(),
    )
}

#[test]
fn garbage_is_turned_away_and_the_next_one_is_answered() {
    let (port, _folder) = started();
    let hanging: Vec<TcpStream> =
        (0..200).map(|_| TcpStream::connect(("127.0.0.1", port)).unwrap()).collect();
    let long = format!(
        "GET /{} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n",
        "a".repeat(70_000)
    );
    let many: String = (0..500).map(|n| format!("X-{n}: 1\r\n")).collect();
    let many = format!("GET / HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n{many}\r\n");
    let asked = [
        "\0\0\0\0\r\n\r\n".to_owned(),
        "GET / HTTP/9.9\r\n\r\n".to_owned(),
        "GET / HTTP/1.1\r\nConnection: close\r\n\r\n".to_owned(),
        format!(
            "GET / HTTP/1.1\r\nHost: evil.example\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n"
        ),
        "GET http://evil.example/settings HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n"
            .to_owned(),
        format!("POST /deliver HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Length: -1\r\n\r\n"),
        format!(
            "POST /deliver HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Length: 4\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\nzz\r\n"
        ),
        format!("GET /settings\r\nX HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n"),
        long,
        many,
    ];
    for request in asked {
        let said = answer(port, request.as_bytes());
        assert!(!said.starts_with("HTTP/1.1 200"), "{request:.80} is answered: {said:.200}");
        assert!(!said.starts_with("HTTP/1.1 500"), "{request:.80} breaks it: {said:.200}");
    }
    // 200 connections that say nothing hold up nobody.
    assert!(sane(port).starts_with("HTTP/1.1 200"));
    drop(hanging);
    assert!(sane(port).contains("<h1>More</h1>"));
}

/// A port that is taken is said, never changed silently: phones keep what is not sent yet under it.
#[test]
fn a_taken_port_is_said() {
    let (port, folder) = started();
    let serving = Serving {
        app: None,
        folder: folder.path().to_owned(),
        units: Units::Metric,
        clock: Arc::new(|| Box::new(SystemClock)),
        port,
        lan: None,
    };
    let why = serve(serving, |_| {}).unwrap_err().to_string();
    assert!(why.starts_with(&format!("port {port} is taken")), "{why}");
}
