//! Forecasts and routes as text. Times are rounded to what they are worth.

use crate::output::{Failure, Output};
use crate::text::count;
use axlestand_garage::forecast::{BuyView, ForecastView, LearntView, OutlookView, RouteView, RoutesView};
use axlestand_garage::views::{about, percent};

/// The forecast in one breath.
pub(crate) fn outlook(view: &OutlookView, output: &mut Output<'_>) -> Result<(), Failure> {
    for learnt in view.learnt.iter().filter(|learnt| learnt.stuck > 0) {
        output.line(format!("  {}", learnt_line(learnt)))?;
    }
    let assumed =
        if view.stated { "your assumptions, typical ones for the rest" } else { "typical assumptions" };
    let taught = !view.learnt.is_empty() || view.pace_learnt;
    let taught = if taught { ", corrected by what this car showed" } else { "" };
    output.line(format!(
        "  Allowing for what may be stuck, the rest takes {} or less in half of such jobs, {} or less in four of five ({assumed}{taught}).",
        about(view.half),
        about(view.four_of_five)
    ))?;
    view.note.as_ref().map_or(Ok(()), |note| output.line(format!("  ! {note}")))
}

/// What this car taught of the rest, in one line.
pub(super) fn retold(view: &OutlookView) -> String {
    let seen: usize = view.learnt.iter().map(|learnt| learnt.stuck + learnt.free).sum();
    let stuck = view.learnt.iter().filter(|learnt| learnt.stuck > 0);
    let mut shown: Vec<String> =
        stuck.map(|l| format!("{}: {} of {} stuck", l.exposure, l.stuck, l.stuck + l.free)).collect();
    if shown.is_empty() && seen > 0 {
        shown.push(format!("none of {seen} stuck"));
    }
    if view.pace_learnt {
        shown.push("the pace so far".to_owned());
    }
    format!(
        "By what this car showed ({}), the rest takes {} or less in half of such jobs, {} or less in four of five.",
        shown.join("; "),
        about(view.half),
        about(view.four_of_five)
    )
}

fn learnt_line(learnt: &LearntView) -> String {
    let broke = if learnt.broken > 0 { format!(", {} broke", learnt.broken) } else { String::new() };
    format!(
        "Stuck so far, {}: {} of {} fasteners and joints{broke}; the next one with a chance of {} (assumed before: {})",
        learnt.exposure,
        learnt.stuck,
        learnt.stuck + learnt.free,
        percent(learnt.chance),
        percent(learnt.assumed)
    )
}

/// When it will be done, what would bring that nearer, what to buy ahead.
pub(crate) fn forecast(view: &ForecastView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    if let Some(notice) = &view.notice {
        output.line(format!("! {notice}"))?;
    }
    output.heading(&format!("{} · {} · {} left", view.job, view.car, count(view.rows, "row")))?;
    if view.rows == 0 {
        return output.line("Every row is done or left out: there is nothing to forecast.");
    }
    let taught = !view.learnt.is_empty() || view.pace_rows > 0;
    output.line(if taught {
        "From typical assumptions, corrected by what this car showed; the garage is less tidy than the arithmetic."
    } else {
        "From typical assumptions alone: nothing is known about this car yet. Take it as a rough guess."
    })?;
    ends(view, output)?;
    if !view.learnt.is_empty() || view.pace_rows > 0 {
        learnt(view, output)?;
    }
    levers(view, output)?;
    buy(view, explain, output)?;
    if explain {
        assumed(view, output)?;
    }
    for note in &view.notes {
        output.line(format!("  Note: {note}."))?;
    }
    if !explain {
        output.line("The arithmetic and every assumption: forecast --explain. Your hours and prices: forecast --new-file")?;
    }
    Ok(())
}

fn ends(view: &ForecastView, output: &mut Output<'_>) -> Result<(), Failure> {
    output.line("")?;
    output.heading("When it will be done")?;
    output.line(format!("  {:>12}  if nothing were stuck, in half of the runs", about(view.undisturbed)))?;
    for end in &view.ends {
        let runs = match (end.fraction * 100.0).round() as u32 {
            50 => "in half of the runs".to_owned(),
            80 => "in four of five".to_owned(),
            95 => "in nineteen of twenty".to_owned(),
            other => format!("in {other} % of the runs"),
        };
        let when = match (&end.when, view.sessions.is_empty()) {
            (Some(when), _) => format!(": done by {when}"),
            (None, false) => ": later than the hours you gave".to_owned(),
            (None, true) => String::new(),
        };
        output.line(format!("  {:>12}  or less {runs}{when}", about(end.minutes)))?;
    }
    output
        .line(format!("  {:>12}  chance that work stops for a part that is not there", percent(view.stop)))?;
    for side in &view.sides {
        output.line(format!(
            "                what is left on the {} side: {} to {} in eight of ten runs",
            side.side,
            about(side.from),
            about(side.to)
        ))?;
    }
    if let (Some(by), Some(chance)) = (&view.by, view.chance) {
        let line = format!("  {:>12}  chance to be done by {by}", percent(chance));
        let line = output.strong(&line);
        output.line(line)?;
        if chance < 0.8 {
            output.line("                Less than four of five: plan where to stop with the car safe on its wheels or on stands.")?;
        }
    }
    Ok(())
}

fn learnt(view: &ForecastView, output: &mut Output<'_>) -> Result<(), Failure> {
    output.line("")?;
    output.heading("What this car has shown")?;
    for learnt in &view.learnt {
        output.line(format!("  {}", learnt_line(learnt)))?;
    }
    if view.pace_rows > 0 {
        let pace = match view.pace {
            p if p > 1.05 => format!("{:.0} % longer than planned", (p - 1.0) * 100.0),
            p if p < 0.95 => format!("{:.0} % shorter than planned", (1.0 - p) * 100.0),
            _ => "as planned".to_owned(),
        };
        output.line(format!(
            "  By the times in the ledger of {}, work takes {pace}.",
            count(view.pace_rows, "row")
        ))?;
    }
    Ok(())
}

fn levers(view: &ForecastView, output: &mut Output<'_>) -> Result<(), Failure> {
    if view.levers.is_empty() {
        return Ok(());
    }
    output.line("")?;
    output.heading("What would help most")?;
    for lever in &view.levers {
        output.line(format!("  {}: {}", lever.what, lever.brings))?;
    }
    Ok(())
}

/// How many things are listed without `--explain`.
const LISTED: usize = 8;

fn buy(view: &ForecastView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    if view.buy.is_empty() {
        return Ok(());
    }
    output.line("")?;
    output.heading("What may be needed besides the shopping list of prepare")?;
    let shown = if explain { view.buy.len() } else { LISTED };
    for thing in view.buy.iter().take(shown) {
        thing_lines(thing, explain, output)?;
    }
    if view.buy.len() > shown {
        output.line(format!("             and {} less likely", view.buy.len() - shown))?;
    }
    if view.buy.iter().any(|thing| matches!(thing.choice, "buy" | "order-returnable" | "leave")) {
        output.line(if view.buy_proven {
            "  Decided together, one trip for all that is missing: no other choice costs less on average by these numbers."
        } else {
            "  Decided together, one trip for all that is missing: the best choice found, not proven to be the best."
        })?;
    }
    Ok(())
}

fn thing_lines(thing: &BuyView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    output.line(format!("  {:>9}  {}: {}", percent(thing.chance), thing.name, thing.say))?;
    if explain {
        for line in &thing.arithmetic {
            output.line(format!("               {}: {}", line.what, line.how))?;
        }
    }
    Ok(())
}

fn assumed(view: &ForecastView, output: &mut Output<'_>) -> Result<(), Failure> {
    output.line("")?;
    output.heading(&format!(
        "What is assumed ({} runs); change it under [assume] in the forecast file",
        view.samples
    ))?;
    for one in &view.assumptions {
        let from = one.from.as_ref().map(|from| format!(" [{from}]")).unwrap_or_default();
        output
            .line(format!("  {:18} {:>6}  {:8} {}{from}", one.name, one.value, one.provenance, one.what))?;
    }
    output.line("  The chances of being stuck come from exposure and rust grade (data/rust_odds.csv, typical), or from")?;
    output.line("  stuck_chance in the vehicle file. Each run takes one chance of being stuck for the whole car: things of one exposure tend to be stuck together.")
}

/// Routes beside each other.
pub(crate) fn routes(view: &RoutesView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    output.heading(&format!(
        "{} · routes to the {}, each for the whole rest of the job",
        view.job, view.part
    ))?;
    for route in &view.routes {
        route_lines(route, &view.currency, explain, output)?;
    }
    output.line("Typical assumptions until this car has shown otherwise. Take one: axlestand choose ITEM WAY")
}

fn route_lines(
    route: &RouteView,
    currency: &str,
    explain: bool,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    output.line(format!("  {}", route.name))?;
    if let Some(why) = &route.impossible {
        return output.line(format!("      cannot be taken: {why}"));
    }
    output.line(format!(
        "      {} on average, {} to {} in eight of ten; {} that work stops for a part",
        about(route.minutes),
        about(route.from),
        about(route.to),
        percent(route.stop)
    ))?;
    let priced = format!("{:.2} {currency}", route.money);
    let money = match (route.money > 0.0, route.unpriced.len()) {
        (_, 0) => format!("money: {}", priced.trim_end()),
        (true, more) => format!("money: {} and {} without a price", priced.trim_end(), count(more, "thing")),
        (false, more) => format!("money: no price given for {}", count(more, "thing")),
    };
    output.line(format!("      {money}"))?;
    if !route.more_parts.is_empty() {
        output.line(format!("      more than planned: {}", route.more_parts.join(", ")))?;
    }
    if explain && route.planned && !route.unpriced.is_empty() {
        output.line(format!("      without a price: {}", route.unpriced.join(", ")))?;
    }
    match &route.missing_tools {
        Some(tools) if !tools.is_empty() && explain => {
            output.line(format!("      tools missing: {}", tools.join(", ")))
        }
        Some(tools) => output.line(format!("      tools missing: {}", tools.len())),
        None => Ok(()),
    }
}
