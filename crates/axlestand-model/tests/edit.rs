//! Writing single values: everything but the one value stays as it was, to the letter.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_model::Origin;
use axlestand_model::file::{EditError, SetField, read, set_field};

const FILE: &str = r#"# The car of a test.   Two  blanks here.

format = 1   # first line

[car]
name = 'Test car' # single quotes stay

# Bolts of the arm: look at both.
[fastener.arm-bolt]
name = "arm bolt"
side = "both"   # one entry, two bolts
joins = [ "arm" ,  "subframe" ]
# measured with the caliper
thread =   "M12x1.5"     # from the old one
torque = { value = "60 N·m", state = "ride-height" , provenance = "typical" } # to be looked up
	place = "under"
minutes = 3

[fastener.plain-bolt]
name = "plain bolt"
joins = ["arm"]
place = "under"
minutes = 1

# --- the end of the bolts

[fluid.oil]
fill = "to-overflow"
name = "gear oil"
"amount" = "2.0 l"  # quoted key
"#;

fn set<'a>(item: &'a str, field: &'a str, value: &'a str) -> SetField<'a> {
    SetField { item, field, value, origin: Origin::Manual, source: Some("sheet 40-01") }
}

fn written(text: &str, field: &SetField<'_>) -> String {
    set_field(text, field).expect("a value that can be written")
}

/// The lines that differ, old and new.
fn changes(old: &str, new: &str) -> (Vec<String>, Vec<String>) {
    let only = |these: &str, those: &str| {
        let others: Vec<&str> = those.lines().collect();
        these.lines().filter(|line| !others.contains(line)).map(str::to_owned).collect()
    };
    (only(old, new), only(new, old))
}

#[test]
fn only_the_line_of_the_value_changes() {
    let new = written(FILE, &set("arm-bolt", "torque", "75 N·m + 90°"));
    let (gone, come) = changes(FILE, &new);
    assert_eq!(
        gone,
        [
            r#"torque = { value = "60 N·m", state = "ride-height" , provenance = "typical" } # to be looked up"#
        ]
    );
    let [line] = &come[..] else { panic!("{come:?}") };
    assert!(
        line.starts_with(
            r#"torque = { value = "75 N·m + 90°", state = "ride-height" , provenance = "manual""#
        )
    );
    assert!(line.contains(r#"source = "sheet 40-01""#) && line.ends_with("} # to be looked up"), "{line}");
    assert_eq!(new.lines().count(), FILE.lines().count());
}

#[test]
fn a_comment_above_a_value_stays_with_it() {
    let measured =
        SetField { origin: Origin::Measured, source: None, ..set("arm-bolt", "thread", "M14x1.5") };
    let new = written(FILE, &measured);
    assert!(
        new.contains("# measured with the caliper\nthread =   \"M14x1.5\"     # from the old one\n"),
        "{new}"
    );
    assert!(new.contains("measured = [\"thread\"]"), "{new}");
    let (gone, come) = changes(FILE, &new);
    assert_eq!((gone.len(), come.len()), (1, 2), "{gone:?} {come:?}");
}

#[test]
fn setting_twice_is_setting_once() {
    let field = set("arm-bolt", "torque", "75 N·m");
    let once = written(FILE, &field);
    assert_eq!(written(&once, &field), once);
    let measured =
        SetField { origin: Origin::Measured, source: None, ..set("plain-bolt", "length", "45 mm") };
    let once = written(FILE, &measured);
    assert_eq!(written(&once, &measured), once);
    let back = written(&written(FILE, &set("oil", "amount", "2.2 l")), &set("oil", "amount", "2.1 l"));
    assert_eq!(back, written(FILE, &set("oil", "amount", "2.1 l")));
}

#[test]
fn a_fastener_without_torque_gets_one() {
    let new = written(FILE, &set("plain-bolt", "torque", "8 N·m"));
    let (gone, come) = changes(FILE, &new);
    assert!(gone.is_empty(), "{gone:?}");
    assert_eq!(come.len(), 1, "{come:?}");
    assert!(come[0].starts_with(r#"torque = { value = "8 N·m""#), "{come:?}");
    assert!(new.contains("minutes = 1\ntorque = {"), "{new}");
    assert!(new.contains("\n\n# --- the end of the bolts\n\n[fluid.oil]"), "{new}");
}

#[test]
fn both_sides_share_one_entry() {
    let new = written(FILE, &set("arm-bolt", "torque", "75 N·m"));
    assert_eq!(new.matches("[fastener.arm-bolt]").count(), 1);
    assert_eq!(
        set_field(FILE, &set("arm-bolt.left", "torque", "75 N·m")),
        Err(EditError::UnknownItem("arm-bolt.left".to_owned()))
    );
}

#[test]
fn quoted_keys_and_dotted_tables_are_found() {
    let new = written(FILE, &set("oil", "amount", "2.2 l"));
    assert!(new.contains("\"amount\" = \"2.2 l\"  # quoted key\n"), "{new}");
    let dotted = "format = 1\nfastener.bolt.torque.value = \"5 N·m\" # dotted\ncar.name = \"x\"\n";
    let new = written(dotted, &set("bolt", "torque", "6 N·m"));
    assert!(new.contains("fastener.bolt.torque.value = \"6 N·m\" # dotted\n"), "{new}");
}

#[test]
fn line_ends_and_byte_order_mark_stay() {
    let crlf = FILE.replace('\n', "\r\n");
    let new = written(&crlf, &set("arm-bolt", "torque", "75 N·m"));
    assert_eq!(new.matches('\n').count(), new.matches("\r\n").count());
    assert_eq!(new.replace("\r\n", "\n"), written(FILE, &set("arm-bolt", "torque", "75 N·m")));
    let marked = format!("\u{feff}{FILE}");
    let new = written(&marked, &set("arm-bolt", "torque", "75 N·m"));
    assert_eq!(new, format!("\u{feff}{}", written(FILE, &set("arm-bolt", "torque", "75 N·m"))));
}

#[test]
fn a_source_never_vouches_for_what_was_typical() {
    // The condition is from the manual, the torque beside it still a placeholder.
    let new = written(FILE, &set("arm-bolt", "condition", "oiled"));
    assert!(!new.contains("60 N·m") && new.contains(r#"condition = "oiled""#), "{new}");
    // A value that has a source of its own stays.
    let sure = FILE.replace(r#"provenance = "typical""#, r#"provenance = "manual", source = "sheet 1""#);
    let new = written(&sure, &set("arm-bolt", "condition", "oiled"));
    assert!(new.contains("60 N·m") && new.contains(r#"condition = "oiled""#), "{new}");
    // Without provenance an amount is typical.
    let new = written(FILE, &set("oil", "grade", "75W-80"));
    assert!(!new.contains("2.0 l") && new.contains(r#"grade = "75W-80""#), "{new}");
}

#[test]
fn what_cannot_be_set_is_said() {
    let no = |item, field| set_field(FILE, &set(item, field, "1")).expect_err("refused").to_string();
    assert!(no("oil", "torque").contains("it takes amount or grade"));
    assert!(no("arm-bolt", "minutes").contains("torque, condition, thread"));
    assert!(no("wheel", "torque").contains("no fastener, fluid or target called 'wheel'"));
    assert_eq!(set_field("[car", &set("a", "torque", "1")), Err(EditError::NotToml));
}

#[test]
fn values_with_quotes_and_signs_come_back_as_they_went() {
    for value in ["75W-80 \"long life\"", "C:\\oil", "Öl № 5", "line\nbreak"] {
        let new = written(FILE, &set("oil", "grade", value));
        let reading = read(&new, |text| Ok(text.to_owned()));
        assert!(reading.findings.iter().all(|finding| finding.code != "syntax"), "{new}");
        let document: toml_edit::DocumentMut = new.parse().expect("TOML");
        assert_eq!(document["fluid"]["oil"]["grade"].as_str(), Some(value));
    }
}
