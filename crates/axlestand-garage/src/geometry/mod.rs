//! Chassis geometry: hardpoints, springs and readings of a car turned into what height, camber and
//! toe do, before anything is turned.
//!
//! This is where the car meets the numeric crate `axlestand-geometry`. Every answer lists its inputs
//! with their origin; what is typical is varied through its range and the spread stands beside the
//! answer. A car without hardpoints gets what needs none, and a sentence that names what is missing.
//!
//! * [`curves()`], [`steering`], [`roll_curves()`]: wheel angles against travel, against the rack, against
//!   both, and as the body rolls.
//! * [`height`]: where the car stands, where the collars belong, what is left of travel.
//! * [`preview`]: what lowering does, whether it is in tolerance, what to adjust.
//! * [`tie_rod_end`]: the exposed thread that gives the old length with a new end.
//! * [`calc`]: the same arithmetic with nothing but what is typed.

pub(crate) mod adjusters;
mod advice;
mod advice_words;
mod angles;
mod both_sides;
pub mod calc;
pub(crate) mod corner;
pub(crate) mod corner_figures;
mod curve_columns;
mod curve_table;
mod curves;
pub(crate) mod figures;
mod gates;
mod hanging;
mod height;
mod joints;
pub(crate) mod now;
mod places;
mod point_faults;
pub(crate) mod points;
pub(crate) mod preview;
mod roll_curves;
mod room;
mod side_view;
mod springs;
mod steering;
pub(crate) mod targets;
pub(crate) mod tie_rod;
pub(crate) mod typed;
mod warnings;
mod wheel_curves;
mod whole;
mod whole_curves;
mod whole_preview;
mod wind_up;
mod wishes;

pub use advice::{SettingView, TieRodSetting};
pub use angles::AngleView;
pub use curves::{ColumnView, CurveRow, CurvesView, CurvesWanted, curves, roll_curves};
pub use figures::InputView;
pub(crate) use gates::{geometry_reasons, loose_spring_remarks};
pub use height::{CornerHeight, HeightTarget, HeightView, HeightWanted, Value, height};
pub use joints::JointView;
pub use places::{Racks, travel, usual_travels};
pub(crate) use point_faults::faults;
pub use preview::{AxlePreview, PreviewView, PreviewWanted, preview};
pub use steering::{SteerRow, SteeringView, steering};
pub use tie_rod::{TieRodView, tie_rod_end};
pub(crate) use tie_rod::{jam_nut, tie_rod_remark};
pub use warnings::DangerView;
pub(crate) use wind_up::hanging_reason;
