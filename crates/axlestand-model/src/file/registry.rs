//! The names of a file, and what a reference to one means.

use super::record::{Placed, Record, Sink};
use crate::id::ItemId;
use crate::words::Hand;
use std::collections::BTreeMap;

/// The lists of items, with the word for one of each.
const KINDS: [(&str, &str); 8] = [
    ("part", "a part"),
    ("fastener", "a fastener"),
    ("connection", "a connection"),
    ("operation", "an operation"),
    ("way", "a way"),
    ("reading", "a reading"),
    ("fluid", "a fluid"),
    ("target", "a target"),
];

/// What stands under a name: its kinds (several only by mistake) and on which sides.
struct Known {
    kinds: Vec<&'static str>,
    sides: Vec<Option<Hand>>,
    /// Where the name begins in the text.
    at: usize,
}

impl Known {
    /// The line of the name; only faults ask for it.
    fn line(&self, text: &str) -> usize {
        text.get(..self.at).unwrap_or_default().matches('\n').count() + 1
    }
}

/// Names of the whole file, for resolving references.
pub(super) struct Registry {
    names: BTreeMap<String, Known>,
    /// Kinds whose list cannot be read: their items are not missing.
    unreadable: Vec<&'static str>,
}

/// On which sides an item stands. One whose side cannot be read counts as standing on both, where
/// every reference to it has a meaning.
pub(super) fn sides(record: &Record) -> Vec<Option<Hand>> {
    match record.text("side").map(String::as_str) {
        Some("both") => vec![Some(Hand::Left), Some(Hand::Right)],
        Some(word) => vec![Hand::from_word(word)],
        None if record.has("side") => vec![Some(Hand::Left), Some(Hand::Right)],
        None => vec![None],
    }
}

impl Registry {
    /// Collects the names; one that stands for two items is a fault.
    pub(super) fn new(file: &Record, sink: &mut Sink<'_>) -> Self {
        let mut names: BTreeMap<String, Known> = BTreeMap::new();
        let mut unreadable = Vec::new();
        for (key, kind) in KINDS {
            if file.has(key) && file.items(key).is_none() {
                unreadable.push(kind);
            }
            for (name, record) in file.items(key).into_iter().flatten() {
                if let Some(first) = names.get_mut(&name.value) {
                    sink.shaken = true;
                    let first_kind = first.kinds.first().copied().unwrap_or(kind);
                    let line = first.line(sink.text);
                    sink.error(
                        "duplicate-name",
                        &name.span,
                        format!("'{}' is already the name of {first_kind} (line {line})", name.value),
                        "give each item a name of its own: commands take any name".to_owned(),
                    );
                    first.kinds.push(kind);
                    continue;
                }
                let known = Known { kinds: vec![kind], sides: sides(record), at: name.span.start };
                names.insert(name.value.clone(), known);
            }
        }
        Self { names, unreadable }
    }

    /// The items meant by a reference: on the same side where there is one, else the only one,
    /// else both sides.
    pub(super) fn resolve(
        &self,
        name: &Placed<String>,
        side: Option<Hand>,
        wanted: &[&str],
        sink: &mut Sink<'_>,
    ) -> Option<Vec<ItemId>> {
        let (base, explicit) = match name.value.split_once('.') {
            Some((base, hand)) if !self.names.contains_key(&name.value) => {
                (base, Some(Hand::from_word(hand)))
            }
            _ => (name.value.as_str(), None),
        };
        let Some(known) = self.names.get(base) else {
            self.report_unknown(name, base, wanted, sink);
            return None;
        };
        if !known.kinds.iter().any(|kind| wanted.contains(kind)) {
            let kind = known.kinds.first().copied().unwrap_or_default();
            sink.error(
                "wrong-kind",
                &name.span,
                format!("'{base}' is {kind} (line {})", known.line(sink.text)),
                format!("name {} here", either(wanted)),
            );
            return None;
        }
        let hands: Vec<Option<Hand>> = match explicit {
            Some(hand) => known.sides.iter().copied().filter(|s| s.is_some() && *s == hand).collect(),
            None if side.is_some() && known.sides.contains(&side) => vec![side],
            None if side.is_some() && !known.sides.contains(&None) => Vec::new(),
            None => known.sides.clone(),
        };
        if hands.is_empty() {
            report_side(name, base, known, side.filter(|_| explicit.is_none()), sink);
            return None;
        }
        Some(hands.into_iter().map(|hand| ItemId::new(base, hand)).collect())
    }

    fn report_unknown(&self, name: &Placed<String>, base: &str, wanted: &[&str], sink: &mut Sink<'_>) {
        let near = crate::car::nearest(base, self.names.keys().map(String::as_str));
        let unread = sink.damage.any() || wanted.iter().any(|kind| self.unreadable.contains(kind));
        if near.is_none() && unread {
            return;
        }
        let hint = match near {
            Some(near) => format!("did you mean '{near}'?"),
            None => format!("describe it, or name {} that is described", either(wanted)),
        };
        sink.error("unknown-item", &name.span, format!("the car has nothing called '{}'", name.value), hint);
    }
}

fn report_side(name: &Placed<String>, base: &str, known: &Known, side: Option<Hand>, sink: &mut Sink<'_>) {
    let there: Vec<_> = known.sides.iter().map(|hand| ItemId::new(base, *hand).to_string()).collect();
    let message = match side {
        Some(hand) => {
            format!("'{}' does not stand on the {} side, where this item does", name.value, hand.phrase())
        }
        None => format!("'{}' is not there", name.value),
    };
    sink.error(
        "no-such-side",
        &name.span,
        message,
        format!(
            "there is {}: name it whole where it is meant, or describe the other side",
            there.join(" and ")
        ),
    );
}

/// "a part, a fastener or a connection".
fn either(wanted: &[&str]) -> String {
    match wanted.split_last() {
        Some((last, [])) => (*last).to_owned(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        None => String::new(),
    }
}
