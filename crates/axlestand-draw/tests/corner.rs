//! The picture of a corner: well-formed, mirrored, told in words, and no text on another.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_draw::Drawing;
use axlestand_draw::corner::{Corner, Measure, Piece, Pin, PinState, Point, Room, Shape, Standing, View};
use axlestand_draw::look::Theme;
use proptest::prelude::*;

/// An invented corner; `outside` is -1 for the right one.
fn corner(outside: f64, pins: usize) -> Corner {
    let at = |[x, y, z]: Point| [x, y * outside, z];
    let piece =
        |id: &str, shape, standing| Piece { id: id.to_owned(), name: id.replace('-', " "), shape, standing };
    let pin = |i: usize| Pin {
        id: format!("bolt-{i}.left"),
        name: format!("a bolt with a rather long name, number {i}"),
        detail: "M14×1.5 × 85 mm, hex 21".to_owned(),
        // Several at the same place, as on real cars.
        at: at([
            (i % 5) as f64 * 60.0 - 150.0,
            350.0 + (i % 7) as f64 * 55.0,
            200.0 + (i % 3) as f64 * 200.0,
        ]),
        state: PinState::ALL[i % PinState::ALL.len()],
        tray: i.is_multiple_of(2).then_some(i as u32),
        row: Some(i as u32 + 10),
        now: i == 3,
    };
    Corner {
        title: "Left front corner".to_owned(),
        schematic: Some("schematic, not to measure".to_owned()),
        step: Some("Take out: a bolt".to_owned()),
        pieces: vec![
            piece(
                "arm",
                Shape::Tube {
                    through: vec![at([12.0, 350.0, 222.0]), at([4.0, 694.0, 198.0])],
                    radius: 19.0,
                },
                Standing::There,
            ),
            piece(
                "spring",
                Shape::Coil {
                    between: [at([-18.0, 585.0, 655.0]), at([-30.0, 545.0, 893.0])],
                    radius: 66.0,
                    wire: 7.0,
                    turns: 5,
                },
                Standing::Now,
            ),
            piece(
                "wheel",
                Shape::Rings { centre: at([0.0, 739.0, 302.0]), radii: vec![298.0, 190.0], upright: false },
                Standing::Gone,
            ),
        ],
        pins: (0..pins).map(pin).collect(),
        measures: vec![Measure {
            id: "height-front.left".to_owned(),
            name: "hub centre to arch lip".to_owned(),
            value: Some("366 ± 1 mm".to_owned()),
            from: at([0.0, 800.0, 302.0]),
            to: at([0.0, 800.0, 668.0]),
        }],
    }
}

fn overlap(drawing: &Drawing) -> Option<String> {
    let boxes = drawing.text_boxes();
    let [w, h] = drawing.size();
    for (at, (a, text)) in boxes.iter().enumerate() {
        if a[0] < 0.0 || a[1] < 0.0 || a[2] > w || a[3] > h {
            return Some(format!("'{text}' leaves the paper: {a:?} of {w} × {h}"));
        }
        for (b, other) in &boxes[at + 1..] {
            if a[0] < b[2] && b[0] < a[2] && a[1] < b[3] - 0.01 && b[1] < a[3] - 0.01 {
                return Some(format!("'{text}' lies on '{other}': {a:?} {b:?}"));
            }
        }
    }
    None
}

#[test]
fn no_text_lies_on_another_in_any_view() {
    for view in View::ALL {
        for room in [Room::Wide, Room::Narrow] {
            for pins in [0, 1, 2, 13, 36] {
                let drawing = corner(1.0, pins).drawing(view, room);
                assert_eq!(overlap(&drawing), None, "{view:?} {room:?} {pins}");
            }
        }
    }
}

/// The leaders of each column, from the SVG: straight lines of two points that end at the column's edge.
fn leaders(drawing: &Drawing, edge: f64) -> Vec<[[f64; 2]; 2]> {
    let svg = drawing.svg(Theme::Paper);
    let paths = svg.split("<path d=\"M").skip(1).filter_map(|rest| rest.split('"').next());
    let spot = |text: &str| {
        let (x, y) = text.split_once(' ')?;
        Some([x.parse::<f64>().ok()?, y.parse::<f64>().ok()?])
    };
    let ends = |path: &str| {
        let (from, to) = path.split_once('L')?;
        Some([spot(from)?, spot(to)?])
    };
    paths.filter_map(ends).filter(|[_, to]| (to[0] - edge).abs() < 0.006).collect()
}

/// Two lines cross where the straight lines through them meet inside both: solved as two equations.
fn meet([a, b]: [[f64; 2]; 2], [c, d]: [[f64; 2]; 2]) -> bool {
    let ([ux, uy], [vx, vy]) = ([b[0] - a[0], b[1] - a[1]], [d[0] - c[0], d[1] - c[1]]);
    let under = ux * vy - uy * vx;
    let (s, t) = (
        ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / under,
        ((c[0] - a[0]) * uy - (c[1] - a[1]) * ux) / under,
    );
    let inside = 0.002..0.998;
    under.abs() > 1e-9 && inside.contains(&s) && inside.contains(&t)
}

/// How many pairs of leaders cross, with the number of leaders seen.
fn crossings(drawing: &Drawing) -> (usize, usize) {
    let (mut count, mut seen) = (0, 0);
    for edge in [57.0, 129.0] {
        let lines = leaders(drawing, edge);
        seen += lines.len();
        for (at, one) in lines.iter().enumerate() {
            count += lines[at + 1..].iter().filter(|other| meet(*one, **other)).count();
        }
    }
    (count, seen)
}

#[test]
fn no_two_leaders_of_a_column_cross() {
    for view in View::ALL {
        for pins in [2, 13, 36] {
            let drawing = corner(1.0, pins).drawing(view, Room::Wide);
            // Each pin and the one measure has its leader.
            assert_eq!(crossings(&drawing), (0, pins + 1), "{view:?} {pins}");
        }
    }
}

/// Names wider than their column go on below; none is cut.
#[test]
fn no_name_is_cut() {
    for room in [Room::Wide, Room::Narrow] {
        let texts = corner(1.0, 13).drawing(View::Oblique, room).text_boxes();
        assert!(texts.iter().all(|(_, text)| !text.contains('…')), "{texts:?}");
    }
}

/// On a phone of 390 pixels the width of 100 mm leaves 3.9 pixels to the millimetre: what is read there is
/// at least 12 pixels high.
#[test]
fn a_narrow_picture_names_the_next_rows_once_at_the_mark_and_once_in_the_list() {
    for view in View::ALL {
        let texts = corner(1.0, 20).drawing(view, Room::Narrow).text_boxes();
        let count = |words: &str| texts.iter().filter(|(_, text)| text == words).count();
        // The step's own row first, then the next seven.
        for row in [13, 10, 11, 12, 14, 15, 16, 17] {
            assert_eq!(count(&row.to_string()), 2, "{view:?} row {row}: {texts:?}");
        }
        assert_eq!(count("18"), 0, "{view:?}: later rows are told of by their marks only");
        assert!(texts.iter().any(|(_, text)| text.starts_with("12 marks more")), "{texts:?}");
        let largest = |words: &str| {
            let own = texts.iter().filter(|(_, text)| text.starts_with(words));
            own.map(|([_, top, _, bottom], _)| bottom - top).fold(0.0, f64::max)
        };
        // The present step's line, broken where it is too wide, is larger than the others.
        assert!(largest("a bolt with a rather long name") > largest("12 marks more") * 1.2, "{texts:?}");
        assert!(largest("13") > largest("14") * 1.2, "{texts:?}");
        assert_eq!(count("A"), 2, "{view:?}: what is measured has a letter");
        for ([_, top, _, bottom], text) in &texts {
            assert!((bottom - top) * 3.9 >= 11.0, "'{text}' is {} pixels high", (bottom - top) * 3.9);
        }
    }
}

/// No key lies on a mark: middles and radii of the marks are those of the areas that take a finger, and
/// a mark on a phone reaches less than 2 mm, or 5 mm where the step touches it.
#[test]
fn no_key_lies_on_a_mark() {
    for view in View::ALL {
        let drawing = corner(1.0, 20).drawing(view, Room::Narrow);
        let svg = drawing.svg(Theme::Paper);
        let tree = roxmltree::Document::parse(&svg).unwrap();
        let number = |n: roxmltree::Node<'_, '_>, name| n.attribute(name).unwrap().parse::<f64>().unwrap();
        let taps: Vec<_> = tree.descendants().filter(|n| n.attribute("class") == Some("tap")).collect();
        assert_eq!(taps.len(), 20);
        let keys = drawing.text_boxes();
        let keys = keys.iter().filter(|([left, ..], text)| text.parse::<u32>().is_ok() && *left > 3.1);
        for ([left, top, right, bottom], text) in keys {
            for tap in &taps {
                let (x, y) = (number(*tap, "cx"), number(*tap, "cy"));
                let inside = x > *left && x < *right && y > *top && y < *bottom;
                assert!(!inside, "{view:?}: {text} lies on the mark at {x}, {y}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn no_leaders_cross_wherever_fasteners_sit(
        places in proptest::collection::vec((-400.0..400.0f64, 300.0..800.0f64, 100.0..950.0f64), 0..40),
    ) {
        let mut corner = corner(1.0, places.len());
        for (pin, (x, y, z)) in corner.pins.iter_mut().zip(&places) {
            pin.at = [*x, *y, *z];
        }
        let drawing = corner.drawing(View::Oblique, Room::Wide);
        prop_assert_eq!(crossings(&drawing), (0, places.len() + 1));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn no_text_lies_on_another_wherever_fasteners_sit(
        places in proptest::collection::vec((-400.0..400.0f64, 300.0..800.0f64, 100.0..950.0f64), 0..40),
        narrow: bool,
    ) {
        let mut corner = corner(1.0, places.len());
        for (pin, (x, y, z)) in corner.pins.iter_mut().zip(&places) {
            pin.at = [*x, *y, *z];
        }
        let drawing = corner.drawing(View::Oblique, if narrow { Room::Narrow } else { Room::Wide });
        prop_assert_eq!(overlap(&drawing), None);
    }
}

/// The marks of fasteners at one place are moved apart: no two circles that take a finger share
/// their middle, and marks keep the width of a mark between them.
#[test]
fn marks_at_one_place_stand_apart() {
    let mut corner = corner(1.0, 9);
    for pin in &mut corner.pins {
        pin.at = [0.0, 600.0, 300.0];
    }
    let svg = corner.drawing(View::Front, Room::Wide).svg(Theme::Paper);
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let number = |n: roxmltree::Node<'_, '_>, name| n.attribute(name).unwrap().parse::<f64>().unwrap();
    let middles: Vec<(f64, f64)> = tree
        .descendants()
        .filter(|n| n.attribute("class") == Some("tap"))
        .map(|n| (number(n, "cx"), number(n, "cy")))
        .collect();
    assert_eq!(middles.len(), 9);
    for (at, a) in middles.iter().enumerate() {
        for b in &middles[at + 1..] {
            assert!((a.0 - b.0).hypot(a.1 - b.1) > 4.5, "{a:?} {b:?}");
        }
    }
}

#[test]
fn every_item_can_be_pointed_at_and_read_aloud() {
    let svg = corner(1.0, 12).drawing(View::Oblique, Room::Wide).svg(Theme::Slate);
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let groups: Vec<_> = tree.descendants().filter(|n| n.has_tag_name("g")).collect();
    // Twelve fasteners, three parts, one measure.
    assert_eq!(groups.len(), 16);
    let mut ids = std::collections::BTreeSet::new();
    for group in groups {
        assert!(ids.insert(group.attribute("id").unwrap()), "an id stands twice");
        let child = |name: &str| group.children().find(|n| n.has_tag_name(name)).and_then(|n| n.text());
        assert!(!child("title").unwrap().is_empty());
        assert!(!child("desc").unwrap_or_default().is_empty());
    }
    let bolt = tree.descendants().find(|n| n.attribute("id") == Some("item-bolt-4.left")).unwrap();
    let words = bolt.attribute("aria-label").unwrap();
    assert!(
        words.contains("SEATED only") && words.contains("tray place 4") && words.contains("row 14"),
        "{words}"
    );
    assert_eq!(bolt.attribute("tabindex"), Some("0"));
}

/// The right corner is the left one's mirror image about the paper's middle.
#[test]
fn the_right_corner_is_the_mirror_image_of_the_left() {
    for view in View::ALL {
        let spots = |outside| {
            let svg = corner(outside, 0).drawing(view, Room::Wide).svg(Theme::Paper);
            let tree = roxmltree::Document::parse(&svg).unwrap();
            let arm = tree.descendants().find(|n| n.attribute("id") == Some("item-arm")).unwrap();
            let path =
                arm.children().find(|n| n.has_tag_name("path")).unwrap().attribute("d").unwrap().to_owned();
            let numbers = path.split(['M', 'L', ' ']).filter(|t| !t.is_empty());
            numbers.map(|t| t.parse::<f64>().unwrap()).collect::<Vec<_>>()
        };
        let (left, right) = (spots(1.0), spots(-1.0));
        for (a, b) in left.chunks(2).zip(right.chunks(2)) {
            assert!((a[0] + b[0] - 186.0).abs() < 0.02 && (a[1] - b[1]).abs() < 0.02, "{view:?} {a:?} {b:?}");
        }
    }
}

/// Hand-made projection of the plain views: from in front the car's left is on the right, from above
/// it is on the left; up is up.
#[test]
fn views_lie_as_who_stands_there_sees_them() {
    let at = |view, point: Point| {
        let mut corner = corner(1.0, 2);
        corner.pins[0].at = [0.0, 600.0, 400.0];
        corner.pins[1].at = point;
        let svg = corner.drawing(view, Room::Wide).svg(Theme::Paper);
        let tree = roxmltree::Document::parse(&svg).unwrap();
        let taps: Vec<_> = tree.descendants().filter(|n| n.attribute("class") == Some("tap")).collect();
        let number = |i: usize, name| taps[i].attribute(name).unwrap().parse::<f64>().unwrap();
        (number(1, "cx") - number(0, "cx"), number(1, "cy") - number(0, "cy"))
    };
    assert!(at(View::Front, [0.0, 700.0, 400.0]).0 > 5.0, "outward is to the right from in front");
    assert!(at(View::Front, [0.0, 600.0, 500.0]).1 < -5.0, "up is up");
    assert!(at(View::Above, [0.0, 700.0, 400.0]).0 < -5.0, "outward is to the left from above");
    assert!(at(View::Above, [100.0, 600.0, 400.0]).1 < -5.0, "forward is up from above");
    assert!(at(View::Side, [100.0, 600.0, 400.0]).0 < -5.0, "forward is to the left from the left side");
}

#[test]
fn nonsense_is_drawn_or_left_out_but_never_breaks_the_picture() {
    let mut broken = corner(1.0, 5);
    broken.pins[0].at = [f64::NAN, 0.0, f64::INFINITY];
    broken.pins[1].name = "\u{0}</svg><script>\u{1F527}日本".to_owned();
    broken.pieces[0].shape = Shape::Tube { through: vec![], radius: f64::NAN };
    for view in View::ALL {
        let svg = broken.drawing(view, Room::Wide).svg(Theme::Paper);
        let tree = roxmltree::Document::parse(&svg).unwrap();
        assert!(tree.descendants().all(|n| !n.has_tag_name("script")));
        assert!(!svg.contains("NaN") && !svg.contains("inf"), "{view:?}");
    }
    let empty = Corner { pieces: vec![], pins: vec![], measures: vec![], ..corner(1.0, 0) };
    assert!(roxmltree::Document::parse(&empty.drawing(View::Side, Room::Narrow).svg(Theme::Paper)).is_ok());
}
