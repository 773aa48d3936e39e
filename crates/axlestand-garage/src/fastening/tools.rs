//! The owner's torque wrenches and adapters as the numeric crate wants them.

use crate::toolbox::WrenchEntry;
use axlestand_fastener::Adapter;
use axlestand_fastener::adapter::AdapterError;
use axlestand_fastener::wrench::{Accuracy, TorqueWrench, WrenchChoice, WrenchKind};
use axlestand_quantity::{Angle, Dimension, Length, Torque, Unit};

/// A torque wrench of the toolbox.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WrenchInHand {
    /// What the owner calls it.
    pub(crate) name: String,
    /// Lowest mark.
    pub(crate) from: Torque,
    /// Highest mark.
    pub(crate) to: Torque,
    /// Middle of the grip to the square.
    pub(crate) length: Option<Length>,
    /// How it shows its torque.
    pub(crate) kind: WrenchKind,
    /// Limit of deviation, a share.
    pub(crate) limit: f64,
    /// What the toolbox file leaves open and is assumed.
    pub(crate) assumed: Vec<&'static str>,
    pub(super) wrench: TorqueWrench,
}

/// An adapter of the toolbox, or one given by its offset.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct AdapterInHand {
    /// What the owner calls it.
    pub(crate) name: String,
    /// Middle of the square to the middle of the fastener.
    pub(crate) offset: Length,
}

/// A wrench judged for a torque at the fastener.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Judged<'a> {
    pub(crate) wrench: &'a WrenchInHand,
    pub(crate) choice: WrenchChoice,
}

impl WrenchInHand {
    /// Reads the typed entry. A scale that is not described is taken as a click wrench after
    /// ISO 6789, marked in the unit its range is written in.
    pub(crate) fn read(entry: &WrenchEntry) -> Result<Self, String> {
        let typed = |text: &str| Dimension::Torque.parse(text).map_err(|why| why.to_string());
        let (from, to) = (typed(&entry.from)?, typed(&entry.to)?);
        let torque = |nm: f64| Torque::from_nm(nm).map_err(|why| why.to_string());
        let unit = match &entry.unit {
            Some(text) => Unit::find(text).ok_or_else(|| format!("'{text}' is no unit of torque"))?,
            None => to.unit,
        };
        let mut assumed = Vec::new();
        let kind = entry.kind.as_deref().map(kind_of).transpose()?;
        let kind = kind.unwrap_or_else(|| {
            assumed.push("a click wrench");
            WrenchKind::Click
        });
        let accuracy = entry.accuracy.as_deref().map(share_of).transpose()?;
        if accuracy.is_none() {
            assumed.push("exact as ISO 6789 asks");
        }
        let step = match &entry.step {
            Some(text) => typed(text)?.value,
            None => {
                assumed.push("its scale in usual steps");
                usual_step(to.value / unit.factor) * unit.factor
            }
        };
        let length = entry.length.as_deref().map(read_length).transpose()?;
        let (from, to) = (torque(from.value)?, torque(to.value)?);
        let accuracy = accuracy.map_or(Accuracy::Iso6789, Accuracy::Stated);
        let wrench = TorqueWrench::new(kind, (from, to), torque(step)?, unit, accuracy)
            .map_err(|why| why.to_string())?;
        Ok(Self { name: entry.name.clone(), from, to, length, kind, limit: wrench.limit(), assumed, wrench })
    }

    /// What to set for `target` at the fastener, with an adapter at an angle.
    pub(crate) fn judge(
        &self,
        target: Torque,
        adapter: Option<(&AdapterInHand, Angle)>,
    ) -> Result<Judged<'_>, AdapterTrouble> {
        let adapter = match adapter {
            Some((adapter, angle)) => Some(self.with(adapter, angle)?),
            None => None,
        };
        let choice = self
            .wrench
            .judge(target, adapter.as_ref())
            .map_err(|why| AdapterTrouble::Refused(why.to_string()))?;
        Ok(Judged { wrench: self, choice })
    }

    fn with(&self, adapter: &AdapterInHand, angle: Angle) -> Result<Adapter, AdapterTrouble> {
        // At a right angle the lever does not count.
        let square = (angle.abs().deg() - 90.0).abs() < 1e-9;
        let lever = self.length.or(square.then_some(adapter.offset)).ok_or(AdapterTrouble::NoLength)?;
        Adapter::new(lever, adapter.offset, angle)
            .map_err(|why: AdapterError| AdapterTrouble::Refused(why.to_string()))
    }
}

/// Why a wrench does not go with the adapter.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum AdapterTrouble {
    /// Its length is not in the toolbox.
    NoLength,
    /// It leaves no lever, or the torque is none.
    Refused(String),
}

impl AdapterInHand {
    /// Reads name and offset.
    pub(crate) fn read(name: &str, offset: &str) -> Result<Self, String> {
        let offset = read_length(offset)?;
        if offset.mm() < 0.0 {
            return Err(format!("an offset is measured from square to fastener and cannot be {offset}"));
        }
        Ok(Self { name: name.to_owned(), offset })
    }

    /// The adapter meant by what was typed: a name of the toolbox or its beginning, or an offset.
    pub(crate) fn find(typed: &str, toolbox: &[Self]) -> Result<Self, String> {
        if let Some(known) = toolbox.iter().find(|adapter| adapter.name == typed) {
            return Ok(known.clone());
        }
        let fits: Vec<_> = toolbox.iter().filter(|adapter| adapter.name.starts_with(typed)).collect();
        if let [one] = fits.as_slice() {
            return Ok((*one).clone());
        }
        Self::read(&format!("{typed} adapter"), typed).map_err(|_| {
            let names: Vec<_> = toolbox.iter().map(|adapter| format!("'{}'", adapter.name)).collect();
            let known = if names.is_empty() { "none yet".to_owned() } else { names.join(", ") };
            format!(
                "'{typed}' is neither an offset such as \"60 mm\" nor an adapter of the toolbox ({known})"
            )
        })
    }
}

impl Judged<'_> {
    /// The better wrench first: one that shows the torque, without remarks, the more exact one.
    fn rank(&self) -> (bool, usize, f64) {
        (!self.choice.usable(), self.choice.findings.len(), self.choice.limit.hypot(self.choice.half_step))
    }
}

/// The wrenches that go with the adapter, the best first.
pub(crate) fn judge_all<'a>(
    wrenches: &'a [WrenchInHand],
    target: Torque,
    adapter: Option<(&AdapterInHand, Angle)>,
) -> (Vec<Judged<'a>>, Vec<(&'a WrenchInHand, AdapterTrouble)>) {
    let (mut good, mut bad) = (Vec::new(), Vec::new());
    for wrench in wrenches {
        match wrench.judge(target, adapter) {
            Ok(judged) => good.push(judged),
            Err(why) => bad.push((wrench, why)),
        }
    }
    good.sort_by(|a, b| {
        let (a, b) = (a.rank(), b.rank());
        a.0.cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.total_cmp(&b.2))
    });
    (good, bad)
}

/// The kind of torque wrench by its word.
pub(super) fn kind_of(word: &str) -> Result<WrenchKind, String> {
    match word.trim() {
        "click" => Ok(WrenchKind::Click),
        "beam" => Ok(WrenchKind::Beam),
        "dial" => Ok(WrenchKind::Dial),
        "electronic" | "digital" => Ok(WrenchKind::Electronic),
        other => {
            Err(format!("'{other}' is no kind of torque wrench; there are click, beam, dial and electronic"))
        }
    }
}

/// `4 %`, `±3%` or a share such as `0.04`.
pub(super) fn share_of(text: &str) -> Result<f64, String> {
    let plain = text.trim().trim_start_matches('±').trim().replace(',', ".");
    let (number, divisor) = match plain.strip_suffix('%') {
        Some(number) => (number.trim(), 100.0),
        None => (plain.as_str(), 1.0),
    };
    match number.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(value / divisor),
        _ => Err(format!("'{text}' is no accuracy; write it like \"4 %\"")),
    }
}

fn read_length(text: &str) -> Result<Length, String> {
    text.parse().map_err(|why: axlestand_quantity::ParseQuantityError| why.to_string())
}

/// Steps that scales have, by their highest mark: one from 50 up, a half from 20, a tenth below.
fn usual_step(highest: f64) -> f64 {
    match highest {
        x if x >= 50.0 => 1.0,
        x if x >= 20.0 => 0.5,
        _ => 0.1,
    }
}
