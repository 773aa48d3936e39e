//! The demo tells the whole invented job, the same way every time, and ends on the road.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use std::path::Path;
use std::process::Command;

fn demo(folder: &Path) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_axlestand"))
        .args(["demo", "--folder"])
        .arg(folder)
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap().replace(&folder.display().to_string(), "FOLDER")
}

#[test]
fn it_tells_the_whole_job_in_under_120_lines() {
    let folder = tempfile::tempdir().unwrap();
    let story = demo(folder.path());
    assert!(story.lines().count() < 120, "{} lines", story.lines().count());
    // In this order: a rusted-in sensor, a mixed-up bolt, a pivot bolt final too early, a forgotten
    // castle nut, a toe out of tolerance, and the clear road check.
    let mut from = 0;
    for scene in [
        "stuck sensor-bore.left",
        "Broken: wheel speed sensor, left",
        "it is 104 mm long, but control arm front bush bolt, left is 82 mm long",
        "its final torque is due with the car at ride height, and the car is on stands",
        "Lower the car: NO",
        "Lower the car: yes",
        "DO NOT ROLL THE CAR",
        "Road: NO, 1 reason",
        "Road: the ledger knows nothing against it",
        "Report: wagtail",
        "AXLESTAND_GARAGE='FOLDER'",
    ] {
        let at = story[from..]
            .find(scene)
            .unwrap_or_else(|| panic!("'{scene}' is missing, or too early, in:\n{story}"));
        from += at;
    }
}

#[test]
fn it_is_the_same_every_time() {
    let (first, second) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    assert_eq!(demo(first.path()), demo(second.path()));
}

#[test]
fn it_does_not_write_over_a_garage() {
    let folder = tempfile::tempdir().unwrap();
    demo(folder.path());
    let before = std::fs::read(folder.path().join("garage.db")).unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_axlestand"))
        .args(["demo", "--folder"])
        .arg(folder.path())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("holds a garage already"));
    assert_eq!(std::fs::read(folder.path().join("garage.db")).unwrap(), before);
}
