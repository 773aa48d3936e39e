//! Wheel angles and ratios against wheel travel, straight ahead or from lock to lock.

use super::both_sides::{BothSides, Together};
use super::corner::{axle, side_of, sound_corner};
use super::corner_figures::CornerFigures;
use super::figures::{InputView, spread};
use super::places::{Racks, lock, racks, travels};
use super::room::Room;
use crate::error::GarageError;
use axlestand_geometry::kinematics::{Corner, Outputs};
use axlestand_model::Hand;
use axlestand_model::car::Car;
use serde::Serialize;

/// Which curves are wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct CurvesWanted {
    /// `front` or `rear`.
    pub axle: String,
    /// Which wheel.
    pub side: Hand,
    /// Lowest wheel travel, mm.
    pub from: f64,
    /// Highest wheel travel, mm.
    pub to: f64,
    /// Step, mm.
    pub step: f64,
    /// Positions of the steering rack at each travel.
    pub racks: Racks,
}

/// One column of the table.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ColumnView {
    /// A short fixed name.
    pub key: &'static str,
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
    /// Half their spread from typical inputs, where there are any.
    pub spread: Option<Vec<Option<f64>>>,
    /// Why the wheel does not get there.
    pub trouble: Option<String>,
    /// The end of the damper's travel that it lies beyond: `full droop` or `bump stop`.
    pub beyond: Option<&'static str>,
}

/// The curves of one wheel.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CurvesView {
    /// The car.
    pub car: String,
    /// `front` or `rear`.
    pub axle: String,
    /// `left` or `right`.
    pub side: &'static str,
    /// Whether the right corner is the mirror image of the left one.
    pub mirrored: bool,
    /// How the wheel is hung.
    pub layout: &'static str,
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

/// A column with the way to its value.
struct Column {
    view: ColumnView,
    with: With,
    of: fn(&Place) -> Option<f64>,
}

/// In which tables a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum With {
    /// In all.
    All,
    /// Straight ahead only: what both wheels do together, and toe, mean nothing on a steered one.
    Travel,
    /// Only where the rack varies.
    Rack,
}

/// One place of the wheel.
struct Place {
    out: Outputs,
    together: Together,
    tyre_gap: Option<f64>,
}

const fn column(
    key: &'static str,
    name: &'static str,
    unit: &'static str,
    places: usize,
    sign: &'static str,
    of: fn(&Place) -> Option<f64>,
) -> Column {
    Column { view: ColumnView { key, name, unit, places, sign }, with: With::All, of }
}

impl Column {
    const fn only(mut self, with: With) -> Self {
        self.with = with;
        self
    }
}

const COLUMNS: &[Column] = &[
    column("heading", "heading", "°", 2, "of this wheel, + to the left", |p| Some(p.out.heading))
        .only(With::Rack),
    column("camber", "camber", "°", 2, "+ top outward", |p| Some(p.out.camber)),
    column("toe", "toe", "°", 3, "+ toe-in, of one wheel", |p| Some(p.out.toe)).only(With::Travel),
    column("caster", "caster", "°", 2, "+ top rearward", |p| p.out.caster),
    column("inclination", "SAI", "°", 2, "steering-axis inclination, + top inward", |p| p.out.inclination),
    column("scrub", "scrub", "mm", 1, "+ axis meets the ground inside the contact point", |p| {
        p.out.scrub_radius
    }),
    column("trail", "trail", "mm", 1, "+ axis meets the ground ahead of the contact point", |p| p.out.trail),
    column("track-change", "track", "mm", 1, "change, both wheels together", |p| p.together.track_change)
        .only(With::Travel),
    column("wheelbase-change", "wheelb.", "mm", 1, "change, + wheel forward", |p| Some(p.out.wheelbase)),
    column("roll-centre", "roll c.", "mm", 0, "height of the roll centre above the ground", |p| {
        p.together.roll_centre
    })
    .only(With::Travel),
    column("spring-ratio", "spring", "", 3, "motion ratio: spring travel over wheel travel", |p| {
        p.out.spring_ratio
    }),
    column("damper-ratio", "damper", "", 3, "motion ratio of the damper", |p| p.out.damper_ratio),
    column("bar-ratio", "bar", "", 3, "bar arm's end over wheel travel", |p| p.out.bar_ratio),
    column("bar-link-tilt", "link", "°", 1, "bar link from square to the bar's arm", |p| {
        p.out.bar_link_tilt
    }),
    column("axle-outer", "shaft", "°", 1, "angle of the drive axle's outer joint", |p| p.out.axle_outer),
    column("axle-inner", "inner j.", "°", 1, "angle of the drive axle's inner joint", |p| p.out.axle_inner),
    column("plunge", "plunge", "mm", 1, "drive axle, + pulled out", |p| p.out.axle_plunge),
    column("tyre-gap", "tyre gap", "mm", 0, "least room between tyre and spring, both as cylinders", |p| {
        p.tyre_gap
    }),
];

/// The curves of one axle against wheel travel.
///
/// # Errors
/// [`GarageError::Input`] where hardpoints are missing or cannot be right, or the range is none.
pub fn curves(car: &Car, wanted: &CurvesWanted) -> Result<CurvesView, GarageError> {
    let travels = travels(wanted.from, wanted.to, wanted.step)?;
    let axle = axle(car, &wanted.axle)?;
    let racks = racks(axle, wanted.racks, travels.len())?;
    let grid = wanted.racks != Racks::Straight;
    let side = side_of(wanted.side);
    let (figures, here) = sound_corner(car, axle, side)?;
    let (_, across) = sound_corner(car, axle, side.other())?;
    let both = BothSides { here, across: (!axle.right_is_mirrored()).then_some(across) };
    let here = &both.here;
    let sizes = Room::of(car, axle);
    // What overlaps where the car stands cannot be the sizes of this car.
    let overlap = sizes.as_ref().and_then(|room| room.gap(here, here.design())).filter(|gap| *gap < 0.0);
    let room = sizes.filter(|_| overlap.is_none());
    let cells = values(&both, (&travels, &racks), room.as_ref());
    let used = columns(&cells, grid);
    let width = used.len();
    let spreads = spread(&figures, |figures: &CornerFigures| {
        let both = BothSides::of(figures, side)?;
        let mut all = Vec::new();
        for cell in values(&both, (&travels, &racks), room.as_ref()) {
            all.extend(used.iter().map(|c| cell.as_ref().ok().and_then(|o| (c.of)(o))));
        }
        Some(all)
    });
    let ends = here.travel_ends().ok();
    let ends = [ends.and_then(|e| e.droop), ends.and_then(|e| e.bump)];
    let places = travels.iter().flat_map(|travel| racks.iter().map(move |rack| (*travel, *rack)));
    let rows = cells.iter().zip(places).enumerate().map(|(i, (cell, place))| CurveRow {
        height: axle.hub_to_arch.map(|height| height.mm() - place.0),
        spread: spreads.as_ref().and_then(|all| all.get(i * width..(i + 1) * width)).map(<[_]>::to_vec),
        ..row(cell, place, &used, ends)
    });
    let mut inputs = if both.across.is_some() { figures.both_views() } else { figures.views(side) };
    if grid {
        inputs.push(lock(axle).view());
    }
    Ok(CurvesView {
        car: car.name.clone(),
        axle: axle.name.clone(),
        side: wanted.side.word(),
        mirrored: axle.right_is_mirrored(),
        layout: axle.layout.phrase(),
        grid,
        rows: rows.collect(),
        columns: used.iter().map(|c| c.view.clone()).collect(),
        droop: ends[0],
        bump: ends[1],
        inputs: inputs.into_iter().chain(room.iter().flat_map(Room::views)).collect(),
        notes: overlap.map(overlaps).into_iter().chain(notes(here)).collect(),
    })
}

/// The columns that belong into the table and have values.
fn columns(cells: &[Result<Place, String>], grid: bool) -> Vec<&'static Column> {
    let has_values = |c: &&Column| cells.iter().any(|cell| cell.as_ref().is_ok_and(|o| (c.of)(o).is_some()));
    let belongs = |c: &&Column| c.with == With::All || (c.with == With::Rack) == grid;
    COLUMNS.iter().filter(belongs).filter(has_values).collect()
}

/// One row but for its height and spread; `ends` are full droop and bump stop, mm.
fn row(
    cell: &Result<Place, String>,
    (travel, rack): (f64, f64),
    used: &[&Column],
    [droop, bump]: [Option<f64>; 2],
) -> CurveRow {
    CurveRow {
        travel,
        rack,
        height: None,
        values: used.iter().map(|c| cell.as_ref().ok().and_then(|o| (c.of)(o))).collect(),
        spread: None,
        trouble: cell.as_ref().err().cloned(),
        beyond: match () {
            () if droop.is_some_and(|droop| travel < droop) => Some("full droop"),
            () if bump.is_some_and(|bump| travel > bump) => Some("bump stop"),
            () => None,
        },
    }
}

/// What is measured at each travel and rack position, or why there is nothing.
fn values(
    both: &BothSides,
    (travels, racks): (&[f64], &[f64]),
    room: Option<&Room>,
) -> Vec<Result<Place, String>> {
    let corner = &both.here;
    let (mut tracker, mut beside) = (corner.tracker(), both.across.as_ref().map(Corner::tracker));
    let mut all = Vec::with_capacity(travels.len() * racks.len());
    for travel in travels {
        let ahead = tracker.advance(*travel, 0.0);
        let across = beside.as_mut().and_then(|tracker| tracker.advance(*travel, 0.0).ok());
        for rack in racks {
            // Each position of the rack branches off from straight ahead at this height.
            let mut steered = tracker;
            let solved = if *rack == 0.0 { ahead.clone() } else { steered.advance(*travel, *rack) };
            all.push(solved.map_err(|trouble| trouble.to_string()).and_then(|solved| {
                let out = corner.outputs(&solved).map_err(|trouble| trouble.to_string())?;
                let together = both.together(&solved, &out, across.as_ref());
                Ok(Place { out, together, tyre_gap: room.and_then(|room| room.gap(corner, &solved)) })
            }));
        }
    }
    all
}

fn overlaps(gap: f64) -> String {
    format!(
        "No tyre gap: by their sizes tyre and spring would overlap by {:.0} mm as the points were taken; look at spring seats, coil diameter, wire and tyre in the file.",
        -gap
    )
}

fn notes(corner: &Corner) -> Vec<String> {
    let mut notes: Vec<String> =
        corner.doubts().iter().map(|doubt| format!("look at this in the file: {doubt}")).collect();
    notes.push(
        "Rigid links, no bushing give, tyres as wheels: what bushings add under load is not in it."
            .to_owned(),
    );
    notes
}
