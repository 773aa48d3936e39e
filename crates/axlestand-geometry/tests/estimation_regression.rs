//! The estimator on the nonlinear regression sets of the NIST Statistical Reference Datasets:
//! certified parameters and standard deviations, data and certified values as in the dataset files
//! (copies in public test folders; Thurber's data from memory, confirmed by the certified sum of
//! squares).
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use axlestand_geometry::estimation::{Problem, Reading, Settings, Trouble, Unknown};

type Model = fn(&[f64], f64, &mut [f64]) -> f64;

struct Set {
    name: &'static str,
    model: Model,
    starts: Vec<Vec<f64>>,
    parameters: Vec<f64>,
    sd: Vec<f64>,
    rss: f64,
    /// y, x.
    data: Vec<(f64, f64)>,
}

/// b1 (1 − exp(−b2 x)).
fn saturation(b: &[f64], x: f64, g: &mut [f64]) -> f64 {
    let e = (-b[1] * x).exp();
    g[0] = 1.0 - e;
    g[1] = b[0] * x * e;
    b[0] * (1.0 - e)
}

/// b1 (x² + b2 x)/(x² + b3 x + b4).
fn rational(b: &[f64], x: f64, g: &mut [f64]) -> f64 {
    let (p, q) = (x * x + b[1] * x, x * x + b[2] * x + b[3]);
    g[0] = p / q;
    g[1] = b[0] * x / q;
    g[2] = -b[0] * p * x / (q * q);
    g[3] = -b[0] * p / (q * q);
    b[0] * p / q
}

/// Cubic over cubic.
fn cubics(b: &[f64], x: f64, g: &mut [f64]) -> f64 {
    let p = b[0] + x * (b[1] + x * (b[2] + x * b[3]));
    let q = 1.0 + x * (b[4] + x * (b[5] + x * b[6]));
    for (i, slot) in g.iter_mut().enumerate() {
        *slot = if i < 4 { x.powi(i as i32) / q } else { -p * x.powi(i as i32 - 3) / (q * q) };
    }
    p / q
}

/// b1 (b2 + x)^(−1/b3).
fn power(b: &[f64], x: f64, g: &mut [f64]) -> f64 {
    let (base, e) = (b[1] + x, -1.0 / b[2]);
    let p = base.powf(e);
    g[0] = p;
    g[1] = b[0] * e * p / base;
    g[2] = b[0] * p * base.ln() / (b[2] * b[2]);
    b[0] * p
}

fn zip(y: &[f64], x: &[f64]) -> Vec<(f64, f64)> {
    y.iter().copied().zip(x.iter().copied()).collect()
}

fn table(text: &str) -> Vec<(f64, f64)> {
    let lines = text.lines().filter(|l| !l.starts_with('#'));
    lines.map(|l| l.split_once(',').map(|(y, x)| (y.parse().unwrap(), x.parse().unwrap())).unwrap()).collect()
}

fn misra1a() -> Set {
    Set {
        name: "Misra1a",
        model: saturation,
        starts: vec![vec![500.0, 1e-4], vec![250.0, 5e-4]],
        parameters: vec![238.94212918, 5.5015643181e-4],
        sd: vec![2.7070075241, 7.2668688436e-6],
        rss: 0.12455138894,
        data: zip(
            &[
                10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47,
                81.78,
            ],
            &[
                77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1,
                760.0,
            ],
        ),
    }
}

fn mgh09() -> Set {
    Set {
        name: "MGH09",
        model: rational,
        starts: vec![vec![25.0, 39.0, 41.5, 39.0], vec![0.25, 0.39, 0.415, 0.39]],
        parameters: vec![0.19280693458, 0.19128232873, 0.12305650693, 0.13606233068],
        sd: vec![0.011435312227, 0.19633220911, 0.080842031232, 0.090025542308],
        rss: 3.0750560385e-4,
        data: zip(
            &[0.1957, 0.1947, 0.1735, 0.16, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246],
            &[4.0, 2.0, 1.0, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625],
        ),
    }
}

fn box_bod() -> Set {
    Set {
        name: "BoxBOD",
        model: saturation,
        starts: vec![vec![1.0, 1.0], vec![100.0, 0.75]],
        parameters: vec![213.80940889, 0.54723748425],
        sd: vec![12.354515176, 0.10455993237],
        rss: 1168.0088766,
        data: zip(&[109.0, 149.0, 149.0, 191.0, 213.0, 224.0], &[1.0, 2.0, 3.0, 5.0, 7.0, 10.0]),
    }
}

fn thurber() -> Set {
    Set {
        name: "Thurber",
        model: cubics,
        starts: vec![
            vec![1000.0, 1000.0, 400.0, 40.0, 0.7, 0.3, 0.03],
            vec![1300.0, 1500.0, 500.0, 75.0, 1.0, 0.4, 0.05],
        ],
        parameters: vec![
            1288.1396800,
            1491.0792535,
            583.23836877,
            75.416644291,
            0.96629502864,
            0.39797285797,
            0.049727297349,
        ],
        sd: vec![
            4.6647963344,
            39.571156086,
            28.698696102,
            5.5675370270,
            0.031333340687,
            0.014984928198,
            0.0065842344623,
        ],
        rss: 5642.7082397,
        data: table(include_str!("data/thurber.csv")),
    }
}

fn bennett5() -> Set {
    Set {
        name: "Bennett5",
        model: power,
        starts: vec![vec![-2000.0, 50.0, 0.8], vec![-1500.0, 45.0, 0.85]],
        parameters: vec![-2523.5058043, 46.736564644, 0.93218483193],
        sd: vec![297.15175411, 1.2448871856, 0.020272299378],
        rss: 5.2404744073e-4,
        data: table(include_str!("data/bennett5.csv")),
    }
}

fn problem(set: &Set, start: &[f64]) -> Problem<'static> {
    let unknowns = start.iter().enumerate().map(|(i, b)| Unknown::free(format!("b{}", i + 1), *b));
    let model = set.model;
    let readings = set.data.iter().enumerate().map(|(i, (y, x))| {
        let x = *x;
        let by_x = move |b: &[f64], g: &mut [f64]| Some(model(b, x, g)).filter(|v| v.is_finite());
        Reading::new(format!("point {i}"), *y, 1.0, by_x)
    });
    Problem::new(unknowns.collect(), readings.collect()).unwrap()
}

/// Digits that agree with the certified parameters and their standard deviations, the fewest.
fn digits(set: &Set, e: &axlestand_geometry::estimation::Estimate) -> (f64, f64) {
    let s0 = e.unit_weight().unwrap();
    let fewest = |pairs: Vec<(f64, f64)>| {
        pairs.iter().map(|(f, c)| -((f - c) / c).abs().max(1e-16).log10()).fold(16.0, f64::min)
    };
    let parameters = e.values().iter().copied().zip(set.parameters.iter().copied()).collect();
    let sd = set.sd.iter().enumerate().map(|(i, c)| (e.sigma(i) * s0, *c)).collect();
    (fewest(parameters), fewest(sd))
}

#[test]
fn certified_to_six_digits_from_both_starts() {
    for set in [misra1a(), mgh09(), box_bod(), thurber(), bennett5()] {
        for (k, start) in set.starts.iter().enumerate() {
            let solved = problem(&set, start).solve();
            if set.name == "BoxBOD" && k == 0 && solved.is_err() {
                continue;
            }
            let e = solved.unwrap_or_else(|t| panic!("{} start {}: {t}", set.name, k + 1));
            let (parameters, sd) = digits(&set, &e);
            println!("{} start {}: {parameters:.1} {sd:.1} digits, {} steps", set.name, k + 1, e.steps());
            assert!(parameters >= 6.0 && sd >= 6.0, "{} start {}: {parameters} {sd}", set.name, k + 1);
            assert!((e.misfit() / set.rss - 1.0).abs() < 1e-9, "{} {} {}", set.name, e.misfit(), set.rss);
        }
    }
}

#[test]
fn the_false_end_of_box_bod_is_never_taken_for_an_answer() {
    // From start 1 a common implementation stops at a sum of squares of 9771.5 where b2 has no
    // effect any more.
    let set = box_bod();
    match problem(&set, &set.starts[0]).solve() {
        Ok(e) => assert!(digits(&set, &e).0 > 6.0),
        Err(Trouble::Undetermined { unknowns }) => assert_eq!(unknowns[0], "b2"),
        Err(other) => assert!(matches!(other, Trouble::NotConverged { .. }), "{other}"),
    }
    // On the plateau itself.
    let stuck = problem(&set, &[172.5, 88.0]).solve().unwrap_err();
    println!("{stuck}");
    assert!(matches!(stuck, Trouble::Undetermined { .. } | Trouble::NotConverged { .. }));
    // Several starts find it.
    let first = problem(&set, &set.starts[0]);
    let starts = first.scattered_starts(12, &[100.0, 0.5]).unwrap();
    assert_eq!(starts[0], set.starts[0]);
    let e = first.solve_from(&starts, &Settings::default()).unwrap();
    assert!(digits(&set, &e).0 > 6.0);
}
