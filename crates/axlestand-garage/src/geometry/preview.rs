//! What another height does to the wheel angles, before anything is turned.

use super::adjusters::range_view;
use super::advice::{AxleToSet, SettingView, TieRodSetting};
use super::angles::{AngleView, Changes, angles};
use super::corner::{axle, lacking, sound_corner};
use super::figures::{InputView, spread};
use super::joints::{JointView, joints, racks};
use super::now::{end, latest};
use super::targets::RULE;
use super::typed;
use super::whole::{approximation, whole_axle};
use super::whole_preview::whole_preview;
use crate::error::GarageError;
use crate::job::Job;
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::Corner;
use axlestand_geometry::springs::aim_change;
use axlestand_model::car::{Axle, Car};
use axlestand_model::{Hand, ReadingKind};
use axlestand_quantity::Length;
use serde::Serialize;

/// What is wanted, as typed: how much lower; a minus raises the car.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PreviewWanted {
    /// Both axles.
    pub lower: Option<String>,
    /// The front axle, where it differs.
    pub front: Option<String>,
    /// The rear axle, where it differs.
    pub rear: Option<String>,
    /// The user's units, for what is said in words.
    pub units: Units,
}

/// One axle.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct AxlePreview {
    /// `front` or `rear`.
    pub axle: String,
    /// How much lower, mm.
    pub lower: f64,
    /// Angles and lengths.
    pub angles: Vec<AngleView>,
    /// What to adjust, by how much.
    pub adjust: Vec<String>,
    /// The same in numbers: adjusters of camber.
    pub settings: Vec<SettingView>,
    /// And the tie rods.
    pub tie_rods: Vec<TieRodSetting>,
    /// Joints and shafts over the travel that is left.
    pub joints: Vec<JointView>,
    /// Why there are no angles.
    pub missing: Option<String>,
    /// Every input with its origin.
    pub inputs: Vec<InputView>,
}

/// What lowering does.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PreviewView {
    /// The car.
    pub car: String,
    /// The axles.
    pub axles: Vec<AxlePreview>,
    /// Change of the headlamps' aim, percent, up positive; `None` where the wheelbase is not known.
    pub aim_percent: Option<f64>,
    /// Things to know.
    pub notes: Vec<String>,
}

/// What lowering does to the wheel angles.
///
/// # Errors
/// [`GarageError::Input`] for what is not understood.
pub fn preview(car: &Car, job: Option<&Job>, wanted: &PreviewWanted) -> Result<PreviewView, GarageError> {
    let length = |what: &str, text: &Option<String>| {
        text.as_deref().map(|text| typed::length(what, text, wanted.units, -150.0..=150.0)).transpose()
    };
    let both = length("--lower", &wanted.lower)?;
    let lower = [length("--front", &wanted.front)?.or(both), length("--rear", &wanted.rear)?.or(both)];
    if lower.iter().all(Option::is_none) {
        let like = if wanted.units == Units::Inch { "1.25 (in)" } else { "30 (mm)" };
        return Err(GarageError::Input(format!(
            "say how much lower: --lower {like}, or --front and --rear; a minus raises"
        )));
    }
    let lower = lower.map(|l| l.unwrap_or(0.0));
    let (mut axles, mut notes) = (Vec::new(), Vec::new());
    for (name, lower) in ["front", "rear"].into_iter().zip(lower) {
        if let Ok(axle) = axle(car, name) {
            let view = axle_preview(car, job, axle, lower, wanted.units);
            notes.extend(approximation(axle).filter(|_| view.missing.is_none()));
            axles.push(view);
        }
    }
    if axles.is_empty() {
        return Err(GarageError::Input(
            "the vehicle file describes no axle: write [axle.front] with its layout and hardpoints"
                .to_owned(),
        ));
    }
    let length = |mm: f64| Length::from_mm(mm).ok();
    let aim = || aim_change(length(-lower[0])?, length(-lower[1])?, car.wheelbase?).ok();
    Ok(PreviewView {
        car: car.name.clone(),
        axles,
        aim_percent: aim().map(|aim| aim.percent),
        notes: notes.into_iter().chain([
            format!("{RULE} Read again after any change."),
            "Tyre clearance, brake hoses and what the law allows are not in it. 'axlestand set height' says where collars go and whether the springs stay held.".to_owned(),
        ]).collect(),
    })
}

fn axle_preview(car: &Car, job: Option<&Job>, axle: &Axle, lower: f64, units: Units) -> AxlePreview {
    let mut view = AxlePreview {
        axle: axle.name.clone(),
        lower,
        angles: Vec::new(),
        adjust: Vec::new(),
        settings: Vec::new(),
        tie_rods: Vec::new(),
        joints: Vec::new(),
        missing: lacking(axle),
        inputs: Vec::new(),
    };
    match whole_axle(car, axle) {
        Ok(Some((figures, whole))) => whole_preview(car, job, axle, view, units, (&figures, &whole)),
        Ok(None) => corner_preview(car, job, axle, view, units),
        Err(why) => {
            view.missing.get_or_insert(why.to_string());
            view
        }
    }
}

/// The preview of wheels that are hung one by one; `view` is the one still without angles.
fn corner_preview(
    car: &Car,
    job: Option<&Job>,
    axle: &Axle,
    mut view: AxlePreview,
    units: Units,
) -> AxlePreview {
    let (left, right) = match (sound_corner(car, axle, Side::Left), sound_corner(car, axle, Side::Right)) {
        (Ok(left), Ok(right)) => (left, right.1),
        (Err(why), _) | (_, Err(why)) => {
            view.missing.get_or_insert(why.to_string());
            return view;
        }
    };
    let (figures, left) = left;
    let from = travel_now(job, axle).unwrap_or(0.0);
    let to = from + view.lower;
    let mut reached = [&left, &right].into_iter().flat_map(|corner| [(corner, from), (corner, to)]);
    if let Some(trouble) = reached.find_map(|(corner, travel)| corner.at(travel, 0.0).err()) {
        view.missing = Some(format!("the wheel does not get there: {}", trouble.said(units.lengths())));
        return view;
    }
    let Some(changes) = Changes::of(&figures, from, to) else { return view };
    let spreads = spread(&figures, |f| Some(Changes::of(f, from, to)?.vector()));
    let spread_of = |i: usize| spreads.as_ref().and_then(|s| s.get(i).copied().flatten());
    view.angles = angles(car, job, axle, &changes, &spread_of);
    let to_set = AxleToSet { car, axle, figures: &figures, travel: to, angles: &view.angles, units };
    let advice = to_set.advice();
    (view.adjust, view.settings, view.tie_rods) = (advice.lines, advice.settings, advice.tie_rods);
    for (corner, hand) in [(&left, Hand::Left), (&right, Hand::Right)] {
        if hand == Hand::Left || !axle.right_is_mirrored() {
            travel_left(&mut view, axle, (corner, hand), (from, to), units);
        }
    }
    view.inputs = figures.both_views(units);
    view.inputs.extend(axle.adjusters.iter().map(|adjuster| range_view(adjuster, units)));
    view
}

/// The joints over the travel that is left, and how much of it is left to the bump stop.
fn travel_left(
    view: &mut AxlePreview,
    axle: &Axle,
    (corner, hand): (&Corner, Hand),
    (from, to): (f64, f64),
    units: Units,
) {
    let which = if axle.right_is_mirrored() { String::new() } else { format!(", {}", hand.phrase()) };
    let ends = corner.travel_ends().ok();
    let mut travels = vec![from, to];
    travels.extend(ends.and_then(|e| e.droop));
    travels.extend(ends.and_then(|e| e.bump).filter(|bump| *bump > to));
    let named = |joint: JointView| JointView { what: format!("{}{which}", joint.what), ..joint };
    view.joints.extend(joints(axle, corner, &travels, &racks(axle)).into_iter().map(named));
    if let Some(bump) = ends.and_then(|e| e.bump) {
        let left = units.length(bump - to, 0);
        view.adjust.push(format!("{left} of travel are left to the bump stop{which}"));
    }
}

/// Wheel travel now from where the points were taken: the mean of left and right.
pub(crate) fn travel_now(job: Option<&Job>, axle: &Axle) -> Option<f64> {
    let reference = axle.hub_to_arch?.mm();
    let read = |hand| latest(job?, ReadingKind::Height, end(&axle.name), Some(hand)).map(|l| l.value);
    Some(reference - (read(Hand::Left)? + read(Hand::Right)?) / 2.0)
}
