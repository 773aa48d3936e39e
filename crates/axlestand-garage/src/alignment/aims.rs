//! What the car's file wants of the wheels, and whether they are there.

use super::chain::Chain;
use crate::chance::within;
use crate::geometry::targets::{band_text, judged, limits, target};
use crate::lead::Lead;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{Axle, Quantity, Wheel};
use axlestand_geometry::estimation::conformity::{Limits, Zone};
use axlestand_model::car::{Car, Target};
use axlestand_model::{AxleEnd, Hand, ReadingKind};
use serde::Serialize;

/// A target of the file.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Aim {
    /// Of which quantity.
    pub(crate) quantity: Quantity,
    /// Its limits, degrees; `None`: still to be looked up.
    pub(crate) limits: Option<Limits>,
    /// `0.10° ± 0.15° [manual: sheet 44-05]`.
    pub(crate) text: String,
    /// Where the target is written in.
    pub(crate) lead: Lead,
    /// Whether the owner may work to it.
    pub(crate) sound: bool,
}

/// How a value stands against its target.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct AimView {
    /// The target with its source.
    pub target: String,
    /// Probability that the true value is within.
    pub probability: Option<f64>,
    /// Where it stands.
    pub zone: AimZone,
}

/// Where a value stands against its target, in JSON by its words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(into = "&'static str")]
pub enum AimZone {
    /// The file gives no tolerance yet.
    NoTarget,
    /// The readings do not tell the value.
    NotKnown,
    /// Judged by the rule.
    Judged(Zone),
}

impl AimView {
    /// The chance that the true value is within: `98 in 100`, behind another zone `within: 47 in 100`.
    #[must_use]
    pub fn chance(&self) -> Option<String> {
        match (self.zone, self.probability) {
            (AimZone::Judged(zone), Some(chance)) => Some(within(zone, chance)),
            _ => None,
        }
    }
}

impl AimZone {
    /// As people say it: `within limits`, `cannot be told`, `outside the limits`, `no target`, `not known`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::NoTarget => "no target",
            Self::NotKnown => "not known",
            Self::Judged(zone) => zone.word(),
        }
    }

    /// Whether it is within, or outside; `None` where that is not told.
    #[must_use]
    pub fn is_within(self) -> Option<bool> {
        match self {
            Self::Judged(Zone::In) => Some(true),
            Self::Judged(Zone::Out) => Some(false),
            _ => None,
        }
    }
}

impl From<AimZone> for &'static str {
    fn from(zone: AimZone) -> Self {
        zone.word()
    }
}

/// Every target of the file for the wheels' angles.
pub(crate) fn aims(car: &Car) -> Vec<Aim> {
    let ends = [(Axle::Front, AxleEnd::Front), (Axle::Rear, AxleEnd::Rear)];
    let hands = [(Side::Left, Hand::Left), (Side::Right, Hand::Right)];
    let mut all = Vec::new();
    for (axle, end) in ends {
        all.extend(aim(Quantity::TotalToe(axle), target(car, ReadingKind::Toe, end, None)));
    }
    for (axle, end) in ends {
        for (side, hand) in hands {
            let wheel = Wheel::of(axle, side);
            all.extend(aim(Quantity::Camber(wheel), target(car, ReadingKind::Camber, end, Some(hand))));
        }
    }
    for (side, hand) in hands {
        let found = target(car, ReadingKind::Caster, AxleEnd::Front, Some(hand));
        all.extend(aim(Quantity::Caster(side), found));
    }
    all
}

fn aim(quantity: Quantity, target: Option<&Target>) -> Option<Aim> {
    let target = target?;
    let limits = target.band.and_then(limits);
    let text = match target.band {
        Some(band) => format!("{} [{}]", band_text(band, "°"), target.provenance),
        None => format!(
            "not known: look it up{} and write it in, first its tolerance, then its value",
            target.look_in.as_ref().map(|place| format!(" ({place})")).unwrap_or_default(),
        ),
    };
    let lead = Lead::Value {
        item: target.id.base().to_owned(),
        field: limits.is_none().then(|| "tolerance".to_owned()),
    };
    Some(Aim { quantity, limits, text, lead, sound: target.provenance.may_be_worked_to() })
}

impl Aim {
    /// How it stands, given a value and its uncertainty.
    pub(crate) fn view(&self, told: Option<(f64, f64)>) -> AimView {
        let decided = self.judged(told);
        AimView {
            target: self.text.clone(),
            probability: decided.map(|(probability, _)| probability),
            zone: match (self.limits, told, decided) {
                (None, _, _) => AimZone::NoTarget,
                (_, None, _) => AimZone::NotKnown,
                (_, _, decided) => AimZone::Judged(decided.map_or(Zone::CannotTell, |(_, zone)| zone)),
            },
        }
    }

    /// Probability of being within, and the zone.
    pub(crate) fn judged(&self, told: Option<(f64, f64)>) -> Option<(f64, Zone)> {
        let (value, u) = told?;
        let decision = judged(self.limits?, value, u)?;
        Some((decision.probability, decision.zone))
    }
}

impl Chain {
    /// What is known of a quantity, of the angles or beside them.
    pub(crate) fn known(&self, quantity: Quantity) -> Option<(f64, f64)> {
        self.told(quantity).or_else(|| {
            let beside =
                matches!(quantity, Quantity::Caster(_) | Quantity::CasterDifference | Quantity::SetBack(_));
            let told = self.estimate.as_ref().filter(|_| beside)?.get(quantity)?;
            Some((told.value, told.u))
        })
    }
}
