//! The four corners of a car on their springs, from its file, its weights and its heights.

use super::corner::known_corner;
use super::figures::{Figure, Figures};
use axlestand_geometry::springs::{CarSprings, Coil, CornerSpring, Linkage, Load};
use axlestand_model::car::{Axle, Car};
use axlestand_model::{Layout, Provenance};
use axlestand_quantity::Length;

/// Standard acceleration of free fall, m/s² (ISO 80000-3).
const GRAVITY: f64 = 9.806_65;
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

/// One axle's springs.
#[derive(Debug, Clone)]
pub(crate) struct AxleSprings {
    hanging: Hanging,
    /// Rate of one spring, N/mm.
    pub(crate) rate: Figure,
    /// Free length, mm.
    pub(crate) free: Option<Figure>,
    solid: Option<f64>,
    tyre_rate: Figure,
    unsprung: Figure,
    bar: Figure,
    bump_rate: Figure,
    /// Travels of the ends from the height at which the points were taken, mm.
    droop: Option<f64>,
    bump: Option<f64>,
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

impl AxleSprings {
    fn of(car: &Car, axle: &Axle, sprung_kg: f64) -> Self {
        let name = &axle.name;
        let typical = |what: &str, unit, value, range, why: &str| {
            Figure::typical(format!("{name}, {what}"), unit, value, range, why)
        };
        let known = known_corner(car, axle);
        let ends = known.as_ref().and_then(|(_, corner)| corner.travel_ends().ok());
        let damper = axle.damper.as_ref();
        let measured = |length: Option<Length>, sign: f64| length.map(|l| sign * l.mm());
        let droop = ends.and_then(|e| e.droop).or(measured(damper.and_then(|d| d.droop_travel), -1.0));
        let bump = ends.and_then(|e| e.bump).or(measured(damper.and_then(|d| d.bump_travel), 1.0));
        let hanging = Self::hanging(axle, known.as_ref().map(|(_, corner)| corner), droop, bump);
        let ratio = match &hanging {
            Hanging::Ratio(ratio) => ratio.value,
            Hanging::Points { linkage, .. } => linkage.at(0.0).1,
        };
        let spring_provenance = axle.spring.as_ref().map_or(&axle.provenance, |s| &s.provenance);
        Self {
            rate: Self::rate(axle, ratio, sprung_kg),
            free: axle.spring_free_length.map(|free| {
                Figure::of_file(
                    format!("{name}, spring free length"),
                    "mm",
                    free.mm(),
                    &axle.provenance,
                    20.0,
                )
            }),
            solid: axle.solid_length().map(axlestand_quantity::Length::mm),
            tyre_rate: match axle.tyre_rate {
                Some(rate) => {
                    Figure::of_file(format!("{name}, tyre rate"), "N/mm", rate, &axle.provenance, 50.0)
                }
                None => {
                    typical("tyre rate", "N/mm", 200.0, (150.0, 250.0), "passenger-car tyres, from memory")
                }
            },
            unsprung: match axle.unsprung {
                Some(mass) => Figure::of_file(
                    format!("{name}, unsprung mass of a corner"),
                    "kg",
                    mass.kg(),
                    &axle.provenance,
                    8.0,
                ),
                None => typical(
                    "unsprung mass of a corner",
                    "kg",
                    35.0,
                    (25.0, 45.0),
                    "passenger cars, from memory",
                ),
            },
            bar: match axle.bar.as_ref().and_then(|bar| Some((bar.rate?, &bar.provenance))) {
                Some((rate, from)) => {
                    Figure::of_file(format!("{name}, anti-roll bar at the wheel"), "N/mm", rate, from, 5.0)
                }
                None => typical(
                    "anti-roll bar at the wheel",
                    "N/mm",
                    8.0,
                    (0.0, 20.0),
                    "none to stiff, from memory",
                ),
            },
            bump_rate: match damper.and_then(|d| Some((d.bump_rate?, &d.provenance))) {
                Some((rate, from)) => {
                    Figure::of_file(format!("{name}, bump stop rate"), "N/mm", rate, from, 20.0)
                }
                None => {
                    typical("bump stop rate", "N/mm", 60.0, (20.0, 150.0), "foam bump stops, from memory")
                }
            },
            collar: axle.spring.as_ref().and_then(|s| s.collar).map_or(0.0, axlestand_quantity::Length::mm),
            hanging: Self::named(hanging, name, spring_provenance),
            droop,
            bump,
        }
    }

    fn hanging(
        axle: &Axle,
        corner: Option<&axlestand_geometry::kinematics::Corner>,
        droop: Option<f64>,
        bump: Option<f64>,
    ) -> Hanging {
        let (low, high) = (droop.unwrap_or(-100.0).min(-20.0), bump.unwrap_or(80.0).max(20.0));
        let sampled = corner.and_then(|corner| {
            let seats = corner.spec().point(axlestand_geometry::kinematics::Point::SpringTop).is_some();
            let ranges = [(low - 5.0, high + 5.0), (-60.0, 60.0), (-30.0, 30.0)];
            let linkage =
                ranges.into_iter().find_map(|(from, to)| Linkage::of_corner(corner, from, to, 5.0).ok())?;
            Some(Hanging::Points { linkage, seats })
        });
        sampled.unwrap_or_else(|| {
            let given = axle.spring.as_ref().and_then(|spring| spring.motion_ratio);
            let (usual, range) = typical_ratio(axle.layout);
            Hanging::Ratio(match given {
                Some(ratio) => Figure::known("spring motion ratio", "", ratio, ""),
                None => Figure::typical("spring motion ratio", "", usual, range, axle.layout.phrase()),
            })
        })
    }

    /// The motion ratio with its axle and origin.
    fn named(hanging: Hanging, axle: &str, from: &Provenance) -> Hanging {
        match hanging {
            Hanging::Ratio(ratio) if ratio.range.is_none() => {
                Hanging::Ratio(Figure::of_file(format!("{axle}, {}", ratio.what), "", ratio.value, from, 0.1))
            }
            Hanging::Ratio(ratio) => {
                Hanging::Ratio(Figure { what: format!("{axle}, {}", ratio.what), ..ratio })
            }
            points => points,
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

    /// Whether the leverage of the spring is only typical.
    pub(crate) fn leverage_is_typical(&self) -> bool {
        matches!(&self.hanging, Hanging::Ratio(ratio) if ratio.range.is_some())
    }

    /// Where the travel ends, full droop and bump stop, where that is known.
    pub(crate) fn ends(&self) -> (Option<f64>, Option<f64>) {
        (self.droop, self.bump)
    }

    fn corner(&self) -> Option<CornerSpring> {
        let free = self.free.as_ref().map_or(ANY_FREE_LENGTH, |f| f.value);
        let solid = self.solid.filter(|_| self.free.is_some()).and_then(|s| Length::from_mm(s).ok());
        Some(CornerSpring {
            coil: Coil::new(self.rate.value, Length::from_mm(free).ok()?, solid).ok()?,
            linkage: self.linkage()?,
            collar: self.collar,
            tyre_rate: Some(self.tyre_rate.value),
            unsprung: self.unsprung.value * GRAVITY,
            bump_stop: self.bump.map(|at| (at, self.bump_rate.value)),
            droop: self.droop,
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
        Some(Stance { springs, load })
    }

    /// Every figure ready to be shown.
    pub(crate) fn views(&self) -> Vec<super::figures::InputView> {
        let mut copy = self.clone();
        let mut views: Vec<_> = copy.each().into_iter().map(|figure| figure.view()).collect();
        for (axle, name) in self.axles.iter().zip(["front", "rear"]) {
            if let Hanging::Points { linkage, .. } = &axle.hanging {
                let ratio = linkage.at(0.0).1;
                let figure =
                    Figure::known(format!("{name}, spring motion ratio"), "", ratio, "from the hardpoints");
                views.push(figure.view());
            }
        }
        views
    }
}
