//! Adjusters of the vehicle file: what is advised is put on the corner by the numeric crate and solved
//! anew; ranges that do not suffice, and what is said of either.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

mod demo_car;

use axlestand_garage::geometry::{AxlePreview, PreviewWanted, preview};
use axlestand_garage::{Job, ReadWith, vehicle};
use axlestand_geometry::Vec3;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Adjuster, Corner, Outputs, Point};
use axlestand_model::car::Car;

const DEMO: &str = include_str!("../../../cars/wagtail.toml");
const SLOT: (&str, &str) = ("[axle.front.adjuster.camber-slot]", "[axle.rear]");

fn car(text: &str) -> Car {
    let reading = vehicle::read_car(text);
    reading.car.unwrap_or_else(|| panic!("{:?}", reading.findings))
}

/// The demo file with another table for its adjuster, or none.
fn with_adjuster(table: &str) -> String {
    let (before, rest) = DEMO.split_once(SLOT.0).unwrap();
    let (_, after) = rest.split_once(SLOT.1).unwrap();
    format!("{before}{table}\n{}{after}", SLOT.1)
}

/// The demo file with another camber target.
fn with_target(text: &str, value: &str, tolerance: &str) -> String {
    let old = "value = \"-0.5°\"\ntolerance = \"0.75°\"";
    assert!(text.contains(old));
    text.replace(old, &format!("value = \"{value}\"\ntolerance = \"{tolerance}\""))
}

fn front(car: &Car, job: Option<&Job>, lower: &str) -> AxlePreview {
    let wanted = PreviewWanted { front: Some(lower.to_owned()), ..PreviewWanted::default() };
    preview(car, job, &wanted).unwrap().axles.into_iter().next().unwrap()
}

/// The corner of a file's points, put together without the façade.
fn bare(car: &Car, side: Side, adjusters: Vec<(Adjuster, f64)>, travel: f64) -> Outputs {
    let mut spec = demo_car::bare_spec(car, Side::Left);
    spec.adjusters = adjusters;
    let spec = if side == Side::Right { spec.mirrored() } else { spec };
    Corner::new(spec).unwrap().at(travel, 0.0).unwrap().1
}

fn slot() -> Adjuster {
    Adjuster::StrutTurn { bolt: Vec3::new(-2.0, 646.0, 345.0), axis: Vec3::new(1.0, 0.0, 0.0) }
}

fn row<'a>(view: &'a AxlePreview, name: &str) -> &'a axlestand_garage::geometry::AngleView {
    view.angles.iter().find(|angle| angle.name.starts_with(name)).unwrap()
}

#[test]
fn what_is_advised_brings_camber_and_toe_to_the_target() {
    for (target, lower) in [("-0.9°", 30.0), ("-0.4°", 15.0), ("-0.6°", -20.0), ("-0.1°", 2.0)] {
        let car = car(&with_target(DEMO, target, "0.1°"));
        let view = front(&car, None, &format!("{lower} mm"));
        let [left, right] = view.settings.as_slice() else { panic!("{:?}", view.settings) };
        assert!(left.enough && right.enough, "{view:#?}");
        let rod = |wheel: &str| view.tie_rods.iter().find(|rod| rod.wheel == wheel).unwrap().longer;
        let set =
            |side, setting, rod| bare(&car, side, vec![(slot(), setting), (Adjuster::TieRod, rod)], lower);
        let (l, r) =
            (set(Side::Left, left.setting, rod("left")), set(Side::Right, right.setting, rod("right")));
        let aim: f64 = target.trim_end_matches('°').parse().unwrap();
        // No reading was taken, so the file's own angles are the car's.
        assert!((l.camber - aim).abs() < 0.01 && (r.camber - aim).abs() < 0.01, "{} {}", l.camber, r.camber);
        assert!((l.toe + r.toe - 0.10).abs() < 0.01, "{} {}", l.toe, r.toe);
        assert!((left.camber[0] - l.camber).abs() < 1e-6, "what is shown is what was solved");
        // What the slot does by itself, and that toe counts it.
        let alone = bare(&car, Side::Left, vec![(slot(), left.setting)], lower);
        let before = bare(&car, Side::Left, Vec::new(), lower);
        assert!((left.toe_by_itself[0] - (alone.toe - before.toe)).abs() < 1e-9);
        let lines = view.adjust.join("\n");
        assert!(
            lines.contains("camber, each side") && lines.contains("counting the toe that the camber"),
            "{lines}"
        );
        let way = if left.setting > 0.0 { "outward" } else { "inward" };
        assert!(left.way.contains(way) && (l.camber > before.camber) == (way == "outward"), "{}", left.way);
        // A turn φ about the lower bolt is 58 mm · tan φ at the upper one.
        let mm = format!("{:.1} mm at the bolt", 58.0 * left.setting.to_radians().tan().abs());
        assert!(left.way.contains(&mm), "{}", left.way);
    }
}

#[test]
fn each_wheel_is_set_from_what_was_read_at_it() {
    let (mut garage, _folder) = demo_car::started(&with_target(DEMO, "-0.5°", "0.2°"));
    for (item, value) in [
        ("camber-front.left", "-1.00 ± 0.1 °"),
        ("camber-front.right", "-0.45 ± 0.1 °"),
        ("toe-front", "0.30 ± 0.05 °"),
    ] {
        garage.read(item, value, &ReadWith::default()).unwrap();
    }
    let job = garage.job().unwrap();
    let view = front(&job.car, Some(&job), "0 mm");
    let [only] = view.settings.as_slice() else { panic!("{:?}", view.settings) };
    assert!(only.wheel == "left" && only.enough && (only.camber[0] + 0.5).abs() < 0.01, "{only:?}");
    // As far as it was read from the aim the corner is turned: −1.00° to −0.5°.
    let rod = |i: usize| view.tie_rods[i].longer;
    let left = bare(&job.car, Side::Left, vec![(slot(), only.setting), (Adjuster::TieRod, rod(0))], 0.0);
    let right = bare(&job.car, Side::Right, vec![(Adjuster::TieRod, rod(1))], 0.0);
    assert!((left.camber + 0.6 - 0.5).abs() < 0.01, "{}", left.camber);
    // Total toe from the 0.30° that were read to 0.10°, half of it at each wheel.
    for wheel in [&left, &right] {
        assert!((wheel.toe - 0.05 + 0.10).abs() < 0.01, "{}", wheel.toe);
    }
    let lines = view.adjust.join("\n");
    assert!(
        lines.contains("camber, left: -1.00°, wanted -0.50°") && !lines.contains("camber, right:"),
        "{lines}"
    );
    assert!(lines.contains("left tie rod") && lines.contains("right tie rod"), "{lines}");
    assert!(
        lines.contains("solved anew with all of this set: camber left -0.50°, right -0.45°, total toe 0.10°")
    );
}

#[test]
fn a_range_that_does_not_suffice_is_said_with_what_comes_of_it() {
    let car = car(&with_target(DEMO, "0.6°", "0.2°"));
    let view = front(&car, None, "20 mm");
    for setting in &view.settings {
        assert!(!setting.enough && (setting.setting - 0.75).abs() < 1e-9, "{setting:?}");
    }
    let set = vec![(slot(), 0.75), (Adjuster::TieRod, view.tie_rods[0].longer)];
    let out = bare(&car, Side::Left, set, 20.0);
    assert!((out.camber - view.settings[0].camber[0]).abs() < 1e-6);
    assert!((2.0 * out.toe - 0.10).abs() < 0.01, "toe is set all the same: {}", out.toe);
    let text = &view.adjust[0];
    for words in ["does NOT suffice", "outside the limits (", "wanted 0.60°", "[manual: Wagtail"] {
        assert!(text.contains(words), "{words}: {text}");
    }
    // Only as far as the range goes the other way: it stands there already.
    let one_way = with_target(DEMO, "0.6°", "0.2°").replace("to = \"0.75°\"", "to = \"0°\"");
    let view = front(&self::car(&one_way), None, "20 mm");
    assert!(view.adjust[0].contains("stands at the end of its range"), "{:?}", view.adjust);
}

#[test]
fn without_an_adjuster_the_maker_decides() {
    let view = front(&car(&with_target(&with_adjuster(""), "0.6°", "0.2°")), None, "20 mm");
    assert!(
        view.settings.is_empty() && view.adjust[0].contains("describes no adjuster"),
        "{:?}",
        view.adjust
    );
    assert_eq!(view.tie_rods.len(), 2);
    // Caster is no camber: a mount moved along the car does not help.
    let along = "[axle.front.adjuster.caster]\nname = \"mount\"\nkind = \"shift\"\nmoves = \"strut-top-mount\"\n\
        direction = [1, 0, 0]\nfrom = \"-5 mm\"\nto = \"5 mm\"\n";
    let view = front(&car(&with_target(&with_adjuster(along), "0.6°", "0.2°")), None, "20 mm");
    assert!(
        view.settings.is_empty() && view.adjust[0].contains("describes no adjuster"),
        "{:?}",
        view.adjust
    );
}

#[test]
fn without_a_target_camber_goes_back_to_what_it_was() {
    let text = DEMO.split("[target.camber-front-target]").next().unwrap();
    let car = car(text);
    let view = front(&car, None, "12 mm");
    assert!((row(&view, "camber").before.unwrap() + 0.6).abs() < 1e-9);
    assert!(
        view.settings.iter().all(|s| s.enough && (s.camber[0] + 0.6).abs() < 0.01),
        "{:?}",
        view.settings
    );
    assert!(view.adjust[0].contains("what it was"), "{:?}", view.adjust);
    assert!(front(&car, None, "0.2 mm").settings.is_empty(), "less than is read off a car");
}

#[test]
fn a_typical_range_is_said_to_be_typical() {
    let typical = "provenance = \"manual\"\nsource = \"Wagtail workshop sheet 44-06 (invented)\"\n";
    assert!(DEMO.contains(typical));
    let view = front(&car(&with_target(&DEMO.replace(typical, ""), "-0.4°", "0.1°")), None, "20 mm");
    assert!(
        view.settings[0].typical && view.adjust[0].contains("not this car's: look it up"),
        "{:?}",
        view.adjust
    );
    let input = view.inputs.iter().find(|input| input.what.contains("upper strut bolt")).unwrap();
    assert!(input.typical && input.value == "-0.75° to 0.75°", "{input:?}");
}

const MOUNT: &str = "[axle.front.adjuster.mount]\nname = \"top mount\"\nkind = \"shift\"\n\
    moves = \"strut-top-mount\"\ndirection = [0, 2, 0]\nfrom = \"-12 mm\"\nto = \"12 mm\"\n";
const CAM: &str = "[axle.front.adjuster.cam]\nname = \"cam\"\nkind = \"eccentric\"\n\
    moves = \"lower-arm-front-pivot\"\ndirection = [1, 0, 0]\neccentricity = \"7 mm\"\nstart = \"90°\"\n\
    from = \"-80°\"\nto = \"80°\"\n";
const LEG: &str = "[axle.front.adjuster.leg]\nname = \"front leg\"\nkind = \"rod\"\n\
    moves = \"lower-arm-front-pivot\"\nfrom = \"-8 mm\"\nto = \"8 mm\"\n";

#[test]
fn every_kind_is_put_on_the_corner_and_said_in_words() {
    let mount = Adjuster::Shift { point: Point::StrutTop, direction: Vec3::new(0.0, 1.0, 0.0) };
    let cam = Adjuster::Eccentric {
        point: Point::LowerFront,
        bolt: Vec3::new(1.0, 0.0, 0.0),
        eccentricity: 7.0,
        start_deg: 90.0,
    };
    let cases = [
        (MOUNT, mount, "the strut top mount 5.9 mm outward"),
        (CAM, cam, "which takes the lower arm front pivot"),
        (LEG, Adjuster::Rod(0), "mm shorter"),
    ];
    for (table, part, words) in cases {
        let car = car(&with_target(&with_adjuster(table), "-0.4°", "0.05°"));
        let view = front(&car, None, "15 mm");
        let set = &view.settings[0];
        assert!(set.enough, "{set:?}");
        assert!(set.way.contains(words), "{}", set.way);
        let out = bare(
            &car,
            Side::Left,
            vec![(part, set.setting), (Adjuster::TieRod, view.tie_rods[0].longer)],
            15.0,
        );
        assert!(
            (out.camber + 0.4).abs() < 0.01 && (out.toe - 0.05).abs() < 0.01,
            "{} {}",
            out.camber,
            out.toe
        );
    }
    // The first that suffices, in the order of the file.
    let both = format!("{}{MOUNT}", LEG.replace("-8 mm", "-0.5 mm"));
    let view = front(&car(&with_target(&with_adjuster(&both), "-0.4°", "0.05°")), None, "15 mm");
    assert_eq!(view.settings[0].adjuster, "mount", "{:?}", view.settings);
}

#[test]
fn a_subframe_shares_camber_out_between_the_wheels() {
    let subframe = "[axle.front.adjuster.subframe]\nname = \"subframe on its bolts\"\nkind = \"shift\"\n\
        moves = [\"lower-arm-front-pivot\", \"lower-arm-rear-pivot\", \"inner-tie-rod-joint\"]\n\
        direction = [0, 1, 0]\nboth_sides = true\nfrom = \"-12 mm\"\nto = \"12 mm\"\n";
    let (mut garage, _folder) = demo_car::started(&with_target(&with_adjuster(subframe), "-0.5°", "0.2°"));
    for (item, value) in [("camber-front.left", "-0.1 ± 0.05 °"), ("camber-front.right", "-0.9 ± 0.05 °")]
    {
        garage.read(item, value, &ReadWith::default()).unwrap();
    }
    let job = garage.job().unwrap();
    let view = front(&job.car, Some(&job), "0 mm");
    let [only] = view.settings.as_slice() else { panic!("{:?}", view.settings) };
    assert!(only.wheel == "both" && only.camber.len() == 2, "{only:?}");
    assert!((only.camber[0] - only.camber[1]).abs() < 0.02, "evened out: {only:?}");
    // The arms pull the left wheel's foot outward when the subframe goes left: camber there goes down.
    assert!(only.setting > 0.0 && only.way.contains("to the left"), "{only:?}");
    assert!(view.adjust[0].starts_with("camber: subframe on its bolts"), "{:?}", view.adjust);
    let shift = |sign: f64| {
        [Point::LowerFront, Point::LowerRear, Point::TieRodInner]
            .map(|point| (Adjuster::Shift { point, direction: Vec3::new(0.0, sign, 0.0) }, only.setting))
            .to_vec()
    };
    let with_rod = |mut all: Vec<(Adjuster, f64)>, i: usize| {
        all.push((Adjuster::TieRod, view.tie_rods[i].longer));
        all
    };
    // Mirrored along with the right corner, so the direction is turned round first.
    let left = bare(&job.car, Side::Left, with_rod(shift(1.0), 0), 0.0);
    let right = bare(&job.car, Side::Right, with_rod(shift(-1.0), 1), 0.0);
    assert!((left.camber + 0.6 - 0.1 - only.camber[0]).abs() < 0.01, "{} {only:?}", left.camber);
    assert!((right.camber + 0.6 - 0.9 - only.camber[1]).abs() < 0.01, "{} {only:?}", right.camber);
}
