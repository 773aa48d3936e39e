//! A car and its items as text.

use crate::output::{Failure, Output};
use axlestand_garage::views::{CarView, ItemView};

/// A car in short.
pub(crate) fn car(view: &CarView, output: &mut Output<'_>) -> Result<(), Failure> {
    output.heading(&view.name)?;
    if let Some(note) = &view.note {
        output.line(note)?;
    }
    for (label, value) in &view.facts {
        output.line(format!("  {label}: {value}"))?;
    }
    for (title, list) in
        [("Parts", &view.parts), ("Fasteners", &view.fasteners), ("Connections", &view.connections)]
    {
        output.line("")?;
        output.heading(&format!("{title} ({})", list.len()))?;
        for (id, name) in list {
            output.line(format!("  {id:32} {name}"))?;
        }
    }
    output.line("")?;
    let counts: Vec<_> = view.counts.iter().map(|(what, n)| format!("{n} {what}")).collect();
    output.line(format!("And {}.", counts.join(", ")))
}

/// One item in full.
pub(crate) fn item(view: &ItemView, output: &mut Output<'_>) -> Result<(), Failure> {
    output.heading(&format!("{} ({}): {}", view.item, view.kind, view.name))?;
    for (label, value) in &view.facts {
        output.line(format!("  {label}: {value}"))?;
    }
    Ok(())
}
