//! From text to a checked car, with every finding in one pass.

use super::build;
use super::corner::{CheckCorner, unchecked};
use super::fields::FILE;
use super::finding::{Finding, Severity};
use super::record::{ReadThread, Sink, read_table};
use super::syntax;
use super::value::whole;
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
/// quantities, references, and contradictions in the car, unless a fault before touches what
/// those are computed from: a contradiction that is only its consequence is not reported.
#[must_use]
pub fn read(text: &str, thread: ReadThread) -> CarReading {
    read_with(text, thread, unchecked)
}

/// Reads a vehicle file as [`read`] does, its hardpoints judged by `corner`: kinematics are another
/// crate's subject too.
#[must_use]
pub fn read_with(text: &str, thread: ReadThread, corner: CheckCorner) -> CarReading {
    let mut sink =
        Sink { text, thread, corner, findings: Vec::new(), damage: syntax::Damage::default(), shaken: false };
    let (readable, faults) = syntax::faults(text);
    if !faults.is_empty() && syntax::is_binary(&mut sink) {
        return CarReading { car: None, findings: sink.findings };
    }
    syntax::report(faults, &mut sink);
    let (tree, _) = DeTable::parse_recoverable(&readable);
    if !format_is_known(tree.get_ref(), &mut sink) {
        return CarReading { car: None, findings: sink.findings };
    }
    let record = read_table(tree.get_ref(), 0..0, &FILE, &mut sink);
    let built = build::build(&record, &mut sink);
    if !sink.shaken {
        check::check(&built.car, &built.places, &mut sink);
    }
    let mut findings = sink.findings;
    // What the parser makes of a line that is no TOML is no fault of its own.
    findings.retain(|finding| finding.code == "syntax" || !sink.damage.in_line(finding.span.start));
    findings.sort_by(|a, b| a.order().cmp(&b.order()));
    findings.dedup_by(|later, first| later.repeats(first));
    let clean = findings.iter().all(|finding| finding.severity != Severity::Error);
    CarReading { car: clean.then_some(built.car), findings }
}

/// A file of a newer format is not picked apart: its unknown keys would be no faults.
fn format_is_known(table: &DeTable<'_>, sink: &mut Sink<'_>) -> bool {
    let Some(format) = table.get("format") else { return true };
    match whole(format.get_ref()) {
        Some(n) if n > f64::from(FORMAT) => {
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
