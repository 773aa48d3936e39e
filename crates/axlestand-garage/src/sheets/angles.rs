//! How the wheels stand, for who aligns them: angles with their uncertainty against their targets.

use super::lists::columns;
use crate::alignment::{AlignmentView, AlignmentWanted, QuantityView, alignment};
use crate::chance::in_100;
use crate::count::count;
use crate::geometry::targets::target;
use crate::job::Job;
use crate::sentence::{capital, sentence};
use crate::units::Units;
use axlestand_draw::Drawing;
use axlestand_draw::paper::{Block, Table};
use axlestand_draw::plot::{Area, AreaLook, Axis, Plot};
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{Axle, Quantity, Wheel};
use axlestand_ledger::Event;
use axlestand_model::{AxleEnd, Hand, ReadingKind};
use axlestand_quantity::Band;

/// Standard uncertainties from the middle to the edge of an area that holds the true pair 95 times in
/// 100: the root of 5.991, the 95 % point of chi-square with two degrees of freedom (ISO 3534-1; any
/// table of it).
const REACH: f64 = 2.4477;

/// What was read at home of the wheels; nothing where nobody read them, and why where no angle can be told.
pub(super) fn blocks(job: &Job, units: Units) -> Vec<Block> {
    let view = match alignment(job, &AlignmentWanted { units, ..AlignmentWanted::default() }) {
        Ok(view) => view,
        // Where nobody put a gauge on, nothing is missing.
        Err(_) if !job.state.counting_entries().any(|one| matches!(one.event, Event::Gauged { .. })) => {
            return Vec::new();
        }
        Err(why) => {
            let why = why.to_string();
            return vec![
                Block::Heading("As read at home".to_owned()),
                Block::Text(format!("No angle can be told: {}.", why.trim_end_matches('.'))),
            ];
        }
    };
    if view.readings == 0 || view.told.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![
        Block::Heading("As read at home".to_owned()),
        Block::Text(format!(
            "{} {}, round {}.",
            view.verdict.text,
            count(view.readings, "reading"),
            view.round
        )),
        Block::Table(table(&view)),
    ];
    blocks.extend(picture(job, &view).map(Block::Picture));
    if !view.not_known.is_empty() {
        blocks.push(Block::Text(format!("Not known from these readings: {}.", view.not_known.join("; "))));
    }
    let faults = view.findings.iter().map(|finding| &finding.text).chain(&view.again);
    blocks.extend(faults.map(|fault| Block::Text(sentence(fault))));
    blocks.push(Block::Aside(view.rule.to_owned()));
    blocks.extend(view.notes.iter().map(|note| Block::Aside(sentence(note))));
    blocks
}

fn table(view: &AlignmentView) -> Table {
    let row = |one: &QuantityView| {
        let (target, chance, zone) = one.aim.as_ref().map_or_else(
            || (String::new(), String::new(), "no target"),
            |aim| {
                let chance = aim.probability.map(in_100);
                (aim.target.clone(), chance.unwrap_or_default(), aim.zone.word())
            },
        );
        let value = format!("{:.2}\u{a0}±\u{a0}{:.2}°", one.value, one.u);
        vec![capital(&one.what), value, target, chance, zone.to_owned()]
    };
    Table {
        columns: columns(&[
            ("angle", 3.0),
            ("value", 1.9),
            ("target", 3.2),
            ("chance within", 1.5),
            ("so", 2.0),
        ]),
        rows: view.told.iter().map(row).collect(),
        tick: false,
    }
}

/// Camber of each front wheel over total toe, with what is allowed; `None` where either is not known.
fn picture(job: &Job, view: &AlignmentView) -> Option<Drawing> {
    let told = |quantity: Quantity| {
        let what = quantity.to_string();
        view.told.iter().find(|one| one.what == what).map(|one| (one.value, one.u))
    };
    let band = |kind, hand| target(&job.car, kind, AxleEnd::Front, hand).and_then(|target| target.band);
    let toe = told(Quantity::TotalToe(Axle::Front))?;
    let allowed = band(ReadingKind::Toe, None);
    let mut areas = Vec::new();
    for (side, hand) in [(Side::Left, Hand::Left), (Side::Right, Hand::Right)] {
        let Some(camber) = told(Quantity::Camber(Wheel::of(Axle::Front, side))) else { continue };
        if let (Some(x), Some(y)) = (allowed, band(ReadingKind::Camber, Some(hand))) {
            let box_of = Area { name: "allowed".to_owned(), points: corners(x, y), look: AreaLook::Allowed };
            if !areas.contains(&box_of) {
                areas.push(box_of);
            }
        }
        areas.push(Area {
            name: format!("{} wheel", hand.phrase()),
            points: ellipse(toe, camber),
            look: AreaLook::Estimate,
        });
    }
    let known = areas.iter().any(|area| area.look == AreaLook::Estimate);
    let plot = Plot {
        title: "Front wheels as read against their targets".to_owned(),
        note: "Each broken outline holds the true pair 95 times in 100, toe and camber taken as read independently; its dot is the estimate.".to_owned(),
        x: Axis { name: "total toe front, in is positive".to_owned(), unit: "°".to_owned() },
        y: Axis { name: "camber, top outward is positive".to_owned(), unit: "°".to_owned() },
        lines: Vec::new(),
        areas,
        limits: Vec::new(),
    };
    known.then(|| plot.drawing())
}

fn corners(x: Band, y: Band) -> Vec<[f64; 2]> {
    vec![[x.lower(), y.lower()], [x.upper(), y.lower()], [x.upper(), y.upper()], [x.lower(), y.upper()]]
}

/// The edge about a pair of values with their standard uncertainties, degrees.
fn ellipse(x: (f64, f64), y: (f64, f64)) -> Vec<[f64; 2]> {
    let spot = |step: u32| {
        let (sin, cos) = (f64::from(step) * std::f64::consts::TAU / 72.0).sin_cos();
        [x.0 + REACH * x.1 * cos, y.0 + REACH * y.1 * sin]
    };
    (0..72).map(spot).collect()
}

#[cfg(test)]
mod tests {
    use super::ellipse;

    /// The 95 % point of chi-square with two degrees of freedom is 5.991 in any printed table.
    #[test]
    fn the_outline_holds_95_of_100_pairs() {
        for [x, y] in ellipse((0.1, 0.05), (-0.7, 0.2)) {
            let square = ((x - 0.1) / 0.05).powi(2) + ((y + 0.7) / 0.2).powi(2);
            assert!((square - 5.991).abs() < 0.002, "{square}");
        }
    }
}
