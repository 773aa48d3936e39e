//! Reading single values: each against what its field holds.

use super::fields::{Field, Holds, Table, example_of, heading_of};
use super::record::{Placed, Record, Sink, Value, read_table};
use crate::car::{Drive, parse_steps};
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Gives the value where it is well-formed; else what is wrong is in the findings.
pub(super) fn read_value(
    value: &Spanned<DeValue<'_>>,
    field: &'static Field,
    sink: &mut Sink<'_>,
) -> Option<Value> {
    match field.holds {
        Holds::Flag => match value.get_ref().as_bool() {
            Some(flag) => Some(Value::Flag(flag)),
            None => wrong_type(field, value, "true or false, without quotes", sink),
        },
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
        Holds::Names => match texts(value) {
            Some(list) => Some(Value::Names(list)),
            None => wrong_type(field, value, "a name or a list of names, each in quotes", sink),
        },
        Holds::Texts => match texts(value) {
            Some(list) => list_of_texts(list, field, sink),
            None => wrong_type(field, value, "a text or a list of texts, each in quotes", sink),
        },
        Holds::Table(spec) => match table(value) {
            Some(table) => Some(Value::Record(read_table(table, value.span(), spec, sink))),
            None => wrong_type(field, value, &format!("a table that describes {}", spec.one()), sink),
        },
        Holds::Tables(spec) => tables(value, field, spec, sink),
        Holds::Items(spec) => items(value, field, spec, sink),
        Holds::Quantities(_) => quantities(value, field, sink),
        Holds::Points => points(value, field, sink),
        Holds::Point => match point(value.get_ref()) {
            Some(point) => Some(Value::Point(point)),
            None => wrong_type(field, value, "three numbers [x, y, z], each within ±10000", sink),
        },
        _ => from_text(value, field, field.key, sink),
    }
}

fn read_text(text: &str, field: &Field, sink: &Sink<'_>) -> Result<Value, String> {
    match field.holds {
        Holds::Word(words) if words.contains(&text) => Ok(Value::Text(text.to_owned())),
        Holds::Word(words) => Err(match crate::car::nearest(text, words.iter().copied()) {
            Some(near) => format!("'{text}' is not known here; did you mean '{near}'?"),
            None => format!("'{text}' is not one of {}", words.join(", ")),
        }),
        Holds::Quantity(dimension) | Holds::Quantities(dimension) => {
            match dimension.parse(text).map_err(|why| why.to_string())? {
                parsed if parsed.u.is_some() => {
                    Err(format!("'{text}' has an uncertainty; write the value alone, without ±"))
                }
                parsed => Ok(Value::Quantity(parsed)),
            }
        }
        Holds::Thread => (sink.thread)(text).map(Value::Text),
        Holds::Drive => Drive::parse(text).map(Value::Drive),
        Holds::Steps => parse_steps(text).map(Value::Steps),
        _ => plain(text).map(|()| Value::Text(text.to_owned())),
    }
}

/// A text that can be shown: not empty, and without the signs that steer a terminal.
fn plain(text: &str) -> Result<(), String> {
    if text.trim().is_empty() {
        return Err("nothing stands between the quotes".to_owned());
    }
    match text.chars().find(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t')) {
        Some(c) => {
            Err(format!("it holds the control character U+{:04X}, which cannot be shown", u32::from(c)))
        }
        None => Ok(()),
    }
}

/// Reads a value that is written as text. `name` is what the message calls it.
fn from_text(value: &Spanned<DeValue<'_>>, field: &Field, name: &str, sink: &mut Sink<'_>) -> Option<Value> {
    let Some(text) = value.get_ref().as_str() else {
        let (must, hint) = match field.holds {
            Holds::Quantity(dimension) | Holds::Quantities(dimension) => (
                "text with a unit",
                format!(
                    "write it in quotes with its unit, in {}: \"{}\"",
                    dimension.offered(),
                    example_of(dimension)
                ),
            ),
            Holds::Steps | Holds::AnyQuantity => ("text with a unit", format!("write {}", field.example())),
            _ => ("text", format!("write it in quotes: {}", field.example())),
        };
        sink.error("wrong-type", &value.span(), format!("'{name}' must be {must}"), hint);
        return None;
    };
    match read_text(text, field, sink) {
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
            let hint = match field.holds {
                Holds::Quantities(dimension) => format!("write it like \"{}\"", example_of(dimension)),
                _ => format!("write {}", field.example()),
            };
            sink.error(code, &value.span(), format!("'{name}' is wrong: {why}"), hint);
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
    let hint = format!("write {}", field.example());
    sink.error("wrong-type", &value.span(), format!("'{}' must be {wanted}", field.key), hint);
    None
}

/// A number, whole or not; hexadecimal, octal and binary ones are no numbers of a workshop.
fn number(value: &DeValue<'_>) -> Option<f64> {
    let text = match value {
        DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str(),
        DeValue::Float(float) => float.as_str(),
        _ => return None,
    };
    text.replace('_', "").parse().ok()
}

/// A whole number within the range of a version.
pub(super) fn whole(value: &DeValue<'_>) -> Option<f64> {
    number(value).filter(|n| n.fract().abs() < f64::EPSILON)
}

fn table<'a, 'b>(value: &'a Spanned<DeValue<'b>>) -> Option<&'a DeTable<'b>> {
    value.get_ref().as_table()
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

fn list_of_texts(list: Vec<Placed<String>>, field: &Field, sink: &mut Sink<'_>) -> Option<Value> {
    let mut good = true;
    for text in &list {
        if let Err(why) = plain(&text.value) {
            good = false;
            let hint = "write what is meant, or take it out of the list".to_owned();
            sink.error("bad-text", &text.span, format!("'{}' is wrong: {why}", field.key), hint);
        }
    }
    good.then(|| Value::Texts(list.into_iter().map(|placed| placed.value).collect()))
}

fn tables(
    value: &Spanned<DeValue<'_>>,
    field: &Field,
    spec: &'static Table,
    sink: &mut Sink<'_>,
) -> Option<Value> {
    let wanted = "a list of tables, [{ … }, { … }]";
    let Some(array) = value.get_ref().as_array() else {
        return wrong_type(field, value, wanted, sink);
    };
    let mut records = Vec::new();
    for entry in array.iter() {
        match table(entry) {
            Some(table) => records.push(read_table(table, entry.span(), spec, sink)),
            None => {
                let _: Option<Value> = wrong_type(field, entry, wanted, sink);
            }
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
    let wanted = format!("tables, each headed {}", heading_of(field.key));
    let Some(entries) = table(value) else {
        return wrong_type(field, value, &wanted, sink);
    };
    let mut list = Vec::new();
    for (key, entry) in entries.iter() {
        let name = Placed { value: key.get_ref().to_string(), span: key.span() };
        if !crate::id::is_well_formed(&name.value) {
            sink.error(
                "bad-name",
                &name.span,
                format!("'{}' cannot be a name", name.value),
                "use lower-case words joined with hyphens, at most 48 characters, like 'arm-front-bolt'"
                    .to_owned(),
            );
        }
        let record = match table(entry) {
            Some(inner) => read_table(inner, name.span.clone(), spec, sink),
            None => {
                sink.shake(field.key);
                let _: Option<Value> = wrong_type(field, entry, &wanted, sink);
                Record::faulty(name.span.clone(), spec)
            }
        };
        list.push((name, record));
    }
    list.sort_by_key(|(name, _)| name.span.start);
    Some(Value::Items(list))
}

fn quantities(value: &Spanned<DeValue<'_>>, field: &'static Field, sink: &mut Sink<'_>) -> Option<Value> {
    let Some(entries) = table(value) else {
        return wrong_type(field, value, "a table of names and quantities", sink);
    };
    let mut map = BTreeMap::new();
    for (key, entry) in entries.iter() {
        if let Some(Value::Quantity(parsed)) = from_text(entry, field, key.get_ref(), sink) {
            map.insert(key.get_ref().to_string(), Placed { value: parsed, span: key.span() });
        }
    }
    Some(Value::Quantities(map))
}

fn points(value: &Spanned<DeValue<'_>>, field: &Field, sink: &mut Sink<'_>) -> Option<Value> {
    let Some(entries) = table(value) else {
        return wrong_type(field, value, "a table of names and points [x, y, z] in mm", sink);
    };
    let mut map = BTreeMap::new();
    let mut whole = true;
    for (key, entry) in entries.iter() {
        match point(entry.get_ref()) {
            Some(point) => {
                map.insert(key.get_ref().to_string(), Placed { value: point, span: key.span() });
            }
            None => {
                whole = false;
                bad_point(key.get_ref(), &entry.span(), sink);
            }
        }
    }
    Some(Value::Points(map, whole))
}

fn point(value: &DeValue<'_>) -> Option<[f64; 3]> {
    let numbers: Option<Vec<f64>> = value.as_array()?.iter().map(|n| number(n.get_ref())).collect();
    let point: [f64; 3] = numbers?.try_into().ok()?;
    point.iter().all(|n| n.abs() <= 10_000.0).then_some(point)
}

fn bad_point(name: &str, span: &Range<usize>, sink: &mut Sink<'_>) {
    sink.error(
        "wrong-type",
        span,
        format!("the point '{name}' must be three numbers [x, y, z] in mm, each within ±10000"),
        format!("write {name} = [-4, 706, 196]: x forward, y left, z up"),
    );
}
