//! The vehicle file: reading, editing, schema, reference.

mod adjuster_fields;
mod axle_fields;
mod build;
mod build_adjuster;
mod build_axle;
mod corner;
mod edit;
pub mod fields;
mod finding;
mod keyed;
mod plausible;
mod read;
mod record;
mod reference;
mod registry;
mod schema;
mod syntax;
mod value;

pub use corner::{CheckCorner, CornerFault, Doubt, Spot};
pub use edit::{EditError, SetField, set_field};
pub use finding::{Finding, Severity, render};
pub use keyed::{KeyedText, KeyedValue};
pub use read::{CarReading, read, read_with};
pub use record::ReadThread;
pub use reference::reference;
pub use schema::schema;

/// What the checks need of the reader.
pub(crate) mod record_places {
    pub(crate) use super::build::Places;
    pub(crate) use super::record::Sink;
}
