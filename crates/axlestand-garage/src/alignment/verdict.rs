//! What it comes to: within targets, fit to drive to an alignment shop, or not good enough.

use super::aims::Aim;
use super::chain::Chain;
use super::work::{self, Work, about};
use super::worth::NextReading;
use crate::geometry::targets::judged;
use crate::lead::{Lead, LedText};
use crate::units::Units;
use axlestand_geometry::estimation::alignment::{Axle, Finding, Quantity, SteeringWheel, Wheel};
use axlestand_geometry::estimation::conformity::Zone;
use serde::Serialize;

/// The verdict.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct VerdictView {
    /// `within-targets`, `drive-to-a-shop`, `not-good-enough` or `nothing-read`.
    pub word: &'static str,
    /// The same as a sentence.
    pub text: String,
    /// What to do, the first thing first.
    pub todo: Vec<LedText>,
}

/// How far total toe may be off its target for a drive to a shop, and camber of a front wheel, degrees
/// (AX-23: judgement, no source; local law decides).
const SHOP_TOE: f64 = 0.75;
const SHOP_CAMBER: f64 = 2.0;

/// The verdict on a chain of rounds.
pub(crate) fn verdict(
    chain: &Chain,
    aims: &[Aim],
    work: &Work,
    (steering, units): (SteeringWheel, Units),
    next: &[NextReading],
    again: &[String],
) -> VerdictView {
    let todo = todo(chain, aims, work, next, again, units);
    let blocked = chain.findings.iter().any(Finding::blocks);
    let view = |word, text: &str| VerdictView { word, text: text.to_owned(), todo: todo.clone() };
    if chain.read == 0 {
        return view("nothing-read", "No gauge was read yet that says how the wheels stand.");
    }
    if blocked {
        return view(
            "not-good-enough",
            "Not good enough: the readings contradict each other, so nothing is computed from them.",
        );
    }
    if chain.foretold {
        return view(
            "not-good-enough",
            "Not good enough yet: something was turned since the last reading. Roll the car to and fro, and read again.",
        );
    }
    let sound: Vec<&Aim> = aims.iter().filter(|aim| aim.sound && aim.limits.is_some()).collect();
    let toe = sound.iter().any(|aim| aim.quantity == Quantity::TotalToe(Axle::Front));
    let is_in = |aim: &&&Aim| matches!(aim.judged(chain.known(aim.quantity)), Some((_, Zone::In)));
    if toe && sound.len() == aims.len() && sound.iter().filter(is_in).count() == sound.len() {
        return match work::astray(chain, steering) {
            None if chain.heading().is_none() => view(
                "within-targets",
                "Within targets: everything the file has a target for. How the steering wheel stands when the car runs straight was not read.",
            ),
            None => view("within-targets", "Within targets: everything the file has a target for."),
            Some(off) => view("drive-to-a-shop", &askew(off)),
        };
    }
    if fit_for_the_shop(chain, aims) {
        return view(
            "drive-to-a-shop",
            "Not proven within targets, but straight enough to drive gently to an alignment shop (judgement; local law decides).",
        );
    }
    view("not-good-enough", "Not good enough to drive on, and here is what to do.")
}

/// Targets met, but the steering wheel off straight by this much, degrees at the steering wheel.
fn askew(off: f64) -> String {
    format!(
        "Every target is met, but running straight the steering wheel would stand {:.0}° to the {}: turn both tie rods by the same amount, one longer and one shorter, to bring it straight.",
        off.abs(),
        if off > 0.0 { "left" } else { "right" }
    )
}

/// Whether total toe is near its target, and the front wheels' camber, as far as it was read.
fn fit_for_the_shop(chain: &Chain, aims: &[Aim]) -> bool {
    let middle = |quantity: Quantity| {
        aims.iter().find(|aim| aim.quantity == quantity).and_then(|aim| aim.limits?.middle()).unwrap_or(0.0)
    };
    let near = |quantity: Quantity, half: f64| {
        let (value, u) = chain.known(quantity)?;
        Some(judged(about(middle(quantity), half)?, value, u)?.zone == Zone::In)
    };
    let cambers = Wheel::ALL.iter().filter(|wheel| wheel.axle == Axle::Front);
    near(Quantity::TotalToe(Axle::Front), SHOP_TOE) == Some(true)
        && cambers.map(|wheel| near(Quantity::Camber(*wheel), SHOP_CAMBER)).all(|fit| fit != Some(false))
}

fn todo(
    chain: &Chain,
    aims: &[Aim],
    work: &Work,
    next: &[NextReading],
    again: &[String],
    units: Units,
) -> Vec<LedText> {
    let mut all: Vec<LedText> = Vec::new();
    if !again.is_empty() {
        all.push(format!("read again: {}", again.join(", ")).into());
    }
    all.extend(chain.collected.incomplete.iter().cloned().map(LedText::from));
    if chain.read == 0 {
        all.push(LedText::new("read the wheels: plates are the quickest, strings tell most", Lead::Guides));
        return all;
    }
    if chain.findings.iter().any(Finding::blocks) {
        if again.is_empty() {
            let blocking = chain.findings.iter().filter(|finding| finding.blocks());
            all.extend(blocking.take(3).map(|finding| finding.said(units.lengths()).into()));
        }
        return all;
    }
    for aim in aims {
        if aim.limits.is_none() {
            all.push(LedText::new(
                format!("the target of {} is {}", aim.quantity, aim.text),
                aim.lead.clone(),
            ));
        } else if !aim.sound {
            let text = format!(
                "the target of {} is a placeholder ({}): look it up and write it in",
                aim.quantity, aim.text
            );
            all.push(LedText::new(text, aim.lead.clone()));
        }
    }
    if aims.is_empty() {
        all.push("the file has no target for toe or camber: look them up and write them under [target.…], each with its reading and source".into());
    }
    if work.steps.iter().any(|step| step.stage == "height") {
        all.push("bring the car to its height first: camber and toe move with it".into());
    } else if !work.steps.is_empty() && !chain.foretold {
        all.push(LedText::new(
            "turn what stands under To turn, record it, roll the car to and fro, read again",
            Lead::Turned,
        ));
    }
    let unknown: Vec<String> = aims
        .iter()
        .filter(|aim| aim.sound && chain.known(aim.quantity).is_none())
        .map(|aim| aim.quantity.to_string())
        .collect();
    if !unknown.is_empty() {
        all.push(format!("not known from what was read: {}", unknown.join(", ")).into());
    }
    if let (Some(best), false) = (next.first(), chain.foretold) {
        let open =
            aims.iter().any(|aim| !matches!(aim.judged(chain.known(aim.quantity)), Some((_, Zone::In))));
        if open {
            let lead = Lead::Guide { method: best.method.to_owned() };
            all.push(LedText::new(format!("read {}", best.line), lead));
        }
    }
    all.extend(work.notes.iter().cloned());
    all
}
