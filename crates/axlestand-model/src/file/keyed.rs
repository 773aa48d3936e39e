//! Writing single keys of a TOML file of the owner's own, comments and all else untouched.

use super::EditError;
use toml_edit::{Array, DocumentMut, Item, Table, TableLike, Value, value};

/// A TOML file of keys, some of them in tables.
#[derive(Debug, Clone)]
pub struct KeyedText(DocumentMut);

/// What stands behind a key.
#[derive(Debug, Clone, PartialEq)]
pub enum KeyedValue {
    /// A text.
    Text(String),
    /// A number.
    Number(f64),
    /// Several texts.
    List(Vec<String>),
}

impl KeyedText {
    /// Reads a file.
    ///
    /// # Errors
    /// [`EditError::NotToml`].
    pub fn parse(text: &str) -> Result<Self, EditError> {
        text.parse().map(Self).map_err(|_| EditError::NotToml)
    }

    /// What stands behind a key, of a table or of none, as it is typed: lists with commas, empty where there
    /// is nothing.
    #[must_use]
    pub fn shown(&self, table: Option<&str>, key: &str) -> String {
        let bare = |value: &Value| match value {
            Value::String(text) => text.value().clone(),
            other => other.to_string().trim().to_owned(),
        };
        let root = self.0.as_table();
        let item = match table {
            None => root.get(key),
            Some(table) => root.get(table).and_then(|table| table.get(key)),
        };
        match item.and_then(Item::as_value) {
            Some(Value::Array(list)) => list.iter().map(bare).collect::<Vec<_>>().join(", "),
            Some(one) => bare(one),
            None => String::new(),
        }
    }

    /// Puts a value behind a key, or takes the key out. A table that is not there is made.
    ///
    /// # Errors
    /// [`EditError::NotToml`] where something else than a table has the table's name.
    pub fn put(&mut self, table: Option<&str>, key: &str, to: Option<KeyedValue>) -> Result<(), EditError> {
        let root = self.0.as_table_mut();
        let within: &mut dyn TableLike = match table {
            None => root,
            Some(table) => root
                .entry(table)
                .or_insert_with(|| Item::Table(Table::new()))
                .as_table_like_mut()
                .ok_or(EditError::NotToml)?,
        };
        let item = to.map(|to| match to {
            KeyedValue::Text(text) => value(text),
            KeyedValue::Number(number) => value(number),
            KeyedValue::List(list) => value(list.into_iter().collect::<Array>()),
        });
        match item {
            // A key that is there keeps what stands about it.
            Some(item) => match within.get_mut(key) {
                Some(old) => *old = item,
                None => drop(within.insert(key, item)),
            },
            None => drop(within.remove(key)),
        }
        Ok(())
    }
}

impl std::fmt::Display for KeyedText {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}
