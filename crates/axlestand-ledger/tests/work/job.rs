//! A job on one corner of a car, written down in the short words of the command line.

use axlestand_ledger::{
    Action, Details, Effects, Entry, Event, FastenerStage, JobState, PlannedRow, Refusal, RowStatus,
    TorqueRecord, Verb, intend, lowering_check, obstacles, open_items, road_check, row_status, withdraw,
};
use axlestand_model::ItemId;
use axlestand_model::car::{Car, Item};

pub(crate) fn id(text: &str) -> ItemId {
    ItemId::from_text(text)
}

pub(crate) fn act(text: &str) -> Action {
    Action::parse(text).unwrap()
}

/// A car, what was written down of the job on it, and the state that follows.
#[derive(Clone)]
pub(crate) struct Job {
    pub(crate) car: Car,
    pub(crate) state: JobState,
}

impl Job {
    /// A job on the corner, with `change`d lines in its vehicle file; nothing is planned yet.
    pub(crate) fn on_corner_with(goals: &str, changes: &[(&str, &str)]) -> Self {
        let mut text = include_str!("corner.toml").to_owned();
        for (old, new) in changes {
            assert_eq!(text.matches(old).count(), 1, "'{old}' stands once in the vehicle file");
            text = text.replace(old, new);
        }
        let reading = axlestand_model::file::read(&text, |thread| Ok(thread.to_owned()));
        let car = reading.car.unwrap_or_else(|| panic!("{:#?}", reading.findings));
        let mut job = Self { car, state: JobState::default() };
        job.tell(Event::JobStarted {
            name: "corner".to_owned(),
            car_text: text,
            car_path: String::new(),
            goals: goals.split_whitespace().map(id).collect(),
            rust: 2,
            helper: false,
            toolbox: None,
        });
        job
    }

    pub(crate) fn on_corner(goals: &str) -> Self {
        Self::on_corner_with(goals, &[])
    }

    /// Every sensible action is in the plan: operations, readings, and all that comes apart and goes back.
    pub(crate) fn with_everything_planned(mut self) -> Self {
        let kinds = |id: &ItemId| match self.car.item(id) {
            Some(Item::Part(_)) => "off on",
            Some(Item::Fastener(_)) => "loosen undo fit final lock",
            Some(Item::Connection(_)) => "undo fit",
            Some(Item::Operation(_)) => "do",
            Some(Item::Reading(_)) => "read again",
            _ => "",
        };
        let rows: Vec<String> = (self.car.ids())
            .flat_map(|id| kinds(id).split_whitespace().map(move |verb| format!("{verb}:{id}")))
            .collect();
        self.plan(&rows.join(" "));
        self
    }

    /// Makes a plan of these rows, numbered from 1.
    pub(crate) fn plan(&mut self, rows: &str) {
        let rows =
            rows.split_whitespace().zip(1u32..).map(|(row, number)| PlannedRow { number, action: act(row) });
        self.tell(Event::Planned { rows: rows.collect(), ways: Vec::new() });
    }

    /// Writes an event down, whatever it says.
    pub(crate) fn tell(&mut self, event: Event) -> String {
        let number = self.state.entries.len();
        let entry = Entry { id: format!("e{number}"), at: format!("2000-01-01T00:00:{number:02}Z"), event };
        self.state.apply(&entry);
        entry.id
    }

    /// Does these actions one after the other; each has to be possible.
    pub(crate) fn does(&mut self, actions: &str) {
        for action in actions.split_whitespace() {
            self.does_with(action, &Details::default()).unwrap_or_else(|refusal| panic!("{refusal}"));
        }
    }

    pub(crate) fn does_with(&mut self, action: &str, details: &Details) -> Result<Event, Refusal> {
        let event = intend(&self.car, &self.state, &act(action), details)?;
        self.tell(event.clone());
        Ok(event)
    }

    /// Writes down that a fastener reached a stage, without asking whether it could.
    pub(crate) fn reached(&mut self, item: &str, stage: FastenerStage, torque: Option<&str>) {
        let torque = torque.map(|value| TorqueRecord {
            value: Some(value.to_owned()),
            provenance: Some("manual: sheet".to_owned()),
            car_state: Some(self.state.stands()),
            ..TorqueRecord::default()
        });
        let effects = Effects { reaches: Some(stage), ..Effects::default() };
        let verb = if stage == FastenerStage::Locked { Verb::Lock } else { Verb::Fit };
        self.tell(Event::Done { action: Action::new(verb, &id(item)), effects, torque, note: None });
    }

    /// Writes these actions down with nothing besides, without asking whether they could be done.
    pub(crate) fn noted(&mut self, actions: &str) {
        for action in actions.split_whitespace().map(act) {
            let brings = self.car.operation(&action.item).and_then(|operation| operation.brings);
            let effects = Effects { brings, ..Effects::default() };
            self.tell(Event::Done { action, effects, torque: None, note: None });
        }
    }

    pub(crate) fn broke(&mut self, item: &str) {
        self.tell(Event::Broken { item: id(item), note: None });
    }

    pub(crate) fn has_new(&mut self, item: &str) {
        self.tell(Event::Replaced { item: id(item), note: None });
    }

    pub(crate) fn skips(&mut self, action: &str) {
        self.tell(Event::Skipped { action: act(action), reason: "no time".to_owned() });
    }

    pub(crate) fn reads(&mut self, reading: &str, again: bool, value: f64, u: f64) {
        let typed = format!("{value}");
        self.tell(Event::Read { reading: id(reading), again, value, u, typed, instrument: None });
    }

    pub(crate) fn takes_back(&mut self, entry: &str) -> Result<(), String> {
        let event = withdraw(&self.car, &self.state.entries, entry, None)?;
        self.tell(event);
        Ok(())
    }

    /// Why an action cannot be done: what to do first where one action would do, else the reason.
    pub(crate) fn why(&self, action: &str) -> Vec<String> {
        let found = obstacles(&self.car, &self.state, &act(action)).into_iter();
        found.map(|o| o.first.map_or(o.text, |first| first.to_string())).collect()
    }

    /// Why an action cannot be done, in words.
    pub(crate) fn reasons(&self, action: &str) -> String {
        let found = obstacles(&self.car, &self.state, &act(action)).into_iter();
        found.map(|o| o.text).collect::<Vec<_>>().join("; ")
    }

    pub(crate) fn row(&self, action: &str) -> RowStatus {
        row_status(&self.car, &self.state, &act(action))
    }

    pub(crate) fn stage(&self, item: &str) -> FastenerStage {
        self.state.hold(&id(item)).stage
    }

    /// Why the car may not come down: each reason with what would close it.
    pub(crate) fn keeps_up(&self) -> Vec<String> {
        let blockers = lowering_check(&self.car, &self.state).into_iter();
        blockers
            .map(|b| format!("{} [{}]", b.text, b.first.map_or_else(String::new, |a| a.to_string())))
            .collect()
    }

    /// Why the car may not go on the road: each reason with what would close it.
    pub(crate) fn keeps_off_the_road(&self) -> Vec<String> {
        let blockers = road_check(&self.car, &self.state).into_iter();
        blockers
            .map(|b| format!("{} [{}]", b.text, b.first.map_or_else(String::new, |a| a.to_string())))
            .collect()
    }

    /// Open items in their order: how they stand and what would close them.
    pub(crate) fn open(&self) -> Vec<String> {
        let items = open_items(&self.car, &self.state).into_iter();
        items
            .map(|i| {
                format!("{}: {} [{}]", i.item, i.stands, i.closes.map_or_else(String::new, |a| a.to_string()))
            })
            .collect()
    }
}

/// How far the plan of a whole strip and refit got, in the order in which the corner allows it.
pub(crate) const STRIP: &str =
    "loosen:wheel-nuts loosen:hub-nut do:chocks do:raise undo:wheel-nuts off:wheel";
