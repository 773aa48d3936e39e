//! Vehicle files: reading with all checks, across subjects.

use axlestand_fastener::Thread;
use axlestand_model::file::{self, CarReading};

/// Reads a vehicle file with every check, thread designations included.
#[must_use]
pub fn read_car(text: &str) -> CarReading {
    file::read(text, |designation| {
        Thread::parse(designation).map(|thread| thread.to_string()).map_err(|why| why.to_string())
    })
}
