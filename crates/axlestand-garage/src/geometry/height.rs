//! Where the car stands, where the collars belong, what is left of travel.

use super::figures::{Figure, InputView, spread};
use super::now::{Latest, end};
use super::springs::{SpringFigures, Stance, WHEELS};
use super::targets::{judged, limits, target, verdict};
use super::warnings::{DangerView, dangers, notes};
use super::wishes::{
    axle_of, by_wheel, coil, hand_of, heights_now, masses, reference, share, wanted_travels,
};
use crate::error::GarageError;
use crate::job::Job;
use crate::units::Units;
use axlestand_geometry::estimation::conformity::Limits;
use axlestand_geometry::springs::{CornerStanding, Heights, Seating, aim_change, damping_ratio};
use axlestand_model::ReadingKind;
use axlestand_model::car::Car;
use axlestand_quantity::{Dimension, Length, STANDARD_GRAVITY};
use serde::Serialize;

/// What is wanted, as typed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct HeightWanted {
    /// Heights now, hub centre to arch: `front-left=364 mm`, `rear=371 mm`.
    pub now: Vec<String>,
    /// Wanted heights, written alike.
    pub want: Vec<String>,
    /// Wanted share of the weight on front right and rear left: `50 %`.
    pub cross: Option<String>,
    /// Masses on the wheels, written alike: `front-left=366 kg`.
    pub load: Vec<String>,
    /// Other springs at the front: `28 N/mm x 350 mm`.
    pub front_spring: Option<String>,
    /// Other springs at the rear.
    pub rear_spring: Option<String>,
    /// The user's units, for what is said in words.
    pub units: Units,
}

/// A value with half its spread from typical inputs.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Value {
    /// The value, in the unit that the field says.
    pub value: Option<f64>,
    /// Half the spread in the same unit, where an input is typical.
    pub spread: Option<f64>,
}

/// One corner.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CornerHeight {
    /// `front-left` …
    pub wheel: &'static str,
    /// Height now, mm.
    pub now: Option<f64>,
    /// Wanted height, mm.
    pub wanted: Option<f64>,
    /// Height that comes of it, mm.
    pub height: Value,
    /// Wheel travel from where the car stands now, wheel up positive, mm.
    pub travel: Value,
    /// Load on the tyre, N.
    pub load: Value,
    /// Force of the spring, N.
    pub force: Value,
    /// Motion ratio there.
    pub ratio: Value,
    /// Wheel rate, N/mm.
    pub wheel_rate: Value,
    /// Ride frequency, Hz.
    pub frequency: Value,
    /// Damping ratio, where the damper's rate is known.
    pub damping: Value,
    /// Change of the collar, mm raised towards the spring; nought where nothing is to change.
    pub collar_change: Value,
    /// The same in turns of the collar, where its pitch is known.
    pub collar_turns: Option<f64>,
    /// Travel left to the bump stop, mm.
    pub bump_left: Value,
    /// Travel left to full droop, mm.
    pub droop_left: Value,
    /// Compression left in the spring at full droop, mm; negative: it is loose by as much.
    pub hold_at_droop: Value,
    /// Stored energy of the spring as it stands, J.
    pub energy: Value,
    /// Stored energy at full droop, J.
    pub energy_at_droop: Value,
    /// Way left until the coils touch with the bump stop reached, mm.
    pub to_bind: Value,
    /// The height target of the file, and whether it is met.
    pub target: Option<HeightTarget>,
}

/// A height held against its target.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct HeightTarget {
    /// The lower limit, mm.
    pub lower: f64,
    /// The upper limit, mm.
    pub upper: f64,
    /// Probability that the height is within.
    pub probability: f64,
    /// Whether it is: `within limits (98 in 100)`; of a height that was not read as the car stands now,
    /// with that before it: `predicted: within limits (98 in 100)`.
    pub verdict: String,
}

/// What a height is known by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum KnownBy {
    /// Read as the car stands now.
    Reading,
    /// Read before the work, or before something moved.
    EarlierReading,
    /// Computed.
    Prediction,
}

impl KnownBy {
    fn of(now: Option<&Latest>, changes: bool) -> Self {
        match now {
            Some(now) if !changes && now.fresh => Self::Reading,
            Some(_) if !changes => Self::EarlierReading,
            _ => Self::Prediction,
        }
    }

    /// What stands before a verdict.
    fn word(self) -> &'static str {
        match self {
            Self::Reading => "",
            Self::EarlierReading => "as read before: ",
            Self::Prediction => "predicted: ",
        }
    }
}

/// Most places that a height is told with to keep it from its limits.
const MOST_PLACES: usize = 3;

impl HeightTarget {
    fn of(limits: Limits, (mm, u): (f64, f64), by: KnownBy) -> Option<Self> {
        let decision = judged(limits, mm, u)?;
        let (lower, upper) = (limits.lower(), limits.upper());
        let verdict = format!("{}{}", by.word(), verdict(decision));
        Some(Self { lower, upper, probability: decision.probability, verdict })
    }

    /// How many places of the user's unit a height (mm) needs to be told from the limits that it is
    /// outside of: none, where rounded ones are apart.
    #[must_use]
    pub fn places(&self, height: f64, units: Units) -> usize {
        let keeps = |places: &usize| {
            self.is_apart(height, |mm| {
                let (value, places, _) = units.figure_in(mm, *places, "mm");
                (value * 10f64.powi(places as i32)).round()
            })
        };
        (0..MOST_PLACES).find(keeps).unwrap_or(MOST_PLACES)
    }

    /// A height (mm) and the limits as they are said: as a tape shows them, with more places where that
    /// would not tell them apart.
    #[must_use]
    pub fn said(&self, height: f64, units: Units) -> [String; 3] {
        let step = if units == Units::Inch { 25.4 / 16.0 } else { 1.0 };
        let on_tape = self.is_apart(height, |mm| (mm / step).round());
        let places = self.places(height, units);
        [height, self.lower, self.upper]
            .map(|mm| if on_tape { units.on_tape(mm) } else { units.length(mm, places) })
    }

    /// Whether a height outside of the limits is still outside when all are rounded so.
    fn is_apart(&self, height: f64, rounded: impl Fn(f64) -> f64) -> bool {
        (height >= self.lower || rounded(height) < rounded(self.lower))
            && (height <= self.upper || rounded(height) > rounded(self.upper))
    }
}

/// The car on its springs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct HeightView {
    /// The car.
    pub car: String,
    /// Whether something was to change: heights, cross-weight or springs.
    pub changes: bool,
    /// The corners: front left, front right, rear left, rear right.
    pub corners: Vec<CornerHeight>,
    /// Share of the weight on front right and rear left, percent.
    pub cross_weight: Value,
    /// Change of the headlamps' aim, percent, up positive.
    pub aim_percent: Option<f64>,
    /// What to beware of, the worst first.
    pub dangers: Vec<DangerView>,
    /// Every input with its origin.
    pub inputs: Vec<InputView>,
    /// What is missing or assumed.
    pub notes: Vec<String>,
}

/// Figures of one corner in the vector that is varied.
const PER_CORNER: usize = 15;

/// Where the car stands as it is, or as it is wanted.
///
/// # Errors
/// [`GarageError::Input`] for what cannot be, and a sentence on what is missing.
pub fn height(car: &Car, job: Option<&Job>, wanted: &HeightWanted) -> Result<HeightView, GarageError> {
    let now = heights_now(car, job, &wanted.now)?;
    let want = by_wheel("--want", &wanted.want, Dimension::Length, 100.0..=900.0)?
        .map(|typed| typed.map(|(height, _)| height));
    let masses = masses(car, &wanted.load)?;
    let reference = [0, 1, 2, 3].map(|i| reference(car, i).or(now[i].as_ref().map(|now| now.value)));
    let travels = [0, 1, 2, 3].map(|i| Some(reference[i]? - now[i].as_ref()?.value));
    let figures = SpringFigures::of(car, masses, travels).map_err(GarageError::Input)?;
    let stance = figures.stance().ok_or_else(no_stance)?;
    let standing_now =
        stance.springs.standing(&stance.load).map_err(|why| GarageError::Input(why.to_string()))?;
    let plan = Plan {
        travels: wanted_travels(&want, &reference, &standing_now.corners.map(|c| c.travel), wanted.units)?,
        cross: wanted.cross.as_deref().map(share).transpose()?,
        coils: [
            coil(wanted.front_spring.as_deref(), wanted.units)?,
            coil(wanted.rear_spring.as_deref(), wanted.units)?,
        ],
        changes: !want.iter().all(Option::is_none)
            || wanted.cross.is_some()
            || wanted.front_spring.is_some()
            || wanted.rear_spring.is_some(),
    };
    plan.sound(&figures)?;
    // The first error in words, before anything is varied.
    plan.carry_out(&stance)?;
    let result = |figures: &SpringFigures| Some(plan.carry_out(&figures.stance()?).ok()?.vector());
    let nominal = result(&figures).ok_or_else(no_stance)?;
    let spreads = spread(&figures, result);
    let value = |i: usize| Value {
        value: nominal.get(i).copied().flatten(),
        spread: spreads.as_ref().and_then(|s| s.get(i).copied().flatten()),
    };
    let corners: Vec<CornerHeight> = (0..4)
        .map(|i| {
            let known = (now[i].as_ref(), KnownBy::of(now[i].as_ref(), plan.changes));
            shown(car, i, known, (want[i], reference[i]), &|k| value(i * PER_CORNER + k))
        })
        .collect();
    let mut inputs = figures.views(wanted.units);
    inputs.extend(now.iter().zip(WHEELS).filter_map(|(now, wheel)| {
        let now = now.as_ref()?;
        Some(Figure::known(format!("height {wheel}"), "mm", now.value, now.from.clone()).view(wanted.units))
    }));
    let view = HeightView {
        car: car.name.clone(),
        changes: plan.changes,
        cross_weight: value(4 * PER_CORNER),
        aim_percent: aim(car, &corners),
        dangers: dangers(&corners, wanted.units),
        notes: notes(car, &figures, &now, &corners, wanted.units),
        corners,
        inputs,
    };
    Ok(view)
}

fn no_stance() -> GarageError {
    GarageError::Input(
        "the springs cannot carry the car with these figures: look at masses, spring rates and unsprung masses"
            .to_owned(),
    )
}

/// What is to change.
struct Plan {
    /// Wanted travels, where heights are wanted.
    travels: Option<[f64; 4]>,
    cross: Option<f64>,
    /// Rate and free length of other springs, front and rear.
    coils: [Option<(f64, f64)>; 2],
    changes: bool,
}

/// The car after the change.
struct Outcome {
    corners: [CornerStanding; 4],
    from: [f64; 4],
    collar_changes: [f64; 4],
    damping: [Option<f64>; 4],
    cross: f64,
}

impl Plan {
    fn sound(&self, figures: &SpringFigures) -> Result<(), GarageError> {
        for ((coil, axle), name) in self.coils.iter().zip(&figures.axles).zip(["front", "rear"]) {
            if coil.is_some() && axle.free.is_none() {
                return Err(GarageError::Input(format!(
                    "other springs at the {name} are compared by their free length: measure that of the present one and write spring_free_length under [axle.{name}]"
                )));
            }
        }
        Ok(())
    }

    fn carry_out(&self, stance: &Stance) -> Result<Outcome, GarageError> {
        let words = |why: axlestand_geometry::springs::HeightError| GarageError::Input(why.to_string());
        let mut springs = stance.springs.clone();
        let from = springs.standing(&stance.load).map_err(words)?.corners.map(|c| c.travel);
        for (i, coil) in self.coils.iter().enumerate() {
            let Some((rate, free)) = coil else { continue };
            let length = Length::from_mm(*free).map_err(|why| GarageError::Input(why.to_string()))?;
            let coil = axlestand_geometry::springs::Coil::new(*rate, length, None)
                .map_err(|why| GarageError::Input(why.to_string()))?;
            springs.corners[2 * i].coil = coil;
            springs.corners[2 * i + 1].coil = coil;
        }
        let mut collar_changes = [0.0; 4];
        if self.travels.is_some() || self.cross.is_some() {
            let heights = Heights { travels: self.travels.unwrap_or(from), cross_weight: self.cross };
            let collars = springs.collars_for(&stance.load, &heights).map_err(words)?;
            for (corner, collar) in springs.corners.iter_mut().zip(collars.collars) {
                corner.collar = collar;
            }
            collar_changes = collars.changes;
        }
        let after = springs.standing(&stance.load).map_err(words)?;
        let damping = [0, 1, 2, 3].map(|i| {
            let (c, (rate, ratio)) = (after.corners[i], stance.dampers[i]?);
            let sprung = (c.tyre_load - springs.corners[i].unsprung) / STANDARD_GRAVITY;
            damping_ratio(rate, ratio, c.wheel_rate, sprung)
        });
        let cross = 100.0 * after.cross_weight;
        Ok(Outcome { corners: after.corners, from, collar_changes, damping, cross })
    }
}

impl Outcome {
    fn vector(&self) -> Vec<Option<f64>> {
        let mut all = Vec::new();
        for (i, c) in self.corners.iter().enumerate() {
            let hold = c.at_droop.map(|seating| match seating {
                Seating::Captive { hold } | Seating::Barely { hold } => hold,
                Seating::Loose { gap } => -gap,
            });
            all.extend([
                Some(c.travel),
                Some(c.travel - self.from[i]),
                Some(c.tyre_load),
                Some(c.spring.force),
                Some(c.motion_ratio),
                Some(c.wheel_rate),
                c.frequency_hz,
                Some(self.collar_changes[i]),
                c.bump_left,
                c.droop_left,
                hold,
                Some(c.spring.energy_j),
                c.droop_spring.map(|s| s.energy_j),
                c.bump_spring.and_then(|s| s.to_bind).or(c.spring.to_bind),
                self.damping[i],
            ]);
        }
        all.push(Some(self.cross));
        all
    }
}

/// One corner as it is shown; `value` gives the figures of the corner by their place.
fn shown(
    car: &Car,
    i: usize,
    (now, by): (Option<&Latest>, KnownBy),
    (wanted, reference): (Option<f64>, Option<f64>),
    value: &dyn Fn(usize) -> Value,
) -> CornerHeight {
    let travel = value(0);
    let height = Value { value: reference.zip(travel.value).map(|(r, t)| r - t), spread: travel.spread };
    let axle = car.axles.iter().find(|axle| axle.name == axle_of(i));
    let pitch =
        axle.and_then(|a| a.spring.as_ref()).and_then(|s| s.collar_pitch).map(axlestand_quantity::Length::mm);
    let change = value(7);
    let band = target(car, ReadingKind::Height, end(axle_of(i)), Some(hand_of(i))).and_then(|t| t.band);
    CornerHeight {
        wheel: WHEELS[i],
        now: now.map(|now| now.value),
        wanted,
        height,
        travel: value(1),
        load: value(2),
        force: value(3),
        ratio: value(4),
        wheel_rate: value(5),
        frequency: value(6),
        collar_turns: pitch.zip(change.value).map(|(pitch, change)| change / pitch),
        collar_change: change,
        bump_left: value(8),
        droop_left: value(9),
        hold_at_droop: value(10),
        energy: value(11),
        energy_at_droop: value(12),
        to_bind: value(13),
        damping: value(14),
        target: band.and_then(limits).zip(height.value).and_then(|(limits, mm)| {
            let u = now.map_or(0.0, |now| now.u).hypot(height.spread.unwrap_or(0.0));
            HeightTarget::of(limits, (mm, u), by)
        }),
    }
}

fn aim(car: &Car, corners: &[CornerHeight]) -> Option<f64> {
    let rise = |i: usize| -> Option<f64> {
        let (a, b) = (corners.get(i)?.travel.value?, corners.get(i + 1)?.travel.value?);
        Some(-(a + b) / 2.0)
    };
    let length = |mm: f64| Length::from_mm(mm).ok();
    let aim = aim_change(length(rise(0)?)?, length(rise(2)?)?, car.wheelbase?).ok()?;
    Some(aim.percent)
}
