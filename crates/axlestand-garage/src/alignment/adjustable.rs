//! What can be turned at the car, and what a turn of it does to the wheels.

use super::place::{Place, SIDES, side_word};
use super::rounds::Rounds;
use crate::error::GarageError;
use crate::geometry::adjusters::parts;
use crate::geometry::corner::{corner, known_corner};
use crate::geometry::corner_figures::CornerFigures;
use crate::geometry::figures::{short, steering_arms};
use crate::geometry::now::latest;
use crate::geometry::preview::travel_now;
use crate::geometry::tie_rod::{TYPICAL_TOE_PER_MM, is_left_hand, thread_pitch};
use crate::job::Job;
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::adjustment::Adjuster as Turnable;
use axlestand_geometry::kinematics::{Adjuster as Part, Corner, Effect};
use axlestand_model::car::{Acts, Adjuster, Axle};
use axlestand_model::{AxleEnd, Hand, Origin, ReadingKind};

/// Toes and cambers of the four wheels, front left, front right, rear left, rear right.
pub(crate) const ANGLES: usize = 8;

/// Place of a wheel's toe among the angles; its camber stands four further.
pub(crate) fn toe_place(front: bool, side: Side) -> usize {
    2 * usize::from(!front) + usize::from(side == Side::Right)
}

/// Where the tie rods are, as the owner says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rods {
    /// Behind the axle.
    Behind,
    /// Ahead of it.
    Ahead,
}

impl Rods {
    /// Its word: `behind`, `ahead`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Behind => "behind",
            Self::Ahead => "ahead",
        }
    }

    /// Of its word.
    ///
    /// # Errors
    /// [`GarageError::Input`] for another word.
    pub fn parse(word: &str) -> Result<Self, GarageError> {
        [Self::Behind, Self::Ahead].into_iter().find(|rods| rods.word() == word).ok_or_else(|| {
            GarageError::Input(format!("the tie rods are behind or ahead of the axle, not '{word}'"))
        })
    }
}

/// Something to turn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Adjustable {
    /// Its name in commands and the ledger: `tie-rod.left`.
    pub(crate) key: String,
    /// What a mechanic calls it.
    pub(crate) name: String,
    /// At the front axle.
    pub(crate) front: bool,
    /// Its wheel; `None` for both.
    pub(crate) side: Option<Side>,
    /// The adjuster of the file; `None` for a tie rod.
    pub(crate) of_file: Option<Adjuster>,
    /// Pitch of the tie rod's thread, mm; nought for others.
    pub(crate) pitch: f64,
    /// Whether a tie rod's thread is left-hand, where the file says.
    pub(crate) left_hand: bool,
    /// Whether the thread that shows at a tie rod was read.
    pub(crate) thread_read: bool,
    /// Change of each angle for one unit (a turn of a tie rod; else degrees or mm), degrees.
    pub(crate) response: [f64; ANGLES],
    /// Step, range, how sure.
    pub(crate) turnable: Turnable,
}

impl Adjustable {
    /// Whether it is a tie rod.
    pub(crate) fn is_rod(&self) -> bool {
        self.of_file.is_none()
    }
}

/// Everything that can be turned, and what is said about it.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Adjustables {
    pub(crate) list: Vec<Adjustable>,
    pub(crate) notes: Vec<String>,
}

/// Hand step of a tie rod, turns: half a flat.
pub(crate) const ROD_STEP: f64 = 1.0 / 12.0;
/// Hand step of what is set in degrees of camber, and in mm (AX-22).
const STEP_DEG: f64 = 0.1;
const STEP_MM: f64 = 0.5;
/// Thread that has to stay to be seen, and how much longer a tie rod may be made than it was found, mm
/// (AX-22).
const THREAD_LEFT: f64 = 2.0;
const LONGER: f64 = 6.0;
/// How much shorter where nobody read the thread, mm (AX-22).
const SHORTER: f64 = 6.0;
/// Relative uncertainty of a response: of hardpoints that were measured, of typical ones, of a typical
/// steering arm (AX-22).
const RATE_U: [f64; 3] = [0.03, 0.15, 0.2];
/// How probable it is that tie rods are behind the axle where nobody looked (AX-22).
const BEHIND: f64 = 0.9;
/// A pitch that is taken where the file has none, mm (AX-22).
pub(super) const USUAL_PITCH: f64 = 1.5;

/// Everything that can be turned at the car.
pub(crate) fn adjustables(job: &Job, rounds: &Rounds, rods: Option<Rods>, units: Units) -> Adjustables {
    let mut out = Adjustables::default();
    for front in [false, true] {
        let name = if front { "front" } else { "rear" };
        let Some(axle) = job.car.axles.iter().find(|axle| axle.name == name) else { continue };
        for adjuster in &axle.adjusters {
            if adjuster.both_sides {
                out.list.extend(of_file(job, axle, adjuster, None));
            } else {
                out.list.extend(SIDES.iter().filter_map(|side| of_file(job, axle, adjuster, Some(*side))));
            }
        }
    }
    tie_rods(job, rounds, rods, &mut out);
    out.notes = notes(job, rods, units);
    out
}

/// Camber and toe for one unit of these parts at the height at which the car stands, degrees.
fn effect(job: &Job, axle: &Axle, figures: &CornerFigures, side: Side, parts: &[Part]) -> Option<Effect> {
    let mut spec = corner(figures, side)?.spec().clone();
    spec.adjusters = parts.iter().map(|part| (*part, 0.0)).collect();
    let corner = Corner::new(spec).ok()?;
    let at = corner.solve(travel_now(Some(job), axle).unwrap_or(0.0), 0.0).ok()?;
    let mut effects = vec![Effect { camber: 0.0, toe: 0.0 }; parts.len()];
    corner.adjuster_effects(&at, &mut effects).ok()?;
    let sum = |of: fn(&Effect) -> f64| effects.iter().map(of).sum::<f64>();
    Some(Effect { camber: sum(|e| e.camber), toe: sum(|e| e.toe) })
}

fn of_file(job: &Job, axle: &Axle, adjuster: &Adjuster, side: Option<Side>) -> Option<Adjustable> {
    let front = axle.name == "front";
    let mut response = [0.0; ANGLES];
    for one in side.map_or(SIDES.to_vec(), |side| vec![side]) {
        let (figures, corner) = known_corner(&job.car, axle, one)?;
        let parts = parts(adjuster, corner.spec().layout, one)?;
        let effect = effect(job, axle, &figures, one, &parts)?;
        response[toe_place(front, one)] = effect.toe;
        response[4 + toe_place(front, one)] = effect.camber;
    }
    let typical = axle.provenance.origin == Origin::Typical || adjuster.provenance.origin == Origin::Typical;
    let end = side.map_or_else(String::new, |side| format!(".{}", side_word(side)));
    let which = side.map_or_else(String::new, |side| format!(", {}", side_word(side)));
    let step = match adjuster.acts {
        Acts::StrutTurn { .. } => STEP_DEG,
        Acts::Eccentric { .. } => 5.0,
        Acts::Shift { .. } | Acts::Rod { .. } => STEP_MM,
    };
    let key = if front { adjuster.key.clone() } else { format!("rear-{}", adjuster.key) };
    Some(Adjustable {
        key: format!("{key}{end}"),
        name: format!("{}{which}", adjuster.name),
        front,
        side,
        of_file: Some(adjuster.clone()),
        pitch: 0.0,
        left_hand: false,
        thread_read: false,
        response,
        turnable: Turnable {
            name: format!("{key}{end}"),
            step,
            range: (adjuster.from.min(0.0), adjuster.to.max(0.0)),
            rate_u: RATE_U[usize::from(typical)],
            sense: 1.0,
        },
    })
}

fn tie_rods(job: &Job, rounds: &Rounds, rods: Option<Rods>, out: &mut Adjustables) {
    let car = &job.car;
    let axle = car.axles.iter().find(|axle| axle.name == "front");
    let pitch = thread_pitch(car, AxleEnd::Front);
    let pitch = pitch.map_or(USUAL_PITCH, |(pitch, _)| pitch);
    let known = SIDES.map(|side| axle.and_then(|axle| rod_effect(job, axle, side)));
    let from_points = known.iter().all(Option::is_some);
    let typical_points = axle.is_some_and(|axle| axle.provenance.origin == Origin::Typical);
    for (side, known) in SIDES.into_iter().zip(known) {
        let mut response = [0.0; ANGLES];
        let (toe, camber) = match known.filter(|_| from_points) {
            Some(effect) => (effect.toe, effect.camber),
            None if rods == Some(Rods::Ahead) => (-TYPICAL_TOE_PER_MM.0, 0.0),
            None => (TYPICAL_TOE_PER_MM.0, 0.0),
        };
        response[toe_place(true, side)] = toe * pitch;
        response[4 + toe_place(true, side)] = camber * pitch;
        let key = format!("tie-rod.{}", side_word(side));
        let shown = thread_shown(job, rounds, side, &key, pitch);
        let shorter = shown.map_or(SHORTER, |shown| (shown - THREAD_LEFT).max(0.0));
        out.list.push(Adjustable {
            name: format!("{} tie rod", side_word(side)),
            front: true,
            side: Some(side),
            of_file: None,
            pitch,
            left_hand: is_left_hand(car, AxleEnd::Front, hand_of(side)).unwrap_or(false),
            thread_read: shown.is_some(),
            response,
            turnable: Turnable {
                name: key.clone(),
                step: ROD_STEP,
                range: (-shorter / pitch, LONGER / pitch),
                rate_u: if from_points { RATE_U[usize::from(typical_points)] } else { RATE_U[2] },
                sense: if from_points || rods.is_some() { 1.0 } else { BEHIND },
            },
            key,
        });
    }
}

/// What is assumed of the tie rods.
fn notes(job: &Job, rods: Option<Rods>, units: Units) -> Vec<String> {
    let axle = job.car.axles.iter().find(|axle| axle.name == "front");
    let no_pitch = thread_pitch(&job.car, AxleEnd::Front).is_none().then(|| usual_pitch(units));
    let has_points = axle.is_some_and(|axle| SIDES.iter().all(|side| rod_effect(job, axle, *side).is_some()));
    no_pitch.into_iter().chain((!has_points).then(|| without_points(rods, units))).collect()
}

/// What is said where the file has no pitch.
pub(super) fn usual_pitch(units: Units) -> String {
    format!(
        "the pitch of the tie rods' thread is not in the file: {} is taken, typical; measure it",
        units.pitch(USUAL_PITCH)
    )
}

fn rod_effect(job: &Job, axle: &Axle, side: Side) -> Option<Effect> {
    let (figures, _) = known_corner(&job.car, axle, side)?;
    effect(job, axle, &figures, side, &[Part::TieRod]).filter(|effect| effect.toe.abs() > 1e-3)
}

fn without_points(rods: Option<Rods>, units: Units) -> String {
    let (usual, low, high) = TYPICAL_TOE_PER_MM;
    let (length, mm) = match units {
        Units::Metric => ("a millimetre", 1.0),
        Units::Inch => ("a tenth of an inch", 2.54),
    };
    let toe = |per_mm: f64| short(mm * per_mm);
    let (usual, low, high, arms) = (toe(usual), toe(low), toe(high), steering_arms(units));
    let side = match rods {
        Some(Rods::Behind) => "behind the axle, as you say",
        Some(Rods::Ahead) => "ahead of the axle, as you say",
        None => {
            "taken to be behind the axle, as on most cars: look, and say --rods behind or --rods ahead; until then less is turned, and what it should come to allows for the other"
        }
    };
    format!(
        "the file has no hardpoints: {length} of tie rod is taken as {usual}° of toe ({low} to {high}, {arms}, typical, not this car's), the rods {side}; what the first round brings is learned"
    )
}

fn hand_of(side: Side) -> Hand {
    if side == Side::Left { Hand::Left } else { Hand::Right }
}

/// Thread that showed at a tie rod before the first round of turning, mm: as it was read then, or later
/// less what was turned in between.
fn thread_shown(job: &Job, rounds: &Rounds, side: Side, key: &str, pitch: f64) -> Option<f64> {
    let (mut longer, mut gauged) = (0.0, None);
    for round in &rounds.list {
        let read = round.readings.iter().rev().find(|one| one.place == Place::Thread(side));
        gauged = read.map(|one| one.value - longer).or(gauged);
        longer += round.turned.iter().filter(|(name, _)| name == key).map(|(_, by)| by * pitch).sum::<f64>();
    }
    gauged.or_else(|| {
        latest(job, ReadingKind::ExposedThread, AxleEnd::Front, Some(hand_of(side))).map(|read| read.value)
    })
}

/// The key that was typed, or a beginning of it.
///
/// # Errors
/// [`GarageError::Selection`] with what there is.
pub(crate) fn select<'a>(list: &'a [Adjustable], typed: &str) -> Result<&'a Adjustable, GarageError> {
    let typed = typed.trim();
    let (base, side) = typed.split_once('.').unwrap_or((typed, ""));
    let fits = |one: &&Adjustable| {
        let (own, of) = one.key.split_once('.').unwrap_or((&one.key, ""));
        !base.is_empty() && own.starts_with(base) && of.starts_with(side)
    };
    let found: Vec<&Adjustable> = list.iter().filter(fits).collect();
    let names = |all: &mut dyn Iterator<Item = &Adjustable>| {
        all.map(|one| one.key.clone()).collect::<Vec<_>>().join(", ")
    };
    match found.as_slice() {
        [one] => Ok(one),
        [] => Err(GarageError::Selection(format!(
            "there is nothing to turn called '{typed}'; there are {}",
            names(&mut list.iter())
        ))),
        several => Err(GarageError::Selection(format!(
            "'{typed}' may mean {}; say which",
            names(&mut several.iter().copied())
        ))),
    }
}
