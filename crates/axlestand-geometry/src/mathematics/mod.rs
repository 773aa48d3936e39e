//! Numbers, vectors and small matrices on the stack: what the kinematics needs and no more.

mod linear;
mod pose;
mod scalar;
mod vector;

pub(crate) use linear::Lu;
pub use pose::{Pose, Twist};
pub use scalar::{Dual, Scalar};
pub use vector::{Mat3, Vec3};
