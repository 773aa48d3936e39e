//! Properties of the estimator: propagation, checks at entry, what to read next, outliers, order,
//! refusals, conformity.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

use axlestand_geometry::estimation::conformity::{Limits, Rule, Zone};
use axlestand_geometry::estimation::{
    Candidate, Datum, Differentiated, Formula, Function, Linear, Model, Planned, Problem, Reading, Settings,
    Trouble, Unknown, Verdict, Wanted, in_pairs, propagate, repeat_differs,
};
use axlestand_geometry::{Scalar, Vec3};
use proptest::prelude::*;

fn line(t: f64) -> Linear {
    Linear::of(&[(0, 1.0), (1, t - 20.0)])
}

#[test]
fn thermometer_calibration_of_the_guide() {
    // JCGM 100:2008, H.3; data and results as in the documentation of the GTC package.
    let t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511];
    let b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160];
    let readings = t.iter().zip(b).map(|(t, b)| Reading::new("b", b, 1.0, line(*t)));
    let unknowns = vec![Unknown::free("y1", 0.0), Unknown::free("y2", 0.0)];
    let e = Problem::new(unknowns, readings.collect()).unwrap().solve().unwrap();
    let s0 = e.unit_weight().unwrap();
    let near =
        |found: f64, wanted: f64, last: f64| assert!((found - wanted).abs() < last, "{found} {wanted}");
    near(e.values()[0], -0.1712, 1e-4);
    near(e.sigma(0) * s0, 0.0029, 1e-4);
    near(e.values()[1], 0.00218, 1e-5);
    near(e.sigma(1) * s0, 0.00067, 1e-5);
    near(e.correlation(0, 1), -0.930, 1e-3);
    near(e.misfit(), 1.100_965_83e-4, 1e-12);
    let answers = e.answers(&[Function::new("at 30", line(30.0))]).unwrap();
    near(answers.list()[0].value, -0.1494, 1e-4);
    near(answers.list()[0].u * s0, 0.0041, 1e-4);
}

/// R, X and Z from voltage, current and phase.
struct Impedance(u8);

impl Formula for Impedance {
    fn at<S: Scalar>(&self, x: &[S]) -> S {
        let z = x[0] / x[1];
        let (sin, cos) = x[2].sin_cos();
        match self.0 {
            0 => z * cos,
            1 => z * sin,
            _ => z,
        }
    }
}

const INPUTS: [f64; 3] = [4.999, 0.019661, 1.04446];
const SIGMAS: [f64; 3] = [0.0032, 9.5e-6, 7.5e-4];
const CORRELATED: [(usize, usize, f64); 3] = [(0, 1, -0.36), (0, 2, 0.86), (1, 2, -0.65)];

fn impedance() -> Vec<Function<'static>> {
    let names = ["R", "X", "Z"];
    let function = |i: u8| Differentiated { formula: Impedance(i), inputs: vec![0, 1, 2] };
    (0..3).map(|i| Function::new(names[usize::from(i)], function(i))).collect()
}

#[test]
fn impedance_of_the_guide() {
    // JCGM 100:2008, H.2; from the rounded inputs.
    let mut covariance = vec![vec![0.0; 3]; 3];
    for i in 0..3 {
        covariance[i][i] = SIGMAS[i] * SIGMAS[i];
    }
    for (i, j, r) in CORRELATED {
        covariance[i][j] = r * SIGMAS[i] * SIGMAS[j];
        covariance[j][i] = covariance[i][j];
    }
    let (answers, spread) = propagate(&INPUTS, &covariance, &impedance()).unwrap();
    for (answer, (value, u)) in answers.iter().zip([(127.732, 0.070), (219.847, 0.296), (254.260, 0.237)]) {
        assert!((answer.value - value).abs() < 1e-3 && (answer.u - u).abs() < 1e-3, "{answer:?}");
    }
    assert!((spread[0][2] / (answers[0].u * answers[2].u) + 0.588).abs() < 0.1, "{}", spread[0][2]);
    let r_xz = spread[1][2] / (answers[1].u * answers[2].u);
    assert!((r_xz - 0.993).abs() < 1e-3, "{r_xz}");

    // The same as correlated readings of the three inputs, through the estimator.
    let readings =
        (0..3).map(|i| Reading::new(format!("{i}"), INPUTS[i], SIGMAS[i], Linear::of(&[(i, 1.0)])));
    let unknowns = (0..3).map(|i| Unknown::free(format!("{i}"), 1.0)).collect();
    let problem = Problem::new(unknowns, readings.collect()).unwrap().with_correlations(&CORRELATED).unwrap();
    let fitted = problem.solve().unwrap().answers(&impedance()).unwrap();
    for (a, b) in fitted.list().iter().zip(&answers) {
        assert!((a.value - b.value).abs() < 1e-9 && (a.u - b.u).abs() < 1e-9, "{a:?} {b:?}");
    }
}

#[test]
fn correlated_repeats_weigh_less_and_are_judged_as_such() {
    // Three readings of one length, two of them sharing an error: worked by hand. Covariance
    // [[1, .5, 0], [.5, 1, 0], [0, 0, 1]]; its inverse sums to 4/3 + 1, so u² = 3/7.
    let read = |v| Reading::new("length", v, 1.0, Linear::of(&[(0, 1.0)]));
    let problem = Problem::new(vec![Unknown::free("length", 0.0)], vec![read(10.0), read(10.0), read(17.0)]);
    let e = problem.unwrap().with_correlations(&[(0, 1, 0.5)]).unwrap().solve().unwrap();
    assert!((e.values()[0] - (10.0 * 4.0 / 3.0 + 17.0) / (7.0 / 3.0)).abs() < 1e-9);
    assert!((e.covariance(0, 0) - 3.0 / 7.0).abs() < 1e-12);
    // 7 off the mean of the pair (variance 3/4), own variance 1: w = 7/√1.75.
    let examination = e.examine();
    assert!((examination.readings[2].standardised - 7.0 / 1.75f64.sqrt()).abs() < 1e-9);
    assert!((examination.redundancy - 2.0).abs() < 1e-9);
}

/// Distance to a point of the plane.
#[derive(Clone, Copy)]
struct To(f64, f64);

impl Formula for To {
    fn at<S: Scalar>(&self, p: &[S]) -> S {
        ((p[0] - S::constant(self.0)).squared() + (p[1] - S::constant(self.1)).squared()).sqrt()
    }
}

fn to(x: f64, y: f64) -> Differentiated<To> {
    Differentiated { formula: To(x, y), inputs: vec![0, 1] }
}

const STATIONS: [(f64, f64); 6] =
    [(0.0, 0.0), (900.0, 40.0), (800.0, 700.0), (-60.0, 650.0), (420.0, -300.0), (1200.0, 400.0)];

fn plane(values: &[f64], order: &[usize]) -> Problem<'static> {
    let readings = order.iter().map(|&i| {
        let (x, y) = STATIONS[i];
        Reading::new(format!("d{i}"), values[i], 1.0 + 0.2 * i as f64, to(x, y))
    });
    let unknowns = vec![Unknown::with_prior("x", 300.0, 200.0), Unknown::with_prior("y", 250.0, 200.0)];
    Problem::new(unknowns, readings.collect()).unwrap()
}

fn distances(x: f64, y: f64, noise: &[f64]) -> Vec<f64> {
    STATIONS.iter().zip(noise).map(|((a, b), n)| (x - a).hypot(y - b) + n).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn order_is_irrelevant_and_repetition_exact(
        x in 100.0..600.0f64, y in 100.0..500.0f64, noise in prop::collection::vec(-2.0..2.0f64, 6),
        turn in 1usize..6,
    ) {
        let values = distances(x, y, &noise);
        let order: Vec<usize> = (0..6).collect();
        let turned: Vec<usize> = (0..6).map(|i| (5 - i + turn) % 6).collect();
        let e = plane(&values, &order).solve().unwrap();
        let again = plane(&values, &order).solve().unwrap();
        prop_assert_eq!(e.values().to_vec(), again.values().to_vec());
        let other = plane(&values, &turned).solve().unwrap();
        for i in 0..2 {
            prop_assert!((e.values()[i] - other.values()[i]).abs() < 1e-9 * e.values()[i].abs());
            prop_assert!((e.sigma(i) / other.sigma(i) - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_further_reading_never_makes_an_answer_less_certain(
        x in 100.0..600.0f64, y in 100.0..500.0f64, g in -1.0..1.0f64, h in -1.0..1.0f64,
    ) {
        // Noiseless, so that the place where it is linearised does not move.
        let values = distances(x, y, &[0.0; 6]);
        let mut last = f64::INFINITY;
        for count in 2..=6 {
            let order: Vec<usize> = (0..count).collect();
            // The prior must not pull either.
            let unknowns = vec![Unknown::with_prior("x", x, 200.0), Unknown::with_prior("y", y, 200.0)];
            let read = |i: &usize| Reading::new("d", values[*i], 1.0, to(STATIONS[*i].0, STATIONS[*i].1));
            let problem = Problem::new(unknowns, order.iter().map(read).collect()).unwrap();
            let e = problem.solve().unwrap();
            let u = e.answers(&[Function::new("a", Linear::of(&[(0, g), (1, h)]))]).unwrap().list()[0].u;
            prop_assert!(u <= last * (1.0 + 1e-12));
            last = u;
        }
    }

    #[test]
    fn redundancy_is_readings_less_trace_of_the_hat(
        x in 100.0..600.0f64, y in 100.0..500.0f64, noise in prop::collection::vec(-2.0..2.0f64, 6),
    ) {
        let e = plane(&distances(x, y, &noise), &[0, 1, 2, 3, 4, 5]).solve().unwrap();
        let examination = e.examine();
        let sum: f64 = examination.readings.iter().map(|r| r.redundancy).sum();
        prop_assert!((sum - e.redundancy()).abs() < 1e-9);
        prop_assert!((4.0..4.1).contains(&sum), "six readings, two unknowns with wide priors: {}", sum);
    }

    #[test]
    fn nothing_breaks_on_any_numbers(
        values in prop::collection::vec(prop::num::f64::ANY, 6),
        sigma in prop::num::f64::ANY, prior in prop::num::f64::ANY, start in prop::num::f64::ANY,
    ) {
        let readings = STATIONS.iter().zip(&values).map(|((x, y), v)| Reading::new("d", *v, sigma, to(*x, *y)));
        let unknowns = vec![Unknown::with_prior("x", start, prior), Unknown::free("y", start)];
        if let Ok(problem) = Problem::new(unknowns, readings.collect())
            && let Ok(e) = problem.solve_from_robust_start(&Settings::default())
        {
            let _ = (e.examine(), e.observability());
            let _ = e.answers(&[Function::new("a", Linear::of(&[(0, 1.0), (7, 1.0)]))]);
        }
        if let Ok(limits) = Limits::new(values[0], values[1]) {
            let _ = (limits.judge(values[2], sigma, Rule::default()), limits.window(sigma, Rule::default()));
            let _ = limits.accepted(sigma, 1.645);
        }
    }

    #[test]
    fn moving_an_all_distance_net_leaves_its_residuals(
        angle in -3.0..3.0f64, dx in -500.0..500.0f64, dy in -500.0..500.0f64,
        noise in prop::collection::vec(-1.0..1.0f64, 10),
    ) {
        let points = [(0.0, 0.0), (900.0, 40.0), (800.0, 700.0), (-60.0, 650.0), (420.0, 300.0)];
        let (s, c) = angle.sin_cos();
        let moved = points.map(|(x, y)| (c * x - s * y + dx, s * x + c * y + dy));
        let residuals = |start: &[(f64, f64)]| {
            let unknowns = start.iter().flat_map(|(x, y)| [Unknown::free("x", *x), Unknown::free("y", *y)]).collect();
            let mut readings = Vec::new();
            for i in 0..5 {
                for j in 0..i {
                    let d = (points[i].0 - points[j].0).hypot(points[i].1 - points[j].1) + noise[readings.len()];
                    let inputs = vec![2 * i, 2 * i + 1, 2 * j, 2 * j + 1];
                    readings.push(Reading::new("d", d, 1.0, Differentiated { formula: Between, inputs }));
                }
            }
            Problem::new(unknowns, readings).unwrap().with_datum(Datum::Free).solve().unwrap().residuals()
        };
        for (a, b) in residuals(&points).iter().zip(residuals(&moved)) {
            prop_assert!((a - b).abs() < 1e-7, "{} {}", a, b);
        }
    }
}

#[derive(Clone, Copy)]
struct Between;

impl Formula for Between {
    fn at<S: Scalar>(&self, p: &[S]) -> S {
        let d = Vec3::new(p[0] - p[2], p[1] - p[3], S::zero());
        d.norm()
    }
}

#[test]
fn what_a_reading_would_bring_is_what_a_fit_with_it_gives() {
    let values = distances(320.0, 260.0, &[0.0; 6]);
    let at = |x: f64, y: f64| vec![Unknown::with_prior("x", x, 150.0), Unknown::with_prior("y", y, 150.0)];
    let read = |i: usize| Reading::new("d", values[i], 1.0, to(STATIONS[i].0, STATIONS[i].1));
    let answers = || {
        [Function::new("x", Linear::of(&[(0, 1.0)])), Function::new("sum", Linear::of(&[(0, 1.0), (1, 1.0)]))]
    };
    let e = Problem::new(at(320.0, 260.0), vec![read(0), read(1)]).unwrap().solve().unwrap();
    let asked = e.answers(&answers()).unwrap();
    let models: Vec<_> = (2..6).map(|i| to(STATIONS[i].0, STATIONS[i].1)).collect();
    let singles: Vec<Candidate> = models
        .iter()
        .enumerate()
        .map(|(i, m)| Candidate::single(format!("d{}", i + 2), 1.0, m, 1.0))
        .collect();
    let all = Candidate {
        name: "all".into(),
        minutes: 4.0,
        readings: models.iter().map(|m| Planned { model: m as &dyn Model, sigma: 1.0 }).collect(),
    };
    let wanted = [Wanted(0.5), Wanted(0.2)];
    let mut checked = 0;
    let mut compare = |found: &[axlestand_geometry::estimation::Worth], sets: &[Vec<usize>]| {
        for worth in found {
            let mut readings = vec![read(0), read(1)];
            readings.extend(sets[worth.candidate].iter().map(|i| read(*i)));
            let refit = Problem::new(at(320.0, 260.0), readings).unwrap().solve().unwrap();
            let refit = refit.answers(&answers()).unwrap();
            // One minute each: falls of variance over the squares of what is wanted.
            let minutes = sets[worth.candidate].len() as f64;
            let fall = |i: usize| asked.list()[i].u.powi(2) - refit.list()[i].u.powi(2);
            let score = (fall(0) / 0.25 + fall(1) / 0.04) / minutes;
            assert!((worth.score / score - 1.0).abs() < 1e-9, "{}: {} {score}", worth.name, worth.score);
            for (u, answer) in worth.u.iter().zip(refit.list()) {
                assert!((u / answer.u - 1.0).abs() < 1e-9, "{}: {u} {}", worth.name, answer.u);
                checked += 1;
            }
        }
        assert!(found.windows(2).all(|w| w[0].score >= w[1].score), "best first");
    };
    compare(&e.rank_next(&asked, &wanted, &singles).unwrap(), &[vec![2], vec![3], vec![4], vec![5]]);
    let pairs = [vec![2, 3], vec![2, 4], vec![2, 5], vec![3, 4], vec![3, 5], vec![4, 5]];
    compare(&e.rank_next(&asked, &wanted, &in_pairs(&singles)).unwrap(), &pairs);
    compare(&e.rank_next(&asked, &wanted, &[all]).unwrap(), &[vec![2, 3, 4, 5]]);
    assert_eq!(checked, 2 * (4 + 6 + 1));
    assert!(matches!(e.rank_next(&asked, &wanted[..1], &singles), Err(Trouble::Size { .. })));
}

#[test]
fn only_the_pair_shows_that_a_series_with_an_unknown_zero_is_worth_it() {
    // Slope and a gauge's zero: one reading tells nothing of the slope, two do.
    let unknowns = vec![Unknown::with_prior("slope", 0.0, 1.0), Unknown::with_prior("zero", 0.0, 50.0)];
    let e = Problem::new(unknowns, vec![]).unwrap().solve().unwrap();
    let asked = e.answers(&[Function::new("slope", Linear::of(&[(0, 1.0)]))]).unwrap();
    assert!((asked.list()[0].prior_share - 1.0).abs() < 1e-12);
    let models = [Linear::of(&[(0, -6.0), (1, 1.0)]), Linear::of(&[(0, 6.0), (1, 1.0)])];
    let singles: Vec<Candidate> =
        models.iter().map(|m| Candidate::single("at a height", 3.0, m, 0.1)).collect();
    let single = &e.rank_next(&asked, &[Wanted(0.1)], &singles).unwrap()[0];
    let pair = &e.rank_next(&asked, &[Wanted(0.1)], &in_pairs(&singles)).unwrap()[0];
    assert!(single.u[0] > 0.99 && pair.u[0] < 0.0119, "{single:?} {pair:?}");
}

#[test]
fn what_priors_hold_is_told_from_what_readings_do() {
    let unknowns = vec![Unknown::with_prior("a", 0.0, 2.0), Unknown::with_prior("b", 0.0, 2.0)];
    let sum = Linear::of(&[(0, 1.0), (1, 1.0)]);
    let e =
        Problem::new(unknowns, vec![Reading::new("sum", 3.0, 0.01, sum.clone())]).unwrap().solve().unwrap();
    let asked = e.answers(&[
        Function::new("sum", sum),
        Function::new("difference", Linear::of(&[(0, 1.0), (1, -1.0)])),
    ]);
    let asked = asked.unwrap();
    assert!(asked.list()[0].prior_share < 1e-3 && asked.list()[1].prior_share > 0.999, "{asked:?}");
    let seen = e.observability();
    assert_eq!((seen.rank, seen.open.len()), (1, 1));
    let parts = &seen.open[0].parts;
    assert!((parts[0].1 + parts[1].1).abs() < 1e-12, "the difference is open: {parts:?}");
}

#[test]
fn a_reading_is_questioned_as_it_is_entered() {
    let values = distances(320.0, 260.0, &[0.3, -0.4, 0.2, 0.1, 0.0, 0.0]);
    let e = plane(&values, &[0, 1, 2]).solve().unwrap();
    let expected = e.expect(&to(STATIONS[3].0, STATIONS[3].1), 1.0).unwrap();
    assert!(!expected.check(values[3]).unwrap().questioned);
    assert!(expected.check(values[3] + 100.0).unwrap().questioned, "the slip from the 100 mm mark");
    let (from, to_) = expected.window();
    assert!(from < values[3] && values[3] < to_ && to_ - from < 12.0);
    // Of a normal distribution 95 % lies within 1.960 standard deviations (any table).
    for end in [expected.value - from, to_ - expected.value] {
        assert!((end / expected.u - 1.960).abs() < 1e-9, "{end}");
    }
    assert!(matches!(expected.check(f64::NAN), Err(Trouble::NotFinite { .. })));
    // |y1 − y2| > 3.29·√2·s = 4.65 mm for s = 1 mm.
    assert!(!repeat_differs([344.0, 348.6], [1.0, 1.0]).unwrap());
    assert!(repeat_differs([344.0, 348.7], [1.0, 1.0]).unwrap());
    assert!(repeat_differs([344.0, 348.7], [1.0, 0.0]).is_err());
}

#[test]
fn a_slip_is_named_and_a_robust_start_gives_the_same_fit() {
    let mut values = distances(320.0, 260.0, &[0.3, -0.4, 0.2, 0.1, -0.5, 0.4]);
    values[2] += 100.0;
    let order = [0, 1, 2, 3, 4, 5];
    let plain = plane(&values, &order).solve().unwrap();
    let examination = plain.examine();
    assert!(matches!(examination.verdict, Verdict::Suspect { reading: 2, .. }), "{:?}", examination.verdict);
    assert!(examination.chance < 1e-6);
    let robust = plane(&values, &order).solve_from_robust_start(&Settings::default()).unwrap();
    assert!((robust.cost() / plain.cost() - 1.0).abs() < 1e-9, "never a lower weight in the answer");
}

/// Five readings of one thing, each to s = 2. What is left of one is v = y − mean with variance s²·4/5, so that its
/// redundancy is 4/5 and an error of (3.29 + 0.8416)·s/√(4/5) = 9.239 is found with four chances in five (0.8416 from
/// any table of the normal distribution).
#[test]
fn readings_of_one_thing_are_judged_by_their_mean() {
    let examined = |values: [f64; 5]| {
        let one = |y: &f64| Reading::new("x", *y, 2.0, Linear::of(&[(0, 1.0)]));
        let problem = Problem::new(vec![Unknown::free("x", 0.0)], values.iter().map(one).collect());
        problem.unwrap().solve().unwrap().examine()
    };
    let values = [1.0, 3.0, -2.0, 0.5, 2.5];
    let examination = examined(values);
    for (check, y) in examination.readings.iter().zip(values) {
        assert!((check.residual - (y - 1.0)).abs() < 1e-9 && (check.redundancy - 0.8).abs() < 1e-12);
        assert!((check.standardised - (y - 1.0) / (2.0 * 0.8_f64.sqrt())).abs() < 1e-9);
        assert!((check.detectable - 9.239).abs() < 1e-3, "{}", check.detectable);
    }
    assert_eq!(examination.by_size(), [2, 1, 4, 3, 0]);
    assert!((examination.largest() - 3.0 / (2.0 * 0.8_f64.sqrt())).abs() < 1e-9);
    assert!((examination.misfit - 15.5 / 4.0).abs() < 1e-9 && (examination.redundancy - 4.0).abs() < 1e-9);
    // Of four degrees of freedom the share above x is (1 + x/2)·e^(−x/2).
    let half = 15.5 / 8.0_f64;
    assert!((examination.chance - (1.0 + half) * (-half).exp()).abs() < 1e-9);
    // One far off, one halfway: the far one is suspected, the other is worth taking again too where it stands
    // out itself. Two that are equally far cannot be told apart.
    let suspects = |values| examined(values).verdict;
    assert_eq!(suspects([30.0, 0.0, 0.0, 0.0, 0.0]), Verdict::Suspect { reading: 0, also: vec![1, 2] });
    assert_eq!(suspects([12.0, 0.0, 0.0, 0.0, 0.0]), Verdict::Suspect { reading: 0, also: vec![] });
    assert_eq!(suspects([0.0, 30.0, 0.0, 0.0, -28.0]), Verdict::Suspect { reading: 1, also: vec![4] });
    // Against one at −z the first has odds of exp((w₁² − w₂²)/2) with w₁² − w₂² = 0.1875·(400 − z²): 20 at z = 19.185.
    assert_eq!(suspects([20.0, 0.0, 0.0, 0.0, -19.2]), Verdict::CannotLocate { among: vec![0, 4] });
    assert_eq!(suspects([20.0, 0.0, 0.0, 0.0, -19.17]), Verdict::Suspect { reading: 0, also: vec![4] });
}

/// Ten readings by turns 3 standard uncertainties above and below: none is off by itself, as 3·√(10/9) is
/// 3.16, but χ² is 90 at 9 degrees of freedom, where 27.9 is met once in a thousand (any table).
#[test]
fn readings_that_scatter_more_than_they_should_are_no_slip() {
    let scattered = |off: f64| {
        let one = |i: i32| {
            let value = 100.0 + if i % 2 == 0 { off } else { -off };
            Reading::new("x", value, 1.0, Linear::of(&[(0, 1.0)]))
        };
        let problem = Problem::new(vec![Unknown::free("x", 100.0)], (0..10).map(one).collect());
        problem.unwrap().solve().unwrap().examine()
    };
    assert_eq!(scattered(3.0).verdict, Verdict::TooWide);
    // 1.5 by turns is χ² = 22.5: once in 135.
    let chance = scattered(1.5).chance;
    assert!((chance - 0.0074).abs() < 1e-4, "{chance}");
    assert_eq!(scattered(1.5).verdict, Verdict::Fits);
}

#[test]
fn refusals_say_what_and_what_to_do() {
    let unknown = || vec![Unknown::free("x", 1.0)];
    let one = Linear::of(&[(0, 1.0)]);
    let of =
        |value, sigma| Problem::new(unknown(), vec![Reading::new("tape A-B", value, sigma, one.clone())]);
    assert!(matches!(Problem::new(vec![], vec![]), Err(Trouble::NoUnknowns)));
    assert!(of(f64::NAN, 1.0).unwrap_err().to_string().contains("tape A-B"));
    assert!(of(1.0, 0.0).unwrap_err().to_string().contains("above nought"));
    assert!(of(1.0, f64::INFINITY).is_err());
    let nothing = Problem::new(unknown(), vec![]).unwrap().solve().unwrap_err();
    assert_eq!(nothing, Trouble::Undetermined { unknowns: vec!["x".into()] });
    let beyond = Linear::of(&[(3, 1.0)]);
    let bad = Problem::new(unknown(), vec![Reading::new("r", 1.0, 1.0, beyond)]).unwrap().solve();
    assert!(matches!(bad, Err(Trouble::Undefined { .. })));
    let twice = || vec![Reading::new("r", 1.0, 1.0, one.clone()), Reading::new("s", 1.0, 1.0, one.clone())];
    let impossible = Problem::new(unknown(), twice()).unwrap().with_correlations(&[(0, 1, 1.0)]);
    assert_eq!(impossible.unwrap_err(), Trouble::Correlations);
    let beyond = Problem::new(unknown(), twice()).unwrap().with_correlations(&[(0, 1, 1.5)]);
    assert!(matches!(beyond, Err(Trouble::OutOfRange { .. })));
    let nowhere = Problem::new(unknown(), twice()).unwrap().with_correlations(&[(0, 7, 0.5)]);
    assert!(matches!(nowhere, Err(Trouble::Size { .. })));
    let short = Problem::new(unknown(), twice()).unwrap();
    assert!(matches!(short.solve_from(&[vec![]], &Settings::default()), Err(Trouble::Size { .. })));
    assert!(short.solve_from(&[], &Settings::default()).is_err());
}

#[test]
fn conformity_of_the_guide_and_three_zones() {
    // JCGM 106:2012, 7.4 (inputs from a metrology page of 2022; the guide rounds to 66 %).
    let judge = |y, u, lower, upper| Limits::new(lower, upper).unwrap().judge(y, u, Rule::default()).unwrap();
    assert!((judge(13.6, 1.8, 12.5, 16.3).probability - 0.6626).abs() < 1e-4);
    // Minutes of toe against 0' to 20'; recomputed.
    for (y, u, p) in [(10.0, 6.0, 0.904), (3.0, 3.0, 0.841), (18.0, 3.0, 0.748)] {
        let decision = judge(y, u, 0.0, 20.0);
        assert!((decision.probability - p).abs() < 1e-3, "{decision:?}");
        assert_eq!(decision.zone, Zone::CannotTell);
    }
    assert_eq!(judge(10.0, 3.0, 0.0, 20.0).zone, Zone::In);
    assert_eq!(judge(26.0, 3.0, 0.0, 20.0).zone, Zone::Out);
    let toe = Limits::new(0.0, 20.0).unwrap();
    // A guard of 1.645 u: with u = 6' hardly a window is left, with 3' 4.9' to 15.1'; recomputed.
    let (from, to_) = toe.accepted(6.0, 1.645).unwrap();
    assert!((from - 9.87).abs() < 0.01 && (to_ - 10.13).abs() < 0.01);
    let (from, to_) = toe.accepted(3.0, 1.645).unwrap();
    assert!((from - 4.935).abs() < 1e-3 && (to_ - 15.065).abs() < 1e-3);
    assert!(toe.accepted(6.1, 1.645).is_none() && toe.window(6.1, Rule::default()).is_none());
    let (from, to_) = toe.window(3.0, Rule::default()).unwrap();
    assert!((from - 4.935).abs() < 2e-3 && (to_ - 15.065).abs() < 2e-3, "{from} {to_}");
    let one_sided = Limits::new(-1.0, f64::INFINITY).unwrap();
    assert!((one_sided.window(0.1, Rule::default()).unwrap().0 - -0.83551).abs() < 1e-4);
    assert!(one_sided.middle().is_none() && toe.middle() == Some(10.0));
    assert!(Limits::new(1.0, 1.0).is_err() && Limits::new(f64::NAN, 1.0).is_err());
    assert!(toe.judge(1.0, 0.0, Rule::default()).is_err());
}

/// A place in the plane from six distances is found in a few steps, Gauss's method being next to Newton's there.
#[test]
fn a_search_near_its_end_is_short() {
    let values = distances(320.0, 260.0, &[0.3, -0.4, 0.2, 0.1, -0.5, 0.4]);
    let e = plane(&values, &[0, 1, 2, 3, 4, 5]).solve().unwrap();
    assert!((1..=10).contains(&e.steps()), "{}", e.steps());
}

/// What was tried is counted, and the readings that fit worst are named, worst first.
#[test]
fn a_search_that_is_cut_short_says_where_it_stood() {
    let mut values = distances(320.0, 260.0, &[0.0; 6]);
    values[4] += 300.0;
    let problem = plane(&values, &[0, 1, 2, 3, 4, 5]);
    for steps in [0, 1, 2] {
        let cut = problem.solve_with(&Settings { steps, ..Settings::default() });
        let Err(Trouble::NotConverged { iterations, cost, step_sigmas, worst }) = cut else {
            panic!("{cut:?}")
        };
        assert_eq!(iterations, steps);
        assert!(cost > 1.0 && cost.is_finite());
        assert_eq!(worst.len(), 3);
        assert_eq!(worst[0], "d4", "{worst:?}");
        // Before anything was tried nothing is known of the next step.
        assert!(step_sigmas > 1e-3 && (steps > 0 || step_sigmas.is_infinite()), "{step_sigmas}");
    }
}

/// The start itself, then places about it with the spread that was asked for, each unknown by itself.
#[test]
fn starts_are_scattered_about_the_start() {
    let problem = plane(&distances(320.0, 260.0, &[0.0; 6]), &[0, 1, 2]);
    let starts = problem.scattered_starts(400, &[30.0, 5.0]).unwrap();
    assert_eq!(starts.len(), 400);
    assert_eq!(starts[0], [300.0, 250.0]);
    assert_eq!(starts, problem.scattered_starts(400, &[30.0, 5.0]).unwrap());
    let off: Vec<[f64; 2]> = starts.iter().map(|s| [(s[0] - 300.0) / 30.0, (s[1] - 250.0) / 5.0]).collect();
    let mean = |f: &dyn Fn(&[f64; 2]) -> f64| off.iter().map(f).sum::<f64>() / 400.0;
    for k in [0, 1] {
        assert!(mean(&|o| o[k]).abs() < 0.02, "{}", mean(&|o| o[k]));
        assert!((mean(&|o| o[k] * o[k]).sqrt() - 1.0).abs() < 0.02, "{}", mean(&|o| o[k] * o[k]));
        // Of a normal distribution 68.27 % lies within one standard deviation.
        assert!((mean(&|o| f64::from(u8::from(o[k].abs() < 1.0))) - 0.6827).abs() < 0.01);
    }
    assert!(mean(&|o| o[0] * o[1]).abs() < 0.03, "{}", mean(&|o| o[0] * o[1]));
    assert!(matches!(problem.scattered_starts(3, &[1.0]), Err(Trouble::Size { .. })));
}

/// Of several starts the one with the least sum of squares counts, wherever it stands; one that leads nowhere is passed
/// over. A distance of 5 from the origin, along a line that is read to be at 3: (4, 3) or (−4, 3), of which a further
/// weak reading likes the first.
#[test]
fn the_best_of_several_starts_counts() {
    let unknowns = || vec![Unknown::free("x", 1.0), Unknown::free("y", 1.0)];
    let readings = || {
        vec![
            Reading::new("distance", 5.0, 0.1, to(0.0, 0.0)),
            Reading::new("y", 3.0, 0.1, Linear::of(&[(1, 1.0)])),
            Reading::new("x", 3.0, 5.0, Linear::of(&[(0, 1.0)])),
        ]
    };
    let problem = Problem::new(unknowns(), readings()).unwrap();
    let (near, far, nowhere) = (vec![3.0, 2.0], vec![-3.0, 2.0], vec![1e200, 1.0]);
    let x = |starts: &[Vec<f64>]| problem.solve_from(starts, &Settings::default()).map(|e| e.values()[0]);
    assert!((x(std::slice::from_ref(&far)).unwrap() + 4.0).abs() < 0.1);
    for starts in [[near.clone(), far.clone()], [far, near.clone()], [nowhere.clone(), near]] {
        assert!((x(&starts).unwrap() - 4.0).abs() < 0.1, "{starts:?}");
    }
    assert!(matches!(x(&[nowhere]), Err(Trouble::Undefined { .. })));
    assert!(matches!(x(&[vec![f64::NAN, 1.0]]), Err(Trouble::NotFinite { .. })));
}
