//! Plots of a car's numbers.

use crate::error::GarageError;
use crate::geometry::{CurvesView, CurvesWanted, Racks, curves};
use crate::job::Job;
use crate::units::Units;
use axlestand_draw::Drawing;
use axlestand_draw::paper::Block;
use axlestand_draw::plot::{Axis, Limit, Line, Plot};
use axlestand_model::{AxleEnd, Hand};

/// Camber, toe and change of track of a wheel against its travel, a drawing for each that the axle has.
///
/// # Errors
/// [`GarageError::Input`] that names the hardpoints that are missing.
fn wheel_curves(
    job: &Job,
    end: AxleEnd,
    side: Hand,
    units: Units,
) -> Result<(CurvesView, Vec<Drawing>), GarageError> {
    let (most, step) = match units {
        Units::Metric => (80.0, 5.0),
        Units::Inch => (76.2, 6.35),
    };
    let wanted = CurvesWanted {
        axle: end.word().to_owned(),
        side,
        from: -most,
        to: most,
        step,
        racks: Racks::Straight,
        units,
    };
    let view = curves(&job.car, &wanted)?;
    let which = wheels(&view, end, side);
    let plots =
        ["camber", "toe", "track-change"].into_iter().filter_map(|key| plot(&view, key, &which, units));
    let plots = plots.collect();
    Ok((view, plots))
}

/// The same as sheets.
///
/// # Errors
/// As the plots.
pub(super) fn sheet(job: &Job, end: AxleEnd, side: Hand, units: Units) -> Result<Vec<Block>, GarageError> {
    let (view, plots) = wheel_curves(job, end, side, units)?;
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

fn plot(view: &CurvesView, key: &str, which: &str, units: Units) -> Option<Drawing> {
    let at = view.columns.iter().position(|column| column.key == key)?;
    let column = &view.columns[at];
    let here = |value: f64| units.figure_in(value, 0, column.unit).0;
    let travel = |mm: f64| units.figure_in(mm, 0, "mm").0;
    let value = |values: &[Option<f64>]| values.get(at).copied().flatten().map(here);
    let within = || view.rows.iter().filter(|row| row.beyond.is_none());
    let points: Vec<[f64; 2]> =
        within().filter_map(|row| Some([travel(row.travel), value(&row.values)?])).collect();
    let spread: Option<Vec<f64>> =
        within().filter(|row| value(&row.values).is_some()).map(|row| value(row.spread.as_ref()?)).collect();
    let ends = [("full droop", view.droop), ("bump stop touched", view.bump)];
    let limits = ends.into_iter().filter_map(|(name, at)| {
        let at = at.filter(|at| at.abs() <= 90.0)?;
        let name = format!("{name} at {}", units.length(at, 0));
        Some(Limit { name, at: travel(at), upright: true, danger: false })
    });
    let sure = if spread.is_some() {
        "Thin lines: spread from typical inputs."
    } else {
        "No band: every input is given, and none with an uncertainty."
    };
    let plot = Plot {
        title: format!("{} against wheel travel, {which}", crate::sentence::capital(column.name)),
        note: format!("{sure} {}", view.notes.first().cloned().unwrap_or_default()),
        x: Axis { name: "wheel travel, up".to_owned(), unit: units.length_unit().to_owned() },
        y: Axis {
            name: format!("{} ({})", column.name, column.sign),
            unit: units.figure_in(0.0, 0, column.unit).2.to_owned(),
        },
        lines: vec![Line { name: column.name.to_owned(), points, spread: spread.unwrap_or_default() }],
        areas: Vec::new(),
        limits: limits.collect(),
    };
    Some(plot.drawing())
}
