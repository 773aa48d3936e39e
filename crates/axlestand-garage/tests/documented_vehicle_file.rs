//! What docs/vehicle-file.md shows is read without a finding, and a job runs on its example.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_garage::{Action, CountingClock, Garage, StartJob, vehicle};
use axlestand_geometry::kinematics::Point;

const PAGE: &str = include_str!("../../../docs/vehicle-file.md");

/// The examples of the page.
fn examples() -> Vec<String> {
    let blocks = PAGE.split("```toml\n").skip(1);
    blocks.map(|block| block.split("```").next().unwrap_or_default().to_owned()).collect()
}

fn whole() -> String {
    examples().into_iter().find(|text| text.starts_with("format = 1")).expect("a complete example")
}

#[test]
fn the_complete_example_has_no_finding() {
    let reading = vehicle::read_car(&whole());
    assert!(reading.findings.is_empty(), "{:#?}", reading.findings);
}

#[test]
fn the_pieces_are_read_without_an_error() {
    for piece in examples().into_iter().filter(|text| !text.starts_with("format = 1")) {
        // The second piece goes on with a table that needs its layout.
        let piece = piece.replace("# further keys of the same table", "\nlayout = \"strut\"");
        let text = format!("format = 1\n[car]\nname = \"x\"\n{piece}");
        let reading = vehicle::read_car(&text);
        assert!(reading.findings.is_empty(), "{:#?}\n{text}", reading.findings);
    }
}

#[test]
fn a_job_runs_on_the_example() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("car.toml");
    std::fs::write(&path, whole()).unwrap();
    let clock = Box::new(CountingClock::default());
    let mut garage = Garage::open_or_create(&folder.path().join("garage"), clock).unwrap();
    let start =
        StartJob { car: path, replace: vec!["control-arm".to_owned()], rust: 2, ..StartJob::default() };
    garage.start_job(&start).unwrap();
    assert!(garage.job().unwrap().state.number_of(&Action::parse("off:control-arm.left").unwrap()).is_some());
}

#[test]
fn every_point_is_listed() {
    let listed = |word: &str| PAGE.contains(word);
    for point in Point::ALL {
        let word = point.name().replace(' ', "-");
        let numbered = word.starts_with("link-");
        assert!(listed(&word) || numbered, "docs/vehicle-file.md does not list {word}");
    }
}
