//! The real binary in temporary folders: what a person or a script meets at the command line.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::print_stdout,
    reason = "a test fails loudly"
)]

mod damaged;
mod formats;
mod full_disk;
mod garage_care;
mod guide;
mod handed_over;
mod jobs;
mod json;
mod killed;
mod nonsense;
mod pages;
mod phone;
mod power;
mod streams;
mod together;
mod workshop;
