//! What to read on the wheels, by method, with boxes to write the numbers in.

use super::lists::columns;
use crate::alignment::{GuidePlace, GuideStep, GuideView, guide, guide_picture, guides};
use crate::error::GarageError;
use crate::job::Job;
use crate::sentence::{capital, sentence};
use crate::units::Units;
use axlestand_draw::paper::{Block, Table};

/// The lists of every method, or of the one that was typed.
pub(super) fn sheet(job: &Job, typed: Option<&str>, units: Units) -> Result<Vec<Block>, GarageError> {
    let words: Vec<String> = match typed {
        Some(typed) => vec![typed.to_owned()],
        None => guides(job, units).into_iter().map(|method| method.method).collect(),
    };
    let mut blocks = Vec::new();
    for word in words {
        blocks.extend(method(job, &guide(job, &word, units)?, blocks.is_empty(), units));
    }
    Ok(blocks)
}

fn method(job: &Job, view: &GuideView, first: bool, units: Units) -> Vec<Block> {
    let text = format!("Readings: {}", view.method.name);
    let under = format!(
        "{} It takes {}. {} of {} numbers are read.",
        sentence(view.method.tells),
        view.takes.trim_end_matches('.'),
        view.method.read,
        view.method.of
    );
    let mut blocks = vec![if first { Block::Title { text, under } } else { Block::Section { text, under } }];
    blocks.extend(guide_picture(job, &view.method.method, units).map(Block::Picture));
    for step in &view.steps {
        blocks.push(Block::Heading(heading(step)));
        let columns =
            columns(&[("place", 4.1), ("from where to where", 3.8), ("with, usually", 2.1), ("number", 1.8)]);
        let rows = step.places.iter().flat_map(lines).collect();
        blocks.push(Block::Table(Table { columns, rows, tick: true }));
    }
    blocks.push(Block::Aside(
        "Type each number in afterwards: axlestand read PLACE \"NUMBER\". Read afresh each time; a copied number is no second reading."
            .to_owned(),
    ));
    blocks
}

fn heading(step: &GuideStep) -> String {
    let how = capital(step.how);
    if step.optional { format!("{how} (may be left out)") } else { how }
}

/// A line for each time that the place is read: its name, from where to where, with what, the number.
fn lines(place: &GuidePlace) -> Vec<Vec<String>> {
    let at = place.at.map_or_else(String::new, |at| format!(". Write down as well: {at}"));
    let line = |time: usize| {
        let again =
            if place.times > 1 { format!(" ({} of {})", time + 1, place.times) } else { String::new() };
        vec![
            format!("{}{again}", place.place),
            format!("{}{at}", capital(&place.what)),
            format!("{} ±\u{a0}{}", place.instrument, place.u.replace(' ', "\u{a0}")),
            place.read.get(time).cloned().unwrap_or_default(),
        ]
    };
    (0..place.times.max(1)).map(line).collect()
}
