//! Drawings and paper from plain inputs: SVG for the screen, PDF for the garage floor.
//!
//! * [`look`]: the one look: tones, sizes, line weights.
//! * [`corner`]: one corner of the car with its fasteners, states and what to measure.
//! * [`paper`]: sheets, labels and reports, set on pages and written as tagged PDF.
//! * [`calendar`] and [`comma_separated`]: for calendar and table programs.
//! * [`plot`]: curves, tolerances, limits.
//! * [`finish_plot`]: the chance to be done against hours of work.
//! * [`string_setup`]: strings around the car, and what to measure from them.
//! * [`gauging`] and [`survey_points`]: the other ways to read wheels, and the points of a corner.
//! * [`plan_strip`]: the plan along time, places as lanes, car states as bands.
//!
//! # What this crate does not do
//! It knows no car, no ledger and no plan: whoever draws hands in names, points, times and rows.
//! Every drawing is well-formed XML with a title and a description, legible in black and white.

mod calendar;
mod code;
pub mod corner;
mod face;
mod finish;
mod gauging;
pub mod look;
pub mod paper;
pub mod plot;
mod scene;
mod strings;
mod strip;
mod survey_points;
mod svg;
mod values;
mod xml;

pub use calendar::{CalendarDay, calendar};
pub use code::{qr_svg, qr_text, square_code};
pub use finish::{Finish, FinishEnd, FinishSession, finish_plot};
pub use gauging::{Gauging, gauging};
pub use scene::Drawing;
pub use strings::{StringSetup, string_setup};
pub use strip::{Strip, StripBand, StripBlock, StripStop, plan_strip};
pub use survey_points::survey_points;
pub use values::comma_separated;
