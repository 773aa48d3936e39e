//! How the spring of one corner hangs: its leverage, where its travel ends, what damps it.

use super::corner::known_corner;
use super::figures::{Figure, InputView};
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Corner, Point};
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

/// One corner's spring and damper as the corner moves them.
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

/// Motion ratios by layout, with their range: judgements from memory of common cars.
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
        let known = known_corner(car, axle, side);
        let corner = known.as_ref().map(|(_, corner)| corner);
        let right = if side == Side::Right { " right" } else { "" };
        let name = format!("{}{right}", axle.name);
        let ends = ends_of(&name, axle, corner);
        let hanging = hanging(&name, axle, corner, &ends);
        Self { damping: damping(&name, axle, corner, hanging.at_rest()), name, hanging, ends }
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
    pub(super) fn ratio_view(&self) -> Option<InputView> {
        let sampled = matches!(self.hanging, Hanging::Points { .. });
        let what = format!("{}, spring motion ratio", self.name);
        sampled.then(|| Figure::known(what, "", self.at_rest(), "from the hardpoints").view())
    }
}

/// Rate and motion ratio of the damper, where its rate is known.
fn damping(name: &str, axle: &Axle, corner: Option<&Corner>, spring_ratio: f64) -> Option<[Figure; 2]> {
    let damper = axle.damper.as_ref()?;
    let rate = damper.rate?;
    let what = format!("{name}, damper motion ratio");
    let sampled = corner.and_then(|corner| corner.outputs(corner.design()).ok()?.damper_ratio);
    let ratio = match sampled {
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
fn ends_of(name: &str, axle: &Axle, corner: Option<&Corner>) -> [Option<Figure>; 2] {
    let Some(damper) = &axle.damper else { return [None, None] };
    let ends = corner.and_then(|corner| corner.travel_ends().ok());
    let measured = |length: Option<Length>, sign: f64| length.map(|length| sign * length.mm());
    let figure = |what: &str, travel: Option<f64>| {
        let what = format!("{name}, {what}");
        travel.map(|mm| Figure::of_file(what, "mm", mm, &damper.provenance, 15.0))
    };
    [
        figure("travel to full droop", ends.and_then(|e| e.droop).or(measured(damper.droop_travel, -1.0))),
        figure("travel to the bump stop", ends.and_then(|e| e.bump).or(measured(damper.bump_travel, 1.0))),
    ]
}

fn hanging(name: &str, axle: &Axle, corner: Option<&Corner>, ends: &[Option<Figure>; 2]) -> Hanging {
    let end = |i: usize| ends.get(i).and_then(|end| Some(end.as_ref()?.value));
    let (low, high) = (end(0).unwrap_or(-100.0).min(-20.0), end(1).unwrap_or(80.0).max(20.0));
    let sampled = corner.and_then(|corner| {
        let seats = corner.spec().point(Point::SpringTop).is_some();
        let ranges = [(low - 5.0, high + 5.0), (-60.0, 60.0), (-30.0, 30.0)];
        let linkage =
            ranges.into_iter().find_map(|(from, to)| Linkage::of_corner(corner, from, to, 5.0).ok())?;
        Some(Hanging::Points { linkage, seats })
    });
    sampled.unwrap_or_else(|| {
        let what = format!("{name}, spring motion ratio");
        let given = axle.spring.as_ref().and_then(|s| Some((s.motion_ratio?, &s.provenance)));
        let (usual, range) = typical_ratio(axle.layout);
        Hanging::Ratio(match given {
            Some((ratio, from)) => Figure::of_file(what, "", ratio, from, 0.1),
            None => Figure::typical(what, "", usual, range, axle.layout.phrase()),
        })
    })
}
