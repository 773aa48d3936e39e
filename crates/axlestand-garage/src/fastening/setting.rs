//! What to set on the wrench in hand for a fastener of the car as its thread is now.

use super::conversion::{Converted, converted};
use super::figures::{Reason, on_scale, percent};
use super::finish::after_torque;
use super::limits::{clamp_reasons, limit_reasons};
use super::subject::Subject;
use super::surface::Surface;
use super::tools::{AdapterInHand, AdapterTrouble, Judged, WrenchInHand, judge_all};
use crate::error::GarageError;
use crate::sentence::{capital, sentence};
use crate::toolbox::read_tightening_tools;
use crate::units::Units;
use axlestand_fastener::formula;
use axlestand_fastener::wrench::{Finding, WrenchKind};
use axlestand_model::Form;
use axlestand_model::car::{Car, Fastener, TorqueSpec, TorqueStep};
use axlestand_quantity::{Angle, Torque};
use serde::Serialize;

/// What the owner says of the thread and the tools at hand.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AtHand {
    /// The thread as it is: `dry`, `oiled`, `anti-seize` …; as specified if absent.
    pub condition: Option<String>,
    /// The torque wrench, by its name in the toolbox; the best one if absent.
    pub wrench: Option<String>,
    /// The adapter: its name in the toolbox, or its offset.
    pub adapter: Option<String>,
    /// The angle between handle and adapter; straight out if absent.
    pub angle: Option<String>,
}

/// What to set, in one line and with its reasons.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SettingView {
    /// The fastener.
    pub item: String,
    /// Whether there is a value that may be worked to.
    pub settled: bool,
    /// The one line to act on.
    pub line: String,
    /// Whether the line says more than the specified torque.
    pub says_more: bool,
    /// The torque that the fastener gets, N·m; for torque and angle the torque before the angle.
    pub at_fastener_nm: Option<f64>,
    /// The wrench, and what to set on it.
    pub wrench: Option<WrenchSetting>,
    /// What to beware of.
    pub warnings: Vec<String>,
    /// What follows the torque: slot, lock nut, order round a wheel.
    pub then: Vec<String>,
    /// Every input, formula, source and limit.
    pub reasons: Vec<Reason>,
}

/// A torque wrench with what to set on it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct WrenchSetting {
    /// Its name in the toolbox.
    pub name: String,
    /// What to set, in its own unit.
    pub value: f64,
    /// Its own unit.
    pub unit: &'static str,
    /// Its limit of deviation, a share.
    pub limit: f64,
}

/// What to set for a fastener; `None` where hand-tight is final.
///
/// # Errors
/// [`GarageError::Input`] where the condition, wrench, adapter or angle is not understood.
pub fn setting(
    car: &Car,
    fastener: &Fastener,
    toolbox: Option<&str>,
    at_hand: &AtHand,
    units: Units,
) -> Result<Option<SettingView>, GarageError> {
    let Some(spec) = &fastener.torque else { return Ok(None) };
    let subject = Subject::of(car, fastener);
    let surface = at_hand.condition.as_deref().map(|text| Surface::typed(text, fastener.lock));
    let now = surface.transpose().map_err(GarageError::Input)?;
    let (wrenches, adapters) = toolbox.map(read_tightening_tools).transpose()?.unwrap_or_default();
    let adapter = adapter_of(at_hand, &adapters)?;
    let wrenches = chosen(wrenches, at_hand.wrench.as_deref())?;
    if !spec.is_settled() {
        return Ok(Some(look_up(&subject, spec, units)));
    }
    let changed = converted(&subject, spec, now, units);
    let Some(target) = changed.torque.or_else(|| spec.largest()) else { return Ok(None) };
    let mut view = SettingView {
        item: fastener.id.to_string(),
        settled: true,
        line: String::new(),
        says_more: false,
        at_fastener_nm: Some(target.nm()),
        wrench: None,
        warnings: changed.warnings.clone(),
        then: after_torque(&subject, units),
        reasons: vec![Reason::new("specified", spec.to_string(), spec.provenance.to_string())],
    };
    view.reasons.extend(changed.reasons.iter().cloned());
    let turned = turned(fastener);
    let adapter = adapter.as_ref().map(|(adapter, angle)| (adapter, *angle));
    let work = Work { spec, changed: &changed, target, adapter, turned, units };
    let best = with_wrench(&work, &wrenches, &mut view);
    let surface = if changed.torque.is_some() {
        now
    } else {
        spec.condition.map(|c| Surface::stated(c, fastener.lock))
    };
    view.reasons.extend(clamp_reasons(&subject, target, surface, best.as_ref(), spec, units));
    view.reasons.extend(limit_reasons(&subject, surface, units));
    view.says_more |= view.wrench.is_some()
        || work.adapter.is_some()
        || changed.first.is_some()
        || changed.clause.is_some();
    Ok(Some(view))
}

/// One torque on its way from the manual to the wrench.
struct Work<'a> {
    spec: &'a TorqueSpec,
    changed: &'a Converted,
    target: Torque,
    adapter: Option<(&'a AdapterInHand, Angle)>,
    /// What the wrench turns: bolt, nut, plug.
    turned: &'static str,
    units: Units,
}

fn turned(fastener: &Fastener) -> &'static str {
    match fastener.form {
        Some(Form::Nut | Form::CastleNut) => "nut",
        Some(Form::Plug) => "plug",
        _ => "bolt",
    }
}

/// Where no value is settled: where to look, and no number.
fn look_up(subject: &Subject<'_>, spec: &TorqueSpec, units: Units) -> SettingView {
    let place = spec.look_in.as_ref().map(|place| format!(" ({place})")).unwrap_or_default();
    SettingView {
        item: subject.fastener.id.to_string(),
        settled: false,
        line: format!("No value to set yet: look it up{place}."),
        says_more: false,
        at_fastener_nm: None,
        wrench: None,
        warnings: Vec::new(),
        then: after_torque(subject, units),
        reasons: vec![match spec.steps.as_slice() {
            [] => Reason::new(
                "no value",
                "no torque with a source is in the vehicle file, and none is ever made up from thread and class",
                "",
            ),
            _ => Reason::new(
                "typical",
                "the value is what such fasteners usually have, not this car's: nothing is computed from it",
                "",
            ),
        }],
    }
}

/// Puts the line, the wrench and its warnings into the view; gives the wrench that was chosen.
fn with_wrench<'a>(
    work: &Work<'_>,
    wrenches: &'a [WrenchInHand],
    view: &mut SettingView,
) -> Option<Judged<'a>> {
    let (judged, troubled) = judge_all(wrenches, work.target, work.adapter);
    if let Some(best) = judged.first().filter(|best| best.choice.usable()) {
        view.line = set_line(work, best);
        view.wrench = Some(WrenchSetting {
            name: best.wrench.name.clone(),
            value: best.choice.in_own_unit,
            unit: best.choice.unit.symbol,
            limit: best.choice.limit,
        });
        view.warnings.extend(findings(best));
        view.reasons.extend(wrench_reasons(work, best));
        return Some(best.clone());
    }
    let torques = steps_text(work, |torque| work.units.short_torque(torque));
    view.line = worded(work, &format!("set {torques}"), "");
    if let Some((wrench, trouble)) = troubled.first() {
        view.warnings.push(no_adapter(wrench, trouble));
    } else if judged.is_empty() && work.adapter.is_some() {
        view.warnings.push(
            "That is the torque at the fastener: what to set with the adapter depends on the length of your wrench and the angle of the adapter ('axlestand calc adapter').".to_owned(),
        );
    } else if !judged.is_empty() {
        view.says_more = true;
        view.line =
            format!("No torque wrench of yours shows {torques} here: {}.", borrow(&judged, work.units));
    }
    None
}

/// What to borrow where no wrench of the toolbox shows the torque.
fn borrow(judged: &[Judged<'_>], units: Units) -> String {
    let above = judged.iter().all(|one| one.choice.findings.contains(&Finding::AboveRange));
    let setting = judged.first().map_or(Torque::ZERO, |one| one.choice.setting);
    let shown = units.short_torque(setting);
    if above {
        let most =
            judged.iter().map(|one| one.wrench.to).fold(Torque::ZERO, |a, b| if b > a { b } else { a });
        format!(
            "the largest ends at {}. Borrow one that goes beyond {shown}; do not guess with a bar",
            units.short_torque(most)
        )
    } else {
        format!("borrow one whose range holds {shown} well above its lowest mark")
    }
}

/// "Set 96 N·m on 'click, 1/2' with the 60 mm adapter straight out: 140 N·m at the nut".
fn set_line(work: &Work<'_>, best: &Judged<'_>) -> String {
    let wrench = best.wrench;
    let number = |torque: Torque| {
        wrench.judge(torque, work.adapter).map_or_else(
            |_| work.units.short_torque(torque),
            |one| on_scale(one.choice.in_own_unit, one.choice.unit),
        )
    };
    let verb = if matches!(wrench.kind, WrenchKind::Beam | WrenchKind::Dial) { "pull to" } else { "set" };
    let torques = steps_text(work, number);
    let adapter =
        work.adapter.map(|(adapter, angle)| format!(" with {} {}", named(&adapter.name), direction(angle)));
    let action = format!("{verb} {torques} on {}{}", named(&wrench.name), adapter.unwrap_or_default());
    let foreign = best.choice.unit.symbol != "N·m" && work.units == Units::Metric;
    let leaning = work.adapter.is_some_and(|(_, angle)| (angle.abs().deg() - 90.0).abs() >= 0.5);
    let behind = if leaning || foreign {
        format!("{} at the {}", work.units.short_torque(work.target), work.turned)
    } else {
        String::new()
    };
    worded(work, &action, &behind)
}

/// The action with what comes before it and what it stands for.
fn worded(work: &Work<'_>, action: &str, at_nut: &str) -> String {
    let line = match work.changed.first {
        Some(first) => format!("{first} {action}"),
        None => capital(action).trim_end_matches('.').to_owned(),
    };
    let behind: Vec<&str> = [Some(at_nut), work.changed.clause.as_deref()]
        .into_iter()
        .flatten()
        .filter(|t| !t.is_empty())
        .collect();
    if behind.is_empty() { format!("{line}.") } else { format!("{line}: {}.", behind.join(", ")) }
}

/// The steps of the specification, torques by `number`: `30 N·m, then 60 N·m, then on by 90°`.
fn steps_text(work: &Work<'_>, number: impl Fn(Torque) -> String) -> String {
    if work.changed.torque.is_some() {
        return number(work.target);
    }
    let steps = work.spec.steps.iter().map(|step| match step {
        TorqueStep::To(torque) => number(*torque),
        TorqueStep::On(angle) => format!("on by {angle}"),
    });
    steps.collect::<Vec<_>>().join(", then ")
}

fn named(name: &str) -> String {
    format!("'{name}'")
}

/// How the adapter stands to the handle.
fn direction(angle: Angle) -> String {
    match angle.abs().deg() {
        deg if deg < 0.5 => "straight out".to_owned(),
        deg if (deg - 90.0).abs() < 0.5 => "at a right angle, where nothing changes".to_owned(),
        deg if (deg - 180.0).abs() < 0.5 => "folded back".to_owned(),
        deg => format!("at {deg:.0}°"),
    }
}

fn findings(best: &Judged<'_>) -> Vec<String> {
    let said =
        best.choice.findings.iter().filter(|f| !matches!(f, Finding::AboveRange | Finding::BelowRange));
    said.map(|finding| format!("'{}': {finding}.", best.wrench.name)).collect()
}

fn no_adapter(wrench: &WrenchInHand, trouble: &AdapterTrouble) -> String {
    match trouble {
        AdapterTrouble::NoLength => format!(
            "The length of '{}' is not in the toolbox: measure from the middle of the grip to the square and add \
             length = \"… mm\"; or turn the adapter to a right angle, where nothing changes (--angle 90).",
            wrench.name
        ),
        AdapterTrouble::Refused(why) => sentence(why),
    }
}

fn wrench_reasons(work: &Work<'_>, best: &Judged<'_>) -> Vec<Reason> {
    let mut reasons = Vec::new();
    if let (Some((adapter, angle)), Some(length)) = (work.adapter, best.wrench.length) {
        let figures = format!(
            "T = {}, L = {length:.0}, A = {:.0}, θ = {angle:.0}",
            work.units.short_torque(work.target),
            adapter.offset
        );
        reasons.push(Reason::formula(formula::ADAPTER, &figures));
    }
    let assumed = if best.wrench.assumed.is_empty() {
        String::new()
    } else {
        format!("; taken as {}, since the toolbox does not say", best.wrench.assumed.join(", "))
    };
    let text = format!(
        "'{}', {} to {}, ±{} of the reading, half a step of its scale {}{assumed}",
        best.wrench.name,
        best.wrench.from,
        best.wrench.to,
        percent(best.choice.limit),
        percent(best.choice.half_step)
    );
    reasons.push(Reason::new("wrench", text, "ISO 6789"));
    reasons
}

/// The adapter meant, with its angle.
fn adapter_of(
    at_hand: &AtHand,
    toolbox: &[AdapterInHand],
) -> Result<Option<(AdapterInHand, Angle)>, GarageError> {
    let angle = match &at_hand.angle {
        Some(text) => parse_angle(text)?,
        None => Angle::ZERO,
    };
    match &at_hand.adapter {
        Some(typed) => Ok(Some((AdapterInHand::find(typed, toolbox).map_err(GarageError::Input)?, angle))),
        None if at_hand.angle.is_some() => {
            Err(GarageError::Input("an angle needs its adapter: --adapter \"60 mm\" --angle 90".to_owned()))
        }
        None => Ok(None),
    }
}

/// An angle; a bare number is degrees.
pub(super) fn parse_angle(text: &str) -> Result<Angle, GarageError> {
    let text = text.trim();
    let bare = text.ends_with(|c: char| c.is_ascii_digit());
    let typed = if bare { format!("{text}°") } else { text.to_owned() };
    typed.parse().map_err(|why| GarageError::Input(format!("{why}")))
}

/// Only the wrench that was asked for.
fn chosen(wrenches: Vec<WrenchInHand>, name: Option<&str>) -> Result<Vec<WrenchInHand>, GarageError> {
    let Some(name) = name else { return Ok(wrenches) };
    let names: Vec<String> = wrenches.iter().map(|wrench| format!("'{}'", wrench.name)).collect();
    let fits: Vec<_> = wrenches.into_iter().filter(|wrench| wrench.name.contains(name)).collect();
    if fits.is_empty() {
        let known = if names.is_empty() {
            "it has none".to_owned()
        } else {
            format!("there are {}", names.join(", "))
        };
        return Err(GarageError::Input(format!(
            "no torque wrench of the toolbox is called '{name}': {known}"
        )));
    }
    Ok(fits)
}
