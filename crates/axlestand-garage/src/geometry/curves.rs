//! Wheel angles and ratios against wheel travel.

use super::corner::{axle, corner, left_corner};
use super::curve_columns::{AxlePlace, BOTH, ROLL, RollPlace, WHEEL, WheelPlace};
use super::curve_table::{Places, Table, table};
use super::figures::{CornerFigures, InputView};
use super::points::whole_layout;
use super::room::Room;
use super::side_view::{Balance, CurveFigures, SideView, note as side_note};
use super::whole::{approximation, ends as whole_ends, whole_axle};
use crate::error::GarageError;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Corner, Point, WholeAxle, WholeLayout};
use axlestand_model::car::{Axle, Car};
use serde::Serialize;

/// Which curves are wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct CurvesWanted {
    /// `front` or `rear`.
    pub axle: String,
    /// Lowest wheel travel, mm.
    pub from: f64,
    /// Highest wheel travel, mm.
    pub to: f64,
    /// Step, mm.
    pub step: f64,
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
    /// The values, in the order of the columns.
    pub values: Vec<Option<f64>>,
    /// Half their spread from typical inputs, where there are any.
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
    /// Against what: `travel`, or `opposite-travel` (the left wheel's, the right one going as far the
    /// other way).
    pub against: &'static str,
    /// Which wheels the rows speak of, for people. The right wheel of wheels hung one by one is the
    /// left one's mirror image.
    pub wheels: &'static str,
    /// The columns that have values.
    pub columns: Vec<ColumnView>,
    /// The rows, the lowest travel first.
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

/// Most rows of a table.
const MOST_ROWS: f64 = 2000.0;

/// The curves of one axle against wheel travel: of the left wheel where the wheels are hung one by
/// one, of both together where one axle carries them.
///
/// # Errors
/// [`GarageError::Input`] where hardpoints are missing or cannot be right, or the range is none.
pub fn curves(car: &Car, wanted: &CurvesWanted) -> Result<CurvesView, GarageError> {
    let travels = travels(wanted)?;
    let axle = axle(car, &wanted.axle)?;
    match whole_axle(car, axle)? {
        Some((figures, whole)) => Ok(of_both(car, axle, &travels, &figures, &whole)),
        None => of_wheel(car, axle, &travels),
    }
}

/// The curves of one axle as the body rolls: the left wheel up by the travel, the right one down by
/// as much.
///
/// # Errors
/// As [`curves`].
pub fn roll_curves(car: &Car, wanted: &CurvesWanted) -> Result<CurvesView, GarageError> {
    let travels = travels(wanted)?;
    let axle = axle(car, &wanted.axle)?;
    let (figures, ends, notes) = match whole_axle(car, axle)? {
        Some((figures, whole)) => (figures, whole_ends(axle, &whole), whole_notes(axle, &whole)),
        None => {
            let (figures, left) = left_corner(car, axle)?;
            (figures, corner_ends(&left), notes(&left))
        }
    };
    // The travel ends for the wheel that comes to its end first.
    let least = |one: Option<f64>, other: Option<f64>| match (one, other) {
        (Some(a), Some(b)) => Some(f64::min(a.abs(), b.abs())),
        (one, other) => one.or(other).map(f64::abs),
    };
    let most = least(ends[0], ends[1]);
    let beyond = [most.map(|m| -m), most];
    let table = table(ROLL.iter(), axle, &travels, beyond, &figures, |f| rolled(f, &travels));
    Ok(view(car, axle, "opposite-travel", table, ends, figures.views(), notes))
}

fn of_wheel(car: &Car, axle: &Axle, travels: &[f64]) -> Result<CurvesView, GarageError> {
    let (figures, left) = left_corner(car, axle)?;
    let sizes = Room::of(car, axle);
    // What overlaps where the car stands cannot be the sizes of this car.
    let overlap = sizes.as_ref().and_then(|room| room.gap(&left, left.design())).filter(|gap| *gap < 0.0);
    let room = sizes.filter(|_| overlap.is_none());
    let ends = corner_ends(&left);
    let figures = CurveFigures { corner: figures, balance: Balance::of(car, axle) };
    let table = table(WHEEL.iter(), axle, travels, ends, &figures, |figures| {
        let corner = corner(&figures.corner, Side::Left)?;
        Some(wheel_places(&corner, travels, room.as_ref(), &figures.balance))
    });
    let inputs = figures.views().into_iter().chain(room.iter().flat_map(Room::views)).collect();
    let notes = overlap.map(overlaps).into_iter().chain(notes(&left)).chain([side_note()]).collect();
    Ok(view(car, axle, "travel", table, ends, inputs, notes))
}

fn of_both(
    car: &Car,
    axle: &Axle,
    travels: &[f64],
    figures: &CornerFigures,
    whole: &WholeAxle,
) -> CurvesView {
    let ends = whole_ends(axle, whole);
    let beam = whole_layout(axle) == Some(WholeLayout::TwistBeam);
    // A twist beam is alike on both sides, so it goes neither sideways nor askew.
    let columns = BOTH.iter().filter(|c| !(beam && matches!(c.view.key, "steer" | "sideways")));
    let figures = CurveFigures { corner: figures.clone(), balance: Balance::of(car, axle) };
    let table = table(columns, axle, travels, ends, &figures, |figures| {
        let whole = super::whole::whole(&figures.corner)?;
        let rest = whole.spec().point(Point::WheelCentre)?;
        let at = |z: f64| {
            let out = whole.at(z, z).map_err(|trouble| trouble.to_string())?;
            let side = SideView::of_both(&out, rest.x + out.wheelbase, &figures.balance);
            Ok(AxlePlace { out, side })
        };
        Some(travels.iter().map(|z| at(*z)).collect())
    });
    let notes = whole_notes(axle, whole).into_iter().chain([side_note()]).collect();
    view(car, axle, "travel", table, ends, figures.views(), notes)
}

fn view(
    car: &Car,
    axle: &Axle,
    against: &'static str,
    table: Table,
    [droop, bump]: [Option<f64>; 2],
    inputs: Vec<InputView>,
    notes: Vec<String>,
) -> CurvesView {
    CurvesView {
        car: car.name.clone(),
        axle: axle.name.clone(),
        layout: axle.layout.phrase(),
        wheels: match (against, whole_layout(axle)) {
            ("travel", None) => "left wheel",
            ("travel", Some(_)) => "both wheels together",
            _ => "left wheel up, right wheel down by as much",
        },
        against,
        columns: table.columns,
        rows: table.rows,
        droop,
        bump,
        inputs,
        notes,
    }
}

fn corner_ends(left: &Corner) -> [Option<f64>; 2] {
    let ends = left.travel_ends().ok();
    [ends.and_then(|e| e.droop), ends.and_then(|e| e.bump)]
}

fn travels(wanted: &CurvesWanted) -> Result<Vec<f64>, GarageError> {
    let CurvesWanted { from, to, step, .. } = *wanted;
    if !(from.is_finite() && to.is_finite() && step.is_finite() && step > 0.0 && from <= to) {
        return Err(GarageError::Input(
            "the travel goes from a lower to a higher number in steps above nought, like --from -60 --to 60 --step 10"
                .to_owned(),
        ));
    }
    if from.abs().max(to.abs()) > 400.0 || (to - from) / step > MOST_ROWS {
        return Err(GarageError::Input(format!(
            "travel within ±400 mm and at most {MOST_ROWS} rows: choose a smaller range or a larger step"
        )));
    }
    let mut all = Vec::new();
    let mut i = 0.0;
    while from + i * step <= to + 1e-9 {
        all.push(from + i * step);
        i += 1.0;
    }
    Ok(all)
}

/// What is measured at each travel, or why there is nothing.
fn wheel_places(
    corner: &Corner,
    travels: &[f64],
    room: Option<&Room>,
    balance: &Balance,
) -> Places<WheelPlace> {
    let mut tracker = corner.tracker();
    travels
        .iter()
        .map(|travel| {
            let solved = tracker.advance(*travel, 0.0).map_err(|trouble| trouble.to_string())?;
            let out = corner.outputs(&solved).map_err(|trouble| trouble.to_string())?;
            let (p, radius) = (solved.pose.origin, corner.spec().loaded_radius);
            let side = SideView::of_wheel(&out, [p.x, p.y, p.z], radius, balance);
            Ok(WheelPlace { out, tyre_gap: room.and_then(|room| room.gap(corner, &solved)), side })
        })
        .collect()
}

/// Both wheels with the left one up by each travel and the right one down by as much.
fn rolled(figures: &CornerFigures, travels: &[f64]) -> Option<Places<RollPlace>> {
    if let Some(whole) = super::whole::whole(figures) {
        let at = |z: f64| {
            let out = whole.at(z, -z).map_err(|trouble| trouble.to_string())?;
            Ok(RollPlace { roll: out.roll, camber: out.camber, toe: out.toe, sideways: Some(out.sideways) })
        };
        return Some(travels.iter().map(|z| at(*z)).collect());
    }
    let (left, right) = (corner(figures, Side::Left)?, corner(figures, Side::Right)?);
    let at = |z: f64| {
        let one = |corner: &Corner, z: f64| {
            let solved = corner.solve(z, 0.0).map_err(|trouble| trouble.to_string())?;
            let out = corner.outputs(&solved).map_err(|trouble| trouble.to_string())?;
            Ok::<_, String>((solved.pose.origin, out))
        };
        let ((here, left), (there, right)) = (one(&left, z)?, one(&right, -z)?);
        let roll = (here.z - there.z).atan2(here.y - there.y).to_degrees();
        let (camber, toe) = ([left.camber, right.camber], [left.toe, right.toe]);
        Ok(RollPlace { roll, camber, toe, sideways: None })
    };
    Some(travels.iter().map(|z| at(*z)).collect())
}

fn overlaps(gap: f64) -> String {
    format!(
        "No tyre gap: by their sizes tyre and spring would overlap by {:.0} mm as the points were taken; look at spring seats, coil diameter, wire and tyre in the file.",
        -gap
    )
}

fn notes(left: &Corner) -> Vec<String> {
    let mut notes: Vec<String> =
        left.doubts().iter().map(|doubt| format!("look at this in the file: {doubt}")).collect();
    notes.push(
        "Rigid links, no bushing give, tyres as wheels: what bushings add under load is not in it."
            .to_owned(),
    );
    notes
}

/// What to know of an axle that carries both wheels.
fn whole_notes(axle: &Axle, whole: &WholeAxle) -> Vec<String> {
    let mut notes: Vec<String> =
        whole.doubts().iter().map(|doubt| format!("look at this in the file: {doubt}")).collect();
    notes.extend(approximation(axle));
    notes
}
