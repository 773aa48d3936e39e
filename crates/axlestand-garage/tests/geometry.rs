//! Geometry of a car from its file: curves against recorded values, heights and springs against the
//! laws they keep, and what cars without points and nonsense get.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_garage::ReadWith;
use axlestand_garage::fastening::calc::CalcView;
use axlestand_garage::geometry::{
    CornerHeight, CurvesView, CurvesWanted, HeightView, HeightWanted, PreviewWanted, Racks, calc, curves,
    height, preview, steering, tie_rod_end,
};
use axlestand_garage::views::{check_road, row_view};
use axlestand_garage::{
    Action, CountingClock, Details, Garage, GarageError, Hand, Job, StartJob, Units, Verb, vehicle,
};
use axlestand_geometry::kinematics::Point;
use axlestand_model::ItemId;
use axlestand_model::car::Car;

const DEMO: &str = include_str!("../../../cars/wagtail.toml");

/// The invented strut whose curves were recorded from an independent multibody solution (see
/// `bench/` and crates/axlestand-geometry/tests/data/strut.csv).
const RECORDED: &str = r#"
format = 1
[car]
name = "Recorded strut"
wheelbase = "2600 mm"
[axle.front]
layout = "strut"
tyre_radius = "290 mm"
camber = "-0.5°"
toe = "0°"
provenance = "measured"
source = "invented"
[axle.front.points]
wheel-centre = [0, 735, 290]
lower-ball-joint = [5, 690, 190]
lower-arm-front-pivot = [10, 345, 212]
lower-arm-rear-pivot = [-300, 370, 222]
strut-top-mount = [-25, 565, 800]
strut-lower-point = [-6, 628, 420]
inner-tie-rod-joint = [-140, 330, 238]
outer-tie-rod-joint = [-140, 665, 222]
"#;

fn car(text: &str) -> Car {
    let reading = vehicle::read_car(text);
    reading.car.unwrap_or_else(|| panic!("{:?}", reading.findings))
}

fn demo() -> Car {
    car(DEMO)
}

fn range(from: f64, to: f64, step: f64) -> CurvesWanted {
    CurvesWanted {
        axle: "front".to_owned(),
        side: Hand::Left,
        from,
        to,
        step,
        racks: Racks::Straight,
        units: Units::Metric,
    }
}

fn value(view: &CurvesView, row: usize, key: &str) -> f64 {
    let column = view.columns.iter().position(|column| column.key == key).unwrap_or_else(|| panic!("{key}"));
    view.rows[row].values[column].unwrap()
}

#[test]
fn curves_of_a_file_are_the_recorded_ones() {
    let view = curves(&car(RECORDED), &range(-80.0, 80.0, 10.0)).unwrap();
    let recorded = include_str!("../../axlestand-geometry/tests/data/strut.csv");
    // Scrub, trail and roll centre were recorded for a contact point carried by the knuckle; here they
    // are those of the lowest point of the wheel, so the two agree at rest.
    let keys = [("camber", 1), ("toe", 2), ("caster", 3), ("inclination", 4), ("spring-ratio", 10)];
    let mut compared = 0;
    for line in recorded.lines().filter(|line| !line.starts_with('#')) {
        let cells: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
        let Some(row) = view.rows.iter().position(|row| (row.travel - cells[0]).abs() < 1e-9) else {
            continue;
        };
        for (key, column) in keys {
            let (mine, theirs) = (value(&view, row, key), cells[column]);
            assert!((mine - theirs).abs() < 1e-6, "{key} at {}: {mine}, recorded {theirs}", cells[0]);
            compared += 1;
        }
        if cells[0].abs() < 1e-9 {
            assert!((value(&view, row, "scrub") - cells[5]).abs() < 1e-6);
            assert!((value(&view, row, "trail") - cells[6]).abs() < 1e-6);
            assert!((value(&view, row, "roll-centre") - cells[7]).abs() < 1e-6);
        }
    }
    assert!(compared >= 5 * 9, "{compared} values were compared");
}

#[test]
fn the_demo_car_has_sensible_curves_without_typical_inputs() {
    let view = curves(&demo(), &range(-60.0, 60.0, 10.0)).unwrap();
    assert!(view.inputs.iter().all(|input| !input.typical), "{:?}", view.inputs);
    assert!(view.rows.iter().all(|row| row.trouble.is_none() && row.spread.is_none()));
    let middle = view.rows.iter().position(|row| row.travel.abs() < 1e-9).unwrap();
    assert!((50.0..120.0).contains(&value(&view, middle, "roll-centre")));
    assert!((value(&view, middle, "camber") - -0.6).abs() < 1e-9, "the file's own camber");
    assert!(value(&view, middle + 3, "camber") < value(&view, middle, "camber"), "gains camber in bump");
    let per_mm = (value(&view, middle + 1, "toe") - value(&view, middle - 1, "toe")) / 20.0;
    assert!(per_mm.abs() < 0.006, "bump steer {per_mm}");
    for row in &view.rows {
        assert!((row.height.unwrap() + row.travel - 366.0).abs() < 1e-9);
    }
}

#[test]
fn typical_inputs_are_named_and_their_spread_is_shown() {
    let open = RECORDED.replace("camber = \"-0.5°\"\n", "").replace("tyre_radius = \"290 mm\"\n", "");
    let view = curves(&car(&open), &range(-20.0, 20.0, 20.0)).unwrap();
    let typical: Vec<&str> =
        view.inputs.iter().filter(|input| input.typical).map(|input| input.what.as_str()).collect();
    let balance = ["height of the centre of gravity", "share of the brakes at the front"];
    assert_eq!(typical, [&["loaded tyre radius", "static camber"], &balance[..]].concat());
    let column = view.columns.iter().position(|column| column.key == "camber").unwrap();
    let spread = view.rows[1].spread.as_ref().unwrap()[column].unwrap();
    // Static camber is varied by 1° to both sides, and nothing else moves camber at rest.
    assert!((spread - 1.0).abs() < 1e-9, "{spread}");
    let typical_points = RECORDED.replace("provenance = \"measured\"\nsource = \"invented\"\n", "");
    let view = curves(&car(&typical_points), &range(0.0, 20.0, 20.0)).unwrap();
    let points = view.inputs.iter().find(|input| input.what == "hardpoints").unwrap();
    assert!(points.typical && points.range.is_some());
    assert!(view.rows[1].spread.as_ref().unwrap().iter().any(|spread| spread.is_some_and(|s| s > 0.01)));
}

#[test]
fn steering_is_the_same_to_both_sides() {
    let view = steering(&demo(), "front", Units::Metric).unwrap();
    let last = view.rows.len() - 1;
    for (i, row) in view.rows.iter().enumerate() {
        let other = &view.rows[last - i];
        assert!((row.left.unwrap() + other.right.unwrap()).abs() < 1e-9, "headings mirror");
        assert!((row.left_camber.unwrap() - other.right_camber.unwrap()).abs() < 1e-9, "cambers mirror");
    }
}

#[test]
fn every_point_may_be_written_in_a_file() {
    for point in Point::ALL {
        let word = point.name().replace(' ', "-");
        let text = format!(
            "format = 1\n[car]\nname = \"x\"\n[axle.front]\nlayout = \"strut\"\n[axle.front.points]\n{word} = [0, 500, 300]\n"
        );
        let reading = vehicle::read_car(&text);
        assert!(reading.findings.iter().all(|f| f.code != "unknown-point"), "{word}: {:?}", reading.findings);
    }
}

#[test]
fn what_is_missing_is_named() {
    let without = RECORDED.replace("lower-ball-joint = [5, 690, 190]\n", "");
    let why = curves(&car(&without), &range(0.0, 10.0, 10.0)).unwrap_err().to_string();
    assert!(why.contains("lower-ball-joint") && !why.contains("wheel-centre"), "{why}");
    let beam = DEMO.replace("beam-pivot = [-2165, 565, 338]\n", "");
    let why =
        curves(&car(&beam), &CurvesWanted { axle: "rear".to_owned(), ..range(0.0, 1.0, 1.0) }).unwrap_err();
    let why = why.to_string();
    assert!(why.contains("beam-pivot on the left side") && !why.contains("beam-shear-centre"), "{why}");
    let why =
        curves(&demo(), &CurvesWanted { axle: "middle".to_owned(), ..range(0.0, 1.0, 1.0) }).unwrap_err();
    assert!(why.to_string().contains("front, rear"), "{why}");
    for bad in
        [range(10.0, -10.0, 1.0), range(0.0, 10.0, 0.0), range(0.0, f64::NAN, 1.0), range(-900.0, 900.0, 1.0)]
    {
        assert!(curves(&demo(), &bad).is_err(), "{bad:?}");
    }
}

fn texts(list: &[&str]) -> Vec<String> {
    list.iter().map(|text| (*text).to_owned()).collect()
}

/// The demo car at its own heights.
fn level() -> HeightWanted {
    HeightWanted { now: texts(&["front=366 mm", "rear=371 mm"]), ..HeightWanted::default() }
}

fn each(view: &HeightView, of: fn(&CornerHeight) -> f64) -> [f64; 4] {
    [0, 1, 2, 3].map(|i| of(&view.corners[i]))
}

#[test]
fn heights_that_were_read_are_the_heights_it_stands_at() {
    let view = height(&demo(), None, &level()).unwrap();
    for (stands, read) in each(&view, |c| c.height.value.unwrap()).iter().zip([366.0, 366.0, 371.0, 371.0]) {
        assert!((stands - read).abs() < 1e-6, "{stands} {read}");
    }
    let weight: f64 = each(&view, |c| c.load.value.unwrap()).iter().sum();
    assert!((weight - 1180.0 * 9.80665).abs() < 1e-6, "{weight}");
    assert!(!view.changes && view.dangers.is_empty(), "{:?}", view.dangers);
}

#[test]
fn wanted_heights_and_cross_weight_are_met_and_weight_stays() {
    let wanted = HeightWanted {
        want: texts(&["front=346 mm", "rear=356 mm"]),
        cross: Some("50 %".to_owned()),
        ..level()
    };
    let view = height(&demo(), None, &wanted).unwrap();
    assert!((view.cross_weight.value.unwrap() - 50.0).abs() < 1e-6);
    let loads = each(&view, |c| c.load.value.unwrap());
    assert!((loads.iter().sum::<f64>() - 1180.0 * 9.80665).abs() < 1e-6);
    // Collars cannot move weight between the axles.
    assert!((loads[0] + loads[1] - 718.0 * 9.80665).abs() < 1.0, "{loads:?}");
    for (stands, wanted) in each(&view, |c| c.height.value.unwrap()).iter().zip([346.0, 346.0, 356.0, 356.0])
    {
        // Four heights are one too many for a rigid body on four tyres.
        assert!((stands - wanted).abs() < 1.0, "{stands} {wanted}");
    }
    assert!(each(&view, |c| c.collar_change.value.unwrap()).iter().all(|change| *change < 0.0));
    assert!(view.notes.iter().any(|note| note.contains("describes no collar")), "{:?}", view.notes);
}

#[test]
fn a_car_alike_on_both_sides_is_set_alike() {
    let even = HeightWanted {
        load: texts(&["front=360 kg", "rear=230 kg"]),
        want: texts(&["front=350 mm"]),
        ..level()
    };
    let view = height(&demo(), None, &even).unwrap();
    let changes = each(&view, |c| c.collar_change.value.unwrap());
    assert!((changes[0] - changes[1]).abs() < 1e-6 && (changes[2] - changes[3]).abs() < 1e-6, "{changes:?}");
    // The spring's space shrinks by the mean motion ratio times 16 mm; what else the collar moves is
    // the force that the other motion ratio asks of a spring of 24.5 N/mm.
    let before = height(&demo(), None, &HeightWanted { want: Vec::new(), ..even }).unwrap();
    let both = |of: fn(&CornerHeight) -> f64| (of(&before.corners[0]), of(&view.corners[0]));
    let ((ratio, ratio_after), (force, force_after)) =
        (both(|c| c.ratio.value.unwrap()), both(|c| c.force.value.unwrap()));
    let expected = -16.0 * (ratio + ratio_after) / 2.0 + (force_after - force) / 24.5;
    assert!((changes[0] - expected).abs() < 0.02, "{changes:?}, expected {expected}");
}

#[test]
fn a_short_spring_that_goes_loose_is_a_danger_said_first() {
    let short = HeightWanted { front_spring: Some("30 N/mm x 300 mm".to_owned()), ..level() };
    let view = height(&demo(), None, &short).unwrap();
    assert!(view.dangers[0].grave && view.dangers[0].text.contains("loose"), "{:?}", view.dangers);
    assert!(view.corners[0].hold_at_droop.value.unwrap() < 0.0);
}

#[test]
fn a_car_without_springs_or_points_gets_what_needs_none() {
    let (text, _) = template();
    let view = height(&car(&text), None, &HeightWanted::default()).unwrap();
    assert!(view.inputs.iter().any(|input| input.typical && input.what == "front, spring rate"));
    for corner in &view.corners {
        assert!(corner.wheel_rate.spread.unwrap() > 1.0, "a typical spring leaves a wide range");
        assert!(corner.hold_at_droop.value.is_none(), "nothing is said of an unknown droop");
    }
    let view = preview(&car(&text), None, &lower("20 mm")).unwrap();
    assert!(view.axles[0].missing.as_ref().unwrap().contains("wheel-centre"));
    assert!(view.axles[0].angles.is_empty());
    assert!(view.aim_percent.is_some(), "headlamp aim needs no hardpoints");
}

/// A file from the strut template.
fn template() -> (String, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("car.toml");
    vehicle::new_car("strut", &axlestand_garage::Answers::default(), &out).unwrap();
    (std::fs::read_to_string(&out).unwrap(), folder)
}

#[test]
fn nonsense_is_answered_with_what_to_write() {
    let with = |change: fn(&mut HeightWanted)| {
        let mut wanted = level();
        change(&mut wanted);
        height(&demo(), None, &wanted).unwrap_err().to_string()
    };
    assert!(with(|w| w.want = texts(&["front"])).contains("names no wheel"));
    assert!(with(|w| w.want = texts(&["fornt=350 mm"])).contains("is no wheel"));
    assert!(with(|w| w.want = texts(&["front=35 mm"])).contains("is the unit right?"));
    assert!(with(|w| w.want = texts(&["front=nan mm"])).contains("number"));
    assert!(with(|w| w.want = texts(&["front=600 mm"])).contains("no setting"));
    assert!(with(|w| w.cross = Some("5000".to_owned())).contains("cross-weight"));
    assert!(with(|w| w.front_spring = Some("stiff".to_owned())).contains("28 N/mm x 350 mm"));
    assert!(with(|w| w.load = texts(&["front=1 kg"])).contains("unit"));
    assert!(with(|w| w.load = texts(&["front=60 kg"])).contains("carry"), "lighter than its wheel");
    for text in ["", "abc", "30 30", "900 mm", "1e999 mm", "-0.0.1 mm"] {
        assert!(preview(&demo(), None, &lower(text)).is_err(), "{text}");
    }
    assert!(preview(&demo(), None, &PreviewWanted::default()).is_err());
    let bare = preview(&demo(), None, &lower("30")).unwrap();
    assert!((bare.axles[0].lower - 30.0).abs() < 1e-12, "a bare number is millimetres");
}

fn lower(text: &str) -> PreviewWanted {
    PreviewWanted { lower: Some(text.to_owned()), ..PreviewWanted::default() }
}

#[test]
fn a_preview_is_the_difference_of_the_curves() {
    let table = curves(&demo(), &range(0.0, 30.0, 30.0)).unwrap();
    let view = preview(&demo(), None, &lower("30 mm")).unwrap();
    let change = |name: &str| view.axles[0].angles.iter().find(|a| a.name.starts_with(name)).unwrap().change;
    let table_change = |key: &str| value(&table, 1, key) - value(&table, 0, key);
    assert!((change("camber") - table_change("camber")).abs() < 1e-9);
    assert!((change("total toe") - 2.0 * table_change("toe")).abs() < 1e-9);
    assert!((change("caster") - table_change("caster")).abs() < 1e-9);
    assert!((change("track") - table_change("track-change")).abs() < 1e-9);
    let toe = view.axles[0].angles.iter().find(|a| a.name == "total toe").unwrap();
    assert!(toe.verdict.as_ref().unwrap().starts_with("outside the limits ("), "{toe:?}");
    let advice = &view.axles[0].adjust[0];
    assert!(advice.contains("longer") && advice.contains("flats") && advice.contains("1.5 mm"), "{advice}");
    assert!((view.aim_percent.unwrap()).abs() < 1e-9, "both axles alike");
    let limited = view.axles[0].joints.iter().filter(|joint| joint.limit.is_some()).count();
    let unlimited = view.axles[0].joints.iter().find(|joint| joint.limit.is_none()).unwrap();
    assert!(limited >= 6 && unlimited.within.is_none(), "no limit, no verdict");
}

/// A job on a car at its start; what is read at the tie rod may be read at once, with the wheels on.
fn job(text: &str, replace: &str) -> (Garage, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("car.toml");
    let behind_wheel = "\"]\nplace = \"wheel-well\"\nafter = [\"wheel\"]\nminutes = 2";
    let text = text.replace(behind_wheel, "\"]\nplace = \"around\"\nminutes = 2");
    std::fs::write(&path, text).unwrap();
    let mut garage =
        Garage::open_or_create(&folder.path().join("garage"), Box::new(CountingClock::default())).unwrap();
    let start = StartJob { car: path, replace: texts(&[replace]), rust: 1, ..StartJob::default() };
    garage.start_job(&start).unwrap();
    (garage, folder)
}

/// The job with readings: item, value, standard uncertainty, unit.
fn with_readings(garage: &mut Garage, readings: &[(&str, f64, f64)]) -> Job {
    for (id, value, u) in readings {
        let unit = if id.contains("toe") { "°" } else { "mm" };
        garage.read(id, &format!("{value} ± {u} {unit}"), &ReadWith::default()).unwrap();
    }
    garage.job().unwrap()
}

#[test]
fn a_new_tie_rod_end_keeps_the_old_length() {
    let (mut garage, _folder) = job(DEMO, "tie-rod-end");
    let bare = garage.job().unwrap();
    let why = tie_rod_end(&bare, Hand::Left, "83 mm", Units::Metric).unwrap_err().to_string();
    assert!(why.contains("tie-rod-threads.left") && why.contains("tie-rod-length.left"), "{why}");
    let job = with_readings(
        &mut garage,
        &[("tie-rod-threads.left", 12.4, 0.3), ("tie-rod-length.left", 84.5, 0.5)],
    );
    let view = tie_rod_end(&job, Hand::Left, "83.0 ± 0.4 mm", Units::Metric).unwrap();
    // e' = e + c − c' and the root sum of squares of 0.3, 0.5 and 0.4.
    assert!((view.exposed - 13.9).abs() < 1e-9 && (view.exposed_u - 0.5_f64.sqrt()).abs() < 1e-9, "{view:?}");
    assert!(view.inputs.iter().all(|input| !input.typical), "the hardpoints give the steering arm");
    assert!((view.toe_u / view.exposed_u - 0.40).abs() < 0.05, "{view:?}");
    assert!(view.lines[0].contains("alignment is still due"));
    let row = row_view(&job, &Action::new(Verb::On, &ItemId::from_text("tie-rod-end.left")), Units::Metric);
    assert!(row.remarks.iter().any(|remark| remark.text.contains("96.9")), "{:?}", row.remarks);
    let other =
        row_view(&job, &Action::new(Verb::On, &ItemId::from_text("tie-rod-end.right")), Units::Metric);
    assert!(other.remarks.iter().all(|remark| !remark.text.contains("together")), "{:?}", other.remarks);
    assert!(
        tie_rod_end(&job, Hand::Left, "130 mm", Units::Metric)
            .unwrap_err()
            .to_string()
            .contains("does not fit")
    );
}

#[test]
fn names_of_readings_do_not_matter() {
    let renamed = DEMO.replace("tie-rod-threads", "some-thread").replace("tie-rod-length", "some-length");
    let (mut garage, _folder) = job(&renamed, "tie-rod-end");
    let job = with_readings(&mut garage, &[("some-thread.left", 12.4, 0.3), ("some-length.left", 84.5, 0.5)]);
    assert!((tie_rod_end(&job, Hand::Left, "83 mm", Units::Metric).unwrap().exposed - 13.9).abs() < 1e-9);
}

#[test]
fn readings_of_the_job_are_where_a_preview_starts() {
    let (mut garage, _folder) = job(DEMO, "control-arm");
    let job = with_readings(&mut garage, &[("toe-front", 0.3, 0.05)]);
    let view = preview(&job.car, Some(&job), &lower("10 mm")).unwrap();
    let toe = view.axles[0].angles.iter().find(|a| a.name == "total toe").unwrap();
    assert!((toe.before.unwrap() - 0.3).abs() < 1e-9 && (toe.u.unwrap() - 0.05).abs() < 1e-9);
    assert!((0.0..=1.0).contains(&toe.probability.unwrap()));
}

#[test]
fn a_hanging_final_is_refused_with_the_twist_in_degrees() {
    let (mut garage, _folder) = job(DEMO, "control-arm");
    let refused = garage.done(&texts(&["final:arm-front-bolt.left"]), &Details::default(), &[]).unwrap_err();
    let GarageError::Refused(refusal) = refused else { panic!("{refused}") };
    let twist =
        |list: &axlestand_garage::Refusal| list.reasons.iter().any(|r| r.text.contains("twisted by 14°"));
    assert!(twist(&refusal), "{refusal}");
    // A nut that twists no rubber waits for ride height too, but not for this reason.
    let refused = garage.done(&texts(&["final:jam-nut.left"]), &Details::default(), &[]).unwrap_err();
    assert!(!refused.to_string().contains("bushing"), "{refused}");
    // Without hardpoints the twist is a typical one, and says so.
    let (text, _) = template();
    let (mut garage, _folder) = job(&text, "control-arm");
    let refused = garage.done(&texts(&["final:arm-front-bolt.left"]), &Details::default(), &[]).unwrap_err();
    let text = refused.to_string();
    assert!(text.contains("13°") && text.contains("9 to 19°") && text.contains("typical"), "{text}");
}

/// The reasons why the final torque of the demo's front arm bolt is refused, the file changed.
fn hanging(change: impl Fn(&str) -> String) -> String {
    let (mut garage, _folder) = job(&change(DEMO), "control-arm");
    garage.done(&texts(&["final:arm-front-bolt.left"]), &Details::default(), &[]).unwrap_err().to_string()
}

#[test]
fn a_fastener_that_says_its_axle_gets_that_axles_twist() {
    let bolt = "[fastener.arm-front-bolt]\nname = \"control arm front bush bolt\"\nside = \"both\"\njoins = [\"control-arm\", \"subframe\"]\nduty = \"sleeve\"\naxle = ";
    let rear = |text: &str| text.replace(&format!("{bolt}\"front\""), &format!("{bolt}\"rear\""));
    // By hand: the pivot is 420 mm ahead of the wheel centre and 36 mm above it, full droop 82 mm down:
    // asin(118/421.54) − asin(36/421.54) = 16.26° − 4.90° = 11.4°.
    let text = hanging(rear);
    assert!(text.contains("bushings of the rear twist beam would be twisted by 11°"), "{text}");
    let text = hanging(str::to_owned);
    assert!(text.contains("bushings of the front control arm would be twisted by 14°"), "{text}");
    // Without points it is typical of that axle, not another axle's.
    let text = hanging(|text| rear(text).replace("beam-pivot = [-2165, 565, 338]\n", ""));
    assert!(text.contains("on a twist beam (7 to 17°)") && !text.contains("front control arm"), "{text}");
    // Without an axle the first with control arms speaks, as it always did.
    let text = hanging(|text| text.replace("axle = \"front\"\n", ""));
    assert!(text.contains("front control arm would be twisted by 14°"), "{text}");
}

fn road(job: &Job) -> Vec<String> {
    check_road(job, Units::Metric).reasons.into_iter().map(|reason| reason.text).collect()
}

#[test]
fn joints_beyond_their_limit_and_loose_springs_keep_the_car_off_the_road() {
    let (mut garage, _folder) = job(DEMO, "control-arm");
    let good = garage.job().unwrap();
    let speaks = |texts: &[String], what: &str| texts.iter().any(|text| text.contains(what));
    assert!(!speaks(&road(&good), "full droop") && !speaks(&road(&good), "at ride height the"));
    // 60 mm lower, with a joint that bears 3°.
    let low = &[("height-front.left", 306.0, 1.5), ("height-front.right", 306.0, 1.5)];
    let tight = DEMO.replace("lower_ball_joint = \"24°\"", "lower_ball_joint = \"3°\"");
    let (mut garage, _folder) = job(&tight, "control-arm");
    assert!(speaks(&road(&with_readings(&mut garage, low)), "lower ball joint on the front left"));
    // A limit that is only typical says nothing.
    let typical = tight
        .replace("source = \"Wagtail parts sheet 40-09 (invented)\"", "")
        .replace("bushing_stiffness = 2.1\nprovenance = \"manual\"", "bushing_stiffness = 2.1");
    let (mut garage, _folder) = job(&typical, "control-arm");
    assert!(!speaks(&road(&with_readings(&mut garage, low)), "lower ball joint on the front left"));
    // A stiff spring is compressed by less than the way to full droop.
    let stiff = DEMO.replace("spring_rate = 24.5", "spring_rate = 60");
    let (mut garage, _folder) = job(&stiff, "control-arm");
    let heights = [("height-front.left", 366.0, 1.5), ("height-front.right", 366.0, 1.5)];
    assert!(speaks(&road(&with_readings(&mut garage, &heights)), "spring is loose"));
}

#[test]
fn free_standing_arithmetic_gives_the_published_figures() {
    let figure = |view: &CalcView, name: &str| view.figures.iter().find(|f| f.name == name).unwrap().value;
    // ISO 8855:2011, 7.1.6 and trigonometry.
    assert!(
        (figure(&calc::toe("0.2°", "400 mm", Units::Metric).unwrap(), "total-toe-mm") - 1.3963).abs() < 1e-4
    );
    assert!(
        (figure(&calc::toe("1 mm", "400 mm", Units::Metric).unwrap(), "total-toe") - 0.14324).abs() < 1e-5
    );
    // Coil formula of machine-design texts.
    let input = calc::SpringInput {
        wire: Some("13 mm".to_owned()),
        diameter: Some("140 mm".to_owned()),
        coils: Some("5.5".to_owned()),
        force: Some("3200 N".to_owned()),
        ..calc::SpringInput::default()
    };
    let view = calc::spring(&input, Units::Metric).unwrap();
    assert!((figure(&view, "rate") - 18.5698).abs() < 1e-4 && (figure(&view, "energy") - 275.7).abs() < 0.05);
    // Exact rotation about an axis of 5° caster and 13° inclination, camber −1°.
    let input = calc::CasterInput {
        turned_left: "1.5141°".to_owned(),
        turned_right: "-1.9112°".to_owned(),
        by: "20°".to_owned(),
        straight: Some("-1°".to_owned()),
        right_wheel: false,
    };
    let view = calc::caster(&input).unwrap();
    assert!(
        (figure(&view, "caster") - 5.0).abs() < 1e-3 && (figure(&view, "inclination") - 13.0).abs() < 5e-3
    );
    let simple = calc::caster(&calc::CasterInput { straight: None, ..input }).unwrap();
    assert!((figure(&simple, "caster") - 5.0075).abs() < 1e-3);
    for bad in [
        calc::toe("0.2", "400 mm", Units::Metric),
        calc::toe("2 mm", "4 mm", Units::Metric),
        calc::spring(&calc::SpringInput::default(), Units::Metric),
    ] {
        assert!(bad.is_err());
    }
}
