//! Roll stiffness, load transfer, support angles.

use axlestand_quantity::{Length, STANDARD_GRAVITY};

/// Torsional stiffness of a straight round anti-roll bar, N·m/rad: G π d⁴ / (32 L), shear modulus
/// in MPa (steel 79 000). `None` for sizes that are not positive.
#[must_use]
pub fn bar_torsion(diameter: Length, length: Length, shear_modulus_mpa: f64) -> Option<f64> {
    let (d, l) = (diameter.mm(), length.mm());
    let stiffness = shear_modulus_mpa * std::f64::consts::PI * d.powi(4) / (32.0 * l) / 1000.0;
    (d > 0.0 && l > 0.0 && stiffness > 0.0 && stiffness.is_finite()).then_some(stiffness)
}

/// Rate of the bar at the wheel, N per mm of difference between left and right travel:
/// k_t (MR/a)², from its torsional stiffness (N·m/rad), the arm's length and the motion ratio of
/// the arm's end.
#[must_use]
pub fn bar_rate_at_wheel(torsion: f64, arm: Length, motion_ratio: f64) -> Option<f64> {
    let rate = torsion * 1000.0 * (motion_ratio / arm.mm()).powi(2);
    (arm.mm() > 0.0 && rate >= 0.0 && rate.is_finite()).then_some(rate)
}

/// Roll stiffness of one axle, N·m/deg: springs k_w t²/2 and bar k_b t², with wheel rate and bar rate
/// at the wheel in N/mm and the track.
#[must_use]
pub fn roll_stiffness(wheel_rate: f64, bar_rate: f64, track: Length) -> f64 {
    let t = track.mm() / 1000.0;
    1000.0 * (wheel_rate / 2.0 + bar_rate) * t * t * std::f64::consts::PI / 180.0
}

/// Roll per lateral acceleration, degrees per g: φ/a = m d / (K − m g d), from the sprung mass
/// (kg), the height of its centre above the roll axis (mm) and the roll stiffness (N·m/rad). Barton
/// and Fieldhouse, *Automotive Chassis Engineering*, 2018, p. 174. `None` where the body would fall
/// over.
#[must_use]
pub fn roll_angle_per_g(sprung_mass: f64, above_roll_axis: f64, stiffness: f64) -> Option<f64> {
    let g = STANDARD_GRAVITY;
    let lever = sprung_mass * above_roll_axis / 1000.0;
    let left = stiffness - lever * g;
    let angle = (lever * g / left).to_degrees();
    (left > 0.0 && angle.is_finite()).then_some(angle)
}

/// One axle's share in lateral load transfer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axle {
    /// Roll stiffness, N·m/rad.
    pub roll_stiffness: f64,
    /// Sprung mass it carries, kg.
    pub sprung_mass: f64,
    /// Roll-centre height, mm.
    pub roll_centre: f64,
    /// Unsprung mass, kg.
    pub unsprung_mass: f64,
    /// Height of the unsprung mass, mm.
    pub unsprung_height: f64,
    /// Track, mm.
    pub track: f64,
}

/// Load that goes from the inner to the outer wheel, N, by its ways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LateralTransfer {
    /// By roll: K φ / t, N.
    pub elastic: f64,
    /// Through the links: m a h_rc / t, N.
    pub geometric: f64,
    /// Of the unsprung mass: m_u a h_u / t, N.
    pub unsprung: f64,
}

impl Axle {
    /// Lateral load transfer at a lateral acceleration (m/s²) and roll angle (rad). Barton and
    /// Fieldhouse, 2018, p. 174.
    #[must_use]
    pub fn transfer(&self, acceleration: f64, roll: f64) -> LateralTransfer {
        let over = |mass: f64, height: f64| mass * acceleration * height / self.track;
        LateralTransfer {
            elastic: self.roll_stiffness * roll * 1000.0 / self.track,
            geometric: over(self.sprung_mass, self.roll_centre),
            unsprung: over(self.unsprung_mass, self.unsprung_height),
        }
    }
}

/// Anti-dive of the front axle in percent of the brake dive: 100 p (dx/dz) L / h, with the share `p`
/// of brake force in front, the [`contact_slope`](crate::kinematics::Outputs::contact_slope)
/// (outboard brakes), wheelbase and height of the centre of gravity.
#[must_use]
pub fn anti_dive_percent(
    front_share: f64,
    contact_slope: f64,
    wheelbase: Length,
    gravity_height: Length,
) -> Option<f64> {
    let percent = 100.0 * front_share * contact_slope * wheelbase.mm() / gravity_height.mm();
    (gravity_height.mm() > 0.0 && percent.is_finite()).then_some(percent)
}
