//! Lists: what is open, what is still due in which car state, what to buy, which tools.

use super::job_sheet::paper_row;
use crate::job::Job;
use crate::sentence::capital;
use crate::units::Units;
use crate::views::{NeedView, PrepareView, ToolView, open_to_work_from, row_view};
use axlestand_draw::paper::{Block, Row, Table};
use axlestand_ledger::{Action, RowStatus, Verb, row_status};
use axlestand_model::CarState;
use axlestand_plan::Plan;

/// Every open item, the most dangerous first.
pub(super) fn open(job: &Job, units: Units) -> Vec<Block> {
    let open = open_to_work_from(job, units);
    let critical = open.iter().filter(|item| item.danger == "critical").count();
    let under = match open.len() {
        0 => "Nothing is open in the ledger of this job.".to_owned(),
        n => format!("{n} open, {critical} of them critical. The most dangerous first."),
    };
    let mut blocks = vec![Block::Title { text: "Open items only".to_owned(), under }];
    let rows = open.iter().map(|item| Row {
        number: item.number,
        what: format!("{}{}", if item.danger == "critical" { "CRITICAL · " } else { "" }, item.name),
        tool: Some(format!("stands: {}", item.stands)),
        told: item.set.iter().cloned().chain(item.waits.iter().map(|w| format!("Waits: {w}"))).collect(),
        write: "torque, note".to_owned(),
        ..Row::default()
    });
    blocks.push(Block::Rows(rows.collect()));
    blocks
}

/// Final torques that wait for a car state, by that state.
pub(super) fn deferred(job: &Job, plan: &Plan, units: Units) -> Vec<Block> {
    let mut blocks = vec![Block::Title {
        text: "Final torques that wait".to_owned(),
        under: "Seated is not final. These are tightened only with the car as it says.".to_owned(),
    }];
    for state in [CarState::OnStands, CarState::OnWheels, CarState::RideHeight] {
        let due = |action: &Action| {
            let spec = job.car.fastener(&action.item).and_then(|fastener| fastener.torque.as_ref());
            action.verb == Verb::Final
                && spec.and_then(|spec| spec.state).unwrap_or(CarState::OnStands) == state
        };
        let rows: Vec<Row> = plan
            .rows
            .iter()
            .filter(|row| due(&row.action))
            .filter(|row| row_status(&job.car, &job.state, &row.action) == RowStatus::Pending)
            .map(|row| paper_row(job, &row_view(job, &row.action, units), units))
            .collect();
        if !rows.is_empty() {
            blocks.push(Block::Heading(format!("With the car {}", state.phrase())));
            blocks.push(Block::Rows(rows));
        }
    }
    if blocks.len() == 1 {
        blocks.push(Block::Text("None is due in the plan as it stands.".to_owned()));
    }
    blocks
}

/// What to buy, to look up and to start days before.
pub(super) fn shopping(prepare: &PrepareView) -> Vec<Block> {
    let mut blocks = vec![Block::Title {
        text: "Shopping list".to_owned(),
        under: "All of it in hand before the car is lifted.".to_owned(),
    }];
    for (title, needs) in [
        ("Parts", &prepare.parts),
        ("New each time", &prepare.one_use),
        ("Consumables", &prepare.consumables),
    ] {
        if !needs.is_empty() {
            blocks.push(Block::Heading(title.to_owned()));
            blocks.push(Block::Table(needs_table(needs)));
        }
    }
    if !prepare.look_up.is_empty() {
        blocks.push(Block::Heading("Look up in the service manual".to_owned()));
        blocks.push(Block::Table(Table {
            columns: columns(&[
                ("what", 4.0),
                ("value", 1.5),
                ("where it usually stands", 3.0),
                ("value and source", 3.0),
            ]),
            rows: prepare
                .look_up
                .iter()
                .map(|look| {
                    let critical = if look.critical { "CRITICAL · " } else { "" };
                    let place = look.look_in.clone().unwrap_or_default();
                    vec![format!("{critical}{}", look.name), look.field.to_owned(), place, String::new()]
                })
                .collect(),
            tick: true,
        }));
    }
    if !prepare.ahead.is_empty() {
        blocks.push(Block::Heading("Start days before".to_owned()));
        blocks.push(Block::Table(Table {
            columns: columns(&[("what", 6.0), ("days before", 1.5)]),
            rows: prepare.ahead.iter().map(|a| vec![capital(&a.name), format!("{}", a.days)]).collect(),
            tick: true,
        }));
    }
    blocks
}

fn needs_table(needs: &[NeedView]) -> Table {
    let row = |need: &NeedView| {
        let unit = if need.unit.is_empty() { String::new() } else { format!(" {}", need.unit) };
        vec![
            format!("{}{unit}", need.amount),
            need.in_hand()
                .map_or_else(|| capital(&need.what), |have| format!("{} ({have})", capital(&need.what))),
            short_list(&need.for_items, 3),
            String::new(),
        ]
    };
    Table {
        columns: columns(&[("amount", 1.3), ("what", 4.2), ("for", 4.0), ("part number, price", 2.5)]),
        rows: needs.iter().map(row).collect(),
        tick: true,
    }
}

/// Tools by whether they are at hand.
pub(super) fn tools(prepare: &PrepareView) -> Vec<Block> {
    let known = prepare.tools.iter().any(|tool| tool.owned.is_some());
    let under = if known {
        "What your toolbox has comes last. Try each tool on its fastener before the car is lifted."
    } else {
        "No toolbox is known, so everything is listed."
    };
    let mut blocks = vec![Block::Title { text: "Tool list".to_owned(), under: under.to_owned() }];
    let (have, missing): (Vec<&ToolView>, Vec<&ToolView>) =
        prepare.tools.iter().partition(|tool| tool.owned == Some(true));
    for (title, tools) in [("To buy or borrow", missing), ("In your toolbox", have)] {
        if tools.is_empty() {
            continue;
        }
        blocks.push(Block::Heading(title.to_owned()));
        let rows = tools.iter().map(|tool| {
            let instead = tool.stand_in.as_ref().map(|s| format!(" (or {s})")).unwrap_or_default();
            vec![format!("{}{instead}", tool.tool), short_list(&tool.for_items, 4)]
        });
        blocks.push(Block::Table(Table {
            columns: columns(&[("tool", 3.0), ("for", 6.0)]),
            rows: rows.collect(),
            tick: true,
        }));
    }
    blocks
}

pub(super) fn columns(columns: &[(&str, f64)]) -> Vec<(String, f64)> {
    columns.iter().map(|(title, share)| ((*title).to_owned(), *share)).collect()
}

/// The first few of a list, and how many more.
fn short_list(items: &[String], most: usize) -> String {
    let shown = items.iter().take(most).cloned().collect::<Vec<_>>().join("; ");
    match items.len().saturating_sub(most) {
        0 => shown,
        more => format!("{shown}; and {more} more"),
    }
}
