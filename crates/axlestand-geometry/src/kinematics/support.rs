//! How much of the load that braking or driving throws from one axle to the other the links carry.

/// Share of the load transfer that an axle's links carry instead of its springs, percent: 0 leaves
/// all of it to the springs, at 100 they do not move. Anti-dive, anti-lift and anti-squat are this
/// number.
///
/// `slope` is how far the wheel goes per mm of rise towards its own end of the car: forward
/// positive at the front while braking, rearward positive at the rear. It is the contact point's
/// ([`Outputs::contact_slope`](super::Outputs::contact_slope)) where brake or drive torque is held by
/// the knuckle or the axle itself, and the wheel centre's where it comes through shafts from the body.
/// `share` is the axle's share of the brake or drive force, `wheelbase` and `cg_height` (above the
/// ground) are in the same unit.
///
/// From virtual work: a force p·F at the wheel does p·F·slope per mm of rise, which the spring does
/// not have to do of its part F·h/L of the load transfer, so it is 100 · p · slope · L / h.
#[must_use]
pub fn support_percent(slope: f64, share: f64, wheelbase: f64, cg_height: f64) -> f64 {
    100.0 * share * slope * wheelbase / cg_height
}

#[cfg(test)]
mod tests {
    use super::support_percent;

    #[test]
    fn a_worked_figure() {
        // A support angle of 3.576° (tan = 0.0625), 60 % of the braking at the front, wheelbase 2.5 m,
        // centre of gravity at 0.53 m: 0.0625 · 0.6 · 2.5 / 0.53 = 17.7 %.
        assert!((support_percent(0.0625, 0.6, 2500.0, 530.0) - 17.689).abs() < 1e-3);
    }
}
