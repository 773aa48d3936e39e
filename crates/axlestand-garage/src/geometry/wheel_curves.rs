//! The curves of a wheel that is hung by itself, straight ahead or from lock to lock.

use super::both_sides::BothSides;
use super::corner::{corner_ends, corner_notes, side_of, sound_corner};
use super::curve_columns::{WHEEL, WheelPlace};
use super::curve_table::{At, Places, beyond, table};
use super::curves::{CurvesView, CurvesWanted};
use super::places::{Racks, lock};
use super::room::Room;
use super::side_view::{Balance, CurveFigures, SideView, note as side_note};
use crate::error::GarageError;
use crate::units::Units;
use axlestand_geometry::kinematics::{Corner, Solved, Trouble};
use axlestand_model::Hand;
use axlestand_model::car::{Axle, Car};

/// The curves of one wheel at each travel and, there, at each position of the rack, mm.
pub(super) fn of_wheel(
    car: &Car,
    axle: &Axle,
    wanted: &CurvesWanted,
    (travels, racks): (&[f64], &[f64]),
) -> Result<CurvesView, GarageError> {
    let units = wanted.units;
    let grid = wanted.racks != Racks::Straight;
    let side = side_of(wanted.side);
    let (figures, here) = sound_corner(car, axle, side)?;
    let (_, across) = sound_corner(car, axle, side.other())?;
    let mirrored = figures.right_is_mirrored();
    let both = BothSides { here, across: (!mirrored).then_some(across) };
    let here = &both.here;
    let sizes = Room::of(car, axle);
    // What overlaps where the car stands cannot be the sizes of this car.
    let overlap = sizes.as_ref().and_then(|room| room.gap(here, here.design())).filter(|gap| *gap < 0.0);
    let room = sizes.filter(|_| overlap.is_none());
    let ends = corner_ends(here);
    let at =
        |travel: f64| racks.iter().map(move |rack| At { travel, rack: *rack, beyond: beyond(travel, ends) });
    let at: Vec<At> = travels.iter().flat_map(|travel| at(*travel)).collect();
    // Braking and driving are looked at straight ahead.
    let figures = CurveFigures { corner: figures, balance: (!grid).then(|| Balance::of(car, axle)) };
    let columns = WHEEL.iter().filter(|column| column.belongs(grid));
    let table = table(columns, axle, &at, &figures, |figures| {
        let both = BothSides::of(&figures.corner, side)?;
        Some(places(&both, (travels, racks), (room.as_ref(), figures.balance.as_ref()), units))
    });
    let mut inputs =
        if mirrored { figures.corner.views(side, units) } else { figures.corner.both_views(units) };
    inputs.extend(figures.balance.iter().flat_map(|balance| balance.views(units)));
    inputs.extend(grid.then(|| lock(axle).view(units)));
    inputs.extend(room.iter().flat_map(|room| room.views(units)));
    let mut notes: Vec<String> =
        overlap.map(|gap| overlaps(gap, units)).into_iter().chain(corner_notes([here])).collect();
    notes.extend((!grid).then(side_note));
    let [droop, bump] = ends;
    Ok(CurvesView {
        against: if grid { "travel-and-rack" } else { "travel" },
        wheels: match wanted.side {
            Hand::Left => "left wheel",
            Hand::Right => "right wheel",
        },
        side: Some(wanted.side.word()),
        mirrored,
        grid,
        droop,
        bump,
        inputs,
        notes,
        ..CurvesView::of(car, axle, table)
    })
}

/// What is measured at each travel and rack position, or why there is nothing.
fn places(
    both: &BothSides,
    (travels, racks): (&[f64], &[f64]),
    sizes: (Option<&Room>, Option<&Balance>),
    units: Units,
) -> Places<WheelPlace> {
    let said = |trouble: Trouble| trouble.said(units.lengths());
    let (mut tracker, mut beside) = (both.here.tracker(), both.across.as_ref().map(Corner::tracker));
    let mut all = Vec::with_capacity(travels.len() * racks.len());
    for travel in travels {
        let ahead = tracker.advance(*travel, 0.0);
        let across = beside.as_mut().and_then(|tracker| tracker.advance(*travel, 0.0).ok());
        for rack in racks {
            // Each position of the rack branches off from straight ahead at this height.
            let mut steered = tracker;
            let solved = if *rack == 0.0 { ahead.clone() } else { steered.advance(*travel, *rack) };
            let placed = solved.and_then(|solved| place(both, &solved, across.as_ref(), sizes));
            all.push(placed.map_err(said));
        }
    }
    all
}

fn place(
    both: &BothSides,
    solved: &Solved,
    across: Option<&Solved>,
    (room, balance): (Option<&Room>, Option<&Balance>),
) -> Result<WheelPlace, Trouble> {
    let corner = &both.here;
    let out = corner.outputs(solved)?;
    let together = both.together(solved, &out, across);
    let tyre_gap = room.and_then(|room| room.gap(corner, solved));
    let side = balance.map(|balance| SideView::of_wheel(corner, solved, &out, balance));
    Ok(WheelPlace { out, together, tyre_gap, side: side.unwrap_or_default() })
}

fn overlaps(gap: f64, units: Units) -> String {
    format!(
        "No tyre gap: by their sizes tyre and spring would overlap by {} as the points were taken; look at spring seats, coil diameter, wire and tyre in the file.",
        units.length(-gap, 0)
    )
}
