//! The curves of an axle that carries both wheels, as both rise together.

use super::corner_figures::CornerFigures;
use super::curve_columns::{AxlePlace, BOTH};
use super::curve_table::{ahead, table};
use super::curves::CurvesView;
use super::points::whole_layout;
use super::side_view::{Balance, CurveFigures, SideView, note as side_note};
use super::whole::{ends, notes, whole};
use crate::units::Units;
use axlestand_geometry::kinematics::{Point, WholeAxle, WholeLayout};
use axlestand_model::car::{Axle, Car};

/// The curves of both wheels against their travel, mm.
pub(super) fn of_both(
    car: &Car,
    axle: &Axle,
    travels: &[f64],
    (figures, held): (CornerFigures, &WholeAxle),
    units: Units,
) -> CurvesView {
    let ends = ends(axle, held);
    let mirrored = figures.right_is_mirrored();
    let beam = whole_layout(axle) == Some(WholeLayout::TwistBeam);
    let columns = BOTH.iter().filter(|column| match column.view.key {
        // A twist beam is alike on both sides, so it goes neither sideways nor askew.
        "sideways" => !beam,
        "steer" => !(beam && mirrored),
        "camber-right" | "toe-right" => !mirrored,
        _ => true,
    });
    let balance = Balance::of(car, axle);
    let mut inputs = figures.both_views(units);
    inputs.extend(balance.views(units));
    let figures = CurveFigures { corner: figures, balance: Some(balance) };
    let table = table(columns, axle, &ahead(travels, ends), &figures, |figures| {
        let (whole, balance) = (whole(&figures.corner)?, figures.balance.as_ref()?);
        let rest = whole.spec().point(Point::WheelCentre)?;
        let at = |z: f64| {
            let out = whole.at(z, z).map_err(|trouble| trouble.said(units.lengths()))?;
            let side = SideView::of_both(&out, rest.x + out.wheelbase, balance);
            Ok(AxlePlace { out, side })
        };
        Some(travels.iter().map(|z| at(*z)).collect())
    });
    let notes = notes(axle, held).into_iter().chain([side_note()]).collect();
    let [droop, bump] = ends;
    CurvesView { mirrored, droop, bump, inputs, notes, ..CurvesView::of(car, axle, table) }
}
