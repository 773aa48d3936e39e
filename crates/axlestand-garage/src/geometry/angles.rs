//! Wheel angles before and after a change of height, with what was read and what is aimed at.

use super::both_sides::{BothSides, Together};
use super::corner_figures::CornerFigures;
use super::now::{Latest, end, latest};
use super::targets::{band_text, is_to_be_set, judged, limits, target, verdict};
use crate::job::Job;
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::Outputs;
use axlestand_model::car::{Axle, Car};
use axlestand_model::{AxleEnd, Hand, ReadingKind};
use axlestand_quantity::Band;
use serde::Serialize;

/// One angle or length before and after.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct AngleView {
    /// What.
    pub name: String,
    /// The unit of all its figures.
    pub unit: &'static str,
    /// Digits that mean something.
    pub places: usize,
    /// Before.
    pub before: Option<f64>,
    /// Where that comes from.
    pub from: String,
    /// Its change, signs as in `conventions` of the geometry crate.
    pub change: f64,
    /// Half the spread of the change from typical inputs.
    pub change_spread: Option<f64>,
    /// After.
    pub after: Option<f64>,
    /// Standard uncertainty of the value after, where the one before has one.
    pub u: Option<f64>,
    /// The target with its source.
    pub target: Option<String>,
    /// Whether it is met: `cannot be told (47 in 100)`.
    pub verdict: Option<String>,
    /// Probability that it is met.
    pub probability: Option<f64>,
    /// Whether it is to be set for its target.
    #[serde(skip)]
    pub(super) to_be_set: bool,
    /// What it is called where lengths are told in inches, and how many times its figures it is then: bump
    /// steer is told over an inch instead of 10 mm.
    #[serde(skip)]
    in_inches: Option<(String, f64)>,
}

impl AngleView {
    /// The same in the user's units, ready to be shown.
    #[must_use]
    pub fn in_units(&self, units: Units) -> Self {
        let own = self.in_inches.clone().filter(|_| units == Units::Inch);
        let (name, times) = own.unwrap_or_else(|| (self.name.clone(), 1.0));
        let (_, places, unit) = units.figure_in(0.0, self.places, self.unit);
        let here = |value: f64| times * units.figure_in(value, 0, self.unit).0;
        Self {
            name,
            unit,
            places,
            before: self.before.map(here),
            change: here(self.change),
            change_spread: self.change_spread.map(here),
            after: self.after.map(here),
            u: self.u.map(here),
            ..self.clone()
        }
    }
}

/// A value of the left and of the right wheel; of the axle, twice the same.
type Pair = [Option<f64>; 2];

/// How many values there are.
const COUNT: usize = 9;

/// Values of both wheels in the order of [`NAMES`].
pub(super) type Values = [Pair; COUNT];

/// Values before and after.
pub(super) struct Changes {
    pub(super) before: Values,
    pub(super) after: Values,
}

const NAMES: [(&str, &str, usize); COUNT] = [
    ("camber", "°", 2),
    ("total toe", "°", 2),
    ("caster", "°", 2),
    ("steering-axis inclination", "°", 2),
    ("track", "mm", 1),
    ("roll centre above ground", "mm", 0),
    ("bump steer of a wheel, per 10 mm up", "°", 3),
    ("scrub radius", "mm", 1),
    ("roll steer, per ° of roll", "°", 3),
];

/// The place of bump steer in [`NAMES`], its name over an inch, and an inch over 10 mm.
const BUMP_STEER: usize = 6;
const OVER_AN_INCH: (&str, f64) = ("bump steer of a wheel, per inch up", 2.54);
/// The place of the track in [`NAMES`].
const TRACK: usize = 4;
/// What [`NAMES`] has that is one figure of both wheels.
const OF_THE_AXLE: [usize; 4] = [1, TRACK, 5, 8];
/// What is read of each wheel by itself.
const READ_AT_EACH: [usize; 2] = [0, 2];

impl Changes {
    /// Of wheels hung one by one, from one wheel travel to another, mm; `None` where a wheel does not get there.
    pub(super) fn of(figures: &CornerFigures, from: f64, to: f64) -> Option<Self> {
        let both = BothSides::of(figures, Side::Left)?;
        Some(Self { before: values(&both, from)?, after: values(&both, to)? })
    }

    /// Every change, left and right of each.
    pub(super) fn vector(&self) -> Vec<Option<f64>> {
        let pairs = self.before.iter().flatten().zip(self.after.iter().flatten());
        pairs.map(|(before, after)| Some((*after)? - (*before)?)).collect()
    }
}

fn values(both: &BothSides, travel: f64) -> Option<Values> {
    let (at, left) = both.here.at(travel, 0.0).ok()?;
    let across = match &both.across {
        Some(corner) => Some(corner.at(travel, 0.0).ok()?),
        None => None,
    };
    let right = across.as_ref().map_or(left, |(_, out)| *out);
    let together = both.together(&at, &left, across.as_ref().map(|(at, _)| at));
    let (l, r) = (of_wheel(&left, together), of_wheel(&right, together));
    let mut all = [0, 1, 2, 3, 4, 5, 6, 7, 8].map(|i| [l[i], r[i]]);
    all[1] = [Some(left.toe + right.toe); 2];
    Some(all)
}

fn of_wheel(out: &Outputs, together: Together) -> [Option<f64>; COUNT] {
    [
        Some(out.camber),
        None,
        out.caster,
        out.inclination,
        together.track_change,
        together.roll_centre,
        Some(10.0 * out.toe_rate),
        out.scrub_radius,
        None,
    ]
}

/// Which kind of reading gives the value at a place of [`NAMES`].
fn kind_of(place: usize) -> Option<ReadingKind> {
    match place {
        0 => Some(ReadingKind::Camber),
        1 => Some(ReadingKind::Toe),
        2 => Some(ReadingKind::Caster),
        _ => None,
    }
}

/// The rows of a preview: one for each wheel where the two are not alike. `spread` gives half the
/// spread of a change by its place in [`Changes::vector`].
pub(super) fn angles(
    car: &Car,
    job: Option<&Job>,
    axle: &Axle,
    changes: &Changes,
    spread: &dyn Fn(usize) -> Option<f64>,
) -> Vec<AngleView> {
    let mut all = Vec::new();
    for (i, (name, ..)) in NAMES.into_iter().enumerate() {
        let one = OF_THE_AXLE.contains(&i) || (axle.right_is_mirrored() && !READ_AT_EACH.contains(&i));
        let hands: &[Option<Hand>] = if one { &[None] } else { &[Some(Hand::Left), Some(Hand::Right)] };
        let mut rows: Vec<AngleView> =
            hands.iter().filter_map(|hand| row(car, job, axle, changes, spread, (i, *hand))).collect();
        // Left and right alike are one row.
        if let [a, b] = rows.as_slice()
            && (a.before, a.change, &a.target, &a.from) == (b.before, b.change, &b.target, &b.from)
        {
            let each = |name: &str| format!("{name}, each side");
            let in_inches = a.in_inches.as_ref().map(|(_, times)| (each(OVER_AN_INCH.0), *times));
            rows = vec![AngleView { name: each(name), in_inches, ..a.clone() }];
        }
        all.extend(rows);
    }
    all
}

fn row(
    car: &Car,
    job: Option<&Job>,
    axle: &Axle,
    changes: &Changes,
    spread: &dyn Fn(usize) -> Option<f64>,
    (i, hand): (usize, Option<Hand>),
) -> Option<AngleView> {
    let at = end(&axle.name);
    let wheel = usize::from(hand == Some(Hand::Right));
    let (before, after) = (changes.before[i][wheel], changes.after[i][wheel]);
    let read = kind_of(i).and_then(|kind| latest(job?, kind, at, hand));
    let target = kind_of(i).and_then(|kind| target(car, kind, at, hand));
    let (name, unit, places) = NAMES[i];
    let track = if at == AxleEnd::Front { car.track_front } else { car.track_rear };
    // The hardpoints tell how the track changes; how wide it is, the file says.
    let file = match i {
        TRACK => track.map(|width| width.mm() + before.unwrap_or_default()),
        _ => before,
    };
    let of_wheel =
        |name: &str| hand.map_or_else(|| name.to_owned(), |hand| format!("{name}, {}", hand.phrase()));
    let base = Base {
        name: of_wheel(name),
        in_inches: (i == BUMP_STEER).then(|| (of_wheel(OVER_AN_INCH.0), OVER_AN_INCH.1)),
        unit,
        places,
        change: after? - before?,
        spread: spread(2 * i + wheel),
        read,
        file,
    };
    Some(base.view(target.and_then(|t| Some((t.band?, t.provenance.to_string())))))
}

/// What a row is made of.
struct Base {
    name: String,
    in_inches: Option<(String, f64)>,
    unit: &'static str,
    places: usize,
    change: f64,
    spread: Option<f64>,
    read: Option<Latest>,
    file: Option<f64>,
}

impl Base {
    fn view(self, target: Option<(Band, String)>) -> AngleView {
        let before = self.read.as_ref().map(|r| r.value).or(self.file);
        let u_before = self.read.as_ref().map(|r| r.u);
        let after = before.map(|b| b + self.change);
        let u = u_before.map(|u| u.hypot(self.spread.unwrap_or(0.0)));
        // From the hardpoints it is as uncertain as the inputs leave it.
        let spread = u.or(self.spread).unwrap_or(0.0);
        let aim = target.as_ref().and_then(|(band, _)| limits(*band)).zip(after);
        let decision = aim.and_then(|(limits, after)| judged(limits, after, spread));
        AngleView {
            name: self.name,
            unit: self.unit,
            places: self.places,
            before,
            from: self.read.map_or_else(|| "from the hardpoints".to_owned(), |r| r.from),
            change: self.change,
            change_spread: self.spread,
            after,
            u,
            target: target.map(|(band, from)| format!("{} [{from}]", band_text(band, self.unit))),
            probability: decision.map(|decision| decision.probability),
            verdict: decision.map(verdict),
            to_be_set: decision.is_some_and(is_to_be_set),
            in_inches: self.in_inches,
        }
    }
}
