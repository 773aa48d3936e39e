//! Geometry of a car against what it must keep whatever the figures: balance of forces, mirror
//! images, the numeric crate on the same points, and no number that is none.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

mod demo_car;

use axlestand_garage::geometry::{
    CornerHeight, CurvesWanted, HeightView, HeightWanted, PreviewWanted, Racks, curves, height, preview,
    steering,
};
use axlestand_garage::views::check_road;
use axlestand_garage::{Hand, ReadWith, vehicle};
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::Corner;
use axlestand_model::car::Car;
use proptest::prelude::*;
use serde_json::Value;

const DEMO: &str = include_str!("../../../cars/wagtail.toml");
const GRAVITY: f64 = 9.80665;

fn car(text: &str) -> Car {
    let reading = vehicle::read_car(text);
    reading.car.unwrap_or_else(|| panic!("{:?}", reading.findings))
}

fn demo() -> Car {
    car(DEMO)
}

fn texts(list: &[&str]) -> Vec<String> {
    list.iter().map(|text| (*text).to_owned()).collect()
}

fn level() -> HeightWanted {
    HeightWanted { now: texts(&["front=366 mm", "rear=371 mm"]), ..HeightWanted::default() }
}

/// The demo car's front corner, put together from its file without the façade.
fn bare_corner(car: &Car, side: Side) -> Corner {
    Corner::new(demo_car::bare_spec(car, side)).unwrap()
}

#[test]
fn curves_of_the_demo_car_are_the_numeric_crates_on_the_same_points() {
    let car = demo();
    let wanted = CurvesWanted {
        axle: "front".to_owned(),
        side: Hand::Left,
        from: -70.0,
        to: 50.0,
        step: 10.0,
        racks: Racks::Straight,
        units: axlestand_garage::Units::Metric,
    };
    let view = curves(&car, &wanted).unwrap();
    let at = |key: &str| view.columns.iter().position(|column| column.key == key).unwrap();
    let (left, right) = (bare_corner(&car, Side::Left), bare_corner(&car, Side::Right));
    for row in &view.rows {
        let (_, out) = left.at(row.travel, 0.0).unwrap();
        let (_, mirror) = right.at(row.travel, 0.0).unwrap();
        for (key, expected, mirrored) in [
            ("camber", out.camber, mirror.camber),
            ("toe", out.toe, mirror.toe),
            ("caster", out.caster.unwrap(), mirror.caster.unwrap()),
            ("roll-centre", out.roll_centre.unwrap(), mirror.roll_centre.unwrap()),
            ("spring-ratio", out.spring_ratio.unwrap(), mirror.spring_ratio.unwrap()),
            ("plunge", out.axle_plunge.unwrap(), mirror.axle_plunge.unwrap()),
        ] {
            let shown = row.values[at(key)].unwrap();
            assert!((shown - expected).abs() < 1e-8, "{key} at {}: {shown} {expected}", row.travel);
            assert!((expected - mirrored).abs() < 1e-8, "{key} of the right wheel at {}", row.travel);
        }
    }
}

#[test]
fn a_grid_is_the_numeric_crates_corner_at_each_height_and_rack() {
    let car = demo();
    for side in [Hand::Left, Hand::Right] {
        let wanted = CurvesWanted {
            axle: "front".to_owned(),
            side,
            from: -50.0,
            to: 40.0,
            step: 45.0,
            racks: Racks::LockToLock(Some(30.0)),
            units: axlestand_garage::Units::Metric,
        };
        let view = curves(&car, &wanted).unwrap();
        let racks: Vec<f64> = view.rows.iter().take(7).map(|row| row.rack).collect();
        assert_eq!(racks, [-72.0, -60.0, -30.0, 0.0, 30.0, 60.0, 72.0]);
        assert_eq!(view.rows.len(), 21);
        let at = |key: &str| view.columns.iter().position(|column| column.key == key).unwrap();
        assert!(view.columns.iter().all(|c| !["toe", "track-change", "roll-centre"].contains(&c.key)));
        let corner = bare_corner(&car, if side == Hand::Left { Side::Left } else { Side::Right });
        for row in &view.rows {
            // Each by its own continuation from the design position.
            let (_, out) = corner.at(row.travel, row.rack).unwrap();
            for (key, expected) in
                [("heading", out.heading), ("camber", out.camber), ("trail", out.trail.unwrap())]
            {
                let shown = row.values[at(key)].unwrap();
                assert!((shown - expected).abs() < 1e-7, "{key}: {shown} {expected}");
            }
        }
    }
}

#[test]
fn rows_beyond_the_dampers_ends_say_so() {
    let wanted = CurvesWanted {
        axle: "front".to_owned(),
        side: Hand::Left,
        from: -100.0,
        to: 100.0,
        step: 50.0,
        racks: Racks::Straight,
        units: axlestand_garage::Units::Metric,
    };
    let view = curves(&demo(), &wanted).unwrap();
    let beyond: Vec<_> = view.rows.iter().map(|row| row.beyond).collect();
    assert_eq!(beyond, [Some("full droop"), None, None, None, Some("bump stop")]);
}

/// The left front wheel as the points were taken.
fn at_rest() -> CurvesWanted {
    CurvesWanted {
        axle: "front".to_owned(),
        side: Hand::Left,
        from: 0.0,
        to: 0.0,
        step: 1.0,
        racks: Racks::Straight,
        units: axlestand_garage::Units::Metric,
    }
}

#[test]
fn tyre_and_spring_keep_the_room_their_sizes_leave() {
    let at_rest = at_rest();
    let gap = |text: &str| {
        let view = curves(&car(text), &at_rest).unwrap();
        let column = view.columns.iter().position(|column| column.key == "tyre-gap");
        column.map(|column| view.rows[0].values[column].unwrap())
    };
    let usual = gap(DEMO).unwrap();
    // A tyre 9.75 mm larger in radius takes at most as much.
    let larger = gap(&DEMO.replace("195/60 R15", "195/65 R15")).unwrap();
    assert!(usual > 0.0 && (1.0..=9.76).contains(&(usual - larger)), "{usual} {larger}");
    assert!(gap(&DEMO.replace("tyre = \"195/60 R15 88T\"\n", "")).is_none(), "no size, no gap");
    // With its seat beside the tyre the two would overlap, and an impossible gap is no answer.
    let beside = DEMO.replace("spring-lower-seat = [-18, 585, 655]", "spring-lower-seat = [-10, 610, 500]");
    let view = curves(&car(&beside), &at_rest).unwrap();
    assert!(
        gap(&beside).is_none() && view.notes.iter().any(|note| note.contains("overlap")),
        "{:?}",
        view.notes
    );
}

fn each(view: &HeightView, of: fn(&CornerHeight) -> f64) -> [f64; 4] {
    [0, 1, 2, 3].map(|i| of(&view.corners[i]))
}

#[test]
fn forces_are_in_balance_at_every_corner_and_over_the_car() {
    let wanted = HeightWanted { want: texts(&["front-left=350 mm", "rear=361 mm"]), ..level() };
    for wanted in [level(), wanted] {
        let view = height(&demo(), None, &wanted).unwrap();
        let force = each(&view, |c| c.force.value.unwrap());
        let ratio = each(&view, |c| c.ratio.value.unwrap());
        let load = each(&view, |c| c.load.value.unwrap());
        let travel = each(&view, |c| c.height.value.unwrap()).map(|height| -height);
        for i in 0..4 {
            let (bar, unsprung) = if i < 2 { (9.5, 38.0) } else { (6.0, 32.0) };
            let rest = if i < 2 { [366.0, 366.0] } else { [371.0, 371.0] };
            let across = (travel[i] + rest[0]) - (travel[i ^ 1] + rest[1]);
            let carried = force[i] * ratio[i] + bar * across + unsprung * GRAVITY;
            assert!((carried - load[i]).abs() < 0.01, "corner {i}: {carried} N carry {} N", load[i]);
        }
        assert!((load.iter().sum::<f64>() - 1180.0 * GRAVITY).abs() < 1e-6, "{load:?}");
        let front = load[0] + load[1];
        assert!((front - 718.0 * GRAVITY).abs() < 1e-6, "weight stays on its axle: {front}");
        let left = 739.0 * (load[0] - load[1]) + 733.0 * (load[2] - load[3]);
        let before = (739.0 * 14.0 + 733.0 * 6.0) * GRAVITY;
        assert!((left - before).abs() < 1.0, "and on its side: {left} {before}");
    }
}

#[test]
fn an_axles_mass_is_shared_by_its_wheels() {
    let wanted = HeightWanted { load: texts(&["front=718 kg"]), ..level() };
    let view = height(&demo(), None, &wanted).unwrap();
    let load = each(&view, |c| c.load.value.unwrap());
    assert!((load[0] - 359.0 * GRAVITY).abs() < 1e-6 && (load[1] - load[0]).abs() < 1e-6, "{load:?}");
    assert!(view.inputs.iter().any(|i| i.what == "mass on front-left" && i.typical), "{:?}", view.inputs);
    assert!(view.corners[0].load.spread.unwrap() > 0.0);
}

#[test]
fn a_known_damper_gives_its_ratio_and_typical_ends_open_what_follows_from_them() {
    // 2 √(k m) for the wheel rate and the sprung mass that the view itself shows.
    let damped = DEMO.replace("bump_rate = 55", "bump_rate = 55\nrate = 1500");
    let view = height(&car(&damped), None, &level()).unwrap();
    let corner = &view.corners[0];
    let sprung = corner.load.value.unwrap() / GRAVITY - 38.0;
    let rate = corner.wheel_rate.value.unwrap() * 1000.0;
    // The damper's motion ratio at rest, from its length by the curve.
    let at_rest = at_rest();
    let curve = curves(&car(&damped), &at_rest).unwrap();
    let column = curve.columns.iter().position(|column| column.key == "damper-ratio").unwrap();
    let ratio = curve.rows[0].values[column].unwrap();
    let expected = 1500.0 * ratio.powi(2) / (2.0 * (rate * sprung).sqrt());
    assert!((corner.damping.value.unwrap() - expected).abs() < 1e-4, "{corner:?} {expected}");
    assert!(view.corners[2].damping.value.is_none(), "no rate, no ratio");
    let typical = DEMO.replace(
        "bump_rate = 55\nprovenance = \"manual\"\nsource = \"Wagtail workshop sheet 40-02 (invented)\"\n",
        "bump_rate = 55\n",
    );
    let view = height(&car(&typical), None, &level()).unwrap();
    assert!((view.corners[0].droop_left.spread.unwrap() - 15.0).abs() < 1e-6, "{:?}", view.corners[0]);
    assert!(view.inputs.iter().any(|input| input.typical && input.what == "front, travel to full droop"));
}

/// Φ by Simpson's rule over the density: an independent way to the normal distribution.
fn normal_share(from: f64, to: f64) -> f64 {
    let steps = 4000;
    let h = (to - from) / f64::from(steps);
    let density = |x: f64| (-x * x / 2.0).exp() / std::f64::consts::TAU.sqrt();
    let weight = |i: i32| if i == 0 || i == steps { 1.0 } else { f64::from(2 + 2 * (i % 2)) };
    (0..=steps).map(|i| weight(i) * density(from + f64::from(i) * h)).sum::<f64>() * h / 3.0
}

fn job(text: &str, readings: &[(&str, &str)]) -> (axlestand_garage::Job, tempfile::TempDir) {
    let (mut garage, folder) = demo_car::started(text);
    for (id, text) in readings {
        garage.read(id, text, &ReadWith::default()).unwrap();
    }
    let job = garage.job().unwrap();
    (job, folder)
}

#[test]
fn in_tolerance_is_the_share_of_the_normal_distribution_within_the_limits() {
    let (job, _folder) = job(DEMO, &[("toe-front", "0.3 ± 0.06 °")]);
    let wanted = PreviewWanted { lower: Some("10".to_owned()), ..PreviewWanted::default() };
    let view = preview(&job.car, Some(&job), &wanted).unwrap();
    let toe = view.axles[0].angles.iter().find(|angle| angle.name == "total toe").unwrap();
    // The file's target is 0.10° ± 0.15° of total toe.
    let (after, u) = (toe.after.unwrap(), toe.u.unwrap());
    let expected = normal_share((-0.05 - after) / u, (0.25 - after) / u);
    assert!((0.05..0.95).contains(&expected), "a telling case: {expected}");
    assert!((toe.probability.unwrap() - expected).abs() < 1e-6, "{toe:?} {expected}");
}

#[test]
fn a_joint_that_binds_within_the_travel_keeps_the_car_off_the_road() {
    let reasons = |text: &str| -> Vec<String> {
        check_road(&job(text, &[]).0, axlestand_garage::Units::Metric)
            .reasons
            .into_iter()
            .map(|reason| reason.text)
            .collect()
    };
    let tight = DEMO.replace("axle_outer_joint = \"46°\"", "axle_outer_joint = \"30°\"");
    let texts = reasons(&tight);
    let found: Vec<_> = texts.iter().filter(|text| text.contains("outer joint")).collect();
    assert_eq!(found.len(), 2, "left and right: {texts:?}");
    assert!(found[0].contains("more than the 30.0° allowed [manual: Wagtail parts sheet 40-09"), "{found:?}");
    assert!(!reasons(DEMO).iter().any(|text| text.contains("allowed")));
}

/// Every number of a JSON value is written as a number or as null, never as the text of none.
fn sound(value: &Value) -> bool {
    match value {
        Value::String(text) => !text.contains("NaN") && !text.contains("inf "),
        Value::Array(list) => list.iter().all(sound),
        Value::Object(map) => map.values().all(sound),
        _ => true,
    }
}

/// serde_json writes NaN as null: what has no value is `None` on purpose only where a wheel does
/// not get, so numbers are looked at before they are written.
fn finite(values: impl IntoIterator<Item = Option<f64>>) -> bool {
    values.into_iter().flatten().all(f64::is_finite)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn no_travel_gives_a_number_that_is_none(from in -400.0..400.0_f64, span in 0.0..300.0_f64) {
        let to = (from + span).min(400.0);
        let wanted = CurvesWanted { axle: "front".to_owned(), side: Hand::Left, from, to, step: 37.0, racks: Racks::Straight, units: axlestand_garage::Units::Metric, };
        let view = curves(&demo(), &wanted).unwrap();
        for row in &view.rows {
            prop_assert!(finite(row.values.iter().copied()) && finite([row.height]));
            prop_assert!(row.trouble.is_none() || row.values.iter().all(Option::is_none));
        }
        prop_assert!(sound(&serde_json::to_value(&view).unwrap()));
    }

    #[test]
    fn no_height_gives_a_number_that_is_none(
        loads in proptest::array::uniform4(20.0..3000.0_f64),
        now in proptest::array::uniform4(150.0..600.0_f64),
        want in 150.0..600.0_f64,
        cross in 30.0..70.0_f64,
        rate in 1.0..200.0_f64,
        free in 100.0..900.0_f64,
    ) {
        let wheels = ["front-left", "front-right", "rear-left", "rear-right"];
        let list = |values: [f64; 4], unit: &str| -> Vec<String> {
            wheels.iter().zip(values).map(|(wheel, value)| format!("{wheel}={value} {unit}")).collect()
        };
        let wanted = HeightWanted {
            now: list(now, "mm"),
            want: vec![format!("front={want} mm")],
            cross: Some(format!("{cross}")),
            load: list(loads, "kg"),
            front_spring: Some(format!("{rate} N/mm x {free} mm")),
            ..HeightWanted::default()
        };
        match height(&demo(), None, &wanted) {
            Ok(view) => {
                for c in &view.corners {
                    let values = [
                        c.height, c.travel, c.load, c.force, c.ratio, c.wheel_rate, c.frequency, c.damping,
                        c.collar_change, c.bump_left, c.droop_left, c.hold_at_droop, c.energy, c.to_bind,
                    ];
                    prop_assert!(finite(values.iter().flat_map(|value| [value.value, value.spread])), "{c:?}");
                }
                prop_assert!(finite([view.cross_weight.value, view.aim_percent]));
                prop_assert!(sound(&serde_json::to_value(&view).unwrap()));
            }
            Err(why) => prop_assert!(!why.to_string().contains("NaN"), "{why}"),
        }
    }

    #[test]
    fn no_preview_gives_a_number_that_is_none(front in -150.0..150.0_f64, rear in -150.0..150.0_f64) {
        let wanted = PreviewWanted {
            front: Some(format!("{front} mm")),
            rear: Some(format!("{rear}")),
            ..PreviewWanted::default()
        };
        let view = preview(&demo(), None, &wanted).unwrap();
        for axle in &view.axles {
            prop_assert!(axle.missing.is_some() || !axle.angles.is_empty());
            for angle in &axle.angles {
                let values = [angle.before, Some(angle.change), angle.change_spread, angle.after, angle.u];
                prop_assert!(finite(values) && finite([angle.probability]), "{angle:?}");
            }
            prop_assert!(axle.joints.iter().all(|joint| joint.value.is_finite()));
        }
        prop_assert!(finite([view.aim_percent]) && sound(&serde_json::to_value(&view).unwrap()));
    }
}

#[test]
fn a_live_axle_or_a_twist_beam_says_what_it_cannot() {
    let beam = "format = 1\n[car]\nname = \"x\"\n[axle.rear]\nlayout = \"twist-beam\"\n";
    let car = car(beam);
    let why = steering(&car, "rear", axlestand_garage::Units::Metric).unwrap_err().to_string();
    assert!(why.contains("twist beam") && why.contains("one by one"), "{why}");
    let why = height(&car, None, &HeightWanted::default()).unwrap_err().to_string();
    assert!(why.contains("weighbridge"), "{why}");
}
