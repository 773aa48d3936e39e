//! Wheel angles from simple garage readings: the closed formulas.

mod caster;
mod readings;
mod toe;

pub use caster::{SteeringAxis, WheelPose, caster_by_sine_rule, steering_axis_from_poses};
pub(crate) use readings::normal;
pub use readings::{conformance_probability, guarded_band, on_sloped_floor, without_run_out};
pub use toe::{toe_angle_total, toe_mm_total};
