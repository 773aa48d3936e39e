//! The tape survey of an invented strut corner and the bump sweep.
//!
//! The corner, its readings and the expected figures come from a separate program in another language
//! with a kinematics of its own; the planar strut has a closed form.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod dice;

use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::survey::SurveyKind::{
    self, Across, Angle, Camber, Diagonal, Height, SweepCamber, SweepToe, Tape, Toe,
};
use axlestand_geometry::estimation::survey::{BumpSweep, StrutSurvey, SurveyAnswer, SweepPoint, Tilt};
use axlestand_geometry::estimation::{Answer, Candidate, Estimate, Trouble, Wanted, in_pairs};
use axlestand_geometry::kinematics::{Corner, CornerSpec, Layout, Point};
use dice::Dice;

const A: Point = Point::LowerFront;
const B: Point = Point::LowerRear;
const C: Point = Point::LowerBall;
const D: Point = Point::TieRodInner;
const E: Point = Point::TieRodOuter;
const S: Point = Point::StrutSeat;
const T: Point = Point::StrutTop;
const W: Point = Point::WheelCentre;

fn strut(points: [[f64; 3]; 8], camber: f64, toe: f64) -> CornerSpec {
    let mut spec = CornerSpec::new(Layout::Strut, Side::Left, points[7][2]);
    for (point, [x, y, z]) in [A, B, C, D, E, S, T, W].into_iter().zip(points) {
        spec = spec.with(point, x, y, z);
    }
    (spec.camber_deg, spec.toe_deg) = (camber, toe);
    spec
}

/// The true corner: invented.
fn truth() -> CornerSpec {
    let points = [
        [12.0, 352.0, 182.0],
        [-288.0, 336.0, 194.0],
        [-4.0, 703.0, 166.0],
        [-132.0, 318.0, 219.0],
        [-128.0, 664.0, 204.0],
        [-14.0, 652.0, 312.0],
        [-44.0, 566.0, 806.0],
        [0.0, 752.0, 296.0],
    ];
    strut(points, -0.6, 0.08)
}

/// The typical corner it is surveyed about: up to 32 mm off.
fn template() -> CornerSpec {
    let points = [
        [0.0, 380.0, 200.0],
        [-320.0, 360.0, 200.0],
        [0.0, 680.0, 180.0],
        [-150.0, 340.0, 200.0],
        [-140.0, 640.0, 200.0],
        [0.0, 640.0, 340.0],
        [-20.0, 560.0, 780.0],
        [0.0, 730.0, 300.0],
    ];
    strut(points, -0.5, 0.0)
}

/// 33 readings of the true corner, rounded as a garage reads them: value and standard uncertainty.
fn base() -> Vec<(SurveyKind, f64, f64)> {
    vec![
        (Tape(A, B), 301.0, 1.0),
        (Tape(A, C), 351.0, 1.0),
        (Tape(B, C), 466.0, 1.0),
        (Tape(D, E), 347.0, 1.0),
        (Tape(C, E), 133.0, 1.0),
        (Tape(C, S), 154.0, 1.0),
        (Tape(E, S), 158.0, 1.0),
        (Tape(C, W), 139.0, 1.2),
        (Tape(E, W), 181.0, 1.2),
        (Tape(S, W), 101.0, 1.2),
        (Tape(S, T), 504.0, 1.5),
        (Tape(A, D), 153.0, 1.2),
        (Tape(B, E), 365.0, 1.2),
        (Across(A), 706.0, 1.8),
        (Across(B), 673.0, 1.8),
        (Across(C), 1404.0, 1.8),
        (Across(D), 637.0, 1.8),
        (Across(T), 1130.0, 2.5),
        (Diagonal(A, B), 752.0, 2.0),
        (Diagonal(D, B), 673.0, 2.0),
        (Height(A), 182.0, 1.0),
        (Height(B), 193.0, 1.0),
        (Height(C), 167.0, 1.0),
        (Height(D), 219.0, 1.0),
        (Height(E), 204.0, 1.0),
        (Height(S), 312.0, 1.0),
        (Height(W), 297.0, 1.0),
        (Height(T), 807.0, 3.0),
        (Angle(S, T, Tilt::LeanInFront), -9.8, 0.2),
        (Angle(S, T, Tilt::LeanFromSide), -3.4, 0.2),
        (Angle(D, E, Tilt::RiseInFront), -2.1, 0.2),
        (Camber, -0.6, 0.1),
        (Toe, 0.04, 0.07),
    ]
}

const ASKED: [SurveyAnswer; 3] =
    [SurveyAnswer::CamberChange(30.0), SurveyAnswer::ToeChange(30.0), SurveyAnswer::ToeOfRod(1.5)];

fn told(survey: &StrutSurvey, e: &Estimate) -> Vec<Answer> {
    e.answers(&survey.functions(&ASKED)).unwrap().list().to_vec()
}

fn near(what: &str, found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "{what}: {found}, expected {wanted} ± {tolerance}");
}

#[test]
fn the_kinematics_agrees_with_the_other_program_and_with_the_closed_form() {
    let corner = Corner::new(truth()).unwrap();
    for (z, camber, toe) in [
        (-60.0, 0.836069, -0.111762),
        (-30.0, 0.045250, -0.017070),
        (30.0, -1.082518, 0.170416),
        (60.0, -1.375880, 0.244884),
    ] {
        let (_, out) = corner.at(z, 0.0).unwrap();
        near("camber", out.camber, camber, 1e-6);
        near("toe", out.toe, toe, 1e-6);
    }
    // Everything in parallel planes: camber and toe by the closed form of the four-bar with a slider.
    let points = [
        [150.0, 350.0, 180.0],
        [-250.0, 350.0, 180.0],
        [0.0, 700.0, 170.0],
        [-130.0, 350.0, 180.0],
        [-130.0, 700.0, 170.0],
        [0.0, 650.0, 320.0],
        [0.0, 580.0, 800.0],
        [0.0, 750.0, 300.0],
    ];
    let corner = Corner::new(strut(points, -0.5, 0.1)).unwrap();
    for (z, camber, toe) in [
        (-60.0, 0.742058702, 0.100004579),
        (30.0, -0.863345062, 0.100007546),
        (60.0, -1.017135623, 0.100011951),
    ] {
        let (_, out) = corner.at(z, 0.0).unwrap();
        near("planar camber", out.camber, camber, 1e-8);
        near("planar toe", out.toe, toe, 1e-8);
    }
}

#[test]
fn the_fixed_set_of_33_readings() {
    let survey = StrutSurvey::new(&template()).unwrap();
    let e = survey.estimate(&base(), 1).unwrap();
    let answers = told(&survey, &e);
    for (answer, (value, u)) in answers.iter().zip([(-0.4706, 0.0246), (0.0711, 0.1275), (0.7284, 0.0156)]) {
        near(&answer.name, answer.value, value, 5e-4);
        near(&answer.name, answer.u, u, 5e-4);
    }
    near("cost", e.cost(), 8.243, 0.01);
    near("redundancy", e.redundancy(), 7.88, 0.01);
    near("largest w", e.examine().largest(), 1.66, 0.01);
    assert!(answers.iter().all(|a| a.prior_share < 0.9), "{answers:?}");
    let seen = e.observability();
    assert_eq!(seen.unknowns, 54);

    // Ten millimetres too much at one height.
    let mut wrong = base();
    let height = wrong.iter().position(|(kind, ..)| *kind == Height(C)).unwrap();
    wrong[height].1 += 10.0;
    let e = survey.estimate(&wrong, 1).unwrap();
    near("cost", e.cost(), 54.67, 0.05);
    let examination = e.examine();
    for (place, (kind, w)) in
        examination.by_size().iter().zip([(Height(C), 6.82), (Tape(C, W), 5.05), (Height(W), -5.04)])
    {
        assert_eq!(examination.readings[*place].name, kind.to_string());
        near(&kind.to_string(), examination.readings[*place].standardised, w, 0.02);
    }
}

/// Readings of the true corner without error, each with its uncertainty.
fn exact(survey: &StrutSurvey, kinds: &[(SurveyKind, f64)]) -> Vec<(SurveyKind, f64, f64)> {
    // Without readings the estimate is the prior's mean, which here is the true corner.
    let at = survey.problem(&[]).unwrap().solve().unwrap();
    let value = |kind: SurveyKind| at.expect(&*survey.model(kind).unwrap(), 1.0).unwrap().value;
    kinds.iter().map(|(kind, sigma)| (*kind, value(*kind), *sigma)).collect()
}

fn sweep() -> Vec<(SurveyKind, f64)> {
    let heights = [-60.0, -30.0, 0.0, 30.0, 60.0];
    heights
        .iter()
        .map(|z| (SweepCamber(*z), 0.1))
        .chain(heights.iter().map(|z| (SweepToe(*z), 0.07)))
        .collect()
}

/// Thirteen well-chosen readings.
fn core() -> Vec<(SurveyKind, f64)> {
    vec![
        (Tape(C, E), 1.0),
        (Tape(C, D), 1.2),
        (Tape(D, E), 1.0),
        (Tape(A, C), 1.0),
        (Tape(A, E), 1.2),
        (Tape(C, S), 1.0),
        (Tape(S, T), 1.5),
        (Height(A), 1.0),
        (Height(C), 1.0),
        (Height(D), 1.0),
        (Height(E), 1.0),
        (Angle(S, T, Tilt::LeanInFront), 0.2),
        (Angle(A, C, Tilt::RiseInFront), 0.2),
    ]
}

#[test]
fn thirteen_readings_and_the_sweep_tell_what_33_tapes_do_not() {
    let survey = StrutSurvey::new(&truth()).unwrap();
    let us = |kinds: Vec<(SurveyKind, f64)>| -> Vec<f64> {
        let e = survey.estimate(&exact(&survey, &kinds), 1).unwrap();
        told(&survey, &e).iter().map(|a| a.u).collect()
    };
    let plain: Vec<(SurveyKind, f64)> = base().iter().map(|(kind, _, sigma)| (*kind, *sigma)).collect();
    let fixed = vec![(Camber, 0.1), (Toe, 0.07)];
    // Camber change, toe change, toe for a turn of 1.5 mm.
    for (name, kinds, wanted) in [
        ("33 readings", plain.clone(), [0.0245, 0.125, 0.0150]),
        ("33 and the sweep", [plain, sweep()].concat(), [0.0215, 0.0221, 0.0149]),
        ("13 and the sweep", [core(), sweep()].concat(), [0.0235, 0.0265, 0.0235]),
        ("13 twice and the sweep", [core(), core(), sweep()].concat(), [0.0230, 0.0264, 0.0228]),
        ("the sweep alone", [fixed, sweep()].concat(), [0.0371, 0.0300, 0.42]),
    ] {
        for (found, wanted) in us(kinds).iter().zip(wanted) {
            assert!((found / wanted - 1.0).abs() < 0.02, "{name}: {found:.4} not {wanted}");
        }
    }
    // The sweep alone says nothing of the tie rod, and that is seen.
    let alone = survey.estimate(&exact(&survey, &sweep()), 1).unwrap();
    assert!(told(&survey, &alone)[2].prior_share > 0.5);
}

/// Bump steer of a shim and the toe change for 60 mm, from the separate program: 0.0116° for 10 mm and mm,
/// known to 0.0003 by 33 readings, with the sweep alone to 0.0068 (no better than not at all).
#[test]
fn a_shim_is_known_from_tapes_and_not_from_the_sweep() {
    let survey = StrutSurvey::new(&truth()).unwrap();
    let shim = survey.functions(&[SurveyAnswer::BumpOfShim(1.0), SurveyAnswer::ToeChange(60.0)]);
    let of = |kinds: Vec<(SurveyKind, f64)>| {
        let e = survey.estimate(&exact(&survey, &kinds), 1).unwrap();
        let answers = e.answers(&shim).unwrap().list().to_vec();
        let shares: Vec<f64> = shim.iter().map(|f| survey.typical_share(&e, f).unwrap()).collect();
        (answers, shares)
    };
    let plain: Vec<(SurveyKind, f64)> = base().iter().map(|(kind, _, sigma)| (*kind, *sigma)).collect();
    let fixed = vec![(Camber, 0.1), (Toe, 0.07)];
    let (tapes, shares) = of(plain);
    near("shim", tapes[0].value, 0.0116, 5e-5);
    near("its uncertainty", tapes[0].u, 0.0003, 5e-5);
    near("toe at 60 mm, tapes", tapes[1].u, 0.2516, 0.002);
    assert!(shares[0] < 0.5, "{shares:?}");
    let (thirteen, shares) = of([core(), sweep()].concat());
    near("its uncertainty from 13 and the sweep", thirteen[0].u, 0.0005, 5e-5);
    near("toe at 60 mm", thirteen[1].u, 0.0785, 0.001);
    assert!(shares[0] < 0.5 && shares[1] < 0.5, "{shares:?}");
    let (alone, shares) = of([fixed, sweep()].concat());
    near("its uncertainty from the sweep alone", alone[0].u, 0.0068, 1e-4);
    assert!(shares[0] > 0.5 && shares[1] < 0.5, "{shares:?}");
}

/// Toe for a turn in closed form: pitch over lever, times the cosine of the steering axis' inclination; the
/// lever is that of a force along the tie rod about the steering axis. The separate program has 117.2 mm and
/// 0.7156° by it, 0.7159° by its kinematics, and 0.62° with the tape from ball to rod end for a lever.
#[test]
fn toe_for_a_turn_by_the_lever_of_the_rod() {
    let spec = truth();
    let at = |point| spec.point(point).unwrap();
    let (ball, inner, outer, top) = (at(C), at(D), at(E), at(T));
    let (axis, rod) = (top - ball, outer - inner);
    let moment = (outer - ball).cross(rod).dot(axis);
    let lever = (moment / (rod.norm() * axis.norm())).abs();
    near("lever", lever, 117.2, 0.05);
    let upright = axis.z / axis.norm();
    let closed = |lever: f64| (1.5 / lever * upright).to_degrees();
    near("toe for a turn by the lever", closed(lever), 0.7156, 1e-4);
    let survey = StrutSurvey::new(&spec).unwrap();
    let told = survey.problem(&[]).unwrap().solve().unwrap();
    let turn = told.answers(&survey.functions(&[SurveyAnswer::ToeOfRod(1.5)])).unwrap().list()[0].value;
    near("toe for a turn by the kinematics", turn, 0.715_881, 1e-5);
    near("the two", closed(lever), turn, 4e-4);
    // Read off the car, the same turn is foretold.
    let reading = survey.model(SurveyKind::ToeOfRod(1.5)).unwrap();
    near("toe read before and after", told.expect(&*reading, 0.05).unwrap().value, 0.715_881, 1e-5);
    near("with the tape for a lever", closed((outer - ball).norm()), 0.62, 0.005);
}

#[test]
fn the_best_pair_after_33_readings_is_toe_at_both_ends_of_the_sweep() {
    let survey = StrutSurvey::new(&truth()).unwrap();
    let plain: Vec<(SurveyKind, f64)> = base().iter().map(|(kind, _, sigma)| (*kind, *sigma)).collect();
    let e = survey.estimate(&exact(&survey, &plain), 1).unwrap();
    let answers = e.answers(&survey.functions(&ASKED)).unwrap();
    let wanted = [Wanted(0.10), Wanted(0.05), Wanted(0.05 * 0.716)];
    let models: Vec<_> = sweep().iter().map(|(kind, _)| survey.model(*kind).unwrap()).collect();
    let singles: Vec<Candidate<'_>> = sweep()
        .iter()
        .zip(&models)
        .map(|((kind, sigma), model)| Candidate::single(kind.to_string(), 3.0, &**model, *sigma))
        .collect();
    let single = &e.rank_next(&answers, &wanted, &singles).unwrap()[0];
    assert!(single.u[1] > 0.12, "one alone only fixes the gauge's zero: {single:?}");
    let pair = &e.rank_next(&answers, &wanted, &in_pairs(&singles)).unwrap()[0];
    assert_eq!(pair.name, "toe at -60 mm with toe at +60 mm");
    near("toe with the pair", pair.u[1], 0.0245, 0.001);
}

#[test]
fn what_it_says_of_simulated_corners_holds() {
    // 60 draws: the share covered scatters by 0.03, and the priors of what can be touched help some
    // answers a little.
    let truth_survey = StrutSurvey::new(&truth()).unwrap();
    let survey = StrutSurvey::new(&template()).unwrap();
    let unknowns = truth_survey.problem(&[]).unwrap().unknowns().to_vec();
    let kinds = [core(), core(), sweep()].concat();
    let mut dice = Dice::new(2);
    let mut hits = [0; 3];
    let mut gradient = vec![0.0; unknowns.len()];
    for _ in 0..60 {
        // The true corner; targets off their joints, floor, gauges and ride height drawn, the same for
        // every reading of a point.
        let off = |i: usize, dice: &mut Dice| {
            if i < 25 { 0.0 } else { dice.normal(0.0, unknowns[i].prior.unwrap().sigma) }
        };
        let x: Vec<f64> = (0..unknowns.len()).map(|i| unknowns[i].start + off(i, &mut dice)).collect();
        let mut noisy = Vec::new();
        for (kind, sigma) in &kinds {
            let value = truth_survey.model(*kind).unwrap().evaluate(&x, &mut gradient).unwrap();
            // A sweep's height is off too, by a millimetre.
            let (above, below) = match kind {
                SweepCamber(z) => (SweepCamber(z + 0.5), SweepCamber(z - 0.5)),
                SweepToe(z) => (SweepToe(z + 0.5), SweepToe(z - 0.5)),
                other => (*other, *other),
            };
            let mut at = |kind| truth_survey.model(kind).unwrap().evaluate(&x, &mut gradient).unwrap();
            let slope = at(above) - at(below);
            noisy.push((*kind, value + dice.normal(0.0, *sigma) + slope * dice.normal(0.0, 1.0), *sigma));
        }
        let e = survey.estimate(&noisy, 1).unwrap();
        for (k, (answer, function)) in
            told(&survey, &e).iter().zip(truth_survey.functions(&ASKED)).enumerate()
        {
            let truth = function.model.evaluate(&x, &mut gradient).unwrap();
            hits[k] += i32::from((answer.value - truth).abs() < 1.96 * answer.u);
        }
    }
    println!("{hits:?} of 60 covered");
    assert!(hits.iter().all(|h| *h >= 53), "{hits:?}");
}

#[test]
fn twelve_starts_find_the_corner_from_a_far_template() {
    let survey = StrutSurvey::new(&template()).unwrap();
    let one = survey.estimate(&base(), 1).unwrap();
    let twelve = survey.estimate(&base(), 12).unwrap();
    assert!(twelve.cost() <= one.cost() + 1e-9 && (twelve.cost() - 8.243).abs() < 0.01);
}

#[test]
fn a_parabola_needs_no_geometry() {
    let corner = Corner::new(truth()).unwrap();
    let points = |of: &dyn Fn(&axlestand_geometry::kinematics::Outputs) -> f64| -> Vec<SweepPoint> {
        let at = |z: f64| SweepPoint { travel: z, value: of(&corner.at(z, 0.0).unwrap().1) + 0.35 };
        [-60.0, -30.0, 0.0, 30.0, 60.0].map(at).to_vec()
    };
    // Uncertainty and what the parabola misses, from a separate program.
    let camber = BumpSweep::fit(&points(&|o| o.camber), 0.1, 1.0).unwrap().change(30.0).unwrap();
    near("camber's uncertainty", camber.u, 0.041, 0.0015);
    near("camber's bias", camber.value - -0.482518, 0.010, 0.001);
    let toe = BumpSweep::fit(&points(&|o| o.toe), 0.07, 1.0).unwrap().change(30.0).unwrap();
    near("toe's uncertainty", toe.u, 0.029, 0.001);
    near("toe's bias", toe.value - 0.090416, -0.004, 0.001);
    let two = &points(&|o| o.toe)[..2];
    assert!(matches!(BumpSweep::fit(two, 0.07, 1.0), Err(Trouble::Undetermined { .. })));
    assert!(BumpSweep::fit(&[], 0.07, 1.0).is_err() && BumpSweep::fit(two, f64::NAN, 1.0).is_err());
    let bad = [SweepPoint { travel: f64::NAN, value: 1.0 }; 3];
    assert!(matches!(BumpSweep::fit(&bad, 0.1, 1.0), Err(Trouble::NotFinite { .. })));
}

#[test]
fn refusals() {
    let survey = StrutSurvey::new(&template()).unwrap();
    assert!(survey.model(Tape(A, Point::UpperBall)).is_err());
    assert!(survey.estimate(&[(Tape(A, B), f64::NAN, 1.0)], 1).is_err());
    assert!(survey.estimate(&[(Tape(A, B), 300.0, 0.0)], 1).is_err());
    let bare = CornerSpec::new(Layout::Strut, Side::Left, 300.0);
    let refused = StrutSurvey::new(&bare).unwrap_err().to_string();
    assert!(refused.contains("without"), "{refused}");
    let other = CornerSpec::new(Layout::DoubleWishbone, Side::Left, 300.0);
    assert!(StrutSurvey::new(&other).is_err());
    assert!(matches!(Across(A).to_string().as_str(), s if s.contains("across")));
    assert!(!Diagonal(A, B).to_string().is_empty());
}

/// A place off the typical corner in every one of the 54 unknowns.
fn somewhere(survey: &StrutSurvey) -> Vec<f64> {
    let mut dice = Dice::new(8);
    let unknowns = survey.problem(&[]).unwrap().unknowns().to_vec();
    unknowns.iter().map(|u| u.start + 0.2 * dice.normal(0.0, u.prior.unwrap().sigma)).collect()
}

/// Where what can be touched of a point is: the point in the order of the readings, and its target behind them.
fn target(x: &[f64], point: Point) -> [f64; 3] {
    let place = [A, B, C, D, E, S, T, W].iter().position(|p| *p == point).unwrap();
    let joint = if point == W { [0.0, x[21], x[22]] } else { [0, 1, 2].map(|k| x[3 * place + k]) };
    [0, 1, 2].map(|k| joint[k] + x[25 + 3 * place + k])
}

#[test]
fn tapes_heights_and_angles_are_those_of_their_targets() {
    let survey = StrutSurvey::new(&template()).unwrap();
    let x = somewhere(&survey);
    let mut gradient = vec![0.0; 54];
    let mut value = |kind: SurveyKind| survey.model(kind).unwrap().evaluate(&x, &mut gradient).unwrap();
    let (roll, pitch) = (x[49], x[50]);
    for (a, b) in [(A, C), (D, E), (E, D), (S, T), (W, S), (B, W)] {
        let (p, q) = (target(&x, a), target(&x, b));
        let d = [0, 1, 2].map(|k| q[k] - p[k]);
        near("tape", value(Tape(a, b)), (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]).sqrt(), 1e-9);
        let across = p[1] + q[1];
        near("diagonal", value(Diagonal(a, b)), (d[0] * d[0] + across * across + d[2] * d[2]).sqrt(), 1e-9);
        let rise = (d[2] + d[1] * roll.to_radians()).atan2(d[1].abs()).to_degrees();
        near("rise", value(Angle(a, b, Tilt::RiseInFront)), rise, 1e-9);
        let (front, side) = (d[1].atan2(d[2]).to_degrees() - roll, d[0].atan2(d[2]).to_degrees() + pitch);
        near("lean from in front", value(Angle(a, b, Tilt::LeanInFront)), front, 1e-9);
        near("lean from the side", value(Angle(a, b, Tilt::LeanFromSide)), side, 1e-9);
    }
    for point in [A, B, C, D, E, S, T, W] {
        let [px, py, pz] = target(&x, point);
        near("across", value(Across(point)), 2.0 * py, 1e-9);
        near("height", value(Height(point)), pz + py * roll.to_radians() - px * pitch.to_radians(), 1e-9);
        near("ahead of the hub", value(SurveyKind::Station(point)), px - target(&x, W)[0], 1e-9);
    }
    near("static camber", value(Camber), x[23], 1e-12);
    near("static toe", value(Toe), x[24], 1e-12);
}

/// The corner that the unknowns describe, put together by hand.
fn described(x: &[f64], shim: f64, rod: f64) -> Corner {
    let mut spec = template();
    for (place, point) in [A, B, C, D, E, S, T, W].into_iter().enumerate() {
        let [px, py, pz] = if point == W { [0.0, x[21], x[22]] } else { [0, 1, 2].map(|k| x[3 * place + k]) };
        spec = spec.with(point, px, py, if point == E { pz - shim } else { pz });
    }
    (spec.camber_deg, spec.toe_deg) = (x[23], x[24]);
    spec.adjusters = vec![(axlestand_geometry::kinematics::Adjuster::TieRod, rod)];
    Corner::new(spec).unwrap()
}

#[test]
fn sweeps_and_answers_are_those_of_the_corner_that_is_described() {
    let survey = StrutSurvey::new(&template()).unwrap();
    let x = somewhere(&survey);
    let mut gradient = vec![0.0; 54];
    let angles = |corner: &Corner, travel: f64| {
        let out = corner.at(travel, 0.0).unwrap().1;
        (out.camber, out.toe)
    };
    let corner = described(&x, 0.0, 0.0);
    let mut read = |kind: SurveyKind| survey.model(kind).unwrap().evaluate(&x, &mut gradient).unwrap();
    for z in [-40.0, 0.0, 55.0] {
        near("camber at a height", read(SweepCamber(z)), angles(&corner, z).0 + x[51], 1e-9);
        near("toe at a height", read(SweepToe(z)), angles(&corner, z).1 + x[52], 1e-9);
    }
    for rod in [1.5, -2.0] {
        let change = angles(&described(&x, 0.0, rod), 0.0).1 - angles(&corner, 0.0).1;
        near("toe of a longer rod", read(SurveyKind::ToeOfRod(rod)), change, 1e-9);
    }
    let ride = x[53];
    let mut told = |answer| survey.functions(&[answer])[0].model.evaluate(&x, &mut gradient).unwrap();
    let (at_ride, low) = (angles(&corner, ride), angles(&corner, ride + 30.0));
    near("camber lowered", told(SurveyAnswer::CamberChange(30.0)), low.0 - at_ride.0, 1e-9);
    near("toe lowered", told(SurveyAnswer::ToeChange(30.0)), low.1 - at_ride.1, 1e-9);
    let longer = angles(&described(&x, 0.0, 1.5), ride).1 - at_ride.1;
    near("toe of a rod at ride height", told(SurveyAnswer::ToeOfRod(1.5)), longer, 1e-9);
    let bump = |corner: &Corner| angles(corner, ride + 5.0).1 - angles(corner, ride - 5.0).1;
    let shimmed = bump(&described(&x, 2.0, 0.0)) - bump(&corner);
    near("bump steer of a shim", told(SurveyAnswer::BumpOfShim(2.0)), shimmed, 1e-9);
}

/// By central differences in every unknown.
#[test]
fn what_a_reading_owes_each_unknown() {
    let survey = StrutSurvey::new(&template()).unwrap();
    let x = somewhere(&survey);
    let kinds = [
        Tape(A, C),
        Across(B),
        Diagonal(D, W),
        Height(E),
        SurveyKind::Station(S),
        Angle(E, D, Tilt::RiseInFront),
        Angle(S, T, Tilt::LeanInFront),
        Angle(S, T, Tilt::LeanFromSide),
        Camber,
        Toe,
        SweepCamber(40.0),
        SweepToe(-50.0),
        SurveyKind::ToeOfRod(1.5),
    ];
    let answers = [
        SurveyAnswer::CamberChange(30.0),
        SurveyAnswer::ToeChange(-25.0),
        SurveyAnswer::ToeOfRod(1.5),
        SurveyAnswer::BumpOfShim(1.0),
    ];
    let readings = kinds.iter().map(|kind| (kind.to_string(), survey.model(*kind).unwrap()));
    let told = survey.functions(&answers).into_iter().map(|f| (f.name.clone(), f.model));
    for (name, model) in readings.chain(told) {
        let (mut gradient, mut unused) = (vec![0.0; 54], vec![0.0; 54]);
        model.evaluate(&x, &mut gradient).unwrap();
        for i in 0..54 {
            let mut at = |by: f64| {
                let mut beside = x.clone();
                beside[i] += by;
                model.evaluate(&beside, &mut unused).unwrap()
            };
            let h = 0.02;
            let found = (8.0 * (at(h) - at(-h)) - (at(2.0 * h) - at(-2.0 * h))) / (12.0 * h);
            near(&format!("{name}, unknown {i}"), gradient[i], found, 1e-7 * (1.0 + found.abs()));
        }
    }
}
