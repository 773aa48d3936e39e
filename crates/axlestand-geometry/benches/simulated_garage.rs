//! What the estimate says of 2,000 drawn cars, counted: how often the true angle lies within its 95 %
//! interval, slips noticed, false alarms, wrong verdicts, rounds until total toe is set; for three
//! readers. Cars, floors, strings and errors are drawn with a fixed seed.
#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a bench stops on its own mistakes and prints")]

#[path = "../tests/dice/mod.rs"]
mod dice;
#[path = "../tests/garage/mod.rs"]
mod garage;
#[path = "../tests/weekend/mod.rs"]
mod weekend;

use weekend::{Reader, SET, Tally, many, quantities, share};

const CARS: u32 = 2000;

fn main() {
    let readers = [
        ("usual", Reader { says: 1.0, worse: 1.0 }),
        ("twice as fine", Reader { says: 0.5, worse: 1.0 }),
        ("1.5 times worse than said", Reader { says: 1.0, worse: 1.5 }),
    ];
    for (name, reader) in readers {
        println!("reader: {name}, {CARS} cars");
        print(&many(CARS, reader, 1));
    }
}

fn percent(name: &str, part: u32, whole: u32) {
    println!("  {name:58} {part:6} of {whole:6}  {:6.2} %", 100.0 * share(part, whole));
}

fn print(tally: &Tally) {
    for (quantity, (told, hit)) in quantities().into_iter().zip(&tally.intervals) {
        percent(&format!("{quantity}: within the 95 % interval"), *hit, *told);
    }
    percent("honest readings, something called wrong", tally.false_alarms, tally.honest);
    percent("honest readings, nothing told", tally.untold, tally.honest);
    percent("one slip (5 to 20 mm, 0.7 to 2.5 degrees): noticed", tally.noticed, tally.slips);
    percent("  its reading among those named", tally.named, tally.slips);
    percent("  unnoticed, and total toe or thrust off by over 3 u", tally.harmful, tally.slips);
    let verdicts = tally.within.0 + tally.outside.0 + tally.open;
    percent("total toe at first: called within", tally.within.0, verdicts);
    percent("  wrongly", tally.within.1, tally.within.0);
    percent("total toe at first: called outside", tally.outside.0, verdicts);
    percent("  wrongly", tally.outside.1, tally.outside.0);
    for (round, set) in tally.set.iter().enumerate() {
        let name = format!("total toe within {SET} degrees after round {}", round + 1);
        percent(&name, *set, tally.adjusted);
    }
    percent("total toe after three rounds: within the 95 % interval", tally.covered.1, tally.covered.0);
    percent("given up", tally.given_up, tally.adjusted);
    percent("called within at the end", tally.passed.0, tally.adjusted);
    percent("  wrongly", tally.passed.1, tally.passed.0);
}
