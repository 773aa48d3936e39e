//! Can everything be freed? An AND/OR question, answered by its least fixed point.

use super::circles::{Needs, circles, shown};
use crate::car::{Car, Item};
use crate::file::record_places::{Places, Sink};
use crate::id::ItemId;
use crate::words::Stage;
use std::collections::BTreeSet;

/// Finds circles of access that no other way opens, and later operations that wait for each other.
pub(super) fn check(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    let mut stuck = usual_needs(car);
    behind_later_stage(car, &stuck, places, sink);
    let free = freeable(car, &stuck);
    stuck.retain(|id, _| !free.contains(id));
    for circle in circles(&stuck) {
        report_circle(car, &circle, &free, places, sink);
    }
    for circle in circles(&later_needs(car)) {
        let Some(first) = circle.first() else { continue };
        sink.error(
            "order-circle",
            &place_in(places, first),
            format!("these operations wait for each other: {}", shown(&circle)),
            "take one of them out of 'after' or 'before'".to_owned(),
        );
    }
}

/// Finds what is taken apart and waits for an operation that comes only after the taking apart.
fn behind_later_stage(car: &Car, needs: &Needs, places: &Places, sink: &mut Sink<'_>) {
    let mut told: BTreeSet<(&str, &str)> = BTreeSet::new();
    for (id, list) in needs {
        let later = list.iter().filter_map(|need| car.operation(need)).filter(|o| o.stage > Stage::Strip);
        for operation in later.filter(|o| told.insert((id.base(), o.id.base()))) {
            sink.error(
                "stage-order",
                &place_in(places, id),
                format!(
                    "'{}' comes before the refit, but waits for '{}', which has stage = \"{}\"",
                    id.base(),
                    operation.id.base(),
                    operation.stage.word()
                ),
                "take it out of 'after', or give one of them another stage".to_owned(),
            );
        }
    }
}

/// Where the order of an item stands in the file.
fn place_in(places: &Places, id: &ItemId) -> std::ops::Range<usize> {
    places.of(id, if places.has(id, "after") { "after" } else { "before" })
}

fn report_circle(
    car: &Car,
    circle: &[ItemId],
    free: &BTreeSet<ItemId>,
    places: &Places,
    sink: &mut Sink<'_>,
) {
    let Some(first) = circle.first() else { return };
    let mut ways = circle.iter().flat_map(|id| car.ways_to_free(id).map(move |way| (id, way))).peekable();
    let Some((freed, _)) = ways.peek() else {
        sink.error(
            "access-circle",
            &place_in(places, first),
            format!("access goes in a circle: {}", shown(circle)),
            "each waits for the next one; take one of these out of 'after', or describe another way"
                .to_owned(),
        );
        return;
    };
    let freed = *freed;
    let vain: Vec<String> = ways
        .map(|(_, way)| {
            let waits: Vec<_> =
                way.needs.iter().filter(|id| !free.contains(*id)).map(ItemId::as_str).collect();
            format!("the way '{}' waits for {}", way.id, waits.join(" and "))
        })
        .collect();
    sink.error(
        "cannot-be-freed",
        &place_in(places, freed),
        format!(
            "'{freed}' cannot be freed in any way: access goes in a circle ({}), and {}",
            shown(circle),
            vain.join(", ")
        ),
        "break the circle, or let a way need only what can be freed".to_owned(),
    );
}

/// What operations after the taking apart wait for among themselves.
fn later_needs(car: &Car) -> Needs {
    let mut needs = Needs::new();
    for operation in car.operations.iter().filter(|o| o.stage > Stage::Strip) {
        needs.entry(operation.id.clone()).or_default().extend(operation.work.after.iter().cloned());
        for waiting in &operation.before {
            needs.entry(waiting.clone()).or_default().push(operation.id.clone());
        }
    }
    needs.retain(|id, _| car.operation(id).is_some_and(|o| o.stage > Stage::Strip));
    needs
}

/// What each item needs when it is freed in the usual manner.
pub(super) fn usual_needs(car: &Car) -> Needs {
    let mut needs: Needs = Needs::new();
    for hold in car.holds() {
        needs.insert(hold.id().clone(), hold.work().after.clone());
    }
    for part in &car.parts {
        let holds = car.outer_holds(&part.id).into_iter().map(|hold| hold.id().clone());
        needs.insert(part.id.clone(), holds.chain(part.work.after.iter().cloned()).collect());
    }
    for operation in &car.operations {
        let strips = operation.stage <= Stage::Strip;
        let after = if strips { operation.work.after.clone() } else { Vec::new() };
        needs.insert(operation.id.clone(), after);
    }
    let readings = car.readings.iter().filter(|reading| reading.stage <= Stage::Strip);
    needs.extend(readings.clone().map(|reading| (reading.id.clone(), reading.work.after.clone())));
    let operations = car.operations.iter().filter(|operation| operation.stage <= Stage::Strip);
    let waits = operations
        .map(|operation| (&operation.id, &operation.before))
        .chain(readings.map(|reading| (&reading.id, &reading.before)));
    for (first, before) in waits {
        for waiting in before {
            if let Some(list) = needs.get_mut(waiting) {
                list.push(first.clone());
            }
        }
    }
    needs
}

fn freeable(car: &Car, needs: &Needs) -> BTreeSet<ItemId> {
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

/// The car state in which an item is worked on.
pub(super) fn state_of(car: &Car, id: &ItemId) -> Option<crate::words::CarState> {
    match car.item(id)? {
        Item::Part(part) => part.work.state,
        Item::Fastener(fastener) => fastener.work.state,
        Item::Connection(connection) => connection.work.state,
        Item::Operation(operation) => operation.work.state,
        Item::Reading(reading) => reading.work.state,
        _ => None,
    }
}
