//! The strip and the strings are well-formed, say what they show, and nothing leaves the page or
//! overlaps.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_draw::look::Theme;
use axlestand_draw::{
    Drawing, StringSetup, Strip, StripBand, StripBlock, StripStop, plan_strip, string_setup,
};
use axlestand_quantity::Lengths;

fn band(label: &str, start: f64, minutes: f64) -> StripBand {
    StripBand { label: label.to_owned(), start, minutes }
}

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
            block("around the car", 490.0, 20.0, false),
        ],
        bands: vec![
            band("on its wheels", 0.0, 30.0),
            band("on stands", 30.0, 400.0),
            band("at ride height", 430.0, 80.0),
        ],
        waits: vec![band("sealant cures", 430.0, 60.0)],
        stops: vec![StripStop { label: "everything hangs safely".to_owned(), at: 430.0 }],
        no_return: Some(StripStop { label: "loosen the axle nut".to_owned(), at: 60.0 }),
        now: Some(StripStop { label: "undo the link".to_owned(), at: 90.0 }),
    }
}

fn text_faults(drawing: &Drawing) -> Option<String> {
    let boxes = drawing.text_boxes();
    let [w, h] = drawing.size();
    for (at, (a, text)) in boxes.iter().enumerate() {
        if a[0] < 0.0 || a[1] < 0.0 || a[2] > w || a[3] > h {
            return Some(format!("'{text}' leaves the page: {a:?}"));
        }
        for (b, other) in &boxes[at + 1..] {
            if a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3] {
                return Some(format!("'{text}' lies on '{other}'"));
            }
        }
    }
    None
}

#[test]
fn it_is_xml_with_title_and_description() {
    let svg = plan_strip(&sample()).svg(Theme::Paper);
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let root = tree.root_element();
    let first = |name: &str| root.children().find(|n| n.has_tag_name(name)).and_then(|n| n.text()).unwrap();
    let (title, desc) = (first("title"), first("desc"));
    assert_eq!(title, "wagtail & co <1>");
    assert!(desc.contains("4 stretches") && desc.contains("on stands 400 min"), "{desc}");
    assert!(desc.contains("No way back from minute 60: loosen the axle nut"), "{desc}");
    assert!(desc.contains("Stop for the night after 430 minutes: everything hangs safely"), "{desc}");
}

/// Where the bars stand, from the paths of their groups: left, top, right, bottom.
fn bars(svg: &str, kinds: &[&str]) -> Vec<[f64; 4]> {
    let tree = roxmltree::Document::parse(svg).unwrap();
    let wanted = |n: &roxmltree::Node<'_, '_>| {
        n.attribute("id").is_some_and(|id| kinds.iter().any(|kind| id.starts_with(kind)))
    };
    let groups = tree.descendants().filter(wanted);
    let bar = |group: roxmltree::Node<'_, '_>| {
        let path = group.children().find(|n| n.has_tag_name("path")).unwrap().attribute("d").unwrap();
        let v: Vec<f64> =
            path.split(['M', 'L', 'Z', ' ']).filter(|t| !t.is_empty()).map(|t| t.parse().unwrap()).collect();
        [v[0], v[1], v[4], v[5]]
    };
    groups.map(bar).collect()
}

#[test]
fn blocks_of_one_lane_follow_each_other_and_stay_on_the_page() {
    let drawing = plan_strip(&sample());
    let bars = bars(&drawing.svg(Theme::Paper), &["work", "the-car"]);
    assert_eq!(bars.len(), 7);
    for (at, a) in bars.iter().enumerate() {
        assert!(
            a[0] >= 0.0 && a[2] <= drawing.size()[0] && a[3] <= drawing.size()[1],
            "{a:?} leaves the page"
        );
        for b in &bars[at + 1..] {
            let apart = a[2] <= b[0] + 0.02 || b[2] <= a[0] + 0.02 || a[3] <= b[1] || b[3] <= a[1];
            assert!(apart, "{a:?} and {b:?} overlap");
        }
    }
    assert_eq!(text_faults(&drawing), None);
}

#[test]
fn the_point_of_no_return_is_named_wherever_it_falls() {
    for at in [0.0, 1.0, 255.0, 505.0, 510.0] {
        let mut strip = sample();
        strip.no_return = Some(StripStop { label: "drain".to_owned(), at });
        let drawing = plan_strip(&strip);
        assert_eq!(text_faults(&drawing), None, "{at}");
        assert!(drawing.text_boxes().iter().any(|(_, text)| text == "no way back from here"));
    }
}

/// What goes on by itself has a lane of its own under the work, as long as it goes on beside it.
#[test]
fn a_wait_stands_under_the_work_at_its_time() {
    let drawing = plan_strip(&sample());
    let svg = drawing.svg(Theme::Paper);
    let (work, waits) = (bars(&svg, &["work"]), bars(&svg, &["wait"]));
    assert_eq!(waits.len(), 1);
    // It begins where the right wheel well ends, at minute 430, and lasts 60 of the 200 minutes spent there.
    assert!((waits[0][0] - work[2][2]).abs() < 0.02, "{waits:?} {work:?}");
    let scale = (work[2][2] - work[2][0]) / 200.0;
    assert!((waits[0][2] - waits[0][0] - 60.0 * scale).abs() < 0.02, "{waits:?}");
    assert!(work.iter().all(|bar| bar[3] < waits[0][1]), "{waits:?} {work:?}");
    assert!(drawing.text_boxes().iter().any(|(_, text)| text == "sealant cures"));
    assert!(drawing.description().contains("From minute 430: sealant cures."), "{}", drawing.description());
}

/// Half of the time is half of the way: 255 of 510 minutes.
#[test]
fn time_is_to_scale() {
    let mut strip = sample();
    strip.blocks[2].start = 255.0;
    let bars = bars(&plan_strip(&strip).svg(Theme::Paper), &["work"]);
    let (first, middle, last) = (bars[0][0], bars[2][0], bars[3][2]);
    assert!((middle - (first + last) / 2.0).abs() < 0.02, "{bars:?}");
}

#[test]
fn an_empty_plan_and_hostile_names_and_numbers_are_drawn() {
    for title in ["", "\u{0}\u{7}</svg><script>"] {
        let mut strip = sample();
        title.clone_into(&mut strip.title);
        strip.blocks[0].start = f64::NAN;
        strip.blocks[1].minutes = f64::INFINITY;
        strip.stops[0].at = -1e300;
        for strip in [strip, Strip { title: title.to_owned(), ..Strip::default() }] {
            let svg = plan_strip(&strip).svg(Theme::Slate);
            assert!(roxmltree::Document::parse(&svg).is_ok(), "{svg}");
            assert!(!svg.contains("<script") && !svg.contains("NaN") && !svg.contains("inf\""));
        }
    }
}

#[test]
fn every_way_to_read_is_drawn() {
    use axlestand_draw::{Gauging, gauging, survey_points};
    let ways = [
        (Gauging::Plates, 4),
        (Gauging::Trammel, 2),
        (Gauging::StraightEdge, 2),
        (Gauging::Lengths, 4),
        (Gauging::Floor, 4),
        (Gauging::Caster, 4),
        (Gauging::Camber, 1),
        (Gauging::Height, 1),
        (Gauging::Sweep(Lengths::Millimetres), 2),
        (Gauging::Sweep(Lengths::Inches), 2),
    ];
    for base in [2585.0, 1800.0, 3800.0, f64::NAN] {
        for (way, letters) in ways {
            let car = StringSetup { wheelbase: base, track_front: 1478.0, track_rear: 1466.0 };
            let drawing = gauging(car, way);
            assert_eq!(text_faults(&drawing), None, "{way:?} {base}");
            let single = |(_, text): &([f64; 4], String)| text.len() == 1;
            assert_eq!(drawing.text_boxes().iter().filter(|one| single(one)).count(), letters, "{way:?}");
            assert!(roxmltree::Document::parse(&drawing.svg(Theme::Paper)).is_ok());
        }
    }
    let points = survey_points();
    assert_eq!(text_faults(&points), None);
    let texts: Vec<String> = points.text_boxes().into_iter().map(|(_, text)| text).collect();
    // Every reading once, every point in both views.
    assert!((1..=13).all(|n| texts.iter().filter(|text| **text == n.to_string()).count() == 1), "{texts:?}");
    assert!("ABCDESTW".chars().all(|c| texts.iter().filter(|text| **text == c.to_string()).count() == 2));
}

#[test]
fn the_strings_show_eight_distances() {
    for base in [2585.0, 1800.0, 3800.0, f64::NAN, -1.0] {
        let drawing = string_setup(StringSetup { wheelbase: base, track_front: 1478.0, track_rear: 1466.0 });
        assert_eq!(text_faults(&drawing), None, "{base}");
        let texts: Vec<String> = drawing.text_boxes().into_iter().map(|(_, text)| text).collect();
        for letter in ["a", "b", "c", "d"] {
            assert_eq!(texts.iter().filter(|text| *text == letter).count(), 2, "{letter}");
        }
    }
}
