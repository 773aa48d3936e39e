//! Pages, rendered on the server from the garage's views.
//!
//! [`report_page`]: the report of a job as a page that stands alone and prints.
//!
//! # What this crate does not do
//! It knows only the garage: no ledger, no plan, no database. It computes nothing; it shows.

mod report;

pub use report::report_page;
