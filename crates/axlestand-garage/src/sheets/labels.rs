//! Labels for bags and tray places, and the card for the windscreen.

use crate::count::count;
use crate::job::Job;
use crate::neighbours::Neighbour;
use crate::sentence::{capital, sentence};
use crate::views::open_view;
use axlestand_draw::paper::{Block, Label, Table};
use axlestand_ledger::{Action, Verb};
use axlestand_model::{Hand, without_side};
use axlestand_plan::Plan;

/// A label for every fastener that comes out and every part that comes off, numbered as the row that
/// takes it off.
pub(super) fn labels(job: &Job, plan: &Plan, side: Option<Hand>) -> Vec<Block> {
    let own = |action: &&Action| {
        matches!(action.verb, Verb::Undo | Verb::Off)
            && side.is_none_or(|side| action.item.side() == Some(side))
    };
    let rows = plan.rows.iter().map(|row| &row.action).filter(own);
    let labels: Vec<Label> = rows.filter_map(|action| label(job, action)).collect();
    let under = format!(
        "{}. Cut along the dashes; one goes into each bag or on each tray place. The number is the row that takes it off; the square code says the same.",
        count(labels.len(), "label")
    );
    vec![Block::Title { text: "Bag and tray labels".to_owned(), under }, Block::Labels(labels)]
}

fn label(job: &Job, action: &Action) -> Option<Label> {
    let number = job.state.number_of(action)?;
    let (name, size) = match (job.car.fastener(&action.item), job.car.part(&action.item)) {
        (Some(fastener), _) => {
            let count = if fastener.count > 1 { format!("{} × ", fastener.count) } else { String::new() };
            (fastener.name.clone(), format!("{count}{}", fastener.size_text()))
        }
        (None, Some(part)) => (part.name.clone(), String::new()),
        // Plugs, clips and seats stay on the car or go with their part.
        (None, None) => return None,
    };
    let letter = match action.item.side() {
        Some(Hand::Left) => " L",
        Some(Hand::Right) => " R",
        None => "",
    };
    let lines = [size, crate::views::row_place(job, action)];
    Some(Label {
        short: format!("{number}{letter}"),
        name: capital(without_side(&name)),
        lines: lines.into_iter().filter(|line| !line.is_empty()).collect(),
        code: format!("axlestand {} {number} {}", job.name, action.item),
    })
}

/// How many open items the card names: it has one page.
const MOST: usize = 14;

/// The card behind the windscreen: it says so as long as anything is open.
pub(super) fn card(job: &Job, neighbours: &[Neighbour]) -> Vec<Block> {
    let open = open_view(job);
    let beside: Vec<_> = neighbours.iter().filter_map(Neighbour::road_reason).collect();
    let mut blocks =
        vec![Block::Title { text: format!("{} · {}", job.car.name, job.name), under: String::new() }];
    if open.is_empty() && beside.is_empty() {
        blocks.push(Block::Text(
            "Nothing is open in the ledger of this job: once the road check says yes too, this card may come off.".to_owned(),
        ));
        return blocks;
    }
    blocks.push(Block::Card("DO NOT DRIVE".to_owned()));
    if !open.is_empty() {
        blocks.push(Block::Card(format!("open: {}", open.len())));
    }
    blocks.push(Block::Danger(format!(
        "The car is {}. Do not move it, lower it or start the engine: ask who works on it.",
        job.state.stands().phrase()
    )));
    let critical = open.iter().filter(|item| item.danger == "critical");
    let rest = open.iter().filter(|item| item.danger != "critical");
    let rows = critical.chain(rest).take(MOST).map(|item| {
        let danger = if item.danger == "critical" { "CRITICAL" } else { "" };
        vec![item.name.clone(), item.stands.clone(), danger.to_owned()]
    });
    if !open.is_empty() {
        blocks.push(Block::Table(Table {
            columns: super::lists::columns(&[("open", 5.0), ("stands", 4.0), ("", 1.6)]),
            rows: rows.collect(),
            tick: false,
        }));
    }
    blocks.extend(beside.iter().map(|reason| Block::Text(sentence(&reason.text))));
    if open.len() > MOST {
        blocks.push(Block::Text(format!(
            "And {} more: the list of open items has them all.",
            open.len() - MOST
        )));
    }
    blocks.push(Block::Lines { what: "who works on it, telephone".to_owned(), count: 2 });
    blocks
}
