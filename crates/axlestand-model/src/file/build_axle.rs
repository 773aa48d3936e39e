//! Axles from their records: springs, dampers, limits, and the check of the hardpoints.

use super::build::{Builder, length, word};
use super::corner::{CornerFault, Doubt, Spot};
use super::plausible;
use super::record::{Record, Sink};
use crate::car::{Axle, Bar, Damper, Limits, Spring};
use crate::words::{Carrier, Hand, Layout};
use axlestand_quantity::{Angle, Mass};
use std::collections::BTreeMap;
use std::ops::{Range, RangeInclusive};

/// Angles of a wheel at rest, degrees.
const REST: RangeInclusive<f64> = -15.0..=15.0;
/// Angles that a joint allows, degrees.
const JOINT: RangeInclusive<f64> = 0.5..=90.0;

impl Builder<'_, '_> {
    pub(super) fn axle(&mut self, name: &str, record: &Record) -> Axle {
        if crate::id::is_well_formed(name) && !matches!(name, "front" | "rear") {
            self.sink.error(
                "bad-name",
                &record.span,
                format!("'{name}' is not an axle"),
                "write [axle.front] or [axle.rear]".to_owned(),
            );
        }
        for key in ["spring_rate", "tyre_rate"] {
            above_nought(record, key, self.sink);
        }
        plausible::field(record, "spring_free_length", &plausible::SPRING, self.sink);
        plausible::field(record, "tyre_radius", &plausible::TYRE_RADIUS, self.sink);
        plausible::field(record, "hub_to_arch", &plausible::HUB_TO_ARCH, self.sink);
        plausible::field(record, "rack_travel", &plausible::RACK, self.sink);
        plausible::field(record, "unsprung", &plausible::UNSPRUNG, self.sink);
        let axle = Axle {
            name: name.to_owned(),
            layout: word(record, "layout", Layout::from_word).unwrap_or(Layout::Strut),
            points: points(record, "points"),
            points_right: points(record, "points_right"),
            tyre_radius: record.quantity("tyre_radius").and_then(length),
            camber: angle(record, "camber", &REST, self.sink),
            toe: angle(record, "toe", &REST, self.sink),
            camber_right: angle(record, "camber_right", &REST, self.sink),
            toe_right: angle(record, "toe_right", &REST, self.sink),
            hub_to_arch: record.quantity("hub_to_arch").and_then(length),
            rack_travel: record.quantity("rack_travel").and_then(length),
            unsprung: record.quantity("unsprung").and_then(|parsed| Mass::from_kg(parsed.value).ok()),
            tyre_rate: record.number("tyre_rate").copied(),
            spring_rate: record.number("spring_rate").copied(),
            spring_free_length: record.quantity("spring_free_length").and_then(length),
            spring: record.record("spring").map(|spring| self.spring(spring)),
            damper: record.record("damper").map(|damper| self.damper(damper)),
            bar: record.record("bar").map(|bar| self.bar(bar)),
            limits: record.record("limits").map(|limits| self.limits(limits)),
            adjusters: self.adjusters(record),
            provenance: self.provenance(record),
        };
        self.corner(&axle, record);
        axle
    }

    fn spring(&mut self, record: &Record) -> Spring {
        for key in ["motion_ratio", "coils"] {
            above_nought(record, key, self.sink);
        }
        plausible::field(record, "solid_length", &plausible::SPRING, self.sink);
        plausible::field(record, "wire", &plausible::WIRE, self.sink);
        plausible::field(record, "coil_diameter", &plausible::COIL, self.sink);
        plausible::field(record, "collar_pitch", &plausible::PITCH, self.sink);
        Spring {
            motion_ratio: record.number("motion_ratio").copied(),
            solid_length: record.quantity("solid_length").and_then(length),
            wire: record.quantity("wire").and_then(length),
            coil_diameter: record.quantity("coil_diameter").and_then(length),
            coils: record.number("coils").copied(),
            collar_pitch: record.quantity("collar_pitch").and_then(length),
            collar: record.quantity("collar").and_then(length),
            on: word(record, "on", Carrier::from_word),
            provenance: self.provenance(record),
        }
    }

    fn damper(&mut self, record: &Record) -> Damper {
        for key in ["bump_rate", "rate"] {
            above_nought(record, key, self.sink);
        }
        for key in ["closed", "open"] {
            plausible::field(record, key, &plausible::DAMPER, self.sink);
        }
        for key in ["droop_travel", "bump_travel"] {
            plausible::field(record, key, &plausible::TRAVEL, self.sink);
        }
        let damper = Damper {
            closed: record.quantity("closed").and_then(length),
            open: record.quantity("open").and_then(length),
            droop_travel: record.quantity("droop_travel").and_then(length),
            bump_travel: record.quantity("bump_travel").and_then(length),
            bump_rate: record.number("bump_rate").copied(),
            rate: record.number("rate").copied(),
            on: word(record, "on", Carrier::from_word),
            provenance: self.provenance(record),
        };
        if let (Some(closed), Some(open)) = (damper.closed, damper.open)
            && closed >= open
        {
            self.sink.error(
                "bad-quantity",
                &record.span_of("open"),
                format!("'open' ({open}) is not longer than 'closed' ({closed})"),
                "closed: bump stop just touched; open: fully extended; perhaps the two are swapped"
                    .to_owned(),
            );
        }
        damper
    }

    fn bar(&mut self, record: &Record) -> Bar {
        Bar {
            rate: record.number("rate").copied(),
            on: word(record, "on", Carrier::from_word),
            provenance: self.provenance(record),
        }
    }

    fn limits(&mut self, record: &Record) -> Limits {
        let mut limit = |key| angle(record, key, &JOINT, self.sink);
        let (lower_ball_joint, upper_ball_joint) = (limit("lower_ball_joint"), limit("upper_ball_joint"));
        let (outer_tie_rod_joint, inner_tie_rod_joint) =
            (limit("outer_tie_rod_joint"), limit("inner_tie_rod_joint"));
        let (axle_inner_joint, axle_outer_joint) = (limit("axle_inner_joint"), limit("axle_outer_joint"));
        let (bar_link, bushing_twist) = (limit("bar_link"), limit("bushing_twist"));
        for key in ["plunge_in", "plunge_out"] {
            plausible::field(record, key, &plausible::PLUNGE, self.sink);
        }
        above_nought(record, "bushing_stiffness", self.sink);
        Limits {
            lower_ball_joint,
            upper_ball_joint,
            outer_tie_rod_joint,
            inner_tie_rod_joint,
            bar_link,
            axle_inner_joint,
            axle_outer_joint,
            plunge_in: record.quantity("plunge_in").and_then(length),
            plunge_out: record.quantity("plunge_out").and_then(length),
            bushing_twist,
            bushing_stiffness: record.number("bushing_stiffness").copied(),
            provenance: self.provenance(record),
        }
    }

    /// Asks what can be said of the hardpoints. Where one of them could not be read, only names are
    /// looked at: the rest may be a consequence.
    fn corner(&mut self, axle: &Axle, record: &Record) {
        let unread = |key| record.has(key) && !record.points_are_whole(key);
        let whole = !unread("points") && !unread("points_right");
        for fault in (self.sink.corner)(axle) {
            let place = place_of(record, &fault);
            let CornerFault { doubt, message, hint, .. } = fault;
            match doubt {
                Doubt::UnknownPoint => self.sink.error("unknown-point", &place, message, hint),
                Doubt::Impossible if whole => self.sink.error("impossible-points", &place, message, hint),
                Doubt::Doubtful if whole => self.sink.warn("doubtful-points", &place, message, hint),
                Doubt::Adjuster => self.sink.error("impossible-adjuster", &place, message, hint),
                Doubt::Impossible | Doubt::Doubtful => {}
            }
        }
    }
}

/// The place that a fault speaks of: one of its points, else their table; the key of an adjuster.
fn place_of(record: &Record, fault: &CornerFault) -> Range<usize> {
    let key = match &fault.spot {
        Spot::Points(Hand::Left) => "points",
        Spot::Points(Hand::Right) => "points_right",
        Spot::Adjuster { name, key } => {
            let mut adjusters = record.items("adjuster").into_iter().flatten();
            let adjuster = adjusters.find(|(known, _)| known.value == *name);
            return adjuster.map_or_else(|| record.span.clone(), |(_, adjuster)| adjuster.span_of(key));
        }
    };
    let points = record.points(key).into_iter().flatten();
    let named = |name: &String| points.clone().find(|(known, _)| *known == name);
    let place = fault.points.iter().find_map(named).map(|(_, placed)| placed.span.clone());
    place.unwrap_or_else(|| record.span_of(key))
}

fn points(record: &Record, key: &str) -> BTreeMap<String, [f64; 3]> {
    record.points(key).into_iter().flatten().map(|(name, point)| (name.clone(), point.value)).collect()
}

fn above_nought(record: &Record, key: &str, sink: &mut Sink<'_>) {
    if record.number(key).is_some_and(|number| *number <= 0.0) {
        sink.error(
            "bad-number",
            &record.span_of(key),
            format!("'{key}' must be more than nought"),
            "write the figure of one corner, or leave the line out until it is known".to_owned(),
        );
    }
}

fn angle(record: &Record, key: &str, range: &RangeInclusive<f64>, sink: &mut Sink<'_>) -> Option<Angle> {
    let value = record.quantity(key)?.value;
    if range.contains(&value) {
        return Angle::from_deg(value).ok();
    }
    sink.error(
        "bad-quantity",
        &record.span_of(key),
        format!("'{key}' cannot be {value}°"),
        format!("write an angle from {}° to {}°, or leave the line out", range.start(), range.end()),
    );
    None
}
