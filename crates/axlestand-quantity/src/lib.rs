//! Physical quantities of the workshop, as types.
//!
//! * [`Length`], [`Angle`], [`Force`], [`Torque`], [`Mass`], [`Volume`], [`Pressure`]: a finite
//!   number in the project's own unit (mm, deg, N, N·m, kg, l, kPa), with exact conversions at
//!   the edge. A constructor refuses NaN and infinity, so no later formula has to.
//! * [`Uncertain`]: a value with its standard uncertainty (JCGM 100), [`Band`]: a tolerance.
//! * [`Lengths`]: lengths said in millimetres or in inches.
//! * [`parse`]: what people type: `12,5 mm`, `1/2 in`, `100 lb·ft`, `0°30'`, `612 ± 1 mm`.
//!
//! # What this crate does not do
//! It knows no car, no fastener and no formula beyond unit conversion; it never rounds a stored
//! value (rounding happens in [`Display`](std::fmt::Display) only); torque and energy do not mix because there is
//! no energy type here.

mod band;
mod kinds;
mod lengths;
pub mod parse;
mod uncertain;
mod unit;

pub use band::{Band, Side};
pub use kinds::{Angle, Force, Length, Mass, NotFinite, Pressure, Torque, Volume};
pub use lengths::Lengths;
pub use parse::{ParseQuantityError, Parsed, vulgar_fraction};
pub use uncertain::{Uncertain, UncertainError};
pub use unit::{Dimension, STANDARD_GRAVITY, UNITS, Unit};
