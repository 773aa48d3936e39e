//! Times of the estimation: an alignment from 40 garage readings (31 unknowns), from the typed readings
//! to angles with uncertainties and findings, and what to read next out of twelve plans. With `--growth`
//! it times 10 to 300 readings instead. With `--readings` it prints the readings and the answers instead: `bench/estimation_peers.py` solves the
//! same ones with a general library in the same run.
#![allow(clippy::expect_used, clippy::print_stdout, reason = "a bench stops on its own mistakes and prints")]

use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{
    Axle, CarSize, Edge, Held, Kind, Outcome, Plan, Quantity, Taken, Wheel, estimate,
};
use axlestand_geometry::estimation::survey::SurveyKind::{self, Angle, Height, SweepCamber, SweepToe, Tape};
use axlestand_geometry::estimation::survey::{StrutSurvey, SurveyAnswer, Tilt};
use axlestand_geometry::kinematics::{CornerSpec, Layout, Point as P};
use std::hint::black_box;

const SIZE: CarSize = CarSize { wheelbase: 2550.0, front_track: 1480.0, rear_track: 1465.0, rim: 400.0 };
const TOE: [f64; 4] = [0.12, 0.05, 0.10, 0.16];
const CAMBER: [f64; 4] = [-0.7, -0.4, -1.1, -1.3];

/// Readings of an invented car, each off by a fixed share of its uncertainty.
fn readings() -> Vec<Taken> {
    let mut kinds = Vec::new();
    for half_turn in [false, true] {
        for (i, wheel) in Wheel::ALL.into_iter().enumerate() {
            for edge in [Edge::Front, Edge::Rear] {
                let e = if edge == Edge::Front { 200.0 } else { -200.0 };
                kinds.push(Kind::RimGap {
                    wheel,
                    edge,
                    half_turn,
                    gap: hub(wheel) + e * TOE[i].to_radians(),
                });
            }
            kinds.push(Kind::Camber { wheel, degrees: CAMBER[i], half_turn });
        }
        let half = 300.0 * (TOE[0] + TOE[1]).to_radians();
        let (front, rear) = (1600.0 - half, 1600.0 + half);
        kinds.push(Kind::ToePlates { axle: Axle::Front, base: 600.0, front, rear, half_turn });
    }
    for wheel in Wheel::ALL {
        kinds.push(Kind::HubGap { wheel, gap: hub(wheel) });
    }
    kinds.extend([700.0, -3250.0].map(|ahead| Kind::StringSpacing { ahead, spacing: 1720.0 }));
    let [fl, fr, rl, rr] = Wheel::ALL;
    kinds.extend([(fr, fl), (rr, rl), (rl, fl), (rr, fr)].map(|(from, to)| Kind::FloorStep {
        from,
        to,
        rise: 0.0,
    }));
    for _ in 0..2 {
        kinds.extend([Side::Left, Side::Right].map(sweep));
    }
    kinds.into_iter().enumerate().map(|(i, kind)| off(Taken::usual(kind), i)).collect()
}

fn hub(wheel: Wheel) -> f64 {
    if wheel.axle == Axle::Front { 120.0 } else { 127.5 }
}

fn sweep(side: Side) -> Kind {
    let change = side.sign() * 4.0 * 20f64.to_radians().sin();
    let held = |heading: f64| Held { heading, camber: -0.5 + change * heading.signum() };
    Kind::CasterSweep { side, left: held(20.0), right: held(-20.0) }
}

/// The reading, off by its uncertainty times a share that looks like chance.
fn off(mut taken: Taken, i: usize) -> Taken {
    let error = taken.sigma * (12.9898 * (i + 1) as f64).sin();
    match &mut taken.kind {
        Kind::RimGap { gap, .. } | Kind::HubGap { gap, .. } => *gap += error,
        Kind::StringSpacing { spacing, .. } => *spacing += error,
        Kind::ToePlates { rear, .. } => *rear += error,
        Kind::Camber { degrees, .. } => *degrees += error,
        Kind::FloorStep { rise, .. } => *rise += error,
        Kind::CasterSweep { left, .. } => left.camber += error,
        _ => {}
    }
    taken
}

/// An invented corner and thirteen readings of it with a sweep at five heights.
fn corner() -> (StrutSurvey, Vec<(SurveyKind, f64, f64)>) {
    let spec = CornerSpec::new(Layout::Strut, Side::Left, 296.0)
        .with(P::LowerFront, 12.0, 352.0, 182.0)
        .with(P::LowerRear, -288.0, 336.0, 194.0)
        .with(P::LowerBall, -4.0, 703.0, 166.0)
        .with(P::TieRodInner, -132.0, 318.0, 219.0)
        .with(P::TieRodOuter, -128.0, 664.0, 204.0)
        .with(P::StrutSeat, -14.0, 652.0, 312.0)
        .with(P::StrutTop, -44.0, 566.0, 806.0)
        .with(P::WheelCentre, 0.0, 752.0, 296.0);
    let mut kinds = vec![
        Angle(P::StrutSeat, P::StrutTop, Tilt::LeanInFront),
        Angle(P::LowerFront, P::LowerBall, Tilt::RiseInFront),
    ];
    kinds.extend([P::LowerFront, P::LowerBall, P::TieRodInner, P::TieRodOuter].map(Height));
    kinds
        .extend([P::TieRodOuter, P::TieRodInner, P::LowerFront, P::StrutSeat].map(|p| Tape(P::LowerBall, p)));
    kinds.extend([P::TieRodInner, P::LowerFront].map(|p| Tape(p, P::TieRodOuter)));
    kinds.push(Tape(P::StrutSeat, P::StrutTop));
    kinds.extend([-60.0, -30.0, 0.0, 30.0, 60.0].into_iter().flat_map(|z| [SweepCamber(z), SweepToe(z)]));
    let survey = StrutSurvey::new(&spec).expect("a strut");
    let prior = survey.problem(&[]).and_then(|p| p.solve()).expect("priors hold everything");
    let read = |kind: SurveyKind| {
        let sigma = if matches!(kind, Tape(..) | Height(_)) { 1.0 } else { 0.1 };
        let model = survey.model(kind).expect("points of a strut");
        let value = prior.expect(&*model, sigma).expect("within reach").value;
        (kind, value + 0.5 * sigma * value.sin(), sigma)
    };
    let readings = kinds.into_iter().map(read).collect();
    (survey, readings)
}

fn solve(readings: &[Taken]) -> Outcome {
    estimate(&SIZE, readings, None).expect("the bench's readings are sound")
}

/// Best of `rounds` runs of `work`, in microseconds.
#[allow(clippy::disallowed_methods, reason = "a bench measures time")]
fn best(rounds: usize, mut work: impl FnMut()) -> f64 {
    let mut least = f64::INFINITY;
    for _ in 0..rounds {
        let start = std::time::Instant::now();
        work();
        least = least.min(start.elapsed().as_secs_f64());
    }
    least * 1e6
}

/// The corner's readings, and what one fit of them answers.
fn print_survey(survey: &StrutSurvey, taped: &[(SurveyKind, f64, f64)]) {
    for (kind, value, sigma) in taped {
        println!("taped;{kind:?};{value:.12};{sigma:.12}");
    }
    let fitted = survey.problem(taped).and_then(|p| p.solve()).expect("priors hold everything");
    let asked = [SurveyAnswer::CamberChange(-30.0), SurveyAnswer::ToeChange(-30.0)];
    let answers = fitted.answers(&survey.functions(&asked)).expect("within reach");
    for (asked, answer) in asked.iter().zip(answers.list()) {
        println!("surveyed;{asked:?};{:.12};{:.12}", answer.value, answer.u);
    }
}

/// How the estimate grows with the readings: the bench's own over and over, each time off by another share.
fn print_growth(readings: &[Taken]) {
    for count in [10, 20, 40, 80, 160, 300] {
        let again = |i: usize| off(readings[i % readings.len()], i);
        let taken: Vec<Taken> = (0..count).map(again).collect();
        let micros = best(20, || {
            black_box(estimate(&SIZE, black_box(&taken), None).is_ok());
        });
        println!("alignment, {count} readings  {micros:10.1} us");
    }
}

fn main() {
    let readings = readings();
    if std::env::args().any(|a| a == "--growth") {
        return print_growth(&readings);
    }
    let told = solve(&readings).estimate.expect("nothing blocks");
    if std::env::args().any(|a| a == "--readings") {
        for taken in &readings {
            println!("reading;{};{:.12};{:.12}", taken.kind, taken.kind.value(), taken.sigma);
        }
        for answer in &told.told {
            println!("answer;{};{:.12};{:.12}", answer.quantity, answer.value, answer.u);
        }
    }
    println!(
        "alignment, {} readings     {:10.1} us",
        readings.len(),
        best(200, || {
            black_box(solve(black_box(&readings)));
        })
    );
    let again = |k: usize| Plan {
        name: format!("plan {k}"),
        minutes: 5.0,
        readings: readings[2 * k..2 * k + 3].to_vec(),
    };
    let plans: Vec<Plan> = (0..12).map(again).collect();
    let wanted = [(Quantity::TotalToe(Axle::Front), 0.05), (Quantity::Thrust, 0.05)];
    println!(
        "what to read next, 12 plans {:10.1} us",
        best(200, || {
            black_box(told.rank_next(black_box(&wanted), &plans).is_ok());
        })
    );
    let (survey, taped) = corner();
    if std::env::args().any(|a| a == "--readings") {
        print_survey(&survey, &taped);
    }
    println!(
        "strut corner, one fit {:10.1} us",
        best(20, || {
            black_box(survey.problem(black_box(&taped)).and_then(|p| p.solve()).is_ok());
        })
    );
    println!(
        "strut corner, 13 readings and a sweep {:10.1} us",
        best(20, || {
            black_box(survey.estimate(black_box(&taped), 1).is_ok());
        })
    );
}
