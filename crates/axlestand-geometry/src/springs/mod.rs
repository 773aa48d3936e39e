//! Height and springs: where the car stands, where the collars belong, what is left of travel.
//!
//! Travel is the wheel's vertical motion relative to the body from the position at which the
//! hardpoints were taken, bump positive. The height that is measured in a garage, hub centre to
//! wheel arch, falls by a millimetre for each millimetre of travel. Equal threads on two collars are
//! not equal heights: targets are heights, the collars follow from the balance of forces.

mod car;
mod coil;
mod collars;
mod headlamp;
mod linkage;
mod ride;
mod roll;
mod standing;
mod tie_rod_end;
mod wind_up;

pub use car::{CarSprings, CornerSpring, HeightError, Load, Place};
pub use coil::{BadCoil, Coil, Compression, Seating, coil_rate, energy_j};
pub use collars::{Collars, Heights};
pub use headlamp::{AimChange, aim_change};
pub use linkage::{BadLinkage, Linkage, LinkagePoint};
pub use ride::{damping_ratio, frequency_hz, ride_rate, wheel_rate};
pub use roll::{
    Axle, LateralTransfer, anti_dive_percent, bar_rate_at_wheel, bar_torsion, roll_angle_per_g,
    roll_stiffness,
};
pub use standing::{CornerStanding, Standing};
pub use tie_rod_end::{EndReplaced, NewEnd, TieRodEnd};
pub use wind_up::{WindUp, wind_up};
