//! Springs, heights, load transfer: textbook arithmetic, balances and consequences.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod cars;

use axlestand_geometry::kinematics::{Corner, Parameter};
use axlestand_geometry::springs::{
    Axle, CarSprings, Coil, CornerSpring, HeightError, Heights, Linkage, NewEnd, Place, Seating, TieRodEnd,
    aim_change, anti_dive_percent, bar_rate_at_wheel, bar_torsion, coil_rate, damping_ratio, energy_j,
    frequency_hz, ride_rate, roll_angle_per_g, roll_stiffness, wheel_rate, wind_up,
};
use axlestand_quantity::{Force, Length, Uncertain};

fn mm(x: f64) -> Length {
    Length::from_mm(x).unwrap()
}

#[track_caller]
fn near(found: f64, wanted: f64, within: f64) {
    assert!((found - wanted).abs() <= within, "{found} {wanted}");
}

#[test]
fn coil_rate_energy_and_seating() {
    // Standard formula G d⁴/(8 D³ n), worked by hand.
    let rate = coil_rate(mm(13.0), mm(140.0), 5.5, 78_500.0).unwrap();
    near(rate, 18.5698, 1e-4);
    near(energy_j(Force::from_n(3200.0).unwrap(), rate).unwrap(), 275.7, 0.05);
    near(energy_j(Force::from_n(4200.0).unwrap(), rate).unwrap(), 475.0, 0.1);
    let coil = Coil::new(rate, mm(380.0), Some(mm(94.0))).unwrap();
    let ride = coil.under(Force::from_n(3200.0).unwrap());
    near(ride.length, 207.68, 0.01);
    near(ride.to_bind.unwrap(), 113.68, 0.01);
    near(ride.energy_j, 275.7, 0.05);
    // The strut at 80 mm of droop is 74.26 mm longer: 98 mm of hold; a 270 mm spring falls out.
    let corner = Corner::new(cars::strut()).unwrap();
    let length = |travel| corner.at(travel, 0.0).unwrap().1.spring_length.unwrap();
    let seats = ride.length + length(-80.0) - length(0.0);
    let Seating::Captive { hold } = coil.seating(seats) else { panic!("captive") };
    near(hold, 98.06, 0.01);
    let short = Coil::new(rate, mm(270.0), None).unwrap();
    let Seating::Loose { gap } = short.seating(seats) else { panic!("loose") };
    near(gap, 12.0, 0.1);
    assert!(matches!(short.seating(267.0), Seating::Barely { .. }));
    assert!(
        Coil::new(-1.0, mm(300.0), None).is_err() && Coil::new(20.0, mm(300.0), Some(mm(301.0))).is_err()
    );
}

#[test]
fn wheel_rate_contains_the_motion_ratio_gradient() {
    let corner = Corner::new(cars::strut()).unwrap();
    let at = corner.design();
    let ratio = corner.outputs(at).unwrap().spring_ratio.unwrap();
    let gradient = corner.sensitivity(at, Parameter::Travel).unwrap().spring_ratio.unwrap();
    near(ratio, 0.9498, 5e-5);
    near(gradient, 0.000_622, 5e-7);
    let rate = wheel_rate(18.5698, ratio, 3200.0, gradient);
    near(rate, 18.74, 0.005);
    // Against the force itself: F_w = F_s·MR, differenced over the travel.
    let force = |travel: f64| {
        let out = corner.at(travel, 0.0).unwrap().1;
        let moved = 385.655_286_493_002_73 - out.spring_length.unwrap();
        (3200.0 + 18.5698 * moved) * out.spring_ratio.unwrap()
    };
    near((force(0.1) - force(-0.1)) / 0.2, rate, 1e-6);
    // The sampled linkage gives the same.
    let linkage = Linkage::of_corner(&corner, -80.0, 80.0, 10.0).unwrap();
    for travel in [-63.0, 0.0, 3.0, 47.5] {
        let out = corner.at(travel, 0.0).unwrap();
        let (length, mr, slope) = linkage.at(travel);
        near(length, out.1.spring_length.unwrap(), 1e-4);
        near(mr, out.1.spring_ratio.unwrap(), 2e-6);
        near(slope, corner.sensitivity(&out.0, Parameter::Travel).unwrap().spring_ratio.unwrap(), 2e-6);
    }
    // The motion ratio is what the seats come nearer per mm of travel, also beyond what was sampled.
    for travel in [-95.0, -80.0, -33.0, 0.0, 47.0, 80.0, 95.0] {
        let [before, after] = [-0.01, 0.01].map(|by| linkage.at(travel + by));
        let (_, ratio, gradient) = linkage.at(travel);
        near((before.0 - after.0) / 0.02, ratio, 1e-6);
        // At the ends it has a corner.
        if (travel.abs() - 80.0).abs() > 0.1 {
            near((after.1 - before.1) / 0.02, gradient, 1e-6);
        }
    }
}

#[test]
fn frequencies_damping_and_roll_stiffness() {
    near(frequency_hz(16.759, 320.0).unwrap(), 1.1518, 1e-4);
    let ride = ride_rate(16.759, Some(200.0)).unwrap();
    near(frequency_hz(ride, 320.0).unwrap(), 1.1064, 1e-4);
    near(damping_ratio(1500.0, 0.95, 16.759, 320.0).unwrap(), 0.292, 5e-4);
    near(roll_stiffness(16.759, 0.0, mm(1470.0)), 316.0, 0.1);
    let torsion = bar_torsion(mm(20.0), mm(900.0), 79_000.0).unwrap();
    let bar = bar_rate_at_wheel(torsion, mm(250.0), 0.95).unwrap();
    near(roll_stiffness(0.0, bar, mm(1470.0)), 750.9, 0.1);
    assert!(frequency_hz(-1.0, 300.0).is_none() && ride_rate(10.0, Some(0.0)).is_none());
}

#[test]
fn roll_and_load_transfer_of_a_textbook_car() {
    // D. C. Barton and J. D. Fieldhouse, Automotive Chassis Engineering, Springer 2018, p. 174; the
    // book's front sum of 1919 N is a slip for 1556 + 195 + 158.
    near(roll_angle_per_g(1280.0, 365.0, 28_650.0).unwrap(), 10.9, 0.055);
    let a = 0.6 * 9.81;
    let axle = |sprung_mass, roll_centre, unsprung_mass, unsprung_height| Axle {
        roll_stiffness: 0.0,
        sprung_mass,
        roll_centre,
        unsprung_mass,
        unsprung_height,
        track: 1460.0,
    };
    let front = axle(0.54 * 1280.0, 70.0, 140.0, 280.0).transfer(a, 0.0);
    let rear = axle(0.46 * 1280.0, 320.0, 180.0, 300.0).transfer(a, 0.0);
    for (found, wanted) in
        [(front.geometric, 195.0), (rear.geometric, 760.0), (front.unsprung, 158.0), (rear.unsprung, 218.0)]
    {
        near(found, wanted, 0.005 * wanted);
    }
    // Same book, p. 201: −936 N on 35.2 N/mm.
    near(936.0 / wheel_rate(35.2, 1.0, 0.0, 0.0), 26.6, 0.05);
}

#[test]
fn anti_dive_of_the_strut() {
    let corner = Corner::new(cars::strut()).unwrap();
    let slope = corner.outputs(corner.design()).unwrap().contact_slope.unwrap();
    near(slope.atan().to_degrees(), 3.576, 1e-3);
    near(anti_dive_percent(0.6, slope, mm(2500.0), mm(530.0)).unwrap(), 17.7, 0.05);
}

fn corner_spring(rate: f64, load: f64, linkage: Linkage) -> CornerSpring {
    // Free length so that the corner stands at travel nought under `load`.
    let (length, ratio, _) = linkage.at(0.0);
    let free = length + load / ratio / rate;
    CornerSpring {
        coil: Coil::new(rate, mm(free), Some(mm(90.0))).unwrap(),
        linkage,
        collar: 0.0,
        tyre_rate: None,
        unsprung: 0.0,
        bump_stop: Some((60.0, 50.0)),
        droop: Some(-80.0),
    }
}

fn simple_car(rates: [f64; 2], tracks: [f64; 2]) -> CarSprings {
    let corner = |rate| corner_spring(rate, 3000.0, Linkage::constant(200.0, 1.0).unwrap());
    CarSprings {
        corners: [corner(rates[0]), corner(rates[0]), corner(rates[1]), corner(rates[1])],
        bars: [0.0, 0.0],
        wheelbase: 2500.0,
        tracks,
    }
}

#[test]
fn one_collar_moves_the_diagonals() {
    // Ten millimetres at the front left; loads by hand from n (n·e)/(nᵀK⁻¹n).
    for (rates, tracks, wanted) in [
        ([20.0, 20.0], [1470.0, 1470.0], [50.0, -50.0, -50.0, 50.0]),
        ([20.0, 18.0], [1470.0, 1440.0], [46.34, -46.34, -47.31, 47.31]),
    ] {
        let mut car = simple_car(rates, tracks);
        let load = car.load_from_scales([3000.0; 4]).unwrap();
        let before = car.standing(&load).unwrap();
        near(before.corners[0].travel, 0.0, 1e-9);
        near(before.cross_weight, 0.5, 1e-12);
        car.corners[0].collar = 10.0;
        let after = car.standing(&load).unwrap();
        for (corner, wanted) in after.corners.iter().zip(wanted) {
            near(corner.tyre_load - 3000.0, wanted, 0.1);
        }
        let [fl, fr, rl, rr] = after.corners.map(|c| c.tyre_load);
        near(fl + fr, 6000.0, 1e-6);
        near((fl - fr) * tracks[0] + (rl - rr) * tracks[1], 0.0, 1e-3);
    }
}

/// A bar and a hub pull back or are not there: a rate or a weight below nought is a slip of the pen.
#[test]
fn rates_and_weights_below_nought_are_refused() {
    let good = simple_car([20.0, 20.0], [1470.0, 1470.0]);
    assert_eq!(good.check(), Ok(()));
    let mut car = good.clone();
    car.bars[1] = -0.5;
    let why = car.check().unwrap_err();
    assert_eq!(why, HeightError::BelowNought("the rear bar's rate"));
    assert_eq!(why.to_string(), "the rear bar's rate must be a number, 0 or more; check it");
    let mut car = good.clone();
    car.corners[2].unsprung = -0.5;
    assert_eq!(car.check(), Err(HeightError::BelowNought("an unsprung weight")));
    let mut car = good;
    car.corners[0].collar = f64::NAN;
    assert!(car.check().is_err());
}

#[test]
fn bars_stiffen_the_diagonal_pattern() {
    // On the pattern each wheel acts as k_w + 2 k_b: with k_b = 10 on both axles the 10 mm collar
    // (200 N at the seat) gives 10·20/(4/40)/40 = 50 N again by e = 10·20/40 mm at 40 N/mm.
    let mut car = simple_car([20.0, 20.0], [1470.0, 1470.0]);
    car.bars = [10.0, 10.0];
    let load = car.load_from_scales([3000.0; 4]).unwrap();
    car.corners[0].collar = 10.0;
    let after = car.standing(&load).unwrap();
    near(after.corners[0].tyre_load - 3000.0, 50.0, 0.1);
    // With tyres of 200 N/mm in series: 40·200/240 instead of 40.
    for corner in &mut car.corners {
        corner.tyre_rate = Some(200.0);
    }
    let soft = car.standing(&load).unwrap();
    near(soft.corners[0].tyre_load - 3000.0, 50.0 * 200.0 / 240.0, 0.1);
}

/// Front struts of the spatial car, simple rear.
fn strut_car() -> CarSprings {
    let corner = Corner::new(cars::strut()).unwrap();
    let linkage = Linkage::of_corner(&corner, -100.0, 90.0, 5.0).unwrap();
    let front = |load| CornerSpring {
        tyre_rate: Some(200.0),
        unsprung: 350.0,
        ..corner_spring(18.5698, load, linkage.clone())
    };
    let rear = CornerSpring {
        tyre_rate: Some(200.0),
        unsprung: 300.0,
        ..corner_spring(20.0, 2400.0, Linkage::constant(210.0, 0.8).unwrap())
    };
    CarSprings {
        corners: [front(3100.0), front(3000.0), rear.clone(), rear],
        bars: [12.0, 6.0],
        wheelbase: 2500.0,
        tracks: [1470.0, 1440.0],
    }
}

#[test]
fn wanted_heights_are_met_by_unequal_collars() {
    let mut car = strut_car();
    let load = car.load_from_scales([3600.0, 3300.0, 2800.0, 2600.0]).unwrap();
    let before = car.standing(&load).unwrap();
    for (i, corner) in before.corners.iter().enumerate() {
        assert!(corner.tyre_load > 0.0 && corner.frequency_hz.unwrap() > 0.8, "{i}");
    }
    let wanted = Heights { travels: [25.0, 25.0, 15.0, 15.0], cross_weight: Some(0.5) };
    let set = car.collars_for(&load, &wanted).unwrap();
    assert!(set.misfit < 3.0, "{}", set.misfit);
    assert!((set.collars[0] - set.collars[1]).abs() > 1.0, "equal heights, unequal collars: {set:?}");
    for (corner, collar) in car.corners.iter_mut().zip(set.collars) {
        corner.collar = collar;
    }
    let after = car.standing(&load).unwrap();
    near(after.cross_weight, 0.5, 1e-9);
    for (i, corner) in after.corners.iter().enumerate() {
        near(corner.travel, set.travels[i], 1e-6);
        near(corner.tyre_load, set.tyre_loads[i], 1e-6);
        near(corner.bump_left.unwrap(), 60.0 - corner.travel, 1e-12);
        near(corner.droop_left.unwrap(), corner.travel + 80.0, 1e-12);
    }
    // Standing as it should, no collar is to be turned any more.
    let again = car.collars_for(&load, &wanted).unwrap();
    for (change, (now, then)) in again.changes.iter().zip(again.collars.iter().zip(set.collars)) {
        near(*change, 0.0, 1e-9);
        near(*now, then, 1e-9);
    }
    // Axle sums stay with the weight.
    near(after.corners[0].tyre_load + after.corners[1].tyre_load, 6900.0, 1e-6);
    // Without a wish the cross-weight stays.
    let kept = car.collars_for(&load, &Heights { cross_weight: None, ..wanted }).unwrap();
    near((kept.tyre_loads[1] + kept.tyre_loads[2]) / 12_300.0, 6100.0 / 12_300.0, 1e-12);
    assert!(car.collars_for(&load, &Heights { cross_weight: Some(0.02), ..wanted }).is_err());
}

#[test]
fn ten_millimetres_of_collar_on_the_strut() {
    // dz/dh = k·MR/(k·MR² + F·MR′) for a corner alone: 9.41 mm, not 10/MR = 10.53. Both fronts
    // raised, so that the car goes up as one corner does.
    let corner = Corner::new(cars::strut()).unwrap();
    let linkage = Linkage::of_corner(&corner, -100.0, 90.0, 5.0).unwrap();
    let ratio = linkage.at(0.0).1;
    let front = corner_spring(18.5698, 3200.0 * ratio, linkage);
    let rear = corner_spring(20.0, 3000.0, Linkage::constant(200.0, 1.0).unwrap());
    let mut car = CarSprings {
        corners: [front.clone(), front, rear.clone(), rear],
        bars: [0.0; 2],
        wheelbase: 2500.0,
        tracks: [1470.0; 2],
    };
    let load = car.load_from_scales([3200.0 * ratio, 3200.0 * ratio, 3000.0, 3000.0]).unwrap();
    near(car.standing(&load).unwrap().corners[0].spring.force, 3200.0, 1e-6);
    for front in &mut car.corners[..2] {
        front.collar = 1.0;
    }
    let raised = -car.standing(&load).unwrap().corners[0].travel;
    near(raised, 0.941, 2e-3);
    assert!(car.standing(&load).unwrap().corners[2].travel.abs() < 1e-6, "the rear does not notice");
}

#[test]
fn a_wheel_that_carries_no_more_than_itself_is_refused() {
    let mut car = simple_car([20.0, 20.0], [1470.0, 1470.0]);
    for corner in &mut car.corners {
        corner.unsprung = 400.0;
    }
    for (load, sound) in [(399.0, false), (400.0, false), (401.0, true), (f64::NAN, false)] {
        assert_eq!(car.load_from_scales([3000.0, 3000.0, load, 3000.0]).is_ok(), sound, "{load}");
    }
}

#[test]
fn a_soft_spring_sits_on_the_bump_stop_and_a_short_one_falls_out() {
    let mut car = simple_car([20.0, 20.0], [1470.0, 1470.0]);
    let load = car.load_from_scales([3000.0; 4]).unwrap();
    for corner in &mut car.corners {
        corner.collar = -100.0;
    }
    let low = car.standing(&load).unwrap();
    // 100 mm lower would be travel 100: the stop at 60 mm with 50 N/mm takes its share.
    near(low.corners[0].travel, 60.0 + 40.0 * 20.0 / 70.0, 1e-6);
    assert!(low.corners[0].bump_left.unwrap() < 0.0);
    assert!(matches!(low.corners[3].at_droop, Some(Seating::Loose { .. })), "{:?}", low.corners[3]);
    assert_eq!(low.corners[1].place, Place::FrontRight);
}

#[test]
fn coil_bind_before_the_bump_stop_shows() {
    let mut car = simple_car([20.0, 20.0], [1470.0, 1470.0]);
    let load = car.load_from_scales([3000.0; 4]).unwrap();
    assert!(!car.standing(&load).unwrap().corners[0].binds());
    car.corners[0].coil = Coil::new(20.0, mm(350.0), Some(mm(145.0))).unwrap();
    assert!(car.standing(&load).unwrap().corners[0].binds());
}

#[test]
fn headlamps_follow_the_rake() {
    // 30 mm lower in front on 2500 mm: −1.2 %, 12 cm lower at 10 m.
    let change = aim_change(mm(-30.0), mm(0.0), mm(2500.0)).unwrap();
    near(change.percent, -1.2, 1e-12);
    near(change.at_ten_metres.mm(), -120.0, 1e-9);
    near(change.pitch.deg(), -0.6875, 1e-4);
    assert!(aim_change(mm(10.0), mm(0.0), mm(0.0)).is_err());
}

#[test]
fn new_tie_rod_end_gets_the_old_length() {
    let u = |value, u| Uncertain::new(value, u).unwrap();
    let old = TieRodEnd { body: u(62.0, 0.3), exposed: u(18.5, 0.2) };
    let new = NewEnd { body: u(60.0, 0.3), pitch: 1.5, toe_per_mm: 0.40455 };
    let fit = old.replaced_by(&new).unwrap();
    near(fit.exposed.value(), 20.5, 1e-12);
    near(fit.exposed.u(), (0.09_f64 + 0.09 + 0.04).sqrt(), 1e-12);
    near(fit.exposed_turns, 20.5 / 1.5, 1e-12);
    near(fit.toe_per_turn, 0.607, 5e-4);
    near(fit.toe_u, 0.40455 * 0.22_f64.sqrt(), 1e-9);
    assert!(old.replaced_by(&NewEnd { pitch: 0.0, ..new }).is_err());
}

#[test]
fn bushings_tightened_at_droop_wind_up() {
    let corner = Corner::new(cars::strut()).unwrap();
    let droop = wind_up(&corner, -80.0, 0.0, (-80.0, 60.0), Some(2.0), Some(16.8)).unwrap();
    near(droop.at_ride, 13.3, 0.1);
    // Droop to bump: 13.3 + 10.0.
    near(droop.most, 23.3, 0.2);
    near(droop.most_if_right, 13.3, 0.1);
    // 2 N·m/° on an arm of 0.35 m and 16.8 N/mm: 4.4 mm at 13°.
    near(droop.height_error.unwrap(), 4.5, 0.1);
    let right = wind_up(&corner, 0.0, 0.0, (-80.0, 60.0), None, None).unwrap();
    near(right.at_ride, 0.0, 1e-12);
    assert!(right.torque.is_none());
}
