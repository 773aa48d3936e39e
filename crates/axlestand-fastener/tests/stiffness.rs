//! Joint stiffness and what an angle does.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_fastener::Thread;
use axlestand_fastener::stiffness::{
    STEEL_MPA, Stiffness, StiffnessError, bolt, bolt_share, cone, heating_for_stress, members,
    preload_of_turn, preload_per_degree, solid_steel,
};
use axlestand_quantity::{Angle, Length};

/// Four-figure hand calculations.
const HAND: f64 = 0.001;
/// Three-figure results.
const THREE_FIGURES: f64 = 0.005;
/// 1 MN/m in N/mm.
const MN_PER_M: f64 = 1000.0;

fn mm(value: f64) -> Length {
    Length::from_mm(value).expect("finite")
}
fn stiff(mn_per_m: f64) -> Stiffness {
    Stiffness::from_n_per_mm(mn_per_m * MN_PER_M).expect("positive")
}
fn close(found: f64, expected: f64, relative: f64, what: &str) {
    assert!((found / expected - 1.0).abs() <= relative, "{what}: {found} against {expected}");
}

/// Case: Shigley, solutions to chapter 8: cone E 207 GPa, t 20, d 10, D 15 is 3503 MN/m; bolt Ad 113,
/// At 84.3, ld 30, lt 15 is 466.8 MN/m.
#[test]
fn cone_and_bolt_of_shigley() {
    let k = cone(mm(20.0), mm(10.0), mm(15.0), STEEL_MPA).expect("a cone");
    close(k.n_per_mm() / MN_PER_M, 3503.0, HAND, "cone");
    let k = bolt(113.0, 84.3, mm(30.0), mm(15.0), STEEL_MPA).expect("a bolt");
    close(k.n_per_mm() / MN_PER_M, 466.8, HAND, "bolt");
}

/// Shigley, solutions to chapter 8: members 3503, 44 044 and 1567 MN/m in a row are 1057; with a bolt
/// of 332.4 the bolt's share is 0.239. Example 8-3: kb 6.50, km 13.8 Mlbf/in, share 0.320.
#[test]
fn members_in_series_and_the_bolts_share() {
    let km = stiff(3503.0).in_series(stiff(44_044.0)).in_series(stiff(1567.0));
    close(km.n_per_mm() / MN_PER_M, 1057.0, HAND, "members");
    assert!((bolt_share(stiff(332.4), km) - 0.239).abs() < 0.000_6);
    assert!((bolt_share(stiff(6.50), stiff(13.8)) - 0.320).abs() < 0.000_6);
}

/// Shigley, 9th edition, Example 8-3: preload 25 kip on At 0.373 in², load 6 kip: the bolt sees
/// 72.17 ksi, 67.02 of them from the preload.
#[test]
fn bolt_stress_under_load() {
    let share = bolt_share(stiff(6.50), stiff(13.8));
    let stress = (25.0 + share * 6.0) / 0.373;
    close(stress, 72.17, HAND, "stress");
}

/// A bolt all plain or all threaded within the grip is a rod of that area: k = A·E/l (any handbook).
#[test]
fn a_bolt_of_one_area_is_a_rod() {
    let k =
        |plain, threaded| bolt(113.0, 84.3, mm(plain), mm(threaded), STEEL_MPA).expect("a bolt").n_per_mm();
    close(k(40.0, 0.0), 113.0 * STEEL_MPA / 40.0, 1e-12, "plain");
    close(k(0.0, 40.0), 84.3 * STEEL_MPA / 40.0, 1e-12, "threaded");
}

/// Two cones of half the grip are the one-material formula.
#[test]
fn the_members_formula_is_two_cones() {
    let half = cone(mm(15.0), mm(12.0), mm(18.0), STEEL_MPA).expect("a cone");
    let whole = members(mm(30.0), mm(12.0), STEEL_MPA).expect("members");
    close(half.in_series(half).n_per_mm(), whole.n_per_mm(), 1e-9, "two cones");
}

/// Preload per degree of solid steel joints, E 205 GPa, in kN.
#[test]
fn preload_per_degree_of_solid_joints() {
    for (name, grip, kn) in [
        ("M10x1.25", 25.0, 1.40),
        ("M12x1.25", 20.0, 2.49),
        ("M12x1.25", 30.0, 1.74),
        ("M14x1.5", 30.0, 2.78),
        ("M20x1.5", 40.0, 4.44),
    ] {
        let thread = Thread::parse(name).expect(name);
        let joint = solid_steel(thread, mm(grip), 205_000.0).expect("a joint");
        close(preload_per_degree(thread, joint).n() / 1000.0, kn, THREE_FIGURES, name);
    }
}

/// One 60° step of a castle nut on M12×1.25 over 20 mm of solid steel would be 149 kN, almost three
/// times the proof load of class 8.8: an angle is no way to tighten a solid joint to a slot.
#[test]
fn a_whole_step_is_too_much_for_a_solid_joint() {
    let thread = Thread::parse("M12x1.25").expect("M12");
    let joint = solid_steel(thread, mm(20.0), 205_000.0).expect("a joint");
    let turn = |deg| preload_of_turn(thread, joint, Angle::from_deg(deg).expect("finite")).n();
    close(turn(60.0), 149_000.0, THREE_FIGURES, "60°");
    close(turn(-60.0), -149_000.0, THREE_FIGURES, "-60°");
}

/// A whole turn draws the bolt by one pitch (MIL-HDBK-60, 6.2.4): ΔF = P·k.
#[test]
fn a_whole_turn_is_one_pitch() {
    let thread = Thread::parse("M12x1.25").expect("M12");
    let turn = Angle::from_deg(360.0).expect("finite");
    close(preload_of_turn(thread, stiff(100.0), turn).n(), 125_000.0, 1e-12, "one turn");
}

/// MIL-HDBK-60, 6.3.2: 40 ksi with E 30·10⁶ psi and 6.2·10⁻⁶/°F from 70 °F is 285 °F.
#[test]
fn tightening_by_heat() {
    let rise = heating_for_stress(40_000.0, 30e6, 6.2e-6).expect("a rise");
    close(70.0 + rise, 285.0, HAND, "°F");
}

#[test]
fn impossible_input_is_refused() {
    assert!(matches!(
        cone(mm(20.0), mm(10.0), mm(10.0), STEEL_MPA),
        Err(StiffnessError::FaceTooSmall { .. })
    ));
    assert!(members(mm(0.0), mm(10.0), STEEL_MPA).is_err());
    assert!(bolt(113.0, 84.3, mm(0.0), mm(0.0), STEEL_MPA).is_err());
    for (plain, threaded) in [(-1.0, 10.0), (10.0, -1.0)] {
        let refused = bolt(113.0, 84.3, mm(plain), mm(threaded), STEEL_MPA);
        assert!(matches!(refused, Err(StiffnessError::NotPositive { value, .. }) if value < 0.0));
    }
    for value in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(Stiffness::from_n_per_mm(value).is_err(), "{value}");
        assert!(heating_for_stress(value, 1.0, 1.0).is_err(), "{value}");
    }
}
