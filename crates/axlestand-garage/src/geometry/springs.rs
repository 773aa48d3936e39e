//! The four corners of a car on their springs, from its file, its weights and its heights.

use super::corner::known_corner;
use super::figures::{Figure, Figures};
use super::whole::{ends as whole_ends, linkage as whole_linkage, whole_axle};
use axlestand_geometry::kinematics::{Corner, Point, WholeAxle};
use axlestand_geometry::springs::{CarSprings, Coil, CornerSpring, Linkage, Load};
use axlestand_model::car::{Axle, Car};
use axlestand_model::{Layout, Provenance};
use axlestand_quantity::Length;

/// Standard acceleration of free fall, m/s² (ISO 80000-3).
pub(crate) const GRAVITY: f64 = 9.806_65;
/// A free length for springs whose own is not known: heights and collars do not depend on it, since
/// the load tells how far the spring is compressed.
const ANY_FREE_LENGTH: f64 = 1000.0;

/// Names of the wheels as the file's masses have them.
pub(crate) const WHEELS: [&str; 4] = ["front-left", "front-right", "rear-left", "rear-right"];

/// How an axle's springs hang.
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

/// One axle's springs.
#[derive(Debug, Clone)]
pub(crate) struct AxleSprings {
    hanging: Hanging,
    /// Rate of one spring, N/mm.
    pub(crate) rate: Figure,
    /// Free length, mm.
    pub(crate) free: Option<Figure>,
    solid: Option<Figure>,
    tyre_rate: Figure,
    unsprung: Figure,
    bar: Figure,
    bump_rate: Figure,
    /// Travels of full droop and bump stop from the height at which the points were taken, mm.
    ends: [Option<Figure>; 2],
    /// Rate of the damper, N·s/m, and its motion ratio, where the rate is known.
    damping: Option<[Figure; 2]>,
    collar: f64,
}

/// Everything that decides where the car stands.
#[derive(Debug, Clone)]
pub(crate) struct SpringFigures {
    /// Front and rear.
    pub(crate) axles: [AxleSprings; 2],
    wheelbase: Figure,
    tracks: [Figure; 2],
    /// Load on each wheel, kg.
    pub(crate) masses: [Figure; 4],
    /// Wheel travel now from the height at which the points were taken, mm; `None` where no height
    /// is known.
    pub(crate) travels: [Option<f64>; 4],
}

impl Figures for SpringFigures {
    fn each(&mut self) -> Vec<&mut Figure> {
        let mut all = vec![&mut self.wheelbase];
        all.extend(self.tracks.iter_mut());
        all.extend(self.masses.iter_mut());
        for axle in &mut self.axles {
            if let Hanging::Ratio(ratio) = &mut axle.hanging {
                all.push(ratio);
            }
            all.push(&mut axle.rate);
            all.extend(axle.free.as_mut());
            all.extend([&mut axle.tyre_rate, &mut axle.unsprung, &mut axle.bar, &mut axle.bump_rate]);
            all.extend(axle.solid.as_mut());
            all.extend(axle.ends.iter_mut().flatten());
            all.extend(axle.damping.iter_mut().flatten());
        }
        all
    }
}

/// Where the car stands, ready to be computed with.
#[derive(Debug, Clone)]
pub(crate) struct Stance {
    /// The corners.
    pub(crate) springs: CarSprings,
    /// What they carry.
    pub(crate) load: Load,
    /// Rate of each damper, N·s/m, and its motion ratio, where they are known.
    pub(crate) dampers: [Option<(f64, f64)>; 4],
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

/// Ride frequencies of road cars, Hz: what a typical spring rate is taken from (general texts on
/// vehicle dynamics, from memory).
const RIDE_HZ: (f64, f64) = (1.1, 1.6);

/// A figure of an axle as the file gives it, with what its range is if the file says typical, and
/// what is taken where the file says nothing.
struct Usual {
    what: &'static str,
    unit: &'static str,
    span: f64,
    value: f64,
    range: (f64, f64),
    why: &'static str,
}

const TYRE_RATE: Usual = Usual {
    what: "tyre rate",
    unit: "N/mm",
    span: 50.0,
    value: 200.0,
    range: (150.0, 250.0),
    why: "passenger-car tyres, from memory",
};
const UNSPRUNG: Usual = Usual {
    what: "unsprung mass of a corner",
    unit: "kg",
    span: 8.0,
    value: 35.0,
    range: (25.0, 45.0),
    why: "passenger cars, from memory",
};
const BAR: Usual = Usual {
    what: "anti-roll bar at the wheel",
    unit: "N/mm",
    span: 5.0,
    value: 8.0,
    range: (0.0, 20.0),
    why: "none to stiff, from memory",
};
const BUMP_STOP: Usual = Usual {
    what: "bump stop rate",
    unit: "N/mm",
    span: 20.0,
    value: 60.0,
    range: (20.0, 150.0),
    why: "foam bump stops, from memory",
};

impl Usual {
    fn figure(&self, axle: &Axle, given: Option<(f64, &Provenance)>) -> Figure {
        let what = format!("{}, {}", axle.name, self.what);
        match given {
            Some((value, from)) => Figure::of_file(what, self.unit, value, from, self.span),
            None => Figure::typical(what, self.unit, self.value, self.range, self.why),
        }
    }
}

impl AxleSprings {
    fn of(car: &Car, axle: &Axle, sprung_kg: f64) -> Self {
        let known = known_corner(car, axle);
        let corner = known.as_ref().map(|(_, corner)| corner);
        let whole = whole_axle(car, axle).ok().flatten().map(|(_, whole)| whole);
        let ends = Self::ends_of(axle, corner, whole.as_ref());
        let hanging = Self::hanging(axle, corner, whole.as_ref(), &ends);
        let ratio = hanging.at_rest();
        let at_design = |corner: &Corner| corner.outputs(corner.design()).ok()?.damper_ratio;
        let of_both = |whole: &WholeAxle| whole.at(0.0, 0.0).ok()?.damper_ratio;
        let damper_ratio = corner.and_then(at_design).or_else(|| whole.as_ref().and_then(of_both));
        let (damper, spring) = (axle.damper.as_ref(), axle.spring.as_ref());
        let length = |what: &str, length: Length, from: &Provenance, span: f64| {
            Figure::of_file(format!("{}, {what}", axle.name), "mm", length.mm(), from, span)
        };
        let spring_from = spring.map_or(&axle.provenance, |s| &s.provenance);
        Self {
            rate: Self::rate(axle, ratio, sprung_kg),
            free: axle.spring_free_length.map(|l| length("spring free length", l, &axle.provenance, 20.0)),
            solid: axle.solid_length().map(|l| length("solid length of the spring", l, spring_from, 10.0)),
            tyre_rate: TYRE_RATE.figure(axle, axle.tyre_rate.map(|rate| (rate, &axle.provenance))),
            unsprung: UNSPRUNG.figure(axle, axle.unsprung.map(|mass| (mass.kg(), &axle.provenance))),
            bar: BAR.figure(axle, axle.bar.as_ref().and_then(|bar| Some((bar.rate?, &bar.provenance)))),
            bump_rate: BUMP_STOP.figure(axle, damper.and_then(|d| Some((d.bump_rate?, &d.provenance)))),
            damping: Self::damping(axle, damper_ratio, ratio),
            collar: spring.and_then(|s| s.collar).map_or(0.0, Length::mm),
            hanging,
            ends,
        }
    }

    /// Rate and motion ratio of the damper, where its rate is known.
    fn damping(axle: &Axle, sampled: Option<f64>, spring_ratio: f64) -> Option<[Figure; 2]> {
        let damper = axle.damper.as_ref()?;
        let rate = damper.rate?;
        let what = format!("{}, damper motion ratio", axle.name);
        let ratio = match sampled {
            Some(ratio) => Figure::known(what, "", ratio, "from the hardpoints"),
            None => {
                let range = (0.8 * spring_ratio, 1.2 * spring_ratio);
                Figure::typical(what, "", spring_ratio, range, "taken as the spring's")
            }
        };
        let what = format!("{}, damper rate", axle.name);
        Some([Figure::of_file(what, "N·s/m", rate, &damper.provenance, 0.3 * rate), ratio])
    }

    /// Full droop and bump stop: from the damper's lengths where the hardpoints turn them into
    /// travel, else as they were measured.
    fn ends_of(axle: &Axle, corner: Option<&Corner>, whole: Option<&WholeAxle>) -> [Option<Figure>; 2] {
        let Some(damper) = &axle.damper else { return [None, None] };
        let of_corner = corner.and_then(|corner| corner.travel_ends().ok());
        let of_corner = of_corner.map(|ends| [ends.droop, ends.bump]);
        let [droop, bump] =
            of_corner.or_else(|| whole.map(|whole| whole_ends(axle, whole))).unwrap_or_default();
        let measured = |length: Option<Length>, sign: f64| length.map(|length| sign * length.mm());
        let figure = |what: &str, travel: Option<f64>| {
            let what = format!("{}, {what}", axle.name);
            travel.map(|mm| Figure::of_file(what, "mm", mm, &damper.provenance, 15.0))
        };
        [
            figure("travel to full droop", droop.or(measured(damper.droop_travel, -1.0))),
            figure("travel to the bump stop", bump.or(measured(damper.bump_travel, 1.0))),
        ]
    }

    fn hanging(
        axle: &Axle,
        corner: Option<&Corner>,
        whole: Option<&WholeAxle>,
        ends: &[Option<Figure>; 2],
    ) -> Hanging {
        let end = |i: usize| ends.get(i).and_then(|end| Some(end.as_ref()?.value));
        let (low, high) = (end(0).unwrap_or(-100.0).min(-20.0), end(1).unwrap_or(80.0).max(20.0));
        let sampled = corner.and_then(|corner| {
            let seats = corner.spec().point(Point::SpringTop).is_some();
            let ranges = [(low - 5.0, high + 5.0), (-60.0, 60.0), (-30.0, 30.0)];
            let linkage =
                ranges.into_iter().find_map(|(from, to)| Linkage::of_corner(corner, from, to, 5.0).ok())?;
            Some(Hanging::Points { linkage, seats })
        });
        let of_both = || {
            let linkage = whole_linkage(whole?, low - 5.0, high + 5.0)?;
            Some(Hanging::Points { linkage, seats: true })
        };
        sampled.or_else(of_both).unwrap_or_else(|| {
            let what = format!("{}, spring motion ratio", axle.name);
            let given = axle.spring.as_ref().and_then(|s| Some((s.motion_ratio?, &s.provenance)));
            let (usual, range) = typical_ratio(axle.layout);
            Hanging::Ratio(match given {
                Some((ratio, from)) => Figure::of_file(what, "", ratio, from, 0.1),
                None => Figure::typical(what, "", usual, range, axle.layout.phrase()),
            })
        })
    }

    fn rate(axle: &Axle, ratio: f64, sprung_kg: f64) -> Figure {
        let what = format!("{}, spring rate", axle.name);
        if let Some(rate) = axle.spring_rate {
            return Figure::of_file(what, "N/mm", rate, &axle.provenance, 0.2 * rate);
        }
        let at = |hz: f64| sprung_kg * (std::f64::consts::TAU * hz).powi(2) / 1000.0 / ratio.powi(2);
        let (low, high) = (at(RIDE_HZ.0), at(RIDE_HZ.1));
        let why = format!("for a ride frequency of {} to {} Hz", RIDE_HZ.0, RIDE_HZ.1);
        Figure::typical(what, "N/mm", (low + high) / 2.0, (low, high), &why)
    }

    fn linkage(&self) -> Option<Linkage> {
        match &self.hanging {
            Hanging::Points { linkage, .. } => Some(linkage.clone()),
            Hanging::Ratio(ratio) => Linkage::constant(300.0, ratio.value).ok(),
        }
    }

    /// Whether the spring's own seats and free length are known, so that a height can be foretold.
    pub(crate) fn foretells(&self) -> bool {
        self.free.is_some() && matches!(self.hanging, Hanging::Points { seats: true, .. })
    }

    /// Whether something that decides how the spring sits at full droop is only typical.
    pub(crate) fn seating_is_typical(&self) -> bool {
        let open = |figure: &Figure| figure.range.is_some();
        matches!(&self.hanging, Hanging::Ratio(ratio) if open(ratio))
            || open(&self.rate)
            || self.free.as_ref().is_some_and(open)
            || self.ends[0].as_ref().is_some_and(open)
    }

    /// Where the travel ends, full droop and bump stop, where that is known.
    pub(crate) fn ends(&self) -> [Option<f64>; 2] {
        [0, 1].map(|i| self.ends[i].as_ref().map(|figure| figure.value))
    }

    fn corner(&self) -> Option<CornerSpring> {
        let free = self.free.as_ref().map_or(ANY_FREE_LENGTH, |f| f.value);
        let solid = self.solid.as_ref().filter(|_| self.free.is_some());
        let solid = solid.and_then(|figure| Length::from_mm(figure.value).ok());
        let [droop, bump] = self.ends();
        Some(CornerSpring {
            coil: Coil::new(self.rate.value, Length::from_mm(free).ok()?, solid).ok()?,
            linkage: self.linkage()?,
            collar: self.collar,
            tyre_rate: Some(self.tyre_rate.value),
            unsprung: self.unsprung.value * GRAVITY,
            bump_stop: bump.map(|at| (at, self.bump_rate.value)),
            droop,
        })
    }
}

impl SpringFigures {
    /// The figures of a car with the masses on its wheels (kg) and the travels it stands at.
    ///
    /// # Errors
    /// A sentence that says what is missing.
    pub(crate) fn of(car: &Car, masses: [Figure; 4], travels: [Option<f64>; 4]) -> Result<Self, String> {
        let mut axles = Vec::new();
        for (i, name) in ["front", "rear"].into_iter().enumerate() {
            let axle = car.axles.iter().find(|axle| axle.name == name).ok_or_else(|| {
                format!("all four corners carry the car together: describe [axle.{name}] with its layout")
            })?;
            let load = masses.get(2 * i).map_or(300.0, |m| m.value);
            axles.push(AxleSprings::of(car, axle, (load - 35.0).max(50.0)));
        }
        let axles: [AxleSprings; 2] = axles.try_into().map_err(|_| "two axles are needed".to_owned())?;
        let size = |what: &str, length: Option<Length>, usual: f64, range: (f64, f64)| match length {
            Some(length) => Figure::known(what, "mm", length.mm(), "vehicle file"),
            None => Figure::typical(what, "mm", usual, range, "passenger cars"),
        };
        Ok(Self {
            axles,
            wheelbase: size("wheelbase", car.wheelbase, 2600.0, (2300.0, 2900.0)),
            tracks: [
                size("front track", car.track_front, 1500.0, (1350.0, 1650.0)),
                size("rear track", car.track_rear, 1490.0, (1350.0, 1650.0)),
            ],
            masses,
            travels,
        })
    }

    /// The four corners with their collars where they are: from the heights that were read, where
    /// they were, else as the file has them. `None` for figures that cannot be.
    pub(crate) fn stance(&self) -> Option<Stance> {
        let corner = |i: usize| self.axles.get(i / 2).and_then(AxleSprings::corner);
        let corners = [corner(0)?, corner(1)?, corner(2)?, corner(3)?];
        let mut springs = CarSprings {
            corners,
            bars: [self.axles[0].bar.value, self.axles[1].bar.value],
            wheelbase: self.wheelbase.value,
            tracks: [self.tracks[0].value, self.tracks[1].value],
        };
        let wheels = [0, 1, 2, 3].map(|i| self.masses[i].value * GRAVITY);
        let load = springs.load_from_scales(wheels).ok()?;
        for (i, wheel) in wheels.into_iter().enumerate() {
            let axle = &self.axles[i / 2];
            if self.travels[i].is_none() && axle.foretells() {
                continue;
            }
            let (travel, across) = (self.travels[i].unwrap_or(0.0), self.travels[i ^ 1].unwrap_or(0.0));
            let corner = &springs.corners[i];
            let stop = corner.bump_stop.map_or(0.0, |(at, rate)| rate * (travel - at).max(0.0));
            let carried = wheel - corner.unsprung - axle.bar.value * (travel - across) - stop;
            let (length, ratio, _) = corner.linkage.at(travel);
            let collar = length - (corner.coil.free_length() - carried / ratio / corner.coil.rate());
            springs.corners[i].collar = collar;
        }
        let dampers = [0, 1, 2, 3].map(|i| {
            let [rate, ratio] = self.axles.get(i / 2)?.damping.as_ref()?;
            Some((rate.value, ratio.value))
        });
        Some(Stance { springs, load, dampers })
    }

    /// Every figure ready to be shown.
    pub(crate) fn views(&self) -> Vec<super::figures::InputView> {
        let mut copy = self.clone();
        let mut views: Vec<_> = copy.each().into_iter().map(|figure| figure.view()).collect();
        for (axle, name) in self.axles.iter().zip(["front", "rear"]) {
            if matches!(axle.hanging, Hanging::Points { .. }) {
                let (what, ratio) = (format!("{name}, spring motion ratio"), axle.hanging.at_rest());
                views.push(Figure::known(what, "", ratio, "from the hardpoints").view());
            }
        }
        views
    }
}
