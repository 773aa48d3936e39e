//! The numbers a corner depends on.

use super::adjuster::MOST_ADJUSTERS;
use super::point::PerPoint;
use super::spec::CornerSpec;
use crate::mathematics::{Dual, Vec3};

/// Every number a corner depends on, of whatever scalar: what sensitivities are taken by.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Values<S> {
    pub(crate) design: PerPoint<Vec3<S>>,
    pub(crate) shift: PerPoint<Vec3<S>>,
    pub(crate) setting: [S; MOST_ADJUSTERS],
    pub(crate) camber_deg: S,
    pub(crate) toe_deg: S,
    pub(crate) radius: S,
    pub(crate) travel: S,
    pub(crate) rack: S,
}

impl Values<f64> {
    /// The numbers of a description; points that were not given stand at nought and are not used.
    pub(crate) fn of(spec: &CornerSpec) -> Self {
        let mut design = PerPoint::filled(Vec3::default());
        for (point, place) in spec.points() {
            design[point] = place;
        }
        let mut setting = [0.0; MOST_ADJUSTERS];
        for (slot, (_, value)) in setting.iter_mut().zip(&spec.adjusters) {
            *slot = *value;
        }
        Self {
            design,
            shift: PerPoint::filled(Vec3::default()),
            setting,
            camber_deg: spec.camber_deg,
            toe_deg: spec.toe_deg,
            radius: spec.loaded_radius,
            travel: 0.0,
            rack: 0.0,
        }
    }

    /// The same numbers, ready to carry derivatives.
    pub(crate) fn lifted(&self) -> Values<Dual<f64>> {
        let f = Dual::fixed;
        Values {
            design: self.design.map(|v| v.map(f)),
            shift: self.shift.map(|v| v.map(f)),
            setting: self.setting.map(f),
            camber_deg: f(self.camber_deg),
            toe_deg: f(self.toe_deg),
            radius: f(self.radius),
            travel: f(self.travel),
            rack: f(self.rack),
        }
    }
}
