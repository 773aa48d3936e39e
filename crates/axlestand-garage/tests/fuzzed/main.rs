//! The corpus of the fuzz targets, and every input that once broke something, read by the same properties.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test names its input and fails by panicking"
)]

mod properties;

use std::path::Path;

/// Reads each input of a target's corpus; `least` is how many there are at least.
fn corpus(target: &str, least: usize, property: fn(&str)) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fuzz/corpus").join(target);
    let mut count = 0;
    for file in std::fs::read_dir(&folder).unwrap_or_else(|why| panic!("{}: {why}", folder.display())) {
        let path = file.unwrap().path();
        println!("{}", path.display());
        property(&String::from_utf8_lossy(&std::fs::read(&path).unwrap()));
        count += 1;
    }
    assert!(count >= least, "{count} inputs in {}", folder.display());
}

#[test]
fn vehicle_files() {
    corpus("vehicle_file", 20, properties::vehicle_file);
}

#[test]
fn events() {
    corpus("event", 20, properties::event);
}

#[test]
fn designations() {
    corpus("designation", 20, properties::designation);
}

#[test]
fn forms() {
    corpus("form", 20, properties::form);
}

#[test]
fn queues() {
    corpus("queue", 3, properties::queue);
}
