//! The risks of the invented demo job.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

mod demo_job;

use axlestand_ledger::{Action, Entry, Event, JobState, Verb};
use axlestand_model::{Exposure, ItemId};
use axlestand_plan::risk::{
    Assumptions, Choice, LeverKind, Market, Pace, RiskJob, Sessions, Setting, Terms, buy_ahead, levers,
    routes, seen, simulate,
};
use axlestand_plan::{order, scope};
use demo_job::{car, demo_goals, started};

const SETTING: Setting<'_> =
    Setting { have: 0, sessions: None, shops: None, seed: 1, samples: 4_000, threads: 2 };

fn risk_job(state: &JobState) -> RiskJob {
    let car = car();
    let plan = order(&car, state, scope(&car, state).unwrap()).unwrap();
    let assumptions = Assumptions::default();
    RiskJob::of(&car, state, &plan, &assumptions, Pace::assumed(&assumptions))
}

fn entry(state: &mut JobState, event: Event) {
    let id = format!("entry {}", state.entries.len());
    state.apply(&Entry { id, at: String::new(), event });
}

#[test]
fn more_rust_takes_longer_and_stops_more_often() {
    let car = car();
    let mut last = (0.0, -1.0);
    for rust in [0, 2, 4] {
        let runs = simulate(&risk_job(&started(&car, &demo_goals(), rust)), &SETTING);
        let now = (runs.moments().0, runs.chance_of_stop());
        assert!(now.0 > last.0 && now.1 > last.1, "rust {rust}: {now:?} after {last:?}");
        assert!(runs.minutes(0.1) < runs.minutes(0.5) && runs.minutes(0.5) < runs.minutes(0.9));
        last = now;
    }
}

/// Six of nine underbody fasteners stuck: the class's chance and the time of the rest rise; all loose, both
/// fall.
#[test]
fn what_this_car_shows_moves_the_forecast() {
    let car = car();
    let fresh = started(&car, &demo_goals(), 2);
    let holds: Vec<ItemId> = car
        .fasteners
        .iter()
        .filter(|f| f.exposure == Exposure::Spray && f.work.stuck_chance.is_none())
        .map(|f| f.id.clone())
        .take(4)
        .collect();
    let (mut bad, mut good) = (fresh.clone(), fresh.clone());
    for item in &holds {
        entry(&mut bad, Event::Stuck { item: item.clone(), note: None });
        let action = Action::new(Verb::Undo, item);
        let effects = axlestand_ledger::Effects::default();
        entry(&mut good, Event::Done { action, effects, torque: None, note: None });
    }
    let spray =
        |state: &JobState| seen(&car, state).into_iter().find(|s| s.exposure == Exposure::Spray).unwrap();
    assert_eq!((spray(&bad).stuck, spray(&bad).free), (4, 0));
    assert_eq!((spray(&good).stuck, spray(&good).free), (0, 4));
    let chance = |state: &JobState| risk_job(state).beliefs.stuck[0].mean();
    assert!(chance(&good) < chance(&fresh) && chance(&fresh) < chance(&bad));
}

/// With a price for a stranded day and one for a piece, what is likely and cheap is bought and what is dear
/// is left; without prices nothing is decided.
#[test]
fn buying_is_decided_only_with_prices() {
    let job = risk_job(&started(&car(), &demo_goals(), 3));
    let (undecided, _) = buy_ahead(&job, &SETTING, &Market::default());
    assert!(!undecided.is_empty());
    assert!(undecided.iter().all(|buy| buy.choice == Choice::NoPrice && buy.quantity == 0));
    let likeliest = undecided[0].kind.clone();
    let mut market = Market { stranded_day: Some(60.0), trip: Some(5.0), ..Market::default() };
    market.terms.insert(likeliest.clone(), Terms { price: Some(4.0), restocking: None });
    let dear = undecided[1].kind.clone();
    market.terms.insert(dear.clone(), Terms { price: Some(40_000.0), restocking: Some(0.9) });
    let (decided, proven) = buy_ahead(&job, &SETTING, &market);
    let of = |kind: &str| decided.iter().find(|buy| buy.kind == kind).unwrap();
    assert!(proven);
    assert_eq!(of(&likeliest).choice, Choice::Buy);
    assert_eq!(of(&dear).choice, Choice::Leave);
    let buy = of(&likeliest);
    // One piece pays where its loss is below chance/(1 − chance) of a stop, and here it is.
    assert!(buy.terms.loss().unwrap() < buy.worth_up_to.unwrap());
    let sum: f64 = buy.counts.iter().sum();
    assert!((sum - 1.0).abs() < 1e-9);
}

#[test]
fn levers_bring_what_they_say() {
    let car = car();
    let job = risk_job(&started(&car, &demo_goals(), 3));
    let sessions =
        Sessions::of((0..60).map(|day| (1440.0 * f64::from(day), 1440.0 * f64::from(day) + 540.0)));
    let setting = Setting { sessions: Some(&sessions), ..SETTING };
    let by = simulate(&job, &setting).end(0.5);
    let list = levers(&job, &Assumptions::default(), &setting, true, Some(by));
    assert!(
        list.iter().any(|lever| lever.kind == LeverKind::Soak && lever.chance.unwrap() > 0.0),
        "{list:?}"
    );
    assert!(list.iter().any(|lever| matches!(lever.kind, LeverKind::Have(_))), "{list:?}");
    assert!(list.windows(2).all(|pair| pair[0].chance >= pair[1].chance));
}

#[test]
fn every_route_to_an_arm_is_told() {
    let car = car();
    let state = started(&car, &["control-arm"], 3);
    let assumptions = Assumptions::default();
    let more = (&assumptions, Pace::assumed(&assumptions), None);
    let list = routes(&car, &state, &ItemId::from_text("control-arm.left"), &[], more, &SETTING);
    assert!(list.len() >= 4, "{list:?}");
    assert!(list[0].planned && list.iter().skip(1).all(|route| !route.planned));
    assert!(list.iter().all(|route| route.impossible.is_none() && route.minutes > 0.0));
}
