//! What to set so that camber and toe come to their targets: which adjuster, which way and by how
//! much, and what the tie rods have to do then. Every number is of the corner solved anew with the
//! settings on it.

use super::adjusters::{parts, unit, way};
use super::advice_words::{NO_ADJUSTER, both_line, rods_text, setting_line, solved_line};
use super::angles::AngleView;
use super::corner::corner;
use super::corner_figures::CornerFigures;
use super::now::end;
use super::targets::target;
use super::tie_rod::{thread_pitch, toe_per_mm};
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{CornerSpec, NoSetting, Outputs, Settled, WheelSet, WheelToSet, settle};
use axlestand_model::car::{Adjuster, Axle, Car};
use axlestand_model::{Hand, Origin, ReadingKind};
use axlestand_quantity::Band;
use serde::Serialize;

/// One adjuster with the setting it needs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SettingView {
    /// `left`, `right`, or `both` for an adjuster of both wheels at once.
    pub wheel: &'static str,
    /// Its name in the file.
    pub adjuster: String,
    /// What a mechanic calls it.
    pub name: String,
    /// From where it stands, in its unit.
    pub setting: f64,
    /// `°` or `mm`.
    pub unit: &'static str,
    /// Its range, from where it stood as the points were taken.
    pub range: [f64; 2],
    /// Which way and by how much, in words.
    pub way: String,
    /// Whether the range suffices.
    pub enough: bool,
    /// Camber that comes of it with the tie rods set, degrees: left and right for both wheels.
    pub camber: Vec<f64>,
    /// What it does to the toe of a wheel by itself, degrees.
    pub toe_by_itself: Vec<f64>,
    /// Where the range comes from.
    pub from: String,
    /// Whether the range is only typical: not this car's.
    pub typical: bool,
}

/// One tie rod with what it needs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct TieRodSetting {
    /// `left` or `right`.
    pub wheel: &'static str,
    /// How much longer, mm.
    pub longer: f64,
    /// The same in turns of its thread, where the pitch is known.
    pub turns: Option<f64>,
    /// Change of this wheel's toe from before anything is set, degrees.
    pub toe_change: f64,
}

/// What to set at an axle.
#[derive(Debug, Default)]
pub(super) struct Advice {
    pub(super) lines: Vec<String>,
    pub(super) settings: Vec<SettingView>,
    pub(super) tie_rods: Vec<TieRodSetting>,
}

/// An axle whose angles are to be set.
pub(super) struct AxleToSet<'a> {
    pub(super) car: &'a Car,
    pub(super) axle: &'a Axle,
    pub(super) figures: &'a CornerFigures,
    /// Wheel travel at which it stands then, mm.
    pub(super) travel: f64,
    pub(super) angles: &'a [AngleView],
    /// The user's units.
    pub(super) units: Units,
}

pub(super) const HANDS: [Hand; 2] = [Hand::Left, Hand::Right];
const SIDES: [Side; 2] = [Side::Left, Side::Right];

/// Smallest change of an angle that is told or, of camber, set back where the file has no target, degrees: less is not read
/// off a car (a judgement).
pub(super) const SMALLEST: f64 = 0.05;

/// What camber is to become.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wish {
    pub(super) now: f64,
    pub(super) aim: f64,
    pub(super) band: Option<Band>,
    /// The standard uncertainty of what it is now, degrees.
    pub(super) u: f64,
    /// Whether anything has to be done: else it may stay.
    out: bool,
}

/// A wheel before anything is set.
pub(super) struct Wheel {
    spec: CornerSpec,
    pub(super) before: Outputs,
    pub(super) wish: Option<Wish>,
}

impl Wheel {
    /// Its camber before anything is set, degrees: as it was read, else as the file has it.
    pub(super) fn camber_now(&self) -> f64 {
        self.wish.map_or(self.before.camber, |wish| wish.now)
    }
}

/// How one adjuster was set: at which wheels, with what result.
struct Chosen<'a> {
    adjuster: &'a Adjuster,
    wheels: Vec<usize>,
    settled: Settled,
}

impl AxleToSet<'_> {
    /// Everything that is to be set, camber first, toe last.
    pub(super) fn advice(&self) -> Advice {
        let mut advice = Advice::default();
        let Some(wheels) = self.wheels() else { return advice };
        let toe = self.toe_wish();
        let toe_each = toe.map_or(0.0, |(wanted, _)| wanted / 2.0);
        let chosen = self.chosen(&wheels, toe_each);
        for chosen in &chosen {
            let view = self.setting_view(chosen, &wheels);
            advice.settings.push(view);
        }
        self.camber_lines(&wheels, &chosen, &mut advice);
        if let Some((wanted, word)) = toe {
            self.toe_lines(&wheels, &chosen, (wanted, word), &mut advice);
        }
        advice
    }

    fn wheels(&self) -> Option<[Wheel; 2]> {
        let wheel = |i: usize| {
            let corner = corner(self.figures, SIDES[i])?;
            let (_, before) = corner.at(self.travel, 0.0).ok()?;
            Some(Wheel { spec: corner.spec().clone(), before, wish: self.camber_wish(HANDS[i]) })
        };
        Some([wheel(0)?, wheel(1)?])
    }

    fn camber_wish(&self, hand: Hand) -> Option<Wish> {
        let own = format!("camber, {}", hand.phrase());
        let row = self.angles.iter().find(|row| row.name == own || row.name == "camber, each side")?;
        let now = row.after?;
        let of_file = target(self.car, ReadingKind::Camber, end(&self.axle.name), Some(hand));
        let band = of_file.and_then(|target| target.band);
        let u = row.u.or(row.change_spread).unwrap_or(0.0);
        Some(match band {
            Some(band) => Wish { now, aim: band.nominal(), band: Some(band), u, out: row.to_be_set },
            None => Wish { now, aim: now - row.change, band: None, u, out: row.change.abs() >= SMALLEST },
        })
    }

    /// By how much total toe is to change, with the reason.
    fn toe_wish(&self) -> Option<(f64, &'static str)> {
        toe_per_mm(self.figures, Side::Left, self.travel)?;
        let toe = self.angles.iter().find(|a| a.name == "total toe")?;
        let aim = target(self.car, ReadingKind::Toe, end(&self.axle.name), None).and_then(|t| t.band);
        Some(match (aim, toe.after) {
            (Some(band), Some(after)) => (band.nominal() - after, "to the middle of its tolerance"),
            _ => (-toe.change, "back to where it was"),
        })
    }

    /// Total toe before anything is set, degrees.
    fn toe_after(&self) -> f64 {
        self.angles.iter().find(|a| a.name == "total toe").and_then(|a| a.after).unwrap_or_default()
    }

    fn to_set(&self, wheel: &Wheel, adjuster: Option<(&Adjuster, Side)>, toe: f64) -> Option<WheelToSet> {
        let parts = match adjuster {
            Some((adjuster, side)) => parts(adjuster, wheel.spec.layout, side)?,
            None => Vec::new(),
        };
        let camber = wheel.wish.map_or(0.0, |wish| wish.aim - wish.now);
        Some(WheelToSet {
            spec: wheel.spec.clone(),
            parts,
            travel: self.travel,
            camber: wheel.before.camber + camber,
            toe: wheel.before.toe + toe,
        })
    }

    /// The adjusters to use: for each wheel that is out, of those that it has to itself the first that
    /// suffices, else the one that comes nearest; where it has none, one of both wheels.
    fn chosen(&self, wheels: &[Wheel; 2], toe: f64) -> Vec<Chosen<'_>> {
        let out = |i: usize| wheels[i].wish.is_some_and(|wish| wish.out);
        let mut all: Vec<Chosen<'_>> =
            (0..2).filter(|i| out(*i)).filter_map(|i| self.best(wheels, &[i], toe)).collect();
        if all.is_empty() && (out(0) || out(1)) {
            all.extend(self.best(wheels, &[0, 1], toe));
        }
        all
    }

    fn best(&self, wheels: &[Wheel; 2], which: &[usize], toe: f64) -> Option<Chosen<'_>> {
        let both = which.len() == 2;
        let mut best: Option<(f64, Chosen<'_>)> = None;
        for adjuster in self.axle.adjusters.iter().filter(|adjuster| adjuster.both_sides == both) {
            let to_set: Option<Vec<WheelToSet>> =
                which.iter().map(|i| self.to_set(&wheels[*i], Some((adjuster, SIDES[*i])), toe)).collect();
            let Some(to_set) = to_set else { continue };
            let Ok(settled) = settle(&to_set, (adjuster.from, adjuster.to)) else { continue };
            let misses = to_set.iter().zip(&settled.wheels).map(|(w, s)| (w.camber - s.outputs.camber).abs());
            let miss = misses.fold(0.0, f64::max);
            let mut sets = which.iter().zip(&settled.wheels);
            // One of both wheels that would stay where it is brings neither nearer.
            let still = both && settled.setting.abs() < 1e-3 * (adjuster.to - adjuster.from);
            let moved = !still && sets.any(|(i, set)| moves_camber(set, &wheels[*i], adjuster));
            if moved && best.as_ref().is_none_or(|(least, known)| !known.settled.enough && miss < *least) {
                best = Some((miss, Chosen { adjuster, wheels: which.to_vec(), settled }));
            }
        }
        best.map(|(_, chosen)| chosen)
    }

    fn setting_view(&self, chosen: &Chosen<'_>, wheels: &[Wheel; 2]) -> SettingView {
        let Chosen { adjuster, settled, .. } = chosen;
        let pairs = || chosen.wheels.iter().map(|i| &wheels[*i]).zip(&settled.wheels);
        let camber =
            |wheel: &Wheel, set: &WheelSet| wheel.camber_now() + set.outputs.camber - wheel.before.camber;
        let first = chosen.wheels.first().copied().unwrap_or_default();
        let leans =
            settled.wheels.first().map_or(0.0, |set| set.by_itself.camber - wheels[first].before.camber);
        SettingView {
            wheel: if chosen.wheels.len() == 2 { "both" } else { HANDS[first].word() },
            adjuster: adjuster.key.clone(),
            name: adjuster.name.clone(),
            setting: settled.setting,
            unit: unit(adjuster),
            range: [adjuster.from, adjuster.to],
            way: way(adjuster, (wheels[first].spec.layout, SIDES[first]), settled.setting, leans, self.units),
            enough: settled.enough,
            camber: pairs().map(|(wheel, set)| camber(wheel, set)).collect(),
            toe_by_itself: pairs().map(|(wheel, set)| set.by_itself.toe - wheel.before.toe).collect(),
            from: adjuster.provenance.to_string(),
            typical: adjuster.provenance.origin == Origin::Typical,
        }
    }

    fn camber_lines(&self, wheels: &[Wheel; 2], chosen: &[Chosen<'_>], advice: &mut Advice) {
        let views = advice.settings.clone();
        if let ([view], [Chosen { wheels: which, adjuster, .. }]) = (views.as_slice(), chosen)
            && which.len() == 2
        {
            advice.lines.push(both_line(view, adjuster, wheels, self.units));
            return;
        }
        let line = |i: usize| {
            let wish = wheels[i].wish.filter(|wish| wish.out)?;
            let found = chosen.iter().position(|chosen| chosen.wheels == [i]);
            match found.and_then(|at| Some((views.get(at)?, chosen.get(at)?))) {
                Some((view, chosen)) => Some(setting_line(view, chosen.adjuster, wish, self.units)),
                None if wish.band.is_some() => Some(NO_ADJUSTER.to_owned()),
                None => None,
            }
        };
        let (left, right) = (line(0), line(1));
        let alike = self.angles.iter().any(|row| row.name == "camber, each side") && left == right;
        let named = |what: &str, text: String| format!("camber, {what}: {text}");
        match (left, right) {
            (Some(text), Some(_)) if alike => advice.lines.push(named("each side", text)),
            (left, right) => {
                let both = HANDS.into_iter().zip([left, right]);
                advice.lines.extend(both.filter_map(|(hand, text)| Some(named(hand.phrase(), text?))));
            }
        }
    }

    fn toe_lines(
        &self,
        wheels: &[Wheel; 2],
        chosen: &[Chosen<'_>],
        (wanted, word): (f64, &str),
        advice: &mut Advice,
    ) {
        let rods = [0, 1].map(|i| self.rod(&wheels[i], i, chosen, wanted / 2.0));
        let [left, right] = match rods {
            [Ok(left), Ok(right)] => [left, right],
            [Err(why), _] | [_, Err(why)] => {
                let why = why.said(self.units.lengths());
                advice.lines.push(format!("total toe {wanted:+.2}° {word}: {why}"));
                return;
            }
        };
        let pitch = thread_pitch(self.car, end(&self.axle.name));
        for (i, set) in [left, right].iter().enumerate() {
            advice.tie_rods.push(TieRodSetting {
                wheel: HANDS[i].word(),
                longer: set.tie_rod,
                turns: pitch.as_ref().map(|(pitch, _)| set.tie_rod / pitch),
                toe_change: set.outputs.toe - wheels[i].before.toe,
            });
        }
        let taken: f64 = advice.settings.iter().flat_map(|view| &view.toe_by_itself).sum();
        let turned = advice.settings.iter().any(|view| view.setting.abs() > 1e-3);
        let counted = if !turned { "" } else { ", counting the toe that the camber setting brings" };
        advice.lines.push(format!(
            "total toe {:+.2}° {word}{counted}: {}",
            wanted - taken,
            rods_text(
                &advice.tie_rods,
                pitch.as_ref().map(|(pitch, from)| (*pitch, from.as_str())),
                self.units
            )
        ));
        if turned {
            advice.lines.push(solved_line(wheels, [&left, &right], self.toe_after()));
        }
    }

    /// The tie rod of one wheel: as the camber setting found it, else by itself.
    fn rod(&self, wheel: &Wheel, i: usize, chosen: &[Chosen<'_>], toe: f64) -> Result<WheelSet, NoSetting> {
        for chosen in chosen {
            if let Some(at) = chosen.wheels.iter().position(|wheel| *wheel == i)
                && let Some(set) = chosen.settled.wheels.get(at)
            {
                return Ok(*set);
            }
        }
        let alone = self.to_set(wheel, None, toe).ok_or(NoSetting::Toe { toe })?;
        let settled = settle(&[alone], (0.0, 0.0))?;
        settled.wheels.first().copied().ok_or(NoSetting::Toe { toe })
    }
}

/// Whether an adjuster has camber to give: something came of it, or would come of its range.
fn moves_camber(set: &WheelSet, wheel: &Wheel, adjuster: &Adjuster) -> bool {
    let moved = (set.by_itself.camber - wheel.before.camber).abs();
    moved.max(set.camber_slope.abs() * (adjuster.to - adjuster.from)) > SMALLEST
}
