//! The rules of the work, one at a time, on one corner of a car. The whole jobs in `tests/jobs` show them
//! together; here each is told by what it is for.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::print_stdout,
    reason = "a test fails loudly"
)]

mod apart;
mod gates;
mod job;
mod open;
mod operations;
mod recording;
mod rolling;
mod rows;
mod state;
mod together;
mod torque;
mod tray;
