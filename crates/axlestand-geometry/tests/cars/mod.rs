//! The cars the tests are run on, each with its source, and small tools to read recorded curves
//! and to draw random numbers that are the same everywhere.
#![allow(dead_code, unreachable_pub, reason = "each test file uses its own part")]
#![allow(clippy::unwrap_used, reason = "a check fails by panicking")]

use axlestand_geometry::Vec3;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{
    Adjuster, AxleHold, AxleSpec, BallJoint, Carrier, CornerSpec, Layout, Point as P, Swing,
};

/// Spatial strut, invented: a plausible small front-drive car.
pub fn strut() -> CornerSpec {
    let mut spec = CornerSpec::new(Layout::Strut, Side::Left, 290.0)
        .with(P::WheelCentre, 0.0, 735.0, 290.0)
        .with(P::LowerBall, 5.0, 690.0, 190.0)
        .with(P::LowerFront, 10.0, 345.0, 212.0)
        .with(P::LowerRear, -300.0, 370.0, 222.0)
        .with(P::StrutTop, -25.0, 565.0, 800.0)
        .with(P::StrutSeat, -6.0, 628.0, 420.0)
        .with(P::TieRodInner, -140.0, 330.0, 238.0)
        .with(P::TieRodOuter, -140.0, 665.0, 222.0);
    spec.camber_deg = -0.5;
    spec
}

/// The strut with the adjusters of the recorded sensitivities.
pub fn adjustable_strut() -> CornerSpec {
    let mut spec = strut();
    let shift = |point, x, y, z| Adjuster::Shift { point, direction: Vec3::new(x, y, z) };
    spec.adjusters = [
        Adjuster::TieRod,
        shift(P::TieRodInner, 0.0, 0.0, 1.0),
        shift(P::LowerFront, 0.0, 1.0, 0.0),
        shift(P::LowerRear, 0.0, 1.0, 0.0),
        shift(P::StrutTop, 0.0, 1.0, 0.0),
        shift(P::StrutTop, 1.0, 0.0, 0.0),
        Adjuster::StrutTurn { bolt: Vec3::new(-4.0, 640.0, 335.0), axis: Vec3::new(1.0, 0.0, 0.0) },
    ]
    .map(|a| (a, 0.0))
    .to_vec();
    spec
}

/// The same strut with drive axle, anti-roll bar and joints.
pub fn full_strut() -> CornerSpec {
    let mut spec = strut()
        .with(P::AxleInner, -8.0, 300.0, 285.0)
        .with(P::AxleOuter, 0.0, 670.0, 290.0)
        .with(P::BarPivot, -330.0, 420.0, 250.0)
        .with(P::BarArmEnd, -90.0, 590.0, 240.0)
        .with(P::BarLinkEnd, -70.0, 600.0, 520.0);
    let up = Vec3::new(0.0, 0.0, 1.0);
    let joint = |point, swing, axis| BallJoint { point, swing, axis, limit_deg: Some(25.0) };
    spec.joints = vec![
        joint(P::TieRodOuter, Swing::StudAcrossRod, up),
        joint(P::TieRodInner, Swing::RodFromAxis, Vec3::new(0.0, 1.0, 0.0)),
        joint(P::LowerBall, Swing::KnuckleFromArm, up),
    ];
    spec
}

/// Double wishbone with rack, G. Rill and A. Arrieta Castro, *Road Vehicle Dynamics*, 2nd ed., CRC
/// 2020, chapter 5 listing; metres there, left wheel, wheel centre at height nought.
pub fn rill() -> CornerSpec {
    let mut spec = CornerSpec::new(Layout::DoubleWishbone, Side::Left, 285.0)
        .with(P::WheelCentre, 0.0, 768.0, 0.0)
        .with(P::LowerRear, -251.0, 320.0, -80.0)
        .with(P::LowerFront, 148.0, 320.0, -94.0)
        .with(P::LowerBall, 13.0, 737.0, -145.0)
        .with(P::UpperRear, -105.0, 435.0, 196.0)
        .with(P::UpperFront, 122.0, 435.0, 230.0)
        .with(P::UpperBall, -25.0, 680.0, 162.0)
        .with(P::TieRodInner, -150.0, 380.0, -38.0)
        .with(P::TieRodOuter, -137.0, 690.0, -88.0);
    // The listing writes the spin axis as (0, 1, −0.8 π/180) and normalises it.
    spec.camber_deg = (0.8_f64.to_radians()).atan().to_degrees();
    spec
}

/// Double wishbone of C. H. Suh, SAE 910017 (1991), coordinates as a public script has them
/// that names the paper; x turned forward.
pub fn suh() -> CornerSpec {
    CornerSpec::new(Layout::DoubleWishbone, Side::Left, 274.0)
        .with(P::WheelCentre, 54.137, 718.938, -45.0)
        .with(P::UpperBall, 49.496, 603.805, 71.853)
        .with(P::LowerBall, 58.341, 624.368, -150.141)
        .with(P::UpperFront, 127.0, 383.25, 106.2)
        .with(P::UpperRear, -32.0, 383.25, 95.2)
        .with(P::LowerFront, 358.0, 314.75, -67.6)
        .with(P::LowerRear, 55.65, 232.2, -110.65)
        .with(P::TieRodInner, 158.0, 360.5, -66.6)
        .with(P::TieRodOuter, 174.166, 633.511, -98.29)
}

/// A double wishbone with spring, damper and bar link on its lower arm: Rill's points, the rest
/// invented.
pub fn full_wishbone() -> CornerSpec {
    let mut spec = rill()
        .with(P::SpringTop, -10.0, 560.0, 260.0)
        .with(P::SpringSeat, -5.0, 610.0, -120.0)
        .with(P::DamperTop, -30.0, 550.0, 280.0)
        .with(P::DamperSeat, -20.0, 620.0, -118.0)
        .with(P::BarPivot, -320.0, 350.0, -60.0)
        .with(P::BarArmEnd, -80.0, 560.0, -70.0)
        .with(P::BarLinkEnd, -60.0, 570.0, -115.0)
        .with(P::AxleInner, 5.0, 250.0, 5.0)
        .with(P::AxleOuter, 2.0, 690.0, 1.0);
    spec.spring_on = Carrier::LowerArm;
    spec.damper_on = Carrier::LowerArm;
    spec.bar_link_on = Carrier::LowerArm;
    spec
}

/// Five-link, invented.
pub fn five_link() -> CornerSpec {
    let mut spec = CornerSpec::new(Layout::FiveLink, Side::Left, 310.0)
        .with(P::WheelCentre, 0.0, 740.0, 310.0)
        .with(P::Link1Inner, 180.0, 400.0, 205.0)
        .with(P::Link1Outer, 25.0, 690.0, 190.0)
        .with(P::Link2Inner, -210.0, 380.0, 215.0)
        .with(P::Link2Outer, -40.0, 695.0, 185.0)
        .with(P::Link3Inner, 90.0, 430.0, 455.0)
        .with(P::Link3Outer, 15.0, 640.0, 450.0)
        .with(P::Link4Inner, -130.0, 445.0, 470.0)
        .with(P::Link4Outer, -25.0, 645.0, 455.0)
        .with(P::Link5Inner, -190.0, 395.0, 276.0)
        .with(P::Link5Outer, -130.0, 690.0, 255.0);
    spec.camber_deg = -0.8;
    spec
}

/// The five-link with its spring on link 2 and its damper on the knuckle, invented.
pub fn full_five_link() -> CornerSpec {
    let mut spec = five_link()
        .with(P::SpringTop, -120.0, 545.0, 480.0)
        .with(P::SpringSeat, -120.0, 550.0, 215.0)
        .with(P::DamperTop, -60.0, 600.0, 640.0)
        .with(P::DamperSeat, -55.0, 670.0, 230.0);
    spec.spring_on = Carrier::Rod(1);
    spec
}

/// Semi-trailing arm, invented.
pub fn semi_trailing() -> CornerSpec {
    CornerSpec::new(Layout::SemiTrailing, Side::Left, 310.0)
        .with(P::ArmInnerPivot, 330.0, 250.0, 320.0)
        .with(P::ArmOuterPivot, 430.0, 560.0, 310.0)
        .with(P::WheelCentre, 0.0, 720.0, 310.0)
}

/// The semi-trailing arm with spring and damper, invented.
pub fn full_semi_trailing() -> CornerSpec {
    semi_trailing()
        .with(P::SpringTop, 120.0, 480.0, 520.0)
        .with(P::SpringSeat, 120.0, 485.0, 290.0)
        .with(P::DamperTop, -40.0, 560.0, 640.0)
        .with(P::DamperSeat, -50.0, 600.0, 250.0)
}

/// Live axle on three trailing links and a lateral rod, invented.
pub fn live_axle() -> AxleSpec {
    let v = Vec3::new;
    let rod = |inner, outer| AxleHold::Rod { inner, outer };
    AxleSpec {
        left: v(0.0, 700.0, 300.0),
        right: v(0.0, -700.0, 300.0),
        holds: [
            rod(v(550.0, 480.0, 270.0), v(20.0, 480.0, 230.0)),
            rod(v(550.0, -480.0, 270.0), v(20.0, -480.0, 230.0)),
            rod(v(380.0, 0.0, 420.0), v(0.0, 0.0, 430.0)),
            rod(v(-60.0, 520.0, 340.0), v(-60.0, -480.0, 330.0)),
        ],
        camber_deg: 0.0,
        toe_deg: 0.0,
    }
}

/// A full corner of every layout.
pub fn every_layout() -> [CornerSpec; 4] {
    [full_strut(), full_wishbone(), full_five_link(), full_semi_trailing()]
}

/// A planar strut or double wishbone (y outboard, z up) as a spatial one: arms with their pivots
/// 100 mm ahead and behind, and a copy of the lower arm 200 mm ahead as tie rod, which keeps the
/// knuckle in the plane.
pub fn planar(
    wheel: [f64; 2],
    lower: [[f64; 2]; 2],
    upper: Result<[[f64; 2]; 2], [[f64; 2]; 2]>,
    radius: f64,
) -> CornerSpec {
    let layout = if upper.is_ok() { Layout::DoubleWishbone } else { Layout::Strut };
    let spec = CornerSpec::new(layout, Side::Left, radius)
        .with(P::WheelCentre, 0.0, wheel[0], wheel[1])
        .with(P::LowerBall, 0.0, lower[1][0], lower[1][1])
        .with(P::LowerFront, 100.0, lower[0][0], lower[0][1])
        .with(P::LowerRear, -100.0, lower[0][0], lower[0][1])
        .with(P::TieRodInner, 200.0, lower[0][0], lower[0][1])
        .with(P::TieRodOuter, 200.0, lower[1][0], lower[1][1]);
    match upper {
        Ok([inner, outer]) => spec
            .with(P::UpperBall, 0.0, outer[0], outer[1])
            .with(P::UpperFront, 100.0, inner[0], inner[1])
            .with(P::UpperRear, -100.0, inner[0], inner[1]),
        Err([top, seat]) => {
            spec.with(P::StrutTop, 0.0, top[0], top[1]).with(P::StrutSeat, 0.0, seat[0], seat[1])
        }
    }
}

/// Rows of a recorded curve; lines that begin with # are remarks.
pub fn rows(text: &str) -> Vec<Vec<f64>> {
    let lines = text.lines().filter(|l| !l.starts_with('#') && !l.is_empty());
    lines.map(|l| l.split(',').map(|x| x.parse().unwrap()).collect()).collect()
}

/// A small generator of pseudo-random numbers (xorshift64*, Vigna 2016), the same on every machine.
pub struct Random(pub u64);

impl Random {
    /// Between −1 and 1.
    pub fn next(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let bits = self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11;
        bits as f64 / (1_u64 << 52) as f64 - 1.0
    }

    /// Normally distributed (sum of twelve).
    pub fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.next()).sum::<f64>() / 2.0
    }

    /// A vector with each coordinate within ±`size`.
    pub fn vector(&mut self, size: f64) -> Vec3 {
        Vec3::new(self.next() * size, self.next() * size, self.next() * size)
    }
}

/// A corner with every point moved at random by up to `size` mm.
pub fn jittered(spec: &CornerSpec, random: &mut Random, size: f64) -> CornerSpec {
    let mut out = spec.clone();
    for (point, place) in spec.points() {
        out.set(point, place + random.vector(size));
    }
    out.camber_deg += random.next();
    out.toe_deg += 0.5 * random.next();
    out
}
