//! Wheel angles and ratios against wheel travel, straight ahead or from lock to lock, and against roll.

use super::corner::axle;
use super::curve_table::Table;
use super::figures::InputView;
use super::places::{Racks, racks, travels};
use super::roll_curves::rolling;
use super::wheel_curves::of_wheel;
use super::whole::whole_axle;
use super::whole_curves::of_both;
use crate::error::GarageError;
use crate::units::Units;
use axlestand_model::Hand;
use axlestand_model::car::{Axle, Car};
use serde::Serialize;

/// Which curves are wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct CurvesWanted {
    /// `front` or `rear`.
    pub axle: String,
    /// Which wheel; of no account where the rows speak of both.
    pub side: Hand,
    /// Lowest wheel travel, mm.
    pub from: f64,
    /// Highest wheel travel, mm.
    pub to: f64,
    /// Step, mm.
    pub step: f64,
    /// Positions of the steering rack at each travel.
    pub racks: Racks,
    /// The user's units, for what is said in words.
    pub units: Units,
}

/// One column of the table.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ColumnView {
    /// A short fixed name.
    pub key: &'static str,
    /// What it belongs to: `wheels`, `parts` or `side-and-front-view`.
    pub group: &'static str,
    /// What it is.
    pub name: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// Digits that mean something.
    pub places: usize,
    /// Which sign means what.
    pub sign: &'static str,
}

/// One row.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CurveRow {
    /// Wheel travel from the height at which the points were taken, mm, wheel up positive.
    pub travel: f64,
    /// Hub centre to arch there, mm, where it is known.
    pub height: Option<f64>,
    /// Rack travel to the left, mm; nought is straight ahead.
    pub rack: f64,
    /// The values, in the order of the columns.
    pub values: Vec<Option<f64>>,
    /// Half their spread from typical inputs, in their units, where there are any.
    pub spread: Option<Vec<Option<f64>>>,
    /// Why the wheel does not get there.
    pub trouble: Option<String>,
    /// The end of the damper's travel that it lies beyond: `full droop` or `bump stop`.
    pub beyond: Option<&'static str>,
}

/// The curves of one axle.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CurvesView {
    /// The car.
    pub car: String,
    /// `front` or `rear`.
    pub axle: String,
    /// How the wheel is hung.
    pub layout: &'static str,
    /// Against what: `travel`, `travel-and-rack`, or `opposite-travel` (the left wheel's, the right one
    /// going as far the other way).
    pub against: &'static str,
    /// Which wheels the rows speak of, for people.
    pub wheels: &'static str,
    /// `left` or `right`; `None` where the rows speak of both wheels.
    pub side: Option<&'static str>,
    /// Whether the right side is the mirror image of the left one.
    pub mirrored: bool,
    /// The columns that have values.
    pub columns: Vec<ColumnView>,
    /// Whether the rack varies as well.
    pub grid: bool,
    /// The rows, the lowest travel first; of each travel the right lock first.
    pub rows: Vec<CurveRow>,
    /// Where the damper ends put the wheel: full droop and bump stop, mm.
    pub droop: Option<f64>,
    /// Travel at which the bump stop is touched, mm.
    pub bump: Option<f64>,
    /// Every input with its origin.
    pub inputs: Vec<InputView>,
    /// Things to know.
    pub notes: Vec<String>,
}

impl CurvesView {
    /// Of both wheels against their travel, nothing said yet of ends, inputs and notes.
    pub(super) fn of(car: &Car, axle: &Axle, table: Table) -> Self {
        Self {
            car: car.name.clone(),
            axle: axle.name.clone(),
            layout: axle.layout.phrase(),
            against: "travel",
            wheels: "both wheels together",
            side: None,
            mirrored: axle.right_is_mirrored(),
            columns: table.columns,
            grid: false,
            rows: table.rows,
            droop: None,
            bump: None,
            inputs: Vec::new(),
            notes: Vec::new(),
        }
    }
}

/// The curves of one axle against wheel travel: of one wheel where the wheels are hung one by one, of
/// both together where one axle carries them.
///
/// # Errors
/// [`GarageError::Input`] where hardpoints are missing or cannot be right, the range is none, or a rack
/// is wanted that the axle does not have.
pub fn curves(car: &Car, wanted: &CurvesWanted) -> Result<CurvesView, GarageError> {
    let travels = travels(wanted.from, wanted.to, wanted.step, wanted.units)?;
    let axle = axle(car, &wanted.axle)?;
    let racks = racks(axle, wanted.racks, travels.len(), wanted.units)?;
    match whole_axle(car, axle)? {
        Some((figures, whole)) => Ok(of_both(car, axle, &travels, (figures, &whole), wanted.units)),
        None => of_wheel(car, axle, wanted, (&travels, &racks)),
    }
}

/// The curves of one axle as the body rolls: the left wheel up by the travel, the right one down by
/// as much, straight ahead.
///
/// # Errors
/// As [`curves`].
pub fn roll_curves(car: &Car, wanted: &CurvesWanted) -> Result<CurvesView, GarageError> {
    let travels = travels(wanted.from, wanted.to, wanted.step, wanted.units)?;
    if wanted.racks != Racks::Straight {
        return Err(GarageError::Input(
            "as the body rolls both wheels are looked at straight ahead: leave --grid out".to_owned(),
        ));
    }
    rolling(car, axle(car, &wanted.axle)?, &travels, wanted.units)
}
