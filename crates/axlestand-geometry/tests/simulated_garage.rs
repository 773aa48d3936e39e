//! Setting a car at home, many times over: intervals, slips, verdicts, rounds, on cars drawn at random
//! with a fixed seed. `cargo bench -p axlestand-geometry --bench simulated_garage` counts 2,000 cars.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod dice;
mod garage;
mod weekend;

use weekend::{Reader, many, quantities, share};

#[test]
fn what_is_said_of_250_cars_holds() {
    let tally = many(250, Reader { says: 1.0, worse: 1.0 }, 21);
    println!("{tally:#?}");
    // 250 draws: a share of 0.95 scatters by 0.014; three times that is allowed, on 13 quantities.
    for (quantity, cover) in quantities().iter().zip(tally.coverage()) {
        assert!((0.905..=0.99).contains(&cover), "{quantity}: {cover}");
    }
    let all: (u32, u32) = tally.intervals.iter().fold((0, 0), |s, i| (s.0 + i.0, s.1 + i.1));
    assert!((0.935..=0.965).contains(&share(all.1, all.0)), "{}", share(all.1, all.0));
    assert!(share(tally.false_alarms, tally.honest) < 0.05, "{}", tally.false_alarms);
    assert!(share(tally.noticed, tally.slips) > 0.6, "{} of {}", tally.noticed, tally.slips);
    assert!(share(tally.harmful, tally.slips) < 0.02, "{}", tally.harmful);
    // A verdict at 95 in 100 may be wrong five times in 100; three standard deviations more are chance.
    for (said, wrongly) in [tally.within, tally.outside, tally.passed] {
        let n = f64::from(said);
        assert!(f64::from(wrongly) <= 0.05 * n + 3.0 * (0.0475 * n).sqrt(), "{wrongly} of {said}");
    }
    // After three rounds of turning and reading again, everything learned: as honest as one session.
    let (told, hit) = tally.covered;
    assert!(told > 230 && (0.905..=0.99).contains(&share(hit, told)), "{hit} of {told}");
    assert!(tally.set[1] >= tally.set[0] && share(tally.set[1], tally.adjusted) > 0.4, "{:?}", tally.set);
}
