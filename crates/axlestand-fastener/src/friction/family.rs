//! Which thread conditions count as which.

use super::Condition;

/// How far one range may reach past another, as a share of the coefficient. The clamp load changes by
/// less than the friction does, and nearer than this it is the same for any wrench (source id AX-73).
const REACHES: f64 = 0.03;

/// What lies between the flanks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Film {
    /// Nothing but the metal or its plating.
    None,
    /// Oil, grease, paste or wax.
    Lubricant,
    /// An adhesive that locks.
    Adhesive,
}

impl Condition {
    /// Whether the thread is dry: no lubricant and no adhesive on it. A rusty one is not.
    #[must_use]
    pub fn is_dry(self) -> bool {
        self.film() == Film::None && self != Self::Rusty
    }

    /// Whether a torque for a `specified` thread holds for one in this condition too: the same is on it,
    /// and its published friction lies within that of the specified condition, so that the clamp load
    /// stays within what the specification allows. An adhesive stands only for itself: it also locks.
    #[must_use]
    pub fn counts_as(self, specified: Self) -> bool {
        if self == specified {
            return true;
        }
        let (Ok(is), Ok(wanted)) = (self.friction(), specified.friction()) else { return false };
        let (is, wanted) = (is.coefficient, wanted.coefficient);
        self.film() == specified.film()
            && self.film() != Film::Adhesive
            && is.low() >= wanted.low() * (1.0 - REACHES)
            && is.high() <= wanted.high() * (1.0 + REACHES)
    }

    fn film(self) -> Film {
        match self {
            _ if self.is_lubricated() || self == Self::LubricatedCoating => Film::Lubricant,
            Self::ThreadLocker | Self::PreCoated => Film::Adhesive,
            _ => Film::None,
        }
    }
}
