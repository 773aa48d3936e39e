//! Views as text for a terminal.

mod alignment;
mod calc;
mod car;
mod curves;
mod figures;
mod forecast;
mod gates;
mod geometry;
pub(crate) mod lead;
mod prepare;
mod replan;
mod report;
mod rows;
mod soundness;
mod stuck;
mod survey;

pub(crate) use axlestand_garage::count;
pub(crate) use axlestand_garage::views::{amount, hours};

pub(crate) use alignment::{alignment, bump, gauged, guide, guides, if_sure, not_recorded};
pub(crate) use calc::calc;
pub(crate) use car::{car, item};
pub(crate) use curves::{curves, curves_csv, steering, steering_csv};
pub(crate) use forecast::{forecast, outlook, routes};
pub(crate) use gates::{check, open};
pub(crate) use geometry::{height, preview, tie_rod};
pub(crate) use prepare::prepare;
pub(crate) use replan::{replan, replans};
pub(crate) use report::report;
pub(crate) use rows::{done, next};
pub(crate) use soundness::soundness;
pub(crate) use stuck::stuck;
pub(crate) use survey::survey;
