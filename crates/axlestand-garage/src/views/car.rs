//! A car, an item and the findings of a vehicle file, ready to be shown.

use crate::units::Units;
use crate::views::row::torque_text;
use axlestand_model::ItemId;
use axlestand_model::car::{Car, Item, Work};
use axlestand_model::file::{CarReading, Severity};
use serde::Serialize;

/// A car in short.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CarView {
    /// Its name.
    pub name: String,
    /// Free text.
    pub note: Option<String>,
    /// Wheelbase, tracks, tyre, driven axle, masses: label and value.
    pub facts: Vec<(String, String)>,
    /// The parts: name in the file, and what people call it.
    pub parts: Vec<(String, String)>,
    /// The fasteners: name in the file, and what people call it with number and size.
    pub fasteners: Vec<(String, String)>,
    /// The connections: name in the file, and what people call it.
    pub connections: Vec<(String, String)>,
    /// How many operations, ways, readings, fluids, targets.
    pub counts: Vec<(String, usize)>,
}

/// One item in full: label and value.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ItemView {
    /// The item.
    pub item: String,
    /// Its kind.
    pub kind: &'static str,
    /// What people call it.
    pub name: String,
    /// What is known of it.
    pub facts: Vec<(String, String)>,
}

/// One finding of a vehicle file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct FindingView {
    /// `error` or `warning`.
    pub severity: &'static str,
    /// A short fixed name.
    pub code: &'static str,
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1.
    pub column: usize,
    /// The offending text.
    pub text: String,
    /// What is wrong.
    pub message: String,
    /// What was expected or what to do.
    pub hint: String,
}

/// The findings of a vehicle file.
#[must_use]
pub fn finding_views(reading: &CarReading) -> Vec<FindingView> {
    reading
        .findings
        .iter()
        .map(|finding| FindingView {
            severity: if finding.severity == Severity::Error { "error" } else { "warning" },
            code: finding.code,
            line: finding.line,
            column: finding.column,
            text: finding.excerpt.clone(),
            message: finding.message.clone(),
            hint: finding.hint.clone(),
        })
        .collect()
}

/// A car in short.
#[must_use]
pub fn car_view(car: &Car) -> CarView {
    let mut facts = Vec::new();
    let mut fact = |label: &str, value: Option<String>| {
        if let Some(value) = value {
            facts.push((label.to_owned(), value));
        }
    };
    fact("wheelbase", car.wheelbase.map(|l| l.to_string()));
    fact("front track", car.track_front.map(|l| l.to_string()));
    fact("rear track", car.track_rear.map(|l| l.to_string()));
    fact("tyre", car.tyre.clone());
    fact("driven axle", car.driven.map(|driven| driven.phrase().to_owned()));
    if let Some(balance) = &car.balance {
        let from = &balance.provenance;
        fact("centre of gravity", balance.cg_height.map(|h| format!("{h} above the floor [{from}]")));
        fact(
            "brakes, front",
            balance.brake_share_front.map(|share| format!("{share} of the force [{from}]")),
        );
        fact("drive, front", balance.drive_share_front.map(|share| format!("{share} of the force [{from}]")));
    }
    for (place, mass) in &car.masses {
        fact(&format!("mass, {place}"), Some(mass.to_string()));
    }
    for axle in &car.axles {
        let points = if axle.points.is_empty() {
            "no hardpoints".to_owned()
        } else {
            format!("{} hardpoints", axle.points.len())
        };
        let points = match axle.points_right.len() {
            0 => points,
            own => format!("{points}, {own} of the right corner's own"),
        };
        fact(&format!("{} axle", axle.name), Some(format!("{}, {points}", axle.layout.phrase())));
        fact(&format!("{} spring rate", axle.name), axle.spring_rate.map(|rate| format!("{rate} N/mm")));
        fact(&format!("{} spring free length", axle.name), axle.spring_free_length.map(|l| l.to_string()));
    }
    CarView {
        name: car.name.clone(),
        note: car.note.clone(),
        facts,
        parts: car.parts.iter().map(|p| (p.id.to_string(), p.name.clone())).collect(),
        fasteners: car
            .fasteners
            .iter()
            .map(|f| (f.id.to_string(), format!("{} — {} × {}", f.name, f.count, f.size_text())))
            .collect(),
        connections: car.connections.iter().map(|c| (c.id.to_string(), c.name.clone())).collect(),
        counts: vec![
            ("operations".to_owned(), car.operations.len()),
            ("ways".to_owned(), car.ways.len()),
            ("readings".to_owned(), car.readings.len()),
            ("fluids".to_owned(), car.fluids.len()),
            ("targets".to_owned(), car.targets.len()),
        ],
    }
}

/// One item in full.
#[must_use]
pub fn item_view(car: &Car, id: &ItemId, units: Units) -> Option<ItemView> {
    let item = car.item(id)?;
    let mut facts = Vec::new();
    match item {
        Item::Part(part) => {
            push(&mut facts, "comes off with", part.part_of.as_ref().map(ToString::to_string));
            push(&mut facts, "mass", part.mass_kg.map(|kg| format!("{kg} kg")));
            push(
                &mut facts,
                "held by",
                some(&car.outer_holds(id).iter().map(|hold| hold.id().to_string()).collect::<Vec<_>>()),
            );
            push(&mut facts, "critical", part.critical.then(|| "yes".to_owned()));
            work(&mut facts, &part.work);
        }
        Item::Fastener(f) => fastener_facts(&mut facts, f, units),
        Item::Connection(c) => {
            push(&mut facts, "joint", Some(c.joint.phrase().to_owned()));
            push(&mut facts, "joins", some(&c.joins.iter().map(ToString::to_string).collect::<Vec<_>>()));
            push(&mut facts, "count", (c.count > 1).then(|| c.count.to_string()));
            push(&mut facts, "new each time", c.one_use.then(|| "yes".to_owned()));
            push(&mut facts, "exposure", Some(c.exposure.phrase().to_owned()));
            work(&mut facts, &c.work);
        }
        Item::Operation(o) => {
            push(&mut facts, "stage", Some(o.stage.phrase().to_owned()));
            push(&mut facts, "brings the car", o.brings.map(|state| state.phrase().to_owned()));
            push(
                &mut facts,
                "because of",
                some(&o.because.iter().map(ToString::to_string).collect::<Vec<_>>()),
            );
            push(&mut facts, "before", some(&o.before.iter().map(ToString::to_string).collect::<Vec<_>>()));
            push(&mut facts, "recheck after", o.recheck.clone());
            work(&mut facts, &o.work);
        }
        Item::Way(w) => {
            push(&mut facts, "frees", Some(w.frees.to_string()));
            push(&mut facts, "needs", some(&w.needs.iter().map(ToString::to_string).collect::<Vec<_>>()));
            push(&mut facts, "undoes", some(&w.undoes.iter().map(ToString::to_string).collect::<Vec<_>>()));
            push(&mut facts, "scraps", some(&w.scraps.iter().map(ToString::to_string).collect::<Vec<_>>()));
            work(&mut facts, &w.work);
        }
        Item::Reading(r) => {
            push(&mut facts, "how", r.how.clone());
            push(&mut facts, "instrument", r.instrument.clone());
            push(&mut facts, "standard uncertainty", Some(format!("{} {}", r.u, r.dimension.own_unit())));
            push(&mut facts, "before", some(&r.before.iter().map(ToString::to_string).collect::<Vec<_>>()));
            push(&mut facts, "read again with the car", r.again.map(|state| state.phrase().to_owned()));
            work(&mut facts, &r.work);
        }
        Item::Fluid(fluid) => {
            push(&mut facts, "grade", fluid.grade.clone());
            push(&mut facts, "amount", fluid.amount.map(|amount| amount.to_string()));
            push(&mut facts, "fill", Some(fluid.fill.phrase().to_owned()));
            push(&mut facts, "from", Some(fluid.provenance.to_string()));
        }
        Item::Target(target) => {
            push(&mut facts, "reading", Some(target.reading.to_string()));
            let dimension = car.reading(&target.reading).map(|reading| reading.dimension);
            let band = target.band.zip(dimension).map(|(b, dimension)| {
                format!("{} (tolerance)", units.reading(dimension, b.nominal(), b.upper() - b.nominal()))
            });
            push(&mut facts, "value", Some(band.unwrap_or_else(|| "to be looked up".to_owned())));
            push(&mut facts, "from", Some(target.provenance.to_string()));
        }
    }
    Some(ItemView { item: id.to_string(), kind: item.kind(), name: item.name().to_owned(), facts })
}

fn push(facts: &mut Vec<(String, String)>, label: &str, value: Option<String>) {
    if let Some(value) = value {
        facts.push((label.to_owned(), value));
    }
}

fn some(list: &[String]) -> Option<String> {
    (!list.is_empty()).then(|| list.join(", "))
}

fn fastener_facts(facts: &mut Vec<(String, String)>, f: &axlestand_model::car::Fastener, units: Units) {
    push(facts, "joins", some(&f.joins.iter().map(ToString::to_string).collect::<Vec<_>>()));
    push(facts, "count", Some(f.count.to_string()));
    push(facts, "form", f.form.map(|form| form.phrase().to_owned()));
    let origin = |field: &str| {
        if f.measured.contains(field) { "measured".to_owned() } else { f.provenance.to_string() }
    };
    push(facts, "thread", f.thread.as_ref().map(|t| format!("{t} [{}]", origin("thread"))));
    push(facts, "length", f.length.map(|l| format!("{l} [{}]", origin("length"))));
    push(facts, "property class", f.class.as_ref().map(|c| format!("{c} [{}]", origin("class"))));
    push(facts, "drive", f.drive.as_ref().map(|d| format!("{d} [{}]", origin("drive"))));
    push(facts, "hold still with", f.hold.as_ref().map(|d| format!("{d} [{}]", origin("hold"))));
    let torque =
        f.torque.as_ref().map_or_else(|| "hand-tight".to_owned(), |spec| torque_text(f, spec, units));
    push(facts, "final torque", Some(torque));
    let due = f.torque.as_ref().and_then(|torque| torque.state);
    push(facts, "due with the car", due.map(|state| state.phrase().to_owned()));
    push(facts, "axle", f.axle.map(|axle| axle.phrase().to_owned()));
    push(facts, "lock", Some(f.lock.phrase().to_owned()));
    push(facts, "captive nut", f.captive.then(|| "yes".to_owned()));
    push(facts, "new each time", Some(if f.one_use { "yes" } else { "no" }.to_owned()));
    push(facts, "exposure", Some(f.exposure.phrase().to_owned()));
    push(facts, "critical", Some(if f.critical { "yes" } else { "no" }.to_owned()));
    work(facts, &f.work);
}

fn work(facts: &mut Vec<(String, String)>, work: &Work) {
    push(facts, "place", Some(work.place.phrase().to_owned()));
    push(facts, "with the car", work.state.map(|state| state.phrase().to_owned()));
    push(facts, "after", some(&work.after.iter().map(ToString::to_string).collect::<Vec<_>>()));
    let minutes = work.minutes;
    push(
        facts,
        "minutes",
        Some(format!("{} (stuck {}, back {})", minutes.clean, minutes.stuck, minutes.back)),
    );
    push(facts, "people", (work.people > 1).then(|| work.people.to_string()));
    push(facts, "tools", some(&work.tools.clone()));
    push(facts, "caution", work.caution.clone());
}
