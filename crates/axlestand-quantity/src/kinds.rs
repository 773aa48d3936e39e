//! One type for each kind of quantity.

use crate::unit::Dimension;

/// A number that is NaN or infinite where a quantity was wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{what} must be an ordinary number, not infinite or undefined")]
pub struct NotFinite {
    /// Which quantity was wanted, with its article: "a length".
    pub what: &'static str,
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $from:ident, $get:ident, $dimension:ident, $places:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Nought.
            pub const ZERO: Self = Self(0.0);
            /// What this type measures.
            pub const DIMENSION: Dimension = Dimension::$dimension;

            /// From a number in the project's own unit (the one in this constructor's name).
            ///
            /// # Errors
            /// [`NotFinite`] for NaN and for infinities.
            pub fn $from(value: f64) -> Result<Self, NotFinite> {
                if value.is_finite() {
                    Ok(Self(value))
                } else {
                    Err(NotFinite { what: Dimension::$dimension.name() })
                }
            }

            /// The number in the project's own unit.
            #[must_use]
            pub fn $get(self) -> f64 {
                self.0
            }

            /// The size without its sign.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }
        }

        impl std::ops::Add for $name {
            type Output = Self;
            /// Saturates at the largest finite number instead of overflowing to infinity.
            fn add(self, other: Self) -> Self {
                Self((self.0 + other.0).clamp(f64::MIN, f64::MAX))
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            /// Saturates at the largest finite number instead of overflowing to infinity.
            fn sub(self, other: Self) -> Self {
                Self((self.0 - other.0).clamp(f64::MIN, f64::MAX))
            }
        }

        impl std::ops::Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl std::fmt::Display for $name {
            /// Prints in the project's own unit; the precision asked for with `{:.1}` holds,
            /// without one up to a few places with trailing noughts dropped.
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                let places = f.precision().unwrap_or($places);
                let mut text = format!("{:.*}", places, self.0);
                if f.precision().is_none() && text.contains('.') {
                    text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
                }
                let text = if text == "-0" { "0".to_owned() } else { text };
                let unit = Dimension::$dimension.own_unit();
                let gap = if unit == "°" { "" } else { " " };
                write!(f, "{text}{gap}{unit}")
            }
        }
    };
}

quantity!(
    /// A length in millimetres.
    Length, from_mm, mm, Length, 2
);
quantity!(
    /// A plane angle in degrees.
    Angle, from_deg, deg, Angle, 3
);
quantity!(
    /// A force in newtons.
    Force, from_n, n, Force, 1
);
quantity!(
    /// A torque in newton metres.
    ///
    /// The types keep it apart from other quantities, not from a torque meant for another thread
    /// condition: that is what `axlestand-fastener` is for.
    Torque, from_nm, nm, Torque, 1
);
quantity!(
    /// A mass in kilograms.
    Mass, from_kg, kg, Mass, 2
);
quantity!(
    /// A volume of fluid in litres.
    Volume, from_l, l, Volume, 3
);
quantity!(
    /// A pressure in kilopascals.
    Pressure, from_kpa, kpa, Pressure, 1
);

impl Angle {
    /// The angle in radians.
    #[must_use]
    pub fn rad(self) -> f64 {
        self.0.to_radians()
    }

    /// From radians.
    ///
    /// # Errors
    /// [`NotFinite`] for NaN and for infinities.
    pub fn from_rad(value: f64) -> Result<Self, NotFinite> {
        Self::from_deg(value.to_degrees())
    }
}

impl Torque {
    /// The torque in pound-force feet, the second unit shown beside newton metres.
    /// 1 lb·ft = 1.355 817 948 331 400 4 N·m (NIST SP 811, B.8).
    #[must_use]
    pub fn lb_ft(self) -> f64 {
        self.0 / 1.355_817_948_331_400_4
    }
}
