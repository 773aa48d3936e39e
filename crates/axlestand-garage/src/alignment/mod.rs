//! Wheel alignment at home: numbers off tape, string and gauge in, how the wheels stand and what to turn
//! out.
//!
//! Numbers are read at named places (`place.rs`) and recorded one by one ([`Garage::gauge`]); an adjuster
//! that was turned ends a round ([`Garage::turned`]). [`alignment()`] goes through the rounds and says
//! what is known, what to read again, what to read next and what to turn; [`guide()`] leads through a
//! method. The numbers are made in `axlestand_geometry::estimation`; here stand the words, the car's
//! targets and adjusters, and the order of the work.
//!
//! [`Garage::gauge`]: crate::Garage::gauge
//! [`Garage::turned`]: crate::Garage::turned

mod adjustable;
mod aims;
mod bump;
mod chain;
mod entry;
mod guide;
mod height;
mod inclination;
mod instruments;
mod keep;
mod method;
mod on_stands;
mod picture;
mod place;
mod place_words;
mod pointed;
mod rounds;
mod sizes;
mod stated;
mod survey;
mod taken;
mod turned;
mod verdict;
mod view;
mod words;
mod work;
mod worth;

pub use adjustable::Rods;
pub use aims::{AimView, AimZone};
pub use bump::{BumpAnswer, BumpView, bump};
pub use entry::{GaugeAnswer, GaugeAsked, GaugedView, QuestionView, is_place};
pub use guide::{GuidePlace, GuideStep, GuideView, MethodView, guide, guides};
pub(crate) use instruments::check_gauges;
pub use keep::{KeptView, voided_by_rows};
pub(crate) use keep::{alignment_reasons, report_lines};
pub use picture::guide_picture;
pub(crate) use pointed::{reading_leads, setting_leads};
pub use stated::said;
pub use survey::{SurveyAnswerView, SurveyView, SurveyWanted, survey};
pub(crate) use turned::read_since_turned;
pub use turned::{TurnedAnswer, adjuster_names};
pub use verdict::VerdictView;
pub use view::{AlignmentView, AlignmentWanted, FindingView, QuantityView, alignment};
pub use work::{ForetoldView, StepView};
pub use worth::NextReading;
