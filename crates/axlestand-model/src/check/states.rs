//! Can every car state that is asked for be reached, and every final state with it?

use super::access::{state_of, usual_needs};
use crate::car::{Car, Fastener};
use crate::file::record_places::{Places, Sink};
use crate::id::ItemId;
use crate::words::{CarState, Stage};
use std::collections::{BTreeMap, BTreeSet};

/// Finds states nobody brings about, finals nobody can reach and work on wheels behind work on
/// stands.
pub(super) fn check(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    states_brought(car, places, sink);
    for fastener in &car.fasteners {
        final_reachable(car, fastener, places, sink);
    }
    on_wheels_behind_on_stands(car, places, sink);
}

/// Every state that the file asks for, with the first place that does.
fn states_wanted<'a>(car: &'a Car, places: &Places) -> BTreeMap<CarState, (&'a ItemId, &'static str)> {
    let mut wanted = BTreeMap::new();
    let mut want = |state: Option<CarState>, id: &'a ItemId, field: &'static str| {
        if let Some(state) = state {
            wanted.entry(state).or_insert((id, field));
        }
    };
    for fastener in &car.fasteners {
        want(fastener.torque.as_ref().and_then(|torque| torque.state), &fastener.id, "torque");
        want(fastener.loosen_state, &fastener.id, "loosen_state");
    }
    let works = (car.fasteners.iter().map(|i| (&i.work, &i.id)))
        .chain(car.connections.iter().map(|i| (&i.work, &i.id)))
        .chain(car.parts.iter().map(|i| (&i.work, &i.id)))
        .chain(car.ways.iter().map(|i| (&i.work, &i.id)))
        .chain(car.operations.iter().map(|i| (&i.work, &i.id)))
        .chain(car.readings.iter().map(|i| (&i.work, &i.id)));
    for (work, id) in works {
        want(work.state, id, if places.has(id, "state") { "state" } else { "place" });
    }
    for reading in &car.readings {
        want(reading.again, &reading.id, "again");
    }
    wanted
}

fn states_brought(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    let wanted = states_wanted(car, places);
    let raises = wanted.contains_key(&CarState::OnStands);
    for operation in car.operations.iter().filter(|o| o.brings == Some(CarState::OnStands)) {
        if !car.operations.iter().any(|o| o.brings == Some(CarState::OnWheels)) {
            sink.error(
                "state-not-reached",
                &places.of(&operation.id, "brings"),
                format!("'{}' raises the car, but no operation lowers it again", operation.id.base()),
                "add an operation with brings = \"on-wheels\"".to_owned(),
            );
        }
    }
    for (state, (id, field)) in wanted {
        let at_the_start = state == CarState::OnWheels && !raises;
        if !at_the_start && !car.operations.iter().any(|operation| operation.brings == Some(state)) {
            sink.error(
                "state-not-reached",
                &places.of(id, field),
                format!("'{}' needs the car {}, but no operation brings it there", id.base(), state.phrase()),
                format!("add an operation with brings = \"{}\"", state.word()),
            );
        }
    }
}

fn final_reachable(car: &Car, fastener: &Fastener, places: &Places, sink: &mut Sink<'_>) {
    if !fastener.is_deferred() {
        return;
    }
    let state = fastener.torque.as_ref().and_then(|torque| torque.state).unwrap_or(CarState::OnWheels);
    for part in fastener.final_after.iter().filter_map(|id| car.part(id)) {
        if !part.cover {
            sink.error(
                "final-not-reached",
                &places.of(&fastener.id, "final_after"),
                format!(
                    "the final torque of '{}' is due with the car {}, but it cannot stand there without '{}'",
                    fastener.id,
                    state.phrase(),
                    part.id
                ),
                "only covers (cover = true) may be off then; or choose another car state for the torque"
                    .to_owned(),
            );
        } else if part.work.state == Some(CarState::OnStands) {
            sink.error(
                "final-not-reached",
                &places.of(&fastener.id, "final_after"),
                format!(
                    "'{}' must stay off until the final torque of '{}' with the car {}, but can only go on with it on stands",
                    part.id,
                    fastener.id,
                    state.phrase()
                ),
                format!("give '{}' another state or place", part.id.base()),
            );
        }
    }
}

/// Whatever is undone on wheels comes before the car is raised, so nothing that it or the raising needs
/// may wait for the stands.
fn on_wheels_behind_on_stands(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    let needs = usual_needs(car);
    for id in needs.keys() {
        let on_wheels = matches!(state_of(car, id), Some(CarState::OnWheels | CarState::RideHeight));
        let strips = car.operation(id).is_none_or(|o| o.stage <= Stage::Strip);
        let raises = car.operation(id).is_some_and(|o| o.brings == Some(CarState::OnStands));
        if raises && state_of(car, id) == Some(CarState::OnStands) {
            sink.error(
                "state-not-reached",
                &places.of(id, if places.has(id, "state") { "state" } else { "place" }),
                format!("'{}' raises the car, but is done with it on stands already", id.base()),
                "give it state = \"on-wheels\"".to_owned(),
            );
        }
        if !(on_wheels || raises) || !strips {
            continue;
        }
        let stands = if raises { "raises the car" } else { "is worked on with the car on its wheels" };
        let mut seen: BTreeSet<&ItemId> = BTreeSet::new();
        let mut todo: Vec<&ItemId> = needs.get(id).into_iter().flatten().collect();
        while let Some(at) = todo.pop() {
            if !seen.insert(at) {
                continue;
            }
            if state_of(car, at) == Some(CarState::OnStands) {
                sink.error(
                    "state-not-reached",
                    &places.of(id, "after"),
                    format!("'{id}' {stands}, but waits for '{at}', which is done on stands"),
                    "the car goes up once: give one of them another state, or describe another way"
                        .to_owned(),
                );
                break;
            }
            todo.extend(needs.get(at).into_iter().flatten());
        }
    }
}
