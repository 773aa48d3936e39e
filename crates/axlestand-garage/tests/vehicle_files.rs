//! Every vehicle file in `tests/cars` gives exactly the findings written at its top.
//!
//! A line `#! code line:column "fragment"` at the top of a file (or in `NAME.findings` beside it,
//! where a comment cannot stand) expects one finding; its message or hint holds the fragment.
//! `#! none` expects none.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_garage::{CarReading, render};
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// A finding as a test expects it: code, line, column, fragment of message or hint.
type Expected = (String, usize, usize, String);

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn corpus(kind: &str) -> Vec<PathBuf> {
    let folder = root().join("tests/cars").join(kind);
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .expect("the corpus is there")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    files.sort();
    files
}

fn text_of(path: &Path) -> String {
    String::from_utf8_lossy(&std::fs::read(path).expect("a file of the corpus")).into_owned()
}

fn expected(path: &Path, text: &str) -> Vec<Expected> {
    let beside = path.with_extension("findings");
    let notes = if beside.exists() { text_of(&beside) } else { text.to_owned() };
    let lines: Vec<&str> = notes.lines().filter_map(|line| line.strip_prefix("#! ")).collect();
    assert!(!lines.is_empty(), "{} says nowhere what to expect", path.display());
    lines.into_iter().filter(|line| *line != "none").map(|line| parse(path, line)).collect()
}

fn parse(path: &Path, line: &str) -> Expected {
    let parsed = || -> Option<Expected> {
        let (code, rest) = line.split_once(' ')?;
        let (place, fragment) = rest.split_once(' ')?;
        let (row, column) = place.split_once(':')?;
        let fragment = fragment.strip_prefix('"')?.strip_suffix('"')?;
        Some((code.to_owned(), row.parse().ok()?, column.parse().ok()?, fragment.to_owned()))
    };
    parsed().unwrap_or_else(|| panic!("{}: not understood: #! {line}", path.display()))
}

/// Compares exactly: each finding is expected once, each expectation is met once.
fn compare(path: &Path) -> Result<CarReading, String> {
    let text = text_of(path);
    let reading = axlestand_garage::vehicle::read_car(&text);
    let mut open = expected(path, &text);
    let mut extra = Vec::new();
    for finding in &reading.findings {
        let met = open.iter().position(|(code, line, column, fragment)| {
            finding.code == code
                && (finding.line, finding.column) == (*line, *column)
                && (finding.message.contains(fragment) || finding.hint.contains(fragment))
        });
        match met {
            Some(at) => drop(open.remove(at)),
            None => extra.push(format!("{} {}:{}", finding.code, finding.line, finding.column)),
        }
    }
    if open.is_empty() && extra.is_empty() {
        return Ok(reading);
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let shown = render(&reading.findings, &text, &name, false);
    Err(format!("{name}\n  missing: {open:?}\n  not expected: {extra:?}\n{shown}\n"))
}

fn compare_all(kind: &str, car: bool) {
    let mut troubles = Vec::new();
    for path in corpus(kind) {
        match compare(&path) {
            Ok(reading) if reading.car.is_some() == car || reading.errors() == 0 => {}
            Ok(reading) => troubles.push(format!("{}: car {}", path.display(), reading.car.is_some())),
            Err(trouble) => troubles.push(trouble),
        }
    }
    assert!(troubles.is_empty(), "{} files differ:\n\n{}", troubles.len(), troubles.join("\n"));
}

#[test]
fn each_faulty_file_gives_exactly_the_findings_it_says() {
    assert!(corpus("faulty").len() >= 45);
    compare_all("faulty", false);
}

#[test]
fn each_good_file_gives_a_car() {
    assert!(corpus("good").len() >= 8);
    compare_all("good", true);
    for path in corpus("good") {
        assert!(axlestand_garage::vehicle::read_car(&text_of(&path)).car.is_some(), "{}", path.display());
    }
}

#[test]
fn a_car_is_given_if_and_only_if_there_is_no_error() {
    for path in corpus("faulty").into_iter().chain(corpus("good")) {
        let reading = axlestand_garage::vehicle::read_car(&text_of(&path));
        assert_eq!(reading.car.is_some(), reading.errors() == 0, "{}", path.display());
    }
}

/// The codes that stand in the reader's source: texts of lower-case words joined with hyphens,
/// first argument of `error` and `warn`, or the outcome of a match over kinds of fields.
fn codes_in_source() -> BTreeSet<String> {
    let mut codes = BTreeSet::new();
    for folder in ["file", "check"] {
        let folder = root().join("crates/axlestand-model/src").join(folder);
        for entry in std::fs::read_dir(folder).expect("the source is there") {
            let text = text_of(&entry.expect("an entry").path());
            for call in [".error(", ".warn(", "let code = match"] {
                for (at, _) in text.match_indices(call) {
                    let rest = &text[at + call.len()..];
                    let until = if call.starts_with("let") { "};" } else { "," };
                    let piece = rest.split(until).next().unwrap_or_default();
                    codes.extend(piece.split('"').skip(1).step_by(2).map(str::to_owned));
                }
            }
        }
    }
    codes
}

#[test]
fn each_finding_code_has_a_file_that_shows_it() {
    let codes = codes_in_source();
    assert!(codes.len() >= 28, "the source was searched in vain: {codes:?}");
    let shown: BTreeSet<String> = corpus("faulty")
        .iter()
        .flat_map(|path| expected(path, &text_of(path)))
        .map(|found| found.0)
        .collect();
    let missing: Vec<_> = codes.difference(&shown).collect();
    assert!(missing.is_empty(), "no file in tests/cars/faulty shows {missing:?}");
    let unknown: Vec<_> = shown.difference(&codes).collect();
    assert!(unknown.is_empty(), "files expect codes that the source does not have: {unknown:?}");
}

fn demo() -> String {
    text_of(&root().join("cars/wagtail.toml"))
}

#[test]
fn the_demo_car_has_no_findings() {
    let reading = axlestand_garage::vehicle::read_car(&demo());
    assert!(reading.findings.is_empty(), "{}", render(&reading.findings, &demo(), "wagtail.toml", false));
}

/// What holds of every reading, whatever the text.
fn sound(text: &str) -> Result<(), TestCaseError> {
    let reading = axlestand_garage::vehicle::read_car(text);
    prop_assert_eq!(reading.car.is_some(), reading.errors() == 0);
    let lines: Vec<&str> = text.split('\n').collect();
    for finding in &reading.findings {
        prop_assert!(!finding.message.trim().is_empty(), "{:?}", finding);
        prop_assert!(!finding.hint.trim().is_empty(), "{:?}", finding);
        prop_assert!((1..=lines.len()).contains(&finding.line), "{:?}", finding);
        let width = lines[finding.line - 1].chars().count();
        prop_assert!((1..=width + 1).contains(&finding.column), "{:?}", finding);
        prop_assert!(text.get(finding.span.clone()).is_some(), "{:?}", finding);
    }
    for colour in [false, true] {
        let shown = render(&reading.findings, text, "car.toml", colour);
        prop_assert_eq!(shown.is_empty(), reading.findings.is_empty());
    }
    Ok(())
}

/// Something that does not belong where it stands.
const JUNK: &[&str] = &[
    "",
    "1",
    "-1",
    "nan",
    "-inf",
    "1e999",
    "true",
    "\"\"",
    "\"x\"",
    "\"\\u0000\"",
    "\"é日🚗\"",
    "[]",
    "{}",
    "[1, 2]",
    "[[]]",
    "{ a = 1 }",
    "\"both\"",
    "\"-3 mm\"",
    "\"0 N·m\"",
    "\"90°\"",
    "[\"wheel\", \"wheel\"]",
    "\"wheel.left\"",
    "1979-05-27",
    "'",
    "\"\"\"",
    "]",
    "= =",
    "0xFFFF",
    "99999999999999999999",
    "\u{202e}",
    "\u{0}",
    "\r",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_cut_file_is_reported_in_its_place(at in 0_usize..120_000) {
        let demo = demo();
        let cut = &demo.as_bytes()[..at % demo.len()];
        sound(&String::from_utf8_lossy(cut))?;
    }

    #[test]
    fn a_lost_line_never_breaks_the_reader(at in 0_usize..10_000) {
        let demo = demo();
        let mut lines: Vec<&str> = demo.lines().collect();
        let at = at % lines.len();
        lines.remove(at);
        sound(&lines.join("\n"))?;
    }

    #[test]
    fn a_doubled_line_never_breaks_the_reader(at in 0_usize..10_000) {
        let demo = demo();
        let mut lines: Vec<&str> = demo.lines().collect();
        let at = at % lines.len();
        lines.insert(at, lines[at]);
        sound(&lines.join("\n"))?;
    }

    #[test]
    fn junk_in_place_of_values_never_breaks_the_reader(
        changes in prop::collection::vec((0_usize..10_000, 0_usize..JUNK.len()), 1..6)
    ) {
        let demo = demo();
        let mut lines: Vec<String> = demo.lines().map(str::to_owned).collect();
        let values: Vec<usize> =
            (0..lines.len()).filter(|at| lines[*at].contains(" = ") && !lines[*at].starts_with('#')).collect();
        for (at, junk) in changes {
            let at = values[at % values.len()];
            let (key, _) = lines[at].split_once(" = ").unwrap_or_default();
            lines[at] = format!("{key} = {}", JUNK[junk]);
        }
        sound(&lines.join("\n"))?;
    }

    #[test]
    fn any_text_at_all_is_read(text in "\\PC{0,200}|[\\[\\]{}=\"'#.a\\n\\r\\t\\\\ 1-]{0,200}") {
        sound(&text)?;
        sound(&format!("format = 1\n[car]\nname = \"x\"\n{text}"))?;
    }
}
