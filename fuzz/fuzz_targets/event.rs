#![no_main]
#![allow(dead_code, reason = "each target needs one of the properties")]
#[path = "../../crates/axlestand-garage/tests/fuzzed/properties.rs"]
mod properties;

libfuzzer_sys::fuzz_target!(|text: &str| properties::event(text));
