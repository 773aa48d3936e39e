//! What has to be at hand before the car is immobile.

use crate::odds::chance_of;
use crate::order::Plan;
use axlestand_fastener::wrench_size::stand_ins;
use axlestand_ledger::{JobState, RowStatus, Verb, row_status};
use axlestand_model::car::{Car, Drive, DriveKind, Fastener, Hold, Item, Part, TorqueSpec, TorqueStep, Use};
use axlestand_model::{ItemId, without_side};
use axlestand_quantity::Torque;
use std::collections::{BTreeMap, BTreeSet};

/// From which chance on something is listed as likely to break or seize (source id AX-2).
const LIKELY: f64 = 0.3;

/// Something to have at hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// What.
    pub what: String,
    /// How much in all, in `unit`.
    pub amount: f64,
    /// How much of it is recorded as lying ready, or is on or in already.
    pub in_hand: f64,
    /// Its unit; empty for pieces.
    pub unit: String,
    /// What it is for.
    pub for_items: Vec<String>,
}

/// A tool to have at hand.
#[derive(Debug, Clone, PartialEq)]
pub struct ToolNeed {
    /// Which.
    pub tool: String,
    /// What it is for, a few of them.
    pub for_items: Vec<String>,
    /// Whether the owner's toolbox has it; `None` where no toolbox is known.
    pub owned: Option<bool>,
    /// A tool of the other system that really fits.
    pub stand_in: Option<String>,
}

/// Something that may not come apart in one piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Risk {
    /// The item.
    pub item: ItemId,
    /// What people call it.
    pub name: String,
    /// Chance of being seized, 0 to 1.
    pub chance: f64,
    /// Minutes if it is.
    pub minutes: f64,
    /// Other ways to free it.
    pub ways: Vec<String>,
}

/// Something that has to start days before.
#[derive(Debug, Clone, PartialEq)]
pub struct Ahead {
    /// The operation.
    pub item: ItemId,
    /// What.
    pub name: String,
    /// How many days before.
    pub days: f64,
}

/// A specification that this job needs and that is still to be looked up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LookUp {
    /// The item, without its side where both sides share it.
    pub item: String,
    /// What people call it.
    pub name: String,
    /// What is missing: `torque`, `value`, `amount`.
    pub field: &'static str,
    /// Where in a service manual it usually stands.
    pub look_in: Option<String>,
    /// Whether a life hangs on it.
    pub critical: bool,
}

/// Everything to have at hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Needs {
    /// Parts to buy: the goals, what is bought with them, what broke and what a way of the plan scraps.
    pub parts: Vec<Need>,
    /// Fasteners and connections to buy: one-use ones, and what broke or is scrapped by a way.
    pub one_use: Vec<Need>,
    /// Consumables.
    pub consumables: Vec<Need>,
    /// Tools.
    pub tools: Vec<ToolNeed>,
    /// What may be seized: first what costs most minutes on average (chance times minutes).
    pub risks: Vec<Risk>,
    /// What starts days before, the earliest first.
    pub ahead: Vec<Ahead>,
    /// Specifications to look up, the critical ones first.
    pub look_up: Vec<LookUp>,
}

/// The owner's tools, as written in the toolbox file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Toolbox {
    /// Tools by name: `hex 21`, `ball-joint separator`.
    pub tools: BTreeSet<String>,
    /// Torque wrenches: name, lowest and highest torque.
    pub wrenches: Vec<(String, Torque, Torque)>,
}

/// What the plan needs at hand, less what the toolbox has.
#[must_use]
pub fn needs(car: &Car, state: &JobState, plan: &Plan, toolbox: Option<&Toolbox>) -> Needs {
    let mut gather = Gather::default();
    for goal in state.goals.iter().filter_map(|id| car.part(id)) {
        gather.part(state, goal);
        for with in &goal.buy_with {
            gather.buy(with, &goal.name);
        }
    }
    broken(car, state, &mut gather);
    scrapped_by_plan(car, state, plan, &mut gather);
    let mut out = Needs::default();
    for row in &plan.rows {
        gather_row(car, row.action.verb, &row.action.item, &mut gather);
    }
    for hold in car.holds().filter(|hold| plan.scope.holds.contains(hold.id())) {
        if hold.is_one_use() {
            gather.one_use(state, hold);
        }
        let chance = chance_of(hold, state);
        if chance >= LIKELY && !state.hold(hold.id()).was_out {
            let ways = car.ways_to_free(hold.id()).map(|way| without_side(&way.name).to_owned()).collect();
            let minutes = hold.work().minutes.stuck;
            out.risks.push(Risk {
                item: hold.id().clone(),
                name: hold.name().to_owned(),
                chance,
                minutes,
                ways,
            });
        }
    }
    out.risks.sort_by(|a, b| {
        (b.chance * b.minutes).total_cmp(&(a.chance * a.minutes)).then_with(|| a.item.cmp(&b.item))
    });
    out.ahead = ahead(car, state, plan);
    out.look_up = look_up(car, plan);
    out.parts = gather.parts.into_values().collect();
    out.one_use = gather.one_use.into_values().collect();
    out.consumables = gather.consumables.into_values().collect();
    let (wrenches, tools): (Vec<_>, Vec<_>) =
        gather.tools.into_iter().partition(|(tool, _)| matches!(tool, ToolKey::TorqueWrench { .. }));
    out.tools = tools.into_iter().map(|(tool, uses)| tool_need(tool, uses, toolbox)).collect();
    out.tools.extend(wrench_needs(&wrenches, toolbox));
    out
}

#[derive(Default)]
struct Gather {
    parts: BTreeMap<String, Need>,
    one_use: BTreeMap<String, Need>,
    consumables: BTreeMap<(String, String), Need>,
    tools: BTreeMap<ToolKey, Vec<String>>,
}

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum ToolKey {
    Size { kind: &'static str, tenths: u32, text: String },
    TorqueWrench { nm_tenths: u32 },
    Named(String),
}

impl Gather {
    fn part(&mut self, state: &JobState, part: &Part) {
        let stands = state.part(&part.id);
        let (key, what) = (part.id.base().to_owned(), without_side(&part.name));
        let need = add(&mut self.parts, key, what, 1.0, "", &part.name);
        need.in_hand += if stands.ready || stands.fresh { 1.0 } else { 0.0 };
    }

    fn buy(&mut self, with: &Use, name: &str) {
        add(
            &mut self.parts,
            format!("{} {}", with.item, with.unit),
            &with.item,
            with.amount,
            &with.unit,
            name,
        );
    }

    fn one_use(&mut self, state: &JobState, hold: Hold<'_>) {
        let size = match hold {
            Hold::Fastener(f) if !f.size_text().is_empty() => {
                format!("{} ({})", without_side(&f.name), f.size_text())
            }
            _ => without_side(hold.name()).to_owned(),
        };
        let (key, count) = (hold.id().base().to_owned(), f64::from(hold.count()));
        let stands = state.hold(hold.id());
        let need = add(&mut self.one_use, key, &size, count, "", hold.name());
        need.in_hand += if stands.ready || stands.fresh { count } else { 0.0 };
    }

    fn consume(&mut self, uses: &[Use], name: &str) {
        for one in uses {
            let key = (one.item.clone(), one.unit.clone());
            add(&mut self.consumables, key, &one.item, one.amount, &one.unit, name);
        }
    }

    fn tool(&mut self, key: ToolKey, name: &str) {
        let uses = self.tools.entry(key).or_default();
        let name = without_side(name).to_owned();
        if !uses.contains(&name) {
            uses.push(name);
        }
    }
}

fn add<'a, K: Ord>(
    map: &'a mut BTreeMap<K, Need>,
    key: K,
    what: &str,
    amount: f64,
    unit: &str,
    name: &str,
) -> &'a mut Need {
    let need = map.entry(key).or_insert_with(|| Need {
        what: what.to_owned(),
        amount: 0.0,
        in_hand: 0.0,
        unit: unit.to_owned(),
        for_items: Vec::new(),
    });
    need.amount += amount;
    if !need.for_items.iter().any(|n| n == name) {
        need.for_items.push(name.to_owned());
    }
    need
}

/// What broke on the way and is not replaced yet.
fn broken(car: &Car, state: &JobState, gather: &mut Gather) {
    for part in car.parts.iter().filter(|part| state.part(&part.id).broken && !state.goals.contains(&part.id))
    {
        gather.part(state, part);
    }
    for hold in car.holds().filter(|hold| state.hold(hold.id()).broken && !hold.is_one_use()) {
        gather.one_use(state, hold);
    }
}

/// What a way of the plan will scrap, before it does.
fn scrapped_by_plan(car: &Car, state: &JobState, plan: &Plan, gather: &mut Gather) {
    let ways = plan.rows.iter().filter(|row| row.action.verb == Verb::Way);
    let to_go =
        ways.filter_map(|row| car.way(&row.action.item)).filter(|way| !state.done.contains_key(&way.id));
    let scraps: BTreeSet<&ItemId> = to_go.flat_map(|way| &way.scraps).collect();
    for id in scraps {
        if let Some(part) = car.part(id)
            && !state.part(id).broken
            && !state.goals.contains(id)
        {
            gather.part(state, part);
        } else if let Some(hold) = car.hold(id)
            && !state.hold(id).broken
            && !hold.is_one_use()
        {
            gather.one_use(state, hold);
        }
    }
}

fn gather_row(car: &Car, verb: Verb, item: &ItemId, gather: &mut Gather) {
    match car.item(item) {
        Some(Item::Fastener(f)) => {
            for drive in [&f.drive, &f.hold].into_iter().flatten() {
                gather.tool(drive_key(drive), &f.name);
            }
            let tightens = matches!(verb, Verb::Final) || (verb == Verb::Fit && !f.is_deferred());
            let turns =
                |torque: &TorqueSpec| torque.steps.iter().any(|step| matches!(step, TorqueStep::On(_)));
            if tightens && f.torque.as_ref().is_some_and(turns) {
                gather.tool(ToolKey::Named("angle gauge".to_owned()), &f.name);
            }
            if tightens && let Some(torque) = f.torque.as_ref().and_then(TorqueSpec::largest) {
                gather
                    .tool(ToolKey::TorqueWrench { nm_tenths: (torque.nm() * 10.0).round() as u32 }, &f.name);
            }
            if verb == Verb::Fit {
                gather.consume(&f.work.uses, &f.name);
            }
            named(gather, f.work.tools_for(!verb.takes_apart()), &f.name);
        }
        Some(Item::Connection(c)) => {
            if verb == Verb::Fit {
                gather.consume(&c.work.uses, &c.name);
            }
            named(gather, c.work.tools_for(!verb.takes_apart()), &c.name);
        }
        Some(Item::Part(p)) => {
            if verb == Verb::On {
                gather.consume(&p.work.uses, &p.name);
            }
            named(gather, p.work.tools_for(!verb.takes_apart()), &p.name);
        }
        Some(Item::Operation(o)) => {
            gather.consume(&o.work.uses, &o.name);
            named(gather, &o.work.tools, &o.name);
        }
        Some(Item::Way(w)) => {
            gather.consume(&w.work.uses, &w.name);
            named(gather, &w.work.tools, &w.name);
        }
        Some(Item::Reading(r)) => {
            named(gather, &r.work.tools, &r.name);
            if let Some(instrument) = &r.instrument {
                gather.tool(ToolKey::Named(instrument.clone()), &r.name);
            }
        }
        _ => {}
    }
}

fn named(gather: &mut Gather, tools: &[String], name: &str) {
    for tool in tools {
        gather.tool(ToolKey::Named(tool.clone()), name);
    }
}

fn drive_key(drive: &Drive) -> ToolKey {
    let kind = match drive.kind {
        DriveKind::Hex => "1 hex",
        DriveKind::Flats => "2 flats",
        DriveKind::InnerHex => "3 inner hex",
        DriveKind::InnerLobe => "4 T",
        DriveKind::OuterLobe => "5 E",
        DriveKind::Cross => "6 cross",
    };
    let tenths = drive.across_flats.map_or(0, |length| (length.mm() * 10.0).round() as u32);
    ToolKey::Size { kind, tenths, text: drive.to_string() }
}

fn tool_need(key: ToolKey, for_items: Vec<String>, toolbox: Option<&Toolbox>) -> ToolNeed {
    match key {
        ToolKey::Size { kind, tenths, text } => {
            let stand_in = (kind == "1 hex").then(|| stand_in(f64::from(tenths) / 10.0)).flatten();
            let owned = toolbox
                .map(|t| t.tools.contains(&text) || stand_in.as_ref().is_some_and(|s| t.tools.contains(s)));
            ToolNeed { tool: text, for_items, owned, stand_in }
        }
        ToolKey::TorqueWrench { nm_tenths } => ToolNeed {
            tool: format!("torque wrench for {} N·m", f64::from(nm_tenths) / 10.0),
            for_items,
            owned: None,
            stand_in: None,
        },
        ToolKey::Named(tool) => {
            let owned = toolbox.map(|t| t.tools.contains(&tool));
            ToolNeed { tool, for_items, owned, stand_in: None }
        }
    }
}

/// The torques to be set, as one need; two where the toolbox reaches only some of them.
fn wrench_needs(wrenches: &[(ToolKey, Vec<String>)], toolbox: Option<&Toolbox>) -> Vec<ToolNeed> {
    let torques = wrenches.iter().filter_map(|(key, uses)| match key {
        ToolKey::TorqueWrench { nm_tenths } => Some((f64::from(*nm_tenths) / 10.0, uses)),
        _ => None,
    });
    let reached =
        |nm: f64| toolbox.map(|t| t.wrenches.iter().any(|(_, low, high)| low.nm() <= nm && nm <= high.nm()));
    let mut needs = Vec::new();
    for owned in [Some(false), None, Some(true)] {
        let of: Vec<_> = torques.clone().filter(|(nm, _)| reached(*nm) == owned).collect();
        if of.is_empty() {
            continue;
        }
        let values: Vec<String> = of.iter().map(|(nm, _)| nm.to_string()).collect();
        needs.push(ToolNeed {
            tool: format!("torque wrench for {} N·m", values.join(", ")),
            for_items: of.into_iter().flat_map(|(_, uses)| uses.iter().cloned()).collect(),
            owned,
            stand_in: None,
        });
    }
    needs
}

/// The inch size that really fits a metric head, as it is written in a toolbox file.
fn stand_in(mm: f64) -> Option<String> {
    let head = axlestand_quantity::Length::from_mm(mm).ok()?;
    stand_ins(head)
        .into_iter()
        .find(|s| s.fit == axlestand_fastener::wrench_size::Fit::Fits && s.size.is_inch())
        .map(|s| format!("hex {}", s.size))
}

/// What starts days before and is still to do.
fn ahead(car: &Car, state: &JobState, plan: &Plan) -> Vec<Ahead> {
    let mut list: Vec<Ahead> = plan
        .rows
        .iter()
        .filter(|row| row.action.verb == Verb::Do)
        .filter(|row| row_status(car, state, &row.action) == RowStatus::Pending)
        .filter_map(|row| car.operation(&row.action.item))
        .filter_map(|o| Some(Ahead { item: o.id.clone(), name: o.name.clone(), days: o.days_before? }))
        .collect();
    list.sort_by(|a, b| b.days.total_cmp(&a.days));
    list
}

fn look_up(car: &Car, plan: &Plan) -> Vec<LookUp> {
    let mut list: Vec<LookUp> = Vec::new();
    let mut push = |look: LookUp| {
        if !list.iter().any(|known| known.item == look.item && known.field == look.field) {
            list.push(look);
        }
    };
    let tightened = |id: &ItemId| plan.scope.holds.contains(id) || plan.scope.loosened.contains(id);
    for fastener in car.fasteners.iter().filter(|f| tightened(&f.id)) {
        if fastener.torque.as_ref().is_some_and(|torque| !torque.is_settled()) {
            push(look_up_torque(fastener));
        }
    }
    for fluid in
        car.fluids.iter().filter(|fluid| fluid.amount.is_none() || !fluid.provenance.may_be_worked_to())
    {
        let filled = plan
            .rows
            .iter()
            .any(|row| car.operation(&row.action.item).is_some_and(|o| o.fluid.as_ref() == Some(&fluid.id)));
        if filled {
            push(LookUp {
                item: fluid.id.to_string(),
                name: fluid.name.clone(),
                field: "amount",
                look_in: fluid.look_in.clone(),
                critical: false,
            });
        }
    }
    for target in car.targets.iter().filter(|t| plan.scope.readings.contains(&t.reading)) {
        if target.band.is_none() || !target.provenance.may_be_worked_to() {
            push(LookUp {
                item: target.id.base().to_owned(),
                name: without_side(&target.name).to_owned(),
                field: "value",
                look_in: target.look_in.clone(),
                critical: false,
            });
        }
    }
    list.sort_by_key(|look| !look.critical);
    list
}

fn look_up_torque(fastener: &Fastener) -> LookUp {
    LookUp {
        item: fastener.id.base().to_owned(),
        name: without_side(&fastener.name).to_owned(),
        field: "torque",
        look_in: fastener.torque.as_ref().and_then(|torque| torque.look_in.clone()),
        critical: fastener.critical,
    }
}
