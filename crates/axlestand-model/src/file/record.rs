//! The first walk over a vehicle file: the spanned tree against the list of fields, every fault
//! collected, every well-formed value kept with its place.

use super::corner::CheckCorner;
use super::fields::Table;
use super::finding::{Finding, Severity};
use super::syntax::Damage;
use super::value::read_value;
use crate::car::{Drive, TorqueStep};
use axlestand_quantity::Parsed;
use std::collections::BTreeMap;
use std::ops::Range;
use toml::de::DeTable;

/// Reads a thread designation: gives its standard form, or a sentence that says what is wrong.
pub type ReadThread = fn(&str) -> Result<String, String>;

/// A value with its place.
#[derive(Debug, Clone)]
pub(super) struct Placed<T> {
    pub(super) value: T,
    pub(super) span: Range<usize>,
}

/// A well-formed value.
#[derive(Debug, Clone)]
pub(super) enum Value {
    Text(String),
    Names(Vec<Placed<String>>),
    Flag(bool),
    Number(f64),
    Quantity(Parsed),
    Texts(Vec<String>),
    Drive(Drive),
    Steps(Vec<TorqueStep>),
    Record(Record),
    Records(Vec<Record>),
    Quantities(BTreeMap<String, Placed<Parsed>>),
    Point([f64; 3]),
    Points(BTreeMap<String, Placed<[f64; 3]>>, bool),
    Items(Vec<(Placed<String>, Record)>),
    /// It stands there, but is wrong: no reason to miss it as well.
    Faulty,
}

/// A table whose well-formed values are known; what was wrong is in the findings.
#[derive(Debug, Clone)]
pub(super) struct Record {
    pub(super) span: Range<usize>,
    values: BTreeMap<&'static str, Placed<Value>>,
}

/// Fields from which contradictions are computed: where one of them is faulty, a contradiction
/// may be nothing but its consequence.
const CARRYING: &[&str] = &[
    "side",
    "part_of",
    "cover",
    "frees",
    "needs",
    "undoes",
    "stage",
    "before",
    "brings",
    "state",
    "place",
    "loosen_state",
    "again",
    "part",
    "fastener",
    "connection",
    "operation",
    "way",
    "torque",
];

/// Collects findings about one text.
pub(crate) struct Sink<'a> {
    pub(crate) text: &'a str,
    pub(super) thread: ReadThread,
    pub(super) corner: CheckCorner,
    pub(super) findings: Vec<Finding>,
    /// Where the text is not TOML.
    pub(super) damage: Damage,
    /// Whether a fault touches what contradictions are computed from.
    pub(super) shaken: bool,
}

impl Sink<'_> {
    /// Notes that a field is faulty.
    pub(super) fn shake(&mut self, key: &str) {
        self.shaken |= CARRYING.contains(&key);
    }

    pub(crate) fn error(&mut self, code: &'static str, span: &Range<usize>, message: String, hint: String) {
        self.findings.push(Finding::new(self.text, Severity::Error, code, span, message, hint));
    }

    pub(crate) fn warn(&mut self, code: &'static str, span: &Range<usize>, message: String, hint: String) {
        self.findings.push(Finding::new(self.text, Severity::Warning, code, span, message, hint));
    }
}

macro_rules! getters {
    ($($name:ident: $variant:ident => $type:ty),+ $(,)?) => {
        $(pub(super) fn $name(&self, key: &str) -> Option<&$type> {
            match self.values.get(key)? { Placed { value: Value::$variant(value), .. } => Some(value), _ => None }
        })+
    };
}

impl Record {
    getters! {
        text: Text => String, names: Names => Vec<Placed<String>>, flag_value: Flag => bool, number: Number => f64,
        quantity: Quantity => Parsed, texts: Texts => Vec<String>, drive: Drive => Drive, steps: Steps => Vec<TorqueStep>,
        record: Record => Record, records: Records => Vec<Record>, quantities: Quantities => BTreeMap<String, Placed<Parsed>>,
        items: Items => Vec<(Placed<String>, Record)>, point: Point => [f64; 3],
    }

    pub(super) fn points(&self, key: &str) -> Option<&BTreeMap<String, Placed<[f64; 3]>>> {
        match &self.values.get(key)?.value {
            Value::Points(points, _) => Some(points),
            _ => None,
        }
    }

    /// Whether every one of the points could be read.
    pub(super) fn points_are_whole(&self, key: &str) -> bool {
        matches!(self.values.get(key), Some(Placed { value: Value::Points(_, true), .. }))
    }

    pub(super) fn flag(&self, key: &str) -> bool {
        self.flag_value(key).copied().unwrap_or(false)
    }

    /// Whether the key stands there, well-formed or not.
    pub(super) fn has(&self, key: &str) -> bool {
        self.values.contains_key(key)
    }

    /// A record of which nothing could be read.
    pub(super) fn faulty(span: Range<usize>, spec: &'static Table) -> Self {
        let faulty = |key| (key, Placed { value: Value::Faulty, span: span.clone() });
        Self { values: spec.fields.iter().map(|field| faulty(field.key)).collect(), span: span.clone() }
    }

    pub(super) fn span_of(&self, key: &str) -> Range<usize> {
        self.values.get(key).map_or_else(|| self.span.clone(), |placed| placed.span.clone())
    }
}

/// Reads `table` against its list of fields.
pub(super) fn read_table(
    table: &DeTable<'_>,
    span: Range<usize>,
    spec: &'static Table,
    sink: &mut Sink<'_>,
) -> Record {
    let mut values = BTreeMap::new();
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    let mut meant = Vec::new();
    for (key, value) in entries {
        let Some(field) = spec.field(key.get_ref()) else {
            meant.extend(unknown_key(key.get_ref(), &key.span(), spec, sink).map(|near| (near, key.span())));
            continue;
        };
        let read = read_value(value, field, sink).unwrap_or_else(|| {
            sink.shake(field.key);
            Value::Faulty
        });
        values.insert(field.key, Placed { value: read, span: value.span() });
    }
    // A misspelt key is not missing as well.
    for (near, span) in meant {
        values.entry(near).or_insert(Placed { value: Value::Faulty, span });
    }
    for field in spec.fields.iter().filter(|field| field.required && !values.contains_key(field.key)) {
        sink.shake(field.key);
        if !sink.damage.within(sink.text, &span) {
            sink.error(
                "missing-key",
                &span,
                format!("{} needs '{}'", spec.one(), field.key),
                format!("add {}", field.example()),
            );
        }
    }
    Record { span, values }
}

/// Reports a key that is not known; gives the one that was meant, as far as that can be told.
fn unknown_key(
    key: &str,
    span: &Range<usize>,
    spec: &'static Table,
    sink: &mut Sink<'_>,
) -> Option<&'static str> {
    let near = crate::car::nearest(key, spec.fields.iter().map(|field| field.key));
    let hint = match near {
        Some(near) => format!("did you mean '{near}'?"),
        None => {
            let known: Vec<_> = spec.fields.iter().map(|field| field.key).collect();
            format!("take it out; known here: {}", known.join(", "))
        }
    };
    match near {
        Some(near) => sink.shake(near),
        None => sink.shaken = true,
    }
    sink.error("unknown-key", span, format!("'{key}' is not a key of {}", spec.one()), hint);
    near
}
