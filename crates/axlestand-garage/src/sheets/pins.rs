//! Where fasteners and connections sit in the picture of a corner.

use super::corner::end_of;
use super::hardpoints::Hardpoints;
use crate::job::Job;
use axlestand_draw::corner::{Pin, PinState, Point};
use axlestand_ledger::{Action, FastenerStage, HoldState, RowStatus, row_status};
use axlestand_model::car::Hold;
use axlestand_model::{AxleEnd, Hand, ItemId, Layout, without_side};

/// Where a name's fastener usually sits: from a hardpoint so far forward, outward and up, mm. The
/// first entry whose word is in the item's name counts (AX-41, judgement, no source).
const PLACES: [(&str, &str, Point); 40] = [
    ("wheel-nut", "wheel-centre", [38.0, 70.0, 38.0]),
    ("wheel-bolt", "wheel-centre", [38.0, 70.0, 38.0]),
    ("axle-nut", "wheel-centre", [0.0, 75.0, 0.0]),
    ("disc-screw", "wheel-centre", [-48.0, 40.0, -40.0]),
    ("pad-spring", "wheel-centre", [-150.0, 20.0, 40.0]),
    ("caliper", "wheel-centre", [-120.0, -20.0, 10.0]),
    ("guide-pin", "wheel-centre", [-130.0, -30.0, 80.0]),
    ("hose-banjo", "wheel-centre", [-150.0, -50.0, 50.0]),
    ("hose-strut", "strut-lower-point", [-30.0, -20.0, 60.0]),
    ("hose-bracket", "strut-lower-point", [-40.0, -60.0, 150.0]),
    ("hose-pipe", "strut-lower-point", [-60.0, -160.0, 170.0]),
    ("pipe-", "strut-lower-point", [-60.0, -200.0, 240.0]),
    ("sensor-strut", "strut-lower-point", [30.0, -10.0, 130.0]),
    ("sensor-arch", "strut-top-mount", [110.0, -40.0, -260.0]),
    ("sensor-plug", "strut-top-mount", [120.0, -80.0, -170.0]),
    ("sensor", "wheel-centre", [60.0, -45.0, 55.0]),
    ("splash-shield", "wheel-centre", [85.0, -20.0, -70.0]),
    ("shield-screw", "wheel-centre", [85.0, -20.0, -70.0]),
    ("pinch", "lower-ball-joint", [20.0, 0.0, 35.0]),
    ("ball-stud", "lower-ball-joint", [0.0, 0.0, 12.0]),
    ("ball-joint", "lower-ball-joint", [0.0, 0.0, 12.0]),
    ("arm-front", "lower-arm-front-pivot", [0.0, 0.0, 0.0]),
    ("arm-rear", "lower-arm-rear-pivot", [0.0, 0.0, 0.0]),
    ("strut-knuckle", "strut-lower-point", [0.0, 25.0, -45.0]),
    ("strut-top", "strut-top-mount", [0.0, 45.0, 12.0]),
    ("strut-rod", "strut-top-mount", [0.0, 0.0, 34.0]),
    ("bump-stop", "spring-upper-seat", [0.0, 0.0, -60.0]),
    ("spring-seat", "spring-lower-seat", [0.0, 40.0, 0.0]),
    ("link-lower", "anti-roll-bar-arm-end", [0.0, 0.0, 0.0]),
    ("link-upper", "bar-link-joint-at-the-suspension", [0.0, 0.0, 0.0]),
    ("arb-b", "anti-roll-bar-pivot", [0.0, -60.0, 0.0]),
    ("tie-rod-nut", "outer-tie-rod-joint", [0.0, 0.0, 22.0]),
    ("tie-rod-taper", "outer-tie-rod-joint", [0.0, 0.0, -14.0]),
    ("tie-rod-joint", "inner-tie-rod-joint", [0.0, 0.0, 0.0]),
    ("bellows-inner", "inner-tie-rod-joint", [0.0, -30.0, 0.0]),
    ("bellows-outer", "inner-tie-rod-joint", [0.0, 90.0, -6.0]),
    ("axle-spline", "drive-axle-outer-joint", [0.0, 10.0, 0.0]),
    ("axle-inner", "drive-axle-inner-joint", [0.0, 0.0, 0.0]),
    ("axle-coupling", "drive-axle-inner-joint", [0.0, -10.0, 0.0]),
    ("hub-press", "wheel-centre", [0.0, 20.0, 22.0]),
];

/// The same for corners that are no strut corner, without `rear-` before the name (AX-66, judgement, no
/// source).
const OTHER_PLACES: [(&str, &str, Point); 22] = [
    ("upper-arm-front", "upper-arm-front-pivot", [0.0, 0.0, 0.0]),
    ("upper-arm-rear", "upper-arm-rear-pivot", [0.0, 0.0, 0.0]),
    ("upper-ball", "upper-ball-joint", [0.0, 0.0, 14.0]),
    ("lower-arm-front", "lower-arm-front-pivot", [0.0, 0.0, 0.0]),
    ("lower-arm-rear", "lower-arm-rear-pivot", [0.0, 0.0, 0.0]),
    ("lower-ball", "lower-ball-joint", [0.0, 0.0, -12.0]),
    ("damper-lower", "damper-lower-mount", [0.0, 0.0, 0.0]),
    ("damper-upper", "damper-upper-mount", [0.0, 0.0, 0.0]),
    ("damper-top", "damper-upper-mount", [0.0, 0.0, 0.0]),
    ("spring-seat", "spring-lower-seat", [0.0, 0.0, 0.0]),
    ("spring-pad", "spring-upper-seat", [0.0, 0.0, 0.0]),
    ("beam-bush", "beam-pivot", [0.0, 0.0, 0.0]),
    ("beam-pivot", "beam-pivot", [0.0, 0.0, 0.0]),
    ("beam-bolt", "beam-pivot", [0.0, 0.0, 0.0]),
    ("arm-inner", "arm-inner-pivot", [0.0, 0.0, 0.0]),
    ("arm-outer", "arm-outer-pivot", [0.0, 0.0, 0.0]),
    ("u-bolt", "wheel-centre", [0.0, -240.0, -20.0]),
    ("leaf-front", "leaf-spring-front-eye", [0.0, 0.0, 0.0]),
    ("drum", "wheel-centre", [48.0, 40.0, -40.0]),
    ("brake-line", "wheel-centre", [60.0, -60.0, 60.0]),
    ("stub-axle", "wheel-centre", [40.0, -10.0, 40.0]),
    ("hub-nut", "wheel-centre", [0.0, 60.0, 0.0]),
];

/// The end of a rod that a name tells: `link-3-inner-bolt`.
fn rod_end(base: &str) -> Option<String> {
    let from = base.find("link-")?;
    let number = base[from + 5..].chars().next().filter(|sign| ('1'..='5').contains(sign))?;
    let end = ["inner", "outer"].into_iter().find(|end| base.contains(end))?;
    Some(format!("link-{number}-{end}-joint"))
}

fn place(base: &str, points: &Hardpoints) -> Option<Point> {
    if points.layout == Layout::Strut {
        return strut_place(base, points);
    }
    let base = base.strip_prefix("rear-").unwrap_or(base);
    let rod = rod_end(base).filter(|name| points.has(name)).map(|name| points.at(&name));
    let own = || {
        let (_, point, by) = OTHER_PLACES.iter().find(|(word, ..)| base.contains(word))?;
        points.has(point).then(|| points.by(point, *by))
    };
    rod.or_else(own).or_else(|| strut_place(base, points))
}

/// Further places that are no point of their own.
fn strut_place(base: &str, points: &Hardpoints) -> Option<Point> {
    if base.contains("jam-nut") && points.has("outer-tie-rod-joint") {
        return Some(points.between("outer-tie-rod-joint", "inner-tie-rod-joint", 0.27));
    }
    if base.contains("bearing") {
        return Some(points.by("wheel-centre", [0.0, -10.0, -30.0]));
    }
    let (_, point, by) = PLACES.iter().find(|(word, ..)| base.contains(word))?;
    points.has(point).then(|| points.by(point, *by))
}

/// The fasteners and connections of a side that have a place in the picture and that `wanted` names
/// or that are not as they were found.
pub(super) fn pins(
    job: &Job,
    points: &Hardpoints,
    end: AxleEnd,
    side: Hand,
    now: Option<&Action>,
    wanted: impl Fn(&ItemId) -> bool,
) -> Vec<Pin> {
    let of_side = |hold: &Hold<'_>| hold.id().side() == Some(side) && end_of(job, hold.id()) == end;
    job.car
        .holds()
        .filter(of_side)
        .filter_map(|hold| {
            let state = job.state.hold(hold.id());
            let now = now.is_some_and(|action| &action.item == hold.id());
            let told = wanted(hold.id()) || now || state.was_out || state.stage != FastenerStage::InPlace;
            let at = place(hold.id().base(), points).filter(|_| told)?;
            Some(Pin {
                id: hold.id().to_string(),
                name: without_side(hold.name()).to_owned(),
                detail: detail(hold),
                at,
                state: pin_state(hold, &state),
                tray: state.tray.filter(|_| state.stage == FastenerStage::Out),
                row: next_row(job, hold.id()),
                now,
            })
        })
        .collect()
}

fn detail(hold: Hold<'_>) -> String {
    match hold {
        Hold::Fastener(fastener) => {
            let drive = fastener.drive.as_ref().map(ToString::to_string).unwrap_or_default();
            let told = [fastener.size_text(), drive];
            told.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join(", ")
        }
        Hold::Connection(connection) => connection.joint.phrase().to_owned(),
    }
}

/// How a hold stands, as the picture's marks tell it: a connection that is made is final, and so is
/// what is only to be hand-tight.
fn pin_state(hold: Hold<'_>, state: &HoldState) -> PinState {
    if state.broken {
        return if state.stage == FastenerStage::Out { PinState::Scrap } else { PinState::Broken };
    }
    let done_when_seated = match hold {
        Hold::Fastener(fastener) => fastener.torque.is_none(),
        Hold::Connection(_) => true,
    };
    let is_unpinned = matches!(hold, Hold::Fastener(fastener) if fastener.lock.is_own_act() && !state.pinned);
    match state.stage {
        FastenerStage::InPlace => PinState::InPlace,
        FastenerStage::BrokenLoose => PinState::Loose,
        FastenerStage::Out => PinState::Out,
        FastenerStage::InByHand => PinState::ByHand,
        FastenerStage::Seated if done_when_seated => PinState::Final,
        FastenerStage::Seated => PinState::Seated,
        FastenerStage::AtFinal => PinState::Final,
        FastenerStage::Locked if is_unpinned => PinState::Final,
        FastenerStage::Locked => PinState::Locked,
    }
}

/// The first pending row about an item.
fn next_row(job: &Job, id: &ItemId) -> Option<u32> {
    let pending = |action: &Action| row_status(&job.car, &job.state, action) == RowStatus::Pending;
    job.rows().find(|(_, action)| &action.item == id && pending(action)).map(|(number, _)| number)
}
