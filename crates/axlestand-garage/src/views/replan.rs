//! What changed in the plan, through which entry, and why.

use crate::error::GarageError;
use crate::job::{Job, load};
use crate::views::log::in_words;
use crate::views::minutes;
use crate::views::row_text;
use axlestand_ledger::{Action, Event, RowStatus, Verb, row_status};
use axlestand_model::ItemId;
use axlestand_model::car::{Car, Item};
use axlestand_plan::{Plan, PlanRow, Why, why};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// A change of the plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ReplanView {
    /// The entry that brought it.
    pub entry: String,
    /// When that was made.
    pub at: String,
    /// What it was, in words.
    pub since: String,
    /// Rows that came in, those with one reason together.
    pub came: Vec<ReasonedRows>,
    /// Rows that went, those with one reason together.
    pub went: Vec<ReasonedRows>,
    /// Rows that stay and are done in another stage now.
    pub moved: Vec<MovedRow>,
    /// Expected minutes by which the rows to do grew (below 0: shrank); absent where the entry was work
    /// itself.
    pub minutes: Option<f64>,
    /// Whether that compares with pressing on at something stuck or broken.
    pub against_pressing_on: bool,
}

/// Rows that came or went for one reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ReasonedRows {
    /// The reason.
    pub why: String,
    /// The reasons behind it, up to what the job is for.
    pub behind: Vec<String>,
    /// What the rows are about, by name, each once.
    pub names: Vec<String>,
    /// The rows.
    pub rows: Vec<ChangedRow>,
}

/// A row that came or went.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ChangedRow {
    /// Its number.
    pub number: u32,
    /// The action as it is typed.
    pub action: String,
    /// The action in words.
    pub text: String,
}

/// A row that is done in another stage now.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct MovedRow {
    /// The row.
    #[serde(flatten)]
    pub row: ChangedRow,
    /// Where it stood: stage and how the car stands.
    pub before: String,
    /// Where it stands now.
    pub now: String,
}

/// The last change of the plan, where the last entry is one.
///
/// # Errors
/// [`GarageError`] where the ledger cannot be read as it was.
pub fn replan(job: &Job) -> Result<Option<ReplanView>, GarageError> {
    let last = job.state.entries.len().checked_sub(1);
    last.map_or(Ok(None), |at| change_at(job, at))
}

/// Every change of the plan since it was first made, the oldest first.
///
/// # Errors
/// [`GarageError`] where the ledger cannot be read as it was.
pub fn replans(job: &Job) -> Result<Vec<ReplanView>, GarageError> {
    let changes = (0..job.state.entries.len()).map(|at| change_at(job, at));
    changes.filter_map(Result::transpose).collect()
}

/// The change that the entry at this place records, where it is one.
fn change_at(job: &Job, at: usize) -> Result<Option<ReplanView>, GarageError> {
    let entries = &job.state.entries;
    let planned = |entry: &axlestand_ledger::Entry| matches!(entry.event, Event::Planned { .. });
    let earlier = entries[..at].iter().rposition(planned);
    let (true, Some(earlier)) = (planned(&entries[at]), earlier) else { return Ok(None) };
    let after = as_it_was(job, at + 1)?;
    let rows: BTreeSet<&Action> =
        after.state.order.iter().filter_map(|number| after.state.rows.get(number)).collect();
    // Of the entries since the last plan, the one before which no other plan followed.
    let mut cause = at - 1;
    let mut before = as_it_was(job, cause)?;
    while cause > earlier + 1 && before.plan().is_ok_and(|plan| rows_of(&plan) == rows) {
        cause -= 1;
        before = as_it_was(job, cause)?;
    }
    let (Ok(old), Ok(new)) = (before.plan(), after.plan()) else { return Ok(None) };
    let change = Change { event: &entries[cause].event, before: &before, after: &after, old, new };
    Ok(Some(change.view(&entries[cause].id, &entries[cause].at)))
}

fn rows_of(plan: &Plan) -> BTreeSet<&Action> {
    plan.rows.iter().map(|row| &row.action).collect()
}

/// The job as it was after its first entries.
fn as_it_was(job: &Job, entries: usize) -> Result<Job, GarageError> {
    load(&job.name, &job.state.entries[..entries])
}

/// A plan before and after an entry.
struct Change<'a> {
    event: &'a Event,
    before: &'a Job,
    after: &'a Job,
    old: Plan,
    new: Plan,
}

impl Change<'_> {
    fn view(&self, entry: &str, at: &str) -> ReplanView {
        let (then, now) = (rows_of(&self.old), rows_of(&self.new));
        let came: Vec<&PlanRow> = self.new.rows.iter().filter(|row| !then.contains(&row.action)).collect();
        let went: Vec<&PlanRow> = self.old.rows.iter().filter(|row| !now.contains(&row.action)).collect();
        let still = |job: &Job, rows: &[&PlanRow]| -> f64 {
            let pending =
                |row: &&&PlanRow| row_status(&job.car, &job.state, &row.action) == RowStatus::Pending;
            rows.iter().filter(pending).map(|row| row.minutes).sum()
        };
        let worked = matches!(self.event, Event::Done { .. } | Event::Read { .. } | Event::Gauged { .. });
        let besides = |plan: &Plan, job: &Job| plan.minutes_besides(&job.car, &job.state);
        let more = still(self.after, &came) - still(self.before, &went) + besides(&self.new, self.after)
            - besides(&self.old, self.before);
        ReplanView {
            entry: entry.to_owned(),
            at: at.to_owned(),
            since: in_words(self.after, self.event),
            came: self.grouped(self.after, &came, |row| self.why_it_came(row)),
            went: self.grouped(self.before, &went, |row| self.why_it_went(row)),
            moved: self.moved(),
            minutes: (!worked).then(|| minutes::shown(more)),
            against_pressing_on: self.presses_on(),
        }
    }

    /// Whether the entry chose a way for something that is stuck.
    fn presses_on(&self) -> bool {
        let Event::Chosen { item, way: Some(_) } = self.event else { return false };
        let joins = |id: &ItemId| self.after.car.hold(id).is_some_and(|hold| hold.joins().contains(item));
        let tried = self.before.state.holds.iter().filter(|(_, hold)| hold.stuck || hold.broken);
        tried.map(|(id, _)| id).any(|id| id == item || joins(id))
    }

    /// Rows with one reason together, in the order of their first.
    fn grouped(
        &self,
        job: &Job,
        rows: &[&PlanRow],
        reason: impl Fn(&PlanRow) -> (String, Vec<String>),
    ) -> Vec<ReasonedRows> {
        let mut groups: Vec<ReasonedRows> = Vec::new();
        for row in rows {
            let (why, behind) = reason(row);
            let at = groups.iter().position(|group| group.why == why).unwrap_or_else(|| {
                groups.push(ReasonedRows { why, behind, names: Vec::new(), rows: Vec::new() });
                groups.len() - 1
            });
            let Some(group) = groups.get_mut(at) else { continue };
            let name = name(&job.car, &row.action.item);
            if !group.names.contains(&name) {
                group.names.push(name);
            }
            group.rows.push(self.changed(job, &row.action));
        }
        groups
    }

    fn changed(&self, job: &Job, action: &Action) -> ChangedRow {
        let number = self.after.state.numbers.get(action).copied();
        ChangedRow {
            number: number.unwrap_or_default(),
            action: action.to_string(),
            text: row_text(job, action),
        }
    }

    fn moved(&self) -> Vec<MovedRow> {
        let place =
            |row: &PlanRow| format!("{}, {}", row.section.stage().phrase(), row.section.car_state().phrase());
        let then: BTreeMap<&Action, String> =
            self.old.rows.iter().map(|row| (&row.action, place(row))).collect();
        let moved = self.new.rows.iter().filter_map(|row| {
            let (before, now) = (then.get(&row.action)?, place(row));
            let row = self.changed(self.after, &row.action);
            (*before != now).then(|| MovedRow { row, before: before.clone(), now })
        });
        moved.collect()
    }

    /// Why a row came in, and what is behind that.
    fn why_it_came(&self, row: &PlanRow) -> (String, Vec<String>) {
        let (car, state) = (&self.after.car, &self.after.state);
        let Action { verb, item } = &row.action;
        let subject = car.way(item).map_or(item, |way| &way.frees);
        let chain = why(car, state, &self.new.scope, subject);
        let behind = in_turn(car, &chain);
        if *verb == Verb::Way {
            return (format!("frees {}", called(car, subject)), behind);
        }
        let way = self.new.scope.way_for(subject).filter(|way| self.old.scope.way_for(subject) != Some(*way));
        let back = matches!(verb, Verb::On | Verb::Fit | Verb::Final | Verb::Lock);
        if let (true, Some(way)) = (back, way) {
            return (format!("goes back after {}", called(car, way)), behind);
        }
        if is_away(&self.old, subject) {
            if !back && self.old.scope.way_for(subject).is_some() {
                return ("the usual manner".to_owned(), behind);
            }
            let held = car.fastener(item).is_some_and(axlestand_model::car::Fastener::is_deferred);
            let text = match verb {
                Verb::Loosen => "has to be loose for it".to_owned(),
                Verb::Fit if held => "has to be seated before the car comes down".to_owned(),
                _ if back => "has to be done again".to_owned(),
                _ => "is due now".to_owned(),
            };
            return (text, behind);
        }
        // Up to what was in the plan before.
        let known = |step: &Why| step.asked_by().is_none_or(|of| is_away(&self.old, of));
        let at = chain.iter().position(known).unwrap_or(0);
        let of = chain[..at].iter().rev().find_map(Why::asked_by).unwrap_or(subject);
        let text = chain.get(at).map_or_else(String::new, |step| self.reason(of, step));
        (if back { "goes back afterwards".to_owned() } else { text }, behind)
    }

    /// A step of a chain as the reason of a change: `of` is what the step speaks of.
    fn reason(&self, of: &ItemId, step: &Why) -> String {
        let (car, state) = (&self.after.car, &self.after.state);
        let loose = || {
            let hold = state.hold(of);
            if hold.was_out || state.part(of).was_off { "came off" } else { "was loosened" }
        };
        match step {
            Why::Goal => format!("{} is to be replaced", called(car, of)),
            Why::Broken => format!("{} broke: it comes out, a new one goes in", called(car, of)),
            Why::Undone => format!("{} {}", called(car, of), loose()),
            other => in_words_of(car, other),
        }
    }

    /// Why a row went, and what was behind it.
    fn why_it_went(&self, row: &PlanRow) -> (String, Vec<String>) {
        let car = &self.before.car;
        let Action { verb, item } = &row.action;
        let subject = car.way(item).map_or(item, |way| &way.frees);
        let chain = why(car, &self.before.state, &self.old.scope, subject);
        let behind = in_turn(car, &chain);
        if self.after.car.item(item).is_none() {
            return ("the vehicle file no longer has it".to_owned(), behind);
        }
        if is_away(&self.new, subject) {
            let apart = matches!(verb, Verb::Loosen | Verb::Undo | Verb::Off | Verb::Way);
            let text = match self.new.scope.way_for(subject).filter(|way| *way != item) {
                Some(way) if apart => format!("free with {}", called(car, way)),
                _ if *verb == Verb::Way => {
                    format!("{} comes free in the usual manner", called(car, subject))
                }
                _ => "no longer due".to_owned(),
            };
            return (text, behind);
        }
        // Up to what stays in the plan, or to what it was for.
        let asked: Vec<&ItemId> = chain.iter().filter_map(Why::asked_by).collect();
        let settled = asked.iter().find(|of| is_away(&self.new, of) || self.is_left_out(of));
        let text = match settled.filter(|of| !self.is_left_out(of)) {
            Some(of) => match self.new.scope.way_for(of) {
                Some(way) => format!("{} does not need it", called(car, way)),
                None => format!("{} no longer needs it", called(car, of)),
            },
            None => self.ended(settled.or(asked.last()).copied().unwrap_or(subject)),
        };
        (text, behind)
    }

    /// Why what a row was for is no longer wanted.
    fn ended(&self, of: &ItemId) -> String {
        let called = called(&self.before.car, of);
        if self.is_left_out(of) {
            format!("only for {called}, which is left out")
        } else if self.before.state.part(of).broken || self.before.state.hold(of).broken {
            format!("only because {called} was taken for broken")
        } else {
            "nothing is left that needs it".to_owned()
        }
    }

    fn is_left_out(&self, of: &ItemId) -> bool {
        let rows = [Verb::Off, Verb::Do, Verb::Read];
        rows.into_iter().any(|verb| self.after.state.skipped.contains_key(&Action::new(verb, of)))
    }
}

/// Whether a plan disturbs this or does it.
fn is_away(plan: &Plan, id: &ItemId) -> bool {
    let scope = &plan.scope;
    scope.disturbs(id)
        || scope.operations.contains(id)
        || scope.readings.contains(id)
        || scope.loosened.contains(id)
}

fn name(car: &Car, id: &ItemId) -> String {
    car.item(id).map_or(id.as_str(), Item::name).to_owned()
}

/// What a reason calls something: `the caliper, left`, `"set toe"`; of a way what stands before its first comma.
fn called(car: &Car, id: &ItemId) -> String {
    let name = name(car, id);
    match car.item(id) {
        Some(Item::Way(_)) => format!("\"{}\"", name.split(',').next().unwrap_or(&name)),
        Some(Item::Operation(_) | Item::Reading(_)) => format!("\"{name}\""),
        _ => format!("the {name}"),
    }
}

/// The steps of a chain in words, each for the one before it.
fn in_turn(car: &Car, chain: &[Why]) -> Vec<String> {
    chain.iter().map(|step| in_words_of(car, step)).collect()
}

fn in_words_of(car: &Car, step: &Why) -> String {
    match step {
        Why::Goal => "to be replaced".to_owned(),
        Why::Broken => "broken".to_owned(),
        Why::Undone => "undone already".to_owned(),
        Why::Holds(of) => format!("to free {}", called(car, of)),
        Why::Clears(of) => format!("in the way of {}", called(car, of)),
        Why::NeededFor(what, _) => format!("needed for {}", called(car, what)),
        Why::WayNeeds(way, _) => format!("needed for {}", called(car, way)),
        Why::ComesWith(way, _) => format!("free with {}", called(car, way)),
        Why::Follows(of) => format!("due because {} is disturbed", called(car, of)),
        Why::LooseFor(of) => format!("has to be loose for {}", called(car, of)),
        Why::Always => "belongs to every such job".to_owned(),
    }
}
