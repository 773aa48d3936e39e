//! Chassis geometry: what height, camber and toe do, before anything is turned. Numbers in, numbers
//! out.
//!
//! * [`conventions`]: axes and the sign of every angle, in one place, with a picture.
//! * [`kinematics`]: a suspension corner as a rigid knuckle on constraints (strut, double wishbone,
//!   five-link, semi-trailing arm), a live axle, a twist beam; adjusters; curves over travel and
//!   steering; sensitivities; limits and what stops a wheel.
//! * [`springs`]: where the car stands, where the collars belong, rates, frequencies, stored energy,
//!   headlamp aim, tie-rod ends, bushing wind-up.
//! * [`estimation`]: from readings to angles with their uncertainty, what to read next, what to turn.
//! * [`wheel_angles`]: toe in millimetres, caster from a steered wheel, run-out, sloped floors,
//!   conformance.
//!
//! # Units
//! Millimetres, degrees, newtons, N/mm, N·m, kilograms, hertz, joules, as each item says. Scalars at
//! the edge are the types of [`axlestand_quantity`] where they exist; points, curves and matrices
//! are plain numbers whose unit is in their description.
//!
//! # What this crate does not do
//! It knows no car, reads and writes nothing, keeps no clock and rolls no dice. It knows no limit of
//! any part: joint angles, plunge and damper lengths are the maker's, and where they are missing it
//! shows values without a verdict. Links are rigid, bushings give way nowhere, tyres are springs;
//! tyre clearance counts a cylinder.
//!
//! # Example
//! ```
//! use axlestand_geometry::conventions::Side;
//! use axlestand_geometry::kinematics::{Corner, CornerSpec, Layout, Point};
//!
//! let mut spec = CornerSpec::new(Layout::Strut, Side::Left, 290.0)
//!     .with(Point::WheelCentre, 0.0, 735.0, 290.0)
//!     .with(Point::LowerBall, 5.0, 690.0, 190.0)
//!     .with(Point::LowerFront, 10.0, 345.0, 212.0)
//!     .with(Point::LowerRear, -300.0, 370.0, 222.0)
//!     .with(Point::StrutTop, -25.0, 565.0, 800.0)
//!     .with(Point::StrutSeat, -6.0, 628.0, 420.0)
//!     .with(Point::TieRodInner, -140.0, 330.0, 238.0)
//!     .with(Point::TieRodOuter, -140.0, 665.0, 222.0);
//! spec.camber_deg = -0.5;
//! let corner = Corner::new(spec)?;
//! let (_, lowered) = corner.at(40.0, 0.0)?;
//! assert!((lowered.camber - -1.1524).abs() < 1e-4);
//! assert!((lowered.toe - -0.1161).abs() < 1e-4);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod conventions;
pub mod estimation;
pub mod kinematics;
mod mathematics;
pub mod springs;
pub mod wheel_angles;

pub use mathematics::{Dual, Mat3, Pose, Scalar, Twist, Vec3};
