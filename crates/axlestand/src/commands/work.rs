//! Preparing, working, reading, and what goes wrong.

use super::{MakeClock, garage};
use crate::arguments::{
    ChooseArgs, Cli, DoneArgs, NextArgs, NoteArgs, PrepareArgs, ReadArgs, RemarkArgs, SkipArgs, UndoEntryArgs,
};
use crate::output::{Failure, Output};
use crate::text;
use axlestand_garage::fastening::{AtHand, condition_word, question};
use axlestand_garage::sheets::plan_file;
use axlestand_garage::views::{self, ReplanView, RowView, event_text, row_view};
use axlestand_garage::{Action, Details, GarageError, Job, ReadWith, Recorded, SeenAt, Units};
use serde_json::{Value, json};

pub(super) fn prepare(
    cli: &Cli,
    args: &PrepareArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let job = garage(cli, clock)?.job()?;
    if args.changes {
        let changes = views::replans(&job)?;
        if output.is_json() {
            output.json(&json!({ "changes": changes }))?;
        } else {
            text::replans(&changes, output)?;
        }
        return Ok(true);
    }
    let view = views::prepare(&job, cli.units())?;
    if let Some(path) = &args.picture {
        plan_file(&job)?.write(path, args.replace)?;
    }
    if output.is_json() {
        output.json(&view)?;
    } else if let Some(path) = &args.picture {
        output.line(format!("Wrote {}", path.display()))?;
    } else {
        text::prepare(&view, args.rows, args.why, output)?;
    }
    Ok(true)
}

pub(super) fn next(
    cli: &Cli,
    args: &NextArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let mut garage = garage(cli, clock)?;
    let job = garage.job()?;
    let at_hand = AtHand {
        condition: args.condition.clone(),
        wrench: args.wrench.clone(),
        adapter: args.adapter.clone(),
        angle: args.angle.clone(),
    };
    let view = views::next_with(&job, args.count, &at_hand, cli.units())?;
    let view = view.beside(&garage, &job)?;
    if output.is_json() {
        output.json(&view)?;
    } else {
        text::next(&view, args.explain, output)?;
    }
    Ok(true)
}

pub(super) fn done(
    cli: &Cli,
    args: &DoneArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let (details, seen) = (details(args)?, seen(args));
    let recorded = garage(cli, clock)?.done(&args.rows, &details, &seen)?;
    let actions = &recorded.answer.actions;
    let rows: Vec<RowView> =
        actions.iter().map(|action| row_view(&recorded.job, action, cli.units())).collect();
    let typed = args.torque.as_deref();
    let asked = actions.iter().filter_map(|action| question(&recorded.job.car, &action.item, typed?));
    let questions: Vec<String> = asked.collect();
    let again = actions.iter().filter(|action| views::comes_out_again(&recorded.job, action));
    let again: Vec<&str> = again.map(|action| action.item.as_str()).collect();
    if output.is_json() {
        output.json(&json!({
            "recorded": recorded.ids, "rows": rows, "car-state": recorded.job.state.stands().word(),
            "comes-out-again": again, "questions": questions, "plan": plan_json(&recorded)?,
        }))?;
        return Ok(true);
    }
    notice(&recorded.job, output)?;
    done_rows(&recorded.job, actions, &rows, &again, cli.units(), output)?;
    for question in &questions {
        output.line(format!("  Recorded. A question: {question}"))?;
    }
    if !seen.is_empty() {
        output.line("  seen at the car: 'axlestand car learn' writes it into the vehicle file")?;
    }
    plan_change(&recorded, output)?;
    Ok(true)
}

/// How it was done, as typed.
fn details(args: &DoneArgs) -> Result<Details, GarageError> {
    let length = args
        .length
        .as_deref()
        .map(|text| text.parse().map_err(|why| GarageError::Input(format!("--length: {why}"))));
    let condition = args
        .condition
        .as_deref()
        .map(|text| condition_word(text).map_err(|why| GarageError::Input(format!("--condition: {why}"))));
    Ok(Details {
        only_seated: args.seated,
        tray: args.tray,
        length: length.transpose()?,
        torque: args.torque.clone(),
        source: args.source.clone(),
        wrench: args.wrench.clone(),
        adapter: args.adapter.clone(),
        condition: condition.transpose()?,
        reused: args.reused,
        fresh: args.new,
        note: args.note.clone(),
    })
}

/// What was seen at the car meanwhile.
fn seen(args: &DoneArgs) -> Vec<SeenAt> {
    let all = [
        ("thread", &args.seen_thread),
        ("length", &args.seen_length),
        ("drive", &args.seen_drive),
        ("class", &args.seen_class),
    ];
    all.into_iter().filter_map(|(field, value)| Some(SeenAt { field, value: value.clone()? })).collect()
}

/// Each row that was done; how it stands now is said at the last row that moved it.
fn done_rows(
    job: &Job,
    actions: &[Action],
    rows: &[RowView],
    again: &[&str],
    units: Units,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    let open = views::open_view(job);
    for (at, (action, row)) in actions.iter().zip(rows).enumerate() {
        let open = open.iter().find(|open| open.item == action.item.as_str());
        let hold = job.state.hold(&action.item);
        let last = actions.iter().skip(at + 1).all(|later| later.item != action.item);
        text::done(row, last.then_some(&hold), action, open, units, output)?;
        if last && again.contains(&action.item.as_str()) {
            output.line("  ! It comes out again: work of the plan is still ahead that needs it away.")?;
        }
    }
    Ok(())
}

/// What changed in the plan, and why.
fn change_of<T>(recorded: &Recorded<T>) -> Result<Option<ReplanView>, Failure> {
    let changed = !(recorded.added.is_empty() && recorded.dropped.is_empty());
    Ok(if changed { views::replan(&recorded.job)? } else { None })
}

pub(super) fn plan_json<T>(recorded: &Recorded<T>) -> Result<Value, Failure> {
    let rows = |list: &[axlestand_garage::PlannedRow]| -> Vec<Value> {
        list.iter().map(|row| json!({ "number": row.number, "action": row.action.to_string() })).collect()
    };
    let change = change_of(recorded)?;
    Ok(json!({ "added": rows(&recorded.added), "dropped": rows(&recorded.dropped), "change": change }))
}

/// Says what the owner has to know whatever they asked.
pub(super) fn notice(job: &Job, output: &mut Output<'_>) -> Result<(), Failure> {
    match &job.notice {
        Some(notice) => output.line(format!("! {notice}")),
        None => Ok(()),
    }
}

/// Says what changed in the plan, and why.
pub(super) fn plan_change<T>(recorded: &Recorded<T>, output: &mut Output<'_>) -> Result<(), Failure> {
    change_of(recorded)?.map_or(Ok(()), |view| text::replan(&view, output))
}

/// A reading of the vehicle file.
pub(super) fn read(
    cli: &Cli,
    (reading, value): (&str, &str),
    args: &ReadArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let with = ReadWith { instrument: args.instrument.clone(), sure: args.sure, correct: args.correct };
    let recorded = garage(cli, clock)?.read(reading, value, &with)?;
    let answer = &recorded.answer;
    let dimension = recorded.job.car.reading(&answer.reading).map(|reading| reading.dimension);
    let shown = dimension.map_or_else(String::new, |d| cli.units().reading(d, answer.value, answer.u));
    if output.is_json() {
        output.json(&json!({
            "recorded": recorded.ids, "reading": answer.reading.to_string(), "again": answer.again,
            "value": answer.value, "u": answer.u, "question": answer.question, "plan": plan_json(&recorded)?,
        }))?;
        return Ok(answer.question.is_none());
    }
    if let Some(question) = &answer.question {
        text::not_recorded(answer.reading.as_str(), &answer.typed, question, output)?;
        text::if_sure(output)?;
        return Ok(false);
    }
    let name = recorded.job.car.item(&answer.reading).map_or("", |item| item.name());
    let when = if answer.again { "at the end" } else { "before" };
    let before =
        recorded.job.state.readings.get(&answer.reading).into_iter().flatten().rev().find(|r| !r.again);
    let change = match (before, dimension) {
        (Some(before), Some(dimension)) if answer.again => {
            let u = answer.u.hypot(before.u);
            format!(", changed by {}", cli.units().reading(dimension, answer.value - before.value, u))
        }
        _ => String::new(),
    };
    output.line(format!("Read {when}: {name}: {shown}{change}"))?;
    plan_change(&recorded, output)?;
    Ok(true)
}

pub(super) fn choose(
    cli: &Cli,
    args: &ChooseArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let way = (args.way != "usual").then_some(args.way.as_str());
    let recorded = garage(cli, clock)?.choose(&args.item, way)?;
    let come_down = views::has_to_come_down(&recorded.job)?;
    if output.is_json() {
        let chosen = recorded.answer.as_ref().map(|way| way.id.to_string());
        output.json(&json!({
            "recorded": recorded.ids, "way": chosen, "come-down": come_down, "plan": plan_json(&recorded)?,
        }))?;
        return Ok(true);
    }
    let how = recorded.answer.as_ref().map_or("in the usual manner", |way| way.name.as_str());
    output.line(format!("Chosen: {how}."))?;
    tell(come_down, output)?;
    plan_change(&recorded, output)?;
    Ok(true)
}

/// Tells that the car has to come down once more, where it has to.
pub(super) fn tell(come_down: Option<String>, output: &mut Output<'_>) -> Result<(), Failure> {
    come_down.map_or(Ok(()), |why| output.line(format!("  ! {why}.")))
}

pub(super) fn broken(
    cli: &Cli,
    args: &RemarkArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let recorded = garage(cli, clock)?.broken(&args.item, args.note.clone())?;
    let item = recorded.answer.to_string();
    let come_down = views::has_to_come_down(&recorded.job)?;
    if output.is_json() {
        let outlook = super::stuck::outlook_of(&recorded.job)?;
        output.json(&json!({
            "recorded": recorded.ids, "item": item, "come-down": come_down, "outlook": outlook,
            "plan": plan_json(&recorded)?,
        }))?;
        return Ok(true);
    }
    output.line(format!(
        "Broken: {}. It is on the list of things to buy.",
        name(&recorded.job, &recorded.answer)
    ))?;
    tell(come_down, output)?;
    plan_change(&recorded, output)?;
    text::outlook(&super::stuck::outlook_of(&recorded.job)?, output)?;
    Ok(true)
}

pub(super) fn replaced(
    cli: &Cli,
    args: &RemarkArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let recorded = garage(cli, clock)?.replaced(&args.item, args.note.clone())?;
    if output.is_json() {
        let item = recorded.answer.to_string();
        output.json(&json!({ "recorded": recorded.ids, "item": item, "plan": plan_json(&recorded)? }))?;
        return Ok(true);
    }
    output.line(format!(
        "A new one lies ready: {}. It counts once it is in.",
        name(&recorded.job, &recorded.answer)
    ))?;
    plan_change(&recorded, output)?;
    Ok(true)
}

fn name(job: &Job, id: &axlestand_garage::ItemId) -> String {
    job.car.item(id).map_or_else(|| id.to_string(), |item| item.name().to_owned())
}

pub(super) fn skip(
    cli: &Cli,
    args: &SkipArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let recorded = garage(cli, clock)?.skip(&args.rows, &args.reason)?;
    let actions: Vec<_> = recorded.answer.iter().map(ToString::to_string).collect();
    if output.is_json() {
        output
            .json(&json!({ "recorded": recorded.ids, "skipped": actions, "plan": plan_json(&recorded)? }))?;
    } else {
        output.line(format!("Left out: {}. The report will say so.", actions.join(", ")))?;
        plan_change(&recorded, output)?;
    }
    Ok(true)
}

pub(super) fn note(
    cli: &Cli,
    args: &NoteArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let recorded = garage(cli, clock)?.note(args.item.as_deref(), &args.text)?;
    if output.is_json() {
        output.json(&json!({ "recorded": recorded.ids }))?;
    } else {
        output.line("Noted.")?;
    }
    Ok(true)
}

pub(super) fn undo_entry(
    cli: &Cli,
    args: &UndoEntryArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let recorded = garage(cli, clock)?.undo_entry(args.entry.as_deref(), args.reason.clone())?;
    let (id, event) = &recorded.answer;
    if output.is_json() {
        output.json(&json!({
            "recorded": recorded.ids, "withdrawn": id, "was": event_text(event), "plan": plan_json(&recorded)?,
        }))?;
        return Ok(true);
    }
    output.line(format!("Taken back: {}.", event_text(event)))?;
    plan_change(&recorded, output)?;
    Ok(true)
}

pub(super) fn log(cli: &Cli, output: &mut Output<'_>, clock: MakeClock<'_>) -> Result<bool, Failure> {
    let job = garage(cli, clock)?.job()?;
    let lines = views::log(&job);
    if output.is_json() {
        output.json(&lines)?;
        return Ok(true);
    }
    for line in &lines {
        let mark = if line.withdrawn { " (taken back)" } else { "" };
        let (at, id) = (line.at.get(..16).unwrap_or(&line.at), line.id.get(..8).unwrap_or(&line.id));
        output.line(format!("{at}  {id}  {}{mark}", line.text))?;
    }
    Ok(true)
}
