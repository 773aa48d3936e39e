//! The four corners of a car on their springs, from its file, its weights and its heights.

use super::figures::{Figure, Figures};
use super::hanging::Hung;
use super::points::layout;
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::springs::{CarSprings, Coil, CornerSpring, Load};
use axlestand_model::Provenance;
use axlestand_model::car::{Axle, Car};
use axlestand_quantity::{Length, STANDARD_GRAVITY};

/// A free length for springs whose own is not known: heights and collars do not depend on it, since
/// the load tells how far the spring is compressed.
const ANY_FREE_LENGTH: f64 = 1000.0;

/// Names of the wheels as the file's masses have them.
pub(crate) const WHEELS: [&str; 4] = ["front-left", "front-right", "rear-left", "rear-right"];

/// One axle's springs.
#[derive(Debug, Clone)]
pub(crate) struct AxleSprings {
    left: Hung,
    /// The right corner's, where it is not the mirror image.
    right: Option<Hung>,
    /// Rate of one spring, N/mm.
    pub(crate) rate: Figure,
    /// Free length, mm.
    pub(crate) free: Option<Figure>,
    solid: Option<Figure>,
    tyre_rate: Figure,
    unsprung: Figure,
    bar: Figure,
    bump_rate: Figure,
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
            all.extend(axle.left.each());
            all.extend(axle.right.iter_mut().flat_map(Hung::each));
            all.push(&mut axle.rate);
            all.extend(axle.free.as_mut());
            all.extend([&mut axle.tyre_rate, &mut axle.unsprung, &mut axle.bar, &mut axle.bump_rate]);
            all.extend(axle.solid.as_mut());
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

/// Ride frequencies of road cars, Hz: what a typical spring rate is taken from (general texts on
/// vehicle dynamics, from memory; AX-71).
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
    why: "passenger-car tyres, no source",
};
const UNSPRUNG: Usual = Usual {
    what: "unsprung mass of a corner",
    unit: "kg",
    span: 8.0,
    value: 35.0,
    range: (25.0, 45.0),
    why: "passenger cars, no source",
};
const BAR: Usual = Usual {
    what: "anti-roll bar at the wheel",
    unit: "N/mm",
    span: 5.0,
    value: 8.0,
    range: (0.0, 20.0),
    why: "none to stiff, no source",
};
const BUMP_STOP: Usual = Usual {
    what: "bump stop rate",
    unit: "N/mm",
    span: 20.0,
    value: 60.0,
    range: (20.0, 150.0),
    why: "foam bump stops, no source",
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
        let left = Hung::of(car, axle, Side::Left);
        let ratio = left.at_rest();
        // An axle that carries both wheels moves both springs alike.
        let own_right = layout(axle).is_some() && !axle.right_is_mirrored();
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
            collar: spring.and_then(|s| s.collar).map_or(0.0, Length::mm),
            left,
            right: own_right.then(|| Hung::of(car, axle, Side::Right)),
        }
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

    /// How the spring of a side hangs: 0 left, 1 right.
    fn hung(&self, side: usize) -> &Hung {
        self.right.as_ref().filter(|_| side == 1).unwrap_or(&self.left)
    }

    /// Whether the spring's own seats and free length are known, so that a height can be foretold.
    pub(crate) fn foretells(&self) -> bool {
        self.free.is_some() && self.left.has_seats() && self.hung(1).has_seats()
    }

    /// Whether something that decides how a spring sits at full droop is only typical.
    pub(crate) fn seating_is_typical(&self) -> bool {
        let open = |figure: &Figure| figure.range.is_some();
        self.left.is_typical()
            || self.hung(1).is_typical()
            || open(&self.rate)
            || self.free.as_ref().is_some_and(open)
    }

    /// Whether it is known of both corners where the travel ends.
    pub(crate) fn ends_are_known(&self) -> bool {
        [0, 1].iter().all(|side| !self.hung(*side).ends().contains(&None))
    }

    fn corner(&self, side: usize) -> Option<CornerSpring> {
        let free = self.free.as_ref().map_or(ANY_FREE_LENGTH, |f| f.value);
        let solid = self.solid.as_ref().filter(|_| self.free.is_some());
        let solid = solid.and_then(|figure| Length::from_mm(figure.value).ok());
        let hung = self.hung(side);
        let [droop, bump] = hung.ends();
        Some(CornerSpring {
            coil: Coil::new(self.rate.value, Length::from_mm(free).ok()?, solid).ok()?,
            linkage: hung.linkage()?,
            collar: self.collar,
            tyre_rate: Some(self.tyre_rate.value),
            unsprung: self.unsprung.value * STANDARD_GRAVITY,
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
        let corner = |i: usize| self.axles.get(i / 2).and_then(|axle| axle.corner(i % 2));
        let corners = [corner(0)?, corner(1)?, corner(2)?, corner(3)?];
        let mut springs = CarSprings {
            corners,
            bars: [self.axles[0].bar.value, self.axles[1].bar.value],
            wheelbase: self.wheelbase.value,
            tracks: [self.tracks[0].value, self.tracks[1].value],
        };
        let wheels = [0, 1, 2, 3].map(|i| self.masses[i].value * STANDARD_GRAVITY);
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
        let dampers = [0, 1, 2, 3].map(|i| self.axles.get(i / 2)?.hung(i % 2).damper());
        Some(Stance { springs, load, dampers })
    }

    /// Every figure ready to be shown.
    pub(crate) fn views(&self, units: Units) -> Vec<super::figures::InputView> {
        let mut copy = self.clone();
        let mut views: Vec<_> = copy.each().into_iter().map(|figure| figure.view(units)).collect();
        for axle in &self.axles {
            let hung = [Some(&axle.left), axle.right.as_ref()].into_iter().flatten();
            views.extend(hung.filter_map(|hung| hung.ratio_view(units)));
        }
        views
    }
}
