//! The survey of a strut corner with tape, rule and gauge: what height, a turn of the tie rod and a shim do
//! to *this* car's wheel, as far as the readings tell it.
//!
//! The mathematics is `axlestand_geometry::estimation::survey`. Coordinates are never shown: what they do is
//! often known where they are not.

mod asked;
mod corner;
mod doubts;
mod fit;
mod next;
mod question;
mod spots;
mod view;

pub use asked::SurveyAnswerView;
pub(crate) use corner::start;
pub(crate) use question::question;
pub(crate) use spots::Spot;
pub use view::{SurveyView, SurveyWanted, survey};
