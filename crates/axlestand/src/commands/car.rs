//! `axlestand car …`

use super::{MakeClock, garage};
use crate::arguments::{CarCommand, Cli, NewArgs, SetArgs};
use crate::output::{Failure, Output};
use crate::text;
use axlestand_garage::vehicle::{self, SetValue};
use axlestand_garage::views::{car_view, finding_views, item_view};
use axlestand_garage::{
    Answers, GarageError, Job, Question, QuestionKind, STRUT_QUESTIONS, questions, reference, render, schema,
};
use serde_json::json;
use std::io::{BufRead as _, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};

pub(super) fn run(
    cli: &Cli,
    command: &CarCommand,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    match command {
        CarCommand::New(args) => new(cli, args, output),
        CarCommand::Check { file } => check(file, output),
        CarCommand::Show { file, item } => show(cli, file, item.as_deref(), output),
        CarCommand::Curves(args) => super::set::car_curves(cli, args, output),
        CarCommand::Set(args) => set(cli, args, output, clock),
        CarCommand::Learn { dry_run } => learn(cli, *dry_run, output, clock),
        CarCommand::Schema { markdown: true } if !output.is_json() => {
            output.line(reference().trim_end())?;
            Ok(true)
        }
        CarCommand::Schema { .. } => {
            output.json(&schema())?;
            Ok(true)
        }
    }
}

fn new(cli: &Cli, args: &NewArgs, output: &mut Output<'_>) -> Result<bool, Failure> {
    let asked = questions(&args.layout).map_err(GarageError::from)?;
    if args.questions {
        let list: Vec<_> = asked
            .iter()
            .map(|q| json!({ "key": q.key, "ask": q.ask, "usual": q.usual, "yes-or-no": q.kind == QuestionKind::YesNo }))
            .collect();
        if output.is_json() {
            output.json(&list)?;
        } else {
            for question in asked {
                output.line(format!("{:20} {} [{}]", question.key, question.ask, question.usual))?;
            }
        }
        return Ok(true);
    }
    let mut answers = Answers::default();
    for given in &args.answers {
        let (key, value) = given
            .split_once('=')
            .ok_or_else(|| Failure::Usage(format!("'{given}' is no answer; write KEY=VALUE, like abs=no")))?;
        let question = STRUT_QUESTIONS.iter().find(|q| q.key == key).ok_or_else(|| {
            let keys: Vec<_> = STRUT_QUESTIONS.iter().map(|q| q.key).collect();
            Failure::Usage(format!("there is no question '{key}'; there are {}", keys.join(", ")))
        })?;
        answer(question, value, &mut answers)?;
    }
    if !args.usual && !output.is_json() && std::io::stdin().is_terminal() {
        ask(&mut answers)?;
    }
    vehicle::new_car(&args.layout, &answers, &args.out)?;
    if output.is_json() {
        output.json(&json!({ "file": args.out.display().to_string() }))?;
    } else {
        output.line(format!(
            "Wrote {}: everything in it is typical, nothing is a specification yet.",
            args.out.display()
        ))?;
        output.line(format!("Next: axlestand job start {} --replace PART …", args.out.display()))?;
        if is_unseen_by_the_app(&cli.garage, &args.out) {
            output.line(format!(
                "The garage app starts jobs only on vehicle files in the garage's folder; for that, copy it into {}.",
                cli.garage.display()
            ))?;
        }
    }
    Ok(true)
}

fn answer(question: &Question, value: &str, answers: &mut Answers) -> Result<(), Failure> {
    let value = question.read(value).map_err(|why| Failure::Usage(format!("{why} ({})", question.ask)))?;
    if question.kind == QuestionKind::YesNo {
        answers.conditions.insert(question.key, value == "yes");
    } else {
        answers.texts.insert(question.key, value);
    }
    Ok(())
}

/// Asks on the terminal whatever was not answered yet.
fn ask(answers: &mut Answers) -> Result<(), Failure> {
    let mut prompt = std::io::stderr();
    let mut lines = std::io::stdin().lock().lines();
    for question in STRUT_QUESTIONS {
        if answers.texts.contains_key(question.key) || answers.conditions.contains_key(question.key) {
            continue;
        }
        loop {
            write!(prompt, "{} [{}] ", question.ask, question.usual)?;
            prompt.flush()?;
            let Some(line) = lines.next().transpose()? else { return Ok(()) };
            let typed = if line.trim().is_empty() { question.usual } else { line.trim() };
            match answer(question, typed, answers) {
                Ok(()) => break,
                Err(why) => writeln!(prompt, "{why}")?,
            }
        }
    }
    Ok(())
}

fn read(file: &Path) -> Result<String, Failure> {
    std::fs::read_to_string(file).map_err(|why| GarageError::CannotRead { path: file.to_owned(), why }.into())
}

fn check(file: &Path, output: &mut Output<'_>) -> Result<bool, Failure> {
    let text = read(file)?;
    let reading = vehicle::read_car(&text);
    let good = reading.car.is_some();
    let unreachable = reading.car.as_ref().map(vehicle::unreachable_parts).unwrap_or_default();
    if output.is_json() {
        let unreachable: Vec<_> =
            unreachable.iter().map(|(part, why)| json!({ "part": part.to_string(), "why": why })).collect();
        output.json(&json!({
            "file": file.display().to_string(), "good": good, "findings": finding_views(&reading),
            "unreachable": unreachable,
        }))?;
        return Ok(good);
    }
    if !reading.findings.is_empty() {
        let report = render(&reading.findings, &text, &file.display().to_string(), output.colour());
        output.line(report)?;
        output.line("")?;
    }
    for (part, why) in &unreachable {
        output.line(format!("! {part} cannot be replaced as the file stands: {why}"))?;
    }
    let errors = reading.errors();
    let warnings = reading.findings.len() - errors + unreachable.len();
    match &reading.car {
        Some(car) => output.line(format!(
            "{}: good. {}, {}, {}, {}{}",
            file.display(),
            text::count(car.parts.len(), "part"),
            text::count(car.fasteners.len(), "fastener"),
            text::count(car.connections.len(), "connection"),
            text::count(car.operations.len(), "operation"),
            if warnings > 0 { format!("; {warnings} to look at") } else { String::new() }
        ))?,
        None => output.line(format!(
            "{}: {}, {warnings} to look at",
            file.display(),
            text::count(errors, "fault")
        ))?,
    }
    Ok(good)
}

fn show(cli: &Cli, file: &Path, item: Option<&str>, output: &mut Output<'_>) -> Result<bool, Failure> {
    let (_, car) = vehicle::load_car(file)?;
    let Some(typed) = item else {
        let view = car_view(&car);
        if output.is_json() {
            output.json(&view)?;
        } else {
            text::car(&view, output)?;
        }
        return Ok(true);
    };
    let ids = car.resolve(typed).map_err(GarageError::from)?;
    let views: Vec<_> = ids.iter().filter_map(|id| item_view(&car, id, cli.units())).collect();
    if output.is_json() {
        output.json(&views)?;
        return Ok(true);
    }
    for view in &views {
        text::item(view, output)?;
    }
    Ok(true)
}

/// The vehicle file of a job, which has to be where the job knows it.
fn of_job(job: &Job) -> Result<PathBuf, GarageError> {
    let path = PathBuf::from(&job.state.car_path);
    if path.is_file() {
        return Ok(path);
    }
    Err(GarageError::Input(format!(
        "the vehicle file of the job {} is not at {} any more: say where it is now: axlestand job car FILE",
        job.name, job.state.car_path
    )))
}

fn set(cli: &Cli, args: &SetArgs, output: &mut Output<'_>, clock: MakeClock<'_>) -> Result<bool, Failure> {
    let path = match &args.car {
        Some(path) => path.clone(),
        None => of_job(&garage(cli, clock)?.job()?)?,
    };
    let value = SetValue {
        item: args.item.clone(),
        field: args.field.clone(),
        value: args.value.clone(),
        source: args.source.clone(),
        measured: args.measured,
    };
    let item = vehicle::set_value(&path, &value)?;
    if args.car.is_none() {
        // Takes the changed file over into the job.
        garage(cli, clock)?.job()?;
    }
    let question = doubt(&path, &item, args)?;
    if output.is_json() {
        output.json(&json!({
            "file": path.display().to_string(), "item": item, "field": args.field, "value": args.value,
            "question": question,
        }))?;
        return Ok(true);
    }
    output.line(format!("{item}: {} = {} in {}", args.field, args.value, path.display()))?;
    if let Some(question) = question {
        output.line(format!("  It is written. A question: {question}"))?;
    }
    Ok(true)
}

/// Whether there is a garage, and a file that was written lies outside of its folder.
fn is_unseen_by_the_app(garage: &Path, written: &Path) -> bool {
    let folder = written.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    match (garage.canonicalize(), folder.canonicalize()) {
        (Ok(garage), Ok(folder)) => garage != folder,
        _ => false,
    }
}

/// The question to ask back about a torque or target that was just written.
fn doubt(path: &Path, item: &str, args: &SetArgs) -> Result<Option<String>, Failure> {
    let ask = match args.field.as_str() {
        "torque" => axlestand_garage::fastening::question,
        "value" => axlestand_garage::target_question,
        _ => return Ok(None),
    };
    let (_, car) = vehicle::load_car(path)?;
    let ids = car.resolve(item).map_err(GarageError::from)?;
    Ok(ids.first().and_then(|id| ask(&car, id, &args.value)))
}

fn learn(cli: &Cli, dry_run: bool, output: &mut Output<'_>, clock: MakeClock<'_>) -> Result<bool, Failure> {
    let mut garage = garage(cli, clock)?;
    let job = garage.job()?;
    let list = if dry_run { vehicle::lessons(&job) } else { vehicle::learn(&job)? };
    if !dry_run && !list.is_empty() {
        garage.job()?;
    }
    if output.is_json() {
        output.json(&json!({ "written": !dry_run, "lessons": list }))?;
        return Ok(true);
    }
    if list.is_empty() {
        output.line("Nothing new was seen at the car.")?;
    }
    for lesson in &list {
        let before =
            lesson.file_says.as_ref().map_or_else(String::new, |said| format!(" (the file said {said})"));
        let verb = if dry_run { "would write" } else { "wrote" };
        output.line(format!("{verb} {} {} = {}{before}", lesson.item, lesson.field, lesson.seen))?;
    }
    Ok(true)
}
