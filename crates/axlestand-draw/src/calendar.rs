//! A calendar file: whole days, read by every calendar program.
//!
//! Source: RFC 5545 (iCalendar): 3.1 folding of lines, 3.3.11 escaping of text, 3.6.1 events, 3.8.7
//! time stamps.

/// A whole day in a calendar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CalendarDay {
    /// What tells it from all others, and stays the same when the file is made again.
    pub uid: String,
    /// Year, month, day.
    pub day: (i16, i8, i8),
    /// What is due.
    pub title: String,
    /// More of it.
    pub text: String,
}

/// A calendar of whole days. `stamp` is the time of the state that it tells, UTC, as
/// `20261125T170000Z`.
#[must_use]
pub fn calendar(name: &str, stamp: &str, days: &[CalendarDay]) -> String {
    let mut out = String::new();
    let mut line = |text: &str| fold(text, &mut out);
    line("BEGIN:VCALENDAR");
    line("VERSION:2.0");
    line("PRODID:-//Axlestand//sheets//EN");
    line("CALSCALE:GREGORIAN");
    line("METHOD:PUBLISH");
    line(&format!("X-WR-CALNAME:{}", escaped(name)));
    for day in days {
        let (y, m, d) = day.day;
        line("BEGIN:VEVENT");
        line(&format!("UID:{}", escaped(&day.uid)));
        line(&format!("DTSTAMP:{stamp}"));
        line(&format!("DTSTART;VALUE=DATE:{y:04}{m:02}{d:02}"));
        line(&format!("SUMMARY:{}", escaped(&day.title)));
        if !day.text.is_empty() {
            line(&format!("DESCRIPTION:{}", escaped(&day.text)));
        }
        line("TRANSP:TRANSPARENT");
        line("END:VEVENT");
    }
    line("END:VCALENDAR");
    out
}

/// Text as a value: backslash, semicolon, comma and line break escaped, other control signs left out.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for sign in text.chars() {
        match sign {
            '\\' | ';' | ',' => out.extend(['\\', sign]),
            '\n' => out.push_str("\\n"),
            sign if sign.is_control() => {}
            sign => out.push(sign),
        }
    }
    out
}

/// Longest line without its break, in octets.
const LONGEST: usize = 75;

/// A line, broken so that none is longer than 75 octets; the rest goes on behind a space.
fn fold(line: &str, out: &mut String) {
    let mut length = 0;
    for sign in line.chars() {
        if length + sign.len_utf8() > LONGEST {
            out.push_str("\r\n ");
            length = 1;
        }
        out.push(sign);
        length += sign.len_utf8();
    }
    out.push_str("\r\n");
}
