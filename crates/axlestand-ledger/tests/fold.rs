//! The fold over entries, under random sequences of valid and invalid commands on random cars.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::print_stdout,
    reason = "a test fails loudly"
)]

use axlestand_ledger::{
    Action, Details, Entry, Event, FastenerStage, JobState, PlannedRow, Verb, intend, lowering_check,
    obstacles, open_items, road_check, withdraw,
};
use axlestand_model::ItemId;
use axlestand_model::car::{Car, Item};
use proptest::prelude::*;
use std::fmt::Write as _;

/// How one fastener of a random car is made.
type Recipe = (u8, u8, u8, bool, bool);

/// A car with a wheel, an arm with a bush in it, a covered plate, and fasteners made by the recipes.
fn car(recipes: &[Recipe]) -> Car {
    let mut text = String::from(FRAME);
    for (at, (joins, torque, lock, one_use, critical)) in recipes.iter().enumerate() {
        let (joins, after) = [
            ("\"arm\"", "\"wheel\""),
            ("\"arm\", \"wheel\"", ""),
            ("\"bush\", \"arm\"", "\"wheel\""),
            ("\"plate\"", ""),
        ][usize::from(joins % 4)];
        let spec = |state: &str, from: &str| format!("torque = {{ value = \"50 N·m\"{state}{from} }}\n");
        let manual = ", provenance = \"manual\", source = \"sheet\"";
        let torque = match torque % 6 {
            0 => String::new(),
            1 => spec("", manual),
            2 => spec(", state = \"ride-height\"", manual),
            3 => spec(", state = \"on-wheels\"", manual) + "loosen_state = \"on-wheels\"\n",
            4 => spec("", ""),
            _ => "torque = { look_in = \"somewhere\" }\n".to_owned(),
        };
        // A lock needs a torque to lock at.
        let lock = if torque.is_empty() {
            "none"
        } else {
            ["none", "split-pin", "stake", "insert"][usize::from(lock % 4)]
        };
        let _ = write!(
            text,
            "[fastener.f{at}]\nname = \"f{at}\"\njoins = [{joins}]\nthread = \"M12\"\nlength = \"{}0 mm\"\n{torque}\
             lock = \"{lock}\"\none_use = {one_use}\ncritical = {critical}\nplace = \"wheel-well\"\nafter = [{after}]\nminutes = 2\n",
            at + 2
        );
    }
    let reading = axlestand_model::file::read(&text, |thread| Ok(thread.to_owned()));
    reading.car.unwrap_or_else(|| panic!("{:#?}\n{text}", reading.findings))
}

const FRAME: &str = r#"
format = 1
[car]
name = "random"
[part.wheel]
name = "wheel"
place = "wheel-well"
critical = true
minutes = 2
[part.arm]
name = "arm"
place = "wheel-well"
after = ["wheel"]
minutes = 2
[part.bush]
name = "bush"
part_of = "arm"
place = "bench"
after = ["arm"]
minutes = 2
[part.plate]
name = "plate"
place = "engine-bay"
cover = true
minutes = 2
[connection.seat]
name = "seat"
joins = ["arm", "wheel"]
joint = "taper"
place = "wheel-well"
minutes = 2
[connection.press]
name = "press"
joins = ["bush", "arm"]
joint = "press-fit"
place = "bench"
minutes = 2
[connection.clip]
name = "clip"
joins = ["plate"]
joint = "clip"
one_use = true
place = "engine-bay"
minutes = 2
[fluid.oil]
name = "oil"
fill = "to-mark"
[operation.drain]
name = "drain"
stage = "strip"
fluid = "oil"
place = "under"
minutes = 2
[operation.fill]
name = "fill"
stage = "refit"
fluid = "oil"
place = "engine-bay"
minutes = 2
[operation.raise]
name = "raise"
stage = "strip"
brings = "on-stands"
place = "around"
minutes = 2
[operation.lower]
name = "lower"
stage = "refit"
brings = "on-wheels"
place = "around"
minutes = 2
[operation.settle]
name = "settle"
stage = "refit"
brings = "ride-height"
place = "around"
state = "on-wheels"
minutes = 2
[reading.height]
name = "height"
unit = "mm"
u = "1 mm"
before = ["raise"]
again = "ride-height"
place = "around"
minutes = 2
[way.cut]
name = "cut"
frees = "seat"
scraps = ["seat"]
place = "wheel-well"
minutes = 9
[way.saw]
name = "saw"
frees = "arm"
undoes = ["seat"]
scraps = ["arm"]
place = "wheel-well"
minutes = 9
"#;

/// One thing typed: what kind, at which item, with which verb and extras.
type Command = (u8, prop::sample::Index, prop::sample::Index, u8);

fn commands() -> impl Strategy<Value = Vec<Command>> {
    let index = any::<prop::sample::Index>;
    prop::collection::vec((any::<u8>(), index(), index(), any::<u8>()), 1..90)
}

fn recipes() -> impl Strategy<Value = Vec<Recipe>> {
    prop::collection::vec((any::<u8>(), any::<u8>(), any::<u8>(), any::<bool>(), any::<bool>()), 1..5)
}

/// Every action that can be typed for a car, sensible or not.
fn actions(car: &Car) -> Vec<Action> {
    car.ids().flat_map(|id| Verb::ALL.map(|verb| Action::new(verb, id))).collect()
}

/// The actions that make sense for the kinds of the items, which are few.
fn sensible(car: &Car) -> Vec<Action> {
    let fits = |action: &Action| match car.item(&action.item) {
        Some(Item::Part(_)) => matches!(action.verb, Verb::Off | Verb::On),
        Some(Item::Fastener(_)) => {
            !matches!(action.verb, Verb::Off | Verb::On | Verb::Do | Verb::Way | Verb::Read | Verb::Again)
        }
        Some(Item::Connection(_)) => matches!(action.verb, Verb::Undo | Verb::Fit),
        Some(Item::Operation(_)) => action.verb == Verb::Do,
        Some(Item::Way(_)) => action.verb == Verb::Way,
        _ => false,
    };
    actions(car).into_iter().filter(fits).collect()
}

fn entry(number: usize, event: Event) -> Entry {
    Entry { id: format!("entry-{number}"), at: format!("2000-01-01T00:00:{number:02}+00:00"), event }
}

/// The beginning of a job with every action in its plan, so that every rule of order is awake.
fn beginning(car: &Car, goal: &str) -> Vec<Entry> {
    let start = Event::JobStarted {
        name: "random".to_owned(),
        car_text: String::new(),
        car_path: String::new(),
        goals: vec![ItemId::from_text(goal)],
        rust: 2,
        helper: false,
        toolbox: None,
    };
    let rows = actions(car).into_iter().zip(1u32..).map(|(action, number)| PlannedRow { number, action });
    vec![entry(0, start), entry(1, Event::Planned { rows: rows.collect(), ways: Vec::new() })]
}

/// What a command becomes: an event, or nothing where it is refused.
fn event_of(car: &Car, state: &JobState, command: &Command) -> Option<Event> {
    let (kind, which, other, extras) = command;
    let ids: Vec<&ItemId> = car.ids().collect();
    let item = (*which.get(&ids)).clone();
    let note = (extras % 3 == 0).then(|| "a remark".to_owned());
    let flag = |bit: u8| extras >> bit & 1 == 1;
    Some(match kind % 24 {
        0 => Event::Stuck { item, note },
        1 => Event::Broken { item, note },
        2 => Event::Replaced { item, note },
        3 => Event::Skipped { action: other.get(&actions(car)).clone(), reason: "not today".to_owned() },
        4 => Event::Read {
            reading: ItemId::from_text("height"),
            again: flag(0),
            value: f64::from(*extras),
            u: 1.0,
            typed: format!("{extras} mm"),
            instrument: None,
        },
        5 => {
            let victim = other.get(&state.entries);
            return withdraw(car, &state.entries, &victim.id, note).ok();
        }
        // Something that can be done, so that jobs get somewhere.
        6..=12 => {
            let details = Details { fresh: flag(1), ..Details::default() };
            let can: Vec<Event> =
                sensible(car).iter().filter_map(|action| intend(car, state, action, &details).ok()).collect();
            if can.is_empty() {
                return None;
            }
            other.get(&can).clone()
        }
        // Something that brings the car nearer to the road.
        13..=20 => {
            let details = Details { torque: None, ..Details::default() };
            let forward = sensible(car).into_iter().filter(|action| match action.verb {
                Verb::On | Verb::Fit | Verb::Final | Verb::Lock => true,
                _ => ["lower", "settle", "fill"].contains(&action.item.as_str()),
            });
            let can: Vec<Event> =
                forward.filter_map(|action| intend(car, state, &action, &details).ok()).collect();
            can.get(other.index(can.len().max(1)))?.clone()
        }
        // Anything at all.
        _ => {
            let details = Details {
                only_seated: flag(0),
                tray: flag(1).then_some(u32::from(extras % 5)),
                length: flag(2).then(|| axlestand_quantity::Length::from_mm(f64::from(*extras)).unwrap()),
                torque: flag(3).then(|| ["50 N·m", "soup"][usize::from(extras % 2)].to_owned()),
                source: flag(4).then(|| "sheet 9".to_owned()),
                reused: flag(5),
                fresh: flag(6),
                note,
                ..Details::default()
            };
            return intend(car, state, other.get(&actions(car)), &details).ok();
        }
    })
}

/// Runs a job and hands every step to `check`: the state before, the entry, the state after.
fn run(car: &Car, commands: &[Command], check: impl FnMut(&JobState, &Entry, &JobState)) -> JobState {
    run_for("arm", car, commands, check)
}

/// The same for a job with another goal.
fn run_for(
    goal: &str,
    car: &Car,
    commands: &[Command],
    mut check: impl FnMut(&JobState, &Entry, &JobState),
) -> JobState {
    let mut state = JobState::of(&beginning(car, goal));
    for command in commands {
        let Some(event) = event_of(car, &state, command) else { continue };
        let entry = entry(state.entries.len(), event);
        let before = state.clone();
        state.apply(&entry);
        check(&before, &entry, &state);
    }
    state
}

/// Everything the state says save which entries it came from.
fn facts(state: &JobState) -> String {
    let s = state;
    format!(
        "{:?}",
        (
            (&s.name, &s.started, &s.car_text, &s.goals, &s.car_state, &s.holds, &s.parts, &s.done),
            (&s.readings, &s.skipped, &s.rows, &s.numbers, &s.order, &s.ways, &s.choices, &s.seen, &s.notes),
        )
    )
}

/// No final state without its rules: told again here, from the words of the vehicle file.
fn final_states_are_earned(car: &Car, before: &JobState, entry: &Entry, after: &JobState) {
    for fastener in &car.fasteners {
        let (was, is) = (before.hold(&fastener.id).stage, after.hold(&fastener.id).stage);
        let withdrawal = matches!(entry.event, Event::Withdrawn { .. });
        if is <= was || is < FastenerStage::AtFinal || withdrawal {
            continue;
        }
        let Event::Done { action, .. } = &entry.event else { panic!("{entry:?} moved {}", fastener.id) };
        assert_eq!(action.item, fastener.id, "{action} moved {}", fastener.id);
        assert_eq!(obstacles(car, before, action), [], "{action}");
        if action.verb != Verb::Lock {
            let due = fastener.torque.as_ref().and_then(|torque| torque.state);
            assert!(due.is_none_or(|due| before.stands().counts_as(due)), "{action}: {:?}", before.stands());
        }
        if fastener.lock.is_own_act() {
            assert_eq!(is == FastenerStage::Locked, action.verb == Verb::Lock, "{action}");
            assert!(is != FastenerStage::Locked || was == FastenerStage::AtFinal, "{action}: from {was:?}");
        }
        for part in &fastener.joins {
            let host_is_off =
                car.part(part).and_then(|p| p.part_of.as_ref()).is_some_and(|h| before.part(h).off);
            assert!(
                !before.part(part).off || host_is_off || fastener.joins.len() > 1,
                "{action}: {part} is off"
            );
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_command_panics_and_the_gates_tell_the_truth(recipes in recipes(), commands in commands()) {
        let car = car(&recipes);
        let end = run(&car, &commands, |before, entry, after| {
            final_states_are_earned(&car, before, entry, after);
            let (open, road) = (open_items(&car, after), road_check(&car, after));
            assert!(open.is_empty() || !road.is_empty(), "open: {open:?}");
            let missing = car.parts.iter().any(|part| !part.cover && after.part(&part.id).off);
            assert!(!missing || !lowering_check(&car, after).is_empty(), "{:?}", after.parts);
        });
        // Whatever can be asked can be answered.
        for action in actions(&car) {
            let _ = obstacles(&car, &end, &action);
        }
        // Once anything critical is out of its thread, the road is closed.
        for fastener in &car.fasteners {
            if end.hold(&fastener.id).stage == FastenerStage::Out {
                prop_assert!(!road_check(&car, &end).is_empty());
            }
        }
    }

    #[test]
    fn a_fold_can_be_interrupted_anywhere(
        recipes in recipes(), commands in commands(), cut in any::<prop::sample::Index>(),
    ) {
        let car = car(&recipes);
        let whole = run(&car, &commands, |_, _, _| ());
        let at = cut.index(whole.entries.len() + 1);
        let mut state = JobState::of(&whole.entries[..at]);
        for entry in &whole.entries[at..] {
            state.apply(entry);
        }
        prop_assert_eq!(&state, &whole);
        prop_assert_eq!(&JobState::of(&whole.entries), &whole);
    }

    #[test]
    fn an_entry_delivered_again_changes_nothing(
        recipes in recipes(), commands in commands(), again in prop::collection::vec(any::<prop::sample::Index>(), 1..9),
    ) {
        let car = car(&recipes);
        let whole = run(&car, &commands, |_, _, _| ());
        let mut late = whole.clone();
        let mut twice = JobState::default();
        for entry in &whole.entries {
            twice.apply(entry);
            twice.apply(entry);
        }
        for index in again {
            late.apply(index.get(&whole.entries));
        }
        prop_assert_eq!(&late, &whole);
        prop_assert_eq!(&twice, &whole);
    }

    #[test]
    fn a_withdrawal_that_comes_before_its_entry_counts_all_the_same(
        recipes in recipes(), commands in commands(), which in any::<prop::sample::Index>(),
    ) {
        let car = car(&recipes);
        let end = run(&car, &commands, |_, _, _| ());
        let victim = which.get(&end.entries).clone();
        let withdrawal = Entry {
            id: "withdrawal".to_owned(),
            at: String::new(),
            event: Event::Withdrawn { entry: victim.id.clone(), reason: None },
        };
        let mut late = JobState::default();
        late.apply(&withdrawal);
        let mut early = end.clone();
        for entry in &end.entries {
            late.apply(entry);
        }
        early.apply(&withdrawal);
        prop_assert_eq!(facts(&late), facts(&early));
    }
}

proptest! {
    // Each case takes back every entry of its job.
    #![proptest_config(ProptestConfig { cases: 16, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_withdrawn_entry_was_never_made(recipes in recipes(), commands in commands()) {
        let car = car(&recipes);
        let end = run(&car, &commands, |_, _, _| ());
        let mut withdrawn = 0;
        for entry in end.entries.clone() {
            let Ok(event) = withdraw(&car, &end.entries, &entry.id, None) else { continue };
            withdrawn += 1;
            let mut after = end.clone();
            after.apply(&Entry { id: "withdrawal".to_owned(), at: String::new(), event });
            let rest: Vec<Entry> = end.counting_entries().filter(|other| other.id != entry.id).cloned().collect();
            prop_assert_eq!(facts(&after), facts(&JobState::of(&rest)), "{:?}", entry);
            // And it is taken back once.
            prop_assert!(withdraw(&car, &after.entries, &entry.id, None).is_err());
        }
        let free = end.counting_entries().filter(|e| !matches!(e.event, Event::JobStarted { .. } | Event::Planned { .. }));
        prop_assert!(withdrawn > 0 || free.count() == 0, "the last entry can always be taken back");
    }
}

#[test]
fn a_row_that_fell_out_of_the_plan_holds_nothing_up() {
    let car = car(&[]);
    let raise = Action::parse("do:raise").unwrap();
    let mut state = JobState::of(&beginning(&car, "arm"));
    let blocked = obstacles(&car, &state, &raise);
    assert!(blocked.iter().any(|o| o.text.contains("height")), "{blocked:?}");
    let rows: Vec<PlannedRow> = state
        .planned
        .iter()
        .filter(|action| action.verb != Verb::Read)
        .map(|action| PlannedRow { number: state.number_of(action).unwrap(), action: action.clone() })
        .collect();
    let planned = Event::Planned { rows, ways: Vec::new() };
    state.apply(&Entry { id: "again".to_owned(), at: String::new(), event: planned });
    assert_eq!(obstacles(&car, &state, &raise), Vec::new());
}

#[test]
fn the_random_jobs_get_somewhere() {
    // The properties above would hold for jobs in which nothing ever happens.
    use proptest::strategy::ValueTree as _;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let (mut finals, mut locked, mut lowered, mut clear) = (0, 0, 0, 0);
    for goal in ["arm", "plate"].into_iter().cycle().take(200) {
        let recipes = recipes().new_tree(&mut runner).unwrap().current();
        let commands = commands().new_tree(&mut runner).unwrap().current();
        let car = car(&recipes);
        let lower = ItemId::from_text("lower");
        let end = run_for(goal, &car, &commands, |_, _, after| {
            clear += u32::from(road_check(&car, after).is_empty());
        });
        let stages = car.fasteners.iter().map(|fastener| end.hold(&fastener.id).stage);
        finals += stages.clone().filter(|stage| *stage >= FastenerStage::AtFinal).count();
        locked += stages.filter(|stage| *stage == FastenerStage::Locked).count();
        lowered += u32::from(end.done.contains_key(&lower));
        assert!(car.ids().all(|id| !matches!(car.item(id), None | Some(Item::Target(_)))));
    }
    let reached = format!("{finals} final, {locked} locked, {lowered} lowered, road clear {clear} times");
    assert!(finals > 30 && locked > 15 && lowered > 20 && clear > 0, "{reached}");
    println!("{reached}");
}
