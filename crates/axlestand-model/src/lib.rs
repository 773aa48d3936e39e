//! The vehicle file and the car it describes.
//!
//! [`file::read`] turns the text of a vehicle file into a [`car::Car`] and a list of
//! [`file::Finding`]s; [`file::set_field`] writes single values back; [`file::schema`] describes
//! the format for editors; [`template`] writes a complete file for a layout.
//!
//! # What this crate does not do
//! It knows no job, no order of work and no physics: whether a thread exists is asked of a
//! function handed in, torque values are carried, never computed. No I/O: text in, text out.

pub mod car;
mod check;
pub mod file;
mod id;
mod provenance;
pub mod template;
mod words;

pub use id::{ItemId, is_well_formed};
pub use provenance::Provenance;
pub use words::{
    AdjusterKind, AxleEnd, CarState, Carrier, Condition, Driven, Duty, Exposure, FillRule, Form, Hand, Joint,
    Layout, Lock, Neighbour, Origin, Place, ReadingKind, Stage, WaitKind, without_side,
};
