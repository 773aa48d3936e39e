//! What is believed of readings at first sight, each limit (common practice, no source) tried just inside and just
//! outside; what straining the assumptions about a car and a garage does; what stays when a session is repeated.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod dice;
mod garage;

use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{
    AlignmentEstimate, Axle, CarSize, Edge, Finding, Held, Kind, Mixup, Quantity, Taken, Wheel, estimate,
};
use dice::Dice;
use garage::{AXLES, FL, Garage, SIDES, SIZE, noisy, taken};

const FR: Wheel = Wheel::ALL[1];
const RL: Wheel = Wheel::ALL[2];

fn findings(size: &CarSize, readings: &[Taken]) -> Vec<Finding> {
    estimate(size, readings, None).unwrap().findings
}

/// Readings of which one value is tried: how it is made, the least and the most that is believed, by how much to go
/// beyond. Of a slope the most is tan 8° of the base, of a length about a nominal one a tenth of it.
type Tried = (&'static str, Box<dyn Fn(f64) -> Kind>, f64, f64);

fn tried() -> Vec<Tried> {
    let turn = 600.0 * 8.0_f64.to_radians().tan();
    let plates =
        |base, front, rear| Kind::ToePlates { axle: Axle::Front, base, front, rear, half_turn: false };
    let trammel = |base, front, rear| Kind::Trammel { axle: Axle::Rear, base, front, rear };
    let edge =
        |base, front, rear| Kind::StraightEdge { side: Side::Left, base, front, rear, half_turn: false };
    let sweep = |lh, lc, rh, rc| Kind::CasterSweep {
        side: Side::Left,
        left: Held { heading: lh, camber: lc },
        right: Held { heading: rh, camber: rc },
    };
    let diagonal = 2550.0_f64.hypot(1472.5);
    vec![
        (
            "rim",
            Box::new(|x| Kind::RimGap { wheel: FL, edge: Edge::Front, half_turn: false, gap: x }),
            1.0,
            1000.0,
        ),
        ("hub", Box::new(|x| Kind::HubGap { wheel: FL, gap: x }), 1.0, 1000.0),
        ("spacing", Box::new(|x| Kind::StringSpacing { ahead: 700.0, spacing: x }), 1332.0, 3480.0),
        ("plates' base", Box::new(move |x| plates(x, 1600.0, 1600.0)), 100.0, 2000.0),
        ("front tape", Box::new(move |x| plates(600.0, x, x.clamp(741.0, 2367.0))), 740.0, 2368.0),
        ("rear tape", Box::new(move |x| plates(600.0, x.clamp(741.0, 2367.0), x)), 740.0, 2368.0),
        ("tapes", Box::new(move |x| plates(600.0, 1600.0, 1600.0 + x)), -turn, turn),
        ("trammel's base", Box::new(move |x| trammel(x, 1600.0, 1600.0)), 100.0, 2000.0),
        ("trammel", Box::new(move |x| trammel(600.0, 1600.0 - x, 1600.0)), -turn, turn),
        ("straight-edge's base", Box::new(move |x| edge(x, 20.0, 20.0)), 100.0, 2000.0),
        ("straight-edge", Box::new(move |x| edge(600.0, 20.0 + x, 20.0)), -turn, turn),
        ("run-out", Box::new(|x| Kind::RunOut { wheel: FL, top: false, out: x }), -5.0, 5.0),
        ("camber", Box::new(|x| Kind::Camber { wheel: FL, degrees: x, half_turn: false }), -12.0, 12.0),
        ("floor", Box::new(|x| Kind::FloorStep { from: FR, to: FL, rise: x }), -100.0, 100.0),
        ("left heading", Box::new(move |x| sweep(x, 0.0, -20.0, 0.0)), 5.0, 45.0),
        ("right heading", Box::new(move |x| sweep(20.0, 0.0, x, 0.0)), -45.0, -5.0),
        ("left camber", Box::new(move |x| sweep(20.0, x, -20.0, x.clamp(-24.9, 24.9))), -25.0, 25.0),
        ("right camber", Box::new(move |x| sweep(20.0, x.clamp(-24.9, 24.9), -20.0, x)), -25.0, 25.0),
        ("wheelbase", Box::new(|x| Kind::Wheelbase { side: Side::Left, distance: x }), 2295.0, 2805.0),
        (
            "diagonal",
            Box::new(|x| Kind::Diagonal { front: Side::Left, distance: x }),
            0.9 * diagonal,
            1.1 * diagonal,
        ),
    ]
}

#[test]
fn each_reading_has_a_least_and_a_most() {
    // Whichever axle is the wider.
    let turned = CarSize { front_track: SIZE.rear_track, rear_track: SIZE.front_track, ..SIZE };
    for (what, make, least, most) in tried() {
        for size in [SIZE, turned] {
            for (value, wrong) in
                [(least - 0.05, true), (least + 0.05, false), (most - 0.05, false), (most + 0.05, true)]
            {
                // In the second place, so that the place is told too.
                let first = Kind::FloorStep { from: RL, to: FL, rise: 0.0 };
                let found: Vec<Finding> = findings(&size, &taken(vec![first, make(value)]))
                    .into_iter()
                    .filter(|f| matches!(f, Finding::WrongMagnitude { .. }))
                    .collect();
                assert_eq!(!found.is_empty(), wrong, "{what} {value}: {found:?}");
                if let [Finding::WrongMagnitude { reading, value: v, least: a, most: b, .. }] = found[..] {
                    assert!(reading == 1 && (v - value).abs() < 1e-9, "{what} {found:?}");
                    assert!((a - least).abs() < 0.51 && (b - most).abs() < 1.01, "{what}: {a} {b}");
                }
            }
        }
    }
}

#[test]
fn the_edges_of_a_rim_belong_together() {
    let most = 400.0 * 8.0_f64.to_radians().tan();
    let gap = |wheel, edge, half_turn, gap| Kind::RimGap { wheel, edge, half_turn, gap };
    for wheel in Wheel::ALL {
        for half_turn in [false, true] {
            for (front, apart) in [(most - 0.1, false), (most + 0.1, true)] {
                for (a, b) in [(100.0 + front, 100.0), (100.0, 100.0 + front)] {
                    let both = [gap(wheel, Edge::Front, half_turn, a), gap(wheel, Edge::Rear, half_turn, b)];
                    let found = findings(&SIZE, &taken(both.to_vec()));
                    let named = found.iter().any(|f| {
                        matches!(f, Finding::EdgesApart { wheel: w, difference, most: m }
                            if *w == wheel && (difference - (a - b)).abs() < 1e-9 && (m - most).abs() < 1e-9)
                    });
                    assert_eq!(named, apart, "{wheel} {found:?}");
                    assert!(!found.iter().any(|f| matches!(f, Finding::MissingEdge { .. })), "{found:?}");
                }
            }
            for edge in [Edge::Front, Edge::Rear] {
                let one = findings(&SIZE, &taken(vec![gap(wheel, edge, half_turn, 100.0)]));
                let missing: Vec<&Finding> =
                    one.iter().filter(|f| matches!(f, Finding::MissingEdge { .. })).collect();
                let expected = Finding::MissingEdge { wheel, edge: edge.other(), half_turn };
                assert_eq!(missing, [&expected]);
            }
        }
    }
}

/// How far a string runs off is the gap and half the track behind less the same in front.
#[test]
fn a_crossed_string_runs_off_by_more_than_three_degrees() {
    let most = 2550.0 * 3.0_f64.to_radians().tan();
    for side in SIDES {
        for (off, crossed) in
            [(most - 0.2, false), (most + 0.2, true), (0.2 - most, false), (-most - 0.2, true)]
        {
            // The rear hub is 7.5 mm farther in.
            let gaps = AXLES.map(|axle| {
                let gap = if axle == Axle::Front { 300.0 } else { 307.5 + off };
                Kind::HubGap { wheel: Wheel::of(axle, side), gap }
            });
            let found = findings(&SIZE, &taken(gaps.to_vec()));
            let named = found.iter().any(|f| {
                matches!(f, Finding::CrossedString { side: s, runs_off }
                    if *s == side && (runs_off - off).abs() < 1e-9)
            });
            assert_eq!(named, crossed, "{side} {off}: {found:?}");
        }
    }
}

/// Two readings of usual uncertainty s differ by more than 3.29·√2·s once in a thousand.
#[test]
fn repeats_are_held_against_each_other_and_nothing_else_is() {
    let sweep = |heading: f64, camber: f64| Kind::CasterSweep {
        side: Side::Left,
        left: Held { heading, camber },
        right: Held { heading: -heading, camber: 0.0 },
    };
    let hub = |wheel, gap| Kind::HubGap { wheel, gap };
    let camber = |degrees, half_turn| Kind::Camber { wheel: FL, degrees, half_turn };
    let edge =
        |front| Kind::StraightEdge { side: Side::Left, base: 400.0, front, rear: 20.0, half_turn: false };
    let plates =
        |base, front| Kind::ToePlates { axle: Axle::Front, base, front, rear: 1600.0, half_turn: false };
    let trammel = |axle, front| Kind::Trammel { axle, base: 600.0, front, rear: 1600.0 };
    let out = |top, out| Kind::RunOut { wheel: FL, top, out };
    let step = |from, rise| Kind::FloorStep { from, to: FL, rise };
    let base = |side, distance| Kind::Wheelbase { side, distance };
    let diagonal = |front, distance| Kind::Diagonal { front, distance };
    let spacing = |ahead, spacing| Kind::StringSpacing { ahead, spacing };
    // The same thing twice, then something beside it, with the same difference.
    let cases = [
        (hub(FL, 100.0), hub(FL, 104.0), hub(FR, 104.0)),
        (camber(0.0, false), camber(0.6, false), camber(0.6, true)),
        (
            edge(20.0),
            edge(24.0),
            Kind::StraightEdge { side: Side::Right, base: 400.0, front: 24.0, rear: 20.0, half_turn: false },
        ),
        (plates(600.0, 1600.0), plates(600.0, 1607.0), plates(700.0, 1607.0)),
        (trammel(Axle::Front, 1600.0), trammel(Axle::Front, 1607.0), trammel(Axle::Rear, 1607.0)),
        (out(false, 0.0), out(false, 0.3), out(true, 0.3)),
        (step(FR, 0.0), step(FR, 5.0), step(RL, 5.0)),
        (base(Side::Left, 2550.0), base(Side::Left, 2558.0), base(Side::Right, 2558.0)),
        (diagonal(Side::Left, 2950.0), diagonal(Side::Left, 2958.0), diagonal(Side::Right, 2958.0)),
        (spacing(700.0, 1720.0), spacing(700.0, 1725.0), spacing(-700.0, 1725.0)),
        (sweep(20.0, 2.0), sweep(20.4, 6.0), sweep(25.0, 6.0)),
    ];
    for (first, again, other) in cases {
        assert!(first.same_place(again) && !first.same_place(other), "{first:?}");
        let first = Taken::usual(first);
        let differs = |second: Kind, share: f64| {
            let sigma = (first.kind.value() - second.value()).abs() / 3.29 / std::f64::consts::SQRT_2 * share;
            let both = [first, Taken { kind: second, sigma }].map(|t| Taken { sigma, ..t });
            findings(&SIZE, &both).into_iter().find(|f| matches!(f, Finding::RepeatsDiffer { .. }))
        };
        let Some(Finding::RepeatsDiffer { readings, difference, .. }) = differs(again, 0.99) else {
            panic!("{again:?}")
        };
        assert_eq!(readings, [0, 1]);
        assert!((difference - (first.kind.value() - again.value()).abs()).abs() < 1e-12);
        assert_eq!(differs(again, 1.01), None, "{again:?}");
        assert_eq!(differs(other, 0.99), None, "{other:?}");
    }
}

#[test]
fn what_would_help_is_said_of_each_wheel_and_axle() {
    let g = Garage::plain();
    let rims = |turned: bool| g.rims(turned);
    let no_half_turn = |readings: Vec<Kind>| -> Vec<Wheel> {
        let found = findings(&SIZE, &taken(readings));
        found
            .iter()
            .filter_map(|f| if let Finding::NoHalfTurn { wheel } = f { Some(*wheel) } else { None })
            .collect()
    };
    assert_eq!(no_half_turn(rims(false)), Wheel::ALL);
    assert_eq!(no_half_turn(rims(true)), Wheel::ALL);
    assert_eq!(no_half_turn([rims(false), rims(true)].concat()), []);
    assert_eq!(no_half_turn([g.cambers(false), vec![g.camber(FR, true)]].concat()), [FL, RL, Wheel::ALL[3]]);
    assert_eq!(no_half_turn(g.hubs()), []);
    let unchecked =
        |readings: Vec<Kind>| findings(&SIZE, &taken(readings)).contains(&Finding::StringsUnchecked);
    let spacings = g.spacings();
    assert!(unchecked(rims(false)) && unchecked([rims(false), g.hubs()].concat()));
    assert!(unchecked([rims(false), spacings.clone()].concat()));
    assert!(unchecked([rims(false), g.hubs(), spacings[..1].to_vec()].concat()));
    assert!(!unchecked([rims(false), g.hubs(), spacings].concat()));
    assert!(!unchecked(g.cambers(false)));
    let floor = |readings: Vec<Kind>| -> Vec<Axle> {
        let found = findings(&SIZE, &taken(readings));
        found
            .iter()
            .filter_map(|f| if let Finding::FloorUnknown { axle } = f { Some(*axle) } else { None })
            .collect()
    };
    assert_eq!(floor(g.cambers(false)), AXLES);
    let levels = g.levels();
    assert_eq!(floor([g.cambers(false), levels[..1].to_vec()].concat()), [Axle::Rear]);
    assert_eq!(floor([g.cambers(false), levels[1..2].to_vec()].concat()), [Axle::Front]);
    assert_eq!(floor([g.cambers(false), levels[2..3].to_vec()].concat()), []);
    assert_eq!(floor(vec![g.camber(RL, false)]), [Axle::Rear]);
    assert_eq!(floor(rims(false)), []);
}

/// Each mix-up explains readings that were mixed up so, and no other one does.
#[test]
fn each_mix_up_is_the_only_one_that_is_named() {
    let mut dice = Dice::new(17);
    let mut g = Garage::drawn(&mut dice);
    g.toe = [1.7, -0.8, -1.8, 0.9];
    g.camber = [-2.0, 1.4, -2.4, 1.2];
    g.floor = [9.0, -9.0, 8.0, -8.0];
    g.string = [(895.0, -0.4), (-850.0, 0.5)];
    g.run_out = [[0.1, 0.0], [0.0, 0.2], [-0.1, 0.0], [0.0, -0.1]];
    let mut readings = g.everything();
    readings.extend(taken([false, true].map(|h| g.plates(Axle::Rear, h)).to_vec()));
    // Sides swapped at one axle show where a straight-edge compares the wheels of a side.
    let heading = |axle, side, turned: f64| {
        let i = garage::place(Wheel::of(axle, side));
        g.toe[i].to_radians() + turned * 2.0 * g.run_out[i][0] / SIZE.rim
    };
    for (side, half_turn, turned) in SIDES.iter().flat_map(|s| [(*s, false, 1.0), (*s, true, -1.0)]) {
        let by = 400.0 * (heading(Axle::Front, side, turned) - heading(Axle::Rear, side, turned));
        readings.push(Taken::usual(Kind::StraightEdge {
            side,
            base: 400.0,
            front: 30.0 + by,
            rear: 30.0,
            half_turn,
        }));
    }
    let clean = noisy(&readings, &mut dice);
    let all = Wheel::ALL.map(Mixup::Edges);
    let of_axles = AXLES.iter().flat_map(|a| [Mixup::Tapes(*a), Mixup::StringSides(*a)]);
    let others: Vec<Mixup> = of_axles.chain([Mixup::Spacings]).collect();
    for what in all.into_iter().chain(others) {
        let swapped: Vec<Taken> =
            clean.iter().map(|t| Taken { kind: mixed_up(what, t.kind), ..*t }).collect();
        let outcome = estimate(&SIZE, &swapped, None).unwrap();
        assert!(outcome.estimate.is_none(), "{what:?}");
        let [Finding::MixedUp { among, misfit, misfit_swapped }] =
            &outcome.findings.iter().filter(|f| f.blocks()).cloned().collect::<Vec<_>>()[..]
        else {
            panic!("{what:?}: {:?}", outcome.findings)
        };
        assert_eq!(*among, [what]);
        // Odds of a thousand to one and more.
        assert!(misfit - misfit_swapped > 2.0 * 1000f64.ln() && *misfit_swapped < 100.0, "{misfit}");
        // Undone it is as good as never done.
        let undone = estimate(&SIZE, &clean, None).unwrap().estimate.unwrap();
        assert!((undone.fit().cost() - misfit_swapped).abs() < 1e-6 * misfit_swapped);
    }
}

fn mixed_up(what: Mixup, mut kind: Kind) -> Kind {
    match (&mut kind, what) {
        (Kind::RimGap { wheel, .. } | Kind::HubGap { wheel, .. }, Mixup::StringSides(a))
            if wheel.axle == a =>
        {
            *wheel = wheel.opposite();
        }
        (Kind::RimGap { wheel, edge, .. }, Mixup::Edges(w)) if *wheel == w => *edge = edge.other(),
        (Kind::StringSpacing { ahead, .. }, Mixup::Spacings) => *ahead = -2550.0 - *ahead,
        (Kind::ToePlates { axle, front, rear, .. }, Mixup::Tapes(a)) if *axle == a => {
            std::mem::swap(front, rear);
        }
        _ => {}
    }
    kind
}

/// A floor step that was read to 0.5 mm, with floors assumed level to 4 mm, so that its square is held against
/// 0.5² + 2·4²; with it there are three readings, the two middles of the axles being assumed. The share of χ² with
/// three degrees of freedom above x is 2(1 − Φ(√x)) + √(2x/π)·e^(−x/2) (Abramowitz and Stegun, 26.4.4).
#[test]
fn what_strains_the_assumptions_is_told_though_nothing_contradicts_it() {
    let of = |rise: f64| {
        let step = Taken { kind: Kind::FloorStep { from: FR, to: FL, rise }, sigma: 0.5 };
        estimate(&SIZE, &[step], None).unwrap()
    };
    let loud = |found: &[Finding]| -> Vec<Finding> {
        found.iter().filter(|f| !matches!(f, Finding::Unchecked { .. })).cloned().collect()
    };
    // 20 mm is met once in 160, 24 mm once in 2000.
    assert_eq!(loud(&of(20.0).findings), []);
    let strained = of(24.0);
    let [Finding::FitTooWide { chance }] = loud(&strained.findings)[..] else { panic!("{strained:?}") };
    // √17.860 = 4.22616: 2·1.1885e-5 from tables of the normal tail, and 3.37199·1.32212e-4.
    let x: f64 = 24.0 * 24.0 / 32.25;
    let by_hand = 2.0 * 1.188e-5 + (2.0 * x / std::f64::consts::PI).sqrt() * (-x / 2.0).exp();
    assert!((chance / by_hand - 1.0).abs() < 1e-3, "{chance} {by_hand}");
    assert!(strained.estimate.is_some());
    let hopeless = of(60.0);
    assert!(hopeless.estimate.is_none());
    let found = loud(&hopeless.findings);
    assert!(
        matches!(&found[..], [Finding::FitTooWide { .. }, Finding::Contradiction { worst, .. }] if worst.len() == 3),
        "{found:?}"
    );
}

/// Strings may stand near the wheels or far from them: where they seem to be is taken from the gaps, on each side.
#[test]
fn strings_may_stand_far_out() {
    for out in [[760.0, -770.0], [860.0, -1300.0], [1400.0, -1250.0]] {
        let mut g = Garage::plain();
        g.string = [(out[0], 0.0), (out[1], 0.0)];
        let of = |kinds: Vec<Kind>| {
            let outcome = estimate(&SIZE, &taken(kinds), None).unwrap();
            assert!(!outcome.findings.iter().any(Finding::blocks), "{out:?} {:?}", outcome.findings);
            outcome.estimate.unwrap().fit().cost()
        };
        // Whether front and rear are read, or the rear alone: the strings strain nothing.
        assert!(of([g.rims(false), g.hubs()].concat()) < 0.1);
        let rear: Vec<Kind> = g.hubs().into_iter().skip(2).collect();
        assert!(of(rear) < 0.1);
    }
}

fn solved(readings: &[Taken]) -> AlignmentEstimate {
    estimate(&SIZE, readings, None).unwrap().estimate.unwrap()
}

/// One reading of camber: its own uncertainty can be read away, the gauge's zero (0.1°), the rim's run-out (0.3 mm on
/// 200 mm) and the floor's slope (4 mm at each end of the track) cannot. Camber itself is held by 5° only, so that
/// of each part all but 1 in 2500 goes into it.
#[test]
fn what_stays_when_camber_is_read_again() {
    let e = solved(&taken(vec![Garage::plain().camber(FL, false)]));
    let rad = 180.0 / std::f64::consts::PI;
    let parts = [0.1, 0.3 / 200.0 * rad, 4.0 * std::f64::consts::SQRT_2 / 1480.0 * rad].map(|s| s * s);
    let whole = 25.0 + parts.iter().sum::<f64>() + 0.01;
    let stays: f64 = parts.iter().map(|s| (25.0 * s / whole).powi(2) / (s - s * s / whole)).sum();
    assert!((e.lasting(FL, true) - stays.sqrt()).abs() < 1e-9, "{} {}", e.lasting(FL, true), stays.sqrt());
    // Of a wheel that was not read nothing is told, and next to nothing of it stays.
    assert!(e.lasting(RL, true) < 1e-9 && e.lasting(FL, false) < 1e-9);
}

/// What stays of toe is what a dial gauge at the rim would take away.
#[test]
fn what_stays_when_toe_is_read_again() {
    let g = Garage::plain();
    let readings = taken([g.rims(false), g.hubs(), g.spacings()].concat());
    let e = solved(&readings);
    let u = |e: &AlignmentEstimate, wheel| e.get(Quantity::Toe(wheel)).unwrap().u;
    for wheel in Wheel::ALL {
        let mut more = readings.clone();
        more.push(Taken { kind: Kind::RunOut { wheel, top: false, out: 0.0 }, sigma: 1e-4 });
        let taken_away = u(&e, wheel).powi(2) - u(&solved(&more), wheel).powi(2);
        assert!((e.lasting(wheel, false) - taken_away.sqrt()).abs() < 1e-6, "{wheel}");
        assert!(e.lasting(wheel, false) > 0.05, "{wheel}: 0.3 mm on 200 mm is 0.09°");
    }
}

/// Once everything was read without error, every further reading is foretold as the garage's plain geometry has it.
#[test]
fn every_kind_of_reading_is_foretold() {
    let mut dice = Dice::new(23);
    let mut g = Garage::drawn(&mut dice);
    (g.gauge, g.along) = (0.0, [2556.0, 8.0, -3.0]);
    let of = |axle, s| Wheel::of(axle, s);
    let hub = |w: Wheel| {
        let i = garage::place(w);
        let skew = w.side.sign() / 2.0 * if w.axle == Axle::Front { g.along[1] } else { g.along[2] };
        (if w.axle == Axle::Front { skew } else { skew - g.along[0] }, g.hub[i])
    };
    let apart = |a: Wheel, b: Wheel| (hub(a).0 - hub(b).0).hypot(hub(a).1 - hub(b).1);
    let base = |s| Kind::Wheelbase { side: s, distance: apart(of(Axle::Front, s), of(Axle::Rear, s)) };
    let diagonal =
        |s: Side| Kind::Diagonal { front: s, distance: apart(of(Axle::Front, s), of(Axle::Rear, s.other())) };
    let mut readings = g.everything();
    readings.extend(taken(vec![base(Side::Left), base(Side::Right), diagonal(Side::Left)]));
    for reading in &mut readings {
        reading.sigma *= 0.002;
    }
    // Held so still, the assumed middles of the axles and the curvature of toe are the largest errors left.
    let outcome = estimate(&SIZE, &readings, None).unwrap();
    let e = outcome.estimate.unwrap_or_else(|| panic!("{:?}", outcome.findings));
    let toe = |w: Wheel| g.toe[garage::place(w)];
    let out = |w: Wheel, k: usize| g.run_out[garage::place(w)][k];
    // Over a base the rim's run-out counts by twice its size over the rim.
    let angle = |w: Wheel, half_turn: bool, base: f64| {
        let turned = if half_turn { -1.0 } else { 1.0 };
        base * (toe(w).to_radians() + turned * 2.0 * out(w, 0) / SIZE.rim)
    };
    let mut further = vec![diagonal(Side::Right), g.sweep(Side::Right, 15.0)];
    for half_turn in [false, true] {
        for side in SIDES {
            let by = angle(of(Axle::Front, side), half_turn, 350.0)
                - angle(of(Axle::Rear, side), half_turn, 350.0);
            further.push(Kind::StraightEdge { side, base: 350.0, front: 30.0 + by, rear: 30.0, half_turn });
        }
        for axle in AXLES {
            let by: f64 = SIDES.iter().map(|s| angle(of(axle, *s), half_turn, 500.0)).sum();
            further.push(Kind::ToePlates { axle, base: 500.0, front: 1600.0, rear: 1600.0 + by, half_turn });
        }
    }
    for axle in AXLES {
        let by: f64 = SIDES.iter().map(|s| 450.0 * toe(of(axle, *s)).to_radians()).sum();
        further.push(Kind::Trammel { axle, base: 450.0, front: 1480.0, rear: 1480.0 + by });
    }
    for wheel in Wheel::ALL {
        further.push(Kind::RunOut { wheel, top: false, out: out(wheel, 0) });
        further.push(Kind::RunOut { wheel, top: true, out: out(wheel, 1) });
        further.push(g.camber(wheel, false));
        further.push(Kind::HubGap { wheel, gap: g.gap(wheel, 0.0, g.hub[garage::place(wheel)]) });
    }
    let floor = |w: Wheel| g.floor[garage::place(w)];
    let step = |from, to| Kind::FloorStep { from, to, rise: floor(to) - floor(from) };
    further.extend([step(FL, Wheel::ALL[3]), step(RL, FR)]);
    further.push({
        let y = |s: usize| g.string[s].0 - 1200.0 * g.string[s].1.to_radians().tan();
        Kind::StringSpacing { ahead: -1200.0, spacing: y(0) - y(1) }
    });
    for kind in further {
        let expected = e.expect(&Taken::usual(kind)).unwrap();
        // A twentieth of what it is usually read to; the garage's caster rule is good to 0.03°.
        let within = if matches!(kind, Kind::CasterSweep { .. }) { 0.03 } else { 0.05 * kind.usual_sigma() };
        let off = expected.value - kind.value();
        assert!(off.abs() < within, "{kind}: {} expected {}", expected.value, kind.value());
    }
}

/// Of a difference of two that are each read to s it is √2·s; of a sweep it is that of both cambers (0.1°), of both
/// headings (1°, at 4° of caster: 4°·cos S·π/180) and of an inclination known to 4°.
#[test]
fn usual_uncertainties_of_what_is_read_twice() {
    let sweep = |left, right| Kind::CasterSweep {
        side: Side::Left,
        left: Held { heading: left, camber: 0.0 },
        right: Held { heading: right, camber: 0.0 },
    };
    let heading = |h: f64| 4.0 * h.to_radians().cos() * 1.0_f64.to_radians();
    for (left, right) in [(20.0, -20.0), (20.0, -15.0), (12.0, -30.0)] {
        let lean = 4.0 * (f64::to_radians(left).cos() - f64::to_radians(right).cos());
        for (single, taken) in
            [(0.1, Taken::usual(sweep(left, right))), (0.3, Taken::with_sigma(sweep(left, right), 0.3))]
        {
            let square: f64 =
                [single, single, heading(left), heading(right), lean].iter().map(|x| x * x).sum();
            assert!((taken.sigma - square.sqrt()).abs() < 1e-12, "{left} {right} {}", taken.sigma);
        }
    }
    let two = std::f64::consts::SQRT_2;
    let plates =
        Kind::ToePlates { axle: Axle::Front, base: 600.0, front: 1600.0, rear: 1600.0, half_turn: false };
    let trammel = Kind::Trammel { axle: Axle::Front, base: 600.0, front: 1600.0, rear: 1600.0 };
    let edge =
        Kind::StraightEdge { side: Side::Left, base: 400.0, front: 20.0, rear: 20.0, half_turn: false };
    for (kind, usual) in [(plates, two), (trammel, two), (edge, 0.5 * two)] {
        assert!((Taken::usual(kind).sigma - usual).abs() < 1e-12);
        assert!((Taken::with_sigma(kind, 0.3).sigma - 0.3 * two).abs() < 1e-12);
    }
    let hub = Kind::HubGap { wheel: FL, gap: 100.0 };
    assert!((Taken::with_sigma(hub, 0.3).sigma - 0.3).abs() < 1e-12);
}
