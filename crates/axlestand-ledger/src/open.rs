//! Open items: whatever is not yet in its required final state.

use crate::action::{Action, Verb};
use crate::event::{FastenerStage, TorqueRecord};
use crate::intend::agrees;
use crate::rules::obstacles;
use crate::standing::Standing;
use crate::state::{HoldState, JobState};
use crate::status::{final_stage, is_final_due, is_finished, stage_of, stage_when_fitted};
use crate::wanted::is_wanted_away;
use axlestand_model::car::{Car, Fastener, Fluid, Hold, Operation, TorqueSpec, parse_steps};
use axlestand_model::{Condition, ItemId, Origin, Stage};

/// How dangerous it is that an item is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Danger {
    /// A life hangs on it.
    Critical,
    /// It holds something that is needed.
    Usual,
    /// It only covers.
    Cover,
}

impl Danger {
    /// The word shown to people.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Critical => "critical",
            Self::Usual => "usual",
            Self::Cover => "cover",
        }
    }
}

/// Something that is not yet in its required final state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenItem {
    /// The item.
    pub item: ItemId,
    /// What people call it.
    pub name: String,
    /// How dangerous it is.
    pub danger: Danger,
    /// How it stands.
    pub stands: Standing,
    /// What would close it or bring it nearer.
    pub closes: Option<Action>,
    /// What that waits for.
    pub waits: Vec<String>,
}

/// Every open item, the most dangerous first. Within one degree of danger those come first that
/// look finished though they are not (a seated nut before one that lies in the tray), since those
/// are the ones that are forgotten.
#[must_use]
pub fn open_items(car: &Car, state: &JobState) -> Vec<OpenItem> {
    let mut items: Vec<OpenItem> = Vec::new();
    for hold in car.holds() {
        items.extend(open_hold(car, state, hold));
    }
    for part in &car.parts {
        let now = state.part(&part.id);
        let danger = danger_of_part(part.critical, part.cover);
        if now.off {
            let closes = Action::new(Verb::On, &part.id);
            items.push(item(car, state, &part.id, &part.name, danger, Standing::Off, Some(closes)));
        } else if now.broken {
            let closes = planned(state, Verb::Off, &part.id);
            items.push(item(car, state, &part.id, &part.name, danger, Standing::BrokenIn, closes));
        }
    }
    for fluid in &car.fluids {
        items.extend(drained(car, state, fluid));
    }
    let looks = |open: &OpenItem| std::cmp::Reverse(open.stands.looks_finished());
    items.sort_by(|a, b| (a.danger, looks(a), &a.item).cmp(&(b.danger, looks(b), &b.item)));
    items
}

fn danger_of_part(critical: bool, cover: bool) -> Danger {
    match (critical, cover) {
        (true, _) => Danger::Critical,
        (false, false) => Danger::Usual,
        (false, true) => Danger::Cover,
    }
}

/// How dangerous it is that this hold is open: one that holds a cover, to the body or to one other
/// part, only covers.
pub(crate) fn danger_of_hold(car: &Car, hold: Hold<'_>) -> Danger {
    if hold.is_critical() {
        Danger::Critical
    } else {
        let covers = hold.joins().iter().filter(|id| car.part(id).is_some_and(|part| part.cover)).count();
        if covers > 0 && hold.joins().len() - covers <= 1 { Danger::Cover } else { Danger::Usual }
    }
}

fn item(
    car: &Car,
    state: &JobState,
    id: &ItemId,
    name: &str,
    danger: Danger,
    stands: Standing,
    closes: Option<Action>,
) -> OpenItem {
    let mut waits: Vec<String> = closes
        .as_ref()
        .map(|action| obstacles(car, state, action).into_iter().map(|o| o.text).collect())
        .unwrap_or_default();
    let goes_back = closes.as_ref().is_some_and(|action| matches!(action.verb, Verb::On | Verb::Fit));
    if waits.is_empty() && goes_back && is_wanted_away(car, state, id) {
        waits.push("work of the plan is still ahead that needs it away".to_owned());
    }
    OpenItem { item: id.clone(), name: name.to_owned(), danger, stands, closes, waits }
}

/// A row of the plan; what is not in it leads nowhere.
fn planned(state: &JobState, verb: Verb, id: &ItemId) -> Option<Action> {
    Some(Action::new(verb, id)).filter(|action| state.is_planned(action))
}

fn open_hold(car: &Car, state: &JobState, hold: Hold<'_>) -> Option<OpenItem> {
    let now = state.hold(hold.id());
    let danger = danger_of_hold(car, hold);
    let found = |stands: Standing, verb: Option<Verb>| {
        let closes = verb.map(|verb| Action::new(verb, hold.id()));
        Some(item(car, state, hold.id(), hold.name(), danger, stands, closes))
    };
    if now.broken && now.stage != FastenerStage::Out {
        let out = planned(state, Verb::Undo, hold.id());
        return found(Standing::BrokenIn, out.map(|action| action.verb));
    }
    let old = lacks_new(hold, &now);
    if !is_finished(state, hold) {
        let stage = stage_of(state, hold);
        let verb = match stage {
            _ if old => Verb::Undo,
            FastenerStage::Out | FastenerStage::InByHand => Verb::Fit,
            FastenerStage::AtFinal => Verb::Lock,
            _ if final_stage(hold) == FastenerStage::Seated => Verb::Fit,
            // Broken loose where its final torque is not due: snug for now.
            FastenerStage::BrokenLoose if !is_final_due(state, hold) => Verb::Fit,
            _ => Verb::Final,
        };
        let deferred = stage_when_fitted(Some(hold)) == FastenerStage::Seated;
        return found(Standing::Underway { stage, deferred, old }, Some(verb));
    }
    if old {
        return found(Standing::OldOne, Some(Verb::Undo));
    }
    let Hold::Fastener(fastener) = hold else { return None };
    found(lacks_value(fastener, &now)?, Some(Verb::Final))
}

/// Whether the old one of a critical hold is in although a new one goes in each time: it was
/// loosened or taken out, and no new one went in since.
pub(crate) fn lacks_new(hold: Hold<'_>, now: &HoldState) -> bool {
    let untouched = matches!(now.stage, FastenerStage::InPlace | FastenerStage::Out);
    hold.is_critical() && hold.is_one_use() && !untouched && !now.fresh
}

/// Why a critical fastener at its final torque is not finished all the same: nobody can show where
/// its value comes from, or it is not the one that the vehicle file asks for now.
pub(crate) fn lacks_value(fastener: &Fastener, now: &HoldState) -> Option<Standing> {
    let has_spec = fastener.torque.is_some() && fastener.critical && now.stage >= FastenerStage::AtFinal;
    if has_spec && reached(now).is_none() {
        return Some(Standing::NoValue);
    }
    outdated(fastener, now)
}

/// The value that a fastener was tightened to, where somebody can show where it comes from.
fn reached(now: &HoldState) -> Option<&String> {
    let record = now.torque.as_ref()?;
    let source = record.provenance.as_ref()?;
    record.value.as_ref().filter(|_| !source.starts_with(Origin::Typical.word()))
}

/// Whether a critical fastener has to be tightened afresh, since the vehicle file asks for something
/// else than it was tightened to, or knows a value now that nobody knew then.
#[must_use]
pub fn is_outdated(state: &JobState, fastener: &Fastener) -> bool {
    let is_settled = fastener.torque.as_ref().is_some_and(TorqueSpec::is_settled);
    state.holds.get(&fastener.id).is_some_and(|now| match lacks_value(fastener, now) {
        Some(Standing::NoValue) => is_settled,
        other => other.is_some(),
    })
}

/// Why a critical fastener has to be tightened afresh: the vehicle file asks for another value,
/// thread condition or state of the car than it was tightened to.
fn outdated(fastener: &Fastener, now: &HoldState) -> Option<Standing> {
    let spec =
        fastener.torque.as_ref().filter(|_| fastener.critical && now.stage >= FastenerStage::AtFinal)?;
    let (record, value) = (now.torque.as_ref()?, reached(now)?);
    let steps = parse_steps(value).unwrap_or_default();
    if !record.own_source && spec.is_settled() && !agrees(&steps, &spec.steps) {
        return Some(Standing::OtherValue { reached: value.clone(), asked: spec.steps_text() });
    }
    if let (Some(was), Some(asked), false) = (tightened_for(record), spec.condition, record.own_source)
        && was != asked
    {
        return Some(Standing::OtherCondition { was, asked });
    }
    match (record.car_state, spec.state) {
        (Some(was), Some(due)) if !was.counts_as(due) => Some(Standing::OtherCarState { was, due }),
        _ => None,
    }
}

/// The thread condition that a recorded torque was for, where that is known.
fn tightened_for(record: &TorqueRecord) -> Option<Condition> {
    record.specified.or_else(|| Condition::from_word(record.condition.as_deref()?))
}

/// A fluid that was drained and not filled since.
fn drained(car: &Car, state: &JobState, fluid: &Fluid) -> Option<OpenItem> {
    let of_fluid = |operation: &&Operation| operation.fluid.as_ref() == Some(&fluid.id);
    let last = |drains: bool| {
        let operations =
            car.operations.iter().filter(of_fluid).filter(|o| (o.stage <= Stage::Strip) == drains);
        operations.filter_map(|o| state.done.get(&o.id)).max()
    };
    let out = last(true)?;
    if last(false).is_some_and(|filled| filled > out) {
        return None;
    }
    let fills = car.operations.iter().filter(of_fluid).find(|o| o.stage > Stage::Strip);
    let closes = fills.map(|operation| Action::new(Verb::Do, &operation.id));
    Some(item(car, state, &fluid.id, &fluid.name, Danger::Critical, Standing::Drained, closes))
}
