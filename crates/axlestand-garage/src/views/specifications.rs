//! What a vehicle file specifies, field by field, with where each comes from: to be looked over and
//! filled in.

use crate::units::Units;
use axlestand_model::car::{Car, Fastener, Fluid, Target, TorqueSpec};
use axlestand_model::{Provenance, without_side};
use axlestand_quantity::Dimension;
use serde::Serialize;

/// One field that can be written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SpecField {
    /// Its name in the file and in `car set`.
    pub field: &'static str,
    /// What people call it.
    pub label: &'static str,
    /// The value as the file has it; absent where it is not known.
    pub value: Option<String>,
    /// Where it comes from.
    pub from: Option<String>,
    /// How it is asked for: `read off` (seen at the car), `manual` (from a manual only) or `either`.
    pub by: &'static str,
    /// How a value is written.
    pub example: &'static str,
    /// The unit that a bare number is taken in; empty where there is none.
    pub unit: &'static str,
    /// Whether it still has to be looked up.
    pub wanted: bool,
}

/// What is specified of one item; both sides are one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SpecView {
    /// The item without its side.
    pub item: String,
    /// What people call it.
    pub name: String,
    /// `fastener`, `fluid` or `target`.
    pub kind: &'static str,
    /// Whether a life hangs on it.
    pub critical: bool,
    /// Where in a service manual it usually stands.
    pub look_in: Option<String>,
    /// Its fields.
    pub fields: Vec<SpecField>,
}

impl SpecView {
    /// Whether something still has to be looked up.
    #[must_use]
    pub fn is_wanted(&self) -> bool {
        self.fields.iter().any(|field| field.wanted)
    }

    /// Whether it is a fastener that no torque is specified for: hand-tight is final.
    #[must_use]
    pub fn is_hand_tight(&self) -> bool {
        self.kind == "fastener" && self.fields.iter().all(|field| field.field != "torque")
    }
}

/// Every specification of a car: first what has to be looked up, what lives hang on before the rest.
#[must_use]
pub fn specifications(car: &Car, units: Units) -> Vec<SpecView> {
    let mut list: Vec<SpecView> = Vec::new();
    let mut push = |view: SpecView| {
        if !list.iter().any(|known| known.item == view.item && known.kind == view.kind) {
            list.push(view);
        }
    };
    car.fasteners.iter().for_each(|fastener| push(of_fastener(fastener, units)));
    car.fluids.iter().for_each(|fluid| push(of_fluid(fluid)));
    car.targets.iter().for_each(|target| push(of_target(car, target, units)));
    list.sort_by_key(|view| (!view.is_wanted(), !view.critical));
    list
}

fn of_fastener(f: &Fastener, units: Units) -> SpecView {
    let mut fields = Vec::new();
    if let Some(spec) = &f.torque {
        fields.push(SpecField {
            field: "torque",
            label: "Final torque",
            value: (!spec.steps.is_empty()).then(|| units.steps(spec)),
            from: (!spec.steps.is_empty()).then(|| spec.provenance.to_string()),
            by: "manual",
            example: "140 N·m, or 50 N·m + 90°",
            unit: if units == Units::Inch { "lb·ft" } else { "N·m" },
            wanted: !spec.is_settled(),
        });
        fields.push(condition(spec));
    }
    let seen = |field: &'static str, label, value: Option<String>, example, unit| {
        let from = if f.measured.contains(field) { "measured".to_owned() } else { f.provenance.to_string() };
        let from = value.is_some().then_some(from);
        SpecField { field, label, value, from, by: "read off", example, unit, wanted: false }
    };
    let length = if units == Units::Inch { "in" } else { "mm" };
    fields.push(seen("thread", "Thread", f.thread.clone(), "M14x1.5", ""));
    fields.push(seen("length", "Length under the head", f.length.map(|l| l.to_string()), "85 mm", length));
    fields.push(seen("class", "Class on the head", f.class.clone(), "10.9", ""));
    fields.push(seen("drive", "Drive", f.drive.as_ref().map(ToString::to_string), "hex 21", ""));
    fields.push(seen("hold", "Held still with", f.hold.as_ref().map(ToString::to_string), "hex 19", ""));
    SpecView {
        item: f.id.base().to_owned(),
        name: without_side(&f.name).to_owned(),
        kind: "fastener",
        critical: f.critical,
        look_in: f.torque.as_ref().and_then(|spec| spec.look_in.clone()),
        fields,
    }
}

fn condition(spec: &TorqueSpec) -> SpecField {
    SpecField {
        field: "condition",
        label: "Thread condition that the torque is for",
        value: spec.condition.map(|condition| condition.phrase().to_owned()),
        from: spec.condition.map(|_| spec.provenance.to_string()),
        by: "manual",
        example: "dry",
        unit: "",
        wanted: false,
    }
}

fn of_fluid(fluid: &Fluid) -> SpecView {
    let known =
        |provenance: &Provenance, value: &Option<String>| value.is_some().then(|| provenance.to_string());
    let amount = fluid.amount.map(|amount| amount.to_string());
    let sound = fluid.provenance.may_be_worked_to();
    SpecView {
        item: fluid.id.base().to_owned(),
        name: without_side(&fluid.name).to_owned(),
        kind: "fluid",
        critical: false,
        look_in: fluid.look_in.clone(),
        fields: vec![
            SpecField {
                field: "amount",
                label: "Amount",
                from: known(&fluid.provenance, &amount),
                wanted: amount.is_none() || !sound,
                value: amount,
                by: "either",
                example: "2.2 l",
                unit: "l",
            },
            SpecField {
                field: "grade",
                label: "Grade",
                from: known(&fluid.provenance, &fluid.grade),
                value: fluid.grade.clone(),
                by: "either",
                example: "what the manual names",
                unit: "",
                wanted: false,
            },
        ],
    }
}

fn of_target(car: &Car, target: &Target, units: Units) -> SpecView {
    let dimension = car.reading(&target.reading).map_or(Dimension::Length, |reading| reading.dimension);
    let value =
        target.band.map(|band| units.reading(dimension, band.nominal(), band.upper() - band.nominal()));
    let (example, unit) = match (dimension, units) {
        (Dimension::Angle, _) => ("0.10 ± 0.15°", "°"),
        (_, Units::Inch) => ("14 3/8 ± 1/2 in", "in"),
        _ => ("364 ± 12 mm", "mm"),
    };
    SpecView {
        item: target.id.base().to_owned(),
        name: without_side(&target.name).to_owned(),
        kind: "target",
        critical: false,
        look_in: target.look_in.clone(),
        fields: vec![SpecField {
            field: "value",
            label: "Value and tolerance",
            from: value.is_some().then(|| target.provenance.to_string()),
            wanted: value.is_none() || !target.provenance.may_be_worked_to(),
            value,
            by: "either",
            example,
            unit,
        }],
    }
}
