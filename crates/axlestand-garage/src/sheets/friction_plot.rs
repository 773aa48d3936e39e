//! What a torque is worth: clamp load against friction, with what the bolt bears.

use crate::error::GarageError;
use crate::fastening::{Subject, Surface};
use crate::job::Job;
use crate::sentence::capital;
use axlestand_draw::Drawing;
use axlestand_draw::paper::Block;
use axlestand_draw::plot::{Axis, Limit, Line, Plot};
use axlestand_fastener::{Friction, Locking, Torsion};
use axlestand_model::car::{Fastener, TorqueStep};

/// A plot as a sheet, of the fastener that was typed.
pub(super) fn sheet(job: &Job, typed: Option<&str>) -> Result<Vec<Block>, GarageError> {
    let typed = typed.ok_or_else(|| {
        GarageError::Input(
            "name the fastener whose torque is to be drawn: --item strut-knuckle-bolts.left".to_owned(),
        )
    })?;
    let ids = job.car.resolve(typed)?;
    let fastener = ids.first().and_then(|id| job.car.fastener(id)).ok_or_else(|| {
        GarageError::Input(format!("'{typed}' is not a fastener, so it has no torque to draw"))
    })?;
    let drawing = plot(job, fastener).ok_or_else(|| {
        GarageError::Input(format!(
            "{} cannot be drawn: it needs a thread and a torque with its source, and no angle ('car set' writes them)",
            fastener.name
        ))
    })?;
    let title = Block::Title {
        text: "What a torque is worth".to_owned(),
        under: "The same torque clamps more on a slippery thread and less on a dry one. A picture of limits, not a value to set.".to_owned(),
    };
    Ok(vec![title, Block::Picture(drawing)])
}

/// `None` where thread or torque are not known, may not be worked to, or an angle makes the load.
fn plot(job: &Job, fastener: &Fastener) -> Option<Drawing> {
    let spec = fastener.torque.as_ref().filter(|spec| spec.is_settled() || !fastener.critical)?;
    let [TorqueStep::To(torque)] = spec.steps.as_slice() else { return None };
    let subject = Subject::of(&job.car, fastener);
    let joint = subject.joint()?;
    let stated = spec.condition.map(|condition| Surface::stated(condition, fastener.lock));
    let range = stated.and_then(|surface| surface.friction().ok());
    let friction = (6..=30).map(|hundredth| f64::from(hundredth) / 100.0);
    let load = |mu: f64| Some([mu, joint.preload(*torque, Friction::same(mu).ok()?).ok()?.n() / 1000.0]);
    let strength = subject.class.zip(subject.thread).and_then(|(class, thread)| class.strength(thread).ok());
    let bears = |mu: f64| {
        let force =
            joint.preload_at(0.9, Friction::same(mu).ok()?, strength?.yield_mpa, Torsion::Plastic).ok()?;
        Some([mu, force.n() / 1000.0])
    };
    let line = |name: String, points: Vec<[f64; 2]>| Line { name, points, spread: Vec::new() };
    let mut lines = vec![line(format!("{torque}"), friction.clone().filter_map(load).collect())];
    let most: Vec<[f64; 2]> = friction.filter_map(bears).collect();
    if !most.is_empty() {
        lines.push(line("90 % of yield".to_owned(), most));
    }
    let ends = range.iter().flat_map(|range| {
        [("least", range.coefficient.low()), ("greatest", range.coefficient.high())].map(|(word, at)| Limit {
            name: format!("{word} published friction, {at:.2}"),
            at,
            upright: true,
            danger: false,
        })
    });
    let said = stated.map_or_else(|| "no condition is stated".to_owned(), Surface::phrase);
    let class = fastener.class.clone().filter(|_| subject.class.is_some());
    let drag = match subject.locking() {
        Some(Locking::NylonInsert | Locking::DistortedThread) => {
            " The drag of the lock nut is not taken off: it clamps a little less."
        }
        _ => "",
    };
    let plot = Plot {
        title: format!("{}, {}", capital(&fastener.name), fastener.size_text()),
        note: format!(
            "Thread {said}; torque from [{}]. Clamp load F = T / (P/2π + μ·(d2/(2·cos 30°) + Dm/2)); {}.{drag}",
            spec.provenance,
            class.map_or_else(
                || "the bolt's class is not known, so no limit is drawn".to_owned(),
                |class| format!("limit for class {class} with torsion fully plastic")
            )
        ),
        x: Axis { name: "friction μ in thread and under the head".to_owned(), unit: String::new() },
        y: Axis { name: "clamp load".to_owned(), unit: "kN".to_owned() },
        lines,
        areas: Vec::new(),
        limits: ends.collect(),
    };
    Some(plot.drawing())
}
