//! Adjusters from their records: what each kind needs, and what cannot be.

use super::build::{Builder, word};
use super::plausible;
use super::record::Record;
use crate::car::{Acts, Adjuster};
use crate::words::AdjusterKind;
use axlestand_quantity::Dimension;
use std::ops::RangeInclusive;

/// Most points that one adjuster moves.
const MOST_POINTS: usize = 8;
/// Farthest settings: of a strut in its knuckle, of an eccentric, of a mount or rod.
const TURN: RangeInclusive<f64> = -10.0..=10.0;
const CAM: RangeInclusive<f64> = -180.0..=180.0;
const MOVED: RangeInclusive<f64> = -60.0..=60.0;

/// The keys a kind needs and those it takes besides; the rest is not its own.
fn keys(kind: AdjusterKind) -> (&'static [&'static str], &'static [&'static str]) {
    match kind {
        AdjusterKind::StrutTurn => (&["bolt", "direction"], &["apart"]),
        AdjusterKind::Eccentric => (&["moves", "direction", "eccentricity"], &["start"]),
        AdjusterKind::Shift => (&["moves", "direction"], &["both_sides"]),
        AdjusterKind::Rod => (&["moves"], &[]),
    }
}

const OF_SOME_KINDS: [&str; 7] =
    ["moves", "direction", "bolt", "apart", "eccentricity", "start", "both_sides"];

impl Builder<'_, '_> {
    /// The adjusters of an axle; of a faulty one nothing but its findings.
    pub(super) fn adjusters(&mut self, axle: &Record) -> Vec<Adjuster> {
        let named = axle.items("adjuster").into_iter().flatten();
        named.filter_map(|(name, record)| self.adjuster(&name.value, record)).collect()
    }

    fn adjuster(&mut self, key: &str, record: &Record) -> Option<Adjuster> {
        let known = self.sink.findings.len();
        let provenance = self.provenance(record);
        plausible::field(record, "eccentricity", &plausible::ECCENTRIC, self.sink);
        plausible::field(record, "apart", &plausible::APART, self.sink);
        let kind = word(record, "kind", AdjusterKind::from_word)?;
        let acts = self.acts(kind, record);
        let range = self.range(kind, record);
        let (acts, (from, to)) = (acts?, range?);
        // A faulty one has had its findings; what else could be said of it would be a consequence.
        (self.sink.findings.len() == known).then(|| Adjuster {
            key: key.to_owned(),
            name: record.text("name").cloned().unwrap_or_else(|| key.to_owned()),
            acts,
            from,
            to,
            both_sides: record.flag("both_sides"),
            provenance,
        })
    }

    fn acts(&mut self, kind: AdjusterKind, record: &Record) -> Option<Acts> {
        let (needed, taken) = keys(kind);
        for key in needed.iter().filter(|key| !record.has(key)) {
            self.sink.error(
                "missing-key",
                &record.span,
                format!("a {} needs '{key}'", kind.phrase()),
                example(kind).to_owned(),
            );
        }
        for key in OF_SOME_KINDS {
            if record.has(key) && !needed.contains(&key) && !taken.contains(&key) {
                self.sink.error(
                    "impossible-adjuster",
                    &record.span_of(key),
                    format!("'{key}' says nothing of a {}", kind.phrase()),
                    format!("take it out, or choose another kind: {}", AdjusterKind::WORDS.join(", ")),
                );
            }
        }
        let direction = self.direction(record);
        let start = self.cam_start(record);
        let points: Vec<String> =
            record.names("moves").into_iter().flatten().map(|name| name.value.clone()).collect();
        match kind {
            AdjusterKind::StrutTurn => Some(Acts::StrutTurn {
                bolt: *record.point("bolt")?,
                direction: direction?,
                apart: record.quantity("apart").map(|parsed| parsed.value),
            }),
            AdjusterKind::Eccentric => Some(Acts::Eccentric {
                point: self.one_point(record, points)?,
                direction: direction?,
                eccentricity: record.quantity("eccentricity")?.value,
                start,
            }),
            AdjusterKind::Shift => {
                Some(Acts::Shift { points: self.points_moved(record, points)?, direction: direction? })
            }
            AdjusterKind::Rod => Some(Acts::Rod { point: self.one_point(record, points)? }),
        }
    }

    fn direction(&mut self, record: &Record) -> Option<[f64; 3]> {
        let direction = *record.point("direction")?;
        if direction.iter().any(|part| part.abs() > 1e-6) {
            return Some(direction);
        }
        self.sink.error(
            "impossible-adjuster",
            &record.span_of("direction"),
            "the direction is nought in every axis".to_owned(),
            "write where it points at the left wheel: [1, 0, 0] forward, [0, 1, 0] outboard, [0, 0, 1] up"
                .to_owned(),
        );
        None
    }

    fn one_point(&mut self, record: &Record, mut points: Vec<String>) -> Option<String> {
        if points.len() == 1 {
            return points.pop();
        }
        if record.names("moves").is_some() {
            self.sink.error(
                "impossible-adjuster",
                &record.span_of("moves"),
                format!("it moves one hardpoint; here are {}", points.len()),
                "name one; only the kind 'shift' moves several".to_owned(),
            );
        }
        None
    }

    fn points_moved(&mut self, record: &Record, points: Vec<String>) -> Option<Vec<String>> {
        if (1..=MOST_POINTS).contains(&points.len()) {
            return Some(points);
        }
        if record.names("moves").is_some() {
            self.sink.error(
                "impossible-adjuster",
                &record.span_of("moves"),
                format!("it moves from one to {MOST_POINTS} hardpoints; here are {}", points.len()),
                "name those that are fixed to what moves: moves = [\"strut-top-mount\"]".to_owned(),
            );
        }
        None
    }

    fn cam_start(&mut self, record: &Record) -> f64 {
        let start = record.quantity("start").map_or(0.0, |parsed| parsed.value);
        if !(-360.0..=360.0).contains(&start) {
            self.sink.error(
                "bad-quantity",
                &record.span_of("start"),
                format!("'start' cannot be {start}°"),
                "write an angle from -360° to 360°: 0° is the cam outboard".to_owned(),
            );
        }
        start
    }

    /// Both ends of the range; nought, where it stood as the points were taken, lies within.
    fn range(&mut self, kind: AdjusterKind, record: &Record) -> Option<(f64, f64)> {
        let (from, to) = (self.setting(kind, record, "from"), self.setting(kind, record, "to"));
        let (from, to) = (from?, to?);
        let unit = if kind.in_degrees() { "°" } else { " mm" };
        let (message, hint) = if from >= to {
            (
                format!(
                    "the range goes from {from}{unit} to {to}{unit}: its lower end is not below its upper one"
                ),
                "'from' is the lower end: write the smaller number, a minus counts as smaller",
            )
        } else if from > 0.0 || to < 0.0 {
            (
                format!("the range from {from}{unit} to {to}{unit} leaves out nought"),
                "nought is where it stood as the points were taken: count both ends from there",
            )
        } else {
            return Some((from, to));
        };
        self.sink.error("impossible-adjuster", &record.span_of("from"), message, hint.to_owned());
        None
    }

    /// One end of the range in the unit of the kind. A strut's slot may be given in mm at the bolt that
    /// moves, where its distance from the other bolt is known: the turn is atan(d/h).
    fn setting(&mut self, kind: AdjusterKind, record: &Record, key: &str) -> Option<f64> {
        let text = record.text(key)?;
        let apart = record.quantity("apart").map(|parsed| parsed.value);
        let of = |dimension: Dimension| {
            dimension.parse(text).ok().filter(|parsed| parsed.u.is_none()).map(|parsed| parsed.value)
        };
        let as_length = of(Dimension::Length);
        let setting = match (kind, as_length, apart) {
            (AdjusterKind::StrutTurn, Some(mm), Some(apart)) if apart > 0.0 => {
                Some((mm / apart).atan().to_degrees())
            }
            // How far the bolts are apart could not be read: that is the fault to mend.
            (AdjusterKind::StrutTurn, Some(_), _) if record.has("apart") => return None,
            (AdjusterKind::StrutTurn, Some(_), _) => {
                self.sink.error(
                    "bad-quantity",
                    &record.span_of(key),
                    format!("'{key}' is a length, and how far the bolts are apart is not said"),
                    "add apart = \"…\", the distance of the two bolts, or write the turn as an angle"
                        .to_owned(),
                );
                return None;
            }
            _ if kind.in_degrees() => of(Dimension::Angle),
            _ => as_length,
        };
        let (unit, example) = match kind {
            AdjusterKind::StrutTurn => ("an angle, or a length with 'apart'", "0.75°"),
            AdjusterKind::Eccentric => ("an angle", "90°"),
            AdjusterKind::Shift | AdjusterKind::Rod => ("a length", "6 mm"),
        };
        let range = match kind {
            AdjusterKind::StrutTurn => TURN,
            AdjusterKind::Eccentric => CAM,
            AdjusterKind::Shift | AdjusterKind::Rod => MOVED,
        };
        let own = if kind.in_degrees() { "°" } else { " mm" };
        let (message, hint) = match setting {
            Some(setting) if range.contains(&setting) => return Some(setting),
            Some(setting) => (
                format!("'{key}' cannot be {setting:.4}{own}"),
                format!("write it from {}{own} to {}{own}", range.start(), range.end()),
            ),
            None => (
                format!("'{key}' of this kind is {unit}: '{text}' is none"),
                format!("write it like {key} = \"{example}\""),
            ),
        };
        self.sink.error("bad-quantity", &record.span_of(key), message, hint);
        None
    }
}

/// A whole adjuster of a kind, as it may be written.
fn example(kind: AdjusterKind) -> &'static str {
    match kind {
        AdjusterKind::StrutTurn => {
            "write bolt = [x, y, z] of the bolt it turns about, direction = [1, 0, 0] for bolts that lie along the car"
        }
        AdjusterKind::Eccentric => {
            "write moves = \"lower-arm-rear-pivot\", direction = [1, 0, 0] of the bolt, eccentricity = \"4 mm\""
        }
        AdjusterKind::Shift => {
            "write moves = \"strut-top-mount\" and direction = [0, 1, 0], which way it goes at the left wheel"
        }
        AdjusterKind::Rod => "write moves = \"…\", the joint at one end of the rod",
    }
}
