//! A fastener that will not come loose: what it bears before it breaks, what to try, when to stop.

use super::figures::{Reason, plain, rough, rough_torque};
use super::subject::{Subject, near, scrap_parts};
use crate::error::GarageError;
use crate::job::Job;
use crate::select;
use crate::sentence::capital;
use crate::units::Units;
use axlestand_fastener::seized::{
    Basis, BreakingTorque, Drive, Limit, LimitKind, Near, RootState, Rung, Situation, Trust, Use, WrenchEnd,
    breaking_torque, drive_limit, ladder, pull_on_bar, safe_loosening_torque, weakest, wrench_proof,
};
use axlestand_fastener::{Place, PropertyClass, Thread, formula};
use axlestand_model::car::{Drive as CarDrive, DriveKind, TorqueSpec};
use axlestand_model::without_side;
use axlestand_quantity::{Length, STANDARD_GRAVITY, Torque};
use serde::Serialize;

/// Tensile strength of a good hexagon key, MPa: about 260 ksi.
const KEY_MPA: f64 = 1790.0;
/// The bar that a pull is told for where none is given, and the spanner for small fasteners.
const USUAL_BAR_MM: f64 = 500.0;
const USUAL_SPANNER_MM: f64 = 200.0;
/// Up to this torque a spanner is told of instead of a bar.
const SPANNER_UP_TO_NM: f64 = 60.0;

/// Steps that twist a brake pipe off.
const FORCE: [&str; 6] = ["rock", "long-bar", "grip", "weld", "cut", "extractor"];
const HOLLOW: &str = "A union or hollow bolt bears far less than a solid one of its thread, and the pipe less still: no figure.";
const HOLLOW_WAY: &str = "impact, long bar, grip: they twist the pipe off. Flare-nut wrench, by hand, tighten a hair, then loosen; after that the pipe is cut and renewed";

/// What the owner says of the place.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct AroundIt {
    near: Vec<Near>,
    left: Option<Length>,
    bar: Option<Length>,
    captive: bool,
}

impl AroundIt {
    /// Reads what was typed: what is near (`rubber`, `hydraulics`, `gas`, `fuel`, `sensor`,
    /// `grease`), the diameter that the rust left, the length of the bar, a captive nut.
    ///
    /// # Errors
    /// [`GarageError::Input`] with what is understood.
    pub fn read(
        near: &[String],
        left: Option<&str>,
        bar: Option<&str>,
        captive: bool,
    ) -> Result<Self, GarageError> {
        let near = near
            .iter()
            .map(|word| {
                Near::from_slug(word.trim()).ok_or_else(|| {
                    let known = Near::ALL.map(Near::slug).join(", ");
                    GarageError::Input(format!("'{word}' is nothing that is heeded; there are {known}"))
                })
            })
            .collect::<Result<_, _>>()?;
        let length = |text: Option<&str>| -> Result<Option<Length>, GarageError> {
            let parsed: Option<Length> =
                text.map(str::parse).transpose().map_err(|why| GarageError::Input(format!("{why}")))?;
            match parsed {
                Some(length) if length.mm() <= 0.0 => {
                    Err(GarageError::Input(format!("{length} is no length")))
                }
                other => Ok(other),
            }
        };
        Ok(Self { near, left: length(left)?, bar: length(bar)?, captive })
    }
}

/// What to know of a stuck fastener.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct StuckView {
    /// The fastener.
    pub item: String,
    /// What to do, in one line.
    pub line: String,
    /// Least torque that breaks it, N·m.
    pub breaks_nm: Option<f64>,
    /// The torque to stop at, N·m.
    pub stop_nm: Option<f64>,
    /// The limits in words: where it breaks, what gives first, the pull on a bar.
    pub limits: Vec<String>,
    /// What is within a hand, and from what it was told.
    pub near: Vec<String>,
    /// The steps to try, in their order.
    pub rungs: Vec<RungView>,
    /// Steps to leave out, with the reason.
    pub left_out: Vec<String>,
    /// Formulas and sources.
    pub reasons: Vec<Reason>,
}

/// One step of the ladder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct RungView {
    /// Its number.
    pub number: u32,
    /// What to do.
    pub instruction: String,
    /// How long or how often.
    pub give: String,
    /// When to stop and go on.
    pub stop: String,
    /// What to beware of.
    pub cautions: Vec<String>,
    /// Where it is from.
    pub source: String,
}

/// What to know of a stuck fastener; `None` for a connection, which has no thread.
///
/// # Errors
/// [`GarageError`] where the selection means nothing, or the rust left more than there was.
pub fn stuck(
    job: &Job,
    selection: &str,
    around: &AroundIt,
    units: Units,
) -> Result<Option<StuckView>, GarageError> {
    let id = select::item(job, selection)?;
    let Some(fastener) = job.car.fastener(&id) else { return Ok(None) };
    let subject = Subject::of(&job.car, fastener);
    let scrap = scrap_parts(job, fastener);
    let broken = job.state.hold(&id).broken;
    let mut within = near(job, fastener);
    for typed in &around.near {
        if !within.iter().any(|(known, _)| known == typed) {
            within.push((*typed, "as you say".to_owned()));
        }
    }
    let situation = Situation {
        fastener_is_scrap: broken,
        // A pinch bolt sits in the part that stays: cutting does not free it.
        part_is_scrap: !scrap.is_empty() && subject.place != Place::PinchJoint,
        captive_nut: around.captive || fastener.captive,
        near: within.iter().map(|(near, _)| *near).collect(),
        class: subject.class,
    };
    let rungs: Vec<Rung> = ladder(&situation);
    let gentle = |rung: &&Rung| !(subject.hydraulic && FORCE.contains(&rung.key));
    let mut view = StuckView {
        item: id.to_string(),
        line: line(job, &subject, &scrap, broken),
        breaks_nm: None,
        stop_nm: None,
        limits: Vec::new(),
        near: within.iter().map(|(near, from)| format!("{near} ({from})")).collect(),
        rungs: rungs.iter().filter(|rung| rung.use_it == Use::Try).filter(gentle).map(rung_view).collect(),
        left_out: left_out(&rungs),
        reasons: Vec::new(),
    };
    if subject.hydraulic {
        view.left_out.push(HOLLOW_WAY.to_owned());
        view.limits.push(HOLLOW.to_owned());
    } else {
        limits(&subject, around, units, &mut view)?;
    }
    Ok(Some(view))
}

fn line(job: &Job, subject: &Subject<'_>, scrap: &[String], broken: bool) -> String {
    let fastener = subject.fastener;
    let stays: Vec<String> = fastener
        .joins
        .iter()
        .filter_map(|id| job.car.part(id))
        .filter(|part| !scrap.contains(&part.name))
        .map(|part| part.name.clone())
        .collect();
    let spare = if stays.is_empty() {
        String::new()
    } else {
        format!(" Keep the blade off what stays: {}.", stays.join(", "))
    };
    match scrap.first() {
        Some(_) if subject.place == Place::PinchJoint && !broken => {
            format!("It sits in what stays: cutting does not free it. Step by step; spare {}.", stays.join(", "))
        }
        Some(part) if fastener.one_use => {
            format!("The {part} is scrap anyway: lose no time, cut.{spare}")
        }
        // What a new part does not bring along is lost with the old one.
        Some(part) => {
            format!("The {part} is scrap anyway: lose no time, cut. Have a new one ready where none comes with the new part: {}.{spare}", without_side(&fastener.name))
        }
        None if broken => format!("It is broken already: cut or drill.{spare}"),
        None if fastener.one_use => {
            "A new one goes in anyway: save the parts, not the fastener. Step by step, and stop where it says stop.".to_owned()
        }
        None => "Step by step, and stop where it says stop: a broken one costs more than the time.".to_owned(),
    }
}

/// Breaking torque, what gives first, and the pull on the bar.
fn limits(
    subject: &Subject<'_>,
    around: &AroundIt,
    units: Units,
    view: &mut StuckView,
) -> Result<(), GarageError> {
    let Some(thread) = subject.thread else {
        view.limits.push("The thread is not in the vehicle file: no breaking torque can be told.".to_owned());
        return Ok(());
    };
    let (class, said) = class_of(subject, thread);
    let root = around.left.map_or(RootState::Sound, RootState::Corroded);
    let breaks = breaking_torque(thread, class, root).map_err(|why| GarageError::Input(why.to_string()))?;
    let stop = safe_loosening_torque(&breaks);
    let mut all = vec![Limit { kind: LimitKind::Shank, torque: stop, trust: Trust::Fair }];
    let drives = [&subject.fastener.drive, &subject.fastener.hold];
    let others: Vec<(Limit, String)> = drives.into_iter().flatten().filter_map(limit_of).collect();
    all.extend(others.iter().map(|(limit, _)| *limit));
    let governs = weakest(&all).map_or(stop, |limit| limit.torque);
    view.breaks_nm = Some(breaks.least.nm());
    view.stop_nm = Some(governs.nm());
    view.limits.push(breaks_line(&said, &breaks, around, units));
    if let Some((limit, what)) = others.iter().find(|(limit, _)| limit.torque <= governs) {
        view.limits.push(format!("{what}, at about {}.", rough_torque(limit.torque, units)));
    }
    view.limits.push(pull_line(governs, around.bar, units)?);
    let specified =
        subject.fastener.torque.as_ref().filter(|spec| spec.is_settled()).and_then(TorqueSpec::largest);
    if let Some(specified) = specified.filter(|specified| *specified >= governs) {
        view.limits.push(format!(
            "It was tightened to {}, of which the face under it took about half: seized in the thread it may break before it moves.",
            units.short_torque(specified)
        ));
    }
    view.reasons.extend(break_reasons(&breaks));
    Ok(())
}

fn breaks_line(said: &str, breaks: &BreakingTorque, around: &AroundIt, units: Units) -> String {
    let rust = match around.left {
        Some(left) => format!("with {left} left"),
        None => "if rust has not eaten it".to_owned(),
    };
    format!("It twists off from about {} on ({said}, {rust}).", rough_torque(breaks.least, units))
}

/// The class to reckon with, and how that is said: the head's, the one that goes with the nut's, or
/// the usual one.
fn class_of(subject: &Subject<'_>, thread: Thread) -> (PropertyClass, String) {
    if let Some(class) = subject.class {
        return (class, format!("class {class}"));
    }
    let nut = subject.fastener.class.as_deref().map(str::trim);
    let partner = match nut {
        Some("8") => Some(PropertyClass::Iso8_8),
        Some("10") => Some(PropertyClass::Iso10_9),
        Some("12") => Some(PropertyClass::Iso12_9),
        _ => None,
    };
    match (partner, nut) {
        (Some(class), Some(nut)) => {
            (class, format!("reckoned as {class}, the bolt that a class {nut} nut is made for"))
        }
        _ => {
            let class = usual_class(thread);
            (class, format!("class not known, reckoned as {class} though a softer one breaks earlier"))
        }
    }
}

/// The pull on a bar that makes the torque to stop at.
pub(super) fn pull_line(stop: Torque, bar: Option<Length>, units: Units) -> Result<String, GarageError> {
    let bar = match bar {
        Some(bar) => bar,
        None => Length::from_mm(if stop.nm() <= SPANNER_UP_TO_NM { USUAL_SPANNER_MM } else { USUAL_BAR_MM })
            .map_err(|why| GarageError::Input(why.to_string()))?,
    };
    let pull = pull_on_bar(stop, bar).map_err(|why| GarageError::Input(why.to_string()))?;
    // What weighs a pound pulls with a pound-force.
    let (pull, weight) = match units.figure_in(pull.n(), 0, "N") {
        (newtons, _, "N") => {
            (format!("{} N", rough(newtons)), format!("{} kg", rough(newtons / STANDARD_GRAVITY)))
        }
        (pounds, _, unit) => (format!("{} {unit}", rough(pounds)), format!("{} lb", rough(pounds))),
    };
    let bar = match units {
        Units::Metric => format!("{} mm", plain(bar.mm(), 0)),
        Units::Inch => units.on_tape(bar.mm()),
    };
    Ok(format!(
        "Stop at {}: {pull}, the weight of {weight}, at the end of a bar of {bar}. A jerk makes several times as much.",
        rough_torque(stop, units)
    ))
}

pub(super) fn break_reasons(breaks: &BreakingTorque) -> Vec<Reason> {
    vec![
        Reason::formula(formula::BREAKING, basis(breaks.basis)),
        Reason::new(
            "where to stop",
            "0.8 of that, a proposal of this project: no standard gives a share",
            "",
        ),
        Reason::new(
            "loosening torque",
            "rust has no known friction: how much it takes cannot be told beforehand",
            "",
        ),
    ]
}

/// What a breaking torque stands on.
pub(super) fn basis(basis: Basis) -> &'static str {
    match basis {
        Basis::Iso898Part7 => "within ISO 898-7",
        Basis::ComputedBeyond => {
            "computed: beyond the table of ISO 898-7, which ends at M10 and holds for sound 8.8 to 12.9"
        }
        Basis::ComputedNominalRoot => {
            "computed from the nominal root: beyond ISO 898-7, so rather less than more"
        }
    }
}

/// The commonest class on a car, where the head says nothing.
pub(super) fn usual_class(thread: Thread) -> PropertyClass {
    if thread.is_metric() { PropertyClass::Iso8_8 } else { PropertyClass::Sae5 }
}

/// What a drive bears, with what gives there.
pub(super) fn limit_of(drive: &CarDrive) -> Option<(Limit, String)> {
    let number = || drive.to_string().trim_start_matches(|c: char| !c.is_ascii_digit()).parse::<u32>().ok();
    match drive.kind {
        DriveKind::InnerLobe => {
            let limit = drive_limit(Drive::Torx(number()?)).ok()?;
            Some((limit, format!("The bit {drive} gives first")))
        }
        DriveKind::InnerHex => {
            let across_flats = drive.across_flats?;
            let limit = drive_limit(Drive::HexKey { across_flats, tensile_mpa: KEY_MPA }).ok()?;
            Some((limit, format!("The key for {drive} gives first")))
        }
        DriveKind::Hex => Some((
            wrench_proof(drive.across_flats?, WrenchEnd::Ring).ok()?,
            format!("A ring wrench or socket for {drive} is tested no further"),
        )),
        DriveKind::Flats => Some((
            wrench_proof(drive.across_flats?, WrenchEnd::Open).ok()?,
            format!("An open-ended wrench on {drive} is tested no further"),
        )),
        _ => None,
    }
}

fn rung_view(rung: &Rung) -> RungView {
    RungView {
        number: rung.number,
        instruction: capital(rung.instruction).trim_end_matches('.').to_owned(),
        give: rung.give.to_owned(),
        stop: rung.stop.to_owned(),
        cautions: rung.cautions.iter().map(ToString::to_string).collect(),
        source: rung.source.to_owned(),
    }
}

/// The steps left out, those with the same reason together.
fn left_out(rungs: &[Rung]) -> Vec<String> {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for rung in rungs {
        let Use::Skip(why) = &rung.use_it else { continue };
        let why = why.to_string();
        match groups.iter_mut().find(|(known, _)| *known == why) {
            Some((_, keys)) => keys.push(rung.key),
            None => groups.push((why, vec![rung.key])),
        }
    }
    groups.into_iter().map(|(why, keys)| format!("{}: {why}", keys.join(", "))).collect()
}
