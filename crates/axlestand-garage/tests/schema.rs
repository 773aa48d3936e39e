//! The JSON schema in the tree is the one that the reader's list of fields gives, and it agrees
//! with the reader as far as a schema can.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use serde_json::Value;
use std::path::{Path, PathBuf};

/// Codes of faults that a schema can know.
const KNOWN_TO_A_SCHEMA: &[&str] =
    &["missing-key", "unknown-key", "unknown-word", "bad-name", "wrong-type", "newer-format"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn text_of(path: &Path) -> String {
    String::from_utf8_lossy(&std::fs::read(path).expect("a file of the tree")).into_owned()
}

fn corpus(kind: &str) -> Vec<PathBuf> {
    let folder = root().join("tests/cars").join(kind);
    let entries = std::fs::read_dir(folder).expect("the corpus is there");
    let mut files: Vec<_> = entries.map(|entry| entry.expect("an entry").path()).collect();
    files.retain(|path| path.extension().is_some_and(|end| end == "toml"));
    files.sort();
    files
}

/// Checks `value` against the keywords of draft-07 that our schema uses; any other keyword fails the
/// test. A validator crate would bring seventy crates and minutes of building for these few.
fn errors(schema: &Value, value: &Value, at: &str, found: &mut Vec<String>) {
    let Value::Object(rules) = schema else { panic!("not a schema: {schema}") };
    let text_or_list = |key: &str| rules.get(key).and_then(Value::as_array);
    for (rule, wanted) in rules {
        let good = match rule.as_str() {
            "$schema" | "title" | "description" => true,
            "type" => has_type(value, wanted.as_str().expect("one type")),
            "const" => value == wanted,
            "enum" => text_or_list("enum").is_some_and(|words| words.contains(value)),
            "minimum" => value.as_f64().is_none_or(|n| n >= wanted.as_f64().expect("a number")),
            "maximum" => value.as_f64().is_none_or(|n| n <= wanted.as_f64().expect("a number")),
            "minLength" => value.as_str().is_none_or(|text| text.chars().count() as u64 >= size(wanted)),
            "maxLength" => value.as_str().is_none_or(|text| text.chars().count() as u64 <= size(wanted)),
            "minItems" => value.as_array().is_none_or(|list| list.len() as u64 >= size(wanted)),
            "maxItems" => value.as_array().is_none_or(|list| list.len() as u64 <= size(wanted)),
            "required" => value.as_object().is_none_or(|map| {
                text_or_list("required")
                    .into_iter()
                    .flatten()
                    .all(|key| map.contains_key(key.as_str().unwrap_or_default()))
            }),
            "anyOf" => text_or_list("anyOf").into_iter().flatten().any(|one| fits(one, value)),
            "items" => value.as_array().is_none_or(|list| {
                list.iter()
                    .enumerate()
                    .for_each(|(n, item)| errors(wanted, item, &format!("{at}/{n}"), found));
                true
            }),
            "propertyNames" => value
                .as_object()
                .is_none_or(|map| map.keys().all(|key| fits(wanted, &Value::from(key.as_str())))),
            "properties" | "patternProperties" | "additionalProperties" => true,
            other => panic!("the schema uses '{other}': teach this test what it means"),
        };
        if !good {
            found.push(format!("{at}: {rule} {wanted}"));
        }
    }
    for (key, inner) in value.as_object().into_iter().flatten() {
        match rule_for(rules, key) {
            Some(Value::Bool(true)) | None => {}
            Some(Value::Bool(false)) => found.push(format!("{at}/{key}: not known")),
            Some(rule) => errors(rule, inner, &format!("{at}/{key}"), found),
        }
    }
}

/// The rule for one key of an object.
fn rule_for<'a>(rules: &'a serde_json::Map<String, Value>, key: &str) -> Option<&'a Value> {
    let named = rules.get("properties").and_then(|named| named.get(key));
    let pattern = || {
        let (pattern, rule) = rules.get("patternProperties")?.as_object()?.iter().next()?;
        assert_eq!(pattern, "^[a-z][a-z0-9]*(-[a-z0-9]+)*$", "teach this test the pattern");
        let word = |word: &str| !word.is_empty() && word.chars().all(|c| matches!(c, 'a'..='z' | '0'..='9'));
        (key.starts_with(|c: char| c.is_ascii_lowercase()) && key.split('-').all(word)).then_some(rule)
    };
    named.or_else(pattern).or_else(|| rules.get("additionalProperties"))
}

fn has_type(value: &Value, name: &str) -> bool {
    match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "number" => value.is_number(),
        "integer" => value.as_f64().is_some_and(|n| n.fract().abs() < f64::EPSILON),
        other => panic!("the schema uses the type '{other}': teach this test what it means"),
    }
}

fn size(wanted: &Value) -> u64 {
    wanted.as_u64().expect("a size")
}

fn fits(schema: &Value, value: &Value) -> bool {
    let mut found = Vec::new();
    errors(schema, value, "", &mut found);
    found.is_empty()
}

/// The file as JSON, where it is TOML and holds nothing that JSON cannot hold.
fn json_of(text: &str) -> Option<Value> {
    toml::from_str(text.trim_start_matches('\u{feff}')).ok()
}

#[test]
fn the_schema_in_the_tree_is_the_one_of_the_reader() {
    let path = root().join("cars/vehicle.schema.json");
    let stored: Value = serde_json::from_str(&text_of(&path)).expect("JSON");
    assert!(
        stored == axlestand_garage::schema(),
        "cars/vehicle.schema.json is not up to date. Renew it with\n  \
         cargo run -p axlestand -- car schema > cars/vehicle.schema.json"
    );
}

#[test]
fn the_page_of_fields_is_the_one_of_the_reader() {
    let stored = text_of(&root().join("docs/vehicle-fields.md"));
    assert!(
        stored == axlestand_garage::reference(),
        "docs/vehicle-fields.md is not up to date. Renew it with\n  \
         cargo run -p axlestand -- car schema --markdown > docs/vehicle-fields.md"
    );
}

#[test]
fn the_demo_car_and_every_good_file_fit_the_schema() {
    let schema = axlestand_garage::schema();
    for path in corpus("good").into_iter().chain([root().join("cars/wagtail.toml")]) {
        let json = json_of(&text_of(&path)).expect("TOML");
        let mut found = Vec::new();
        errors(&schema, &json, "", &mut found);
        assert!(found.is_empty(), "{}:\n{}", path.display(), found.join("\n"));
    }
}

#[test]
fn a_fault_that_a_schema_can_know_is_refused_by_it() {
    let (schema, mut judged, mut passed) = (axlestand_garage::schema(), 0, Vec::new());
    for path in corpus("faulty") {
        let text = text_of(&path);
        let findings = axlestand_garage::vehicle::read_car(&text).findings;
        let knowable = findings.iter().any(|finding| {
            // Whether a tolerance is missing depends on the value beside it, which is optional.
            KNOWN_TO_A_SCHEMA.contains(&finding.code) && !finding.message.contains("needs its tolerance")
        });
        let Some(json) = json_of(&text).filter(|_| knowable) else { continue };
        judged += 1;
        if fits(&schema, &json) {
            passed.push(path.display().to_string());
        }
    }
    assert!(judged >= 20, "only {judged} files were judged");
    assert!(passed.is_empty(), "the schema lets pass: {passed:#?}");
}
