//! Conversions per second on one core.
fn main() {}
