//! The first walk over a vehicle file: the spanned tree against the list of fields, every fault
//! collected, every well-formed value kept with its place.

use super::fields::{Field, Holds, Table};
use super::finding::{Finding, Severity};
use crate::car::{Drive, TorqueStep, parse_steps};
use axlestand_quantity::Parsed;
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

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
    Quantities(BTreeMap<String, Parsed>),
    Points(BTreeMap<String, [f64; 3]>),
    Items(Vec<(Placed<String>, Record)>),
}

/// A table whose well-formed values are known; what was wrong is in the findings.
#[derive(Debug, Clone)]
pub(super) struct Record {
    pub(super) span: Range<usize>,
    values: BTreeMap<&'static str, Placed<Value>>,
}

/// Collects findings about one text.
pub(crate) struct Sink<'a> {
    pub(crate) text: &'a str,
    pub(super) thread: ReadThread,
    pub(super) findings: Vec<Finding>,
}

impl Sink<'_> {
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
        record: Record => Record, records: Records => Vec<Record>, quantities: Quantities => BTreeMap<String, Parsed>,
        points: Points => BTreeMap<String, [f64; 3]>, items: Items => Vec<(Placed<String>, Record)>,
    }

    pub(super) fn flag(&self, key: &str) -> bool {
        self.flag_value(key).copied().unwrap_or(false)
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
    for (key, value) in entries {
        let Some(field) = spec.field(key.get_ref()) else {
            unknown_key(key.get_ref(), &key.span(), spec, sink);
            continue;
        };
        if let Some(read) = read_value(value, field, sink) {
            values.insert(field.key, Placed { value: read, span: value.span() });
        } else {
            // It was there, though wrong: keep it from being reported as missing as well.
            values.insert(field.key, Placed { value: Value::Flag(false), span: value.span() });
        }
    }
    for field in spec.fields.iter().filter(|field| field.required && !values.contains_key(field.key)) {
        sink.error(
            "missing-key",
            &span,
            format!("{} needs '{}'", spec.what, field.key),
            format!("add {} = … ({})", field.key, field.doc),
        );
    }
    Record { span, values }
}

fn unknown_key(key: &str, span: &Range<usize>, spec: &Table, sink: &mut Sink<'_>) {
    let near = crate::car::nearest(key, spec.fields.iter().map(|field| field.key));
    let hint = near.map_or_else(
        || format!("known here: {}", spec.fields.iter().map(|f| f.key).collect::<Vec<_>>().join(", ")),
        |near| format!("did you mean '{near}'?"),
    );
    sink.error("unknown-key", span, format!("'{key}' is not a key of {}", spec.what), hint);
}

fn read_value(value: &Spanned<DeValue<'_>>, field: &'static Field, sink: &mut Sink<'_>) -> Option<Value> {
    let span = value.span();
    match field.holds {
        Holds::Flag => value
            .get_ref()
            .as_bool()
            .map(Value::Flag)
            .or_else(|| wrong_type(field, value, "true or false", sink)),
        Holds::Count => match number(value.get_ref()) {
            Some(n) if n.fract().abs() < f64::EPSILON && (1.0..=1000.0).contains(&n) => {
                Some(Value::Number(n))
            }
            _ => wrong_type(field, value, "a whole number from 1 to 1000", sink),
        },
        Holds::Number(limit) => match number(value.get_ref()) {
            Some(n) if (0.0..=limit).contains(&n) => Some(Value::Number(n)),
            _ => wrong_type(field, value, &format!("a number from 0 to {limit}, without a unit"), sink),
        },
        Holds::Names => names(value, field, sink),
        Holds::Texts => match texts(value) {
            Some(list) => Some(Value::Texts(list.into_iter().map(|placed| placed.value).collect())),
            None => wrong_type(field, value, "a list of texts, [\"…\", \"…\"]", sink),
        },
        Holds::Table(spec) => match value.get_ref().as_table() {
            Some(table) => Some(Value::Record(read_table(table, span, spec, sink))),
            None => wrong_type(field, value, &format!("a table that describes {}", spec.what), sink),
        },
        Holds::Tables(spec) => tables(value, field, spec, sink),
        Holds::Items(spec) => items(value, field, spec, sink),
        Holds::Quantities(dimension) => {
            let Some(table) = value.get_ref().as_table() else {
                return wrong_type(field, value, "a table of names and quantities", sink);
            };
            let mut map = BTreeMap::new();
            for (key, entry) in table.iter() {
                if let Some(Value::Quantity(parsed)) = from_text(entry, field, sink, |text| {
                    dimension.parse(text).map(Value::Quantity).map_err(|e| e.to_string())
                }) {
                    map.insert(key.get_ref().to_string(), parsed);
                }
            }
            Some(Value::Quantities(map))
        }
        Holds::Points => points(value, field, sink),
        Holds::Text
        | Holds::Word(_)
        | Holds::Quantity(_)
        | Holds::AnyQuantity
        | Holds::Thread
        | Holds::Drive
        | Holds::Steps => {
            let thread = sink.thread;
            from_text(value, field, sink, |text| read_text(text, field, thread))
        }
    }
}

fn read_text(text: &str, field: &Field, thread: ReadThread) -> Result<Value, String> {
    match field.holds {
        Holds::Word(words) => {
            if words.contains(&text) {
                Ok(Value::Text(text.to_owned()))
            } else {
                let near = crate::car::nearest(text, words.iter().copied());
                Err(near.map_or_else(
                    || format!("'{text}' is not one of {}", words.join(", ")),
                    |near| format!("'{text}' is not known here; did you mean '{near}'?"),
                ))
            }
        }
        Holds::Quantity(dimension) => dimension.parse(text).map(Value::Quantity).map_err(|e| e.to_string()),
        Holds::Thread => thread(text).map(Value::Text),
        Holds::Drive => Drive::parse(text).map(Value::Drive),
        Holds::Steps => parse_steps(text).map(Value::Steps),
        _ if text.trim().is_empty() => Err("nothing stands between the quotes".to_owned()),
        _ => Ok(Value::Text(text.to_owned())),
    }
}

fn from_text(
    value: &Spanned<DeValue<'_>>,
    field: &Field,
    sink: &mut Sink<'_>,
    read: impl FnOnce(&str) -> Result<Value, String>,
) -> Option<Value> {
    let Some(text) = value.get_ref().as_str() else {
        let hint = match field.holds {
            Holds::Quantity(dimension) => {
                format!("write it as text with its unit, in {}", dimension.offered())
            }
            Holds::Quantities(dimension) => {
                format!("write it as text with its unit, in {}", dimension.offered())
            }
            Holds::Steps => "write it as text with its unit: \"140 N·m\" or \"50 N·m + 90°\"".to_owned(),
            Holds::AnyQuantity => "write it as text with its unit: \"1 mm\" or \"0.1°\"".to_owned(),
            _ => "write it as text, in quotes".to_owned(),
        };
        sink.error("wrong-type", &value.span(), format!("'{}' must be text", field.key), hint);
        return None;
    };
    match read(text) {
        Ok(read) => Some(read),
        Err(why) => {
            let code = match field.holds {
                Holds::Thread => "impossible-thread",
                Holds::Steps => "bad-torque",
                Holds::Quantity(_) | Holds::Quantities(_) => "bad-quantity",
                Holds::Word(_) => "unknown-word",
                Holds::Drive => "unknown-drive",
                _ => "bad-text",
            };
            sink.error(code, &value.span(), format!("'{}' is wrong: {why}", field.key), field.doc.to_owned());
            None
        }
    }
}

fn wrong_type(
    field: &Field,
    value: &Spanned<DeValue<'_>>,
    wanted: &str,
    sink: &mut Sink<'_>,
) -> Option<Value> {
    sink.error(
        "wrong-type",
        &value.span(),
        format!("'{}' must be {wanted}", field.key),
        field.doc.to_owned(),
    );
    None
}

fn number(value: &DeValue<'_>) -> Option<f64> {
    let text = match value {
        DeValue::Integer(integer) => integer.as_str().replace('_', ""),
        DeValue::Float(float) => float.as_str().replace('_', ""),
        _ => return None,
    };
    text.parse().ok()
}

fn texts(value: &Spanned<DeValue<'_>>) -> Option<Vec<Placed<String>>> {
    let placed = |item: &Spanned<DeValue<'_>>| {
        Some(Placed { value: item.get_ref().as_str()?.to_owned(), span: item.span() })
    };
    match value.get_ref().as_array() {
        Some(array) => array.iter().map(placed).collect(),
        None => placed(value).map(|one| vec![one]),
    }
}

fn names(value: &Spanned<DeValue<'_>>, field: &Field, sink: &mut Sink<'_>) -> Option<Value> {
    match texts(value) {
        Some(list) => Some(Value::Names(list)),
        None => wrong_type(field, value, "a name or a list of names, [\"…\", \"…\"]", sink),
    }
}

fn tables(
    value: &Spanned<DeValue<'_>>,
    field: &Field,
    spec: &'static Table,
    sink: &mut Sink<'_>,
) -> Option<Value> {
    let Some(array) = value.get_ref().as_array() else {
        return wrong_type(field, value, "a list of tables, [{ … }, { … }]", sink);
    };
    let mut records = Vec::new();
    for entry in array.iter() {
        match entry.get_ref().as_table() {
            Some(table) => records.push(read_table(table, entry.span(), spec, sink)),
            None => return wrong_type(field, entry, "a list of tables, [{ … }, { … }]", sink),
        }
    }
    Some(Value::Records(records))
}

fn items(
    value: &Spanned<DeValue<'_>>,
    field: &Field,
    spec: &'static Table,
    sink: &mut Sink<'_>,
) -> Option<Value> {
    let Some(table) = value.get_ref().as_table() else {
        return wrong_type(field, value, &format!("tables, each headed [{}.NAME]", field.key), sink);
    };
    let mut list = Vec::new();
    for (key, entry) in table.iter() {
        let name = Placed { value: key.get_ref().to_string(), span: key.span() };
        if !crate::id::is_well_formed(&name.value) {
            sink.error(
                "bad-name",
                &name.span,
                format!("'{}' cannot be a name", name.value),
                "use lower-case words joined with hyphens, like 'arm-front-bolt'".to_owned(),
            );
        }
        match entry.get_ref().as_table() {
            Some(inner) => list.push((name.clone(), read_table(inner, name.span, spec, sink))),
            None => {
                let _: Option<Value> =
                    wrong_type(field, entry, &format!("tables, each headed [{}.NAME]", field.key), sink);
            }
        }
    }
    list.sort_by_key(|(name, _)| name.span.start);
    Some(Value::Items(list))
}

fn points(value: &Spanned<DeValue<'_>>, field: &Field, sink: &mut Sink<'_>) -> Option<Value> {
    let Some(table) = value.get_ref().as_table() else {
        return wrong_type(field, value, "a table of names and points [x, y, z] in mm", sink);
    };
    let mut map = BTreeMap::new();
    for (key, entry) in table.iter() {
        let numbers: Option<Vec<f64>> =
            entry.get_ref().as_array().and_then(|a| a.iter().map(|n| number(n.get_ref())).collect());
        match numbers.as_deref() {
            Some(&[x, y, z]) if [x, y, z].iter().all(|n| n.abs() <= 10_000.0) => {
                map.insert(key.get_ref().to_string(), [x, y, z]);
            }
            _ => {
                let _: Option<Value> =
                    wrong_type(field, entry, "three numbers [x, y, z] in mm, each within ±10000", sink);
            }
        }
    }
    Some(Value::Points(map))
}
