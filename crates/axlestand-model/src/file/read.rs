//! From text to a checked car, with every finding in one pass.

use super::build;
use super::fields::FILE;
use super::finding::{Finding, Severity};
use super::record::{ReadThread, Sink, read_table};
use crate::car::Car;
use crate::check;
use toml::de::DeTable;

/// The newest format version that this program reads.
pub(super) const FORMAT: u32 = 1;

/// What came of reading a vehicle file.
#[derive(Debug, Clone)]
pub struct CarReading {
    /// The car, where no finding is an error.
    pub car: Option<Car>,
    /// All findings, in the order of the file.
    pub findings: Vec<Finding>,
}

impl CarReading {
    /// How many findings are errors.
    #[must_use]
    pub fn errors(&self) -> usize {
        self.findings.iter().filter(|finding| finding.severity == Severity::Error).count()
    }
}

/// Reads a vehicle file. `thread` reads thread designations, since thread series are another
/// crate's subject.
///
/// Every fault is reported, not only the first: syntax, unknown keys, wrong types, words and
/// quantities, then references, and, where all of those are right, contradictions in the car.
#[must_use]
pub fn read(text: &str, thread: ReadThread) -> CarReading {
    let mut sink = Sink { text, thread, findings: Vec::new() };
    let (tree, faults) = DeTable::parse_recoverable(text);
    for fault in &faults {
        let span = fault.span().unwrap_or(0..0);
        sink.error(
            "syntax",
            &span,
            format!("this is not TOML: {}", fault.message()),
            "mend the syntax here".to_owned(),
        );
    }
    if !format_is_known(tree.get_ref(), &mut sink) {
        return CarReading { car: None, findings: sink.findings };
    }
    let record = read_table(tree.get_ref(), 0..0, &FILE, &mut sink);
    let built = build::build(&record, &mut sink);
    let clean = |sink: &Sink<'_>| sink.findings.iter().all(|finding| finding.severity != Severity::Error);
    if clean(&sink) {
        check::check(&built.car, &built.places, &mut sink);
    }
    let car = clean(&sink).then_some(built.car);
    let mut findings = sink.findings;
    findings.sort_by(|a, b| (a.span.start, a.span.end, a.code).cmp(&(b.span.start, b.span.end, b.code)));
    findings.dedup();
    CarReading { car, findings }
}

/// A file of a newer format is not picked apart: its unknown keys would be no faults.
fn format_is_known(table: &DeTable<'_>, sink: &mut Sink<'_>) -> bool {
    let Some(format) = table.get("format") else { return true };
    let number = format.get_ref().as_integer().and_then(|n| n.as_str().parse::<i64>().ok());
    match number {
        Some(n) if n > i64::from(FORMAT) => {
            sink.error(
                "newer-format",
                &format.span(),
                format!("the file has format version {n}; this program reads versions up to {FORMAT}"),
                "use a newer axlestand for this file".to_owned(),
            );
            false
        }
        _ => true,
    }
}
