//! Calendar and values are read back by independent readers: the icalendar and csv crates.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_draw::{CalendarDay, calendar, comma_separated};
use icalendar::parser::{read_calendar, unfold};
use proptest::prelude::*;

fn day(title: &str, text: &str) -> CalendarDay {
    CalendarDay {
        uid: "soak@axlestand".to_owned(),
        day: (2027, 4, 7),
        title: title.to_owned(),
        text: text.to_owned(),
    }
}

/// RFC 5545, 3.1: lines end with CR LF and are at most 75 octets long; 3.6.1: an event has UID and
/// DTSTAMP; 3.3.4: a day is eight digits.
#[test]
fn the_calendar_keeps_to_the_rfc() {
    let title = "Soak the threads; three evenings, \\ each — with ünïcödé and a line long enough to be folded twice or three times";
    let file = calendar("wagtail", "20270401T180000Z", &[day(title, "one\ntwo")]);
    assert!(file.ends_with("END:VCALENDAR\r\n"));
    for line in file.split_terminator("\r\n") {
        assert!(line.len() <= 75 && !line.contains(['\n', '\r']), "{line}");
    }
    let unfolded = unfold(&file);
    let read = read_calendar(&unfolded).unwrap();
    let event = read.components.iter().find(|c| c.name == "VEVENT").unwrap();
    let value = |name: &str| event.properties.iter().find(|p| p.name == name).unwrap().val.to_string();
    assert_eq!(value("DTSTART"), "20270407");
    assert_eq!(value("DTSTAMP"), "20270401T180000Z");
    assert_eq!(value("UID"), "soak@axlestand");
    let plain = |text: String| {
        text.replace("\\n", "\n").replace("\\;", ";").replace("\\,", ",").replace("\\\\", "\\")
    };
    assert_eq!(plain(value("SUMMARY")), title);
    assert_eq!(plain(value("DESCRIPTION")), "one\ntwo");
}

proptest! {
    #[test]
    fn any_title_gives_a_calendar_that_can_be_read(title in "\\PC{0,200}", text in "(?s).{0,300}") {
        let file = calendar("job", "20270401T180000Z", &[day(&title, &text)]);
        for line in file.split_terminator("\r\n") {
            prop_assert!(line.len() <= 75);
        }
        let unfolded = unfold(&file);
        let read = read_calendar(&unfolded);
        prop_assert!(read.is_ok_and(|c| c.components.len() == 1), "{}", file);
    }

    #[test]
    fn any_cell_comes_back(cells in proptest::collection::vec("[^=@+\\-\\t\\r]\\PC{0,30}[,\"\\n]?\\PC{0,10}", 1..6)) {
        let head: Vec<&str> = cells.iter().map(|_| "column").collect();
        let text = comma_separated(&head, std::slice::from_ref(&cells));
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let row = reader.records().next().unwrap().unwrap();
        prop_assert_eq!(row.iter().collect::<Vec<_>>(), cells);
    }
}

/// What a table program would run as a formula is kept as text; a number with a sign stays one.
#[test]
fn no_cell_is_a_formula() {
    for (cell, written) in [
        ("=1+1", "'=1+1"),
        ("@sum", "'@sum"),
        ("+1+1", "'+1+1"),
        ("-A1", "'-A1"),
        ("- loose", "'- loose"),
        ("-inf", "'-inf"),
        ("-1.5", "-1.5"),
        ("+12", "+12"),
    ] {
        let text = comma_separated(&["name"], &[vec![cell.to_owned()]]);
        assert_eq!(text, format!("name\r\n{written}\r\n"));
    }
}
