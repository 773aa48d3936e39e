//! A fastener of the car as the numeric crate sees it: thread, class, place, locking, what is near.

use crate::job::Job;
use axlestand_fastener::seized::Near;
use axlestand_fastener::{Joint, Locking, Place, PropertyClass, Thread};
use axlestand_model::car::{Car, Fastener};
use axlestand_model::{Duty, Form, ItemId, Joint as Connected, Lock, Neighbour};

/// A fastener with what is known of it in numbers.
#[derive(Debug, Clone)]
pub(crate) struct Subject<'a> {
    pub(crate) fastener: &'a Fastener,
    pub(crate) thread: Option<Thread>,
    /// The class of the bolt; a nut's own number says nothing of the bolt.
    pub(crate) class: Option<PropertyClass>,
    pub(crate) place: Place,
    pub(crate) hydraulic: bool,
}

impl<'a> Subject<'a> {
    /// Reads what the vehicle file says of a fastener.
    pub(crate) fn of(car: &Car, fastener: &'a Fastener) -> Self {
        Self {
            fastener,
            thread: fastener.thread.as_deref().and_then(|text| Thread::parse(text).ok()),
            class: fastener.class.as_deref().and_then(|text| PropertyClass::parse(text).ok()),
            place: place(car, fastener),
            hydraulic: is_hydraulic(car, fastener),
        }
    }

    /// The thread with its bearing face.
    pub(crate) fn joint(&self) -> Option<Joint> {
        self.thread.map(Joint::hex)
    }

    /// Whether it is pinned through slots.
    pub(crate) fn is_castle(&self) -> bool {
        self.fastener.form == Some(Form::CastleNut)
    }

    /// Whether it sits on a taper.
    pub(crate) fn on_taper(&self) -> bool {
        self.place == Place::Taper
    }

    /// The lock in the numeric crate's words.
    pub(crate) fn locking(&self) -> Option<Locking> {
        let as_supplied = self.fastener.torque.as_ref().and_then(|torque| torque.condition)
            == Some(axlestand_model::Condition::AsSupplied);
        Some(match self.fastener.lock {
            Lock::None => return None,
            Lock::SplitPin => Locking::SplitPin,
            Lock::Stake => Locking::Stake,
            Lock::Tab => Locking::TabWasher,
            Lock::Insert => Locking::NylonInsert,
            Lock::Distorted => Locking::DistortedThread,
            Lock::ThreadLocker if as_supplied => Locking::PreCoated,
            Lock::ThreadLocker => Locking::ThreadLocker,
        })
    }
}

/// What kind of place it is: as the vehicle file says, else told by what it joins and by names.
fn place(car: &Car, fastener: &Fastener) -> Place {
    match fastener.duty {
        None => place_by_names(car, fastener),
        Some(Duty::Plain | Duty::Union) => Place::Thread,
        Some(Duty::Wheel) => Place::WheelFastener,
        Some(Duty::Taper) => Place::Taper,
        Some(Duty::Pinch) => Place::PinchJoint,
        Some(Duty::FrictionFace) => Place::FrictionFace,
        Some(Duty::Sleeve) => Place::ShankInSleeve,
        Some(Duty::Axle) => Place::Spline,
        Some(Duty::Sensor) => Place::SensorTip,
    }
}

/// What kind of place it is, told by the parts it joins and by its name.
fn place_by_names(car: &Car, fastener: &Fastener) -> Place {
    let parts: Vec<String> = names(car, fastener);
    let name = fastener.name.to_lowercase();
    let any = |words: &[&str]| parts.iter().any(|part| words.iter().any(|word| part.contains(word)));
    let is_wheel = |part: &String| part.ends_with("wheel") && !part.contains("steering");
    if parts.iter().any(is_wheel)
        || ["wheel nut", "wheel bolt", "lug nut"].iter().any(|word| name.contains(word))
    {
        return Place::WheelFastener;
    }
    if fastener.form == Some(Form::CastleNut) || shares_a_taper(car, fastener) {
        return Place::Taper;
    }
    let bracket = name.contains("bracket") || name.contains("shield") || name.contains("lead");
    match () {
        () if name.contains("pinch") => Place::PinchJoint,
        () if any(&["sensor"]) && !bracket => Place::SensorTip,
        () if any(&["drive axle"]) && any(&["knuckle", "hub"]) => Place::Spline,
        () if name.contains("bush") => Place::ShankInSleeve,
        () if name.contains("eccentric") || (any(&["strut", "caliper"]) && any(&["knuckle"]) && !bracket) => {
            Place::FrictionFace
        }
        () => Place::Thread,
    }
}

/// A taper seat between the same parts.
fn shares_a_taper(car: &Car, fastener: &Fastener) -> bool {
    fastener.joins.len() > 1
        && car.connections.iter().any(|connection| {
            connection.joint == Connected::Taper
                && fastener.joins.iter().all(|part| connection.joins.contains(part))
        })
}

/// Whether it seals brake fluid: unions and hollow bolts, not the brackets of their lines.
fn is_hydraulic(car: &Car, fastener: &Fastener) -> bool {
    if let Some(duty) = fastener.duty {
        return duty == Duty::Union;
    }
    let name = fastener.name.to_lowercase();
    let line = names(car, fastener).iter().any(|part| part.contains("hose") || part.contains("brake pipe"));
    line && !name.contains("bracket")
}

/// The names of the joined parts, in small letters.
fn names(car: &Car, fastener: &Fastener) -> Vec<String> {
    fastener.joins.iter().map(|id| name_of(car, id)).collect()
}

fn name_of(car: &Car, id: &ItemId) -> String {
    car.part(id).map_or_else(|| id.base().replace('-', " "), |part| part.name.to_lowercase())
}

/// What is within a hand of a fastener, with the part that brings it: from the parts it joins and
/// what is built into those that are still on the car.
pub(crate) fn near(job: &Job, fastener: &Fastener) -> Vec<(Near, String)> {
    let car = &job.car;
    let mut found: Vec<(Near, String)> = Vec::new();
    for joined in &fastener.joins {
        let mut inside: Vec<ItemId> = vec![joined.clone()];
        inside.extend(car.assembly(joined).iter().filter(|id| *id != joined).cloned());
        for id in inside.iter().filter(|id| !job.state.part(id).off) {
            let name = name_of(car, id);
            let told = car.part(id).and_then(|part| part.near.as_ref());
            let brought = told
                .map_or_else(|| brings(id.base(), &name), |list| list.iter().map(|n| near_of(*n)).collect());
            for near in brought {
                if !found.iter().any(|(known, _)| *known == near) {
                    found.push((near, car.part(id).map_or_else(|| name.clone(), |part| part.name.clone())));
                }
            }
        }
    }
    found.sort_by_key(|(near, _)| *near);
    found
}

fn near_of(neighbour: Neighbour) -> Near {
    match neighbour {
        Neighbour::Rubber => Near::Rubber,
        Neighbour::Hydraulics => Near::Hydraulics,
        Neighbour::Gas => Near::Gas,
        Neighbour::Fuel => Near::Fuel,
        Neighbour::Sensor => Near::Sensor,
        Neighbour::Grease => Near::Grease,
    }
}

/// What a part brings near, by what it is called in the file and by people.
fn brings(base: &str, name: &str) -> Vec<Near> {
    let has = |words: &[&str]| words.iter().any(|word| name.contains(word));
    let rubber = has(&[
        "bush",
        "bellows",
        "boot",
        "mount",
        "ball joint",
        "tie-rod end",
        "drive axle",
        "link",
        "rubber",
    ]);
    let gas = ["strut", "damper", "shock"].iter().any(|word| base.contains(word))
        && !["mount", "cap", "tower", "boot"].iter().any(|word| base.contains(word));
    [
        (rubber && !name.contains("bracket"), Near::Rubber),
        (has(&["brake hose", "brake pipe", "caliper", "brake line"]), Near::Hydraulics),
        (gas, Near::Gas),
        (has(&["fuel", "tank"]), Near::Fuel),
        (has(&["sensor"]), Near::Sensor),
        (has(&["bearing", "ball joint", "tie-rod end", "drive axle", "hub"]), Near::Grease),
    ]
    .into_iter()
    .filter_map(|(applies, near)| applies.then_some(near))
    .collect()
}

/// Joined parts that are replaced or broken in this job: what holds them need not be spared.
pub(crate) fn scrap_parts(job: &Job, fastener: &Fastener) -> Vec<String> {
    fastener
        .joins
        .iter()
        .filter(|id| job.state.goals.contains(id) || job.state.part(id).broken)
        .map(|id| job.car.part(id).map_or_else(|| id.to_string(), |part| part.name.clone()))
        .collect()
}
