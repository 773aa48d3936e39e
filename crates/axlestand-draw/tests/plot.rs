//! Plots: well-formed, axes by round steps, nothing on another, any number drawn.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_draw::look::Theme;
use axlestand_draw::plot::{Area, AreaLook, Axis, Limit, Line, Plot};
use proptest::prelude::*;

fn axis(name: &str, unit: &str) -> Axis {
    Axis { name: name.to_owned(), unit: unit.to_owned() }
}

/// Wheel-angle targets with the estimate's ellipse.
fn targets() -> Plot {
    let ellipse = (0..36).map(|i| {
        let (sin, cos) = (f64::from(i) * 10.0).to_radians().sin_cos();
        [0.08 + 0.05 * cos, -0.7 + 0.2 * sin]
    });
    let area = |name: &str, points: Vec<[f64; 2]>, look| Area { name: name.to_owned(), points, look };
    Plot {
        title: "Wheel angles, left front".to_owned(),
        note: "95 % of estimates as uncertain as this one hold the true angles.".to_owned(),
        x: axis("toe", "°"),
        y: axis("camber", "°"),
        lines: vec![],
        areas: vec![
            area("allowed", vec![[0.0, -1.2], [0.2, -1.2], [0.2, -0.2], [0.0, -0.2]], AreaLook::Allowed),
            area("estimate, 95 %", ellipse.collect(), AreaLook::Estimate),
        ],
        limits: vec![],
    }
}

/// Torque against friction with the limit: T = K·d·F at a fixed torque; clamp load over K.
fn friction() -> Plot {
    let points: Vec<[f64; 2]> =
        (8..=24).map(|k| f64::from(k) / 100.0).map(|k| [k, 140.0 / (k * 14.0)]).collect();
    Plot {
        title: "Clamp load at 140 N·m, M14".to_owned(),
        note: "F = T/(K·d)".to_owned(),
        x: axis("nut factor K", ""),
        y: axis("clamp load", "kN"),
        lines: vec![Line { name: "M14, 140 N·m".to_owned(), spread: vec![3.0; points.len()], points }],
        areas: vec![],
        limits: vec![Limit {
            name: "yield of class 10.9".to_owned(),
            at: 86.0,
            upright: false,
            danger: true,
        }],
    }
}

/// The distribution of finish times as bars.
fn finish() -> Plot {
    let bar = |i: u32, count: f64| {
        let x = 20.0 + f64::from(i);
        let points = vec![[x, 0.0], [x, count], [x + 0.9, count], [x + 0.9, 0.0]];
        Area { name: format!("{x} to {} h", x + 1.0), points, look: AreaLook::Bar }
    };
    Plot {
        title: "Finish time, 1000 simulated jobs".to_owned(),
        x: axis("hours of work", "h"),
        y: axis("jobs", ""),
        areas: [2.0, 60.0, 220.0, 300.0, 210.0, 110.0, 60.0, 38.0]
            .iter()
            .enumerate()
            .map(|(i, c)| bar(i as u32, *c))
            .collect(),
        limits: vec![Limit {
            name: "nine in ten are done by 26 h".to_owned(),
            at: 26.0,
            upright: true,
            danger: false,
        }],
        ..Plot::default()
    }
}

fn overlap(plot: &Plot) -> Option<String> {
    let drawing = plot.drawing();
    let [w, h] = drawing.size();
    let boxes = drawing.text_boxes();
    for (at, (a, text)) in boxes.iter().enumerate() {
        if a[0] < 0.0 || a[1] < 0.0 || a[2] > w || a[3] > h {
            return Some(format!("'{text}' leaves the paper {a:?}"));
        }
        for (b, other) in &boxes[at + 1..] {
            if a[0] < b[2] && b[0] < a[2] && a[1] + 0.1 < b[3] && b[1] + 0.1 < a[3] {
                return Some(format!("'{text}' lies on '{other}'"));
            }
        }
    }
    None
}

#[test]
fn the_plots_of_the_trade_are_whole() {
    for plot in [targets(), friction(), finish(), Plot::default()] {
        assert_eq!(overlap(&plot), None, "{}", plot.title);
        let svg = plot.drawing().svg(Theme::Paper);
        let tree = roxmltree::Document::parse(&svg).unwrap();
        assert_eq!(
            tree.root_element()
                .children()
                .find(|n| n.has_tag_name("title"))
                .unwrap()
                .text()
                .unwrap_or_default(),
            plot.title
        );
    }
    assert!(friction().drawing().description().contains("yield of class 10.9: 86"));
}

/// Ticks are whole multiples of 1, 2 or 5 times a power of ten, as every plotting handbook asks.
#[test]
fn ticks_are_round_numbers() {
    let texts: Vec<String> = friction().drawing().text_boxes().into_iter().map(|(_, text)| text).collect();
    for tick in ["40", "60", "80", "100", "120", "0.1", "0.2"] {
        assert!(texts.iter().any(|text| text == tick), "{tick}: {texts:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(80))]
    #[test]
    fn any_numbers_are_drawn_without_one_text_on_another(
        lines in proptest::collection::vec(proptest::collection::vec((-1e4..1e4f64, -1e4..1e4f64), 0..8), 0..4),
        far in prop::sample::select(vec![0.0, f64::NAN, f64::INFINITY, 1e300, -1e-300]),
    ) {
        let line = |(at, points): (usize, Vec<(f64, f64)>)| Line {
            name: format!("line {at} with a longer name"),
            points: points.into_iter().map(|(x, y)| [x, y]).chain([[far, far]]).collect(),
            spread: vec![],
        };
        let plot = Plot { lines: lines.into_iter().enumerate().map(line).collect(), ..friction() };
        let svg = plot.drawing().svg(Theme::Slate);
        prop_assert!(roxmltree::Document::parse(&svg).is_ok());
        prop_assert!(!svg.contains("NaN") && !svg.contains("inf"));
    }
}
