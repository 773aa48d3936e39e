//! Fastening: a fastener of the car, its thread as it is now and the tools at hand, turned into what
//! to set, what makes it final, and what it bears when it is stuck.
//!
//! This is where the car meets the numeric crate `axlestand-fastener`. A specification is never made
//! up: without a settled value there is nothing to set, and limits are said as limits.
//!
//! * [`setting`]: what to set on the wrench in hand; [`question`]: whether a typed torque fits.
//! * [`stuck`]: breaking torque and the ladder of what to try.
//! * [`calc`]: the same arithmetic with nothing but what is typed.

pub mod calc;
mod conversion;
mod doubt;
mod estimate;
mod figures;
mod finish;
mod limits;
mod setting;
mod stuck;
mod subject;
mod suited;
mod surface;
mod tools;

pub use doubt::question;
pub use estimate::ClampView;
pub(crate) use estimate::clamp_estimate;
pub use figures::Reason;
pub(crate) use finish::lock_lines;
pub use setting::{AtHand, SettingView, WrenchSetting, setting};
pub use stuck::{AroundIt, RungView, StuckView, stuck};
pub(crate) use subject::Subject;
pub(crate) use suited::unsuited;
pub(crate) use surface::Surface;
pub use surface::condition_word;
pub(crate) use tools::{AdapterInHand, WrenchInHand};
