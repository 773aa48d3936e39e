//! Something that can be freed in no way: what each way waits for, in the words of the vehicle file.

use axlestand_model::ItemId;
use axlestand_model::car::{Car, Item};
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

/// Why something cannot be freed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there is no way to free the {name}: {}", ways.join("; "))]
pub struct NoWay {
    /// The item.
    pub item: ItemId,
    /// What people call it.
    pub name: String,
    /// Each way that is open to it, with what that waits for.
    pub ways: Vec<String>,
}

/// One way to free an item: the way, or `None` for the usual manner, and what it needs away before.
pub(crate) type Opened = (Option<ItemId>, Vec<ItemId>);

impl NoWay {
    /// Tells why `item` is not among what is `free`: for each of its options the first need that is not
    /// free, followed on until it comes round. `chosen` are items whose owner settled how they are freed.
    fn of(
        car: &Car,
        item: &ItemId,
        options: &BTreeMap<ItemId, Vec<Opened>>,
        free: &BTreeSet<ItemId>,
        chosen: impl Fn(&ItemId) -> bool,
    ) -> Self {
        let ways = options.get(item).into_iter().flatten().map(|(way, needs)| {
            let how = manner(car, way.as_ref(), chosen(item));
            let how = if chosen(item) { how + "," } else { how };
            format!("{how} it waits for {}", chain(car, item, needs, options, free, &chosen))
        });
        Self { item: item.clone(), name: name(car, item), ways: ways.collect() }
    }
}

/// How each item that is wanted, or needed by one, can be freed: by the first of its options whose needs can
/// be freed. What a way undoes besides is free with it and not listed.
pub(crate) fn first_open(
    car: &Car,
    wanted: &[ItemId],
    chosen: impl Fn(&ItemId) -> bool,
    options_of: impl Fn(&ItemId) -> Vec<Opened>,
) -> Result<BTreeMap<ItemId, Option<ItemId>>, NoWay> {
    let mut options: BTreeMap<ItemId, Vec<Opened>> = BTreeMap::new();
    let mut open: Vec<ItemId> = wanted.to_vec();
    while let Some(id) = open.pop() {
        if let Entry::Vacant(entry) = options.entry(id) {
            let ways = options_of(entry.key());
            open.extend(ways.iter().flat_map(|(_, needs)| needs.iter().cloned()));
            entry.insert(ways);
        }
    }
    let mut free: BTreeSet<ItemId> = BTreeSet::new();
    let mut taken: BTreeMap<ItemId, Option<ItemId>> = BTreeMap::new();
    loop {
        let mut more: Vec<(&ItemId, &Option<ItemId>)> = Vec::new();
        for (id, ways) in options.iter().filter(|(id, _)| !taken.contains_key(*id)) {
            let met = |needs: &[ItemId]| needs.iter().all(|need| free.contains(need));
            more.extend(ways.iter().find(|(_, needs)| met(needs)).map(|(way, _)| (id, way)));
        }
        if more.is_empty() {
            break;
        }
        for (id, way) in more {
            let way_taken = way.as_ref().and_then(|way| car.way(way));
            free.extend(way_taken.into_iter().flat_map(|way| way.undoes.iter().cloned()));
            free.insert(id.clone());
            taken.insert(id.clone(), way.clone());
        }
    }
    match wanted.iter().find(|id| !free.contains(*id)) {
        Some(bad) => Err(NoWay::of(car, bad, &options, &free, chosen)),
        None => Ok(taken),
    }
}

/// What needs wait for in turn, up to where it comes round.
fn chain(
    car: &Car,
    item: &ItemId,
    needs: &[ItemId],
    options: &BTreeMap<ItemId, Vec<Opened>>,
    free: &BTreeSet<ItemId>,
    chosen: impl Fn(&ItemId) -> bool,
) -> String {
    let mut words = Vec::new();
    let mut seen = BTreeSet::from([item]);
    let mut at = needs.iter().find(|need| !free.contains(*need));
    while let Some(need) = at {
        if !seen.insert(need) {
            let back = if need == item { "that again" } else { "it again" };
            words.push(format!("the {} ({back})", name(car, need)));
            break;
        }
        let next = options.get(need).and_then(|ways| ways.first());
        let how = match next {
            Some((way, _)) if way.is_some() || chosen(need) => {
                format!(" ({})", manner(car, way.as_ref(), chosen(need)))
            }
            _ => String::new(),
        };
        words.push(format!("the {}{how}", name(car, need)));
        at = next.and_then(|(_, needs)| needs.iter().find(|need| !free.contains(*need)));
    }
    words.join(", which waits for ")
}

fn manner(car: &Car, way: Option<&ItemId>, chosen: bool) -> String {
    let so = if chosen { ", as chosen" } else { "" };
    way.map_or_else(|| format!("in the usual manner{so}"), |way| format!("by \"{}\"{so}", name(car, way)))
}

fn name(car: &Car, id: &ItemId) -> String {
    car.item(id).map_or(id.as_str(), Item::name).to_owned()
}
