//! Prepare as text.

use super::rows::row_lines;
use crate::output::{Failure, Output};
use crate::text::{amount, count, hours};
use axlestand_garage::views::{MarksView, NeedView, PrepareView, RowView};

/// What to have ready and the order of work; with every row, or with the reasons.
pub(crate) fn prepare(
    view: &PrepareView,
    rows: bool,
    why: bool,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    if let Some(notice) = &view.notice {
        output.line(format!("! {notice}"))?;
    }
    output.heading(&format!(
        "{} · {} · {}, about {} at rust grade {}",
        view.job,
        view.car,
        count(view.rows, "row"),
        hours(view.minutes),
        view.rust
    ))?;
    if view.finished > 0 {
        let left = hours(view.minutes_left);
        output.line(format!("{} of them done or left out, about {left} left", view.finished))?;
    }
    if let Some(why) = &view.come_down {
        output.line(format!("! {why}"))?;
    }
    if why {
        return reasons(view, output);
    }
    if rows {
        return all_rows(view, output);
    }
    look_up(view, output)?;
    needs("Parts to buy", &view.parts, output)?;
    needs("New each time: buy", &view.one_use, output)?;
    needs("Consumables", &view.consumables, output)?;
    tools(view, output)?;
    ahead_and_risks(view, output)?;
    chosen_ways(view, output)?;
    output.line("")?;
    output.heading("Order of work")?;
    for block in &view.blocks {
        output.line(format!(
            "  {:8} the car {:14} {:22} {:>3} {:4}  {}",
            block.stage,
            block.car_state,
            block.place,
            block.rows.len(),
            if block.rows.len() == 1 { "row" } else { "rows" },
            hours(block.minutes)
        ))?;
    }
    output.line(format!(
        "  With {} between the rows for changing place and tool (typical) about {}; the order is {} for these steps and times.",
        hours(view.setup_minutes),
        hours(view.minutes + view.setup_minutes),
        nearness(view.gap)
    ))?;
    if view.idle_minutes > 0.0 {
        output.line(format!(
            "  In one go there would be {} more with nothing to do but wait for what soaks, dries, cures or drains: let nights and other work fill it.",
            hours(view.idle_minutes)
        ))?;
    }
    for starts in view.blocks.iter().flat_map(|block| &block.rows).filter_map(|row| {
        row.starts
            .as_ref()
            .map(|starts| format!("  Row {}, {}: {}", row.number.unwrap_or(0), row.text, starts.text))
    }) {
        output.line(starts)?;
    }
    super::outlook(&view.outlook, output)?;
    marks(&view.marks, output)?;
    output.line("")?;
    output.line("Every row: prepare --rows. What comes apart and why: prepare --why. When, and what to buy ahead: forecast. Then: axlestand next")
}

/// How many stops for the night are named, and how many minutes lie between them at least.
const STOPS: (usize, f64) = (6, 60.0);

fn marks(marks: &MarksView, output: &mut Output<'_>) -> Result<(), Failure> {
    if let Some(mark) = &marks.no_return {
        output.line(format!(
            "  No way back from row {} on ({}): something is spent that cannot go back as it was. Before it, about {} in: is everything in hand? {} of {} parts to replace recorded as there (axlestand replaced PART).",
            mark.row, mark.text, hours(mark.minutes), marks.parts_ready, marks.parts
        ))?;
    }
    if let Some((from, to)) = marks.no_roll {
        output.line(format!("  Do not roll the car from row {from} on until row {to} is done."))?;
    }
    let mut stops: Vec<String> = Vec::new();
    let mut last = 0.0;
    for stop in marks.stops.iter().filter(|stop| stop.started) {
        if stops.len() < STOPS.0 && stop.minutes >= last + STOPS.1 {
            stops.push(format!("{} (about {} in, {})", stop.row, hours(stop.minutes), stop.car_state));
            last = stop.minutes;
        }
    }
    if !stops.is_empty() {
        output.line(format!(
            "  Good places to stop for the night, nothing hanging: after row {}.",
            stops.join(", ")
        ))?;
    }
    Ok(())
}

/// How near an order comes to the best possible, in words; rounded up to whole percents.
fn nearness(gap: f64) -> String {
    if gap <= 0.0 {
        return "the best possible".to_owned();
    }
    format!("within {:.0} % of the best possible", (gap * 100.0).ceil())
}

fn look_up(view: &PrepareView, output: &mut Output<'_>) -> Result<(), Failure> {
    output.line("")?;
    if view.look_up.is_empty() {
        return output.line("Every specification that this job needs is in the vehicle file.");
    }
    output.heading(&format!("Look up in your service manual ({})", view.look_up.len()))?;
    for look in &view.look_up {
        let critical = if look.critical { "CRITICAL " } else { "" };
        let place =
            look.look_in.as_ref().map(|place| format!(" — usually under: {place}")).unwrap_or_default();
        output.line(format!("  {critical}{}: {}{place}", look.name, look.field))?;
        let value = if look.field == "value" { "… ± …" } else { "…" };
        output.line(format!(
            "      axlestand car set {} {} \"{value}\" --source \"…\"",
            look.item, look.field
        ))?;
    }
    Ok(())
}

fn needs(title: &str, list: &[NeedView], output: &mut Output<'_>) -> Result<(), Failure> {
    if list.is_empty() {
        return Ok(());
    }
    output.line("")?;
    output.heading(title)?;
    for need in list {
        let in_hand = need.in_hand().map(|have| format!(" — {have}")).unwrap_or_default();
        output.line(format!("  {:>8}  {}{in_hand}", amount(need.amount, &need.unit), need.what))?;
    }
    Ok(())
}

fn tools(view: &PrepareView, output: &mut Output<'_>) -> Result<(), Failure> {
    let (have, missing): (Vec<_>, Vec<_>) = view.tools.iter().partition(|tool| tool.owned == Some(true));
    output.line("")?;
    let title =
        if view.tools.iter().any(|tool| tool.owned.is_some()) { "Tools to buy or borrow" } else { "Tools" };
    output.heading(&format!("{title} ({})", missing.len()))?;
    for tool in missing {
        let stand_in = tool.stand_in.as_ref().map(|s| format!(" (or {s})")).unwrap_or_default();
        let uses: Vec<_> = tool.for_items.iter().take(2).map(String::as_str).collect();
        let more = tool.for_items.len().saturating_sub(2);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        output.line(format!("  {}{stand_in}: {}{more}", tool.tool, uses.join(", ")))?;
    }
    if !have.is_empty() {
        output.line(format!("  In your toolbox: {} of {}.", have.len(), view.tools.len()))?;
    }
    Ok(())
}

fn ahead_and_risks(view: &PrepareView, output: &mut Output<'_>) -> Result<(), Failure> {
    if !view.ahead.is_empty() {
        output.line("")?;
        output.heading("Start days before")?;
        for ahead in &view.ahead {
            output.line(format!("  {} days before: {}", ahead.days, ahead.name))?;
        }
    }
    if view.risks.is_empty() {
        return Ok(());
    }
    output.line("")?;
    output.heading("May be seized (an assumption by exposure and rust grade, not a measurement)")?;
    for risk in view.risks.iter().take(10) {
        let ways = if risk.ways.is_empty() {
            String::new()
        } else {
            format!("; other way: {}", risk.ways.join(", "))
        };
        output.line(format!(
            "  {:>3.0} %  {}: up to {}{ways}",
            risk.chance * 100.0,
            risk.name,
            hours(risk.minutes)
        ))?;
    }
    if view.risks.len() > 10 {
        output.line(format!("         and {} more", view.risks.len() - 10))?;
    }
    Ok(())
}

/// Ways that were chosen instead of the usual manner, with how to choose otherwise.
fn chosen_ways(view: &PrepareView, output: &mut Output<'_>) -> Result<(), Failure> {
    let chosen: Vec<_> =
        view.undone.iter().filter_map(|undone| Some((undone, undone.way.as_ref()?))).collect();
    if chosen.is_empty() {
        return Ok(());
    }
    output.line("")?;
    output.heading("Not in the usual manner: chosen by you, or because it takes less time on average")?;
    for (undone, way) in chosen {
        output.line(format!("  {}: {way} (else: axlestand choose {} usual)", undone.name, undone.item))?;
    }
    Ok(())
}

fn reasons(view: &PrepareView, output: &mut Output<'_>) -> Result<(), Failure> {
    for undone in &view.undone {
        let why = match (undone.goal, undone.because.is_empty()) {
            (true, _) => "is to be replaced".to_owned(),
            (false, false) => format!("for: {}", undone.because.join("; ")),
            (false, true) => "is open already".to_owned(),
        };
        let way = undone.way.as_ref().map(|way| format!(" [by: {way}]")).unwrap_or_default();
        output.line(format!("  {:10} {}{way}: {why}", undone.kind, undone.name))?;
    }
    if !view.ways_proven {
        output.line("The choice of ways is the cheapest found, not proven to be the cheapest.")?;
    }
    Ok(())
}

fn all_rows(view: &PrepareView, output: &mut Output<'_>) -> Result<(), Failure> {
    for block in &view.blocks {
        output.line("")?;
        output.heading(&format!(
            "{} · the car {} · {} · {}",
            block.stage,
            block.car_state,
            block.place,
            hours(block.minutes)
        ))?;
        for row in &block.rows {
            match row.status {
                "pending" => row_lines(row, false, output)?,
                status => closed_row(row, status, output)?,
            }
        }
    }
    Ok(())
}

/// A row that is done or left out, on one line.
fn closed_row(row: &RowView, status: &str, output: &mut Output<'_>) -> Result<(), Failure> {
    let number = row.number.map_or_else(|| "   ".to_owned(), |n| format!("{n:>3}"));
    let word = if status == "skipped" { "left out" } else { status };
    let line = output.quiet(&format!("{number}  {word}: {}", row.text));
    output.line(line)
}
