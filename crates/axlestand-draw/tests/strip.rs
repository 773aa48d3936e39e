//! The strip is well-formed, says what it shows, and nothing in it leaves the page or overlaps.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_draw::{Strip, StripBand, StripBlock, plan_strip};

fn sample() -> Strip {
    let block = |lane: &str, start, minutes, done| StripBlock {
        lane: lane.to_owned(),
        label: format!("{lane} <&> \"{minutes}\""),
        start,
        minutes,
        done,
    };
    Strip {
        title: "wagtail & co <1>".to_owned(),
        blocks: vec![
            block("around the car", 0.0, 30.0, true),
            block("wheel well, left", 30.0, 200.0, false),
            block("wheel well, right", 230.0, 200.0, false),
            block("around the car", 430.0, 20.0, false),
        ],
        bands: vec![
            StripBand { label: "on its wheels".to_owned(), start: 0.0, minutes: 30.0 },
            StripBand { label: "on stands".to_owned(), start: 30.0, minutes: 400.0 },
            StripBand { label: "at ride height".to_owned(), start: 430.0, minutes: 20.0 },
        ],
    }
}

fn numbers(node: roxmltree::Node<'_, '_>) -> (f64, f64, f64, f64) {
    let number = |name: &str| node.attribute(name).and_then(|n| n.parse().ok()).unwrap_or(f64::NAN);
    (number("x"), number("y"), number("width"), number("height"))
}

#[test]
fn it_is_xml_with_title_and_description() {
    let svg = plan_strip(&sample());
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let root = tree.root_element();
    assert_eq!(root.attribute("role"), Some("img"));
    let first = |name: &str| root.children().find(|n| n.has_tag_name(name)).and_then(|n| n.text()).unwrap();
    let (title, desc) = (first("title"), first("desc"));
    assert_eq!(title, "wagtail & co <1>");
    assert!(desc.contains("4 stretches") && desc.contains("on stands 400 min"), "{desc}");
}

#[test]
fn blocks_of_one_lane_follow_each_other_and_stay_on_the_page() {
    let svg = plan_strip(&sample());
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let view: Vec<f64> =
        tree.root_element().attribute("viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
    let rects: Vec<_> = tree
        .descendants()
        .filter(|n| n.has_tag_name("rect") && n.parent_element().is_some_and(|p| p.has_tag_name("g")))
        .map(numbers)
        .collect();
    assert_eq!(rects.len(), 7);
    for (at, a) in rects.iter().enumerate() {
        assert!(a.0 >= 0.0 && a.0 + a.2 <= view[2] && a.1 + a.3 <= view[3], "{a:?} leaves the page");
        for b in &rects[at + 1..] {
            let apart =
                a.0 + a.2 <= b.0 + 0.2 || b.0 + b.2 <= a.0 + 0.2 || a.1 + a.3 <= b.1 || b.1 + b.3 <= a.1;
            assert!(apart, "{a:?} and {b:?} overlap");
        }
    }
}

#[test]
fn an_empty_plan_and_a_hostile_name_are_drawn() {
    for title in ["", "\u{0}\u{7}</svg><script>"] {
        let svg = plan_strip(&Strip { title: title.to_owned(), ..Strip::default() });
        assert!(roxmltree::Document::parse(&svg).is_ok(), "{svg}");
        assert!(!svg.contains("<script"));
    }
}
