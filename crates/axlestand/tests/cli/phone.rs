//! A phone's side of a running server.

use crate::workshop::{Workshop, ids};
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::process::Child;

/// Starts a server in a workshop; the process and its port.
pub(crate) fn serve(workshop: &Workshop) -> (Child, u16) {
    let mut server = workshop.command(&["serve", "--json", "--port", "0"]).spawn().unwrap();
    let port = port_of(&mut server);
    (server, port)
}

/// The port that a server says it serves at.
fn port_of(server: &mut Child) -> u16 {
    let mut text = String::new();
    let stdout = server.stdout.as_mut().unwrap();
    // Byte by byte up to the end of the document: what comes later stays unread.
    let mut byte = [0u8; 1];
    while !text.ends_with("\n}") {
        assert_eq!(stdout.read(&mut byte).unwrap(), 1, "the server ended: {text}");
        text.push(char::from(byte[0]));
    }
    let document: serde_json::Value = serde_json::from_str(&text).unwrap();
    let address = document["address"].as_str().unwrap();
    address.trim_end_matches('/').rsplit(':').next().unwrap().parse().unwrap()
}

/// A phone with a queue of notes, of which it forgets one only when it is acknowledged.
pub(crate) struct Phone {
    pub(crate) name: u64,
    /// How many of its notes are acknowledged.
    pub(crate) done: u64,
    /// How many of them had been recorded before, by a server that was killed before it could say so.
    pub(crate) repeated: u64,
    pub(crate) acknowledged: Vec<String>,
}

impl Phone {
    pub(crate) fn new(name: u64) -> Self {
        Self { name, done: 0, repeated: 0, acknowledged: Vec::new() }
    }

    /// Sends the next note; `false` where no whole answer came.
    pub(crate) fn send(&mut self, port: u16) -> bool {
        let Some(answer) = ask(port, &self.next()) else { return false };
        let answer = &answer["answers"][0];
        assert!(answer["outcome"] == "taken" && answer["recorded"] == true, "{answer}");
        self.repeated += u64::from(answer["repeated"] == true);
        self.acknowledged.extend(ids(&answer["entries"]));
        self.done += 1;
        true
    }

    /// The queue with the next note alone.
    pub(crate) fn next(&self) -> String {
        let number = self.done + 1;
        let text = format!("of {} number {number}.", self.name);
        serde_json::json!({
            "format": "axlestand-queue", "version": 1, "queue": format!("{:032x}", self.name), "sent": 2_000,
            "entries": [{
                "id": format!("{:016x}{number:016x}", self.name + 1), "number": number, "job": "car",
                "made": 1_000, "fields": [["do", "note"], ["text", text]],
            }],
        })
        .to_string()
    }
}

/// Posts a queue; the answer where it came whole.
pub(crate) fn ask(port: u16, body: &str) -> Option<serde_json::Value> {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).ok()?;
    let length = body.len();
    let head = format!(
        "POST /deliver HTTP/1.1\r\nHost: localhost:{port}\r\nOrigin: http://localhost:{port}\r\n\
         Content-Type: application/json\r\nContent-Length: {length}\r\nConnection: close\r\n\r\n"
    );
    stream.write_all(head.as_bytes()).ok()?;
    stream.write_all(body.as_bytes()).ok()?;
    let mut answer = String::new();
    stream.read_to_string(&mut answer).ok()?;
    let (head, body) = answer.split_once("\r\n\r\n")?;
    assert!(head.starts_with("HTTP/1.1 200"), "{answer}");
    serde_json::from_str(body).ok()
}
