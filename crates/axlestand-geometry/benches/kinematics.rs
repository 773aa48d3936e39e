//! Times of the kinematics on a spatial strut: one solved position warm-started in 1 mm steps, the
//! same with what every adjuster does, with all outputs, with the full derivatives, and a full
//! curve set of 61 heights by 41 rack positions. `bench/kinematics_peers.py` times general
//! libraries on the same mechanism.
#![allow(clippy::expect_used, clippy::print_stdout, reason = "a bench stops on its own mistakes and prints")]

use axlestand_geometry::Vec3;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{
    Adjuster, Corner, CornerSpec, Effect, Layout, Parameter, Point, Tracker,
};
use std::hint::black_box;

/// An invented strut corner with seven adjusters beside rack and wheel travel.
fn strut() -> Corner {
    use Point as P;
    let mut spec = CornerSpec::new(Layout::Strut, Side::Left, 290.0)
        .with(P::WheelCentre, 0.0, 735.0, 290.0)
        .with(P::LowerBall, 5.0, 690.0, 190.0)
        .with(P::LowerFront, 10.0, 345.0, 212.0)
        .with(P::LowerRear, -300.0, 370.0, 222.0)
        .with(P::StrutTop, -25.0, 565.0, 800.0)
        .with(P::StrutSeat, -6.0, 628.0, 420.0)
        .with(P::TieRodInner, -140.0, 330.0, 238.0)
        .with(P::TieRodOuter, -140.0, 665.0, 222.0);
    spec.camber_deg = -0.5;
    let shift = |point, x, y, z| Adjuster::Shift { point, direction: Vec3::new(x, y, z) };
    spec.adjusters = [
        Adjuster::TieRod,
        shift(P::TieRodInner, 0.0, 0.0, 1.0),
        shift(P::LowerFront, 0.0, 1.0, 0.0),
        shift(P::LowerRear, 0.0, 1.0, 0.0),
        shift(P::StrutTop, 0.0, 1.0, 0.0),
        shift(P::StrutTop, 1.0, 0.0, 0.0),
        Adjuster::StrutTurn { bolt: Vec3::new(-4.0, 640.0, 335.0), axis: Vec3::new(1.0, 0.0, 0.0) },
    ]
    .map(|a| (a, 0.0))
    .to_vec();
    Corner::new(spec).expect("the bench's corner is sound")
}

/// Best of `rounds` runs of `work`, in microseconds for each of its `count` pieces.
#[allow(clippy::disallowed_methods, reason = "a bench measures time")]
fn best(rounds: usize, count: usize, mut work: impl FnMut()) -> f64 {
    let mut least = f64::INFINITY;
    for _ in 0..rounds {
        let start = std::time::Instant::now();
        work();
        least = least.min(start.elapsed().as_secs_f64());
    }
    least * 1e6 / count as f64
}

/// Visits 162 heights, 0 to ±80 mm in 1 mm steps, each started from its neighbour.
fn sweep(corner: &Corner, mut each: impl FnMut(&Tracker<'_>)) -> usize {
    let mut factorisations = 0;
    for sign in [1.0, -1.0] {
        let mut tracker = corner.tracker();
        for step in 0..=80 {
            let solved = tracker.advance(sign * f64::from(step), 0.0).expect("within reach");
            factorisations += solved.steps;
            each(&tracker);
        }
    }
    factorisations
}

fn main() {
    let corner = strut();
    let (inner, rounds) = (20, 60);
    let count = 162 * inner;
    let factorisations = sweep(&corner, |_| ());
    let many = |each: &mut dyn FnMut(&Tracker<'_>)| {
        best(rounds, count, || {
            for _ in 0..inner {
                black_box(sweep(&corner, &mut *each));
            }
        })
    };
    let plain = best(rounds, count, || {
        for _ in 0..inner {
            black_box(sweep(&corner, |t| {
                black_box(t.position());
            }));
        }
    });
    let nothing = Effect { camber: 0.0, toe: 0.0 };
    let mut effects = [nothing; 9];
    let with_effects = many(&mut |t| {
        let written = corner.adjuster_effects(t.position(), &mut effects).expect("regular");
        assert_eq!(written, 9);
        black_box(&effects);
    });
    let with_outputs = many(&mut |t| {
        black_box(corner.outputs(t.position()).expect("regular"));
    });
    let full = many(&mut |t| {
        black_box(corner.sensitivity(t.position(), Parameter::Adjuster(0)).expect("regular"));
    });
    let travels: Vec<f64> = (-30..=30).map(|i| 2.5 * f64::from(i)).collect();
    let racks: Vec<f64> = (-20..=20).map(|i| 3.0 * f64::from(i)).collect();
    let set = best(10, 1, || {
        black_box(corner.curves(&travels, &racks));
    });
    println!("spatial strut, best of {rounds} runs, microseconds");
    println!(
        "position, warm-started, 1 mm steps        {plain:8.3}  ({:.2} factorisations)",
        factorisations as f64 / 162.0
    );
    println!("position and effects of nine adjusters    {with_effects:8.3}");
    println!("position and all outputs                  {with_outputs:8.3}");
    println!("position and every output by one parameter{full:8.3}");
    println!("curve set, 61 heights x 41 rack positions {set:8.0}  ({:.3} a position)", set / 2501.0);
}
