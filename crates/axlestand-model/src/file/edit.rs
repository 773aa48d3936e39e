//! Writing single values into a vehicle file without touching its comments.

use crate::words::Origin;
use toml_edit::{DocumentMut, InlineTable, Item, TableLike, Value};

/// What to write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetField<'a> {
    /// The item's name without its side.
    pub item: &'a str,
    /// `torque`, `condition`, `thread`, `length`, `class`, `drive`, `hold`, `value`, `tolerance`,
    /// `amount` or `grade`.
    pub field: &'a str,
    /// The value as it will stand in the file.
    pub value: &'a str,
    /// Where it comes from.
    pub origin: Origin,
    /// The owner's reference.
    pub source: Option<&'a str>,
}

/// Why nothing was written.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The text is not TOML.
    #[error("the file is not TOML and stays as it is; run 'car check' on it first")]
    NotToml,
    /// No such item.
    #[error("the file describes no fastener, fluid or target called '{0}'")]
    UnknownItem(String),
    /// No such field for that kind of item.
    #[error("'{field}' cannot be set on a {kind}; it takes {known}")]
    UnknownField {
        /// The field asked for.
        field: String,
        /// The kind of the item.
        kind: &'static str,
        /// What can be set.
        known: &'static str,
    },
}

/// Which table of an item a field stands in, and its key there.
fn place_of(kind: &'static str, field: &str) -> Option<(bool, &'static str)> {
    match (kind, field) {
        ("fastener", "torque") => Some((true, "value")),
        ("fastener", "condition") => Some((true, "condition")),
        ("fastener", "thread") => Some((false, "thread")),
        ("fastener", "length") => Some((false, "length")),
        ("fastener", "class") => Some((false, "class")),
        ("fastener", "drive") => Some((false, "drive")),
        ("fastener", "hold") => Some((false, "hold")),
        ("fluid", "amount") => Some((false, "amount")),
        ("fluid", "grade") => Some((false, "grade")),
        ("target", "value") => Some((false, "value")),
        ("target", "tolerance") => Some((false, "tolerance")),
        _ => None,
    }
}

fn known_fields(kind: &str) -> &'static str {
    match kind {
        "fastener" => "torque, condition, thread, length, class, drive or hold",
        "fluid" => "amount or grade",
        _ => "value or tolerance",
    }
}

/// Gives the text of the file with one value written; the rest stays as it was to the letter, save
/// that a typical value under the same provenance goes.
/// The result is not checked: read it before it replaces the file.
///
/// # Errors
/// [`EditError`] where the file, the item or the field is not there.
pub fn set_field(text: &str, set: &SetField<'_>) -> Result<String, EditError> {
    let (mark, body) = match text.strip_prefix('\u{feff}') {
        Some(body) => ("\u{feff}", body),
        None => ("", text),
    };
    let changed = set_in(body, set)?;
    // The editor knows one line end only.
    let same_ends = body.matches("\r\n").count() == body.matches('\n').count();
    let ends = if same_ends { changed.replace("\r\n", "\n").replace('\n', "\r\n") } else { changed };
    Ok(format!("{mark}{ends}"))
}

fn set_in(text: &str, set: &SetField<'_>) -> Result<String, EditError> {
    let mut document: DocumentMut = text.parse().map_err(|_| EditError::NotToml)?;
    let kind = ["fastener", "fluid", "target"]
        .into_iter()
        .find(|kind| document.get(kind).and_then(|list| list.get(set.item)).is_some())
        .ok_or_else(|| EditError::UnknownItem(set.item.to_owned()))?;
    let (in_torque, key) = place_of(kind, set.field).ok_or_else(|| EditError::UnknownField {
        field: set.field.to_owned(),
        kind,
        known: known_fields(kind),
    })?;
    let missing = || EditError::UnknownItem(set.item.to_owned());
    let item = document
        .get_mut(kind)
        .and_then(|list| list.get_mut(set.item))
        .and_then(Item::as_table_like_mut)
        .ok_or_else(missing)?;
    if in_torque {
        if item.get("torque").is_none() {
            item.insert("torque", Item::Value(Value::InlineTable(InlineTable::new())));
        }
        let torque = item.get_mut("torque").and_then(Item::as_table_like_mut).ok_or_else(missing)?;
        // A condition is a habit of the trade, a value is not.
        drop_typical(torque, &["value"], key);
        write(torque, key, set.value);
        write_origin(torque, set);
    } else if kind == "fastener" {
        write(item, key, set.value);
        note_measured(item, key);
    } else {
        drop_typical(item, &["amount", "grade", "value", "tolerance"], key);
        write(item, key, set.value);
        write_origin(item, set);
    }
    Ok(document.to_string())
}

/// Takes out what is typical beside the field that is set: one provenance stands for the whole
/// table, and the source of one value must not vouch for a typical one.
fn drop_typical(table: &mut dyn TableLike, specifications: &[&str], key: &str) {
    let origin = table.get("provenance").and_then(Item::as_str).unwrap_or(Origin::Typical.word());
    if origin == Origin::Typical.word() {
        for other in specifications.iter().filter(|other| **other != key) {
            table.remove(other);
        }
    }
}

fn write_origin(table: &mut dyn TableLike, set: &SetField<'_>) {
    write(table, "provenance", set.origin.word());
    match set.source {
        Some(source) => write(table, "source", source),
        None => {
            table.remove("source");
        }
    }
}

/// Writes a text, keeping the spaces and the comment of an older value.
fn write(table: &mut dyn TableLike, key: &str, text: &str) {
    let mut value = Value::from(text);
    match table.get_mut(key) {
        // Not inserted anew: that would lose the comment above it.
        Some(item) => {
            if let Some(old) = item.as_value() {
                *value.decor_mut() = old.decor().clone();
            }
            *item = Item::Value(value);
        }
        None => {
            table.insert(key, Item::Value(value));
        }
    }
}

fn note_measured(item: &mut dyn TableLike, key: &str) {
    if item.get("measured").and_then(Item::as_array).is_none() {
        item.insert("measured", Item::Value(Value::Array(toml_edit::Array::new())));
    }
    if let Some(list) = item.get_mut("measured").and_then(Item::as_array_mut)
        && !list.iter().any(|value| value.as_str() == Some(key))
    {
        list.push(key);
    }
}
