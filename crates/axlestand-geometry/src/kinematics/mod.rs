//! The suspension corner as a mechanism.
//!
//! One rigid knuckle on constraints does every layout: rods of fixed length (a control arm's two
//! legs are two rods to one ball joint, which is the same as a revolute arm), a strut that slides
//! through its top mount, points on planes for pivots. Five equations hold the knuckle, the sixth
//! is the wheel's height. Newton's method on the pose solves them with analytic derivatives.

mod adjuster;
mod assembly;
mod axle;
mod axle_findings;
mod axle_spec;
mod bar;
mod carried;
mod clearance;
mod corner;
mod curves;
mod findings;
mod layout;
mod mechanism;
mod newton;
mod output;
mod outputs;
mod point;
mod row;
mod sensitivity;
mod setting;
mod spec;
mod steering;
mod stops;
mod support;
mod tracker;
mod trouble;
mod twist_beam;
mod values;
mod verdict;
mod whole_axle;
mod whole_axle_spec;

pub use adjuster::{Adjuster, MOST_ADJUSTERS};
pub use axle::{AxleOutputs, AxleParameter, LiveAxle};
pub use axle_findings::check_axle;
pub use axle_spec::{AxleHold, AxleSpec, BadAxle};
pub use clearance::{RoundPart, Tyre};
pub use corner::{Corner, Solved};
pub use curves::Curves;
pub use findings::{BadCorner, Finding, check};
pub use layout::{Layout, Member};
pub use output::Output;
pub use outputs::{InstantAxis, Outputs};
pub use point::Point;
pub use sensitivity::{Axis, Effect, Parameter};
pub use setting::{NoSetting, Settled, WheelSet, WheelToSet, settle};
pub use spec::{BallJoint, Carrier, CornerSpec, Limits, MOST_JOINTS, Swing};
pub use steering::{Steered, ackermann_percent, steered};
pub use stops::TravelEnds;
pub use support::support_percent;
pub use tracker::Tracker;
pub use trouble::{Extended, Input, Trouble};
pub use twist_beam::{BadTwistBeam, TwistBeamOutputs, TwistBeamSpec};
pub use verdict::{Limited, Verdict, Worst};
pub use whole_axle::{WholeAxle, WholeAxleOutputs};
pub use whole_axle_spec::{WholeAxleSpec, WholeLayout};
