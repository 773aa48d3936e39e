//! Plots of a car's numbers.

use crate::error::GarageError;
use crate::geometry::{CurvesView, CurvesWanted, Racks, curves};
use crate::job::Job;
use axlestand_draw::Drawing;
use axlestand_draw::paper::Block;
use axlestand_draw::plot::{Axis, Limit, Line, Plot};
use axlestand_model::{AxleEnd, Hand};

/// Camber, toe and change of track of a wheel against its travel, a drawing for each that the axle has.
///
/// # Errors
/// [`GarageError::Input`] that names the hardpoints that are missing.
fn wheel_curves(job: &Job, end: AxleEnd, side: Hand) -> Result<(CurvesView, Vec<Drawing>), GarageError> {
    let wanted = CurvesWanted {
        axle: end.word().to_owned(),
        side,
        from: -80.0,
        to: 80.0,
        step: 5.0,
        racks: Racks::Straight,
    };
    let view = curves(&job.car, &wanted)?;
    let which = wheels(&view, end, side);
    let plots = ["camber", "toe", "track-change"].into_iter().filter_map(|key| plot(&view, key, &which));
    let plots = plots.collect();
    Ok((view, plots))
}

/// The same as sheets.
///
/// # Errors
/// As the plots.
pub(super) fn sheet(job: &Job, end: AxleEnd, side: Hand) -> Result<Vec<Block>, GarageError> {
    let (view, plots) = wheel_curves(job, end, side)?;
    let under = format!(
        "{}. Wheel up is positive; nought is where the hardpoints were taken.",
        crate::sentence::capital(&wheels(&view, end, side))
    );
    let mut blocks = vec![Block::Title { text: "Wheel angles against travel".to_owned(), under }];
    blocks.extend(plots.into_iter().map(Block::Picture));
    Ok(blocks)
}

/// Which wheels the rows speak of: an axle that carries both moves them together.
fn wheels(view: &CurvesView, end: AxleEnd, side: Hand) -> String {
    match view.side {
        Some(_) => format!("{} {} wheel", side.phrase(), end.word()),
        None => format!("{} wheels, {}", end.word(), view.wheels),
    }
}

fn plot(view: &CurvesView, key: &str, which: &str) -> Option<Drawing> {
    let at = view.columns.iter().position(|column| column.key == key)?;
    let column = &view.columns[at];
    let value = |values: &[Option<f64>]| values.get(at).copied().flatten();
    let within = || view.rows.iter().filter(|row| row.beyond.is_none());
    let points: Vec<[f64; 2]> = within().filter_map(|row| Some([row.travel, value(&row.values)?])).collect();
    let spread: Option<Vec<f64>> =
        within().filter(|row| value(&row.values).is_some()).map(|row| value(row.spread.as_ref()?)).collect();
    let ends = [("full droop", view.droop), ("bump stop touched", view.bump)];
    let limits = ends.into_iter().filter_map(|(name, at)| {
        let at = at.filter(|at| at.abs() <= 90.0)?;
        Some(Limit { name: format!("{name} at {at:.0} mm"), at, upright: true, danger: false })
    });
    let sure = if spread.is_some() {
        "Thin lines: spread from typical inputs."
    } else {
        "No band: every input is given, and none with an uncertainty."
    };
    let plot = Plot {
        title: format!("{} against wheel travel, {which}", crate::sentence::capital(column.name)),
        note: format!("{sure} {}", view.notes.first().cloned().unwrap_or_default()),
        x: Axis { name: "wheel travel, up".to_owned(), unit: "mm".to_owned() },
        y: Axis { name: format!("{} ({})", column.name, column.sign), unit: column.unit.to_owned() },
        lines: vec![Line { name: column.name.to_owned(), points, spread: spread.unwrap_or_default() }],
        areas: Vec::new(),
        limits: limits.collect(),
    };
    Some(plot.drawing())
}
