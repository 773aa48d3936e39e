//! Springs, heights, load transfer: textbook arithmetic, balances and consequences.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

mod cars;

use axlestand_geometry::kinematics::{Corner, Parameter};
use axlestand_geometry::springs::{
    Axle, BadCoil, BadLinkage, CarSprings, Coil, CornerSpring, HeightError, Heights, Linkage, LinkagePoint,
    NewEnd, Place, Seating, TieRodEnd, aim_change, anti_dive_percent, bar_rate_at_wheel, bar_torsion,
    coil_rate, damping_ratio, energy_j, frequency_hz, ride_rate, roll_angle_per_g, roll_stiffness,
    wheel_rate, wind_up,
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

/// The moments that turn the car over about the ground are those of mass times acceleration at its height, and of the
/// weight that has gone sideways as the body leans. Both axles together take just that, by all ways.
#[test]
fn load_transfer_takes_the_whole_overturning_moment() {
    let (mass, above, a, track) = (1280.0, 365.0, 4.0, 1460.0);
    let (stiffness, unsprung) = ([16_000.0, 12_650.0], [(140.0, 280.0), (180.0, 300.0)]);
    let per_g = roll_angle_per_g(mass, above, stiffness[0] + stiffness[1]).unwrap();
    let roll = (per_g * a / 9.806_65).to_radians();
    let axle = |i: usize, share: f64, roll_centre| Axle {
        roll_stiffness: stiffness[i],
        sprung_mass: share * mass,
        roll_centre,
        unsprung_mass: unsprung[i].0,
        unsprung_height: unsprung[i].1,
        track,
    };
    let both = [axle(0, 0.54, 70.0), axle(1, 0.46, 320.0)].map(|axle| axle.transfer(a, roll));
    // The roll axis is 185 mm high under the body's centre, so that is 550 mm up.
    let height = 0.54 * 70.0 + 0.46 * 320.0 + above;
    let turning = mass * a * height
        + mass * 9.806_65 * above * roll
        + unsprung.iter().map(|(m, h)| m * a * h).sum::<f64>();
    let taken: f64 = both.iter().map(|t| (t.elastic + t.geometric + t.unsprung) * track).sum();
    near(taken / turning, 1.0, 1e-9);
    // Each way by itself: 16 000 N·m/rad at 0.1 rad over 1.46 m.
    let front = axle(0, 0.54, 70.0).transfer(0.0, 0.1);
    near(front.elastic, 1600.0 / 1.46, 1e-9);
    near(front.geometric + front.unsprung, 0.0, 1e-12);
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

/// What holds of every car at rest, whatever its springs: forces and moments are those of the load, each wheel carries
/// its spring, stop and bar, and the four contact points lie in one plane.
#[test]
fn the_standing_car_is_in_balance() {
    let mut random = cars::Random(12);
    for _ in 0..40 {
        let mut car = strut_car();
        for corner in &mut car.corners {
            corner.collar = 30.0 * random.next();
            corner.unsprung += 50.0 * random.next();
            corner.tyre_rate = Some(200.0 + 60.0 * random.next());
        }
        car.bars = [12.0 + 10.0 * random.next(), 6.0 + 5.0 * random.next()];
        let scales = [3600.0, 3300.0, 2800.0, 2600.0].map(|w| w + 250.0 * random.next());
        let stands = car.standing(&car.load_from_scales(scales).unwrap()).unwrap();
        let tyres = stands.corners.map(|c| c.tyre_load);
        let axle = |loads: [f64; 4]| [loads[0] + loads[1], loads[2] + loads[3]];
        let roll = |l: [f64; 4]| (l[0] - l[1]) * car.tracks[0] + (l[2] - l[3]) * car.tracks[1];
        near(axle(tyres)[0], axle(scales)[0], 1e-6);
        near(axle(tyres)[1], axle(scales)[1], 1e-6);
        near(roll(tyres), roll(scales), 1e-3);
        near(stands.cross_weight, (tyres[1] + tyres[2]) / tyres.iter().sum::<f64>(), 1e-12);
        let mut up = [0.0; 4];
        for (i, (corner, at)) in car.corners.iter().zip(&stands.corners).enumerate() {
            let (length, ratio, _) = corner.linkage.at(at.travel);
            let spring = corner.coil.rate() * (corner.coil.free_length() - (length - corner.collar)).max(0.0);
            let stop = 50.0 * (at.travel - 60.0).max(0.0);
            let bar = car.bars[i / 2] * (at.travel - stands.corners[i ^ 1].travel);
            near(at.tyre_load, corner.unsprung + spring * ratio + stop + bar, 1e-6);
            near(at.spring.force, spring, 1e-9);
            near(at.motion_ratio, ratio, 1e-12);
            up[i] = at.travel + (at.tyre_load - scales[i]) / corner.tyre_rate.unwrap();
        }
        near((up[0] - up[1]) / car.tracks[0], (up[2] - up[3]) / car.tracks[1], 1e-9);
    }
}

/// What is told of a corner that stands, by its definitions.
#[test]
fn a_corner_that_stands_tells_of_its_spring() {
    let mut car = strut_car();
    for corner in &mut car.corners {
        corner.collar = 7.0;
        corner.bump_stop = Some((-8.0, 50.0));
    }
    let load = car.load_from_scales([3600.0, 3300.0, 2800.0, 2600.0]).unwrap();
    for (corner, at) in car.corners.iter().zip(car.standing(&load).unwrap().corners) {
        let force = |travel: f64| {
            let (length, ratio, _) = corner.linkage.at(travel);
            corner.coil.at(length - corner.collar).force * ratio + 50.0 * (travel + 8.0).max(0.0)
        };
        let rate = (force(at.travel + 0.01) - force(at.travel - 0.01)) / 0.02;
        near(at.wheel_rate, rate, 1e-4);
        let ride = 1.0 / (1.0 / rate + 1.0 / 200.0);
        let mass = (at.tyre_load - corner.unsprung) / 9.806_65;
        near(at.frequency_hz.unwrap(), (ride * 1000.0 / mass).sqrt() / std::f64::consts::TAU, 1e-5);
        let length = |travel: f64| corner.linkage.at(travel).0 - corner.collar;
        near(at.spring.length, length(at.travel), 1e-12);
        near(at.droop_spring.unwrap().length, length(-80.0), 1e-12);
        near(at.bump_spring.unwrap().length, length(-8.0), 1e-12);
        near(at.bump_left.unwrap(), -8.0 - at.travel, 1e-12);
    }
}

/// So low that stops and bars carry their share: the collars that are told bring it there.
#[test]
fn collars_allow_for_stops_and_bars() {
    let mut car = strut_car();
    let load = car.load_from_scales([3600.0, 3300.0, 2800.0, 2600.0]).unwrap();
    let wanted = Heights { travels: [68.0, 63.0, 64.0, 66.0], cross_weight: Some(0.49) };
    let set = car.collars_for(&load, &wanted).unwrap();
    let now = car.corners.clone().map(|c| c.collar);
    for (corner, collar) in car.corners.iter_mut().zip(set.collars) {
        corner.collar = collar;
    }
    let after = car.standing(&load).unwrap();
    near(after.cross_weight, 0.49, 1e-9);
    let mut farthest = 0.0_f64;
    for (i, corner) in after.corners.iter().enumerate() {
        near(corner.travel, set.travels[i], 1e-6);
        near(set.changes[i], set.collars[i] - now[i], 1e-12);
        farthest = farthest.max((set.travels[i] - wanted.travels[i]).abs());
    }
    near(set.misfit, farthest, 1e-12);
    // A stop that carries more than the wheel does leaves nothing for the spring.
    let deep = Heights { travels: [130.0, 130.0, 0.0, 0.0], cross_weight: None };
    assert_eq!(car.collars_for(&load, &deep), Err(HeightError::WheelLifts(Place::FrontLeft)));
    for share in [0.0, 1.0, -0.1, f64::NAN] {
        let none = Heights { cross_weight: Some(share), ..wanted };
        assert!(matches!(car.collars_for(&load, &none), Err(HeightError::Figure(_))), "{share}");
    }
    // A rocker that turns past its lever has none left.
    let point = |travel, length, ratio| LinkagePoint { travel, length, ratio };
    let fading = Linkage::new(vec![point(0.0, 200.0, 1.0), point(70.0, 165.0, 0.005)]).unwrap();
    car.corners[1].linkage = fading;
    assert_eq!(car.collars_for(&load, &wanted).map(|_| ()), {
        let at = car.corners[1].linkage.at(set.travels[1]).1;
        if at < 0.01 { Err(HeightError::NoLeverage(Place::FrontRight)) } else { Ok(()) }
    });
    let deeper = Heights { travels: [70.0; 4], cross_weight: None };
    assert_eq!(car.collars_for(&load, &deeper), Err(HeightError::NoLeverage(Place::FrontRight)));
}

/// A cubic is what goes between the samples, so that of a cubic nothing is lost.
#[test]
fn a_sampled_linkage_is_a_cubic_between_and_a_parabola_beyond() {
    let length = |z: f64| 300.0 - 0.9 * z + 4e-4 * z * z - 3e-6 * z.powi(3);
    let ratio = |z: f64| 0.9 - 8e-4 * z + 9e-6 * z * z;
    let gradient = |z: f64| -8e-4 + 18e-6 * z;
    let places = [-90.0, -20.0, 5.0, 70.0];
    let sampled = places.map(|z| LinkagePoint { travel: z, length: length(z), ratio: ratio(z) });
    let linkage = Linkage::new(sampled.to_vec()).unwrap();
    assert_eq!(linkage.points(), sampled);
    for z in [-90.0, -55.0, -20.0, -1.0, 5.0, 33.0, 70.0] {
        let (l, r, g) = linkage.at(z);
        near(l, length(z), 1e-10);
        near(r, ratio(z), 1e-12);
        near(g, gradient(z), 1e-13);
    }
    for (end, z) in [(-90.0, -120.0), (70.0, 95.0)] {
        let by = z - end;
        let (l, r, g) = linkage.at(z);
        near(g, gradient(end), 1e-13);
        near(r, ratio(end) + gradient(end) * by, 1e-12);
        near(l, length(end) - ratio(end) * by - gradient(end) * by * by / 2.0, 1e-10);
    }
}

#[test]
fn linkages_that_cannot_be_are_refused() {
    let point = |travel, ratio| LinkagePoint { travel, length: 200.0, ratio };
    let of = |places: &[LinkagePoint]| Linkage::new(places.to_vec()).map(|_| ());
    assert_eq!(of(&[point(0.0, 1.0)]), Err(BadLinkage::TooFew));
    assert_eq!(of(&[point(0.0, 1.0), point(0.0, 1.0)]), Err(BadLinkage::TooFew));
    assert_eq!(of(&[point(5.0, 1.0), point(0.0, 1.0)]), Err(BadLinkage::TooFew));
    for bad in [0.0, -1.0, f64::INFINITY, f64::NAN] {
        let found = of(&[point(0.0, 1.0), point(5.0, bad)]);
        assert_eq!(found, Err(BadLinkage::Impossible { travel: 5.0 }), "{bad}");
    }
    let endless = LinkagePoint { length: f64::INFINITY, ..point(5.0, 1.0) };
    assert_eq!(of(&[point(0.0, 1.0), endless]), Err(BadLinkage::Impossible { travel: 5.0 }));
    assert!(of(&[point(0.0, 1.0), point(5.0, 1.0)]).is_ok());
    let corner = Corner::new(cars::strut()).unwrap();
    for (from, to, step) in [(10.0, 10.0, 1.0), (10.0, -10.0, 1.0), (0.0, 10.0, 0.0), (0.0, 10.0, 0.001)] {
        let found = Linkage::of_corner(&corner, from, to, step);
        assert_eq!(found, Err(BadLinkage::TooFew), "{from} {to} {step}");
    }
    let bare = Corner::new(cars::five_link()).unwrap();
    assert_eq!(Linkage::of_corner(&bare, -10.0, 10.0, 5.0), Err(BadLinkage::NoSpring));
    // Both ends are in, and no two places are farther apart than asked.
    let linkage = Linkage::of_corner(&corner, -25.0, 50.0, 10.0).unwrap();
    let travels: Vec<f64> = linkage.points().iter().map(|p| p.travel).collect();
    assert_eq!(travels.len(), 9);
    assert!((travels[0] + 25.0).abs() < 1e-12 && (travels[8] - 50.0).abs() < 1e-12, "{travels:?}");
    assert!(travels.windows(2).all(|w| (w[1] - w[0] - 9.375).abs() < 1e-12), "{travels:?}");
}

/// Each figure in its turn is nought or below.
#[test]
fn formulas_have_no_value_for_sizes_that_cannot_be() {
    let coil = |x: [f64; 4]| coil_rate(mm(x[0]), mm(x[1]), x[2], x[3]);
    for bad in [0.0, -1.0] {
        for i in 0..4 {
            let mut sizes = [13.0, 140.0, 5.5, 78_500.0];
            assert!(coil(sizes).is_some());
            sizes[i] = bad;
            assert_eq!(coil(sizes), None, "{sizes:?}");
        }
        assert_eq!(ride_rate(bad, None), None);
        assert_eq!(ride_rate(bad, Some(200.0)), None);
        assert_eq!(ride_rate(20.0, Some(bad)), None);
        assert_eq!(frequency_hz(bad, 300.0), None);
        assert_eq!(frequency_hz(20.0, bad), None);
        assert_eq!(damping_ratio(1500.0, 1.0, bad, 300.0), None);
        assert_eq!(damping_ratio(1500.0, 1.0, 20.0, bad), None);
        assert_eq!(bar_torsion(mm(bad), mm(900.0), 79_000.0), None);
        assert_eq!(bar_torsion(mm(20.0), mm(bad), 79_000.0), None);
        assert_eq!(bar_torsion(mm(20.0), mm(900.0), bad), None);
        assert_eq!(bar_rate_at_wheel(500.0, mm(bad), 1.0), None);
        assert_eq!(anti_dive_percent(0.6, 0.06, mm(2500.0), mm(bad)), None);
        assert_eq!(energy_j(Force::from_n(3200.0).unwrap(), bad), None);
        assert_eq!(Coil::new(bad, mm(300.0), None), Err(BadCoil::Rate(bad)));
        assert_eq!(Coil::new(20.0, mm(bad), None), Err(BadCoil::FreeLength(bad)));
        assert_eq!(Coil::new(20.0, mm(300.0), Some(mm(bad))), Err(BadCoil::SolidLength(bad)));
    }
    assert_eq!(coil([140.0, 140.0, 5.5, 78_500.0]), None, "wire as thick as the coil");
    assert_eq!(Coil::new(20.0, mm(300.0), Some(mm(300.0))), Err(BadCoil::SolidLength(300.0)));
    assert_eq!(bar_rate_at_wheel(-1.0, mm(250.0), 1.0), None);
    assert_eq!(bar_rate_at_wheel(0.0, mm(250.0), 1.0), Some(0.0), "a bar with its links off");
    // The body falls over where its weight turns it more than the springs hold: m g d = K.
    let lever = 1280.0 * 9.806_65 * 0.365;
    assert_eq!(roll_angle_per_g(1280.0, 365.0, lever * 0.99), None);
    near(roll_angle_per_g(1280.0, 365.0, 3.0 * lever).unwrap(), 0.5_f64.to_degrees(), 1e-9);
}

/// Every figure of the car in its turn.
#[test]
fn the_figure_that_cannot_be_is_named() {
    type Change = fn(&mut CarSprings, f64);
    let positive: [(Change, &str); 5] = [
        (|car, x| car.wheelbase = x, "the wheelbase"),
        (|car, x| car.tracks[0] = x, "the front track"),
        (|car, x| car.tracks[1] = x, "the rear track"),
        (|car, x| car.corners[3].tyre_rate = Some(x), "a tyre rate"),
        (|car, x| car.corners[1].bump_stop = Some((60.0, x)), "a bump stop's rate"),
    ];
    for (change, what) in positive {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let mut car = strut_car();
            change(&mut car, bad);
            assert_eq!(car.check(), Err(HeightError::Figure(what)), "{bad}");
        }
    }
    let nought_or_more: [(Change, &str); 3] = [
        (|car, x| car.bars[0] = x, "the front bar's rate"),
        (|car, x| car.bars[1] = x, "the rear bar's rate"),
        (|car, x| car.corners[2].unsprung = x, "an unsprung weight"),
    ];
    for (change, what) in nought_or_more {
        for bad in [-1.0, f64::NAN, f64::INFINITY] {
            let mut car = strut_car();
            change(&mut car, bad);
            assert_eq!(car.check(), Err(HeightError::BelowNought(what)), "{bad}");
        }
        let mut car = strut_car();
        change(&mut car, 0.0);
        assert_eq!(car.check(), Ok(()));
    }
    let mut car = strut_car();
    car.corners[0].collar = -20.0;
    assert_eq!(car.check(), Ok(()), "a collar goes down too");
}

#[test]
fn a_load_acts_where_its_moments_say() {
    let mut car = simple_car([20.0, 20.0], [1470.0, 1400.0]);
    for (corner, unsprung) in car.corners.iter_mut().zip([300.0, 320.0, 250.0, 260.0]) {
        corner.unsprung = unsprung;
    }
    let load = car.load_from_scales([3600.0, 3300.0, 2800.0, 2600.0]).unwrap();
    let sprung = [3300.0, 2980.0, 2550.0, 2340.0];
    near(load.sprung, 11_170.0, 1e-9);
    near(load.behind_front * 11_170.0, 2500.0 * (sprung[2] + sprung[3]), 1e-6);
    near(load.left * 11_170.0, 735.0 * (sprung[0] - sprung[1]) + 700.0 * (sprung[2] - sprung[3]), 1e-6);
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
    for bad in [0.0, -1.5, f64::INFINITY, f64::NAN] {
        assert!(old.replaced_by(&NewEnd { pitch: bad, ..new }).is_err(), "{bad}");
    }
    assert!(old.replaced_by(&NewEnd { toe_per_mm: f64::NAN, ..new }).is_err());
    // Behind the axle a longer rod takes toe away; its uncertainty has no sign.
    let behind = old.replaced_by(&NewEnd { toe_per_mm: -0.40455, ..new }).unwrap();
    near(behind.toe_u, fit.toe_u, 1e-12);
    near(behind.toe_per_turn, -fit.toe_per_turn, 1e-12);
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
    // T dφ/dz against the wheel rate, dφ/dz by differences.
    let turn = |travel| corner.at(travel, 0.0).unwrap().1.lower_arm_turn.unwrap();
    let per_mm = (turn(0.01) - turn(-0.01)).to_radians() / 0.02;
    near(droop.torque.unwrap(), 2.0 * (turn(0.0) - turn(-80.0)), 1e-9);
    near(droop.height_error.unwrap(), droop.torque.unwrap() * 1000.0 * per_mm / 16.8, 1e-4);
    near(droop.most, turn(60.0) - turn(-80.0), 1e-9);
    let low = wind_up(&corner, -20.0, -40.0, (-80.0, 60.0), Some(2.0), Some(16.8)).unwrap();
    near(low.at_ride, turn(-40.0) - turn(-20.0), 1e-9);
    near(low.most, turn(60.0) - turn(-20.0), 1e-9);
    near(low.most_if_right, turn(60.0) - turn(-40.0), 1e-9);
    assert!(low.height_error.unwrap() < 0.0, "standing lower than tightened it is held up: {low:?}");
    let right = wind_up(&corner, 0.0, 0.0, (-80.0, 60.0), None, None).unwrap();
    near(right.at_ride, 0.0, 1e-12);
    assert!(right.torque.is_none());
}
