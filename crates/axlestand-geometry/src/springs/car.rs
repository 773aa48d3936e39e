//! The four corners of a car on their springs: what goes in.

use super::coil::Coil;
use super::linkage::Linkage;
use crate::mathematics::Lu;

/// A wheel of the car, in the order in which four values are given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// Front left.
    FrontLeft,
    /// Front right.
    FrontRight,
    /// Rear left.
    RearLeft,
    /// Rear right.
    RearRight,
}

impl Place {
    /// All four, in order.
    pub const ALL: [Self; 4] = [Self::FrontLeft, Self::FrontRight, Self::RearLeft, Self::RearRight];
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::FrontLeft => "front left",
            Self::FrontRight => "front right",
            Self::RearLeft => "rear left",
            Self::RearRight => "rear right",
        })
    }
}

/// One corner's spring and tyre.
#[derive(Debug, Clone, PartialEq)]
pub struct CornerSpring {
    /// The spring.
    pub coil: Coil,
    /// How long its space is over travel, with the collar at its reference.
    pub linkage: Linkage,
    /// Collar or seat raised towards the spring from its reference, mm: 10 mm more shortens the
    /// spring's space by 10 mm and raises the car.
    pub collar: f64,
    /// Tyre rate, N/mm; without one the tyre counts as rigid.
    pub tyre_rate: Option<f64>,
    /// Weight of wheel and other unsprung parts, N.
    pub unsprung: f64,
    /// Travel at which the bump stop is touched, mm, and its rate, N/mm of travel, where known.
    pub bump_stop: Option<(f64, f64)>,
    /// Travel at full droop, mm, where known.
    pub droop: Option<f64>,
}

/// A car on four springs, in the order of [`Place`].
#[derive(Debug, Clone, PartialEq)]
pub struct CarSprings {
    /// The corners.
    pub corners: [CornerSpring; 4],
    /// Rate of front and rear anti-roll bar at the wheel, N per mm of difference in travel; nought
    /// without one or with its links off.
    pub bars: [f64; 2],
    /// Distance between the axles, mm.
    pub wheelbase: f64,
    /// Front and rear track, mm.
    pub tracks: [f64; 2],
}

/// Why the car's stance cannot be computed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum HeightError {
    /// A figure that cannot be.
    #[error("{0} must be a positive number; check it")]
    Figure(&'static str),
    /// A figure that is below nought, or no number.
    #[error("{0} must be a number, 0 or more; check it")]
    BelowNought(&'static str),
    /// The balance was not found.
    #[error(
        "the springs do not carry the car within the travel looked at; check rates, free lengths and loads at the {0}"
    )]
    NoBalance(Place),
    /// A wanted load on a wheel is not positive.
    #[error("the {0} wheel would carry nothing; the wanted cross-weight cannot be had")]
    WheelLifts(Place),
    /// A motion ratio of next to nothing at the wanted height.
    #[error("the {0} spring has no leverage at the wanted height")]
    NoLeverage(Place),
}

/// What the springs carry: weight and where it acts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Weight on the springs, N.
    pub sprung: f64,
    /// Where it acts, mm behind the front axle.
    pub behind_front: f64,
    /// Where it acts, mm to the left of the middle.
    pub left: f64,
    /// What the four scales showed, N: the cross-weight as it is.
    pub wheels: [f64; 4],
}

impl CarSprings {
    /// Checks the figures.
    ///
    /// # Errors
    /// [`HeightError::Figure`] and [`HeightError::BelowNought`] naming the first that cannot be.
    pub fn check(&self) -> Result<(), HeightError> {
        let positive = |x: f64, what| {
            if x.is_finite() && x > 0.0 { Ok(()) } else { Err(HeightError::Figure(what)) }
        };
        let nought_or_more = |x: f64, what| {
            if x.is_finite() && x >= 0.0 { Ok(()) } else { Err(HeightError::BelowNought(what)) }
        };
        positive(self.wheelbase, "the wheelbase")?;
        positive(self.tracks[0], "the front track")?;
        positive(self.tracks[1], "the rear track")?;
        nought_or_more(self.bars[0], "the front bar's rate")?;
        nought_or_more(self.bars[1], "the rear bar's rate")?;
        for corner in &self.corners {
            positive(corner.tyre_rate.unwrap_or(1.0), "a tyre rate")?;
            nought_or_more(corner.unsprung, "an unsprung weight")?;
            positive(corner.bump_stop.map_or(1.0, |b| b.1), "a bump stop's rate")?;
            // A collar goes up or down.
            nought_or_more(corner.collar.abs(), "a collar's height")?;
        }
        Ok(())
    }

    /// What the springs carry, from the loads on the four wheels (N) as scales show them: weight
    /// and centre of gravity keep when heights change (small angles).
    ///
    /// # Errors
    /// [`HeightError::Figure`] where a load is below the unsprung weight or a figure cannot be.
    pub fn load_from_scales(&self, wheels: [f64; 4]) -> Result<Load, HeightError> {
        self.check()?;
        let mut sprung = [0.0; 4];
        for ((s, w), corner) in sprung.iter_mut().zip(wheels).zip(&self.corners) {
            *s = w - corner.unsprung;
            if !(s.is_finite() && *s > 0.0) {
                return Err(HeightError::Figure("every wheel load less its unsprung weight"));
            }
        }
        let [fl, fr, rl, rr] = sprung;
        let total = fl + fr + rl + rr;
        Ok(Load {
            sprung: total,
            behind_front: self.wheelbase * (rl + rr) / total,
            left: ((fl - fr) * self.tracks[0] + (rl - rr) * self.tracks[1]) / 2.0 / total,
            wheels,
        })
    }

    /// Where each wheel is, mm forward of the front axle and left of the middle.
    pub(super) fn wheel_places(&self) -> [[f64; 2]; 4] {
        let [front, rear] = self.tracks.map(|t| t / 2.0);
        let back = -self.wheelbase;
        [[0.0, front], [0.0, -front], [back, rear], [back, -rear]]
    }

    /// The pattern of loads that leaves weight, pitch and roll balance alone: cross-weight.
    pub(super) fn cross_pattern(&self) -> [f64; 4] {
        let [front, rear] = self.tracks.map(|t| 1.0 / t);
        [front, -front, -rear, rear]
    }

    /// Wheel force (N) of a corner's spring and bump stop at a travel, its rate (N/mm).
    pub(super) fn wheel_force(corner: &CornerSpring, travel: f64) -> (f64, f64) {
        let (length, ratio, gradient) = corner.linkage.at(travel);
        let spring = corner.coil.at(length - corner.collar);
        let mut force = spring.force * ratio;
        let mut rate = if spring.force > 0.0 {
            corner.coil.rate() * ratio * ratio + spring.force * gradient
        } else {
            0.0
        };
        if let Some((from, stop)) = corner.bump_stop
            && travel > from
        {
            force += stop * (travel - from);
            rate += stop;
        }
        (force, rate)
    }

    /// Newton's method for the balance: body heave, pitch and roll slopes and four travels.
    /// Returns the travels.
    ///
    /// For each wheel: travel + body rise = −(load − load on scales) / tyre rate. For the body:
    /// forces and moments of the wheel forces equal those of the load.
    pub(super) fn balance(&self, load: &Load) -> Result<[f64; 4], HeightError> {
        let places = self.wheel_places();
        let other = [1, 0, 3, 2];
        let wanted = [load.sprung, -load.sprung * load.behind_front, load.sprung * load.left];
        let mut x = [0.0; 7];
        for _ in 0..200 {
            let mut left = [0.0; 7];
            let mut slope = [[0.0; 7]; 7];
            for (eq, w) in wanted.iter().enumerate() {
                left[eq] = -w;
            }
            for i in 0..4 {
                let corner = &self.corners[i];
                let (mine, theirs, bar) = (x[3 + i], x[3 + other[i]], self.bars[i / 2]);
                let (spring, rate) = Self::wheel_force(corner, mine);
                let force = spring + bar * (mine - theirs);
                // A loose spring gets a trace of stiffness, to find the way back.
                let (own, cross) = (rate.max(0.02 * corner.coil.rate()) + bar, -bar);
                let weights = [1.0, places[i][0], places[i][1]];
                for (eq, weight) in weights.iter().enumerate() {
                    left[eq] += weight * force;
                    slope[eq][3 + i] += weight * own;
                    slope[eq][3 + other[i]] += weight * cross;
                }
                let give = corner.tyre_rate.map_or(0.0, |k| 1.0 / k);
                let more = force + corner.unsprung - load.wheels[i];
                left[3 + i] = mine + x[0] + places[i][0] * x[1] + places[i][1] * x[2] + give * more;
                for (k, weight) in weights.iter().enumerate() {
                    slope[3 + i][k] = *weight;
                }
                slope[3 + i][3 + i] += 1.0 + give * own;
                slope[3 + i][3 + other[i]] += give * cross;
            }
            let step = Lu::of(slope).map(|lu| lu.solve(left.map(|r| -r)));
            let step = step.ok_or(HeightError::NoBalance(Place::FrontLeft))?;
            let most = step[3..].iter().fold(0.0_f64, |m, s| m.max(s.abs()));
            let share = if most > 40.0 { 40.0 / most } else { 1.0 };
            for (value, s) in x.iter_mut().zip(step) {
                *value += share * s;
            }
            if most < 1e-9 {
                return Ok([x[3], x[4], x[5], x[6]]);
            }
        }
        let far = (0..4).max_by(|a, b| x[3 + a].abs().total_cmp(&x[3 + b].abs())).unwrap_or(0);
        Err(HeightError::NoBalance(Place::ALL[far]))
    }
}
