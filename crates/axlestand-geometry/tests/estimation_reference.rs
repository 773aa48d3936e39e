//! Everything an estimate tells, against the normal equations written out: (AᵀPA + P₀)x = AᵀPy + P₀m, covariance
//! (AᵀPA + P₀)⁻¹, residuals' covariance C − A·S·Aᵀ. The crate never forms them.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]
#![allow(clippy::needless_range_loop, reason = "matrices are written with their indices")]

mod cars;

use axlestand_geometry::estimation::adjustment::{Adjuster, Demand, Task};
use axlestand_geometry::estimation::survey::{BumpSweep, SweepPoint};
use axlestand_geometry::estimation::{Estimate, Function, Linear, Problem, Reading, Unknown};
use cars::Random;

type Matrix = Vec<Vec<f64>>;

fn zeros(rows: usize, columns: usize) -> Matrix {
    vec![vec![0.0; columns]; rows]
}

fn transposed(a: &Matrix) -> Matrix {
    (0..a[0].len()).map(|j| a.iter().map(|row| row[j]).collect()).collect()
}

fn product(a: &Matrix, b: &Matrix) -> Matrix {
    let mut out = zeros(a.len(), b[0].len());
    for (i, row) in a.iter().enumerate() {
        for (k, x) in row.iter().enumerate() {
            for (j, y) in b[k].iter().enumerate() {
                out[i][j] += x * y;
            }
        }
    }
    out
}

fn less(a: &Matrix, b: &Matrix) -> Matrix {
    a.iter().zip(b).map(|(x, y)| x.iter().zip(y).map(|(x, y)| x - y).collect()).collect()
}

/// By Gauss and Jordan with row exchange.
fn inverse(a: &Matrix) -> Matrix {
    let n = a.len();
    let mut left = a.clone();
    let mut right = zeros(n, n);
    for (i, row) in right.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    for k in 0..n {
        let best = (k..n).max_by(|i, j| left[*i][k].abs().total_cmp(&left[*j][k].abs())).unwrap();
        left.swap(k, best);
        right.swap(k, best);
        let pivot = left[k][k];
        for m in [&mut left, &mut right] {
            m[k].iter_mut().for_each(|x| *x /= pivot);
        }
        for i in (0..n).filter(|i| *i != k) {
            let factor = left[i][k];
            for m in [&mut left, &mut right] {
                let top = m[k].clone();
                m[i].iter_mut().zip(top).for_each(|(x, t)| *x -= factor * t);
            }
        }
    }
    right
}

/// A linear problem of five unknowns, two of them without prior, and eight readings.
struct Case {
    a: Matrix,
    y: Vec<f64>,
    sigma: Vec<f64>,
    prior: Vec<Option<(f64, f64)>>,
    pairs: Vec<(usize, usize, f64)>,
}

impl Case {
    fn random(random: &mut Random, correlated: bool) -> Self {
        let row = |random: &mut Random| (0..5).map(|_| random.next()).collect();
        let prior = |random: &mut Random| Some((3.0 * random.next(), 1.5 + random.next()));
        Self {
            a: (0..8).map(|_| row(random)).collect(),
            y: (0..8).map(|_| 4.0 * random.next()).collect(),
            sigma: (0..8).map(|_| 0.6 + 0.4 * random.next()).collect(),
            prior: vec![prior(random), None, prior(random), None, prior(random)],
            pairs: if correlated { vec![(0, 1, 0.6), (2, 5, -0.4), (1, 7, 0.2)] } else { Vec::new() },
        }
    }

    fn solve(&self) -> Estimate {
        let unknown = |(i, prior): (usize, &Option<(f64, f64)>)| match prior {
            Some((mean, sigma)) => Unknown::with_prior(format!("x{i}"), *mean, *sigma),
            None => Unknown::free(format!("x{i}"), 0.5),
        };
        let reading = |i: usize| {
            let terms: Vec<(usize, f64)> = self.a[i].iter().copied().enumerate().collect();
            // A constant of the model counts against the reading.
            let model = Linear { constant: 0.25, terms };
            Reading::new(format!("y{i}"), self.y[i] + 0.25, self.sigma[i], model)
        };
        let unknowns = self.prior.iter().enumerate().map(unknown).collect();
        let problem = Problem::new(unknowns, (0..8).map(reading).collect()).unwrap();
        problem.with_correlations(&self.pairs).unwrap().solve().unwrap()
    }

    fn covariance(&self) -> Matrix {
        let mut c = zeros(8, 8);
        for (i, s) in self.sigma.iter().enumerate() {
            c[i][i] = s * s;
        }
        for (i, j, r) in &self.pairs {
            c[*i][*j] = r * self.sigma[*i] * self.sigma[*j];
            c[*j][*i] = c[*i][*j];
        }
        c
    }
}

fn close(found: f64, expected: f64, what: &str) {
    assert!((found - expected).abs() < 1e-8 * (1.0 + expected.abs()), "{what}: {found}, expected {expected}");
}

#[test]
fn an_estimate_is_the_solution_of_the_normal_equations() {
    let mut random = Random(2);
    for k in 0..40 {
        let case = Case::random(&mut random, k % 2 == 1);
        let e = case.solve();
        let (c, at) = (case.covariance(), transposed(&case.a));
        let p = inverse(&c);
        let mut normal = product(&product(&at, &p), &case.a);
        let column = |v: &[f64]| -> Matrix { v.iter().map(|x| vec![*x]).collect() };
        let mut rhs = product(&product(&at, &p), &column(&case.y));
        for (i, prior) in case.prior.iter().enumerate() {
            if let Some((mean, sigma)) = prior {
                normal[i][i] += 1.0 / (sigma * sigma);
                rhs[i][0] += mean / (sigma * sigma);
            }
        }
        let s = inverse(&normal);
        let x = product(&s, &rhs);
        let fitted = product(&case.a, &x);
        let v: Vec<f64> = (0..8).map(|i| case.y[i] - fitted[i][0]).collect();
        for i in 0..5 {
            close(e.values()[i], x[i][0], "value");
            close(e.sigma(i), s[i][i].sqrt(), "standard uncertainty");
            for j in 0..5 {
                close(e.covariance(i, j), s[i][j], "covariance");
                close(e.correlation(i, j), s[i][j] / (s[i][i] * s[j][j]).sqrt(), "correlation");
            }
        }
        assert!(e.covariance(5, 0).abs() < 1e-300 && e.covariance(0, 5).abs() < 1e-300, "no such unknown");
        let weighed = product(&p, &column(&v));
        let misfit: f64 = v.iter().zip(&weighed).map(|(v, w)| v * w[0]).sum();
        let strain: f64 = (0..5)
            .filter_map(|i| case.prior[i].map(|(mean, sigma)| ((x[i][0] - mean) / sigma).powi(2)))
            .sum();
        close(e.misfit(), misfit, "misfit");
        close(e.cost(), misfit + strain, "cost");
        for (found, expected) in e.residuals().iter().zip(&v) {
            close(*found, *expected, "residual");
        }
        let left = less(&c, &product(&product(&case.a, &s), &at));
        let number: f64 = (0..8).map(|i| product(&left, &p)[i][i]).sum();
        close(e.redundancy(), number, "redundancy");
        close(e.unit_weight().unwrap(), (misfit / number).sqrt(), "unit weight");
        judged(&case, &e, &left, &p, &weighed);
        told(&case, &e, &x, &s);
        assert!(e.steps() < 8, "a linear problem is soon at its end: {}", e.steps());
    }
}

/// w = (P·v)ᵢ/√(P·Qvv·P)ᵢᵢ, and what of an error is found, (3.29 + 0.8416)/√(P·Qvv·P)ᵢᵢ.
fn judged(case: &Case, e: &Estimate, left: &Matrix, p: &Matrix, weighed: &Matrix) {
    let examination = e.examine();
    let inner = product(&product(p, left), p);
    for (i, check) in examination.readings.iter().enumerate() {
        close(check.standardised, weighed[i][0] / inner[i][i].sqrt(), "standardised residual");
        assert!((check.detectable * inner[i][i].sqrt() - 4.1316).abs() < 1e-4, "{}", check.detectable);
        if case.pairs.is_empty() {
            close(check.redundancy, left[i][i] / (case.sigma[i] * case.sigma[i]), "redundancy number");
        }
    }
}

/// Answers, expected readings and the share of the priors in them.
fn told(case: &Case, e: &Estimate, x: &Matrix, s: &Matrix) {
    let g = [[1.0, -2.0, 0.5, 0.0, 0.3], [0.0, 1.0, 0.0, -1.0, 0.0]];
    let model = |g: [f64; 5]| Linear { constant: 7.0, terms: g.iter().copied().enumerate().collect() };
    let answers = e.answers(&g.map(|g| Function::new("a", model(g)))).unwrap();
    let row = |g: [f64; 5]| -> Matrix { vec![g.to_vec()] };
    for (i, a) in g.iter().enumerate() {
        let sg = product(s, &transposed(&row(*a)));
        let variance = product(&row(*a), &sg)[0][0];
        let answer = &answers.list()[i];
        close(answer.value, 7.0 + product(&row(*a), x)[0][0], "answer");
        close(answer.u, variance.sqrt(), "answer's uncertainty");
        let of = |i: usize| case.prior[i].map_or(0.0, |(_, sigma)| (sg[i][0] / sigma).powi(2));
        close(answer.prior_share, (0..5).map(of).sum::<f64>() / variance, "share of the priors");
        let one = e.prior_share(&Function::new("a", model(*a)), |i| i == 2).unwrap();
        close(one, of(2) / variance, "share of one prior");
        let expected = e.expect(&model(*a), 0.3).unwrap();
        close(expected.value, answer.value, "expected reading");
        close(expected.u, (variance + 0.09).sqrt(), "its uncertainty");
        let check = expected.check(expected.value + 2.0 * expected.u).unwrap();
        close(check.standardised, 2.0, "standardised");
        for (j, b) in g.iter().enumerate() {
            let both = product(&row(*b), &sg)[0][0];
            close(answers.covariance(i, j), both, "covariance of answers");
            let other = product(&product(&row(*b), s), &transposed(&row(*b)))[0][0];
            close(answers.correlation(i, j), both / (variance * other).sqrt(), "correlation of answers");
        }
    }
    assert!(answers.covariance(0, 2).abs() < 1e-300 && answers.correlation(2, 0).abs() < 1e-300);
}

/// Of a plain sum of two unknowns a reading holds the sum alone: along (1, 1)/√2 of units of 2 its strength is
/// √2·2/0.5, and the difference is open.
#[test]
fn what_readings_alone_hold_is_counted_in_widths_of_the_priors() {
    let unknowns =
        vec![Unknown::with_prior("a", 0.0, 2.0), Unknown::with_prior("b", 0.0, 2.0), Unknown::free("c", 3.0)];
    let read = |terms: &[(usize, f64)], sigma: f64| Reading::new("r", 1.0, sigma, Linear::of(terms));
    let readings = vec![read(&[(0, 1.0), (1, 1.0)], 0.5), read(&[(2, 1.0)], 0.1)];
    let seen = Problem::new(unknowns, readings).unwrap().solve().unwrap().observability();
    assert_eq!((seen.rank, seen.unknowns, seen.open.len()), (2, 3, 1));
    // The unknown without prior came out as 1, which is its own size: 1/0.1.
    let weakest = seen.weakest.unwrap();
    close(weakest.strength, 2.0 * std::f64::consts::SQRT_2 / 0.5, "strength");
    let half = std::f64::consts::FRAC_1_SQRT_2;
    for parts in [&weakest.parts, &seen.open[0].parts] {
        assert_eq!(parts.len(), 2, "{parts:?}");
        assert!(parts.iter().all(|(i, p)| *i < 2 && (p.abs() - half).abs() < 1e-9), "{parts:?}");
    }
    assert!(
        weakest.parts[0].1 * weakest.parts[1].1 > 0.0
            && seen.open[0].parts[0].1 * seen.open[0].parts[1].1 < 0.0
    );
    assert!(seen.open[0].strength < 1e-9);
}

/// Which unknowns stay open is told, and no others.
#[test]
fn only_what_is_open_is_named() {
    let unknowns = ["a", "b", "c", "d"].map(|n| Unknown::free(n, 1.0)).to_vec();
    let read = |terms: &[(usize, f64)]| Reading::new("r", 2.0, 0.1, Linear::of(terms));
    let readings = vec![read(&[(1, 1.0), (3, 2.0)]), read(&[(0, 1.0)]), read(&[(2, 1.0), (0, 1.0)])];
    let Err(axlestand_geometry::estimation::Trouble::Undetermined { unknowns }) =
        Problem::new(unknowns, readings).unwrap().solve()
    else {
        panic!("b and d are open")
    };
    let mut named = unknowns.clone();
    named.sort();
    assert_eq!(named, ["b", "d"], "{unknowns:?}");
}

/// Nothing is known of the size of an unknown that starts at nought and is nought; it is read all the same.
#[test]
fn an_unknown_may_start_and_end_at_nought() {
    let unknowns = vec![Unknown::free("a", 0.0), Unknown::free("b", 0.0)];
    let read = |i: usize, value| Reading::new("r", value, 0.5, Linear::of(&[(i, 1.0)]));
    let e = Problem::new(unknowns, vec![read(0, 0.0), read(1, 3.0)]).unwrap().solve().unwrap();
    assert!(e.values()[0].abs() < 1e-12 && (e.values()[1] - 3.0).abs() < 1e-9, "{:?}", e.values());
    assert!((e.sigma(0) - 0.5).abs() < 1e-12);
}

/// A sweep that is level, straight or even has a slope, a curvature or both of nought to rounding. Three heights of
/// 30 mm leave one parabola: value y₂, slope (y₃ − y₁)/2 and curvature (y₁ − 2y₂ + y₃)/2 for each 30 mm.
#[test]
fn an_unknown_that_is_nought_is_no_open_one() {
    for [y1, y2, y3] in
        [[0.1, 0.0, -0.1], [0.3; 3], [0.0; 3], [0.2, 0.0, 0.2], [-0.7, -0.5, -0.3], [0.1, 0.3, 0.2]]
    {
        let points = [(-30.0, y1), (0.0, y2), (30.0, y3)].map(|(travel, value)| SweepPoint { travel, value });
        let sweep = BumpSweep::fit(&points, 0.05, 1.0).unwrap_or_else(|why| panic!("{y1} {y2} {y3}: {why}"));
        let expected = [y2, (y3 - y1) / 6.0, (y1 - 2.0 * y2 + y3) / 18.0];
        for (found, expected) in sweep.estimate().values().iter().zip(expected) {
            assert!((found - expected).abs() < 1e-9, "{found} {expected}");
        }
        assert!((sweep.change(30.0).unwrap().value - (y3 - y2)).abs() < 1e-9);
    }
}

/// Two angles, two rods that both turn both angles a little.
fn rods(sense: [f64; 2]) -> Task {
    let rod = |name: &str, rate_u, sense| Adjuster {
        name: name.into(),
        step: 0.25,
        range: (-1.0, 3.0),
        rate_u,
        sense,
    };
    let angles = [("left".to_owned(), 0.5), ("right".to_owned(), -0.2)];
    let demands = vec![Demand {
        name: "both".into(),
        combination: vec![(0, 1.0), (1, 2.0)],
        target: 0.1,
        tolerance: 0.2,
    }];
    let parts = vec![rod("one", 0.2, sense[0]), rod("other", 0.1, sense[1])];
    Task::new(&angles, &BEFORE.map(|r| r.to_vec()), parts, &RESPONSE.map(|r| r.to_vec()), demands).unwrap()
}

const BEFORE: [[f64; 2]; 2] = [[0.01, 0.004], [0.004, 0.02]];
const RESPONSE: [[f64; 2]; 2] = [[0.7, 0.1], [-0.05, 0.6]];
const AGAIN: [[f64; 2]; 2] = [[0.015, -0.002], [-0.002, 0.008]];
const TURNED: [f64; 2] = [-0.5, 0.75];

/// The readings afterwards less what one way of the senses foretells, with the covariance of that and the way itself:
/// state (angles before, factors), design, prior covariance.
fn foretold(signs: [f64; 2], seen: [f64; 2]) -> (Matrix, Matrix, Matrix, Matrix) {
    let mut design = zeros(2, 4);
    let mut prior = zeros(4, 4);
    for i in 0..2 {
        design[i][i] = 1.0;
        for j in 0..2 {
            design[i][2 + j] = RESPONSE[i][j] * TURNED[j] * signs[j];
            prior[i][j] = BEFORE[i][j];
        }
    }
    (prior[2][2], prior[3][3]) = (0.04, 0.01);
    let mean = vec![vec![0.5], vec![-0.2], vec![1.0], vec![1.0]];
    let expected = product(&design, &mean);
    let off = vec![vec![seen[0] - expected[0][0]], vec![seen[1] - expected[1][0]]];
    let mut spread = product(&product(&design, &prior), &transposed(&design));
    for i in 0..2 {
        for j in 0..2 {
            spread[i][j] += AGAIN[i][j];
        }
    }
    (off, spread, design, prior)
}

fn squared(off: &Matrix, spread: &Matrix) -> f64 {
    product(&product(&transposed(off), &inverse(spread)), off)[0][0]
}

/// Bayes' rule by inverse covariances (the crate goes by gains): (S⁻¹ + DᵀN⁻¹D)⁻¹.
#[test]
fn what_a_round_teaches_is_bayes_rule() {
    let seen = [0.1, 0.35];
    let task = rods([1.0, 1.0]);
    let learned = task.learned(&TURNED, &seen, &AGAIN.map(|r| r.to_vec())).unwrap();
    let (off, spread, design, prior) = foretold([1.0, 1.0], seen);
    let weight = product(&transposed(&design), &inverse(&AGAIN.map(|r| r.to_vec()).to_vec()));
    let mut information = inverse(&prior);
    let more = product(&weight, &design);
    for i in 0..4 {
        for j in 0..4 {
            information[i][j] += more[i][j];
        }
    }
    let posterior = inverse(&information);
    let change = product(&product(&posterior, &weight), &off);
    let state: Vec<f64> = [0.5, -0.2, 1.0, 1.0].iter().zip(&change).map(|(m, c)| m + c[0]).collect();
    let column: Matrix = state.iter().map(|x| vec![*x]).collect();
    let angles = product(&design, &column);
    let covariance = product(&product(&design, &posterior), &transposed(&design));
    for i in 0..2 {
        close(learned.task.values()[i], angles[i][0], "angle");
        let rod = &learned.task.adjusters()[i];
        close(rod.rate_u, posterior[2 + i][2 + i].sqrt() / state[2 + i], "uncertainty of the response");
        close(rod.sense, 1.0, "sense");
        for j in 0..2 {
            close(learned.task.covariance(i, j), covariance[i][j], "covariance");
            close(learned.task.response(i, j), RESPONSE[i][j] * state[2 + j], "response");
        }
    }
    assert_eq!(learned.reversed, Vec::<usize>::new());
    // Of two degrees of freedom the share above x is e^(−x/2).
    close(learned.chance, (-squared(&off, &spread) / 2.0).exp(), "chance");
    // What is left of the thread: a half turn in was used of one, three quarters out of three.
    assert_eq!(learned.task.adjusters()[0].range, (-0.5, 3.5));
    assert_eq!(learned.task.adjusters()[1].range, (-1.75, 2.25));
    // A rod that was not turned is known as it was; its range is where it was.
    let half = task.learned(&TURNED[..1], &seen, &AGAIN.map(|r| r.to_vec())).unwrap();
    assert_eq!(half.task.adjusters()[1], task.adjusters()[1]);
    assert!((half.task.response(1, 1) - 0.6).abs() < 1e-12);
    // Turned past the end that was told, the end is where it stands now.
    let past = task.learned(&[-1.5, 0.0], &seen, &AGAIN.map(|r| r.to_vec())).unwrap();
    assert_eq!(past.task.adjusters()[0].range, (0.0, 4.5));
}

/// Two doubtful senses are four ways; each weighs its odds times the density with which it foretells the readings.
#[test]
fn doubtful_senses_are_weighed_together() {
    let sense = [0.8, 0.6];
    for seen in [[0.1, 0.35], [0.9, -0.5], [0.2, -0.6], [0.8, 0.2], [0.4, -0.1]] {
        let learned = rods(sense).learned(&TURNED, &seen, &AGAIN.map(|r| r.to_vec())).unwrap();
        let ways = [[1.0, 1.0], [1.0, -1.0], [-1.0, 1.0], [-1.0, -1.0]];
        let weight = ways.map(|signs| {
            let (off, spread, ..) = foretold(signs, seen);
            let det = spread[0][0] * spread[1][1] - spread[0][1] * spread[1][0];
            let odds: f64 =
                [0, 1].map(|j| if signs[j] > 0.0 { sense[j] } else { 1.0 - sense[j] }).iter().product();
            odds * (-squared(&off, &spread) / 2.0).exp() / det.sqrt()
        });
        let best = (0..4).max_by(|a, b| weight[*a].total_cmp(&weight[*b])).unwrap();
        let reversed: Vec<usize> = (0..2).filter(|j| ways[best][*j] < 0.0).collect();
        assert_eq!(learned.reversed, reversed, "{seen:?}");
        for j in 0..2 {
            let same = (0..4).filter(|k| (ways[*k][j] > 0.0) == (ways[best][j] > 0.0));
            let expected = same.map(|k| weight[k]).sum::<f64>() / weight.iter().sum::<f64>();
            close(learned.task.adjusters()[j].sense, expected, "sense");
            assert!((learned.task.response(j, j) < 0.0) == reversed.contains(&j), "turned round");
        }
        let (off, spread, ..) = foretold(ways[best], seen);
        close(learned.chance, (-squared(&off, &spread) / 2.0).exp(), "chance");
    }
}

/// A response factor is ±1 with a sense of p and spreads by u about that, so that its mean is 2p − 1 and its square
/// 1 + u² in the mean.
#[test]
fn what_turning_brings_is_foretold_in_the_mean() {
    let task = rods([0.9, 0.75]);
    let found = &task.foretold(&TURNED)[0];
    let effect = |j: usize| (RESPONSE[0][j] + 2.0 * RESPONSE[1][j]) * TURNED[j];
    let (mean, second) = ([0.8, 0.5], [1.0 + 0.04, 1.0 + 0.01]);
    let value = 0.5 - 0.4 + effect(0) * mean[0] + effect(1) * mean[1];
    let read = 0.01 + 2.0 * 2.0 * 0.004 + 4.0 * 0.02;
    let spread: f64 = [0, 1].map(|j| effect(j).powi(2) * (second[j] - mean[j] * mean[j])).iter().sum();
    close(found.before, 0.1, "before");
    close(found.value, value, "value");
    close(found.u, (read + spread).sqrt(), "uncertainty");
    // Nothing turned, a number that is none and one too few are no turning.
    for none in [&[][..], &[f64::NAN, 0.0], &[0.0, f64::INFINITY]] {
        let rest = &task.foretold(none)[0];
        close(rest.value, 0.1, "value at rest");
        close(rest.u, read.sqrt(), "uncertainty at rest");
    }
    let solution = task.solve();
    let square = |f: &axlestand_geometry::estimation::adjustment::Foretold| {
        ((f.value - 0.1) / 0.2).powi(2) + (f.u / 0.2).powi(2)
    };
    close(solution.before, square(&task.foretold(&[0.0, 0.0])[0]), "expected square before");
    close(solution.after, square(&task.foretold(&solution.amounts)[0]), "expected square after");
    assert!(solution.steps.iter().zip(&solution.amounts).all(|(n, a)| (*n as f64 * 0.25 - a).abs() < 1e-12));
}
