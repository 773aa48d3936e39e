//! What can be seen before anything is computed.

use super::car::{Axle, CarSize, Edge, Wheel};
use super::findings::Finding;
use super::reading::{Kind, Taken};
use crate::conventions::Side;
use crate::estimation::repeat_differs;

/// Toe and the string's own direction together turn a rim by less, degrees (`judgement`).
const MOST_TURN: f64 = 8.0;

/// A string that is set up with care runs off by less, degrees (`judgement`).
const MOST_YAW: f64 = 3.0;

/// Everything that is wrong or missing at first sight.
pub(crate) fn findings(size: &CarSize, readings: &[Taken]) -> Vec<Finding> {
    let mut out = magnitudes(size, readings);
    out.extend(Wheel::ALL.iter().flat_map(|w| edges(size, readings, *w)));
    out.extend([Side::Left, Side::Right].into_iter().filter_map(|s| crossed(size, readings, s)));
    out.extend(repeats(readings));
    out.extend(missing(readings));
    out
}

fn magnitudes(size: &CarSize, readings: &[Taken]) -> Vec<Finding> {
    let mut out = Vec::new();
    for (reading, taken) in readings.iter().enumerate() {
        for (value, least, most) in believable(size, taken.kind) {
            if !(least..=most).contains(&value) {
                let (name, is_length) = (taken.kind.to_string(), taken.kind.is_length());
                out.push(Finding::WrongMagnitude { reading, name, is_length, value, least, most });
            }
        }
    }
    out
}

/// Values of a reading, each with the least and the most that is believed (`judgement`).
fn believable(size: &CarSize, kind: Kind) -> Vec<(f64, f64, f64)> {
    let turn = |base: f64| base * MOST_TURN.to_radians().tan();
    let about = |value: f64, nominal: f64| (value, 0.9 * nominal, 1.1 * nominal);
    let widest = size.front_track.max(size.rear_track);
    match kind {
        Kind::RimGap { gap, .. } | Kind::HubGap { gap, .. } => vec![(gap, 1.0, 1000.0)],
        Kind::StringSpacing { spacing, .. } => vec![(spacing, 0.9 * widest, widest + 2000.0)],
        Kind::ToePlates { base, front, rear, .. } | Kind::Trammel { base, front, rear, .. } => vec![
            (base, 100.0, 2000.0),
            (front, 0.5 * widest, 1.6 * widest),
            (rear, 0.5 * widest, 1.6 * widest),
            (rear - front, -turn(base), turn(base)),
        ],
        Kind::StraightEdge { base, front, rear, .. } => {
            vec![(base, 100.0, 2000.0), (front - rear, -turn(base), turn(base))]
        }
        Kind::RunOut { out, .. } => vec![(out, -5.0, 5.0)],
        Kind::Camber { degrees, .. } => vec![(degrees, -12.0, 12.0)],
        Kind::FloorStep { rise, .. } => vec![(rise, -100.0, 100.0)],
        Kind::CasterSweep { left, right, .. } => vec![
            (left.heading, 5.0, 45.0),
            (right.heading, -45.0, -5.0),
            (left.camber, -25.0, 25.0),
            (right.camber, -25.0, 25.0),
        ],
        Kind::Wheelbase { distance, .. } => vec![about(distance, size.wheelbase)],
        Kind::Diagonal { distance, .. } => {
            let across = f64::midpoint(size.front_track, size.rear_track);
            vec![about(distance, size.wheelbase.hypot(across))]
        }
    }
}

/// The gaps at one edge of a rim.
fn gaps(readings: &[Taken], wheel: Wheel, edge: Edge, half_turn: bool) -> Vec<f64> {
    let here = |taken: &Taken| match taken.kind {
        Kind::RimGap { wheel: w, edge: e, half_turn: h, gap } if (w, e, h) == (wheel, edge, half_turn) => {
            Some(gap)
        }
        _ => None,
    };
    readings.iter().filter_map(here).collect()
}

fn edges(size: &CarSize, readings: &[Taken], wheel: Wheel) -> Vec<Finding> {
    let most = size.rim * MOST_TURN.to_radians().tan();
    let mut out = Vec::new();
    for half_turn in [false, true] {
        let of = |edge| gaps(readings, wheel, edge, half_turn);
        match (of(Edge::Front).first(), of(Edge::Rear).first()) {
            (Some(front), Some(rear)) if (front - rear).abs() > most => {
                out.push(Finding::EdgesApart { wheel, difference: front - rear, most });
            }
            (Some(_), None) => out.push(Finding::MissingEdge { wheel, edge: Edge::Rear, half_turn }),
            (None, Some(_)) => out.push(Finding::MissingEdge { wheel, edge: Edge::Front, half_turn }),
            _ => {}
        }
    }
    out
}

/// Mean of all gaps to the string at a wheel.
pub(crate) fn mean_gap(readings: &[Taken], wheel: Wheel) -> Option<f64> {
    let here = |taken: &Taken| match taken.kind {
        Kind::RimGap { wheel: w, gap, .. } | Kind::HubGap { wheel: w, gap } if w == wheel => Some(gap),
        _ => None,
    };
    let all: Vec<f64> = readings.iter().filter_map(here).collect();
    (!all.is_empty()).then(|| all.iter().sum::<f64>() / all.len() as f64)
}

fn crossed(size: &CarSize, readings: &[Taken], side: Side) -> Option<Finding> {
    let front = mean_gap(readings, Wheel::of(Axle::Front, side))?;
    let rear = mean_gap(readings, Wheel::of(Axle::Rear, side))?;
    let runs_off = rear + size.rear_track / 2.0 - front - size.front_track / 2.0;
    let most = size.wheelbase * MOST_YAW.to_radians().tan();
    (runs_off.abs() > most).then_some(Finding::CrossedString { side, runs_off })
}

fn repeats(readings: &[Taken]) -> Vec<Finding> {
    let mut out = Vec::new();
    for (i, a) in readings.iter().enumerate() {
        for (j, b) in readings.iter().enumerate().skip(i + 1) {
            let values = [a.kind.value(), b.kind.value()];
            if a.kind.same_place(b.kind) && repeat_differs(values, [a.sigma, b.sigma]) == Ok(true) {
                let (name, is_length) = (a.kind.to_string(), a.kind.is_length());
                let difference = (values[0] - values[1]).abs();
                out.push(Finding::RepeatsDiffer { readings: [i, j], name, is_length, difference });
            }
        }
    }
    out
}

/// What is not there and would help.
fn missing(readings: &[Taken]) -> Vec<Finding> {
    let any = |test: &dyn Fn(Kind) -> bool| readings.iter().any(|t| test(t.kind));
    let mut out = Vec::new();
    for wheel in Wheel::ALL {
        let read = |turned: bool| {
            any(&|k| match k {
                Kind::RimGap { wheel: w, half_turn, .. } | Kind::Camber { wheel: w, half_turn, .. } => {
                    w == wheel && half_turn == turned
                }
                _ => false,
            })
        };
        if read(true) != read(false) {
            out.push(Finding::NoHalfTurn { wheel });
        }
    }
    let spacings = readings.iter().filter(|t| matches!(t.kind, Kind::StringSpacing { .. })).count();
    let hubs = any(&|k| matches!(k, Kind::HubGap { .. }));
    if any(&|k| matches!(k, Kind::RimGap { .. })) && (spacings < 2 || !hubs) {
        out.push(Finding::StringsUnchecked);
    }
    for axle in [Axle::Front, Axle::Rear] {
        let camber = any(&|k| matches!(k, Kind::Camber { wheel, .. } if wheel.axle == axle));
        let floor =
            any(&|k| matches!(k, Kind::FloorStep { from, to, .. } if from.axle == axle || to.axle == axle));
        if camber && !floor {
            out.push(Finding::FloorUnknown { axle });
        }
    }
    out
}
