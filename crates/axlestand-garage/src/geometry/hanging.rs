//! How the spring at one wheel hangs: its leverage, where its travel ends, what damps it.

use super::corner::{corner_ends, known_corner};
use super::figures::{Figure, InputView};
use super::whole::{ends as whole_ends, linkage as whole_linkage, whole_axle};
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Corner, Point, WholeAxle};
use axlestand_geometry::springs::Linkage;
use axlestand_model::Layout;
use axlestand_model::car::{Axle, Car};
use axlestand_quantity::Length;

/// How a spring hangs.
#[derive(Debug, Clone)]
enum Hanging {
    /// Sampled on the corner; `seats` where the spring's own seats are given.
    Points { linkage: Linkage, seats: bool },
    /// A constant motion ratio.
    Ratio(Figure),
}

impl Hanging {
    /// The motion ratio at the height at which the points were taken.
    fn at_rest(&self) -> f64 {
        match self {
            Self::Ratio(ratio) => ratio.value,
            Self::Points { linkage, .. } => linkage.at(0.0).1,
        }
    }
}

/// What moves a spring and a damper: the corner, or the axle that carries both wheels.
enum Moved {
    Corner(Box<Corner>),
    Whole(Box<WholeAxle>),
}

impl Moved {
    /// What the hardpoints describe; `None` where they do not.
    fn of(car: &Car, axle: &Axle, side: Side) -> Option<Self> {
        let corner = known_corner(car, axle, side).map(|(_, corner)| Self::Corner(Box::new(corner)));
        let whole = || Some(Self::Whole(Box::new(whole_axle(car, axle).ok().flatten()?.1)));
        corner.or_else(whole)
    }

    /// Full droop and bump stop, mm.
    fn ends(&self, axle: &Axle) -> [Option<f64>; 2] {
        match self {
            Self::Corner(corner) => corner_ends(corner),
            Self::Whole(whole) => whole_ends(axle, whole),
        }
    }

    /// The damper's motion ratio at the height at which the points were taken.
    fn damper_ratio(&self) -> Option<f64> {
        match self {
            Self::Corner(corner) => corner.outputs(corner.design()).ok()?.damper_ratio,
            Self::Whole(whole) => whole.at(0.0, 0.0).ok()?.damper_ratio,
        }
    }

    /// The spring's leverage over the travel from `low` to `high`, mm, or as far as the wheel gets.
    fn hanging(&self, low: f64, high: f64) -> Option<Hanging> {
        let ranges = [(low - 5.0, high + 5.0), (-60.0, 60.0), (-30.0, 30.0)];
        let linkage = |from, to| match self {
            Self::Corner(corner) => Linkage::of_corner(corner, from, to, 5.0).ok(),
            Self::Whole(whole) => whole_linkage(whole, from, to),
        };
        let seats = match self {
            Self::Corner(corner) => corner.spec().point(Point::SpringTop).is_some(),
            // Without seats it has no linkage.
            Self::Whole(_) => true,
        };
        let linkage = ranges.into_iter().find_map(|(from, to)| linkage(from, to))?;
        Some(Hanging::Points { linkage, seats })
    }
}

/// One corner's spring and damper as the wheel moves them.
#[derive(Debug, Clone)]
pub(super) struct Hung {
    /// What the figures call it: `front`, or `front right` where the right corner differs.
    name: String,
    hanging: Hanging,
    /// Travels of full droop and bump stop from the height at which the points were taken, mm.
    ends: [Option<Figure>; 2],
    /// Rate of the damper, N·s/m, and its motion ratio, where the rate is known.
    damping: Option<[Figure; 2]>,
}

/// Motion ratios by layout, with their range: judgements from memory of common cars (AX-71).
fn typical_ratio(layout: Layout) -> (f64, (f64, f64)) {
    match layout {
        Layout::Strut => (0.95, (0.88, 1.0)),
        Layout::DoubleWishbone => (0.65, (0.5, 0.8)),
        Layout::MultiLink => (0.7, (0.55, 0.95)),
        Layout::SemiTrailing => (0.75, (0.6, 0.95)),
        Layout::TwistBeam => (0.95, (0.75, 1.15)),
        Layout::LiveAxle => (0.95, (0.85, 1.0)),
    }
}

impl Hung {
    /// The left corner's, or the right one's where it is not the mirror image.
    pub(super) fn of(car: &Car, axle: &Axle, side: Side) -> Self {
        let moved = Moved::of(car, axle, side);
        let right = if side == Side::Right { " right" } else { "" };
        let name = format!("{}{right}", axle.name);
        let ends = ends_of(&name, axle, moved.as_ref());
        let hanging = hanging(&name, axle, moved.as_ref(), &ends);
        let damping = damping(&name, axle, moved.as_ref(), hanging.at_rest());
        Self { damping, name, hanging, ends }
    }

    /// The motion ratio at the height at which the points were taken.
    pub(super) fn at_rest(&self) -> f64 {
        self.hanging.at_rest()
    }

    /// Every figure that may be varied.
    pub(super) fn each(&mut self) -> Vec<&mut Figure> {
        let mut all = Vec::new();
        if let Hanging::Ratio(ratio) = &mut self.hanging {
            all.push(ratio);
        }
        all.extend(self.ends.iter_mut().flatten());
        all.extend(self.damping.iter_mut().flatten());
        all
    }

    /// The spring's leverage over the travel.
    pub(super) fn linkage(&self) -> Option<Linkage> {
        match &self.hanging {
            Hanging::Points { linkage, .. } => Some(linkage.clone()),
            Hanging::Ratio(ratio) => Linkage::constant(300.0, ratio.value).ok(),
        }
    }

    /// Whether the spring's own seats are known.
    pub(super) fn has_seats(&self) -> bool {
        matches!(self.hanging, Hanging::Points { seats: true, .. })
    }

    /// Whether leverage or full droop is only typical.
    pub(super) fn is_typical(&self) -> bool {
        let open = |figure: &Figure| figure.range.is_some();
        matches!(&self.hanging, Hanging::Ratio(ratio) if open(ratio))
            || self.ends[0].as_ref().is_some_and(open)
    }

    /// Where the travel ends, full droop and bump stop, where that is known.
    pub(super) fn ends(&self) -> [Option<f64>; 2] {
        [0, 1].map(|i| self.ends[i].as_ref().map(|figure| figure.value))
    }

    /// Rate of the damper, N·s/m, and its motion ratio, where the rate is known.
    pub(super) fn damper(&self) -> Option<(f64, f64)> {
        self.damping.as_ref().map(|[rate, ratio]| (rate.value, ratio.value))
    }

    /// The motion ratio as it is shown where the hardpoints give it.
    pub(super) fn ratio_view(&self, units: Units) -> Option<InputView> {
        let sampled = matches!(self.hanging, Hanging::Points { .. });
        let what = format!("{}, spring motion ratio", self.name);
        sampled.then(|| Figure::known(what, "", self.at_rest(), "from the hardpoints").view(units))
    }
}

/// Rate and motion ratio of the damper, where its rate is known.
fn damping(name: &str, axle: &Axle, moved: Option<&Moved>, spring_ratio: f64) -> Option<[Figure; 2]> {
    let damper = axle.damper.as_ref()?;
    let rate = damper.rate?;
    let what = format!("{name}, damper motion ratio");
    let ratio = match moved.and_then(Moved::damper_ratio) {
        Some(ratio) => Figure::known(what, "", ratio, "from the hardpoints"),
        None => {
            let range = (0.8 * spring_ratio, 1.2 * spring_ratio);
            Figure::typical(what, "", spring_ratio, range, "taken as the spring's")
        }
    };
    let what = format!("{name}, damper rate");
    Some([Figure::of_file(what, "N·s/m", rate, &damper.provenance, 0.3 * rate), ratio])
}

/// Full droop and bump stop: from the damper's lengths where the hardpoints turn them into
/// travel, else as they were measured.
fn ends_of(name: &str, axle: &Axle, moved: Option<&Moved>) -> [Option<Figure>; 2] {
    let Some(damper) = &axle.damper else { return [None, None] };
    let [droop, bump] = moved.map_or([None; 2], |moved| moved.ends(axle));
    let measured = |length: Option<Length>, sign: f64| length.map(|length| sign * length.mm());
    let figure = |what: &str, travel: Option<f64>| {
        let what = format!("{name}, {what}");
        travel.map(|mm| Figure::of_file(what, "mm", mm, &damper.provenance, 15.0))
    };
    [
        figure("travel to full droop", droop.or(measured(damper.droop_travel, -1.0))),
        figure("travel to the bump stop", bump.or(measured(damper.bump_travel, 1.0))),
    ]
}

fn hanging(name: &str, axle: &Axle, moved: Option<&Moved>, ends: &[Option<Figure>; 2]) -> Hanging {
    let end = |i: usize| ends.get(i).and_then(|end| Some(end.as_ref()?.value));
    let (low, high) = (end(0).unwrap_or(-100.0).min(-20.0), end(1).unwrap_or(80.0).max(20.0));
    moved.and_then(|moved| moved.hanging(low, high)).unwrap_or_else(|| {
        let what = format!("{name}, spring motion ratio");
        let given = axle.spring.as_ref().and_then(|s| Some((s.motion_ratio?, &s.provenance)));
        let (usual, range) = typical_ratio(axle.layout);
        Hanging::Ratio(match given {
            Some((ratio, from)) => Figure::of_file(what, "", ratio, from, 0.1),
            None => Figure::typical(what, "", usual, range, axle.layout.phrase()),
        })
    })
}
