//! From rows with precedence to an order: section by section, and inside one the work stays where
//! it is as long as it can.

use crate::coming_down::{ComingDown, Listed, coming_down};
use crate::marks::spends;
use crate::rows::{Row, Rows, Section};
use crate::scope::Scope;
use crate::setups::improve;
use axlestand_ledger::{Action, JobState, Verb};
use axlestand_model::car::{Car, Item, Work};
use axlestand_model::{Hand, ItemId, Place};
use std::collections::{BTreeMap, BTreeSet};

/// A row of a plan in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanRow {
    /// The action.
    pub action: Action,
    /// The section it stands in.
    pub section: Section,
    /// Where the hands are.
    pub place: Place,
    /// On which side of the car.
    pub side: Option<Hand>,
    /// Expected minutes.
    pub minutes: f64,
    /// Whether two people are needed.
    pub two_people: bool,
    /// Operations after which it waits, and for how many minutes: something soaks, dries, cures or drains.
    pub waits: Vec<(ItemId, f64)>,
}

/// An order of work.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The rows in their order.
    pub rows: Vec<PlanRow>,
    /// What the rows disturb, and why.
    pub scope: Scope,
    /// What a car on stands has to come down for once more before the rest can be done.
    pub coming_down: Option<ComingDown>,
}

/// Why no order exists.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "no order is possible: {} waits for {}; look at 'after', 'before' and 'needs' of these in the vehicle file",
    names.first().map_or("a row", String::as_str),
    names.iter().cycle().skip(1).take(names.len().max(1)).cloned().collect::<Vec<_>>().join(", which waits for ")
)]
pub struct NoOrder {
    /// Actions that wait for each other: each for the next, the last for the first.
    pub actions: Vec<Action>,
    /// The same in words.
    pub names: Vec<String>,
}

impl NoOrder {
    fn of(car: &Car, actions: Vec<Action>) -> Self {
        let names = actions.iter().map(|action| in_words(car, action)).collect();
        Self { actions, names }
    }
}

/// An action in words: `taking out "arm bolt, left"`.
fn in_words(car: &Car, action: &Action) -> String {
    let name = car.item(&action.item).map_or(action.item.as_str(), Item::name);
    let doing = match action.verb {
        Verb::Do | Verb::Way => return format!("\"{name}\""),
        Verb::Read | Verb::Again => "reading",
        Verb::Loosen => "breaking loose",
        Verb::Undo => "undoing",
        Verb::Off => "taking off",
        Verb::On => "putting on",
        Verb::Fit => "fitting",
        Verb::Final => "the final torque of",
        Verb::Lock => "locking",
    };
    format!("{doing} \"{name}\"")
}

impl Plan {
    /// Expected minutes of all rows.
    #[must_use]
    pub fn minutes(&self) -> f64 {
        self.rows.iter().map(|row| row.minutes).sum()
    }

    /// Runs of rows in one section, place and side.
    #[must_use]
    pub fn blocks(&self) -> Vec<&[PlanRow]> {
        self.rows.chunk_by(|a, b| (a.section, a.place, a.side) == (b.section, b.place, b.side)).collect()
    }
}

/// Where and on which side an action is done, and by how many people.
pub(crate) fn spot(car: &Car, action: &Action) -> Spot {
    let side = action.item.side();
    let of = |work: &Work| (work.place, side, work.people);
    match car.item(&action.item) {
        Some(Item::Fastener(f)) => of(&f.work),
        Some(Item::Connection(c)) => of(&c.work),
        Some(Item::Part(p)) => of(&p.work),
        Some(Item::Operation(o)) => of(&o.work),
        Some(Item::Way(w)) => of(&w.work),
        Some(Item::Reading(r)) => of(&r.work),
        _ => (Place::Around, side, 1),
    }
}

/// The order of all rows of a scope: correct, deterministic and sensible; [`crate::rate`] tells how
/// near it comes to the shortest.
///
/// Section by section. Taking apart, the work stays at its place and side as long as it can, and
/// frees one part after the other in the order in which the vehicle file lists them. Putting
/// together goes the same way back. Final torques on wheels go pair by pair, left before right. From
/// there the solver saves changes of place and tool. A job that has a plan keeps its order: rows that
/// are new come in where they belong.
///
/// # Errors
/// [`NoOrder`] where rows wait for each other.
pub fn order(car: &Car, state: &JobState, scope: Scope) -> Result<Plan, NoOrder> {
    let rows = Rows::of(car, state, &scope).rows;
    let spots: Vec<_> = rows.iter().map(|row| spot(car, &row.action)).collect();
    let wishes = wishes(car, &rows);
    let usual = in_order(car, &rows, |here, ready| {
        let ranking = Ranking::new(&rows, &spots, &wishes, here, ready);
        ready.iter().copied().min_by_key(|&i| ranking.rank(i))
    })?;
    let order = if state.order.is_empty() {
        spent_late(car, &rows, improve(car, &rows, &spots, usual))
    } else {
        let turns = turns(state, &rows, &usual);
        in_order(car, &rows, |_, ready| ready.iter().copied().min_by_key(|&i| turns[i]))?
    };
    let rows: Vec<PlanRow> = order
        .into_iter()
        .map(|i| PlanRow {
            action: rows[i].action.clone(),
            section: rows[i].section,
            place: spots[i].0,
            side: spots[i].1,
            minutes: rows[i].minutes,
            two_people: spots[i].2 > 1,
            waits: rows[i].waits.iter().map(|&(on, time)| (rows[on].action.item.clone(), time)).collect(),
        })
        .collect();
    let listed: Vec<Listed<'_>> = rows.iter().map(|row| (&row.action, row.section, row.minutes)).collect();
    let coming_down = coming_down(car, state, scope.ways.values().cloned().collect(), &listed);
    Ok(Plan { rows, scope, coming_down })
}

/// Before the car is raised, what spends something (a one-use axle nut) comes last, with what waits for it:
/// until then everything could go back as it was.
fn spent_late(car: &Car, rows: &[Row], mut order: Vec<usize>) -> Vec<usize> {
    let mut late = vec![false; rows.len()];
    for &row in order.iter().filter(|row| rows[**row].section == Section::Loosen) {
        late[row] = spends(car, &rows[row].action) || rows[row].before.iter().any(|&first| late[first]);
    }
    order.sort_by_key(|&row| (rows[row].section, late[row]));
    order
}

/// Whether the rows of a scope can be brought into an order at all; none is sought, which makes it
/// quick.
///
/// # Errors
/// [`NoOrder`] where rows wait for each other.
pub fn check_order(car: &Car, state: &JobState, scope: &Scope) -> Result<(), NoOrder> {
    let rows = Rows::of(car, state, scope).rows;
    in_order(car, &rows, |_, ready| ready.first().copied()).map(drop)
}

/// Lines rows up: of the ready ones, after the one last done, `choose` takes the next.
fn in_order(
    car: &Car,
    rows: &[Row],
    choose: impl Fn(Option<usize>, &[usize]) -> Option<usize>,
) -> Result<Vec<usize>, NoOrder> {
    let mut done = vec![false; rows.len()];
    let mut order: Vec<usize> = Vec::with_capacity(rows.len());
    while order.len() < rows.len() {
        let Some(next) = choose(order.last().copied(), &ready(rows, &done)) else {
            return Err(NoOrder::of(car, waiting_for_each_other(rows, &done)));
        };
        done[next] = true;
        order.push(next);
    }
    Ok(order)
}

/// When each row comes in a plan that follows an earlier one: rows planned before as they were, a new
/// one after the row that it usually follows.
fn turns(state: &JobState, rows: &[Row], usual: &[usize]) -> Vec<(usize, usize)> {
    let planned: BTreeMap<&Action, usize> = state
        .order
        .iter()
        .enumerate()
        .filter_map(|(at, number)| Some((state.rows.get(number)?, at)))
        .collect();
    let mut turns = vec![(0, 0); rows.len()];
    let mut last = (0, 0);
    for &row in usual {
        last = planned.get(&rows[row].action).map_or((last.0, last.1 + 1), |&at| (at, 0));
        turns[row] = last;
    }
    turns
}

/// Rows of the lowest open section whose precedence is met.
fn ready(rows: &[Row], done: &[bool]) -> Vec<usize> {
    let open = || (0..rows.len()).filter(|&i| !done[i]);
    let Some(section) = open().map(|i| rows[i].section).min() else { return Vec::new() };
    open().filter(|&i| rows[i].section == section && rows[i].before.iter().all(|&b| done[b])).collect()
}

/// When each row would best come, by itself: lower is sooner. Only rows of one section compare.
fn wishes(car: &Car, rows: &[Row]) -> Vec<usize> {
    let apart = apart_order(car, rows);
    let index: BTreeMap<&Action, usize> = rows.iter().enumerate().map(|(i, row)| (&row.action, i)).collect();
    let freed = |item: &ItemId| {
        let verbs = [Verb::Undo, Verb::Off, Verb::Loosen];
        let own = verbs.into_iter().find_map(|verb| index.get(&Action::new(verb, item)));
        let way = car.ways_to_free(item).find_map(|way| index.get(&Action::new(Verb::Way, &way.id)));
        own.or(way).map(|&i| apart[i])
    };
    let count = rows.len();
    let mut wishes: Vec<usize> = (0..count)
        .map(|i| {
            let item = &rows[i].action.item;
            match (rows[i].section, freed(item)) {
                (Section::Refit, Some(at)) => count - at,
                (Section::OnWheels | Section::AtRideHeight, Some(at)) => {
                    at.min(freed(&item.mirrored()).unwrap_or(at))
                }
                (Section::Refit, None) => 0,
                _ => apart[i],
            }
        })
        .collect();
    // Work that only follows (a look, a refill) comes right after the last row it waits for.
    for i in 0..count {
        if rows[i].section == Section::Refit && rows[i].action.verb == Verb::Do {
            wishes[i] = rows[i].before.iter().map(|&b| wishes[b]).max().unwrap_or(0);
        }
    }
    wishes
}

/// The rows in the order in which parts are freed one after the other, as the vehicle file lists
/// them: before each part whatever it waits for. Gives each row's position.
fn apart_order(car: &Car, rows: &[Row]) -> Vec<usize> {
    let mut position = vec![usize::MAX; rows.len()];
    let mut next = 0;
    let parts = car.parts.iter().flat_map(|part| {
        rows.iter().position(|row| row.action.verb == Verb::Off && row.action.item == part.id)
    });
    for seed in parts.chain(0..rows.len()) {
        // Depth first, without recursion: a row is placed when all it waits for are placed.
        let mut stack = vec![(seed, false)];
        while let Some((at, expanded)) = stack.pop() {
            if position[at] != usize::MAX {
                continue;
            }
            if expanded {
                position[at] = next;
                next += 1;
                continue;
            }
            stack.push((at, true));
            let mut waits: Vec<usize> =
                rows[at].before.iter().copied().filter(|&b| position[b] == usize::MAX).collect();
            waits.sort_unstable_by(|a, b| b.cmp(a));
            // A circle would never end; it is told by the order itself.
            stack.extend(
                waits
                    .into_iter()
                    .filter(|b| !stack.iter().any(|(s, e)| s == b && *e))
                    .map(|b| (b, false))
                    .collect::<Vec<_>>(),
            );
        }
    }
    position
}

pub(crate) type Spot = (Place, Option<Hand>, u32);
type Rank = (bool, bool, usize, u8, usize);

/// How many rows ahead of its turn a row may come so that the work stays at its place: a judgement
/// (source id AX-5), between running to and fro and leaving a part half free.
const STAY: usize = 15;

/// Which rows come sooner: lower is sooner. The work stays at its side; at its place as long as a
/// row there is nearly due; then each row as it would best come, then left before right. Before the
/// car goes up, and once it is down again, nothing hangs on staying.
struct Ranking<'a> {
    spots: &'a [Spot],
    wishes: &'a [usize],
    here: Option<&'a Spot>,
    /// The lowest wish of the ready rows at this side.
    due: usize,
}

impl<'a> Ranking<'a> {
    fn new(
        rows: &'a [Row],
        spots: &'a [Spot],
        wishes: &'a [usize],
        here: Option<usize>,
        ready: &[usize],
    ) -> Self {
        let pairs = |i: usize| matches!(rows[i].section, Section::Prepare | Section::OnWheels);
        let here = here.filter(|_| !ready.iter().any(|&i| pairs(i))).map(|h| &spots[h]);
        let at_side = ready.iter().filter(|&&i| here.is_none_or(|(_, side, _)| spots[i].1 == *side));
        let due = at_side.map(|&i| wishes[i]).min().unwrap_or(0);
        Self { spots, wishes, here, due }
    }

    fn rank(&self, i: usize) -> Rank {
        let (place, side, _) = &self.spots[i];
        let side_rank = match side {
            None => 0,
            Some(Hand::Left) => 1,
            Some(Hand::Right) => 2,
        };
        let wish = self.wishes[i];
        let (moves_side, moves_place) = match self.here {
            Some((at, at_side, _)) => (side != at_side, place != at || wish > self.due + STAY),
            None => (false, false),
        };
        (moves_side, moves_place, wish, side_rank, i)
    }
}

/// Rows that are left and wait for each other, found by following what the rows that are due next
/// wait for.
fn waiting_for_each_other(rows: &[Row], done: &[bool]) -> Vec<Action> {
    let open = (0..rows.len()).filter(|&i| !done[i]);
    let Some(start) = open.min_by_key(|&i| rows[i].section) else { return Vec::new() };
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    let mut path = Vec::new();
    let mut at = start;
    while seen.insert(at) {
        path.push(at);
        let Some(&next) = rows[at].before.iter().find(|&&b| !done[b]) else { break };
        at = next;
    }
    let from = path.iter().position(|&i| i == at).unwrap_or(0);
    path[from..].iter().map(|&i| rows[i].action.clone()).collect()
}
