//! An axle whose right corner has figures of its own: against the mirror image, against the numeric
//! crate on the same points, and through everything that uses a corner.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

mod demo_car;

use axlestand_garage::geometry::{
    CurvesView, CurvesWanted, HeightWanted, PreviewWanted, Racks, curves, height, preview, roll_curves,
    steering,
};
use axlestand_garage::views::check_road;
use axlestand_garage::{Hand, vehicle};
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{Corner, CornerSpec, Layout, Point};
use axlestand_model::car::Car;

const DEMO: &str = include_str!("../../../cars/wagtail.toml");

fn car(text: &str) -> Car {
    let reading = vehicle::read_car(text);
    reading.car.unwrap_or_else(|| panic!("{:?}", reading.findings))
}

/// The demo file with a table for the right corner.
fn with_right(points: &str) -> String {
    DEMO.replace("[axle.front.spring]", &format!("[axle.front.points_right]\n{points}\n[axle.front.spring]"))
}

/// Every point of the left corner, mirrored, as it would be typed.
fn mirrored_points() -> String {
    let front = car(DEMO).axles.into_iter().find(|axle| axle.name == "front").unwrap();
    front.points.iter().map(|(name, [x, y, z])| format!("{name} = [{x}, {}, {z}]\n", -y)).collect()
}

fn wanted(side: Hand) -> CurvesWanted {
    CurvesWanted {
        axle: "front".to_owned(),
        side,
        from: -60.0,
        to: 60.0,
        step: 20.0,
        racks: Racks::Straight,
        units: axlestand_garage::Units::Metric,
    }
}

fn lower() -> PreviewWanted {
    PreviewWanted { lower: Some("25 mm".to_owned()), ..PreviewWanted::default() }
}

fn values(view: &CurvesView) -> Vec<Option<f64>> {
    view.rows.iter().flat_map(|row| row.values.clone()).collect()
}

fn same(a: &[Option<f64>], b: &[Option<f64>], what: &str) {
    assert_eq!(a.len(), b.len(), "{what}");
    for (a, b) in a.iter().zip(b) {
        assert!((a.unwrap_or(0.0) - b.unwrap_or(0.0)).abs() < 1e-9, "{what}: {a:?} {b:?}");
        assert_eq!(a.is_some(), b.is_some(), "{what}");
    }
}

#[test]
fn own_points_that_mirror_the_left_ones_give_the_mirrored_result() {
    let (mirror, own) = (car(DEMO), car(&with_right(&mirrored_points())));
    for side in [Hand::Left, Hand::Right] {
        let (a, b) = (curves(&mirror, &wanted(side)).unwrap(), curves(&own, &wanted(side)).unwrap());
        assert!(a.mirrored && !b.mirrored);
        same(&values(&a), &values(&b), "curves");
    }
    let (a, b) = (
        steering(&mirror, "front", axlestand_garage::Units::Metric).unwrap(),
        steering(&own, "front", axlestand_garage::Units::Metric).unwrap(),
    );
    for (a, b) in a.rows.iter().zip(&b.rows) {
        let row = |r: &axlestand_garage::geometry::SteerRow| [r.left, r.right, r.left_camber, r.right_camber];
        same(&row(a), &row(b), "steering");
        same(&[a.ackermann], &[b.ackermann], "ackermann");
    }
    let (a, b) = (preview(&mirror, None, &lower()).unwrap(), preview(&own, None, &lower()).unwrap());
    let changes = |axle: &axlestand_garage::geometry::AxlePreview| -> Vec<(String, f64)> {
        axle.angles.iter().map(|angle| (angle.name.clone(), angle.change)).collect()
    };
    assert_eq!(changes(&a.axles[0]).len(), changes(&b.axles[0]).len(), "alike is one row");
    for ((_, a), (name, b)) in changes(&a.axles[0]).iter().zip(changes(&b.axles[0])) {
        assert!((a - b).abs() < 1e-9, "{name}: {a} {b}");
    }
    let level = HeightWanted {
        now: ["front=366 mm", "rear=371 mm"].map(str::to_owned).to_vec(),
        want: vec!["front=350 mm".to_owned()],
        ..HeightWanted::default()
    };
    let (a, b) = (height(&mirror, None, &level).unwrap(), height(&own, None, &level).unwrap());
    for (a, b) in a.corners.iter().zip(&b.corners) {
        same(
            &[a.collar_change.value, a.ratio.value, a.hold_at_droop.value, a.bump_left.value],
            &[b.collar_change.value, b.ratio.value, b.hold_at_droop.value, b.bump_left.value],
            a.wheel,
        );
    }
}

#[test]
fn the_right_wheel_goes_by_its_own_points() {
    let right = "strut-top-mount = [-40, -526, 935]\nlower-ball-joint = [4, -700, 198]\n";
    let text = with_right(right).replace("toe = \"0.05°\"", "toe = \"0.05°\"\ncamber_right = \"-0.9°\"");
    let car = car(&text);
    // Put together by hand, in the right corner's own axes.
    let axle = car.axles.iter().find(|axle| axle.name == "front").unwrap();
    let mut spec = CornerSpec::new(Layout::Strut, Side::Right, 298.0);
    (spec.camber_deg, spec.toe_deg) = (-0.9, 0.05);
    for point in Point::ALL {
        if let Some([x, y, z]) = axle.points.get(&point.name().replace(' ', "-")) {
            spec = spec.with(point, *x, -*y, *z);
        }
    }
    spec = spec.with(Point::StrutTop, -40.0, -526.0, 935.0).with(Point::LowerBall, 4.0, -700.0, 198.0);
    let corner = Corner::new(spec).unwrap();
    let view = curves(&car, &wanted(Hand::Right)).unwrap();
    let left = curves(&car, &wanted(Hand::Left)).unwrap();
    let column = |key: &str| view.columns.iter().position(|column| column.key == key).unwrap();
    for (row, other) in view.rows.iter().zip(&left.rows) {
        let (_, out) = corner.at(row.travel, 0.0).unwrap();
        for (key, expected) in [("camber", out.camber), ("toe", out.toe), ("caster", out.caster.unwrap())] {
            let shown = row.values[column(key)].unwrap();
            assert!((shown - expected).abs() < 1e-8, "{key} at {}: {shown} {expected}", row.travel);
        }
        // What both wheels do together is the same seen from either side.
        for key in ["track-change", "roll-centre"] {
            same(&[row.values[column(key)]], &[other.values[column(key)]], key);
        }
    }
    let rest = view.rows.iter().position(|row| row.travel.abs() < 1e-9).unwrap();
    assert!((left.rows[rest].values[column("camber")].unwrap() + 0.6).abs() < 1e-9);
    // Total toe and camber of a preview are both wheels' own.
    let shown = preview(&car, None, &lower()).unwrap();
    let change = |name: &str| {
        shown.axles[0]
            .angles
            .iter()
            .find(|angle| angle.name == name)
            .unwrap_or_else(|| panic!("{name}"))
            .change
    };
    let toe = |corner: &Corner| corner.at(25.0, 0.0).unwrap().1.toe - corner.at(0.0, 0.0).unwrap().1.toe;
    let at_left =
        curves(&car, &CurvesWanted { from: 0.0, to: 25.0, step: 25.0, ..wanted(Hand::Left) }).unwrap();
    let left_change = |key: &str| {
        at_left.rows[1].values[column(key)].unwrap() - at_left.rows[0].values[column(key)].unwrap()
    };
    assert!((change("total toe") - toe(&corner) - left_change("toe")).abs() < 1e-9);
    let camber = corner.at(25.0, 0.0).unwrap().1.camber + 0.9;
    assert!((change("camber, right") - camber).abs() < 1e-9);
    assert!((change("camber, left") - left_change("camber")).abs() < 1e-9);
    assert!(shown.axles[0].joints.iter().any(|joint| joint.what.ends_with("lower ball joint, right")));
    assert!(shown.axles[0].inputs.iter().any(|input| input.what.contains("right corner's own")));
}

#[test]
fn a_joint_is_beyond_its_limit_on_the_side_that_has_it_so() {
    // A drive axle whose inner joint sits 60 mm low on the right alone.
    let (mut garage, _folder) = demo_car::started(&with_right("drive-axle-inner-joint = [-8, -300, 147]"));
    let job = garage.job().unwrap();
    let reasons: Vec<String> = check_road(&job, axlestand_garage::Units::Metric)
        .reasons
        .into_iter()
        .map(|reason| reason.text)
        .collect();
    let of = |side: &str| {
        reasons
            .iter()
            .any(|text| text.contains("at ride height the") && text.contains(&format!("front {side} is")))
    };
    assert!(of("right") && !of("left"), "{reasons:#?}");
}

#[test]
fn springs_hang_by_the_points_of_their_own_side() {
    // A lower spring seat further inboard has less leverage.
    let text = with_right("spring-lower-seat = [-9, -560, 478]\nspring-upper-seat = [-22, -482, 728]");
    let wanted = HeightWanted {
        now: ["front=366 mm", "rear=371 mm"].map(str::to_owned).to_vec(),
        ..HeightWanted::default()
    };
    let view = height(&car(&text), None, &wanted).unwrap();
    let plain = height(&car(DEMO), None, &wanted).unwrap();
    let ratio =
        |view: &axlestand_garage::geometry::HeightView, i: usize| view.corners[i].ratio.value.unwrap();
    assert!((ratio(&view, 0) - ratio(&plain, 0)).abs() < 1e-9, "the left is as it was");
    assert!((ratio(&view, 1) - ratio(&plain, 1)).abs() > 0.005, "{} {}", ratio(&view, 1), ratio(&plain, 1));
    assert!(view.inputs.iter().any(|input| input.what == "front right, spring motion ratio"));
}

#[test]
fn side_view_and_roll_go_by_the_right_corners_own_points() {
    // Mirrored points have the mirrored instant centres; the arms do not change their sign.
    let column = |view: &CurvesView, key: &str| -> Vec<f64> {
        let at = view.columns.iter().position(|column| column.key == key).unwrap_or_else(|| panic!("{key}"));
        view.rows.iter().map(|row| row.values[at].unwrap()).collect()
    };
    let own = car(&with_right(&mirrored_points()));
    let (left, right) =
        (curves(&own, &wanted(Hand::Left)).unwrap(), curves(&own, &wanted(Hand::Right)).unwrap());
    for key in ["side-arm", "side-centre", "front-arm", "front-centre", "anti-dive", "anti-lift-driving"] {
        for (l, r) in column(&left, key).iter().zip(column(&right, key)) {
            assert!((l - r).abs() < 1e-6 * l.abs().max(1.0), "{key}: {l} {r}");
        }
    }
    // Rolling, each wheel goes by its own curve: the left one up, the right one down.
    let bent = car(&with_right("strut-top-mount = [-40, -530, 940]\n"));
    let (left, right) =
        (curves(&bent, &wanted(Hand::Left)).unwrap(), curves(&bent, &wanted(Hand::Right)).unwrap());
    let rolled = roll_curves(&bent, &wanted(Hand::Left)).unwrap();
    assert!(!rolled.mirrored && rolled.side.is_none() && rolled.rows.len() == left.rows.len());
    for key in ["camber", "toe"] {
        let rolled = |side: &str| column(&rolled, &format!("{key}-{side}"));
        let (up, down) = (column(&left, key), column(&right, key));
        for (row, (left, right)) in rolled("left").iter().zip(rolled("right")).enumerate() {
            assert!(
                (left - up[row]).abs() < 1e-6 && (right - down[up.len() - 1 - row]).abs() < 1e-6,
                "{row}"
            );
        }
    }
    assert!(rolled.inputs.iter().any(|input| input.what.contains("right corner's own")));
}
