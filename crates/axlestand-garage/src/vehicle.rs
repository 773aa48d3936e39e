//! Vehicle files: reading with all checks, making, setting values, completing by use.

use crate::error::GarageError;
use crate::held_file::HeldFile;
use crate::job::{Job, read_text};
use crate::typed;
use axlestand_fastener::Thread;
use axlestand_ledger::JobState;
use axlestand_model::car::{Car, Item};
use axlestand_model::file::{self, CarReading, SetField, render};
use axlestand_model::template::{Answers, fill_in};
use axlestand_model::{ItemId, Origin, without_side};
use std::collections::VecDeque;
use std::path::Path;
use std::sync::{Mutex, PoisonError};

/// Reads a vehicle file with every check, thread designations and hardpoints included.
#[must_use]
pub fn read_car(text: &str) -> CarReading {
    let thread = |designation: &str| {
        Thread::parse(designation).map(|thread| thread.to_string()).map_err(|why| why.to_string())
    };
    file::read_with(text, thread, crate::geometry::faults)
}

/// The car of a vehicle file that a job keeps, where it has no errors. Everything a job does asks for
/// the same cars again, so the last few are remembered by their whole text.
pub(crate) fn kept_car(text: &str) -> Option<Car> {
    const MOST: usize = 4;
    static LAST: Mutex<VecDeque<(String, Car)>> = Mutex::new(VecDeque::new());
    // Each pair is put in and taken out whole, so what a panicking thread leaves is sound.
    let mut last = LAST.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((_, car)) = last.iter().find(|(known, _)| known == text) {
        return Some(car.clone());
    }
    let car = read_car(text).car?;
    if last.len() == MOST {
        last.pop_front();
    }
    last.push_back((text.to_owned(), car.clone()));
    Some(car)
}

/// Reads a vehicle file as it is, faults and all.
///
/// # Errors
/// [`GarageError::CannotRead`].
pub fn look_at(path: &Path) -> Result<CarReading, GarageError> {
    Ok(read_car(&read_text(path)?))
}

/// A part that may be chosen to be replaced.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct PartChoice {
    /// What people call it, without its side.
    pub name: String,
    /// The item of each side (`left`, `right`), or the one without a side (empty).
    pub sides: Vec<(&'static str, String)>,
}

/// The parts of a car that may be chosen to be replaced, each with its sides.
#[must_use]
pub fn part_choices(car: &Car) -> Vec<PartChoice> {
    let mut list: Vec<(String, PartChoice)> = Vec::new();
    for part in &car.parts {
        let side = part.id.side().map_or("", |side| side.word());
        let entry = (side, part.id.to_string());
        if let Some((_, choice)) = list.iter_mut().find(|(base, _)| base == part.id.base()) {
            choice.sides.push(entry);
            continue;
        }
        let name = without_side(&part.name).to_owned();
        list.push((part.id.base().to_owned(), PartChoice { name, sides: vec![entry] }));
    }
    list.into_iter().map(|(_, choice)| choice).collect()
}

/// Reads a vehicle file that has to be without errors.
///
/// # Errors
/// [`GarageError::CannotRead`] and [`GarageError::FaultyCar`] with all findings.
pub fn load_car(path: &Path) -> Result<(String, Car), GarageError> {
    let text = read_text(path)?;
    let reading = read_car(&text);
    match reading.car {
        Some(car) => Ok((text, car)),
        None => Err(GarageError::FaultyCar {
            path: path.to_owned(),
            errors: reading.findings.iter().filter(|f| f.severity == file::Severity::Error).count(),
            report: render(&reading.findings, &text, &path.display().to_string(), false),
        }),
    }
}

/// Parts that cannot be replaced with what a vehicle file describes: for each the reason, since no way
/// frees it or its rows wait for each other.
#[must_use]
pub fn unreachable_parts(car: &Car) -> Vec<(ItemId, String)> {
    let found = car.parts.iter().filter_map(|part| {
        let mut state = JobState::default();
        state.goals.push(part.id.clone());
        let why = match axlestand_plan::scope(car, &state) {
            Err(why) => why.to_string(),
            Ok(scope) => axlestand_plan::check_order(car, &state, &scope).err()?.to_string(),
        };
        Some((part.id.clone(), why))
    });
    found.collect()
}

/// Writes a new vehicle file from a layout template; an existing file is left as it is.
///
/// # Errors
/// [`GarageError`] where an answer cannot be used, the file exists or cannot be written.
pub fn new_car(layout: &str, answers: &Answers, out: &Path) -> Result<(), GarageError> {
    let text = fill_in(layout, answers)?;
    let reading = read_car(&text);
    if reading.car.is_none() {
        let first =
            reading.findings.first().map(|f| format!("{}: {}", f.message, f.hint)).unwrap_or_default();
        return Err(GarageError::Input(format!("an answer cannot stand in the file: {first}")));
    }
    use std::io::Write as _;
    let mut options = std::fs::OpenOptions::new();
    let mut opened = options.write(true).create_new(true).open(out).map_err(|why| match why.kind() {
        std::io::ErrorKind::AlreadyExists => GarageError::Exists(out.to_owned()),
        _ => GarageError::CannotWrite { path: out.to_owned(), why },
    })?;
    opened
        .write_all(text.as_bytes())
        .and_then(|()| opened.sync_all())
        .map_err(|why| GarageError::CannotWrite { path: out.to_owned(), why })
}

/// One value to write into a vehicle file.
#[derive(Debug, Clone, Default)]
pub struct SetValue {
    /// The item, as typed.
    pub item: String,
    /// The field.
    pub field: String,
    /// The value.
    pub value: String,
    /// The owner's reference, for values from a manual.
    pub source: Option<String>,
    /// It was measured at the car.
    pub measured: bool,
}

/// Writes one value into a vehicle file, comments untouched. Gives the name of the item as it
/// stands in the file.
///
/// # Errors
/// [`GarageError`] where item or field is not known, the source is missing, or the file would have
/// faults with the new value; the file stays as it was then.
pub fn set_value(path: &Path, set: &SetValue) -> Result<String, GarageError> {
    let held = HeldFile::take(path)?;
    let (text, car) = load_car(path)?;
    let ids = car.resolve(&set.item)?;
    let base = ids.first().map_or(set.item.as_str(), ItemId::base).to_owned();
    let descriptive = matches!(set.field.as_str(), "thread" | "length" | "class" | "drive" | "hold");
    if descriptive && !set.measured {
        return Err(GarageError::Input(format!("{} is read off the car: say --measured", set.field)));
    }
    if !descriptive && set.source.is_none() && !set.measured {
        return Err(GarageError::Source(
            "say where the value comes from: --source \"manual, page or sheet\", or --measured".to_owned(),
        ));
    }
    if set.measured && matches!(set.field.as_str(), "torque" | "condition") {
        return Err(GarageError::Source(
            "a torque is not measured at the car: give its --source in the service manual".to_owned(),
        ));
    }
    let source = typed::source(set.source.clone())?;
    let source = source.as_deref();
    let origin = if set.measured { Origin::Measured } else { Origin::Manual };
    let field = |field, value| SetField { item: &base, field, value, origin, source };
    match with_tolerance(&set.field, &set.value) {
        Some((value, tolerance)) => {
            write_checked(held, &text, &[field("tolerance", &tolerance), field("value", &value)])?;
        }
        None => write_checked(held, &text, &[field(&set.field, &set.value)])?,
    }
    Ok(base)
}

/// A target typed with its tolerance, `0.10 ± 0.15°`: value and tolerance apart, each with the unit.
fn with_tolerance(field: &str, typed: &str) -> Option<(String, String)> {
    let mark =
        ["±", "+/-", "+-"].into_iter().find(|mark| typed.contains(mark)).filter(|_| field == "value")?;
    let (value, tolerance) = typed.split_once(mark)?;
    let unit =
        tolerance.trim().trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/'));
    let value = value.trim();
    let value = if value.ends_with(|c: char| c.is_ascii_digit()) {
        format!("{value}{unit}")
    } else {
        value.to_owned()
    };
    Some((value, tolerance.trim().to_owned()))
}

fn write_checked(held: HeldFile, text: &str, fields: &[SetField<'_>]) -> Result<(), GarageError> {
    let mut changed = text.to_owned();
    for field in fields {
        changed = file::set_field(&changed, field)?;
    }
    let reading = read_car(&changed);
    if reading.car.is_none() {
        let first = reading.findings.iter().find(|f| f.severity == file::Severity::Error);
        let why = first.map(|f| f.message.clone()).unwrap_or_default();
        return Err(GarageError::Input(format!("the file was left as it is: {why}")));
    }
    held.replace(&changed)
}

/// Something seen at the car that its file does not say, or says otherwise.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Lesson {
    /// The fastener, without its side.
    pub item: String,
    /// `thread`, `length`, `class`, `drive` or `hold`.
    pub field: String,
    /// What the file says.
    pub file_says: Option<String>,
    /// What was seen.
    pub seen: String,
}

/// What was seen in this job and is not in the vehicle file yet.
#[must_use]
pub fn lessons(job: &Job) -> Vec<Lesson> {
    let mut list: Vec<Lesson> = Vec::new();
    for ((item, field), seen) in &job.state.seen {
        let Some(Item::Fastener(fastener)) = job.car.item(item) else { continue };
        let known = match field.as_str() {
            "thread" => fastener.thread.clone(),
            "length" => fastener.length.map(|length| length.to_string()),
            "class" => fastener.class.clone(),
            "drive" => fastener.drive.as_ref().map(ToString::to_string),
            _ => fastener.hold.as_ref().map(ToString::to_string),
        };
        if known.as_deref() == Some(seen) && fastener.measured.contains(field) {
            continue;
        }
        let base = item.base().to_owned();
        list.retain(|lesson| !(lesson.item == base && lesson.field == *field));
        list.push(Lesson { item: base, field: field.clone(), file_says: known, seen: seen.clone() });
    }
    list
}

/// Writes what was seen in this job into the vehicle file as `measured`.
///
/// # Errors
/// [`GarageError`] where the file has faults or cannot be written; it stays as it was then.
pub fn learn(job: &Job) -> Result<Vec<Lesson>, GarageError> {
    let path = Path::new(&job.state.car_path);
    let held = HeldFile::take(path)?;
    let (text, _) = load_car(path)?;
    let list = lessons(job);
    let fields: Vec<SetField<'_>> = list
        .iter()
        .map(|lesson| SetField {
            item: &lesson.item,
            field: &lesson.field,
            value: &lesson.seen,
            origin: Origin::Measured,
            source: None,
        })
        .collect();
    if !fields.is_empty() {
        write_checked(held, &text, &fields)?;
    }
    Ok(list)
}
