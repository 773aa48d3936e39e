//! The specified torque for the thread as it is: the same, converted, or not to be converted.

use super::figures::{Reason, friction, friction_sources, percent, torque_range};
use super::subject::Subject;
use super::surface::Surface;
use crate::sentence::sentence;
use crate::units::Units;
use axlestand_fastener::conversion::Standing;
use axlestand_fastener::{Conversion, ConversionRequest, convert, formula};
use axlestand_model::Lock;
use axlestand_model::car::{TorqueSpec, TorqueStep};
use axlestand_quantity::Torque;

/// What becomes of a specified torque on the thread as it is.
#[derive(Debug, Clone, Default)]
pub(super) struct Converted {
    /// The torque at the fastener, where it is another one.
    pub(super) torque: Option<Torque>,
    /// What to do before the specified torque counts.
    pub(super) first: Option<&'static str>,
    /// What goes behind the setting: for what the specified value is.
    pub(super) clause: Option<String>,
    pub(super) warnings: Vec<String>,
    pub(super) reasons: Vec<Reason>,
}

const RESTORE: &str = "Clean the thread and the face under it, then";

/// Judges a specification for the condition that the owner gave.
pub(super) fn converted(
    subject: &Subject<'_>,
    spec: &TorqueSpec,
    now: Option<Surface>,
    units: Units,
) -> Converted {
    let lock = subject.fastener.lock;
    let stated = spec.condition.map(|condition| Surface::stated(condition, lock));
    let Some(now) = now.filter(|now| Some(*now) != stated) else { return Converted::default() };
    if let Some((first, why)) = forbidden(subject, spec, stated, now) {
        return Converted { first: Some(first), warnings: vec![why.to_owned()], ..Converted::default() };
    }
    let (Some(joint), Some(torque)) = (subject.joint(), spec.largest()) else {
        return unknown("the thread is not in the vehicle file, so nothing can be converted");
    };
    let (Some(from), Some(to)) = (stated.and_then(Surface::known), now.known()) else {
        return unknown("the condition is not one that can be converted");
    };
    match convert(&ConversionRequest { joint, specified: torque, from, to, place: subject.place }) {
        Ok(conversion) => of_conversion(&conversion, torque, (from, to), units),
        Err(why) => Converted {
            first: Some(RESTORE),
            warnings: vec![sentence(&why.to_string())],
            ..Converted::default()
        },
    }
}

fn unknown(why: &str) -> Converted {
    Converted { first: Some(RESTORE), warnings: vec![sentence(why)], ..Converted::default() }
}

/// Why nothing may be converted here, whatever the friction, and what to do before the value counts.
fn forbidden(
    subject: &Subject<'_>,
    spec: &TorqueSpec,
    stated: Option<Surface>,
    now: Surface,
) -> Option<(&'static str, &'static str)> {
    let wet = now.known().is_some_and(axlestand_fastener::Condition::is_lubricated);
    Some(match stated {
        _ if subject.hydraulic => {
            (RESTORE, "A brake union or hollow bolt seals at its own torque, clean: nothing is converted.")
        }
        _ if spec.steps.iter().any(|step| matches!(step, TorqueStep::On(_))) => (
            RESTORE,
            "Torque and angle belong together and to the specified condition: they are not converted.",
        ),
        _ if subject.fastener.lock == Lock::ThreadLocker && wet => (
            "Clean the thread, put on new thread locker, then",
            "Thread locker does not hold on oil or paste.",
        ),
        None => (
            RESTORE,
            "The value does not say for which thread condition it is: look that up; dry is the usual meaning.",
        ),
        Some(Surface::Coating) => (
            "Fit a new one as it is supplied, then",
            "The value is for the coating of a new fastener: add nothing to it.",
        ),
        Some(_) if now == Surface::Coating => (
            RESTORE,
            "Nobody can say the friction of an unknown coating: use the fastener that the value is for.",
        ),
        Some(_) => return None,
    })
}

fn of_conversion(
    conversion: &Conversion,
    specified: Torque,
    (from, to): (axlestand_fastener::Condition, axlestand_fastener::Condition),
    units: Units,
) -> Converted {
    let mut converted =
        Converted { warnings: vec![advice(conversion, (from, to), units)], ..Converted::default() };
    converted.reasons = vec![
        Reason::new("friction, as specified", friction_of(from), friction_sources(from)),
        Reason::new("friction, as it is", friction_of(to), friction_sources(to)),
        Reason::formula(
            formula::CONVERSION,
            &format!(
                "here {} ({} to {}): {}",
                percent(conversion.ratio.point()),
                percent(conversion.ratio.low()),
                percent(conversion.ratio.high()),
                torque_range(conversion.torque.low(), conversion.torque.high(), units)
            ),
        ),
        practice(),
        Reason::new(
            "if the torque were left as specified",
            format!(
                "clamp load at {} of what is meant ({} to {})",
                percent(conversion.clamp_if_unchanged.point()),
                percent(conversion.clamp_if_unchanged.low()),
                percent(conversion.clamp_if_unchanged.high())
            ),
            "",
        ),
    ];
    match (conversion.setting, conversion.advice.standing) {
        (Some(setting), Standing::AskTheMaker) => {
            converted.torque = Some(setting);
            let (to, from) = (Surface::Known(to).phrase(), Surface::Known(from).phrase());
            converted.clause = Some(format!("thread {to} ({} is for {from})", units.short_torque(specified)));
        }
        (Some(_), _) => {}
        (None, _) => converted.first = Some(RESTORE),
    }
    converted
}

/// What to beware of, short: the line before it says what to do.
fn advice(
    conversion: &Conversion,
    (from, to): (axlestand_fastener::Condition, axlestand_fastener::Condition),
    units: Units,
) -> String {
    let (from, now) = (Surface::Known(from).phrase(), Surface::Known(to).phrase());
    match conversion.advice.standing {
        Standing::AsSpecified => String::new(),
        Standing::Never(place) => format!("Nothing is converted at a {place}: {}.", place.reason()),
        Standing::KeepTheThreadClean(place) => format!("At a {place}: {}.", place.reason()),
        Standing::RestoreTheCondition => format!(
            "The value is for {from}; {now} the joint would be too loose. A torque is never raised on a guess: bring the thread to {from}, or take the specified fastener."
        ),
        Standing::AskTheMaker => {
            let range = torque_range(conversion.torque.low(), conversion.torque.high(), units);
            let forbid = if to.is_lubricated() {
                "Many makers forbid lubricant on the thread: cleaning it is the sure way."
            } else {
                "Many makers forbid another condition: the specified fastener is the sure way."
            };
            let weak = if conversion.advice.evidence == axlestand_fastener::friction::Evidence::Weak {
                ", weak evidence"
            } else {
                ""
            };
            let hurt = if conversion.advice.drift == axlestand_fastener::conversion::Drift::OverTightens {
                " The full torque could stretch the bolt."
            } else {
                ""
            };
            format!("{forbid}{hurt} Only an estimate: published friction gives {range}{weak}.")
        }
    }
}

/// What is printed on how much to take off: the spread is the finding.
pub(super) fn practice() -> Reason {
    let rows = axlestand_fastener::conversion::practice();
    let low = rows.iter().map(|row| row.cut_low).fold(f64::INFINITY, f64::min);
    let high = rows.iter().map(|row| row.cut_high).fold(0.0, f64::max);
    let mut ids: Vec<&str> = rows.iter().map(|row| row.source).collect();
    ids.sort_unstable();
    ids.dedup();
    Reason::new(
        "published advice on lubricated threads",
        format!("take off {low:.0} to {high:.0} %: it disagrees, so ask the maker first"),
        ids.join(", "),
    )
}

fn friction_of(condition: axlestand_fastener::Condition) -> String {
    let range = condition.friction();
    range.map_or_else(|why| why.to_string(), |range| format!("{condition}: {}", friction(&range)))
}
