//! Can everything be freed? An AND/OR question, answered by its least fixed point.

use super::circle;
use crate::car::{Car, Item};
use crate::file::record_places::{Places, Sink};
use crate::id::ItemId;
use std::collections::{BTreeMap, BTreeSet};

/// Finds circles of access and parts that can be freed in no way.
pub(super) fn check(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    let needs = usual_needs(car);
    let free = freeable(car, &needs);
    let stuck: BTreeSet<&ItemId> = needs.keys().filter(|id| !free.contains(*id)).collect();
    let mut in_circle: BTreeSet<ItemId> = BTreeSet::new();
    for start in &stuck {
        if in_circle.contains(*start) {
            continue;
        }
        let Some(found) = find_circle(start, &needs, &stuck) else { continue };
        if found.iter().any(|id| in_circle.contains(*id)) {
            continue;
        }
        in_circle.extend(found.iter().map(|id| (*id).clone()));
        report_circle(&found, places, sink);
    }
    for part in car.parts.iter().filter(|part| stuck.contains(&part.id) && !in_circle.contains(&part.id)) {
        let waits: Vec<_> = needs
            .get(&part.id)
            .into_iter()
            .flatten()
            .filter(|id| stuck.contains(id))
            .map(ToString::to_string)
            .collect();
        sink.error(
            "cannot-be-freed",
            &places.of(&part.id, "name"),
            format!("'{}' cannot be freed in any way: it waits for {}", part.id, waits.join(", ")),
            "mend the circle of access, or describe another way that frees it".to_owned(),
        );
    }
}

fn report_circle(found: &[&ItemId], places: &Places, sink: &mut Sink<'_>) {
    // Both sides make the same circle: report the left one only.
    if found.iter().all(|id| id.side() == Some(crate::words::Hand::Right)) {
        return;
    }
    let Some(first) = found.first() else { return };
    sink.error(
        "access-circle",
        &places.of(first, "after"),
        format!("access goes in a circle: {}", circle(found)),
        "each waits for the next one; take one of these out of 'after', or describe another way".to_owned(),
    );
}

/// What each item needs when it is freed in the usual manner.
pub(super) fn usual_needs(car: &Car) -> BTreeMap<ItemId, Vec<ItemId>> {
    let mut needs: BTreeMap<ItemId, Vec<ItemId>> = BTreeMap::new();
    for hold in car.holds() {
        needs.insert(hold.id().clone(), hold.work().after.clone());
    }
    for part in &car.parts {
        let holds = car.outer_holds(&part.id).into_iter().map(|hold| hold.id().clone());
        needs.insert(part.id.clone(), holds.chain(part.work.after.iter().cloned()).collect());
    }
    for operation in &car.operations {
        needs.entry(operation.id.clone()).or_default();
        if operation.stage <= crate::words::Stage::Strip {
            needs.insert(operation.id.clone(), operation.work.after.clone());
        }
    }
    for operation in car.operations.iter().filter(|o| o.stage <= crate::words::Stage::Strip) {
        for waiting in &operation.before {
            if let Some(list) = needs.get_mut(waiting) {
                list.push(operation.id.clone());
            }
        }
    }
    needs
}

fn freeable(car: &Car, needs: &BTreeMap<ItemId, Vec<ItemId>>) -> BTreeSet<ItemId> {
    let mut free: BTreeSet<ItemId> = BTreeSet::new();
    loop {
        let met = |list: &[ItemId]| list.iter().all(|id| free.contains(id));
        let more: Vec<ItemId> = needs
            .iter()
            .filter(|(id, _)| !free.contains(*id))
            .filter(|(id, list)| met(list) || car.ways_to_free(id).any(|way| met(&way.needs)))
            .map(|(id, _)| id.clone())
            .collect();
        // A part freed by a way takes along what that way undoes.
        let undone: Vec<ItemId> = car
            .ways
            .iter()
            .filter(|way| met(&way.needs))
            .flat_map(|way| way.undoes.iter().cloned())
            .filter(|id| !free.contains(id))
            .collect();
        if more.is_empty() && undone.is_empty() {
            return free;
        }
        free.extend(more);
        free.extend(undone);
    }
}

/// Follows needs that are not met until one comes again.
fn find_circle<'a>(
    start: &'a ItemId,
    needs: &'a BTreeMap<ItemId, Vec<ItemId>>,
    stuck: &BTreeSet<&'a ItemId>,
) -> Option<Vec<&'a ItemId>> {
    let mut path: Vec<&ItemId> = vec![start];
    loop {
        let at = *path.last()?;
        let next = needs.get(at)?.iter().find(|id| stuck.contains(id))?;
        if let Some(from) = path.iter().position(|id| *id == next) {
            return Some(path.split_off(from));
        }
        path.push(next);
    }
}

/// The car state in which an item is worked on.
pub(super) fn state_of(car: &Car, id: &ItemId) -> Option<crate::words::CarState> {
    match car.item(id)? {
        Item::Part(part) => part.work.state,
        Item::Fastener(fastener) => fastener.work.state,
        Item::Connection(connection) => connection.work.state,
        Item::Operation(operation) => operation.work.state,
        _ => None,
    }
}
