//! Wheel angles against the steering rack.

use super::corner::{axle, corner, sound_corner};
use super::corner_figures::CornerFigures;
use super::figures::{Figure, Figures, InputView, spread};
use super::places::lock;
use crate::error::GarageError;
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::steered;
use axlestand_model::car::Car;
use serde::Serialize;

/// Both wheels at one rack position.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SteerRow {
    /// Rack travel to the left, mm.
    pub rack: f64,
    /// Heading of the left wheel, degrees, to the left positive.
    pub left: Option<f64>,
    /// Heading of the right wheel, degrees, to the left positive.
    pub right: Option<f64>,
    /// Camber of the left wheel, degrees, top outward positive.
    pub left_camber: Option<f64>,
    /// Camber of the right wheel, degrees, top outward positive.
    pub right_camber: Option<f64>,
    /// Ackermann share, percent.
    pub ackermann: Option<f64>,
    /// Half the spread from typical inputs, in the order of the fields above.
    pub spread: Option<Vec<Option<f64>>>,
    /// Why the wheels do not get there.
    pub trouble: Option<String>,
}

/// Both wheels against the rack at the height at which the points were taken.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SteeringView {
    /// The car.
    pub car: String,
    /// The axle.
    pub axle: String,
    /// Whether the right corner is the mirror image of the left one.
    pub mirrored: bool,
    /// The rows, the rack's left lock last.
    pub rows: Vec<SteerRow>,
    /// Every input with its origin.
    pub inputs: Vec<InputView>,
}

#[derive(Clone)]
struct SteerFigures {
    corner: CornerFigures,
    wheelbase: Figure,
}

impl Figures for SteerFigures {
    fn each(&mut self) -> Vec<&mut Figure> {
        let mut all = self.corner.each();
        all.push(&mut self.wheelbase);
        all
    }
}

/// Rows on either side of straight ahead.
const STEPS: i32 = 5;

/// Both wheels against the rack, lock to lock.
///
/// # Errors
/// [`GarageError::Input`] where hardpoints are missing or cannot be right.
pub fn steering(car: &Car, axle_name: &str, units: Units) -> Result<SteeringView, GarageError> {
    let axle = axle(car, axle_name)?;
    let (corner_figures, left) = sound_corner(car, axle, Side::Left)?;
    let lock = lock(axle);
    let wheelbase = match car.wheelbase {
        Some(length) => Figure::known("wheelbase", "mm", length.mm(), "vehicle file"),
        None => Figure::typical("wheelbase", "mm", 2600.0, (2300.0, 2900.0), "passenger cars"),
    };
    let figures = SteerFigures { corner: corner_figures, wheelbase };
    let (_, right) = sound_corner(car, axle, Side::Right)?;
    let mut rows = Vec::new();
    for step in -STEPS..=STEPS {
        let rack = lock.value * f64::from(step) / f64::from(STEPS);
        let trouble = steered(&left, &right, 0.0, rack, figures.wheelbase.value).err();
        let trouble = trouble.map(|trouble| trouble.said(units.lengths()));
        let values = at(&figures, rack).unwrap_or_else(|| vec![None; 5]);
        let spread = spread(&figures, |figures| at(figures, rack));
        let value = |i: usize| values.get(i).copied().flatten();
        rows.push(SteerRow {
            rack,
            left: value(0),
            right: value(1),
            left_camber: value(2),
            right_camber: value(3),
            ackermann: value(4),
            spread,
            trouble,
        });
    }
    let mut inputs = figures.corner.both_views(units);
    inputs.extend([figures.wheelbase.view(units), lock.view(units)]);
    Ok(SteeringView {
        car: car.name.clone(),
        axle: axle.name.clone(),
        mirrored: axle.right_is_mirrored(),
        rows,
        inputs,
    })
}

fn at(figures: &SteerFigures, rack: f64) -> Option<Vec<Option<f64>>> {
    let (left, right) = (corner(&figures.corner, Side::Left)?, corner(&figures.corner, Side::Right)?);
    let both = steered(&left, &right, 0.0, rack, figures.wheelbase.value).ok()?;
    let camber =
        |corner: &axlestand_geometry::kinematics::Corner| corner.at(0.0, rack).ok().map(|(_, o)| o.camber);
    Some(vec![Some(both.left), Some(both.right), camber(&left), camber(&right), both.ackermann_percent])
}
