//! Wheels as text: what was read, the lists, how they stand, what to turn.

use super::figures::signed;
use super::lead::led;
use crate::output::{Failure, Output};
use axlestand_garage::alignment::{
    AimZone, AlignmentView, BumpView, GaugeAnswer, GuideView, MethodView, QuantityView,
};
use axlestand_garage::{Units, in_100};

/// What was recorded, and what was not.
pub(crate) fn gauged(answer: &GaugeAnswer, output: &mut Output<'_>) -> Result<(), Failure> {
    for one in &answer.gauged {
        output.line(format!("Read {}: {} ({})", one.place, one.text, one.what))?;
    }
    for one in &answer.questions {
        not_recorded(&one.place, &one.typed, &one.question, output)?;
    }
    if answer.questions.is_empty() { Ok(()) } else { if_sure(output) }
}

/// A number that was asked about.
pub(crate) fn not_recorded(
    what: &str,
    typed: &str,
    question: &str,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    output.line(format!("NOT recorded {what}: {typed}: {question}"))
}

/// What to do where such a number is right.
pub(crate) fn if_sure(output: &mut Output<'_>) -> Result<(), Failure> {
    output.line("  If it reads the same again: the same command with --sure.")
}

/// Every way to read.
pub(crate) fn guides(views: &[MethodView], output: &mut Output<'_>) -> Result<(), Failure> {
    output.heading("Ways to read the wheels ('axlestand read --guide METHOD' leads through one)")?;
    for view in views {
        output.line(format!("  {:12}{} ({} of {} read)", view.method, view.name, view.read, view.of))?;
        let tells = output.quiet(&format!("              {}", view.tells));
        output.line(tells)?;
    }
    Ok(())
}

/// The list of one.
pub(crate) fn guide(view: &GuideView, output: &mut Output<'_>) -> Result<(), Failure> {
    let method = &view.method;
    output.heading(&format!("{}: {} of {} read", method.name, method.read, method.of))?;
    output.line(format!("Tells {}.", method.tells))?;
    output.line(format!("Takes {}.", view.takes))?;
    for (at, step) in view.steps.iter().enumerate() {
        let optional = if step.optional { " (may be left out)" } else { "" };
        output.line("")?;
        output.line(format!("{}. {}{optional}", at + 1, step.how))?;
        for place in &step.places {
            let done = if place.read.len() >= place.times { "✓" } else { " " };
            let times = if place.times > 1 {
                format!(" ×{} ({} left)", place.times, place.times.saturating_sub(place.read.len()))
            } else {
                String::new()
            };
            output.line(format!("  {done} {:44}{}{times}", place.place, place.what))?;
            if !place.read.is_empty() {
                output.line(format!("      read: {}", place.read.join(", ")))?;
            }
        }
        if let Some(first) = step.places.first() {
            let at = first.at.map_or_else(String::new, |at| format!("; --at: {at}"));
            let line = output.quiet(&format!("    by {}, ± {} each{at}", first.instrument, first.u));
            output.line(line)?;
        }
    }
    output.line("")?;
    match &view.command {
        Some(command) => output.line(format!("Next: {command}")),
        None => output.line(format!("All of it is read: {}", view.answer)),
    }
}

/// How the wheels stand and what to turn.
pub(crate) fn alignment(view: &AlignmentView, output: &mut Output<'_>) -> Result<(), Failure> {
    let state = match view.state {
        "nothing" => "nothing read yet".to_owned(),
        "foretold" => format!("turned since round {}; what follows is predicted, not read", view.round),
        _ => format!("round {}, {}", view.round, super::count(view.readings, "reading")),
    };
    output.heading(&format!("{}: wheel alignment, {state}", view.car))?;
    output.line(&view.verdict.text)?;
    for todo in &view.verdict.todo {
        output.line(format!("  → {}", led(&todo.text, todo.lead.as_ref())))?;
    }
    findings(view, output)?;
    told(view, output)?;
    if !view.not_known.is_empty() {
        output.line(format!("Cannot be told from what was read: {}.", view.not_known.join(", ")))?;
    }
    for line in &view.learned {
        output.line(format!("Learned: {line}"))?;
    }
    work(view, output)?;
    if !view.next.is_empty() {
        output.line("")?;
        output.heading("To read next, what tells most for its minutes first")?;
        for next in &view.next {
            output.line(format!("  {}", next.line))?;
        }
    }
    if !view.notes.is_empty() {
        output.line("")?;
    }
    for note in &view.notes {
        output.line(format!("Note: {note}."))?;
    }
    if view.told.is_empty() {
        return Ok(());
    }
    output.line(view.signs)?;
    output.line(view.rule)
}

fn findings(view: &AlignmentView, output: &mut Output<'_>) -> Result<(), Failure> {
    if view.findings.is_empty() {
        return Ok(());
    }
    output.line("")?;
    output.heading("About the readings")?;
    for finding in &view.findings {
        let mark = if finding.blocks { "STOP" } else { "  - " };
        output.line(format!("{mark} {}", finding.text))?;
    }
    Ok(())
}

fn told(view: &AlignmentView, output: &mut Output<'_>) -> Result<(), Failure> {
    if view.told.is_empty() {
        return Ok(());
    }
    output.line("")?;
    for one in &view.told {
        output.line(told_line(one))?;
    }
    Ok(())
}

fn told_line(one: &QuantityView) -> String {
    let coarse = one.u >= 1.0;
    let places = if coarse { 1 } else { 2 };
    let value = format!("{}°", signed(one.value, places));
    let aim = one.aim.as_ref().map_or_else(String::new, |aim| {
        let chance = aim.chance().map_or_else(String::new, |chance| format!(" ({chance})"));
        // Where it is to be looked up is said above, among what to do.
        let target =
            if aim.zone == AimZone::NoTarget { String::new() } else { format!("; target {}", aim.target) };
        format!("   {}{chance}{target}", aim.zone.word())
    });
    format!("{:34}{value:>8} ± {:.places$}°{aim}", one.what, one.u)
}

fn work(view: &AlignmentView, output: &mut Output<'_>) -> Result<(), Failure> {
    if view.work.is_empty() {
        return Ok(());
    }
    output.line("")?;
    output.heading(
        "To turn, in this order (loosen the jam nuts first, tighten them to their torque afterwards)",
    )?;
    for (at, step) in view.work.iter().enumerate() {
        output.line(format!("{:>2}. {}", at + 1, led(&step.text, step.lead.as_ref())))?;
        if let Some(command) = &step.command {
            let command = output.quiet(&format!("    {command}"));
            output.line(command)?;
        }
    }
    if !view.foretold.is_empty() {
        output.line("What it should come to:")?;
    }
    for one in &view.foretold {
        output.line(format!(
            "  {:32}{:>8} → {:>7} ± {:.2}°   {} within limits",
            one.what,
            format!("{}°", signed(one.before, 2)),
            format!("{}°", signed(one.after, 2)),
            one.u,
            in_100(one.probability)
        ))?;
    }
    Ok(())
}

/// Bump sweeps.
pub(crate) fn bump(views: &[BumpView], units: Units, output: &mut Output<'_>) -> Result<(), Failure> {
    for view in views {
        output.heading(&format!(
            "{}, {} over height ({})",
            view.wheel.replace('-', " "),
            view.angle,
            super::count(view.heights, "height")
        ))?;
        for answer in &view.answers {
            let by = answer
                .by_hardpoints
                .map_or_else(String::new, |by| format!("   by the file's hardpoints {}°", signed(by, 2)));
            let (lowered, places, unit) = units.figure_in(answer.lowered, 0, "mm");
            output.line(format!(
                "  {} {unit} lower: {}° ± {:.2}°{by}",
                signed(lowered, places),
                signed(answer.change, 2),
                answer.u
            ))?;
        }
        for note in &view.notes {
            output.line(format!("  ! {note}."))?;
        }
    }
    output.line("A parabola through what was read; nothing of it comes from a typical layout. ± is one standard uncertainty, never shown better than 0.05° of camber and 0.03° of toe: bushings, mounts and a tyre on the floor are not in the sweep.")
}
