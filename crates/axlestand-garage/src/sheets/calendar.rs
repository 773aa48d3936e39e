//! The calendar: what starts days before, when the work starts, what is rechecked.

use crate::error::GarageError;
use crate::job::Job;
use crate::sentence::capital;
use crate::views::{PrepareView, ReportView};
use axlestand_draw::{CalendarDay, calendar};
use jiff::civil::Date;
use jiff::{Span, Timestamp, tz::TimeZone};

/// The calendar of a job whose work starts on `day`; absent: as soon as everything that starts before
/// can have been done, counted from the day on which the job was started.
pub(super) fn file(
    job: &Job,
    prepare: &PrepareView,
    report: &ReportView,
    day: Option<&str>,
) -> Result<String, GarageError> {
    let lead = prepare.ahead.iter().map(|ahead| ahead.days).fold(0.0, f64::max).ceil();
    let start = match day {
        Some(text) => text.parse::<Date>().map_err(|_| {
            GarageError::Input(format!("--day takes a day as year-month-day, like 2027-04-10, not '{text}'"))
        })?,
        None => after(started(job)?, lead)?,
    };
    let mut days = Vec::new();
    for ahead in &prepare.ahead {
        days.push(event(
            job,
            &format!("ahead {}", ahead.name),
            after(start, -ahead.days)?,
            &capital(&ahead.name),
            &format!("{} days before the work starts", ahead.days),
        ));
    }
    let parts: Vec<String> = prepare
        .parts
        .iter()
        .chain(&prepare.one_use)
        .map(|need| format!("{} × {}", need.amount, need.what))
        .collect();
    if !parts.is_empty() {
        let text = format!("If anything is missing by now, do not lift the car.\n{}", parts.join("\n"));
        days.push(event(
            job,
            "delivered",
            after(start, -1.0)?,
            "Everything in hand? Compare new with old",
            &text,
        ));
    }
    let about =
        format!("About {:.0} hours of work in the plan", (prepare.minutes + prepare.setup_minutes) / 60.0);
    days.push(event(job, "start", start, &format!("Axlestand: work on {} starts", job.car.name), &about));
    for recheck in &report.rechecks {
        let due = after(start, recheck_days(&recheck.when))?;
        let title = format!("{}: {}", capital(&recheck.what), recheck.when);
        days.push(event(
            job,
            &format!("recheck {}", recheck.what),
            due,
            &title,
            "By distance, if that comes first.",
        ));
    }
    Ok(calendar(&format!("{} · {}", job.name, job.car.name), &stamp(job)?, &days))
}

/// Days after the start of the work at which a recheck is looked at in the calendar: what it names
/// as a morning, days, weeks or months, else three days for a short distance and thirty for a long one (AX-42,
/// judgement, no source). The distance itself stays in the text.
fn recheck_days(when: &str) -> f64 {
    let words: Vec<&str> = when.split_whitespace().collect();
    if words.contains(&"morning") {
        return 1.0;
    }
    for pair in words.windows(2) {
        let count = if matches!(pair[0], "a" | "one") { Some(1.0) } else { pair[0].parse::<f64>().ok() };
        let Some(count) = count else { continue };
        let unit = pair[1].trim_end_matches([',', '.', ';']);
        match unit {
            "day" | "days" => return count,
            "week" | "weeks" => return count * 7.0,
            "month" | "months" => return count * 30.0,
            _ => {}
        }
    }
    let longest = words.iter().filter_map(|word| word.parse::<f64>().ok()).fold(0.0, f64::max);
    if longest > 200.0 { 30.0 } else { 3.0 }
}

fn event(job: &Job, what: &str, day: Date, title: &str, text: &str) -> CalendarDay {
    let sign = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    CalendarDay {
        uid: format!("{}@axlestand", format!("{} {what}", job.name).chars().map(sign).collect::<String>()),
        day: (day.year(), day.month(), day.day()),
        title: title.to_owned(),
        text: text.to_owned(),
    }
}

fn after(day: Date, days: f64) -> Result<Date, GarageError> {
    let span = Span::new().try_days(days.clamp(-4000.0, 4000.0) as i64);
    span.and_then(|span| day.checked_add(span))
        .map_err(|_| GarageError::Input(format!("{day} is no day that a calendar can hold")))
}

/// A time stamp of the ledger.
fn time(text: Option<&String>) -> Result<Timestamp, GarageError> {
    text.and_then(|text| text.parse::<Timestamp>().ok()).ok_or_else(|| {
        GarageError::Input("the ledger has no time that a calendar could start from: give --day".to_owned())
    })
}

fn started(job: &Job) -> Result<Date, GarageError> {
    Ok(time(job.state.started.as_ref())?.to_zoned_datetime(TimeZone::UTC).date())
}

/// The time of the last entry: the calendar tells the state as it was then.
fn stamp(job: &Job) -> Result<String, GarageError> {
    let last = job.state.entries.last().map(|entry| &entry.at).or(job.state.started.as_ref());
    let last = time(last)?.to_zoned_datetime(TimeZone::UTC);
    Ok(last.strftime("%Y%m%dT%H%M%SZ").to_string())
}
