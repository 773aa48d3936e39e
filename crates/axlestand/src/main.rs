#![allow(clippy::print_stdout, missing_docs, clippy::unwrap_used)]
fn main() { let p = std::env::args().last().unwrap(); let t = std::fs::read_to_string(&p).unwrap(); let r = axlestand_garage::vehicle::read_car(&t); println!("{}", axlestand_garage::render(&r.findings, &t, &p, false)); println!("{} findings, {} errors", r.findings.len(), r.errors()); }
