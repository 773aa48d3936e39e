//! Reading wheels, recording turns, how the wheels stand.

use super::work::{notice, plan_change, plan_json};
use super::{MakeClock, garage};
use crate::alignment_arguments::{AlignmentArgs, RodsChoice, SurveyArgs, TurnedArgs};
use crate::arguments::{Cli, ReadArgs};
use crate::output::{Failure, Output};
use crate::text;
use axlestand_garage::alignment::{
    AlignmentWanted, GaugeAsked, Rods, SurveyWanted, alignment as alignment_view, bump as bump_view,
    guide as guide_view, guides as guide_views, is_place, survey as survey_view, voided_by_rows,
};
use axlestand_garage::{Job, Units};
use serde_json::json;

/// `axlestand read`: a reading of the vehicle file, numbers of the wheels, or a list that leads through
/// them.
pub(super) fn read(
    cli: &Cli,
    args: &ReadArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    if let Some(method) = &args.guide {
        return guide(cli, method, output, clock);
    }
    let like = if cli.units() == Units::Inch { "24 1/8 ± 1/16 in" } else { "612 ± 1 mm" };
    let Some(reading) = args.reading.clone() else {
        return Err(Failure::Usage(format!(
            "nothing to record: say what was read and its value, like read height-front.left \"{like}\"; 'axlestand next' and 'axlestand open' name the car's own readings, 'axlestand read --guide' the ways to read the wheels"
        )));
    };
    let more: Vec<String> = args.value.iter().chain(&args.rest).cloned().collect();
    let asked = |readings| GaugeAsked {
        readings,
        at: args.at.clone(),
        sure: args.sure,
        instrument: args.instrument.clone(),
        units: cli.units(),
    };
    if reading.contains('=') {
        let pairs = pairs(std::iter::once(&reading).chain(&more))?;
        return gauge(cli, args, &asked(pairs), output, clock);
    }
    if more.is_empty() {
        return Err(Failure::Usage(format!("'{reading}' has no value: read {reading} \"{like}\"")));
    }
    let value = more.join(" ");
    let job = garage(cli, clock)?.job()?;
    if is_place(&job.car, &reading) {
        return gauge(cli, args, &asked(vec![(reading, value)]), output, clock);
    }
    if args.at.is_some() {
        return Err(Failure::Usage(format!(
            "'{reading}' is no place of the wheels ('axlestand read --guide' shows them), so --at means nothing there"
        )));
    }
    super::work::read(cli, (&reading, &value), args, output, clock)
}

/// Readings written as PLACE=VALUE; what has no `=` is more of the value before it: `2 1/16 in`.
fn pairs<'a>(words: impl Iterator<Item = &'a String>) -> Result<Vec<(String, String)>, Failure> {
    let mut pairs: Vec<(String, String)> = Vec::new();
    let is_place = |word: &str| word.contains('.') && word.starts_with(char::is_alphabetic);
    for word in words {
        match (word.split_once('='), pairs.last_mut()) {
            (Some((place, value)), _) => pairs.push((place.to_owned(), value.to_owned())),
            (None, Some((_, value))) if !is_place(word) => *value = format!("{value} {word}"),
            _ => {
                return Err(Failure::Usage(format!(
                    "'{word}' is no PLACE=VALUE; several readings at once are all written like string.fl.hub=61mm"
                )));
            }
        }
    }
    Ok(pairs)
}

fn gauge(
    cli: &Cli,
    args: &ReadArgs,
    asked: &GaugeAsked,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    if args.correct {
        return Err(Failure::Usage(
            "--correct is for a reading of the vehicle file; at a place of the wheels the last number counts: read it again, or take the wrong one back"
                .to_owned(),
        ));
    }
    let recorded = garage(cli, clock)?.gauge(asked)?;
    let answer = &recorded.answer;
    if output.is_json() {
        output.json(&json!({
            "recorded": recorded.ids, "gauged": answer.gauged, "questions": answer.questions,
            "plan": plan_json(&recorded)?,
        }))?;
    } else {
        notice(&recorded.job, output)?;
        text::gauged(answer, output)?;
        plan_change(&recorded, output)?;
    }
    Ok(answer.questions.is_empty())
}

fn guide(cli: &Cli, method: &str, output: &mut Output<'_>, clock: MakeClock<'_>) -> Result<bool, Failure> {
    let job = garage(cli, clock)?.job()?;
    if method.is_empty() {
        let views = guide_views(&job, cli.units());
        if output.is_json() {
            output.json(&views)?;
        } else {
            text::guides(&views, output)?;
        }
        return Ok(true);
    }
    let view = guide_view(&job, method, cli.units())?;
    if output.is_json() {
        output.json(&view)?;
    } else {
        text::guide(&view, output)?;
    }
    Ok(true)
}

/// `axlestand turned`.
pub(super) fn turned(
    cli: &Cli,
    args: &TurnedArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let amount = std::iter::once(&args.amount).chain(&args.rest).cloned().collect::<Vec<_>>().join(" ");
    let recorded = garage(cli, clock)?.turned(&args.adjuster, &amount)?;
    let answer = &recorded.answer;
    if output.is_json() {
        output.json(&json!({
            "recorded": recorded.ids, "adjuster": answer.adjuster, "amount": answer.amount,
            "text": answer.text, "plan": plan_json(&recorded)?,
        }))?;
        return Ok(true);
    }
    notice(&recorded.job, output)?;
    output.line(format!(
        "Turned {}: {}. Roll the car to and fro and read again: what was read before no longer says how it stands.",
        answer.adjuster, answer.text
    ))?;
    plan_change(&recorded, output)?;
    Ok(true)
}

/// `axlestand set alignment`.
pub(super) fn alignment(
    cli: &Cli,
    args: &AlignmentArgs,
    job: &Job,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let rods = args.rods.map(|rods| match rods {
        RodsChoice::Behind => Rods::Behind,
        RodsChoice::Ahead => Rods::Ahead,
    });
    let wanted = AlignmentWanted { rods, ratio: args.ratio.clone(), units: cli.units() };
    let stated = if wanted.rods.is_none() && wanted.ratio.is_none() {
        Vec::new()
    } else {
        garage(cli, clock)?.state_alignment(&wanted)?.answer
    };
    let view = alignment_view(job, &wanted)?;
    let within = view.verdict.word == "within-targets";
    if !args.keep {
        if output.is_json() {
            output.json(&view)?;
        } else {
            notice(job, output)?;
            for one in &stated {
                output.line(format!("Remembered for this job: {one}"))?;
            }
            text::alignment(&view, output)?;
        }
        return Ok(within);
    }
    let recorded = garage(cli, clock)?.keep_alignment(&wanted)?;
    if output.is_json() {
        output.json(&json!({
            "recorded": recorded.ids, "kept": recorded.answer,
            "note": voided_by_rows(&recorded.job, &recorded.answer), "plan": plan_json(&recorded)?,
        }))?;
        return Ok(within);
    }
    for kept in &recorded.answer {
        let when = if kept.again { "at the end" } else { "before" };
        output.line(format!("Read {when}: {}: {}", kept.name, kept.text))?;
    }
    output.line(&view.verdict.text)?;
    if let Some(note) = voided_by_rows(&recorded.job, &recorded.answer) {
        output.line(format!("Note: {note}."))?;
    }
    plan_change(&recorded, output)?;
    Ok(within)
}

/// `axlestand set bump`.
pub(super) fn bump(cli: &Cli, job: &Job, output: &mut Output<'_>) -> Result<bool, Failure> {
    let views = bump_view(job, cli.units())?;
    if output.is_json() {
        output.json(&views)?;
    } else {
        text::bump(&views, cli.units(), output)?;
    }
    Ok(views.iter().all(|view| !view.answers.is_empty()))
}

/// `axlestand set survey`.
pub(super) fn survey(
    cli: &Cli,
    args: &SurveyArgs,
    job: &Job,
    output: &mut Output<'_>,
) -> Result<bool, Failure> {
    let wanted = SurveyWanted { lower: args.lower.clone(), units: cli.units() };
    let views = survey_view(job, &wanted)?;
    if output.is_json() {
        output.json(&views)?;
    } else {
        text::survey(&views, cli.units(), output)?;
    }
    Ok(views.iter().all(|view| view.sound && view.answers.iter().all(|one| one.value.is_some())))
}
