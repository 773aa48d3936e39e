//! Writing single keys of a TOML file of the owner's own, comments and all else untouched.

use super::EditError;
use toml_edit::{Array, DocumentMut, Item, Table, TableLike, Value};

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
        let to = to.map(|to| match to {
            KeyedValue::Text(text) => Value::from(text),
            KeyedValue::Number(number) => Value::from(number),
            KeyedValue::List(list) => Value::from(list.into_iter().collect::<Array>()),
        });
        match to {
            // A key that is there keeps what stands about it, and its value the comment behind it.
            Some(mut to) => match within.get_mut(key) {
                Some(old) => {
                    if let Some(old) = old.as_value() {
                        *to.decor_mut() = old.decor().clone();
                    }
                    *old = Item::Value(to);
                }
                None => drop(within.insert(key, Item::Value(to))),
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

#[cfg(test)]
mod tests {
    use super::{KeyedText, KeyedValue};

    /// What the owner wrote beside a value is why it stands there.
    #[test]
    fn comments_stay_when_a_value_is_changed() {
        let text = "# hours\nshops = [\"Sat 9-16\"] # the one in town\n[assume]\n# my own\nsoak = 0.7 # three cars\nalone = 1.4\n";
        let mut file = KeyedText::parse(text).unwrap();
        file.put(Some("assume"), "soak", Some(KeyedValue::Number(0.5))).unwrap();
        file.put(None, "shops", Some(KeyedValue::List(vec!["Mon-Sat 9-18".to_owned()]))).unwrap();
        assert_eq!(file.to_string(), text.replace("0.7", "0.5").replace("Sat 9-16", "Mon-Sat 9-18"),);
        file.put(Some("assume"), "soak", None).unwrap();
        assert!(!file.to_string().contains("soak") && file.to_string().contains("alone = 1.4"));
    }
}
