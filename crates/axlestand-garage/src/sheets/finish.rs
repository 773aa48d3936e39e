//! When the job will be done.

use super::lists::columns;
use crate::forecast::ForecastView;
use axlestand_draw::paper::{Block, Table};
use axlestand_draw::{Finish, finish_plot};

/// The plot, and what would bring the end nearer.
pub(super) fn sheet(view: &ForecastView, drawn: &Finish) -> Vec<Block> {
    let from = view.start.as_ref().map_or_else(String::new, |start| format!(" Work begins {start}."));
    let under = match view.rows {
        0 => "Every row is done or left out: there is nothing to forecast.".to_owned(),
        1 => format!("One row is left.{from} A guess with its spread, not a promise."),
        rows => format!("{rows} rows are left.{from} A guess with its spread, not a promise."),
    };
    let mut blocks = vec![Block::Title { text: "When it will be done".to_owned(), under }];
    if view.rows == 0 {
        return blocks;
    }
    let plot = Finish { title: "Chance to be done".to_owned(), ..drawn.clone() };
    blocks.push(Block::Picture(finish_plot(&plot)));
    if !view.levers.is_empty() {
        blocks.push(Block::Heading("What would help most".to_owned()));
        blocks.push(Block::Table(Table {
            columns: columns(&[("what", 5.0), ("brings", 4.0)]),
            rows: view.levers.iter().map(|lever| vec![lever.what.clone(), lever.brings.clone()]).collect(),
            tick: true,
        }));
    }
    blocks.extend(view.notes.iter().map(|note| Block::Aside(crate::sentence::sentence(note))));
    blocks
}
