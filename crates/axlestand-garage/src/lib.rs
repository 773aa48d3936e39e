//! tmp
#![allow(missing_docs)]
pub mod vehicle;
pub use axlestand_model::file::render;
