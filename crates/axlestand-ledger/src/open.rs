//! Open items: whatever is not yet in its required final state.

use crate::action::{Action, Verb};
use crate::event::FastenerStage;
use crate::rules::obstacles;
use crate::state::{HoldState, JobState};
use crate::status::{final_stage, is_finished, stage_when_fitted};
use axlestand_model::car::{Car, Fastener, Hold, Operation};
use axlestand_model::{ItemId, Stage};

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
    pub stands: String,
    /// What would close it or bring it nearer.
    pub closes: Option<Action>,
    /// What that waits for.
    pub waits: Vec<String>,
    /// How finished it looks though it is not; more is worse.
    looks_finished: u8,
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
            items.push(item(car, state, &part.id, &part.name, danger, "off", Some(closes), 0));
        } else if now.broken {
            items.push(item(car, state, &part.id, &part.name, danger, "broken and still in", None, 3));
        }
    }
    for operation in &car.operations {
        items.extend(drained(car, state, operation));
    }
    items.sort_by(|a, b| {
        (a.danger, std::cmp::Reverse(a.looks_finished), &a.item).cmp(&(
            b.danger,
            std::cmp::Reverse(b.looks_finished),
            &b.item,
        ))
    });
    items
}

fn danger_of_part(critical: bool, cover: bool) -> Danger {
    match (critical, cover) {
        (true, _) => Danger::Critical,
        (false, false) => Danger::Usual,
        (false, true) => Danger::Cover,
    }
}

/// How dangerous it is that this hold is open: a hold of nothing but covers only covers.
pub(crate) fn danger_of_hold(car: &Car, hold: Hold<'_>) -> Danger {
    if hold.is_critical() {
        Danger::Critical
    } else if hold.joins().iter().filter_map(|id| car.part(id)).any(|part| part.cover) {
        Danger::Cover
    } else {
        Danger::Usual
    }
}

#[allow(clippy::too_many_arguments, reason = "one constructor for three kinds of items")]
fn item(
    car: &Car,
    state: &JobState,
    id: &ItemId,
    name: &str,
    danger: Danger,
    stands: &str,
    closes: Option<Action>,
    looks_finished: u8,
) -> OpenItem {
    let waits = closes
        .as_ref()
        .map(|action| obstacles(car, state, action).into_iter().map(|o| o.text).collect())
        .unwrap_or_default();
    OpenItem {
        item: id.clone(),
        name: name.to_owned(),
        danger,
        stands: stands.to_owned(),
        closes,
        waits,
        looks_finished,
    }
}

fn open_hold(car: &Car, state: &JobState, hold: Hold<'_>) -> Option<OpenItem> {
    let now = state.hold(hold.id());
    let danger = danger_of_hold(car, hold);
    let found = |stands: &str, verb: Option<Verb>, looks: u8| {
        let closes = verb.map(|verb| Action::new(verb, hold.id()));
        Some(item(car, state, hold.id(), hold.name(), danger, stands, closes, looks))
    };
    if now.broken && now.stage != FastenerStage::Out {
        return found("broken and still in", None, 3);
    }
    if !is_finished(state, hold) {
        let verb = match now.stage {
            FastenerStage::Out | FastenerStage::InByHand => Verb::Fit,
            FastenerStage::AtFinal => Verb::Lock,
            _ if final_stage(hold) == FastenerStage::Seated => Verb::Fit,
            _ => Verb::Final,
        };
        let looks = match now.stage {
            FastenerStage::Out => 0,
            FastenerStage::InByHand => 1,
            FastenerStage::AtFinal => 4,
            _ => 2,
        };
        let stands = unfinished(hold, now.stage);
        return if now.reused && hold.is_critical() {
            found(&format!("{stands}; the old one, a new one is due"), Some(Verb::Undo), looks)
        } else {
            found(stands, Some(verb), looks)
        };
    }
    let Hold::Fastener(fastener) = hold else { return None };
    if lacks_value(fastener, &now) {
        return found("tightened, but no value with a source is recorded", Some(Verb::Final), 5);
    }
    if fastener.critical && now.reused {
        return found("the old one went back in, a new one is due", Some(Verb::Undo), 5);
    }
    None
}

/// How a hold stands that is not finished.
fn unfinished(hold: Hold<'_>, stage: FastenerStage) -> &'static str {
    match stage {
        FastenerStage::Seated if stage_when_fitted(Some(hold)) == FastenerStage::Seated => {
            "seated, final torque deferred"
        }
        FastenerStage::AtFinal => "at final torque, not locked",
        stage => stage.phrase(),
    }
}

/// Whether a critical fastener was brought to a final torque that nobody can show the source of.
pub(crate) fn lacks_value(fastener: &Fastener, now: &HoldState) -> bool {
    fastener.critical
        && fastener.torque.is_some()
        && now.stage >= FastenerStage::AtFinal
        && now.torque.as_ref().is_none_or(|record| record.value.is_none() || record.provenance.is_none())
}

/// A fluid that was drained and not filled again.
fn drained(car: &Car, state: &JobState, operation: &Operation) -> Option<OpenItem> {
    let fluid = operation.fluid.as_ref()?;
    if operation.stage <= Stage::Strip || state.done.contains(&operation.id) {
        return None;
    }
    let let_out = car
        .operations
        .iter()
        .any(|o| o.fluid.as_ref() == Some(fluid) && o.stage <= Stage::Strip && state.done.contains(&o.id));
    let name = car.fluid(fluid).map_or(fluid.as_str(), |fluid| fluid.name.as_str());
    let closes = Action::new(Verb::Do, &operation.id);
    let_out.then(|| item(car, state, fluid, name, Danger::Critical, "drained, not filled", Some(closes), 5))
}
