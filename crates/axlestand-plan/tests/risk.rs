//! The simulation against closed forms, the beliefs against Bayes' rule, buying against worked examples.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{Action, Verb};
use axlestand_model::{Exposure, ItemId};
use axlestand_plan::risk::{
    Assumptions, Belief, Beliefs, Chance, Danger, Draws, Pace, RiskJob, Runs, Seen, Sessions, Setting,
    Spread, Step, Stretch, newsvendor, simulate,
};

fn near(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected} ± {tolerance}");
}

fn steps(count: u64, time: Spread, danger: Option<&Danger>) -> Vec<Step> {
    let one = |key| Step {
        action: Action::new(Verb::Undo, &ItemId::from_text("bolt")),
        key,
        setup: 0.0,
        time,
        alone: false,
        danger: danger.cloned(),
        waits_for: 0,
        after: Vec::new(),
        ready: 0.0,
    };
    (0..count).map(one).collect()
}

fn danger(chance: Chance, extra: Spread) -> Danger {
    Danger {
        item: ItemId::from_text("bolt"),
        class: 0,
        chance,
        factor: 1.0,
        extra,
        may_break: false,
        broken_extra: 0.0,
        things: 0,
        tried: 0.0,
        detour: None,
    }
}

fn job(steps: Vec<Step>, stuck: Belief) -> RiskJob {
    RiskJob {
        steps,
        things: Vec::new(),
        beliefs: Beliefs { stuck: vec![stuck], breaks: vec![Belief::assumed(0.0, 1.0)] },
        pace: Pace { mean: 0.0, sigma: 0.0, rows: 0 },
        trip_minutes: 0.0,
    }
}

fn run(job: &RiskJob, samples: usize, threads: usize) -> Runs {
    simulate(job, &Setting { have: 0, sessions: None, shops: None, seed: 7, samples, threads })
}

/// First outputs of `SplitMix64` as published with its reference code (seed 0) and on Rosetta Code (seed
/// 1234567).
#[test]
fn the_generator_is_the_published_one() {
    let mut draws = Draws::seeded(0);
    assert_eq!(
        [draws.bits(), draws.bits(), draws.bits()],
        [0xE220_A839_7B1D_CDAF, 0x6E78_9E6A_A1B9_65F4, 0x06C4_5D18_8009_454F]
    );
    let mut draws = Draws::seeded(1_234_567);
    assert_eq!(draws.bits(), 6_457_827_717_110_365_317);
    assert_eq!(draws.bits(), 3_203_168_211_198_807_973);
}

/// P50 10 and P90 25: sigma ln(2.5)/1.28155 = 0.71499, mean 10·exp(sigma²/2) = 12.912, deviation 10.548
/// (lognormal distribution, any text; computed by hand for this check).
#[test]
fn a_spread_has_the_moments_of_the_lognormal_distribution() {
    let time = Spread::of_quantiles(10.0, 25.0);
    near(time.sigma(), 0.71499, 1e-5);
    near(time.mean(), 12.912, 1e-3);
    near(time.variance().sqrt(), 10.548, 1e-3);
    near(Spread::of_mean(12.912, 2.5).at(0.0), 10.0, 1e-3);
    near(time.at(1.281_551_565_544_6), 25.0, 1e-9);
}

/// A sum of independent times has the sum of the means and of the variances.
#[test]
fn a_sum_of_times_has_the_sums_of_mean_and_variance() {
    let time = Spread::of_mean(8.0, 2.0);
    let (mean, deviation) = run(&job(steps(50, time, None), Belief::assumed(0.5, 1.0)), 40_000, 2).moments();
    near(mean, 400.0, 4.0 * (50.0 * time.variance() / 40_000.0).sqrt());
    near(deviation, (50.0 * time.variance()).sqrt(), 0.02 * deviation);
}

/// The pace multiplies the whole: Var(P·S) = E(P²)·E(S²) − E(P)²·E(S)² for independent P and S.
#[test]
fn a_common_pace_multiplies_mean_and_spread() {
    let time = Spread::of_mean(8.0, 2.0);
    let mut job = job(steps(50, time, None), Belief::assumed(0.5, 1.0));
    job.pace = Pace::assumed(&Assumptions::default());
    let (sum, variance) = (400.0, 50.0 * time.variance());
    let square = job.pace.sigma.powi(2).exp();
    let expected = (square * (sum * sum + variance) - sum * sum).sqrt();
    let (mean, deviation) = run(&job, 60_000, 2).moments();
    near(mean, sum, 4.0 * expected / 60_000f64.sqrt());
    near(deviation, expected, 0.025 * expected);
}

/// Seizing as a mixture: E = m + p·e, Var = v + p·w + p(1−p)·e² for each of twenty with p = 0.2 known:
/// 431.53 and 127.97. With p drawn once from Beta(1,4) the mean is the same, the spread 188.13: Var of the
/// count is n·p(1−p) + n(n−1)·Var(p).
#[test]
fn seizing_is_a_mixture_and_a_common_cause_widens_it() {
    let (time, extra) = (Spread::of_quantiles(10.0, 25.0), Spread::of_quantiles(30.0, 90.0));
    let (n, p, e) = (20.0, 0.2, extra.mean());
    let own = n * (time.variance() + p * extra.variance() + p * (1.0 - p) * e * e);
    let class = Belief { a: 1.0, b: 4.0 };
    let shared = own + n * (n - 1.0) * class.deviation().powi(2) * e * e;
    near(n * (time.mean() + p * e), 431.53, 0.01);
    near(own.sqrt(), 127.97, 0.01);
    near(shared.sqrt(), 188.13, 0.01);
    for (chance, expected) in [(Chance::Own(0.2), own.sqrt()), (Chance::Class(0), shared.sqrt())] {
        let danger = danger(chance, extra);
        let (mean, deviation) = run(&job(steps(20, time, Some(&danger)), class), 60_000, 2).moments();
        near(mean, 431.53, 4.0 * expected / 60_000f64.sqrt());
        near(deviation, expected, 0.025 * expected);
    }
}

#[test]
fn the_samples_are_the_same_for_any_number_of_threads() {
    let danger = danger(Chance::Class(0), Spread::of_mean(40.0, 2.5));
    let job = job(steps(12, Spread::of_mean(5.0, 1.8), Some(&danger)), Belief::assumed(0.3, 5.0));
    let one = run(&job, 1_001, 1);
    assert_eq!(one, run(&job, 1_001, 2));
    assert_eq!(one, run(&job, 1_001, 7));
    // Another seed gives others, and fewer samples are the first of more.
    assert_eq!(run(&job, 10, 3).samples, one.samples[..10]);
}

/// Beta(1,3), three of five stuck: Beta(4,5), mean 4/9. Of four more, 0 to 4 are stuck with 14, 28, 30, 20, 7
/// in 99 (beta-binomial distribution, by hand: C(4,k)·B(4+k, 9−k)/B(4,5)).
#[test]
fn what_was_seen_moves_the_chance_by_bayes_rule() {
    let belief = Belief { a: 1.0, b: 3.0 }.after(3.0, 2.0);
    assert_eq!(belief, Belief { a: 4.0, b: 5.0 });
    near(belief.mean(), 4.0 / 9.0, 1e-12);
    for (chance, expected) in belief.counts(&[1.0; 4]).iter().zip([14.0, 28.0, 30.0, 20.0, 7.0]) {
        near(*chance, expected / 99.0, 1e-12);
    }
    // One that is needed in half the cases of being stuck: mean 2/9.
    near(belief.counts(&[0.5])[1], 2.0 / 9.0, 1e-12);
}

/// The belief above, 30 for each piece short and 10 for each left over: critical ratio 0.75, buy 3 at a cost
/// of 15.0505; two cost 15.9596. A binomial with the mean 4/9 would say 2 (its F(2) = 0.7659).
/// Second: price 10, cost 4, salvage 1, demands 10 12 14 16 20 in 1 1 2 1 1 of six weeks: ratio 6/9, order 14
/// (worked example in "Newsvendor with discrete demand", neoprimate.github.io/IEOR).
#[test]
fn pieces_are_bought_by_the_critical_ratio() {
    let counts = Belief { a: 4.0, b: 5.0 }.counts(&[1.0; 4]);
    let (quantity, ratio) = newsvendor(&counts, 30.0, 10.0);
    near(ratio, 0.75, 1e-12);
    assert_eq!(quantity, 3);
    let cost = |have: usize| -> f64 {
        let piece = |k: usize| if k > have { 30.0 * (k - have) as f64 } else { 10.0 * (have - k) as f64 };
        counts.iter().enumerate().map(|(k, chance)| chance * piece(k)).sum()
    };
    near(cost(3), 15.0505, 1e-4);
    near(cost(2), 15.9596, 1e-4);
    let mut demand = vec![0.0; 21];
    for (at, weeks) in [(10, 1.0), (12, 1.0), (14, 2.0), (16, 1.0), (20, 1.0)] {
        demand[at] = weeks / 6.0;
    }
    assert_eq!(newsvendor(&demand, 10.0 - 4.0, 4.0 - 1.0).0, 14);
}

/// Two sessions of 9 h with a night and a day between, by hand.
#[test]
fn hours_of_work_become_dates() {
    let sessions = Sessions::of([(1440.0, 1980.0), (0.0, 540.0), (500.0, 530.0), (7.0, 7.0)]);
    assert_eq!(sessions.windows(), [(0.0, 540.0), (1440.0, 1980.0)]);
    for (minutes, time) in [(0.0, 0.0), (540.0, 540.0), (541.0, 1441.0), (1080.0, 1980.0)] {
        near(sessions.when(minutes), time, 1e-9);
        near(sessions.until(time), minutes, 1e-9);
    }
    assert!(sessions.when(1081.0).is_infinite());
    near(sessions.until(1000.0), 540.0, 1e-9);
    near(sessions.next(600.0), 1440.0, 1e-9);
    near(sessions.next(100.0), 100.0, 1e-9);
    assert!(sessions.next(1980.0).is_infinite());
}

/// Normal with normal, by hand: with a prior and a measurement of equal weight the mean lies halfway.
#[test]
fn the_pace_is_learnt_only_from_times_that_can_be_true() {
    let assumptions = Assumptions::default();
    let prior = Pace::assumed(&assumptions);
    near(prior.factor(), 1.0, 1e-12);
    let slow = Stretch { took: 30.0, expected: 20.0, rows: 2 };
    let learnt = prior.after(&[slow; 6], &assumptions);
    let noise = (Spread::of_mean(1.0, 1.8).sigma().powi(2) + 0.0625) / 6.0;
    let weight = prior.sigma.powi(2) / (prior.sigma.powi(2) + noise);
    near(learnt.mean, prior.mean + weight * (1.5f64.ln() - prior.mean), 1e-12);
    near(learnt.sigma.powi(-2), prior.sigma.powi(-2) + 1.0 / noise, 1e-9);
    assert!(learnt.sigma < prior.sigma && learnt.rows == 12);
    // Half the time is as honest as half as much again.
    let quick = prior.after(&[Stretch { took: 10.0, ..slow }; 6], &assumptions);
    near(quick.mean, prior.mean + weight * (0.5f64.ln() - prior.mean), 1e-12);
    // Ticked off one after the other in the evening: a minute for each row. Four among six say too much.
    let evening = Stretch { took: 1.0, ..slow };
    assert_eq!(prior.after(&[evening; 20], &assumptions), prior);
    assert_eq!(prior.after(&[[slow; 6], [evening; 6]].concat(), &assumptions), prior);
    assert_eq!(prior.after(&[slow; 5], &assumptions), prior);
}

/// Three of five seen underbody were stuck and one of these broke: those count whole for underbody, by three
/// tenths for spray and for sheltered places beside it, not at all for what lies inside (source id AX-30).
#[test]
fn what_was_seen_says_less_of_the_next_exposure_and_nothing_of_one_farther_off() {
    let assumptions = Assumptions::default();
    let seen = [Seen { exposure: Exposure::Underbody, stuck: 3, broken: 1, free: 2 }];
    let beliefs = Beliefs::of(&assumptions, 2, false, &seen);
    let dry = Beliefs::of(&assumptions, 2, true, &seen);
    for (exposure, says) in [
        (Exposure::Spray, 0.3),
        (Exposure::Underbody, 1.0),
        (Exposure::Sheltered, 0.3),
        (Exposure::Inside, 0.0),
    ] {
        let at = Exposure::ALL.iter().position(|one| *one == exposure).unwrap();
        let (stuck, breaks) = (beliefs.stuck[at], beliefs.breaks[at]);
        let assumed = assumptions.stuck(exposure, 2);
        near(stuck.a, 5.0 * assumed + 3.0 * says, 1e-12);
        near(stuck.b, 5.0 * (1.0 - assumed) + 2.0 * says, 1e-12);
        near(breaks.a, 5.0 * assumptions.breaks(exposure) + says, 1e-12);
        near(breaks.b, 5.0 * (1.0 - assumptions.breaks(exposure)) + 2.0 * says, 1e-12);
        // After soaking three quarters of the assumed chance are left.
        near(dry.stuck[at].a, 5.0 * 0.75 * assumed + 3.0 * says, 1e-12);
    }
}

#[test]
fn assumptions_that_make_no_sense_are_refused() {
    let mut assumptions = Assumptions::default();
    assert!(assumptions.iter().count() >= 17 && assumptions.iter().all(|one| !one.stated));
    assumptions.state("lead_days", 4.0).unwrap();
    near(assumptions.of("lead_days"), 4.0, 0.0);
    let inside = assumptions.stuck(Exposure::Inside, 2);
    assumptions.state("stuck_spray", 0.9).unwrap();
    near(assumptions.stuck(Exposure::Spray, 2), 0.9, 0.0);
    near(assumptions.stuck(Exposure::Inside, 2), inside, 0.0);
    assert!(assumptions.state("stuck_luck", 0.9).is_err());
    for (name, value, says) in [
        ("soak", 1.5, "soak goes from 0.05 to 1, not 1.5"),
        ("stuck_spray", -0.1, "goes from 0 to 1"),
        ("luck", 1.0, "'luck' is no assumption of a forecast; they are: alone, "),
        ("weight", f64::NAN, "not NaN"),
    ] {
        let why = assumptions.state(name, value).unwrap_err().to_string();
        assert!(why.contains(says), "{why}");
    }
}
