//! The chance to be done: drawn where the numbers say, nothing on another, nonsense left out.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_draw::look::Theme;
use axlestand_draw::{Drawing, Finish, FinishEnd, FinishSession, finish_plot};
use proptest::prelude::*;

fn end(chance: f64, hours: f64, when: &str) -> FinishEnd {
    FinishEnd { chance, hours, when: when.to_owned() }
}

fn sample() -> Finish {
    let session = |name: &str, from, to| FinishSession { name: name.to_owned(), from, to };
    Finish {
        title: "When it will be done".to_owned(),
        note: "From 2000 runs.".to_owned(),
        ends: vec![
            end(0.05, 13.0, "Sat 15:00"),
            end(0.5, 16.0, "Sun 11:00"),
            end(0.8, 18.5, "Sun 13:30"),
            end(0.95, 22.0, "Sun 17:00"),
        ],
        sessions: vec![session("Saturday", 0.0, 10.0), session("Sunday", 10.0, 20.0)],
        due: Some(end(0.88, 20.0, "Monday 07:00")),
    }
}

fn overlap(drawing: &Drawing) -> Option<String> {
    let boxes = drawing.text_boxes();
    let [w, h] = drawing.size();
    for (at, (a, text)) in boxes.iter().enumerate() {
        if a[0] < 0.0 || a[1] < 0.0 || a[2] > w || a[3] > h {
            return Some(format!("'{text}' leaves the paper: {a:?}"));
        }
        for (b, other) in &boxes[at + 1..] {
            if a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3] {
                return Some(format!("'{text}' lies on '{other}'"));
            }
        }
    }
    None
}

/// Twice the hours are twice as far to the right of the axis, and half the chance half as high: the points
/// of the line are compared with the ticks of the axes, by proportion.
#[test]
fn the_line_goes_through_the_ends_by_the_axes() {
    let svg = finish_plot(&sample()).svg(Theme::Paper);
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let chances = tree.descendants().find(|n| n.attribute("id") == Some("chances")).unwrap();
    let path = chances.children().find(|n| n.has_tag_name("path")).unwrap().attribute("d").unwrap();
    let numbers: Vec<f64> = path.split(['M', 'L', ' ']).filter_map(|text| text.parse().ok()).collect();
    let text = |words: &str, axis: &str| -> f64 {
        let node = tree.descendants().find(|n| n.has_tag_name("text") && n.text() == Some(words)).unwrap();
        node.attribute(axis).unwrap().parse().unwrap()
    };
    let right = |hours: f64| text("2", "x") + (hours - 2.0) * (text("20", "x") - text("2", "x")) / 18.0;
    let up = |chance: f64| text("25", "y") + (chance - 25.0) * (text("75", "y") - text("25", "y")) / 50.0;
    for (spot, (hours, chance)) in
        numbers.chunks(2).zip([(13.0, 5.0), (16.0, 50.0), (18.5, 80.0), (22.0, 95.0)])
    {
        assert!((spot[0] - right(hours)).abs() < 0.05, "{hours} h: {spot:?} against {}", right(hours));
        // Figures stand a little below the middle of their line.
        assert!((spot[1] - up(chance)).abs() < 1.3, "{chance}: {spot:?} against {}", up(chance));
    }
    assert_eq!(numbers.len(), 8);
}

#[test]
fn it_says_in_words_what_it_shows() {
    let drawing = finish_plot(&sample());
    assert_eq!(overlap(&drawing), None);
    for words in
        ["By Monday 07:00: 88 in 100.", "50 in 100: after 16.0 working hours, Sun 11:00.", "95 in 100"]
    {
        assert!(drawing.description().contains(words), "{}", drawing.description());
    }
}

#[test]
fn nonsense_is_left_out_and_an_empty_plot_is_one() {
    let mut broken = sample();
    broken.ends.push(end(f64::NAN, 3.0, ""));
    broken.ends.push(end(0.7, f64::INFINITY, ""));
    broken.ends.push(end(0.99, 1.0, "earlier than the others"));
    broken.sessions.push(FinishSession { name: "backwards".to_owned(), from: 5.0, to: 1.0 });
    broken.due = Some(end(3.0, -1.0, "</svg>"));
    for finish in [broken, Finish::default()] {
        let svg = finish_plot(&finish).svg(Theme::Slate);
        assert!(roxmltree::Document::parse(&svg).is_ok());
        assert!(!svg.contains("NaN") && !svg.contains("inf") && !svg.contains("backwards"));
    }
}

proptest! {
    #[test]
    fn no_text_lies_on_another_whatever_is_told(
        hours in proptest::collection::vec(0.0..400.0f64, 1..6),
        due in proptest::option::of(0.0..500.0f64),
        lengths in proptest::collection::vec(0.2..14.0f64, 0..9),
    ) {
        let mut from = 0.0;
        let sessions = lengths.iter().map(|long| {
            from += long;
            FinishSession { name: "Saturday afternoon".to_owned(), from: from - long, to: from }
        });
        let finish = Finish {
            ends: hours.iter().zip([0.05, 0.5, 0.8, 0.95, 1.0]).map(|(h, c)| end(c, *h, "some day")).collect(),
            sessions: sessions.collect(),
            due: due.map(|hours| end(0.5, hours, "Monday, before the ferry leaves")),
            ..sample()
        };
        prop_assert_eq!(overlap(&finish_plot(&finish)), None);
    }
}
