//! One coil spring by itself.

use axlestand_quantity::{Force, Length};

/// Below this hold (mm of compression at full droop) a spring counts as not captive: it can leave
/// its seat on the first pothole.
const LEAST_HOLD_MM: f64 = 5.0;

/// Rate of a cylindrical coil spring, N/mm: k = G d⁴ / (8 D³ n), from wire `d` and mean coil
/// diameter `D` (mm), active coils `n` and shear modulus `G` (MPa; spring steel 78 500). The
/// standard formula of machine-design texts, good for coils of low pitch. `None` for a size that is
/// not positive.
#[must_use]
pub fn coil_rate(
    wire: Length,
    mean_diameter: Length,
    active_coils: f64,
    shear_modulus_mpa: f64,
) -> Option<f64> {
    let (d, mean) = (wire.mm(), mean_diameter.mm());
    let sound = d > 0.0 && mean > d && active_coils > 0.0 && shear_modulus_mpa > 0.0;
    let rate = shear_modulus_mpa * d.powi(4) / (8.0 * mean.powi(3) * active_coils);
    (sound && rate.is_finite()).then_some(rate)
}

/// Energy stored in a linear spring of `rate` (N/mm) under `force`, J: E = F² / (2k).
#[must_use]
pub fn energy_j(force: Force, rate: f64) -> Option<f64> {
    let energy = force.n() * force.n() / (2.0 * rate) / 1000.0;
    (rate > 0.0 && energy.is_finite()).then_some(energy)
}

/// Why a spring's figures cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum BadCoil {
    /// The rate is not a positive number.
    #[error("the spring rate must be above 0 N/mm; it is {0}")]
    Rate(f64),
    /// The free length is not a positive number.
    #[error("the spring's free length must be above 0 mm; it is {0}")]
    FreeLength(f64),
    /// The solid length is not between nought and the free length.
    #[error("the spring's solid length must be between 0 and its free length; it is {0} mm")]
    SolidLength(f64),
}

/// A linear coil spring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coil {
    rate: f64,
    free_length: f64,
    solid_length: Option<f64>,
}

/// A spring at one length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compression {
    /// Length between its seats, mm.
    pub length: f64,
    /// Compression from the free length, mm; negative where it is loose by as much.
    pub compressed: f64,
    /// Force, N; nought where loose.
    pub force: f64,
    /// Stored energy, J. 250 to 500 J is usual at ride height and more in a compressor: never
    /// release it by undoing the top nut.
    pub energy_j: f64,
    /// Way left until the coils touch, mm, where the solid length is known.
    pub to_bind: Option<f64>,
}

/// How a spring sits at full droop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seating {
    /// Held by at least 5 mm of compression.
    Captive {
        /// Compression left, mm.
        hold: f64,
    },
    /// Held by less than 5 mm.
    Barely {
        /// Compression left, mm.
        hold: f64,
    },
    /// Loose at full droop: it can fall out of its seat. Danger.
    Loose {
        /// Gap between spring and seat, mm.
        gap: f64,
    },
}

impl Coil {
    /// A spring of `rate` N/mm and a free length, with its solid (coil-bound) length if known.
    ///
    /// # Errors
    /// [`BadCoil`] with the figure that cannot be.
    pub fn new(rate: f64, free_length: Length, solid_length: Option<Length>) -> Result<Self, BadCoil> {
        let free = free_length.mm();
        if !(rate.is_finite() && rate > 0.0) {
            return Err(BadCoil::Rate(rate));
        }
        if free <= 0.0 {
            return Err(BadCoil::FreeLength(free));
        }
        let solid = solid_length.map(Length::mm);
        match solid {
            Some(s) if !(s > 0.0 && s < free) => Err(BadCoil::SolidLength(s)),
            _ => Ok(Self { rate, free_length: free, solid_length: solid }),
        }
    }

    /// Its rate, N/mm.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.rate
    }

    /// Its free length, mm.
    #[must_use]
    pub fn free_length(&self) -> f64 {
        self.free_length
    }

    /// The spring with its seats `length` mm apart.
    #[must_use]
    pub fn at(&self, length: f64) -> Compression {
        let compressed = self.free_length - length;
        let force = self.rate * compressed.max(0.0);
        Compression {
            length,
            compressed,
            force,
            energy_j: force * force / (2.0 * self.rate) / 1000.0,
            to_bind: self.solid_length.map(|solid| length - solid),
        }
    }

    /// The spring under a force, N.
    #[must_use]
    pub fn under(&self, force: Force) -> Compression {
        self.at(self.free_length - force.n().max(0.0) / self.rate)
    }

    /// How it sits with its seats `length` mm apart at full droop.
    #[must_use]
    pub fn seating(&self, length: f64) -> Seating {
        let hold = self.free_length - length;
        if hold >= LEAST_HOLD_MM {
            Seating::Captive { hold }
        } else if hold > 0.0 {
            Seating::Barely { hold }
        } else {
            Seating::Loose { gap: -hold }
        }
    }
}
