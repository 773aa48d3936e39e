//! The named points of a suspension corner.

/// A point of one corner of the car. Which ones a car needs follows from its
/// [`Layout`](super::Layout) and from what is to be computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Point {
    /// Centre of the wheel, in the wheel's middle plane.
    WheelCentre,
    /// Centre of the lower ball joint.
    LowerBall,
    /// Front pivot of the lower control arm.
    LowerFront,
    /// Rear pivot of the lower control arm.
    LowerRear,
    /// Centre of the upper ball joint.
    UpperBall,
    /// Front pivot of the upper control arm.
    UpperFront,
    /// Rear pivot of the upper control arm.
    UpperRear,
    /// Top mount of the strut: centre of its bearing.
    StrutTop,
    /// A second point on the strut's axis, fixed to the knuckle (the lower spring seat serves).
    StrutSeat,
    /// Inner joint of the tie rod, at the rack.
    TieRodInner,
    /// Outer joint of the tie rod, at the steering arm.
    TieRodOuter,
    /// Chassis end of link 1 of a five-link suspension or link axle.
    Link1Inner,
    /// Wheel end of link 1.
    Link1Outer,
    /// Chassis end of link 2.
    Link2Inner,
    /// Wheel end of link 2.
    Link2Outer,
    /// Chassis end of link 3.
    Link3Inner,
    /// Wheel end of link 3.
    Link3Outer,
    /// Chassis end of link 4.
    Link4Inner,
    /// Wheel end of link 4.
    Link4Outer,
    /// Chassis end of link 5, the toe link.
    Link5Inner,
    /// Wheel end of link 5.
    Link5Outer,
    /// Inner pivot of a semi-trailing or trailing arm.
    ArmInnerPivot,
    /// Outer pivot of a semi-trailing or trailing arm.
    ArmOuterPivot,
    /// Bushing at which a twist beam's arm turns in the body.
    BeamPivot,
    /// Shear centre of a twist beam's cross member, in the car's middle.
    BeamShearCentre,
    /// Front eye of a leaf spring, on the body.
    LeafFrontEye,
    /// Upper seat of the spring, on the body.
    SpringTop,
    /// Lower seat of the spring, on the part that carries it.
    SpringSeat,
    /// Upper mount of the damper, on the body.
    DamperTop,
    /// Lower mount of the damper, on the part that carries it.
    DamperSeat,
    /// A point on the anti-roll bar's axis, at the bend to this side's arm.
    BarPivot,
    /// End of the anti-roll bar's arm: the link's joint at the bar.
    BarArmEnd,
    /// The bar link's joint at the suspension.
    BarLinkEnd,
    /// Centre of the inner joint of the drive axle.
    AxleInner,
    /// Centre of the outer joint of the drive axle.
    AxleOuter,
}

/// How many points there are.
pub(crate) const POINTS: usize = 35;

impl Point {
    /// Every point, in order.
    pub const ALL: [Self; POINTS] = [
        Self::WheelCentre,
        Self::LowerBall,
        Self::LowerFront,
        Self::LowerRear,
        Self::UpperBall,
        Self::UpperFront,
        Self::UpperRear,
        Self::StrutTop,
        Self::StrutSeat,
        Self::TieRodInner,
        Self::TieRodOuter,
        Self::Link1Inner,
        Self::Link1Outer,
        Self::Link2Inner,
        Self::Link2Outer,
        Self::Link3Inner,
        Self::Link3Outer,
        Self::Link4Inner,
        Self::Link4Outer,
        Self::Link5Inner,
        Self::Link5Outer,
        Self::ArmInnerPivot,
        Self::ArmOuterPivot,
        Self::BeamPivot,
        Self::BeamShearCentre,
        Self::LeafFrontEye,
        Self::SpringTop,
        Self::SpringSeat,
        Self::DamperTop,
        Self::DamperSeat,
        Self::BarPivot,
        Self::BarArmEnd,
        Self::BarLinkEnd,
        Self::AxleInner,
        Self::AxleOuter,
    ];

    /// The five links of a five-link suspension, chassis end first.
    pub(crate) const LINKS: [(Self, Self); 5] = [
        (Self::Link1Inner, Self::Link1Outer),
        (Self::Link2Inner, Self::Link2Outer),
        (Self::Link3Inner, Self::Link3Outer),
        (Self::Link4Inner, Self::Link4Outer),
        (Self::Link5Inner, Self::Link5Outer),
    ];

    /// The trade's name for it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::WheelCentre => "wheel centre",
            Self::LowerBall => "lower ball joint",
            Self::LowerFront => "lower arm front pivot",
            Self::LowerRear => "lower arm rear pivot",
            Self::UpperBall => "upper ball joint",
            Self::UpperFront => "upper arm front pivot",
            Self::UpperRear => "upper arm rear pivot",
            Self::StrutTop => "strut top mount",
            Self::StrutSeat => "strut lower point",
            Self::TieRodInner => "inner tie-rod joint",
            Self::TieRodOuter => "outer tie-rod joint",
            Self::Link1Inner => "link 1 inner joint",
            Self::Link1Outer => "link 1 outer joint",
            Self::Link2Inner => "link 2 inner joint",
            Self::Link2Outer => "link 2 outer joint",
            Self::Link3Inner => "link 3 inner joint",
            Self::Link3Outer => "link 3 outer joint",
            Self::Link4Inner => "link 4 inner joint",
            Self::Link4Outer => "link 4 outer joint",
            Self::Link5Inner => "link 5 inner joint",
            Self::Link5Outer => "link 5 outer joint",
            Self::ArmInnerPivot => "arm inner pivot",
            Self::ArmOuterPivot => "arm outer pivot",
            Self::BeamPivot => "beam pivot",
            Self::BeamShearCentre => "beam shear centre",
            Self::LeafFrontEye => "leaf-spring front eye",
            Self::SpringTop => "spring upper seat",
            Self::SpringSeat => "spring lower seat",
            Self::DamperTop => "damper upper mount",
            Self::DamperSeat => "damper lower mount",
            Self::BarPivot => "anti-roll bar pivot",
            Self::BarArmEnd => "anti-roll bar arm end",
            Self::BarLinkEnd => "bar-link joint at the suspension",
            Self::AxleInner => "drive-axle inner joint",
            Self::AxleOuter => "drive-axle outer joint",
        }
    }

    /// Whether the point is fixed to the body of the car (before adjusters move it).
    #[must_use]
    pub fn on_body(self) -> bool {
        matches!(
            self,
            Self::LowerFront
                | Self::LowerRear
                | Self::UpperFront
                | Self::UpperRear
                | Self::StrutTop
                | Self::TieRodInner
                | Self::Link1Inner
                | Self::Link2Inner
                | Self::Link3Inner
                | Self::Link4Inner
                | Self::Link5Inner
                | Self::ArmInnerPivot
                | Self::ArmOuterPivot
                | Self::BeamPivot
                | Self::BeamShearCentre
                | Self::LeafFrontEye
                | Self::SpringTop
                | Self::DamperTop
                | Self::BarPivot
                | Self::BarArmEnd
                | Self::AxleInner
        )
    }
}

impl std::fmt::Display for Point {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}

/// A table with room for every point.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PerPoint<T>([T; POINTS]);

impl<T: Copy> PerPoint<T> {
    pub(crate) fn filled(value: T) -> Self {
        Self([value; POINTS])
    }

    pub(crate) fn map<U>(&self, f: impl Fn(T) -> U) -> PerPoint<U> {
        PerPoint(self.0.map(f))
    }
}

impl<T> std::ops::Index<Point> for PerPoint<T> {
    type Output = T;
    fn index(&self, point: Point) -> &T {
        &self.0[point as usize]
    }
}

impl<T> std::ops::IndexMut<Point> for PerPoint<T> {
    fn index_mut(&mut self, point: Point) -> &mut T {
        &mut self.0[point as usize]
    }
}
