//! The layouts a corner can have and the members that hold its knuckle.

use super::point::Point;

/// How a wheel is hung. Each layout holds the knuckle by five equations and leaves one freedom,
/// the wheel's travel; rack travel is an input beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Layout {
    /// Strut: a lower control arm (two pivots, one ball joint), a strut that slides through its
    /// top mount, a tie rod.
    Strut,
    /// Double wishbone: two control arms and a tie rod.
    DoubleWishbone,
    /// Five links with a joint at each end; link 5 is the toe link (the tie rod on a steered axle).
    FiveLink,
    /// One arm, rigid with the knuckle, on two pivots; trailing when they are level and across.
    SemiTrailing,
}

/// What one equation of a corner stands for, in the trade's words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Member {
    /// A rod, or one leg of a control arm, between two joints.
    Rod(Point, Point),
    /// The strut, which slides through its top mount.
    Strut,
    /// A pivot in the body.
    Pivot(Point),
    /// A body point that is kept on a plane.
    Guide,
    /// The wanted height of the wheel centre.
    WheelHeight,
}

impl std::fmt::Display for Member {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Rod(from, to) => write!(f, "{from} to {to}"),
            Self::Strut => f.write_str("the strut through its top mount"),
            Self::Pivot(point) => write!(f, "{point}"),
            Self::Guide => f.write_str("the sideways guide"),
            Self::WheelHeight => f.write_str("the wheel's height"),
        }
    }
}

/// Members as a list in words.
pub(crate) fn in_words(members: &[Member]) -> String {
    members.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}

const STRUT: [(Point, Point); 3] = [
    (Point::LowerFront, Point::LowerBall),
    (Point::LowerRear, Point::LowerBall),
    (Point::TieRodInner, Point::TieRodOuter),
];
const WISHBONES: [(Point, Point); 5] = [
    (Point::LowerFront, Point::LowerBall),
    (Point::LowerRear, Point::LowerBall),
    (Point::UpperFront, Point::UpperBall),
    (Point::UpperRear, Point::UpperBall),
    (Point::TieRodInner, Point::TieRodOuter),
];

impl Layout {
    /// Every layout of a single corner.
    pub const ALL: [Self; 4] = [Self::Strut, Self::DoubleWishbone, Self::FiveLink, Self::SemiTrailing];

    /// The points the layout cannot do without.
    #[must_use]
    pub fn points(self) -> &'static [Point] {
        use Point as P;
        match self {
            Self::Strut => &[
                P::WheelCentre,
                P::LowerBall,
                P::LowerFront,
                P::LowerRear,
                P::StrutTop,
                P::StrutSeat,
                P::TieRodInner,
                P::TieRodOuter,
            ],
            Self::DoubleWishbone => &[
                P::WheelCentre,
                P::LowerBall,
                P::LowerFront,
                P::LowerRear,
                P::UpperBall,
                P::UpperFront,
                P::UpperRear,
                P::TieRodInner,
                P::TieRodOuter,
            ],
            Self::FiveLink => &[
                P::WheelCentre,
                P::Link1Inner,
                P::Link1Outer,
                P::Link2Inner,
                P::Link2Outer,
                P::Link3Inner,
                P::Link3Outer,
                P::Link4Inner,
                P::Link4Outer,
                P::Link5Inner,
                P::Link5Outer,
            ],
            Self::SemiTrailing => &[P::WheelCentre, P::ArmInnerPivot, P::ArmOuterPivot],
        }
    }

    /// The rods, chassis end first, in the order of the equations.
    #[must_use]
    pub fn rods(self) -> &'static [(Point, Point)] {
        match self {
            Self::Strut => &STRUT,
            Self::DoubleWishbone => &WISHBONES,
            Self::FiveLink => &Point::LINKS,
            Self::SemiTrailing => &[],
        }
    }

    /// Which rod the rack moves: the tie rod or toe link.
    #[must_use]
    pub fn tie_rod(self) -> Option<usize> {
        match self {
            Self::Strut => Some(2),
            Self::DoubleWishbone | Self::FiveLink => Some(4),
            Self::SemiTrailing => None,
        }
    }

    /// What the six equations stand for, in order.
    #[must_use]
    pub fn members(self) -> [Member; 6] {
        let mut out = [Member::WheelHeight; 6];
        for (slot, (inner, outer)) in out.iter_mut().zip(self.rods()) {
            *slot = Member::Rod(*inner, *outer);
        }
        match self {
            Self::Strut => out[3..5].fill(Member::Strut),
            Self::SemiTrailing => {
                out[..3].fill(Member::Pivot(Point::ArmInnerPivot));
                out[3..5].fill(Member::Pivot(Point::ArmOuterPivot));
            }
            Self::DoubleWishbone | Self::FiveLink => {}
        }
        out
    }
}

impl std::fmt::Display for Layout {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Strut => "strut",
            Self::DoubleWishbone => "double wishbone",
            Self::FiveLink => "five-link",
            Self::SemiTrailing => "semi-trailing arm",
        })
    }
}
