//! From single numbers to the readings of the estimator: tapes in pairs, heights as differences, a sweep
//! from its four numbers.

use super::place::{AXLES, EDGES, Place, SIDES, side_word, wheel_word};
use super::rounds::{Gauged, Round};
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{Axle, CarSize, Held, Kind, Taken, Wheel};

/// The readings of a round as the estimator takes them.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Collected {
    /// Complete readings.
    pub(crate) taken: Vec<Taken>,
    /// For each of them a place to read again.
    pub(crate) places: Vec<Place>,
    /// Numbers that say nothing alone, and what is missing beside them.
    pub(crate) incomplete: Vec<String>,
}

/// The mean of a place's readings in a round.
struct Mean {
    value: f64,
    u: f64,
    at: Option<f64>,
}

fn mean(round: &Round, place: Place) -> Option<Mean> {
    let here: Vec<&Gauged> = round.readings.iter().filter(|one| one.place == place).collect();
    let n = here.len() as f64;
    let last = here.last()?;
    let value = here.iter().map(|one| one.value).sum::<f64>() / n;
    let u = here.iter().map(|one| one.u * one.u).sum::<f64>().sqrt() / n;
    Some(Mean { value, u, at: last.at })
}

/// Collects a round.
pub(crate) fn collected(size: &CarSize, round: &Round) -> Collected {
    let mut out = Collected::default();
    for one in &round.readings {
        if let Some(kind) = alone(size, one) {
            // Half the difference of two edges is what a rim stands out.
            let half = matches!(kind, Kind::RunOut { .. });
            out.add(kind, if half { one.u / 2.0 } else { one.u }, one.place);
        }
    }
    for (make, first, second) in pairs() {
        out.pair(round, &make, first, second);
    }
    out.floor(round);
    for axle in AXLES {
        out.slope(size, round, axle);
    }
    for wheel in SIDES {
        out.sweep(round, wheel);
    }
    out
}

/// A number that is a reading by itself.
fn alone(size: &CarSize, one: &Gauged) -> Option<Kind> {
    let value = one.value;
    Some(match one.place {
        Place::Rim { wheel, edge, half_turn } => Kind::RimGap { wheel, edge, half_turn, gap: value },
        Place::Hub(wheel) => Kind::HubGap { wheel, gap: value },
        Place::Spacing(Axle::Front) => Kind::StringSpacing { ahead: one.at?, spacing: value },
        Place::Spacing(Axle::Rear) => {
            Kind::StringSpacing { ahead: -(size.wheelbase + one.at?), spacing: value }
        }
        Place::RunOut { wheel, top } => Kind::RunOut { wheel, top, out: value / 2.0 },
        Place::Camber { wheel, half_turn } => Kind::Camber { wheel, half_turn, degrees: value },
        Place::Wheelbase(side) => Kind::Wheelbase { side, distance: value },
        Place::Diagonal(front) => Kind::Diagonal { front, distance: value },
        _ => return None,
    })
}

/// Makes a reading from a base, the front and the rear number.
type Pair = Box<dyn Fn(f64, f64, f64) -> Kind>;

/// Every pair of numbers that is one reading.
fn pairs() -> Vec<(Pair, Place, Place)> {
    let mut all: Vec<(Pair, Place, Place)> = Vec::new();
    for half_turn in [false, true] {
        for axle in AXLES {
            let [first, second] = EDGES.map(|tape| Place::Plates { axle, tape, half_turn });
            let make = move |base, front, rear| Kind::ToePlates { axle, base, front, rear, half_turn };
            all.push((Box::new(make), first, second));
        }
        for side in SIDES {
            let [first, second] = EDGES.map(|gap| Place::Straight { side, gap, half_turn });
            let make = move |base, front, rear| Kind::StraightEdge { side, base, front, rear, half_turn };
            all.push((Box::new(make), first, second));
        }
    }
    for axle in AXLES {
        let [first, second] = EDGES.map(|line| Place::Trammel { axle, line });
        let make = move |base, front, rear| Kind::Trammel { axle, base, front, rear };
        all.push((Box::new(make), first, second));
    }
    all
}

impl Collected {
    fn add(&mut self, kind: Kind, sigma: f64, place: Place) {
        self.taken.push(Taken { kind, sigma });
        self.places.push(place);
    }

    fn lacks(&mut self, there: Place, missing: Place) {
        self.incomplete.push(format!("{} says nothing without {}", there.name(), missing.name()));
    }

    fn pair(&mut self, round: &Round, make: &Pair, first: Place, second: Place) {
        match (mean(round, first), mean(round, second)) {
            (Some(front), Some(rear)) => {
                let Some(base) = front.at.or(rear.at) else { return };
                self.add(make(base, front.value, rear.value), front.u.hypot(rear.u), first);
            }
            (Some(_), None) => self.lacks(first, second),
            (None, Some(_)) => self.lacks(second, first),
            (None, None) => {}
        }
    }

    /// The water stands at one height: where it is farther above the floor, the floor is lower. Steps
    /// from one wheel to the next; that two of them share a reading is not counted.
    fn floor(&mut self, round: &Round) {
        let read: Vec<(Wheel, Mean)> =
            Wheel::ALL.iter().filter_map(|w| Some((*w, mean(round, Place::Floor(*w))?))).collect();
        for pair in read.windows(2) {
            let [(from, above), (to, below)] = pair else { continue };
            let rise = above.value - below.value;
            let kind = Kind::FloorStep { from: *from, to: *to, rise };
            self.add(kind, above.u.hypot(below.u), Place::Floor(*to));
        }
        if let [(only, _)] = read.as_slice() {
            self.incomplete.push(format!(
                "{} says nothing alone: the water level is read at every wheel",
                Place::Floor(*only).name()
            ));
        }
    }

    /// A gauge on a board across, read both ways round: half the difference is the slope, up to the
    /// right positive.
    fn slope(&mut self, size: &CarSize, round: &Round, axle: Axle) {
        let [there, back] = [false, true].map(|reversed| Place::Slope { axle, reversed });
        match (mean(round, there), mean(round, back)) {
            (Some(one), Some(other)) => {
                let track = if axle == Axle::Front { size.front_track } else { size.rear_track };
                let slope = (one.value - other.value) / 2.0;
                let [from, to] = SIDES.map(|side| Wheel::of(axle, side));
                let rise = track * slope.to_radians().tan();
                let u = track * (one.u.hypot(other.u) / 2.0).to_radians();
                self.add(Kind::FloorStep { from, to, rise }, u, there);
            }
            (Some(_), None) => self.lacks(there, back),
            (None, Some(_)) => self.lacks(back, there),
            (None, None) => {}
        }
    }

    fn sweep(&mut self, round: &Round, wheel: Side) {
        let places = SIDES.map(|to| [Place::SweepTurn { wheel, to }, Place::SweepCamber { wheel, to }]);
        let read = places.map(|pair| pair.map(|place| mean(round, place)));
        let missing: Vec<String> = places
            .iter()
            .flatten()
            .zip(read.iter().flatten())
            .filter(|(_, mean)| mean.is_none())
            .map(|(place, _)| place.name())
            .collect();
        if missing.len() == 4 {
            return;
        }
        let [[Some(turn_left), Some(left)], [Some(turn_right), Some(right)]] = read else {
            self.incomplete.push(format!(
                "the caster sweep of the {} wheel lacks {}",
                side_word(wheel),
                missing.join(", ")
            ));
            return;
        };
        let held = |turn: f64, camber: f64| Held { heading: turn, camber };
        let kind = Kind::CasterSweep {
            side: wheel,
            left: held(turn_left.value, left.value),
            right: held(-turn_right.value, right.value),
        };
        let single = f64::midpoint(left.u, right.u);
        self.taken.push(Taken::with_sigma(kind, single));
        self.places.push(places[0][1]);
    }
}

/// What is asymmetric about the car as it stood while it was read: pressures, heights, loads.
pub(crate) fn conditions(round: &Round, units: Units) -> Vec<String> {
    let mut notes = Vec::new();
    for axle in AXLES {
        let both = |of: fn(Wheel) -> Place| {
            let [left, right] = SIDES.map(|side| mean(round, of(Wheel::of(axle, side))));
            Some((left?.value, right?.value))
        };
        if let Some((left, right)) = both(Place::Pressure)
            && (left - right).abs() > 10.0
        {
            notes.push(format!(
                "{axle} tyres stand at {left:.0} and {right:.0} kPa: bring them to pressure first, the car leans on them"
            ));
        }
        if let Some((left, right)) = both(Place::Height)
            && (left - right).abs() > 10.0
        {
            let (left, places, _) = units.figure_in(left, 0, "mm");
            let right = units.length(right, 0);
            notes.push(format!(
                "{axle} heights are {left:.places$} and {right}: settle the car, and look at the springs before the wheels"
            ));
        }
    }
    let loads = round.readings.iter().filter(|one| matches!(one.place, Place::Load(_)));
    notes.extend(loads.map(|one| {
        let name = one.place.name();
        format!(
            "read with {:.0} kg in the car ({name}); see which load the maker's targets are for",
            one.value
        )
    }));
    notes
}

/// Where to read again what the estimator names by the reading's place in its list.
pub(crate) fn named(collected: &Collected, at: usize) -> String {
    collected.places.get(at).map_or_else(String::new, |place| place.name())
}

/// Words of a wheel: `front left`.
pub(crate) fn wheel_name(wheel: Wheel) -> String {
    wheel_word(wheel).replace('-', " ")
}
