//! Where lubricant may go and where it must not: the trade's yes/no map.

use std::fmt;

/// What kind of place a fastener or a face is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub enum Place {
    /// An ordinary thread.
    #[default]
    Thread,
    /// A wheel nut, wheel bolt or its seat.
    WheelFastener,
    /// A taper (ball joint, tie-rod end) and its nut.
    Taper,
    /// Faces that hold by friction: strut to knuckle, eccentric bolts, brake carrier.
    FrictionFace,
    /// The groove and slit of a pinch joint.
    PinchJoint,
    /// The tip or bore of a wheel speed sensor.
    SensorTip,
    /// A bolt's plain shank in the sleeve of a bush.
    ShankInSleeve,
    /// The pilot bore of a hub.
    HubPilot,
    /// The splines of a drive axle.
    Spline,
    /// The threaded sleeve of a height-adjustable strut.
    CoiloverSleeve,
}

/// Whether a place may be lubricated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Lubricate {
    /// A thin film helps; it is not part of the torque.
    Yes,
    /// Only if the maker says so: the value belongs to a condition.
    AskTheMaker,
    /// Never.
    Never,
}

impl Place {
    /// Every place.
    pub const ALL: [Self; 10] = [
        Self::Thread,
        Self::WheelFastener,
        Self::Taper,
        Self::FrictionFace,
        Self::PinchJoint,
        Self::SensorTip,
        Self::ShankInSleeve,
        Self::HubPilot,
        Self::Spline,
        Self::CoiloverSleeve,
    ];

    /// The word used in files and commands.
    #[must_use]
    pub fn slug(self) -> &'static str {
        match self {
            Self::Thread => "thread",
            Self::WheelFastener => "wheel-fastener",
            Self::Taper => "taper",
            Self::FrictionFace => "friction-face",
            Self::PinchJoint => "pinch-joint",
            Self::SensorTip => "sensor-tip",
            Self::ShankInSleeve => "shank-in-sleeve",
            Self::HubPilot => "hub-pilot",
            Self::Spline => "spline",
            Self::CoiloverSleeve => "coilover-sleeve",
        }
    }

    /// The place with this slug.
    #[must_use]
    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|place| place.slug() == slug)
    }

    /// Whether lubricant may go there. Workshop practice; for wheel fasteners also the trade press
    /// (Brake & Front End: lubricant may put 25 % and more extra into the clamp load).
    #[must_use]
    pub fn lubricate(self) -> Lubricate {
        match self {
            Self::Thread => Lubricate::AskTheMaker,
            Self::WheelFastener | Self::Taper | Self::FrictionFace | Self::PinchJoint | Self::SensorTip => {
                Lubricate::Never
            }
            Self::ShankInSleeve | Self::HubPilot | Self::Spline | Self::CoiloverSleeve => Lubricate::Yes,
        }
    }

    /// Why, in one sentence.
    #[must_use]
    pub fn reason(self) -> &'static str {
        match self {
            Self::Thread => "the torque belongs to a thread condition, and many makers forbid any other",
            Self::WheelFastener => {
                "a greased wheel fastener is over-stretched and works loose; where the maker says otherwise, that comes first"
            }
            Self::Taper => {
                "a taper holds by dry friction; grease lets it turn, or pulls it in until the eye cracks"
            }
            Self::FrictionFace => "these faces hold the alignment by dry friction",
            Self::PinchJoint => "the slit must close on a dry stud; the bolt only holds it",
            Self::SensorTip => "grease holds metal dust at the sensor and shifts its seat",
            Self::ShankInSleeve => {
                "a film keeps the bolt from rusting into the sleeve; keep it off the thread"
            }
            Self::HubPilot => {
                "a film on the pilot keeps the wheel from rusting on; keep it off faces and threads"
            }
            Self::Spline => {
                "a film on the splines keeps the axle from rusting in, unless the maker wants them dry or glued; keep it off the thread"
            }
            Self::CoiloverSleeve => "a film keeps the collar free; it carries no clamp load",
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Thread => "thread",
            Self::WheelFastener => "wheel fastener",
            Self::Taper => "taper",
            Self::FrictionFace => "friction face",
            Self::PinchJoint => "pinch joint",
            Self::SensorTip => "sensor tip",
            Self::ShankInSleeve => "bolt shank in its sleeve",
            Self::HubPilot => "hub pilot",
            Self::Spline => "spline",
            Self::CoiloverSleeve => "coilover sleeve",
        })
    }
}
