//! Where the collars belong for wanted heights.

use super::car::{CarSprings, HeightError, Load, Place};

/// Wanted stance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heights {
    /// Wanted travels from the position at which the hardpoints were taken, mm, in the order of
    /// [`Place`]: hub to arch there less the wanted hub to arch.
    pub travels: [f64; 4],
    /// Wanted share of the weight on front right and rear left; without one the present share is
    /// kept.
    pub cross_weight: Option<f64>,
}

/// Collar positions and what they lead to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Collars {
    /// Collar of each corner from its reference, mm raised.
    pub collars: [f64; 4],
    /// Change of each collar from where it is, mm raised.
    pub changes: [f64; 4],
    /// Loads on the tyres, N.
    pub tyre_loads: [f64; 4],
    /// Travels that come of it, mm: a rigid body on level ground cannot take four free heights,
    /// so the wanted ones are met up to this much on each corner.
    pub travels: [f64; 4],
    /// By how much the wanted heights had to give way, mm, the largest of the four.
    pub misfit: f64,
}

impl CarSprings {
    /// The collar positions that bring the car to wanted heights and cross-weight under a load. Axle
    /// loads and roll balance follow from the weight alone; collars move only the cross-weight.
    ///
    /// # Errors
    /// [`HeightError`] for figures that cannot be, a cross-weight that would lift a wheel, a spring
    /// without leverage.
    pub fn collars_for(&self, load: &Load, wanted: &Heights) -> Result<Collars, HeightError> {
        self.check()?;
        let tyre_loads = self.loads_for(load, wanted.cross_weight)?;
        let travels = self.on_level_ground(load, &wanted.travels, &tyre_loads);
        let mut collars = [0.0; 4];
        for (i, place) in Place::ALL.into_iter().enumerate() {
            let corner = &self.corners[i];
            let (travel, across) = (travels[i], travels[i ^ 1]);
            let stop = corner.bump_stop.map_or(0.0, |(at, rate)| rate * (travel - at).max(0.0));
            let carried = tyre_loads[i] - corner.unsprung - self.bars[i / 2] * (travel - across) - stop;
            let (length, ratio, _) = corner.linkage.at(travel);
            if ratio < 0.01 {
                return Err(HeightError::NoLeverage(place));
            }
            if carried <= 0.0 {
                return Err(HeightError::WheelLifts(place));
            }
            collars[i] = length - (corner.coil.free_length() - carried / ratio / corner.coil.rate());
        }
        let mut changes = collars;
        let mut misfit = 0.0_f64;
        for i in 0..4 {
            changes[i] -= self.corners[i].collar;
            misfit = misfit.max((travels[i] - wanted.travels[i]).abs());
        }
        if collars.iter().all(|c| c.is_finite()) {
            Ok(Collars { collars, changes, tyre_loads, travels, misfit })
        } else {
            Err(HeightError::Figure("every wanted height in millimetres"))
        }
    }

    /// The loads on the tyres with the wanted cross-weight: axle sums and roll balance stay.
    fn loads_for(&self, load: &Load, cross: Option<f64>) -> Result<[f64; 4], HeightError> {
        let total: f64 = load.wheels.iter().sum();
        let now = (load.wheels[1] + load.wheels[2]) / total;
        let cross = cross.unwrap_or(now);
        if !(cross > 0.0 && cross < 1.0) {
            return Err(HeightError::Figure("the wanted cross-weight, a share between 0 and 1, "));
        }
        let pattern = self.cross_pattern();
        let share = (cross - now) * total / (pattern[1] + pattern[2]);
        let mut loads = load.wheels;
        for ((l, p), place) in loads.iter_mut().zip(pattern).zip(Place::ALL) {
            *l += share * p;
            if *l <= 0.0 {
                return Err(HeightError::WheelLifts(place));
            }
        }
        Ok(loads)
    }

    /// The wanted travels made possible for a rigid body on four tyres on level ground: their
    /// diagonal pattern is that of the tyres, whatever was wanted.
    fn on_level_ground(&self, load: &Load, wanted: &[f64; 4], loads: &[f64; 4]) -> [f64; 4] {
        let pattern = self.cross_pattern();
        let (mut off, mut square) = (0.0, 0.0);
        for i in 0..4 {
            let give = self.corners[i].tyre_rate.map_or(0.0, |k| (load.wheels[i] - loads[i]) / k);
            off += pattern[i] * (give - wanted[i]);
            square += pattern[i] * pattern[i];
        }
        let mut travels = *wanted;
        for (t, p) in travels.iter_mut().zip(pattern) {
            *t += off / square * p;
        }
        travels
    }
}
