//! Room between the tyre and the spring on a strut, where their sizes are in the file.

use super::figures::{Figure, InputView, tyre_size};
use crate::units::Units;
use axlestand_geometry::kinematics::{Corner, Point, RoundPart, Solved, Tyre};
use axlestand_model::Layout;
use axlestand_model::car::{Axle, Car};

/// Tyre and spring as cylinders.
#[derive(Debug, Clone)]
pub(crate) struct Room {
    tyre: Tyre,
    /// Radius of the spring's outside, mm.
    coil: f64,
    spring_from: String,
    tyre_from: String,
}

impl Room {
    /// From the tyre's designation and the coil's sizes; `None` where one is missing or the axle has
    /// no strut.
    pub(crate) fn of(car: &Car, axle: &Axle) -> Option<Self> {
        let designation = car.tyre.as_deref()?;
        let spring = axle.spring.as_ref()?;
        let (wire, mean) = (spring.wire?.mm(), spring.coil_diameter?.mm());
        let (radius, width) = tyre_size(designation)?;
        (axle.layout == Layout::Strut).then(|| Self {
            tyre: Tyre { radius, width, outboard: 0.0 },
            coil: (mean + wire) / 2.0,
            spring_from: spring.provenance.to_string(),
            tyre_from: format!("tyre designation {designation}"),
        })
    }

    /// The least gap at a solved position, mm: the spring from its lower seat to its upper one, or
    /// from the strut's lower point to its top where the seats are not given.
    pub(crate) fn gap(&self, corner: &Corner, at: &Solved) -> Option<f64> {
        let point = |which: Point| corner.spec().point(which);
        let (low, top) = (point(Point::StrutSeat)?, point(Point::StrutTop)?);
        let along = |to: axlestand_geometry::Vec3| (to - low).dot((top - low).unit());
        let from = point(Point::SpringSeat).map_or(0.0, along);
        let to = point(Point::SpringTop).map_or_else(|| along(top), along);
        corner.tyre_gap(at, &self.tyre, &RoundPart { radius: self.coil, from, to })
    }

    /// What went in.
    pub(crate) fn views(&self, units: Units) -> Vec<InputView> {
        let known = |what: &str, mm: f64, from: &str| Figure::known(what, "mm", mm, from).view(units);
        vec![
            known("tyre radius, unloaded", self.tyre.radius, &self.tyre_from),
            known("tyre width", self.tyre.width, &self.tyre_from),
            known("spring radius outside", self.coil, &self.spring_from),
        ]
    }
}
