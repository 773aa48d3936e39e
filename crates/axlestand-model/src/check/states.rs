//! Can every car state that is asked for be reached, and every final state with it?

use super::access::{state_of, usual_needs};
use crate::car::{Car, Fastener};
use crate::file::record_places::{Places, Sink};
use crate::id::ItemId;
use crate::words::{CarState, Hand};
use std::collections::{BTreeMap, BTreeSet};

/// Finds states nobody brings about, finals nobody can reach and work on wheels behind work on
/// stands.
pub(super) fn check(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    states_brought(car, places, sink);
    for fastener in &car.fasteners {
        if fastener.id.side() != Some(Hand::Right) {
            final_reachable(car, fastener, places, sink);
        }
    }
    on_wheels_behind_on_stands(car, places, sink);
}

fn states_brought(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    let mut wanted: BTreeMap<CarState, (ItemId, &str)> = BTreeMap::new();
    let mut want = |state: Option<CarState>, id: &ItemId, field: &'static str| {
        if let Some(state) = state {
            wanted.entry(state).or_insert((id.clone(), field));
        }
    };
    for fastener in &car.fasteners {
        want(fastener.torque.as_ref().and_then(|torque| torque.state), &fastener.id, "torque");
        want(fastener.work.state, &fastener.id, "place");
    }
    for part in &car.parts {
        want(part.work.state, &part.id, "place");
    }
    for reading in &car.readings {
        want(reading.again, &reading.id, "again");
    }
    let raises = wanted.contains_key(&CarState::OnStands);
    for (state, (id, field)) in wanted {
        let at_the_start = state == CarState::OnWheels && !raises;
        if !at_the_start && !car.operations.iter().any(|operation| operation.brings == Some(state)) {
            sink.error(
                "state-not-reached",
                &places.of(&id, field),
                format!("'{id}' needs the car {}, but no operation brings it there", state.phrase()),
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

/// Whatever is undone on wheels comes before the car is raised, so nothing it needs may wait for
/// the stands.
fn on_wheels_behind_on_stands(car: &Car, places: &Places, sink: &mut Sink<'_>) {
    let needs = usual_needs(car);
    for id in needs.keys().filter(|id| id.side() != Some(Hand::Right)) {
        let on_wheels = matches!(state_of(car, id), Some(CarState::OnWheels | CarState::RideHeight));
        let strips = car.operation(id).is_none_or(|o| o.stage <= crate::words::Stage::Strip);
        if !on_wheels || !strips {
            continue;
        }
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
                    format!("'{id}' is worked on with the car on its wheels, but waits for '{at}', which is done on stands"),
                    "the car goes up once: give one of them another state, or describe another way".to_owned(),
                );
                break;
            }
            todo.extend(needs.get(at).into_iter().flatten());
        }
    }
}
