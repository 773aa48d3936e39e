//! What to buy ahead for two bolts of one kind, by hand from the chances that 0, 1 and 2 are needed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_ledger::{Action, Verb};
use axlestand_model::ItemId;
use axlestand_plan::risk::{
    Belief, Beliefs, Buy, Chance, Choice, Danger, Detour, Market, Pace, RiskJob, Sessions, Setting, Spread,
    Step, Terms, Thing, buy_ahead,
};

/// Each of the two is lost with a chance of 0.4, apart from the other; a new one takes three days.
fn job() -> RiskJob {
    let bolt = |side: &str| ItemId::from_text(&format!("bolt.{side}"));
    let step = |key: u64, side: &str| Step {
        action: Action::new(Verb::Undo, &bolt(side)),
        key,
        setup: 0.0,
        time: Spread::of_mean(5.0, 1.5),
        alone: false,
        danger: Some(Danger {
            item: bolt(side),
            class: 0,
            chance: Chance::Own(0.4),
            factor: 1.0,
            extra: Spread::of_mean(10.0, 1.5),
            may_break: false,
            broken_extra: 0.0,
            things: 0,
            tried: 0.0,
            detour: Some(Detour {
                way: bolt(side),
                time: Spread::of_mean(10.0, 1.5),
                things: 1 << (key - 1),
            }),
        }),
        waits_for: 0,
        after: Vec::new(),
        ready: 0.0,
    };
    let thing = |side: &str| Thing { item: bolt(side), name: format!("bolt, {side}"), lead_days: 3.0 };
    RiskJob {
        steps: vec![step(1, "left"), step(2, "right")],
        things: ["left", "right"].map(thing).into(),
        beliefs: Beliefs { stuck: vec![Belief::assumed(0.5, 1.0)], breaks: vec![Belief::assumed(0.0, 1.0)] },
        pace: Pace { mean: 0.0, sigma: 0.0, rows: 0 },
        trip_minutes: 30.0,
    }
}

fn bought(
    stranded_day: Option<f64>,
    trip: Option<f64>,
    terms: Option<Terms>,
    week: Option<&Sessions>,
) -> Buy {
    let setting = Setting { have: 0, sessions: week, shops: None, seed: 7, samples: 20_000, threads: 2 };
    let terms = terms.map(|terms| ("bolt".to_owned(), terms)).into_iter().collect();
    let (list, proven) = buy_ahead(&job(), &setting, &Market { stranded_day, trip, terms });
    assert!(proven && list.len() == 1, "left and right are one kind: {list:?}");
    list.into_iter().next().unwrap()
}

fn near(value: Option<f64>, expected: f64) {
    let value = value.unwrap();
    assert!((value - expected).abs() < 1e-9 * expected.abs().max(1.0), "{value} is not {expected}");
}

const KEPT: Option<Terms> = Some(Terms { price: Some(40.0), restocking: None });
const RETURNED: Option<Terms> = Some(Terms { price: Some(40.0), restocking: Some(0.25) });

/// Two draws with 0.4 each: 0.36, 0.48, 0.16 (binomial).
#[test]
fn the_chances_are_those_of_two_draws() {
    let buy = bought(None, None, None, None);
    assert_eq!((buy.kind.as_str(), buy.name.as_str()), ("bolt", "bolt"));
    for (found, exact) in buy.counts.iter().zip([0.36, 0.48, 0.16]) {
        assert!((found - exact).abs() < 4.0 * (exact / 20_000f64).sqrt(), "{found} {exact}");
    }
    assert!((buy.chance() - 0.64).abs() < 0.02);
    assert_eq!((buy.choice, buy.quantity, buy.stop), (Choice::NoPrice, 0, None));
}

#[test]
fn without_a_price_or_a_day_nothing_is_decided() {
    assert_eq!(bought(Some(60.0), None, None, None).choice, Choice::NoPrice);
    assert_eq!(bought(None, None, KEPT, None).choice, Choice::NoDay);
    assert_eq!(bought(None, None, KEPT, None).critical, None);
}

/// A stop costs 3 days of 60 and a trip of 5: 185. What is left over costs 40, or 10 where three quarters of
/// the price come back. Kept, one piece is cheapest: 0.36·40 + 0.16·185 = 44 against 118 for none and
/// 0.72·40 + 0.48·40 = 48 for two. Taken back, two are: 0.72·10 + 0.48·10 = 12 against 33 for one.
#[test]
fn the_quantity_is_the_cheapest_one_and_the_sums_are_told() {
    for (terms, loss, quantity, choice) in
        [(KEPT, 40.0, 1, Choice::Buy), (RETURNED, 10.0, 2, Choice::OrderReturnable)]
    {
        let buy = bought(Some(60.0), Some(5.0), terms, None);
        near(Some(buy.days), 3.0);
        near(buy.stop, 185.0);
        near(buy.terms.loss(), loss);
        assert_eq!((buy.quantity, buy.choice), (quantity, choice));
        let [none, one, two] = buy.counts[..] else { panic!("{:?}", buy.counts) };
        let costs = [(one + two) * 185.0, none * loss + two * 185.0, none * 2.0 * loss + one * loss];
        let (without, with) = buy.costs.unwrap();
        near(Some(without), costs[0]);
        near(Some(with), costs[quantity]);
        near(buy.critical, 185.0 / (185.0 + loss));
        near(buy.worth_up_to, (one + two) / none * 185.0);
        near(buy.pays_from, none / (one + two) * loss);
    }
}

/// A trip of 5 alone is not worth a piece of 40: 0.64·5 = 3.2 against 0.36·40 and more.
#[test]
fn what_costs_more_than_it_saves_is_left() {
    let buy = bought(None, Some(5.0), KEPT, None);
    assert_eq!((buy.choice, buy.quantity), (Choice::Leave, 0));
    near(buy.stop, 5.0);
    let [none, one, two] = buy.counts[..] else { panic!("{:?}", buy.counts) };
    let (without, with) = buy.costs.unwrap();
    near(Some(without), (one + two) * 5.0);
    near(Some(with), none * 40.0 + two * 5.0);
}

/// What is asked is how many to have, so what is counted as there already does not matter.
#[test]
fn what_lies_ready_is_not_counted_twice() {
    let of = |have| {
        let setting = Setting { have, sessions: None, shops: None, seed: 7, samples: 2_000, threads: 2 };
        buy_ahead(&job(), &setting, &Market { stranded_day: Some(60.0), ..Market::default() })
    };
    assert_eq!(of(0), of(0b11));
}

/// On one long session the end moves by the three days and the trip; what is needed in both runs is the same.
#[test]
fn lost_days_are_those_by_which_the_end_moves() {
    let long = Sessions::of([(0.0, 100_000.0)]);
    let buy = bought(Some(60.0), Some(5.0), KEPT, Some(&long));
    let days = 3.0 + 30.0 / 1440.0;
    assert!((buy.days - days).abs() < 0.02, "{} {days}", buy.days);
    near(buy.stop, buy.days * 60.0 + 5.0);
}
