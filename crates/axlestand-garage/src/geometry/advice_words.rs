//! What to set, in sentences.

use super::adjusters::range_text;
use super::advice::{HANDS, SMALLEST, SettingView, TieRodSetting, Wheel, Wish};
use super::targets::{judged, limits, verdict};
use super::tie_rod::flats;
use crate::units::Units;
use axlestand_geometry::estimation::conformity::Zone;
use axlestand_geometry::kinematics::WheelSet;
use axlestand_model::car::Adjuster;

/// What is said of camber where nothing in the file brings it nearer.
pub(super) const NO_ADJUSTER: &str = "the file describes no adjuster for it; see whether this car's maker offers slotted holes, camber bolts or other top mounts";

impl Wish {
    /// What it aims at.
    fn words(&self) -> &'static str {
        if self.band.is_some() { "the middle of its tolerance" } else { "what it was" }
    }
}

fn range_words(view: &SettingView, adjuster: &Adjuster, units: Units) -> String {
    let look_up = if view.typical { ", not this car's: look it up" } else { "" };
    format!("range {} [{}{look_up}]", range_text(adjuster, units), view.from)
}

/// One adjuster of one wheel: what is wanted, which way, and what comes of it.
pub(super) fn setting_line(view: &SettingView, adjuster: &Adjuster, wish: Wish, units: Units) -> String {
    let camber = view.camber.first().copied().unwrap_or_default();
    let toe = view.toe_by_itself.first().copied().unwrap_or_default();
    let (name, way, range) = (&view.name, &view.way, range_words(view, adjuster, units));
    let wanted = format!("{:.2}°, wanted {:.2}° ({}). With the {name}: ", wish.now, wish.aim, wish.words());
    if !view.enough && view.setting.abs() < 1e-3 {
        return format!("{wanted}it stands at the end of its range that way already ({range})");
    }
    let takes = format!("By itself that moves this wheel's toe by {toe:+.2}°.");
    if view.enough {
        return format!("{wanted}{way} ({range}). {takes}");
    }
    let decision = wish.band.and_then(limits).and_then(|limits| judged(limits, camber, wish.u));
    let after = decision.map_or_else(
        || "as near as it comes".to_owned(),
        |decision| {
            let better =
                if decision.zone == Zone::In { "" } else { ", and the file describes nothing better" };
            format!("{}{better}", verdict(decision))
        },
    );
    format!(
        "{wanted}its range does NOT suffice. As far as it helps, {way} ({range}): camber {camber:.2}°, {after}. {takes}"
    )
}

/// One adjuster of both wheels: it shares camber out between them.
pub(super) fn both_line(
    view: &SettingView,
    adjuster: &Adjuster,
    wheels: &[Wheel; 2],
    units: Units,
) -> String {
    let sides = HANDS.into_iter().zip(wheels).zip(&view.camber).zip(&view.toe_by_itself);
    let told: Vec<String> = sides
        .map(|(((hand, wheel), camber), toe)| {
            let now = wheel.camber_now();
            format!("{} {now:.2}° becomes {camber:.2}° (toe by {toe:+.2}° with it)", hand.phrase())
        })
        .collect();
    let short =
        if view.enough { "" } else { "; both wheels move as one, so nothing nearer can be had with it" };
    format!(
        "camber: {}, {} ({}): {}{short}",
        view.name,
        view.way,
        range_words(view, adjuster, units),
        told.join(", ")
    )
}

/// Both tie rods in words: alike in one, else each by itself.
pub(super) fn rods_text(rods: &[TieRodSetting], pitch: Option<(f64, &str)>, units: Units) -> String {
    let length = |rod: &TieRodSetting| units.length(rod.longer.abs(), 1);
    let way = |rod: &TieRodSetting| if rod.longer >= 0.0 { "longer" } else { "shorter" };
    let turns = |rod: &TieRodSetting| {
        rod.turns
            .map_or_else(String::new, |turns| format!(": {:.2} turn, {}", turns.abs(), flats(turns.abs())))
    };
    let thread = pitch
        .map_or_else(String::new, |(pitch, from)| format!(" [thread pitch {}, {from}]", units.pitch(pitch)));
    match rods {
        [left, right] if (left.longer - right.longer).abs() < 0.005 => {
            let each = if pitch.is_some() { " of the tie rod each" } else { "" };
            format!("both tie rods {} {}{}{each}{thread}", length(left), way(left), turns(left))
        }
        rods => {
            let one = |rod: &TieRodSetting| {
                format!("{} tie rod {} {}{}", rod.wheel, length(rod), way(rod), turns(rod))
            };
            format!("{}{thread}", rods.iter().map(one).collect::<Vec<_>>().join("; "))
        }
    }
}

/// What both wheels show with everything set, by the corners solved anew. `toe` is total toe before,
/// degrees.
pub(super) fn solved_line(wheels: &[Wheel; 2], sets: [&WheelSet; 2], toe: f64) -> String {
    let camber = [0, 1].map(|i| wheels[i].camber_now() + sets[i].outputs.camber - wheels[i].before.camber);
    let change: f64 = [0, 1].iter().map(|i| sets[*i].outputs.toe - wheels[*i].before.toe).sum();
    let caster = [0, 1].map(|i| {
        let change = sets[i].outputs.caster? - wheels[i].before.caster?;
        (change.abs() >= SMALLEST).then(|| format!(", caster {} by {change:+.2}°", HANDS[i].phrase()))
    });
    format!(
        "solved anew with all of this set: camber left {:.2}°, right {:.2}°, total toe {:.2}°{}",
        camber[0],
        camber[1],
        toe + change,
        caster.into_iter().flatten().collect::<String>()
    )
}
