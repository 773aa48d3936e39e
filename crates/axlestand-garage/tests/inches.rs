//! Who chose inches is told inches, in every sentence; numbers for programs stay in mm. Conversions by hand
//! from 1 in = 25.4 mm and 1 lbf = 4.4482216152605 N (NIST SP 811, B.8).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_garage::alignment::{
    AlignmentWanted, GaugeAsked, SurveyWanted, alignment, bump, guide, guides, survey,
};
use axlestand_garage::geometry::{
    CurvesWanted, HeightTarget, HeightWanted, PreviewWanted, Racks, calc, curves, height, preview, steering,
    tie_rod_end, travel, usual_travels,
};
use axlestand_garage::{CountingClock, Garage, Hand, ReadWith, StartJob, Units, vehicle};
use axlestand_model::car::Car;
use serde::Serialize;

const DEMO: &str = include_str!("../../../cars/wagtail.toml");

fn car(text: &str) -> Car {
    vehicle::read_car(text).car.unwrap()
}

/// Every text of a view, one a line.
fn texts(view: &impl Serialize) -> String {
    fn all(value: &serde_json::Value, into: &mut String) {
        match value {
            serde_json::Value::String(text) => *into += &format!("{text}\n"),
            serde_json::Value::Array(list) => list.iter().for_each(|one| all(one, into)),
            serde_json::Value::Object(map) => map.values().for_each(|one| all(one, into)),
            _ => {}
        }
    }
    let mut out = String::new();
    all(&serde_json::to_value(view).unwrap(), &mut out);
    out
}

/// The lines that tell millimetres; a unit by itself belongs to a number that a program reads, and a metric
/// pitch has its millimetres beside the inches.
fn in_mm(text: &str) -> Vec<&str> {
    let metric = |line: &&str| {
        let words = line.replace("1.5 mm (0.059 in)", "");
        ["mm", "N/mm", "N"].iter().all(|unit| *line != *unit)
            && ["mm", "millimet", "cm ", "N/mm"].iter().any(|unit| {
                words.match_indices(unit).any(|(at, _)| {
                    !words[..at].ends_with(char::is_alphabetic)
                        && !words[at + unit.len()..]
                            .starts_with(|c: char| c.is_ascii_lowercase() && *unit == "mm")
                })
            })
    };
    text.lines().filter(metric).collect()
}

#[test]
fn millimetres_are_found_where_they_are() {
    for line in
        ["3.2 mm of it", "24.5 N/mm [typed]", "±10 mm in each", "4 cm at 10 m", "a few millimetres", "3mm"]
    {
        assert_eq!(in_mm(line), [line]);
    }
    for line in ["mm", "N/mm", "trammel, common", "thread pitch 1.5 mm (0.059 in)", "3.2 in"] {
        assert_eq!(in_mm(line), [""; 0], "{line}");
    }
}

fn job(text: &str) -> (Garage, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("car.toml");
    std::fs::write(&path, text).unwrap();
    let mut garage =
        Garage::open_or_create(&folder.path().join("garage"), Box::new(CountingClock::default())).unwrap();
    let start = StartJob { car: path, replace: vec!["tie-rod-end.left".to_owned()], ..StartJob::default() };
    garage.start_job(&start).unwrap();
    (garage, folder)
}

/// Numbers as they are typed, by a user of inches; what was answered, and what was asked.
fn gauge(garage: &mut Garage, readings: &[(&str, &str)], at: Option<&str>, sure: bool) -> (String, String) {
    let asked = GaugeAsked {
        readings: readings.iter().map(|(place, value)| ((*place).into(), (*value).into())).collect(),
        at: at.map(str::to_owned),
        sure,
        instrument: None,
        units: Units::Inch,
    };
    let answer = garage.gauge(&asked).unwrap().answer;
    (texts(&answer.gauged), texts(&answer.questions))
}

fn level(units: Units) -> HeightWanted {
    let now = ["front=14 3/8 in", "rear=14 5/8\""].map(str::to_owned).to_vec();
    HeightWanted { now, units, ..HeightWanted::default() }
}

#[test]
fn heights_springs_and_their_inputs_are_told_in_inches() {
    let demo = car(DEMO);
    let wanted = HeightWanted {
        want: vec!["front=13 1/2 in".to_owned()],
        front_spring: Some("160 lb/in x 14 in".to_owned()),
        ..level(Units::Inch)
    };
    let view = height(&demo, None, &wanted).unwrap();
    assert_eq!(in_mm(&texts(&view)), [""; 0], "{}", texts(&view));
    assert!(texts(&view).contains("139.9 lb/in"), "24.5 N/mm: {}", texts(&view));
    // 160 lb/in are 28.0203 N/mm: the same spring typed in either unit stands alike.
    let metric = HeightWanted {
        front_spring: Some("28.02029 N/mm x 355.6 mm".to_owned()),
        units: Units::Metric,
        ..wanted.clone()
    };
    let same = height(&demo, None, &metric).unwrap();
    for (one, other) in view.corners.iter().zip(&same.corners) {
        let (one, other) = (one.height.value.unwrap(), other.height.value.unwrap());
        assert!((one - other).abs() < 1e-3, "{one} {other}");
    }
    // A number alone counts in the user's unit.
    let bare = HeightWanted { front_spring: Some("160 x 14 in".to_owned()), ..wanted.clone() };
    let force = |wanted: &HeightWanted| height(&demo, None, wanted).unwrap().corners[0].force.value.unwrap();
    assert!((force(&bare) - force(&wanted)).abs() < 1e-9);
    for (spring, says) in [
        ("soft", "160 lb/in x 14 in"),
        ("9000 lb/in x 14 in", "lb/in is not possible here"),
        ("160 lb/in x 14", "has no unit"),
        ("160 in x 14 in", "spring rate is wanted"),
        ("-160 lb/in x 14 in", "is not possible here"),
    ] {
        let wrong = HeightWanted { front_spring: Some(spring.to_owned()), ..wanted.clone() };
        let why = height(&demo, None, &wrong).unwrap_err().to_string();
        assert!(why.contains(says), "{spring}: {why}");
    }
    let far = HeightWanted { want: vec!["front=140 in".to_owned()], ..wanted };
    let why = height(&demo, None, &far).unwrap_err().to_string();
    assert!(why.contains("140 in is not possible here; from 3.94 to 35.43 in"), "{why}");
}

#[test]
fn a_height_that_nobody_read_is_said_to_be_predicted() {
    let demo = car(DEMO);
    let verdicts = |wanted: &HeightWanted| {
        let view = height(&demo, None, wanted).unwrap();
        view.corners.into_iter().map(|c| c.target.unwrap().verdict).collect::<Vec<_>>()
    };
    let is = |verdicts: Vec<String>, how: &str| verdicts.iter().all(|verdict| verdict.starts_with(how));
    // Read as the car stands.
    assert!(is(verdicts(&level(Units::Metric)), "within limits"));
    // Wanted, on other springs, or not read at all.
    let wanted = HeightWanted { want: vec!["front=360 mm".to_owned()], ..level(Units::Metric) };
    assert!(is(verdicts(&wanted), "predicted: within limits"));
    let springs = HeightWanted { rear_spring: Some("21 N/mm x 318 mm".to_owned()), ..level(Units::Metric) };
    assert!(is(verdicts(&springs), "predicted: "));
    assert!(is(verdicts(&HeightWanted::default()), "predicted: within limits"));
    // Read before the work.
    let (mut garage, _folder) = job(DEMO);
    for wheel in ["front.left", "front.right", "rear.left", "rear.right"] {
        garage.read(&format!("height-{wheel}"), "14 1/2 in", &ReadWith::default()).unwrap();
    }
    let job = garage.job().unwrap();
    let view = height(&job.car, Some(&job), &HeightWanted::default()).unwrap();
    for corner in &view.corners {
        let verdict = &corner.target.as_ref().unwrap().verdict;
        assert!(verdict.starts_with("as read before: within limits"), "{verdict}");
    }
}

/// By hand: 351.6 mm are 13.8425 in, 351.9 mm 13.8543 in, 352 mm 13.8583 in, 376 mm 14.8031 in.
#[test]
fn a_height_outside_has_the_figures_that_show_it() {
    let target = HeightTarget { lower: 352.0, upper: 376.0, probability: 0.0, verdict: String::new() };
    for (height, units, said) in [
        (351.6, Units::Metric, ["351.6 mm", "352.0 mm", "376.0 mm"]),
        (351.2, Units::Metric, ["351 mm", "352 mm", "376 mm"]),
        (376.04, Units::Metric, ["376.04 mm", "352.00 mm", "376.00 mm"]),
        (352.0, Units::Metric, ["352 mm", "352 mm", "376 mm"]),
        (364.2, Units::Metric, ["364 mm", "352 mm", "376 mm"]),
        (351.6, Units::Inch, ["13 13/16 in", "13 7/8 in", "14 13/16 in"]),
        (351.9, Units::Inch, ["13.85 in", "13.86 in", "14.80 in"]),
    ] {
        assert_eq!(target.said(height, units), said, "{height}");
    }
    assert_eq!([351.2, 351.6, 376.04].map(|height| target.places(height, Units::Metric)), [0, 1, 2]);
}

#[test]
fn a_preview_and_curves_follow_the_chosen_unit() {
    let demo = car(DEMO);
    let lower =
        |text: &str, units| PreviewWanted { lower: Some(text.to_owned()), units, ..PreviewWanted::default() };
    for (text, mm) in [("1.2", 30.48), ("1 1/4", 31.75), ("-1/2", -12.7), ("30 mm", 30.0), ("1 in", 25.4)] {
        let view = preview(&demo, None, &lower(text, Units::Inch)).unwrap();
        assert!((view.axles[0].lower - mm).abs() < 1e-9, "{text}: {}", view.axles[0].lower);
        let told = texts(&view);
        // The numbers of a row are told in the unit beside them; its name says over what they are for programs.
        let lines: Vec<&str> =
            in_mm(&told).into_iter().filter(|line| !line.contains("per 10 mm up")).collect();
        assert_eq!(lines, [""; 0], "{told}");
    }
    let thirty = preview(&demo, None, &lower("30", Units::Inch)).unwrap_err().to_string();
    assert!(thirty.contains("30 in is not possible here; from -5.91 to 5.91 in"), "{thirty}");
    // A fraction is none of millimetres: it is asked back, not taken for a millimetre and a quarter.
    for fraction in ["1 1/4", "1¼", "3/4"] {
        let why = preview(&demo, None, &lower(fraction, Units::Metric)).unwrap_err().to_string();
        assert!(why.contains("has no unit"), "{fraction}: {why}");
    }
    let view = preview(&demo, None, &lower("1", Units::Inch)).unwrap();
    let row = view.axles[0].angles.iter().find(|angle| angle.name.starts_with("bump steer")).unwrap();
    let (metric, inch) = (row.in_units(Units::Metric), row.in_units(Units::Inch));
    assert_eq!(metric.name, "bump steer of a wheel, per 10 mm up");
    assert_eq!(inch.name, "bump steer of a wheel, per inch up");
    assert!((inch.after.unwrap() - 2.54 * metric.after.unwrap()).abs() < 1e-12);
    let track = view.axles[0].angles.iter().find(|angle| angle.name == "track").unwrap();
    let (metric, inch) = (track.in_units(Units::Metric), track.in_units(Units::Inch));
    assert_eq!((metric.unit, metric.places, inch.unit, inch.places), ("mm", 1, "in", 3));
    assert!((25.4 * inch.before.unwrap() - metric.before.unwrap()).abs() < 1e-9);

    for (text, mm) in [("2 in", 50.8), ("2\"", 50.8), ("50 mm", 50.0), ("-2", -50.8), ("-1 1/4", -31.75)] {
        assert!((travel("--from", text, Units::Inch).unwrap() - mm).abs() < 1e-9, "{text}");
    }
    assert!((travel("--from", "-60", Units::Metric).unwrap() + 60.0).abs() < 1e-12);
    assert!(travel("--to", "two", Units::Inch).unwrap_err().to_string().contains("--to"));
    let wanted = |from: f64, to: f64| CurvesWanted {
        axle: "front".to_owned(),
        side: Hand::Left,
        from,
        to,
        step: 100.0,
        racks: Racks::LockToLock(Some(38.1)),
        units: Units::Inch,
    };
    let view = curves(&demo, &wanted(-300.0, 300.0)).unwrap();
    let told = texts(&view);
    assert!(told.contains("at 11.811/") && in_mm(&told).is_empty(), "{:?}", in_mm(&told));
    let why = curves(&demo, &wanted(50.0, -50.0)).unwrap_err().to_string();
    assert!(why.contains("--from -2.5 --to 2.5 --step 0.5"), "{why}");
    let why = curves(&demo, &CurvesWanted { racks: Racks::LockToLock(Some(0.0)), ..wanted(0.0, 0.0) });
    assert!(why.unwrap_err().to_string().contains("a number of in above nought"));
    assert_eq!(in_mm(&texts(&steering(&demo, "front", Units::Inch).unwrap())), [""; 0]);
    assert_eq!(usual_travels(Units::Metric), ["-60", "60", "10"]);
}

#[test]
fn a_typical_car_tells_its_guesses_in_inches() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("car.toml");
    vehicle::new_car("strut", &axlestand_garage::Answers::default(), &out).unwrap();
    let typical = car(&std::fs::read_to_string(&out).unwrap());
    let view =
        height(&typical, None, &HeightWanted { units: Units::Inch, ..HeightWanted::default() }).unwrap();
    assert_eq!(in_mm(&texts(&view)), [""; 0]);
    let text = DEMO.replace("tyre_radius = \"298 mm\"\n", "");
    assert!(text != DEMO, "the demo car has a radius to take out");
    let view = steering(&car(&text), "front", Units::Inch).unwrap();
    assert_eq!(in_mm(&texts(&view)), [""; 0]);
    assert!(texts(&view).contains("of the 12.11 in that the tyre designation gives"), "{}", texts(&view));
}

#[test]
fn a_tie_rod_end_is_told_in_inches() {
    let behind_wheel = "\"]\nplace = \"wheel-well\"\nafter = [\"wheel\"]\nminutes = 2";
    let text = DEMO.replace(behind_wheel, "\"]\nplace = \"around\"\nminutes = 2");
    let (mut garage, _folder) = job(&text);
    garage.read("tie-rod-threads.left", "1/2 ± 1/64 in", &ReadWith::default()).unwrap();
    garage.read("tie-rod-length.left", "3-5/16 in", &ReadWith::default()).unwrap();
    let job = garage.job().unwrap();
    let view = tie_rod_end(&job, Hand::Left, "3 1/4\"", Units::Inch).unwrap();
    assert!((view.exposed - 25.4 * 0.5625).abs() < 1e-9, "{}", view.exposed);
    let told = texts(&view);
    assert!(told.contains("until 0.562 ±") && in_mm(&told).is_empty(), "{:?}", in_mm(&told));
    let why = tie_rod_end(&job, Hand::Left, "4 in", Units::Inch).unwrap_err().to_string();
    assert!(why.contains("0.188 in too long"), "{why}");
}

#[test]
fn small_calculations_follow_the_chosen_unit() {
    let spring = calc::SpringInput {
        rate: Some("160".to_owned()),
        free: Some("14 in".to_owned()),
        length: Some("10 in".to_owned()),
        ratio: Some("1".to_owned()),
        ..calc::SpringInput::default()
    };
    // 160 lb/in over 4 in are 640 lbf; half of that times 4 in are 1280 lbf·in, 144.6 J.
    let view = calc::spring(&spring, Units::Inch).unwrap();
    assert!(
        view.line.contains("160.0 lb/in; at 10 in it pushes with 640 lbf and holds 145 J"),
        "{}",
        view.line
    );
    assert!(view.lines[0].contains("160.0 lb/in"), "{:?}", view.lines);
    let toe = calc::toe("1/8 in", "15 in", Units::Inch).unwrap();
    assert!(toe.line.starts_with("0.1250 in of total toe over 15 in is 0.477°"), "{}", toe.line);
}

#[test]
fn guides_echoes_and_questions_are_told_in_inches() {
    let (mut garage, _folder) = job(DEMO);
    let job = garage.job().unwrap();
    assert_eq!(in_mm(&texts(&guides(&job, Units::Inch))), ["mm"; 0]);
    for method in guides(&job, Units::Inch) {
        let told = texts(&guide(&job, &method.method, Units::Inch).unwrap());
        assert_eq!(in_mm(&told), [""; 0], "{}", method.method);
    }
    let strings = texts(&guide(&job, "strings", Units::Inch).unwrap());
    // A tape's millimetre is 0.0394 in: no more figures than that is worth.
    assert!(strings.contains("0.04 in\n") && !strings.contains("0.0394"), "{strings}");

    let (read, _) = gauge(&mut garage, &[("string.spacing.front", "64 15/16 in")], Some("35 1/2"), false);
    assert!(read.contains("64.938 ± 0.039 in"), "{read}");
    let (_, asked) = gauge(&mut garage, &[("string.spacing.rear", "63 in")], Some("31.5 in"), false);
    assert!(asked.contains("1.938 in wider") && in_mm(&asked).is_empty(), "{asked}");
    gauge(&mut garage, &[("string.spacing.rear", "64.7 in")], Some("31.5"), true);
    gauge(&mut garage, &[("string.fl.hub", "3 5/16 in")], None, false);
    let (_, asked) = gauge(&mut garage, &[("string.fl.hub", "4 in")], None, false);
    assert!(asked.contains("differs by 0.688 in from the 3.312 in"), "{asked}");
    for (readings, at, says) in [
        (("string.fl.hub", "50 in"), None, "50 in is not possible here; it is from 0.04 to 39.37 in"),
        (("string.fl.hub", "3 ± 0.00001 in"), None, "the usual is 0.028 in"),
        (("plates.front.front-tape", "58 in"), None, "--at \"… in\""),
        (("plates.front.front-tape", "58 in"), Some("2"), "2 in is not possible here"),
    ] {
        let wrong = GaugeAsked {
            readings: vec![(readings.0.to_owned(), readings.1.to_owned())],
            at: at.map(str::to_owned),
            units: Units::Inch,
            ..GaugeAsked::default()
        };
        let why = garage.gauge(&wrong).unwrap_err().to_string();
        assert!(why.contains(says), "{readings:?}: {why}");
    }
}

#[test]
fn the_alignment_is_told_in_inches() {
    let (mut garage, _folder) = job(DEMO);
    gauge(&mut garage, &[("height.fl", "13 in"), ("height.fr", "14 1/2 in")], None, false);
    gauge(&mut garage, &[("plates.front.front-tape", "58 in")], Some("23 5/8 in"), false);
    gauge(
        &mut garage,
        &[("plates.front.rear-tape", "58 1/2 in"), ("plates.front.rear-tape", "58.52 in")],
        None,
        false,
    );
    let inch = AlignmentWanted { units: Units::Inch, ..AlignmentWanted::default() };
    let view = alignment(&garage.job().unwrap(), &inch).unwrap();
    let told = texts(&view);
    assert_eq!(in_mm(&told), [""; 0]);
    for says in [
        "16.38 in apart",
        "front heights are 13.00 and 14.50 in",
        "front left is 13.000 ± 0.059 in",
        "target 13.86 to 14.80 in",
        "1 repeated reading agrees to 0.014 in",
    ] {
        assert!(told.contains(says), "{says}: {told}");
    }
    gauge(&mut garage, &[("height.fl", "14 1/2 in")], None, true);
    let view = alignment(&garage.job().unwrap(), &inch).unwrap();
    let rod = view.work.iter().find(|step| step.stage == "toe").unwrap();
    assert!(rod.text.contains(" in less (toe") && in_mm(&rod.text).is_empty(), "{}", rod.text);
    // A rim that cannot be: the edges, and the string, in inches.
    gauge(&mut garage, &[("string.fl.front-edge", "9 in"), ("string.fl.rear-edge", "2 in")], None, true);
    gauge(&mut garage, &[("string.rl.front-edge", "20 in"), ("string.rl.rear-edge", "20 in")], None, true);
    let view = alignment(&garage.job().unwrap(), &inch).unwrap();
    let told = texts(&view.findings);
    assert!(told.contains("differ by 7.000 in, more than the 2.30 in"), "{told}");
    assert!(told.contains("the left string is 14.26 in farther out"), "{told}");
    // An amount is understood in inches too: an eighth is 3.175 mm, 2.117 turns of 1.5 mm.
    let turned = garage.turned("tie-rod.left", "1/8 in longer").unwrap().answer;
    assert!((turned.amount - 3.175 / 1.5).abs() < 1e-9, "{turned:?}");
}

#[test]
fn sweep_and_survey_are_told_in_inches() {
    let (mut garage, _folder) = job(DEMO);
    let why = bump(&garage.job().unwrap(), Units::Inch).unwrap_err().to_string();
    assert!(why.contains("1 1/4 in") && in_mm(&why).is_empty(), "{why}");
    let raise = |garage: &mut Garage, at: &str, toe: &str| {
        garage
            .gauge(&GaugeAsked {
                readings: vec![("bump.fl.toe".to_owned(), toe.to_owned())],
                at: Some(at.to_owned()),
                sure: true,
                units: Units::Inch,
                ..GaugeAsked::default()
            })
            .unwrap();
    };
    raise(&mut garage, "-2 1/2", "0.35°");
    let views = bump(&garage.job().unwrap(), Units::Inch).unwrap();
    assert!(views[0].notes[0].contains("from -2.50 to -2.50 in"), "{:?}", views[0].notes);
    raise(&mut garage, "0", "0.05°");
    raise(&mut garage, "2 1/2 in", "-0.26°");
    let views = bump(&garage.job().unwrap(), Units::Inch).unwrap();
    let lowered: Vec<f64> = views[0].answers.iter().map(|answer| answer.lowered / 25.4).collect();
    for (one, inches) in lowered.iter().zip([-1.0, -0.5, 0.25, 0.5, 1.0, 2.0]) {
        assert!((one - inches).abs() < 1e-9, "{lowered:?}");
    }
    assert_eq!(in_mm(&texts(&views)), [""; 0]);
    let points = [
        ("survey.fl.ball-to-rod-end", "5.83 in"),
        ("survey.fl.ball-to-rack-end", "15.91 in"),
        ("survey.fl.rack-end-to-rod-end", "13.98 in"),
        ("survey.fl.front-pivot-to-rod-end", "13.74 in"),
    ];
    gauge(&mut garage, &points, None, true);
    let wanted = SurveyWanted { units: Units::Inch, ..SurveyWanted::default() };
    let told = texts(&survey(&garage.job().unwrap(), &wanted).unwrap());
    assert!(told.contains("camber, 1 in lower") && in_mm(&told).is_empty(), "{:?}", in_mm(&told));
    let lower = SurveyWanted { lower: Some("1 1/4".to_owned()), ..wanted };
    let told = texts(&survey(&garage.job().unwrap(), &lower).unwrap());
    assert!(told.contains("camber, 1.25 in lower"), "{told}");
}
