//! `set_value` checks before it writes: a value that would break the file leaves it as it was.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_garage::GarageError;
use axlestand_garage::vehicle::{SetValue, read_car, set_value};
use std::path::PathBuf;

const FILE: &str = r#"# a comment
format = 1
[car]
name = "Test car"
[part.arm]
name = "arm"
side = "both"
place = "bench"
minutes = 1
[fastener.arm-bolt]   # both sides
name = "arm bolt"
side = "both"
joins = ["arm"]
place = "bench"
minutes = 1
[reading.toe]
name = "toe"
unit = "°"
u = "0.1°"
place = "around"
minutes = 5
[target.toe-target]
name = "toe"
reading = "toe"
"#;

struct Stored {
    _folder: tempfile::TempDir,
    path: PathBuf,
}

impl Stored {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("car.toml");
        std::fs::write(&path, FILE).expect("written");
        Self { _folder: folder, path }
    }

    fn text(&self) -> String {
        std::fs::read_to_string(&self.path).expect("read")
    }

    fn set(&self, item: &str, field: &str, value: &str) -> Result<String, GarageError> {
        let source = Some("sheet 40-01".to_owned());
        let set =
            SetValue { item: item.into(), field: field.into(), value: value.into(), source, measured: false };
        set_value(&self.path, &set).map(|_| self.text())
    }
}

#[test]
fn a_value_that_would_break_the_file_is_refused() {
    let stored = Stored::new();
    for (item, field, value, said) in [
        ("arm-bolt", "torque", "75", "no unit"),
        ("arm-bolt", "torque", "75 mm", "measures a length"),
        ("arm-bolt", "torque", "90°", "no torque before it"),
        ("arm-bolt", "torque", "75 ± 5 N·m", "tolerance"),
        ("arm-bolt", "torque", "75 N·m\"\n[car", "not a unit"),
        ("arm-bolt", "condition", "greasy", "not one of"),
        ("toe-target", "value", "0.1°", "needs its tolerance"),
        ("toe-target", "tolerance", "0°", "more than nought"),
        ("toe-target", "tolerance", "1 mm", "measures a length"),
    ] {
        let why = stored.set(item, field, value).expect_err(value).to_string();
        assert!(why.contains(said), "{item} {field} {value}: {why}");
        assert_eq!(stored.text(), FILE, "{item} {field} {value}");
    }
}

#[test]
fn a_value_for_one_side_is_the_value_of_both() {
    let stored = Stored::new();
    let text = stored.set("arm-bolt.left", "torque", "75 N·m").expect("set");
    let car = read_car(&text).car.expect("a car");
    let torques: Vec<_> = car.fasteners.iter().filter_map(|fastener| fastener.torque.as_ref()).collect();
    assert_eq!(torques.len(), 2);
    assert!(torques.iter().all(|torque| torque.steps_text() == "75 N·m" && torque.is_settled()));
    assert!(text.starts_with("# a comment\n") && text.contains("[fastener.arm-bolt]   # both sides\n"));
}

#[test]
fn a_target_is_set_with_its_tolerance_first() {
    let stored = Stored::new();
    stored.set("toe-target", "tolerance", "0.15°").expect("set");
    let text = stored.set("toe-target", "value", "-0°6'").expect("set");
    let car = read_car(&text).car.expect("a car");
    let band = car.targets[0].band.expect("a band");
    assert!((band.lower() + 0.25).abs() < 1e-9 && (band.upper() - 0.05).abs() < 1e-9);
}
