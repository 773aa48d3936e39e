//! Times of the kinematics on a spatial strut: one solved position warm-started in 1 mm steps, the
//! same with what every adjuster does, with all outputs, with the full derivatives, and a full
//! curve set of 61 heights by 41 rack positions. `bench/kinematics_peers.py` times general
//! libraries on the same mechanism.
#![allow(clippy::expect_used, clippy::print_stdout, reason = "a bench stops on its own mistakes and prints")]

#[path = "../tests/cars/mod.rs"]
mod cars;

use axlestand_geometry::kinematics::{Corner, Effect, Parameter, Tracker};
use std::hint::black_box;

/// An invented strut corner with seven adjusters beside rack and wheel travel.
fn strut() -> Corner {
    Corner::new(cars::adjustable_strut()).expect("the bench's corner is sound")
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
