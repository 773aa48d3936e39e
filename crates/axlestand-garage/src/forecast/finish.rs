//! The end of a job as its plot takes it: chances against working hours.

use super::ask::Basis;
use super::view::{ForecastView, QuantileView};
use super::week::minutes_between;
use axlestand_draw::{Finish, FinishEnd, FinishSession};
use axlestand_plan::risk::Sessions;
use jiff::ToSpan as _;
use jiff::civil::DateTime;

/// Where hours of work are stated, working hours are those that have passed at the end, waits within them
/// included; else they are the minutes of work.
pub(super) fn finish(basis: &Basis, view: &ForecastView) -> Finish {
    let sessions = basis.sessions.as_ref();
    let end = |one: &QuantileView| {
        let minutes = match sessions {
            Some(sessions) => sessions.until(one.from_start?),
            None => one.minutes,
        };
        // To the half hour, as the forecast tells it.
        let told = view.ends.iter().find(|end| (end.fraction - one.fraction).abs() < 1e-9);
        let when = told.and_then(|end| end.when.clone()).unwrap_or_default();
        Some(FinishEnd { chance: one.fraction, hours: minutes / 60.0, when })
    };
    let ends: Vec<FinishEnd> = view.finish_quantiles.iter().filter_map(end).collect();
    let due = sessions.zip(basis.by).zip(view.chance).map(|((sessions, by), chance)| FinishEnd {
        chance,
        hours: sessions.until(minutes_between(basis.start, by)) / 60.0,
        when: view.by.clone().unwrap_or_default(),
    });
    let last = ends.iter().chain(&due).map(|end| end.hours).fold(0.0, f64::max);
    Finish {
        title: "When it will be done".to_owned(),
        note: note(view, ends.len()),
        sessions: sessions.map_or_else(Vec::new, |sessions| worked(basis.start, sessions, last)),
        ends,
        due,
    }
}

/// The stretches of work up to an hour, the nights between them left out.
fn worked(start: DateTime, sessions: &Sessions, last: f64) -> Vec<FinishSession> {
    let mut hours = 0.0;
    let mut list = Vec::new();
    for (from, to) in sessions.windows() {
        if hours >= last {
            break;
        }
        let day = start.checked_add((from.round() as i64).minutes());
        let name = day.map_or_else(|_| String::new(), |day| day.strftime("%a %-d %b").to_string());
        let long = (to - from) / 60.0;
        list.push(FinishSession { name, from: hours, to: hours + long });
        hours += long;
    }
    list
}

fn note(view: &ForecastView, reached: usize) -> String {
    let known = if view.learnt.is_empty() && view.pace_rows == 0 {
        "typical assumptions"
    } else {
        "typical assumptions, corrected by what this car showed"
    };
    let beyond = match (view.finish_quantiles.len(), reached) {
        (all, reached) if reached < all => {
            format!(" Not within the calendar: {} in 100.", all - reached)
        }
        _ => String::new(),
    };
    let nights = if view.sessions.is_empty() { "" } else { " Nights take no room." };
    format!("{} runs from {known}.{nights}{beyond}", view.samples)
}

#[cfg(test)]
mod tests {
    use super::super::week::{Hours, windows};
    use super::*;

    /// From Saturday 10:00, Saturday 9 to 12 is two hours and Sunday 9 to 17 eight more: by hand.
    #[test]
    fn nights_take_no_room_and_what_comes_after_the_end_is_left_out() {
        let start: DateTime = "2026-12-05T10:00:00".parse().unwrap();
        let hours = ["Sat 9-12", "Sun 9-17"].map(|text| Hours::read(text).unwrap());
        let sessions = windows(&hours, start);
        let stretch = |name: &str, from, to| FinishSession { name: name.to_owned(), from, to };
        assert_eq!(
            worked(start, &sessions, 9.0),
            [stretch("Sat 5 Dec", 0.0, 2.0), stretch("Sun 6 Dec", 2.0, 10.0)]
        );
    }
}
