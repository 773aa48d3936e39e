//! Different things have different names, and every one has one.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{Axle, Edge, Held, Kind, Mixup, Quantity, Wheel};
use axlestand_geometry::estimation::conformity::Zone;
use axlestand_geometry::estimation::survey::{SurveyAnswer, SurveyKind, Tilt};
use axlestand_geometry::estimation::{Function, Linear, Reading};
use axlestand_geometry::kinematics::{Extended, Layout, Limited, Member, Output, Point};
use axlestand_geometry::springs::Place;

#[track_caller]
fn told_apart(names: impl IntoIterator<Item = String>) {
    let mut names: Vec<String> = names.into_iter().collect();
    assert!(names.iter().all(|name| name.len() > 1), "{names:?}");
    let count = names.len();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), count, "{names:?}");
}

fn words<T: ToString>(things: &[T]) -> Vec<String> {
    things.iter().map(ToString::to_string).collect()
}

#[test]
fn points_members_and_limits() {
    told_apart(words(&Point::ALL));
    told_apart(words(&Layout::ALL));
    told_apart(words(&[Side::Left, Side::Right]));
    told_apart(words(&Place::ALL));
    told_apart(words(&[Extended::DamperOpen, Extended::DamperClosed, Extended::AxleOut, Extended::AxleIn]));
    told_apart(words(&[
        Member::Rod(Point::LowerFront, Point::LowerBall),
        Member::Rod(Point::LowerRear, Point::LowerBall),
        Member::Strut,
        Member::Pivot(Point::ArmInnerPivot),
        Member::Guide,
        Member::WheelHeight,
    ]));
    told_apart(words(&[
        Limited::Joint(Point::LowerBall),
        Limited::Joint(Point::TieRodOuter),
        Limited::AxleInner,
        Limited::AxleOuter,
        Limited::PlungeIn,
        Limited::PlungeOut,
        Limited::BarLink,
    ]));
    told_apart(Output::ALL.iter().map(|o| o.heading().0.to_owned()));
    // An angle is in degrees, a length in millimetres; their quotient or a plain number says so.
    for output in Output::ALL {
        let (name, unit) = output.heading();
        let rate = name.ends_with(" rate");
        assert!(["deg", "mm", "deg/mm", ""].contains(&unit) && (unit == "deg/mm") == rate, "{name}: {unit}");
        let plain = name.ends_with("ratio") || name.ends_with("slope");
        assert_eq!(unit.is_empty(), plain, "{name}: {unit}");
    }
    assert_eq!((Output::Camber.heading().1, Output::Trail.heading().1), ("deg", "mm"));
}

#[test]
fn quantities_and_readings() {
    let (front, rear) = (Axle::Front, Axle::Rear);
    told_apart(words(&Wheel::ALL));
    told_apart(words(&[front, rear]));
    told_apart(words(&[Edge::Front, Edge::Rear]));
    told_apart(words(&[Zone::In, Zone::CannotTell, Zone::Out]));
    let of_wheels = Wheel::ALL.iter().flat_map(|w| [Quantity::Toe(*w), Quantity::Camber(*w)]);
    let of_axles = [front, rear].into_iter().flat_map(|a| {
        [Quantity::TotalToe(a), Quantity::ToeSplit(a), Quantity::CamberDifference(a), Quantity::SetBack(a)]
    });
    let others = [
        Quantity::Caster(Side::Left),
        Quantity::Caster(Side::Right),
        Quantity::CasterDifference,
        Quantity::Thrust,
        Quantity::SteeringWheel,
    ];
    told_apart(of_wheels.chain(of_axles).chain(others).map(|q| q.to_string()));
    let mixups = Wheel::ALL.iter().map(|w| Mixup::Edges(*w)).chain(
        [front, rear]
            .into_iter()
            .flat_map(|a| [Mixup::StringSides(a), Mixup::Tapes(a), Mixup::CamberSides(a)]),
    );
    told_apart(mixups.chain([Mixup::Spacings, Mixup::FloorSign]).map(|m| m.to_string()));

    let [wheel, other, ..] = Wheel::ALL;
    let held = Held { heading: 20.0, camber: 0.0 };
    let mut kinds = vec![
        Kind::HubGap { wheel, gap: 1.0 },
        Kind::StringSpacing { ahead: 0.0, spacing: 1.0 },
        Kind::StringSpacing { ahead: -1.0, spacing: 1.0 },
        Kind::Trammel { axle: front, base: 1.0, front: 1.0, rear: 1.0 },
        Kind::RunOut { wheel, top: false, out: 0.0 },
        Kind::RunOut { wheel, top: true, out: 0.0 },
        Kind::FloorStep { from: wheel, to: other, rise: 0.0 },
        Kind::FloorStep { from: other, to: wheel, rise: 0.0 },
        Kind::CasterSweep { side: Side::Left, left: held, right: held },
        Kind::Wheelbase { side: Side::Left, distance: 1.0 },
        Kind::Diagonal { front: Side::Left, distance: 1.0 },
    ];
    for half_turn in [false, true] {
        kinds.extend([Edge::Front, Edge::Rear].map(|edge| Kind::RimGap { wheel, edge, half_turn, gap: 1.0 }));
        kinds.push(Kind::ToePlates { axle: rear, base: 1.0, front: 1.0, rear: 1.0, half_turn });
        kinds.push(Kind::StraightEdge { side: Side::Right, base: 1.0, front: 1.0, rear: 1.0, half_turn });
        kinds.push(Kind::Camber { wheel, degrees: 0.0, half_turn });
    }
    told_apart(words(&kinds));
    // What is in line with the front axle is still in front.
    assert!(kinds[1].to_string().ends_with("in front") && kinds[2].to_string().ends_with("behind"));
}

#[test]
fn what_a_survey_reads_and_tells() {
    let (a, b) = (Point::StrutSeat, Point::StrutTop);
    told_apart(words(&[
        SurveyKind::Tape(a, b),
        SurveyKind::Across(a),
        SurveyKind::Diagonal(a, b),
        SurveyKind::Height(a),
        SurveyKind::Station(a),
        SurveyKind::Angle(a, b, Tilt::LeanInFront),
        SurveyKind::Angle(a, b, Tilt::LeanFromSide),
        SurveyKind::Camber,
        SurveyKind::Toe,
        SurveyKind::SweepCamber(10.0),
        SurveyKind::SweepCamber(-10.0),
        SurveyKind::SweepToe(10.0),
        SurveyKind::ToeOfRod(1.5),
    ]));
    told_apart(words(&[
        SurveyAnswer::CamberChange(30.0),
        SurveyAnswer::ToeChange(30.0),
        SurveyAnswer::ToeOfRod(30.0),
        SurveyAnswer::BumpOfShim(30.0),
    ]));
    let reading = Reading::new("tape A-B", 12.0, 0.5, Linear::of(&[(0, 1.0)]));
    assert_eq!(format!("{reading:?}"), "tape A-B = 12 ± 0.5");
    assert_eq!(format!("{:?}", Function::new("toe", Linear::of(&[(0, 1.0)]))), "toe");
}
