//! Axles that carry both wheels, from the file to curves and previews.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_garage::geometry::{
    CurvesView, CurvesWanted, HeightWanted, PreviewView, PreviewWanted, Racks, curves, height, preview,
    roll_curves,
};
use axlestand_garage::{Hand, vehicle};
use axlestand_model::car::Car;

const DEMO: &str = include_str!("../../../cars/wagtail.toml");
const LIVE: &str = include_str!("../../../tests/cars/good/live-axle.toml");

/// A twist beam by round numbers, invented.
const BEAM: &str = r#"
format = 1
[car]
name = "Beam"
track_rear = "1460 mm"
[axle.rear]
layout = "twist-beam"
tyre_radius = "290 mm"
camber = "0°"
toe = "0°"
hub_to_arch = "370 mm"
provenance = "measured"
source = "invented"
[axle.rear.points]
wheel-centre = [0, 730, 300]
beam-pivot = [400, 560, 300]
beam-shear-centre = [250, 0, 330]
"#;

fn car(text: &str) -> Car {
    let reading = vehicle::read_car(text);
    reading.car.unwrap_or_else(|| panic!("{:?}", reading.findings))
}

fn rear(from: f64, to: f64, step: f64) -> CurvesWanted {
    CurvesWanted {
        axle: "rear".to_owned(),
        side: Hand::Left,
        from,
        to,
        step,
        racks: Racks::Straight,
        units: axlestand_garage::Units::Metric,
    }
}

fn value(view: &CurvesView, row: usize, key: &str) -> f64 {
    let column = view.columns.iter().position(|column| column.key == key).unwrap_or_else(|| panic!("{key}"));
    view.rows[row].values[column].unwrap()
}

fn lowered(text: &str, by: &str) -> PreviewView {
    let wanted = PreviewWanted { lower: Some(by.to_owned()), ..PreviewWanted::default() };
    preview(&car(text), None, &wanted).unwrap()
}

#[test]
fn a_twist_beam_in_a_file_has_the_roll_centre_of_the_drawing() {
    let view = curves(&car(BEAM), &rear(-20.0, 20.0, 20.0)).unwrap();
    assert_eq!((view.against, view.wheels), ("travel", "both wheels together"));
    // By hand: the line from pivot to shear centre meets the plane of the wheel centres at
    // (0, −933.33, 380); from there to the contact point (0, 730, 10) it is 172.385 in the middle.
    assert!((value(&view, 1, "roll-centre") - 162.385).abs() < 1e-3);
    // The arms turn about (−150, −560, 30): toe follows the last, per 249 500 mm³, times half the track.
    assert!((value(&view, 1, "roll-steer") + 30.0 / 249_500.0 * 730.0).abs() < 1e-9);
    assert!((value(&view, 0, "pivot-turn") + (20.0_f64 / 400.0).asin().to_degrees()).abs() < 1e-9);
    assert!(view.rows.iter().all(|row| row.trouble.is_none()));
    // Only the balance is typical here, and it moves no angle.
    assert!(view.rows.iter().all(|row| row.spread.as_ref().unwrap()[0] == Some(0.0)));
    assert!(view.notes.iter().any(|note| note.contains("10 or 20 %")), "{:?}", view.notes);
}

#[test]
fn rolling_mirrors_left_and_right_and_a_live_axle_keeps_its_camber_to_the_road() {
    for text in [DEMO, LIVE] {
        let view = roll_curves(&car(text), &rear(-40.0, 40.0, 20.0)).unwrap();
        assert_eq!(view.against, "opposite-travel");
        let last = view.rows.len() - 1;
        // The beam and its mirror image; a Panhard rod makes a live axle differ a little.
        if text == DEMO {
            for row in 0..=last {
                let other = last - row;
                assert!(
                    (value(&view, row, "camber-left") - value(&view, other, "camber-right")).abs() < 1e-9
                );
                assert!((value(&view, row, "steer") + value(&view, other, "steer")).abs() < 1e-9);
            }
        } else {
            for row in 0..=last {
                let to_road = value(&view, row, "road-camber-left");
                assert!(to_road.abs() < 0.01, "an axle stays square to the road: {to_road}");
            }
        }
        // 80 mm between the wheel centres over the track between them.
        let half = car(text).axles.iter().find(|a| a.name == "rear").unwrap().points["wheel-centre"][1];
        let roll = (40.0 / half).atan().to_degrees();
        assert!((value(&view, last, "roll") - roll).abs() < 0.05, "{roll}");
    }
}

#[test]
fn wheels_hung_one_by_one_roll_as_their_own_curves_say() {
    let front = |from: f64, to: f64| CurvesWanted { axle: "front".to_owned(), ..rear(from, to, 30.0) };
    let demo = car(DEMO);
    let alone = curves(&demo, &front(-30.0, 30.0)).unwrap();
    let rolled = roll_curves(&demo, &front(30.0, 30.0)).unwrap();
    assert!((value(&rolled, 0, "camber-left") - value(&alone, 2, "camber")).abs() < 1e-9);
    assert!((value(&rolled, 0, "camber-right") - value(&alone, 0, "camber")).abs() < 1e-9);
    assert!((value(&rolled, 0, "toe-right") - value(&alone, 0, "toe")).abs() < 1e-9);
}

#[test]
fn a_live_axle_in_a_file_is_the_recorded_one() {
    // From an independent multibody program (SOURCES.md, mujoco): wheels +40 and −40 mm.
    let view = roll_curves(&car(LIVE), &rear(40.0, 40.0, 10.0)).unwrap();
    assert!((value(&view, 0, "sideways") - 1.8365).abs() < 1e-4);
    assert!((value(&view, 0, "steer") - 0.24773).abs() < 1e-4);
    assert!((value(&view, 0, "roll") - 3.2758).abs() < 1e-4);
    let view =
        curves(&car(LIVE), &CurvesWanted { axle: "front".to_owned(), ..rear(0.0, 20.0, 20.0) }).unwrap();
    assert!(view.notes.iter().any(|note| note.contains("leaf springs")), "{:?}", view.notes);
}

#[test]
fn lowering_is_the_difference_of_the_curves_and_is_held_against_targets() {
    let table = curves(&car(DEMO), &rear(0.0, 30.0, 30.0)).unwrap();
    let view = lowered(DEMO, "30 mm");
    let axle = &view.axles[1];
    let angle = |name: &str| axle.angles.iter().find(|a| a.name.starts_with(name)).unwrap();
    assert!(
        (angle("camber").change - (value(&table, 1, "camber") - value(&table, 0, "camber"))).abs() < 1e-9
    );
    let toe = 2.0 * (value(&table, 1, "toe") - value(&table, 0, "toe"));
    assert!((angle("total toe").change - toe).abs() < 1e-9 && toe > 0.1, "{toe}");
    assert!(axle.adjust.iter().any(|text| text == "40 mm of travel are left to the bump stop"), "{axle:?}");
    assert!(view.notes.iter().any(|note| note.contains("twist beam is a textbook approximation")));
    // A target of the file is judged, and what is out says that nothing turns it.
    let target = "\n[reading.toe-rear]\nname = \"toe, rear\"\nkind = \"toe\"\naxle = \"rear\"\nunit = \"°\"\nu = \"0.05°\"\nplace = \"around\"\nminutes = 5\n[target.toe-rear-target]\nname = \"toe, rear\"\nreading = \"toe-rear\"\nvalue = \"0.1°\"\ntolerance = \"0.1°\"\nprovenance = \"manual\"\nsource = \"invented\"\n";
    let view = lowered(&format!("{DEMO}{target}"), "30 mm");
    let toe = view.axles[1].angles.iter().find(|a| a.name == "total toe").unwrap();
    assert!(toe.verdict.as_ref().unwrap().starts_with("outside the limits ("), "{toe:?}");
    assert!(
        view.axles[1].adjust[0].contains("total toe: nothing on a twist beam turns it"),
        "{:?}",
        view.axles[1].adjust
    );
}

#[test]
fn typical_points_leave_a_spread() {
    let typical = BEAM.replace("provenance = \"measured\"\nsource = \"invented\"\n", "");
    let view = curves(&car(&typical), &rear(0.0, 20.0, 20.0)).unwrap();
    let at = view.columns.iter().position(|column| column.key == "roll-centre").unwrap();
    let spread = view.rows[0].spread.as_ref().unwrap()[at].unwrap();
    assert!((5.0..60.0).contains(&spread), "{spread}");
    let view = lowered(&typical, "20 mm");
    assert!(view.axles[0].angles.iter().any(|a| a.change_spread.is_some_and(|s| s > 0.0)));
}

#[test]
fn travel_ends_where_the_damper_does() {
    // A damper that stands over the wheel centre is as much shorter as the wheel rises, to the arc.
    let damped = format!(
        "{BEAM}damper-lower-mount = [0, 640, 300]\ndamper-upper-mount = [0, 640, 700]\n[axle.rear.damper]\nclosed = \"350 mm\"\nopen = \"470 mm\"\n"
    );
    let view = curves(&car(&damped), &rear(-80.0, 60.0, 140.0)).unwrap();
    assert!((view.bump.unwrap() - 50.0).abs() < 1.0 && (view.droop.unwrap() + 70.0).abs() < 1.0, "{view:?}");
    assert_eq!(
        view.rows.iter().map(|row| row.beyond).collect::<Vec<_>>(),
        [Some("full droop"), Some("bump stop")]
    );
}

#[test]
fn what_is_missing_is_named() {
    let without = BEAM.replace("beam-pivot = [400, 560, 300]\nbeam-shear-centre = [250, 0, 330]\n", "");
    let why = curves(&car(&without), &rear(0.0, 10.0, 10.0)).unwrap_err().to_string();
    assert!(why.contains("beam-pivot, beam-shear-centre") && why.contains("[axle.rear.points]"), "{why}");
    let bare = "format = 1\n[car]\nname = \"x\"\n[axle.rear]\nlayout = \"live-axle\"\n";
    let why = roll_curves(&car(bare), &rear(0.0, 10.0, 10.0)).unwrap_err().to_string();
    assert!(why.contains("four rods") && why.contains("leaf-spring-front-eye"), "{why}");
    let view = lowered(bare, "20 mm");
    assert!(view.axles[0].missing.is_some() && view.axles[0].angles.is_empty());
    // An axle that cannot get there says so in its rows.
    let view = curves(&car(BEAM), &rear(-400.0, 400.0, 400.0)).unwrap();
    assert!(view.rows[0].trouble.is_some() && view.rows[1].trouble.is_none(), "{:?}", view.rows[0]);
}

/// Wheelbase 2500 mm, centre of gravity at 550 mm, 30 % of the brakes at the rear.
fn balanced(axle: &str, driven: &str) -> Car {
    let general = format!(
        "name = \"Beam\"\nwheelbase = \"2500 mm\"\n{driven}\n[car.balance]\ncg_height = \"550 mm\"\nbrake_share_front = 0.7\nprovenance = \"measured\"\nsource = \"invented\"\n"
    );
    car(&axle.replace("name = \"Beam\"\ntrack_rear = \"1460 mm\"\n", &general))
}

/// A trailing arm with a level pivot 400 mm ahead of the wheel and 50 mm above its centre, invented.
const ARM: &str = r#"
format = 1
[car]
name = "Beam"
track_rear = "1460 mm"
[axle.rear]
layout = "semi-trailing"
tyre_radius = "290 mm"
camber = "0°"
toe = "0°"
provenance = "measured"
source = "invented"
[axle.rear.points]
wheel-centre = [0, 730, 300]
arm-inner-pivot = [400, 350, 350]
arm-outer-pivot = [400, 600, 350]
"#;

#[test]
fn what_the_links_carry_is_worked_by_hand() {
    // The beam's pivot is 290 mm above the ground and 400 mm ahead: 290/400 · 0.3 · 2500/550.
    let view = curves(&balanced(BEAM, ""), &rear(0.0, 0.0, 1.0)).unwrap();
    assert!((value(&view, 0, "side-arm") - 400.0).abs() < 1e-6);
    assert!((value(&view, 0, "side-centre") - 290.0).abs() < 1e-6);
    assert!((value(&view, 0, "anti-lift-braking") - 98.864).abs() < 1e-3);
    assert!(view.columns.iter().all(|column| column.key != "anti-squat"), "nobody says what is driven");
    // The arm's pivot is 340 mm above the ground; driven through shafts, the wheel centre counts:
    // 340/400 · 0.3 · 2500/550 and 50/400 · 2500/550.
    let view = curves(&balanced(ARM, "driven = \"rear\""), &rear(0.0, 0.0, 1.0)).unwrap();
    assert!((value(&view, 0, "anti-lift-braking") - 115.909).abs() < 1e-3);
    assert!((value(&view, 0, "anti-squat") - 56.818).abs() < 1e-3);
    assert!(view.inputs.iter().all(|input| !input.typical), "{:?}", view.inputs);
    // Driven at the front the rear wheels do not pull.
    let view = curves(&balanced(ARM, "driven = \"front\""), &rear(0.0, 0.0, 1.0)).unwrap();
    assert!(view.columns.iter().all(|column| column.key != "anti-squat"));
    // All wheels driven: half of it at the rear, typical, from 0.3 to 0.7.
    let view = curves(&balanced(ARM, "driven = \"all\""), &rear(0.0, 0.0, 1.0)).unwrap();
    assert!((value(&view, 0, "anti-squat") - 28.409).abs() < 1e-3);
    let at = view.columns.iter().position(|column| column.key == "anti-squat").unwrap();
    assert!((view.rows[0].spread.as_ref().unwrap()[at].unwrap() - 0.2 * 56.818).abs() < 1e-2);
}

#[test]
fn a_live_axle_holds_the_drive_itself() {
    let live = LIVE.replace(
        "name = \"Live axles (invented)\"",
        "name = \"Live axles (invented)\"\ndriven = \"rear\"\nwheelbase = \"2500 mm\"\n[car.balance]\ncg_height = \"550 mm\"\nbrake_share_front = 0.7",
    );
    let view = curves(&car(&live), &rear(0.0, 0.0, 1.0)).unwrap();
    // The same contact point carries brakes and drive: 0.3 and all of it.
    let (braking, driving) = (value(&view, 0, "anti-lift-braking"), value(&view, 0, "anti-squat"));
    assert!((driving - braking / 0.3).abs() < 1e-6, "{braking} {driving}");
    // By its own instant centre: height over distance.
    let slope = value(&view, 0, "side-centre") / value(&view, 0, "side-arm");
    assert!((driving - 100.0 * slope * 2500.0 / 550.0).abs() < 1e-6, "{driving}");
}

#[test]
fn the_front_centre_of_a_wheel_gives_its_roll_centre() {
    // The line from the contact point to the front-view centre meets the car's middle at the roll centre.
    let view =
        curves(&car(DEMO), &CurvesWanted { axle: "front".to_owned(), ..rear(-40.0, 40.0, 40.0) }).unwrap();
    let half = 739.0;
    for row in 0..3 {
        let (arm, height) = (value(&view, row, "front-arm"), value(&view, row, "front-centre"));
        let contact = half - 298.0 * value(&view, row, "camber").to_radians().sin().abs();
        let drawn = height / arm * contact;
        // The wheel centre and the contact point are not in line below each other, so within a percent.
        let shown = value(&view, row, "roll-centre");
        assert!((shown - drawn).abs() < 0.02 * shown.abs() + 2.0, "{row}: {shown} {drawn}");
    }
    // Held up while braking, from the side-view centre: 0.72 at the front, 2585 and 560 mm.
    let slope = -value(&view, 1, "side-centre") / value(&view, 1, "side-arm");
    let drawn = 100.0 * 0.72 * slope * 2585.0 / 560.0;
    assert!((value(&view, 1, "anti-dive") - drawn).abs() < 0.3, "{drawn}");
}

#[test]
fn seats_on_a_beam_give_the_motion_ratio_of_its_springs() {
    let seated = DEMO.replace(
        "beam-pivot = [-2165, 565, 338]",
        "beam-pivot = [-2165, 565, 338]\nspring-lower-seat = [-2480, 560, 311]\nspring-upper-seat = [-2480, 560, 520]",
    );
    let now = ["front=366 mm", "rear=371 mm"].map(str::to_owned).to_vec();
    let view = height(&car(&seated), None, &HeightWanted { now, ..HeightWanted::default() }).unwrap();
    // An upright spring 315 mm behind the pivot, the wheel 420 mm behind it.
    let ratio = view.corners[2].ratio.value.unwrap();
    assert!((ratio - 315.0 / 420.0).abs() < 1e-4, "{ratio}");
    assert!(
        view.inputs.iter().any(|i| i.what == "rear, spring motion ratio" && i.from == "from the hardpoints")
    );
    let table = curves(&car(&seated), &rear(0.0, 0.0, 1.0)).unwrap();
    assert!((value(&table, 0, "spring-ratio") - ratio).abs() < 1e-4);
}

#[test]
fn a_right_wheel_of_its_own_angles_differs_by_them() {
    let own = BEAM.replace("toe = \"0°\"", "toe = \"0°\"\ncamber_right = \"-1°\"\ntoe_right = \"0.2°\"");
    let (alike, own) = (car(BEAM), car(&own));
    let (a, b) =
        (curves(&alike, &rear(-40.0, 40.0, 40.0)).unwrap(), curves(&own, &rear(-40.0, 40.0, 40.0)).unwrap());
    assert!(a.mirrored && !b.mirrored && b.side.is_none());
    assert!(a.columns.iter().all(|column| !["camber-right", "steer"].contains(&column.key)));
    for row in 0..3 {
        // The turn of the arms adds to both wheels alike, but for what a degree of camber makes of it.
        let (camber, toe) = (value(&a, row, "camber"), value(&a, row, "toe"));
        assert!((value(&b, row, "camber") - camber).abs() < 1e-9);
        assert!((value(&b, row, "camber-right") - (camber - 1.0)).abs() < 0.03, "{row}");
        let turned = value(&a, row, "pivot-turn").to_radians().sin();
        let leaned = toe + 0.2 + turned;
        assert!((value(&b, row, "toe-right") - leaned).abs() < 0.03, "{row}: {leaned}");
        let steer = (value(&b, row, "toe-right") - value(&b, row, "toe")) / 2.0;
        assert!((value(&b, row, "steer") - steer).abs() < 1e-9);
    }
    let rolled = roll_curves(&own, &rear(0.0, 0.0, 1.0)).unwrap();
    assert!((value(&rolled, 0, "camber-right") + 1.0).abs() < 1e-9 && !rolled.mirrored);
    let view =
        preview(&own, None, &PreviewWanted { lower: Some("20 mm".to_owned()), ..PreviewWanted::default() });
    let angles = view.unwrap().axles.remove(0).angles;
    let before = |name: &str| angles.iter().find(|angle| angle.name == name).unwrap().before.unwrap();
    assert!(before("camber, left").abs() < 1e-9 && (before("camber, right") + 1.0).abs() < 1e-9);
    assert!((before("total toe") - 0.2).abs() < 1e-9);
}

#[test]
fn no_rack_turns_them_and_either_side_shows_both() {
    let demo = car(DEMO);
    let grid = CurvesWanted { racks: Racks::LockToLock(None), ..rear(0.0, 10.0, 10.0) };
    for (car, name) in [(&demo, "twist beam"), (&car(LIVE), "live axle")] {
        let why = curves(car, &grid).unwrap_err().to_string();
        assert!(why.contains(name) && why.contains("leave --grid out"), "{why}");
    }
    let why = roll_curves(&demo, &CurvesWanted { axle: "front".to_owned(), ..grid }).unwrap_err().to_string();
    assert!(why.contains("straight ahead"), "{why}");
    let of = |side: Hand| curves(&demo, &CurvesWanted { side, ..rear(-20.0, 20.0, 20.0) }).unwrap();
    assert_eq!(of(Hand::Left), of(Hand::Right));
}
