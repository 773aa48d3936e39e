//! Hours of the week and of days as they are typed: `Sat 9-18`, `Mon-Fri 18:30-21`, `2026-12-05 9-17`.

use crate::error::GarageError;
use axlestand_plan::risk::Sessions;
use jiff::ToSpan as _;
use jiff::civil::{Date, DateTime, Weekday};

/// How far ahead the calendar goes.
const DAYS: i32 = 200;

const WEEK: [(&str, Weekday); 7] = [
    ("mon", Weekday::Monday),
    ("tue", Weekday::Tuesday),
    ("wed", Weekday::Wednesday),
    ("thu", Weekday::Thursday),
    ("fri", Weekday::Friday),
    ("sat", Weekday::Saturday),
    ("sun", Weekday::Sunday),
];

/// On which days.
#[derive(Debug, Clone, PartialEq)]
enum Days {
    Weekly(Vec<usize>),
    Once(Date),
}

/// From when to when, on which days; minutes of the day.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Hours {
    days: Days,
    from: u32,
    to: u32,
}

impl Hours {
    /// Reads days and hours.
    ///
    /// # Errors
    /// [`GarageError::Input`] with what was not understood.
    pub(crate) fn read(text: &str) -> Result<Self, GarageError> {
        let wrong = |why: &str| {
            GarageError::Input(format!(
                "'{text}': {why}; write days and hours like \"Sat 9-18\", \"Mon-Fri 18:30-21\", \"daily 18-20\" or \"2026-12-05 9-17\""
            ))
        };
        let (days, hours) =
            text.trim().rsplit_once(' ').ok_or_else(|| wrong("it has no days or no hours"))?;
        let (from, to) = hours.split_once(['-', '–']).ok_or_else(|| wrong("its hours are not FROM-TO"))?;
        let minute = |text: &str| {
            minute_of_day(text).ok_or_else(|| wrong("an hour goes from 0 to 24, like 9 or 18:30"))
        };
        let (from, to) = (minute(from)?, minute(to)?);
        if from >= to {
            return Err(wrong("it ends before it begins"));
        }
        let days = days_of(days.trim()).ok_or_else(|| wrong("its days are not understood"))?;
        Ok(Self { days, from, to })
    }

    fn on(&self, date: Date) -> bool {
        match &self.days {
            Days::Once(day) => *day == date,
            Days::Weekly(days) => days.iter().any(|day| WEEK[*day].1 == date.weekday()),
        }
    }
}

fn minute_of_day(text: &str) -> Option<u32> {
    let (hours, minutes) = text.trim().split_once(':').unwrap_or((text.trim(), "0"));
    let (hours, minutes): (u32, u32) = (hours.parse().ok()?, minutes.parse().ok()?);
    let all = hours.checked_mul(60)?.checked_add(minutes)?;
    (minutes < 60 && all <= 1440).then_some(all)
}

fn days_of(text: &str) -> Option<Days> {
    if let Ok(date) = text.parse::<Date>() {
        return Some(Days::Once(date));
    }
    if text.eq_ignore_ascii_case("daily") {
        return Some(Days::Weekly((0..7).collect()));
    }
    let day = |word: &str| {
        let word = word.trim().to_ascii_lowercase();
        let whole = |name: &str| {
            ["", "s", "day", "sday", "nesday", "rsday", "urday", "days"]
                .iter()
                .any(|end| word == format!("{name}{end}"))
        };
        WEEK.iter().position(|(name, _)| whole(name))
    };
    let mut days = Vec::new();
    for piece in text.split(',') {
        match piece.split_once(['-', '–']) {
            Some((first, last)) => {
                let (first, last) = (day(first)?, day(last)?);
                days.extend((0..7).map(|at| (first + at) % 7).take((last + 7 - first) % 7 + 1));
            }
            None => days.push(day(piece)?),
        }
    }
    Some(Days::Weekly(days))
}

/// The local time of a time stamp of the ledger, its offset left aside: nights in which clocks are put
/// forward or back are an hour off.
pub(crate) fn local(stamp: &str) -> Option<DateTime> {
    stamp.get(..19)?.parse().ok()
}

/// The same to the minute.
pub(crate) fn local_minute(stamp: &str) -> Option<DateTime> {
    format!("{}:00", stamp.get(..16)?).parse().ok()
}

/// Minutes from one local time to another.
pub(crate) fn minutes_between(from: DateTime, to: DateTime) -> f64 {
    to.duration_since(from).as_secs_f64() / 60.0
}

/// The hours as windows in minutes from `start`, none before it.
pub(crate) fn windows(hours: &[Hours], start: DateTime) -> Sessions {
    let mut list = Vec::new();
    let mut date = start.date();
    for _ in 0..DAYS {
        let midnight = date.at(0, 0, 0, 0);
        let at = minutes_between(start, midnight);
        list.extend(
            hours.iter().filter(|h| h.on(date)).map(|h| (at + f64::from(h.from), at + f64::from(h.to))),
        );
        let Ok(next) = date.tomorrow() else { break };
        date = next;
    }
    Sessions::of(list)
}

/// A moment as it is typed: `2026-12-06 18:00`, `2026-12-06` (the end of that day), `Sun 18:00` (the next
/// one).
///
/// # Errors
/// [`GarageError::Input`] where it is none or lies before `now`.
pub(crate) fn moment(text: &str, now: DateTime) -> Result<DateTime, GarageError> {
    let wrong = |why: &str| {
        GarageError::Input(format!(
            "'{text}': {why}; write a moment like \"2026-12-06 18:00\", \"2026-12-06\" or \"Sun 18:00\""
        ))
    };
    let typed = text.trim();
    let (day, clock) = typed.split_once([' ', 'T']).map_or((typed, None), |(day, clock)| (day, Some(clock)));
    let minutes = match clock {
        None => 1440,
        Some(clock) => minute_of_day(clock).ok_or_else(|| wrong("its time is no time of day"))?,
    };
    let on = |date: Date| {
        date.at(0, 0, 0, 0)
            .checked_add(i64::from(minutes).minutes())
            .map_err(|_| wrong("it lies too far ahead"))
    };
    let found = match days_of(day) {
        Some(Days::Once(date)) => on(date)?,
        Some(Days::Weekly(days)) if days.len() == 1 => {
            let mut date = now.date();
            let mut found = None;
            for _ in 0..8 {
                if WEEK[days[0]].1 == date.weekday() && on(date)? > now {
                    found = Some(on(date)?);
                    break;
                }
                date = date.tomorrow().map_err(|_| wrong("it lies too far ahead"))?;
            }
            found.ok_or_else(|| wrong("there is no such day"))?
        }
        _ => return Err(wrong("its day is not understood")),
    };
    if found <= now {
        return Err(wrong("it is past"));
    }
    Ok(found)
}

/// A moment so many minutes after `start`, for people, rounded up to `step` minutes of the clock; `None`
/// beyond the calendar.
pub(crate) fn shown(start: DateTime, minutes: f64, step: i64) -> Option<String> {
    if !minutes.is_finite() || minutes > f64::from(DAYS) * 1440.0 {
        return None;
    }
    let moment = start.checked_add((minutes.round() as i64).minutes()).ok()?;
    let over = i64::from(moment.minute()) % step.max(1);
    let moment = if over > 0 { moment.checked_add((step - over).minutes()).ok()? } else { moment };
    // Midnight is the end of the day before to whoever asked for that day.
    if (moment.hour(), moment.minute()) == (0, 0) {
        return Some(moment.yesterday().ok()?.strftime("the end of %a %-d %b").to_string());
    }
    Some(moment.strftime("%a %-d %b %H:%M").to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_whole_day_ends_with_that_day() {
        let midnight = minutes_between(now(), moment("2026-12-06", now()).unwrap());
        assert_eq!(shown(now(), midnight, 30).unwrap(), "the end of Sun 6 Dec");
        assert_eq!(shown(now(), 61.0, 30).unwrap(), "Wed 25 Nov 18:30");
    }

    /// 25 November 2026 is a Wednesday.
    fn now() -> DateTime {
        local("2026-11-25T17:00:00+01:00").unwrap()
    }

    #[test]
    fn days_and_hours_are_read() {
        let hours = |text: &str| windows(&[Hours::read(text).unwrap()], now()).windows()[..2].to_vec();
        let (day, hour) = (1440.0, 60.0);
        assert_eq!(
            hours("Sat 9-18"),
            [(2.0 * day + 16.0 * hour, 3.0 * day + hour), (9.0 * day + 16.0 * hour, 10.0 * day + hour)]
        );
        assert_eq!(hours("Wednesday 16:00–18:30")[0], (0.0, 90.0));
        assert_eq!(hours("Fri-Mon 0-24")[0], (day + 7.0 * hour, 5.0 * day + 7.0 * hour));
        assert_eq!(hours("daily 20-24")[1], (day + 3.0 * hour, day + 7.0 * hour));
        assert_eq!(
            windows(&[Hours::read("2026-11-26 9-10").unwrap()], now()).windows(),
            [(16.0 * hour, 17.0 * hour)]
        );
    }

    #[test]
    fn nonsense_is_named() {
        for (text, why) in [
            ("Sat", "no days or no hours"),
            ("Sat 9", "not FROM-TO"),
            ("Sat 18-9", "ends before it begins"),
            ("Sat 9-25", "from 0 to 24"),
            ("Someday 9-10", "days are not understood"),
            ("2026-02-30 9-10", "days are not understood"),
        ] {
            let said = Hours::read(text).unwrap_err().to_string();
            assert!(said.contains(why), "{said}");
        }
        for (text, why) in [
            ("2026-11-25", ""),
            ("Sun 18:00", ""),
            ("2026-11-25 9:00", "past"),
            ("soon", "day"),
            ("Sun 25:00", "time of day"),
        ] {
            match moment(text, now()) {
                Ok(_) => assert_eq!(why, "", "{text}"),
                Err(said) => assert!(!why.is_empty() && said.to_string().contains(why), "{said}"),
            }
        }
        assert_eq!(shown(now(), 4.0 * 1440.0 + 31.0, 30).as_deref(), Some("Sun 29 Nov 18:00"));
        assert_eq!(shown(now(), f64::INFINITY, 1), None);
    }
}
