//! Job sheets: the rows of a stage and side, to tick on the garage floor.

use super::corner::{Wanted, end_of, of_actions};
use crate::job::Job;
use crate::sentence::capital;
use crate::units::Units;
use crate::views::{BlockView, PrepareView, RowView, has_to_come_down};
use axlestand_draw::corner::{Room, View};
use axlestand_draw::paper::{Block, Row};
use axlestand_ledger::{Action, Verb};
use axlestand_model::{AxleEnd, Hand, ItemId, Stage};
use axlestand_quantity::Dimension;
use std::collections::BTreeSet;

/// The sheets of every stage and side that is wanted.
pub(super) fn sheets(
    job: &Job,
    prepare: &PrepareView,
    stage: Option<&str>,
    side: Option<Hand>,
    units: Units,
) -> Vec<Block> {
    let mut blocks = Vec::new();
    for name in Stage::ALL.iter().map(|stage| stage.phrase()) {
        if stage.is_some_and(|wanted| !wanted.eq_ignore_ascii_case(name)) {
            continue;
        }
        for of in [None, Some(Hand::Left), Some(Hand::Right)] {
            if side.is_none_or(|side| of == Some(side)) {
                blocks.extend(sheet(job, prepare, name, of, blocks.is_empty(), units));
            }
        }
    }
    blocks
}

fn sheet(
    job: &Job,
    prepare: &PrepareView,
    stage: &str,
    side: Option<Hand>,
    first: bool,
    units: Units,
) -> Vec<Block> {
    let of_side = |block: &&BlockView| {
        let first = block.rows.first().and_then(|row| Action::parse(&row.action).ok());
        block.stage == stage && first.is_some_and(|action| action.item.side() == side)
    };
    let own: Vec<&BlockView> = prepare.blocks.iter().filter(of_side).collect();
    let count: usize = own.iter().map(|block| block.rows.len()).sum();
    if count == 0 {
        return Vec::new();
    }
    let done = own.iter().flat_map(|block| &block.rows).filter(|row| row.status != "pending").count();
    let who =
        side.map_or_else(|| "both sides and around the car".to_owned(), |s| format!("{} side", s.phrase()));
    let minutes: f64 = own.iter().map(|block| block.minutes).sum();
    let mut under = match count - done {
        0 if count == 1 => "1 row, done.".to_owned(),
        0 => format!("{count} rows, all done."),
        _ if count == 1 => format!("1 row, about {minutes:.0} min."),
        _ => format!("{count} rows, {done} of them done; about {minutes:.0} min for the rest."),
    };
    if side.is_some() {
        under.push_str(" Left and right as seen from the driver's seat.");
    }
    let text = format!("{stage}: {who}");
    // Short sheets share a page.
    let mut blocks = vec![if first { Block::Title { text, under } } else { Block::Section { text, under } }];
    blocks.extend((stage == Stage::Strip.phrase()).then(|| way_down(job)).flatten());
    if done == count {
        let numbers = own.iter().flat_map(|block| &block.rows).filter_map(|row| row.number).collect();
        blocks.push(Block::Text(format!("Rows {}.", numbered(numbers))));
        return blocks;
    }
    blocks.extend(pictures(job, &own, side, units).into_iter().map(Block::Picture));
    for block in own {
        let minutes =
            if block.minutes > 0.0 { format!(" · about {:.0} min", block.minutes) } else { String::new() };
        blocks.push(Block::Heading(format!("With the car {} · {}{minutes}", block.car_state, block.place)));
        blocks.push(Block::Rows(block.rows.iter().map(|row| paper_row(job, row, units)).collect()));
    }
    blocks
}

/// That the car has to come down once more, and by which rows.
fn way_down(job: &Job) -> Option<Block> {
    let why = has_to_come_down(job).ok()??;
    let down = job.plan().ok()?.coming_down?;
    let rows = numbered(down.rows.iter().filter_map(|row| job.state.number_of(row)).collect());
    let by = if rows.is_empty() {
        String::new()
    } else {
        format!(
            " First, to bring it down: rows {rows}. Then print this again: some of what is ticked comes once more."
        )
    };
    Some(Block::Danger(format!("{why}.{by}")))
}

/// Row numbers with those that follow on each other drawn together: "8–11, 16, 27–31".
fn numbered(mut numbers: Vec<u32>) -> String {
    numbers.sort_unstable();
    let mut runs: Vec<[u32; 2]> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some([_, to]) if *to + 1 == number => *to = number,
            _ => runs.push([number, number]),
        }
    }
    let run = |[from, to]: &[u32; 2]| if from == to { from.to_string() } else { format!("{from}–{to}") };
    runs.iter().map(run).collect::<Vec<_>>().join(", ")
}

/// The corners with the fasteners of the sheet, front and rear, where any of them is at that axle.
fn pictures(job: &Job, own: &[&BlockView], side: Option<Hand>, units: Units) -> Vec<axlestand_draw::Drawing> {
    let Some(side) = side else { return Vec::new() };
    let actions = own.iter().flat_map(|block| &block.rows).filter_map(|row| Action::parse(&row.action).ok());
    let items: BTreeSet<ItemId> =
        actions.map(|action| action.item).filter(|item| job.car.hold(item).is_some()).collect();
    let picture = |end| {
        let wanted = Wanted { end, side, view: View::Oblique, room: Room::Wide, units };
        let any = items.iter().any(|item| end_of(job, item) == end);
        any.then(|| of_actions(job, wanted, None, |id| items.contains(id)))
    };
    [AxleEnd::Front, AxleEnd::Rear].into_iter().filter_map(picture).collect()
}

/// A row as it is printed.
pub(super) fn paper_row(job: &Job, row: &RowView, units: Units) -> Row {
    let action = Action::parse(&row.action).ok();
    let (set, mut told) = tightness(job, action.as_ref(), row, units);
    told.extend(row.remarks.iter().map(|remark| capital(&remark.text)));
    told.extend(row.not_before.iter().chain(&row.starts).map(|wait| wait.text.clone()));
    if row.status == "skipped" {
        told.push("left out".to_owned());
    }
    Row {
        number: row.number,
        done: row.status != "pending",
        what: row.text.clone(),
        tool: row.tool.clone(),
        set,
        told,
        caution: row.caution.clone(),
        write: write(job, action.as_ref()),
    }
}

/// What is set on the tool, large, and what goes with it.
fn tightness(
    job: &Job,
    action: Option<&Action>,
    row: &RowView,
    units: Units,
) -> (Option<String>, Vec<String>) {
    let Some(torque) = &row.torque else { return (None, Vec::new()) };
    let fastener = action.and_then(|action| job.car.fastener(&action.item));
    let settled = row.set.as_ref().is_some_and(|set| set.settled);
    let spec = fastener
        .and_then(|fastener| fastener.torque.as_ref())
        .filter(|spec| settled && !spec.steps.is_empty());
    let Some(spec) = spec else { return (None, vec![capital(torque)]) };
    let state = spec.state.map(|state| format!("the car {}", state.phrase()));
    let condition = spec.condition.map(|condition| format!("thread {}", condition.phrase()));
    let from = format!("[{}]", spec.provenance);
    let told = [condition, state, Some(from)].into_iter().flatten().collect::<Vec<_>>().join(", ");
    let mut lines = vec![told];
    if let Some(set) = &row.set {
        lines.extend(Some(set.line.clone()).filter(|_| set.says_more).map(|line| capital(&line)));
        lines.extend(set.warnings.iter().map(|warning| capital(warning)));
        lines.extend(set.then.iter().map(|then| format!("Then: {then}")));
    }
    (Some(units.steps(spec)), lines)
}

/// What there is to write down beside a row.
fn write(job: &Job, action: Option<&Action>) -> String {
    let Some(action) = action else { return "note".to_owned() };
    match action.verb {
        Verb::Read | Verb::Again => {
            let angle = job.car.reading(&action.item).is_some_and(|r| r.dimension == Dimension::Angle);
            if angle { "value, °".to_owned() } else { "value, mm".to_owned() }
        }
        Verb::Undo if job.car.fastener(&action.item).is_some() => "length, tray".to_owned(),
        Verb::Fit if job.car.fastener(&action.item).is_some() => "length".to_owned(),
        Verb::Final => "torque, wrench".to_owned(),
        _ => "note".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::numbered;

    #[test]
    fn numbers_that_follow_on_each_other_are_drawn_together() {
        assert_eq!(numbered(vec![8, 16, 9, 10, 28, 27]), "8–10, 16, 27–28");
        assert_eq!(numbered(vec![5]), "5");
    }
}
