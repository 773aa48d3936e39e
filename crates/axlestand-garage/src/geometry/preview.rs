//! What another height does to the wheel angles, before anything is turned.

use super::corner::{axle, corner, known_corner, lacking};
use super::figures::{CornerFigures, InputView, spread};
use super::joints::{JointView, joints, racks};
use super::now::{Latest, end, latest};
use super::targets::{band_text, target, verdict};
use super::tie_rod::{flats, thread_pitch, toe_per_mm};
use super::typed;
use super::whole::{approximation, whole_axle};
use super::whole_preview::whole_preview;
use crate::error::GarageError;
use crate::job::Job;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::springs::aim_change;
use axlestand_model::car::{Axle, Car};
use axlestand_model::{AxleEnd, Hand, ReadingKind};
use axlestand_quantity::{Band, Length};
use serde::Serialize;

/// What is wanted, as typed: how much lower; a minus raises the car.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PreviewWanted {
    /// Both axles.
    pub lower: Option<String>,
    /// The front axle, where it differs.
    pub front: Option<String>,
    /// The rear axle, where it differs.
    pub rear: Option<String>,
}

/// One angle or length before and after.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct AngleView {
    /// What.
    pub name: String,
    /// Its unit.
    pub unit: &'static str,
    /// Digits that mean something.
    pub places: usize,
    /// Before.
    pub before: Option<f64>,
    /// Where that comes from.
    pub from: String,
    /// Its change.
    pub change: f64,
    /// Half the spread of the change from typical inputs.
    pub change_spread: Option<f64>,
    /// After.
    pub after: Option<f64>,
    /// Standard uncertainty of the value after, where the one before has one.
    pub u: Option<f64>,
    /// The target with its source.
    pub target: Option<String>,
    /// Whether it is met.
    pub verdict: Option<String>,
    /// Probability that it is met.
    pub probability: Option<f64>,
}

/// One axle.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct AxlePreview {
    /// `front` or `rear`.
    pub axle: String,
    /// How much lower, mm.
    pub lower: f64,
    /// Angles and lengths.
    pub angles: Vec<AngleView>,
    /// What to adjust, by how much.
    pub adjust: Vec<String>,
    /// Joints and shafts over the travel that is left.
    pub joints: Vec<JointView>,
    /// Why there are no angles.
    pub missing: Option<String>,
    /// Every input with its origin.
    pub inputs: Vec<InputView>,
}

/// What lowering does.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PreviewView {
    /// The car.
    pub car: String,
    /// The axles.
    pub axles: Vec<AxlePreview>,
    /// Change of the headlamps' aim, percent, up positive; `None` where the wheelbase is not known.
    pub aim_percent: Option<f64>,
    /// Things to know.
    pub notes: Vec<String>,
}

/// What lowering does to the wheel angles.
///
/// # Errors
/// [`GarageError::Input`] for what is not understood.
pub fn preview(car: &Car, job: Option<&Job>, wanted: &PreviewWanted) -> Result<PreviewView, GarageError> {
    let millimetres = |what: &str, text: &Option<String>| {
        text.as_deref().map(|text| typed::millimetres(what, text, -150.0..=150.0)).transpose()
    };
    let both = millimetres("--lower", &wanted.lower)?;
    let lower =
        [millimetres("--front", &wanted.front)?.or(both), millimetres("--rear", &wanted.rear)?.or(both)];
    if lower.iter().all(Option::is_none) {
        return Err(GarageError::Input(
            "say how much lower: --lower 30 (mm), or --front and --rear; a minus raises".to_owned(),
        ));
    }
    let lower = lower.map(|l| l.unwrap_or(0.0));
    let (mut axles, mut notes) = (Vec::new(), Vec::new());
    for (name, lower) in ["front", "rear"].into_iter().zip(lower) {
        if let Ok(axle) = axle(car, name) {
            axles.push(axle_preview(car, job, axle, lower));
            notes.extend(approximation(axle).filter(|_| axles.last().is_some_and(|a| a.missing.is_none())));
        }
    }
    if axles.is_empty() {
        return Err(GarageError::Input(
            "the vehicle file describes no axle: write [axle.front] with its layout and hardpoints"
                .to_owned(),
        ));
    }
    let length = |mm: f64| Length::from_mm(mm).ok();
    let aim = || aim_change(length(-lower[0])?, length(-lower[1])?, car.wheelbase?).ok();
    Ok(PreviewView {
        car: car.name.clone(),
        axles,
        aim_percent: aim().map(|aim| aim.percent),
        notes: notes.into_iter().chain([
            "In tolerance is said as the chance that the true value is within (normal distribution, JCGM 106), with the uncertainty of the reading; read again after any change.".to_owned(),
            "Tyre clearance, brake hoses and what the law allows are not in it. 'axlestand set height' says where collars go and whether the springs stay held.".to_owned(),
        ]).collect(),
    })
}

fn axle_preview(car: &Car, job: Option<&Job>, axle: &Axle, lower: f64) -> AxlePreview {
    let mut view = AxlePreview {
        axle: axle.name.clone(),
        lower,
        angles: Vec::new(),
        adjust: Vec::new(),
        joints: Vec::new(),
        missing: lacking(axle),
        inputs: Vec::new(),
    };
    if let Ok(Some((figures, whole))) = whole_axle(car, axle) {
        return whole_preview(car, job, axle, view, (&figures, &whole));
    }
    let Some((figures, left)) = known_corner(car, axle) else { return view };
    let from = travel_now(job, axle).unwrap_or(0.0);
    let to = from + lower;
    let trouble = [from, to].into_iter().find_map(|travel| left.at(travel, 0.0).err());
    if let Some(trouble) = trouble {
        view.missing = Some(format!("the wheel does not get there: {trouble}"));
        return view;
    }
    let Some(changes) = Changes::of(&figures, from, to) else { return view };
    let spreads = spread(&figures, |f| Some(Changes::of(f, from, to)?.vector()));
    let spread_of = |i: usize| spreads.as_ref().and_then(|s| s.get(i).copied().flatten());
    view.angles = angles(car, job, axle, &changes, &spread_of);
    view.adjust = adjust(car, axle, &figures, to, &view.angles);
    let ends = left.travel_ends().ok();
    let mut travels = vec![from, to];
    travels.extend(ends.and_then(|e| e.droop));
    travels.extend(ends.and_then(|e| e.bump).filter(|bump| *bump > to));
    view.joints = joints(axle, &left, &travels, &racks(axle));
    if let Some(bump) = ends.and_then(|e| e.bump) {
        view.adjust.push(format!("{:.0} mm of travel are left to the bump stop", bump - to));
    }
    view.inputs = figures.views();
    view
}

/// Wheel travel now from where the points were taken: the mean of left and right.
pub(super) fn travel_now(job: Option<&Job>, axle: &Axle) -> Option<f64> {
    let reference = axle.hub_to_arch?.mm();
    let read = |hand| latest(job?, ReadingKind::Height, end(&axle.name), Some(hand)).map(|l| l.value);
    Some(reference - (read(Hand::Left)? + read(Hand::Right)?) / 2.0)
}

/// Values before and after, left wheel, in the order of [`NAMES`].
pub(super) struct Changes {
    pub(super) before: [Option<f64>; 9],
    pub(super) after: [Option<f64>; 9],
}

const NAMES: [(&str, &str, usize); 9] = [
    ("camber", "°", 2),
    ("total toe", "°", 2),
    ("caster", "°", 2),
    ("steering-axis inclination", "°", 2),
    ("track", "mm", 1),
    ("roll centre above ground", "mm", 0),
    ("bump steer of a wheel, per 10 mm up", "°", 3),
    ("scrub radius", "mm", 1),
    ("roll steer, per ° of roll", "°", 3),
];

/// The place of the track in [`NAMES`].
const TRACK: usize = 4;

impl Changes {
    fn of(figures: &CornerFigures, from: f64, to: f64) -> Option<Self> {
        let corner = corner(figures, Side::Left)?;
        let at = |travel: f64| {
            let (_, o) = corner.at(travel, 0.0).ok()?;
            Some([
                Some(o.camber),
                Some(2.0 * o.toe),
                o.caster,
                o.inclination,
                Some(2.0 * o.half_track),
                o.roll_centre,
                Some(10.0 * o.toe_rate),
                o.scrub_radius,
                None,
            ])
        };
        Some(Self { before: at(from)?, after: at(to)? })
    }

    pub(super) fn vector(&self) -> Vec<Option<f64>> {
        self.before.iter().zip(&self.after).map(|(b, a)| Some((*a)? - (*b)?)).collect()
    }
}

/// Which output is read by which kind of reading, and for which hands.
type Source<'a> = (usize, Option<ReadingKind>, &'a [Option<Hand>]);

pub(super) fn angles(
    car: &Car,
    job: Option<&Job>,
    axle: &Axle,
    changes: &Changes,
    spread: &dyn Fn(usize) -> Option<f64>,
) -> Vec<AngleView> {
    let mut all = Vec::new();
    let at = end(&axle.name);
    let sources: [Source<'_>; 3] = [
        (0, Some(ReadingKind::Camber), &[Some(Hand::Left), Some(Hand::Right)]),
        (1, Some(ReadingKind::Toe), &[None]),
        (2, Some(ReadingKind::Caster), &[Some(Hand::Left), Some(Hand::Right)]),
    ];
    for (i, (name, unit, places)) in NAMES.into_iter().enumerate() {
        let Some(change) = changes.after[i].zip(changes.before[i]).map(|(a, b)| a - b) else { continue };
        let kind = sources.iter().find(|(place, ..)| *place == i);
        let hands = kind.map_or(&[None][..], |(_, _, hands)| hands);
        let mut rows = Vec::new();
        for hand in hands {
            let read = kind.and_then(|(_, kind, _)| latest(job?, (*kind)?, at, *hand));
            let target = kind.and_then(|(_, kind, _)| target(car, (*kind)?, at, *hand));
            let name = hand.map_or_else(|| name.to_owned(), |hand| format!("{name}, {}", hand.phrase()));
            let track = if at == AxleEnd::Front { car.track_front } else { car.track_rear };
            // The hardpoints tell how the track changes; how wide it is, the file says.
            let file = match i {
                TRACK => track.map(|width| width.mm() + changes.before[i].unwrap_or_default()),
                _ => changes.before[i],
            };
            let base = Base { name, unit, places, change, spread: spread(i), read, file };
            rows.push(base.view(target.and_then(|t| Some((t.band?, t.provenance.to_string())))));
        }
        // Left and right alike are one row.
        if let [a, b] = rows.as_slice()
            && (a.before, &a.target, &a.from) == (b.before, &b.target, &b.from)
        {
            let name = format!("{name}, each side");
            rows = vec![AngleView { name, ..a.clone() }];
        }
        all.extend(rows);
    }
    all
}

/// What a row is made of.
struct Base {
    name: String,
    unit: &'static str,
    places: usize,
    change: f64,
    spread: Option<f64>,
    read: Option<Latest>,
    file: Option<f64>,
}

impl Base {
    fn view(self, target: Option<(Band, String)>) -> AngleView {
        let before = self.read.as_ref().map(|r| r.value).or(self.file);
        let u_before = self.read.as_ref().map(|r| r.u);
        let after = before.map(|b| b + self.change);
        let u = u_before.map(|u| u.hypot(self.spread.unwrap_or(0.0)));
        let judged =
            target.as_ref().zip(after).map(|((band, _), after)| verdict(*band, after, u.unwrap_or(0.0)));
        AngleView {
            name: self.name,
            unit: self.unit,
            places: self.places,
            before,
            from: self.read.map_or_else(|| "from the hardpoints".to_owned(), |r| r.from),
            change: self.change,
            change_spread: self.spread,
            after,
            u,
            target: target.map(|(band, from)| format!("{} [{from}]", band_text(band, self.unit))),
            probability: judged.as_ref().map(|(p, _)| *p),
            verdict: judged.map(|(_, text)| text),
        }
    }
}

/// What to turn so that toe comes back to its target, and what of camber can be said.
fn adjust(car: &Car, axle: &Axle, figures: &CornerFigures, travel: f64, angles: &[AngleView]) -> Vec<String> {
    let mut all = Vec::new();
    let at = end(&axle.name);
    let toe = angles.iter().find(|a| a.name == "total toe");
    let aim = target(car, ReadingKind::Toe, at, None).and_then(|t| t.band);
    if let (Some(toe), Some(per_mm)) = (toe, toe_per_mm(figures, travel)) {
        let (wanted, word) = match (aim, toe.after) {
            (Some(band), Some(after)) => (band.nominal() - after, "to the middle of its tolerance"),
            _ => (-toe.change, "back to where it was"),
        };
        let each = wanted / 2.0 / per_mm;
        let way = if each >= 0.0 { "longer" } else { "shorter" };
        let turns = thread_pitch(car, at).map_or_else(String::new, |(pitch, from)| {
            let turns = each.abs() / pitch;
            format!(
                ": {turns:.2} turn, {} of the tie rod each [thread pitch {pitch} mm, {from}]",
                flats(turns)
            )
        });
        all.push(format!("total toe {wanted:+.2}° {word}: both tie rods {:.1} mm {way}{turns}", each.abs()));
    }
    for camber in angles.iter().filter(|a| a.name.starts_with("camber")) {
        let out = camber.probability.is_some_and(|p| p < 0.5);
        if out {
            all.push(format!(
                "{}: the file describes no adjuster for it; slotted holes, camber bolts or top mounts of this car's maker decide",
                camber.name
            ));
        }
    }
    all
}
