//! Drawings as SVG, made from plain inputs.
//!
//! [`plan_strip`]: the plan along time, places as lanes, car states as bands.
//!
//! # What this crate does not do
//! It knows no car, no ledger and no plan: whoever draws hands in names, times and lanes. Every
//! drawing is well-formed XML with a title and a description, legible in black and white.

mod strip;
mod xml;

pub use strip::{Strip, StripBand, StripBlock, plan_strip};
