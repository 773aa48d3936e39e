//! Closed lists of words: each enum here is written in vehicle files with the words listed.

/// Declares an enum together with the word that stands for each variant in files and commands.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal => $phrase:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$vdoc])* $variant),+ }

        impl $name {
            /// The words, in the order of the variants.
            pub const WORDS: &'static [&'static str] = &[$($word),+];
            /// The variants, in the order of [`Self::WORDS`].
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The variant written as `word`.
            #[must_use]
            pub fn from_word(word: &str) -> Option<Self> {
                match word { $($word => Some(Self::$variant),)+ _ => None }
            }

            /// The word used in files and commands.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// The words shown to people.
            #[must_use]
            pub fn phrase(self) -> &'static str {
                match self { $(Self::$variant => $phrase),+ }
            }
        }
    };
}

words! {
    /// Left and right as seen by a person sitting in the car.
    Hand {
        /// Left.
        Left = "left" => "left",
        /// Right.
        Right = "right" => "right",
    }
}

impl Hand {
    /// A name with the side behind it: `wheel nuts, left`.
    pub(crate) fn behind(self, name: &str) -> String {
        format!("{name}, {}", self.phrase())
    }
}

/// A name without the side behind it: `wheel nuts`.
#[must_use]
pub fn without_side(name: &str) -> &str {
    let sided = |hand: &Hand| name.strip_suffix(hand.phrase())?.strip_suffix(", ");
    Hand::ALL.iter().find_map(sided).unwrap_or(name)
}

words! {
    /// How the car stands.
    CarState {
        /// On its wheels on the ground.
        OnWheels = "on-wheels" => "on its wheels",
        /// The body on axle stands, the wheels hanging or off.
        OnStands = "on-stands" => "on stands",
        /// On its wheels and settled, so that the suspension stands at its ride height.
        RideHeight = "ride-height" => "at ride height",
    }
}

impl CarState {
    /// Whether a car in this state also counts as standing in `need`: at ride height it is on its
    /// wheels too.
    #[must_use]
    pub fn counts_as(self, need: CarState) -> bool {
        self == need || (self == Self::RideHeight && need == Self::OnWheels)
    }
}

words! {
    /// What goes on by itself after an operation.
    WaitKind {
        /// Penetrant creeps into threads.
        Soak = "soak" => "soaks",
        /// Paint or rust protection dries.
        Dry = "dry" => "dries",
        /// Glue, sealant or thread locker cures.
        Cure = "cure" => "cures",
        /// A fluid runs out.
        Drain = "drain" => "drains",
    }
}

words! {
    /// Where the hands are.
    Place {
        /// In a wheel well.
        WheelWell = "wheel-well" => "wheel well",
        /// Under the car.
        Under = "under" => "under the car",
        /// In the engine bay.
        EngineBay = "engine-bay" => "engine bay",
        /// In the cabin.
        Cabin = "cabin" => "cabin",
        /// At the bench.
        Bench = "bench" => "bench",
        /// Around the car.
        Around = "around" => "around the car",
    }
}

words! {
    /// The five stages of a job.
    Stage {
        /// What do I need, in what order, what will break?
        Prepare = "prepare" => "Prepare",
        /// What next, where, with what?
        Strip = "strip" => "Strip",
        /// Which bolt goes here, in which state?
        Refit = "refit" => "Refit",
        /// How high, how much camber and toe?
        Set = "set" => "Set",
        /// Can it go on the road?
        Prove = "prove" => "Prove",
    }
}

words! {
    /// What the weather does to a thread.
    Exposure {
        /// In the spray of a wheel.
        Spray = "spray" => "wheel spray",
        /// Under the body, out of the direct spray.
        Underbody = "underbody" => "underbody",
        /// Under the bonnet or behind a cover.
        Sheltered = "sheltered" => "sheltered",
        /// In the cabin or inside a closed assembly.
        Inside = "inside" => "inside",
    }
}

words! {
    /// What keeps a tightened fastener from turning.
    Lock {
        /// Friction alone.
        None = "none" => "no lock",
        /// A split pin through slots and hole.
        SplitPin = "split-pin" => "split pin",
        /// The collar is staked into a groove.
        Stake = "stake" => "staked collar",
        /// A tab of a washer is bent up.
        Tab = "tab" => "bent tab",
        /// A nut with a polymer insert.
        Insert = "insert" => "insert nut",
        /// An all-metal nut with a distorted thread.
        Distorted = "distorted" => "distorted-thread nut",
        /// Thread locker on the thread.
        ThreadLocker = "thread-locker" => "thread locker",
    }
}

impl Lock {
    /// Whether locking is an act of its own after the final torque (a pin spread, a collar staked,
    /// a tab bent); the other locks work as soon as the fastener is at its final torque.
    #[must_use]
    pub fn is_own_act(self) -> bool {
        matches!(self, Self::SplitPin | Self::Stake | Self::Tab)
    }
}

words! {
    /// The state of the thread for which a torque is specified.
    Condition {
        /// Clean and dry, or as supplied without lubricant.
        Dry = "dry" => "dry",
        /// Lightly oiled.
        Oiled = "oiled" => "lightly oiled",
        /// With anti-seize compound.
        AntiSeize = "anti-seize" => "with anti-seize",
        /// As the new fastener is supplied (coated, waxed, encapsulated).
        AsSupplied = "as-supplied" => "as supplied",
        /// With thread locker.
        ThreadLocker = "thread-locker" => "with thread locker",
    }
}

words! {
    /// How a connection holds.
    Joint {
        /// A clip or circlip.
        Clip = "clip" => "clip",
        /// An electrical plug.
        Plug = "plug" => "plug",
        /// A taper seat.
        Taper = "taper" => "taper seat",
        /// A press fit.
        PressFit = "press-fit" => "press fit",
        /// Splines.
        Spline = "spline" => "splines",
        /// A bracket or guide without a thread.
        Bracket = "bracket" => "bracket",
        /// A fluid-tight seat.
        FluidSeat = "fluid-seat" => "fluid-tight seat",
    }
}

words! {
    /// The shape of a fastener, where it matters for the hands.
    Form {
        /// Bolt.
        Bolt = "bolt" => "bolt",
        /// Nut on a stud or bolt.
        Nut = "nut" => "nut",
        /// Castle nut.
        CastleNut = "castle-nut" => "castle nut",
        /// Screw.
        Screw = "screw" => "screw",
        /// Threaded plug.
        Plug = "plug" => "plug",
        /// Bolt with its own loose nut.
        BoltAndNut = "bolt-and-nut" => "bolt and nut",
    }
}

words! {
    /// How an axle's wheels are carried.
    Layout {
        /// Strut with lower control arm.
        Strut = "strut" => "strut",
        /// Two control arms a side.
        DoubleWishbone = "double-wishbone" => "double wishbone",
        /// Twist beam with separate spring and damper.
        TwistBeam = "twist-beam" => "twist beam",
        /// Semi-trailing arm.
        SemiTrailing = "semi-trailing" => "semi-trailing arm",
        /// Several links a side.
        MultiLink = "multi-link" => "multi-link",
        /// Live axle.
        LiveAxle = "live-axle" => "live axle",
    }
}

words! {
    /// Which axle is driven.
    Driven {
        /// The front wheels.
        Front = "front" => "front",
        /// The rear wheels.
        Rear = "rear" => "rear",
        /// All wheels.
        All = "all" => "all",
    }
}

words! {
    /// How full a fluid has to be.
    FillRule {
        /// The stated amount.
        ToAmount = "to-amount" => "to the stated amount",
        /// Until it runs out of the level hole, the car level.
        ToOverflow = "to-overflow" => "until it runs out of the level hole, car level",
        /// Between the marks.
        ToMark = "to-mark" => "between the marks",
    }
}

words! {
    /// Where a specification comes from.
    Origin {
        /// From a service manual; the owner typed the reference.
        Manual = "manual" => "manual",
        /// Measured or read at this car.
        Measured = "measured" => "measured",
        /// A placeholder of a layout template: never the value to work to.
        Typical = "typical" => "typical",
        /// Computed from other entries.
        Derived = "derived" => "derived",
    }
}

words! {
    /// What an adjuster of a wheel does.
    AdjusterKind {
        /// The strut turned in the knuckle: camber bolt, slotted hole.
        StrutTurn = "strut-turn" => "strut that turns in its knuckle",
        /// An eccentric bolt in a pivot.
        Eccentric = "eccentric" => "pivot on an eccentric bolt",
        /// A mount that is moved: strut top mount, subframe, shims.
        Shift = "shift" => "mount that is moved",
        /// A rod of adjustable length, the tie rod apart.
        Rod = "rod" => "rod of adjustable length",
    }
}

impl AdjusterKind {
    /// Whether it is set in degrees rather than in mm.
    #[must_use]
    pub fn in_degrees(self) -> bool {
        matches!(self, Self::StrutTurn | Self::Eccentric)
    }
}

words! {
    /// The part that carries the lower end of a spring, damper or bar link.
    Carrier {
        /// Knuckle, strut tube or semi-trailing arm.
        Knuckle = "knuckle" => "knuckle",
        /// Lower control arm.
        LowerArm = "lower-arm" => "lower control arm",
        /// Upper control arm.
        UpperArm = "upper-arm" => "upper control arm",
    }
}

words! {
    /// An axle of the car.
    AxleEnd {
        /// Front.
        Front = "front" => "front",
        /// Rear.
        Rear = "rear" => "rear",
    }
}

words! {
    /// What kind of reading it is: computations go by this word, never by a name.
    ReadingKind {
        /// Hub centre to arch lip.
        Height = "height" => "height, hub centre to arch",
        /// Total toe of an axle.
        Toe = "toe" => "total toe",
        /// Camber of a wheel.
        Camber = "camber" => "camber",
        /// Caster of a wheel.
        Caster = "caster" => "caster",
        /// Exposed thread of a tie rod.
        ExposedThread = "exposed-thread" => "exposed thread of the tie rod",
        /// Length from the counting face of a tie-rod end to the centre of its ball.
        BallCentre = "ball-centre" => "counting face to ball centre",
    }
}

words! {
    /// What a fastener does, where that decides how its thread may be treated.
    Duty {
        /// An ordinary thread.
        Plain = "plain" => "ordinary thread",
        /// Holds a wheel.
        Wheel = "wheel" => "wheel fastener",
        /// Draws a taper home.
        Taper = "taper" => "nut of a taper",
        /// Closes a pinch joint.
        Pinch = "pinch" => "bolt of a pinch joint",
        /// Presses faces together that hold by friction.
        FrictionFace = "friction-face" => "faces held by friction",
        /// Goes through the sleeve of a bush.
        Sleeve = "sleeve" => "bolt in the sleeve of a bush",
        /// Clamps a drive axle in its splines.
        Axle = "axle" => "nut of a drive axle",
        /// Holds a wheel speed sensor.
        Sensor = "sensor" => "bolt of a sensor",
        /// Seals brake fluid.
        Union = "union" => "union of a brake line",
    }
}

words! {
    /// What suffers from heat, force or a blade near a part.
    Neighbour {
        /// A bush, boot or bellows.
        Rubber = "rubber" => "rubber",
        /// A brake hose, a brake line, fluid.
        Hydraulics = "hydraulics" => "brake fluid",
        /// A damper or another gas-filled part.
        Gas = "gas" => "gas-filled part",
        /// A fuel line or the tank.
        Fuel = "fuel" => "fuel",
        /// A wheel speed sensor or its lead.
        Sensor = "sensor" => "sensor",
        /// A greased joint or bearing.
        Grease = "grease" => "grease",
    }
}
