//! Castle nuts, lock nuts and other locking.
#![allow(clippy::panic, clippy::expect_used, reason = "a test fails loudly")]

use axlestand_fastener::castle::{
    CastleError, CastleNut, HoleSeen, HoleVerdict, Outlook, PinHoles, judge_hole, size_of,
};
use axlestand_fastener::locking::{
    DragVerdict, Locking, LockingError, Reuse, Turn, judge_drag, least_drag_for_reuse, prevailing,
};
use axlestand_fastener::{Friction, Joint, Thread, stiffness};
use axlestand_quantity::{Angle, Force, Length, Torque};

fn thread(text: &str) -> Thread {
    Thread::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"))
}
fn nm(value: f64) -> Torque {
    Torque::from_nm(value).expect("finite")
}
fn deg(value: f64) -> Angle {
    Angle::from_deg(value).expect("finite")
}
fn mm(value: f64) -> Length {
    Length::from_mm(value).expect("finite")
}

/// Case: 6 slots and one hole 60°; 6 and two crossing holes 30°; 8 and two 45°; 10 and two 18°.
#[test]
fn steps_between_slots() {
    for (slots, holes, step) in [
        (6, PinHoles::One, 60.0),
        (6, PinHoles::Crossed, 30.0),
        (8, PinHoles::One, 45.0),
        (8, PinHoles::Crossed, 45.0),
        (10, PinHoles::Crossed, 18.0),
        (10, PinHoles::One, 36.0),
        (5, PinHoles::One, 36.0),
    ] {
        let nut = CastleNut::new(slots, holes).expect("a nut");
        assert!((nut.step().deg() - step).abs() < 1e-9, "{slots} {holes:?}: {}", nut.step());
    }
    for slots in [0, 1, 37, u32::MAX] {
        assert_eq!(CastleNut::new(slots, PinHoles::One), Err(CastleError::Slots(slots)));
    }
    assert_eq!(
        CastleNut::of(thread("M12x1.25"), PinHoles::One),
        CastleNut::new(6, PinHoles::One).expect("6")
    );
    assert_eq!(CastleNut::of(thread("M42"), PinHoles::One), CastleNut::new(8, PinHoles::One).expect("8"));
    assert_eq!(CastleNut::of(thread("M72x6"), PinHoles::One), CastleNut::new(10, PinHoles::One).expect("10"));
}

/// On to the next slot, never back.
#[test]
fn the_nut_only_goes_forward() {
    let nut = CastleNut::new(6, PinHoles::One).expect("a nut");
    for (past, forward) in [(0.0, 0.0), (10.0, 50.0), (59.0, 1.0), (60.0, 0.0)] {
        let found = nut.forward(deg(past)).expect("forward");
        assert!((found.deg() - forward).abs() < 1e-9, "{past}: {found}");
    }
    let back = nut.forward(deg(-5.0)).expect_err("back").to_string();
    assert!(back.contains("Never turn back"), "{back}");
    assert!(nut.forward(deg(61.0)).is_err());
}

/// 60° on M12×1.25 over 20 mm of solid steel is 149 kN: far beyond any range.
#[test]
fn a_step_on_a_solid_joint_may_pass_the_limit() {
    let t = thread("M12x1.25");
    let joint = Joint::hex(t);
    let nut = CastleNut::of(t, PinHoles::One);
    let mu = Friction::same(0.14).expect("in range");
    let stiff = stiffness::solid_steel(t, mm(20.0), 205_000.0).expect("a joint");
    let per_degree = stiffness::preload_per_degree(t, stiff);
    let plan = nut.plan(joint, mu, (nm(45.0), Some(nm(60.0))), Some(per_degree)).expect("a plan");
    assert!((plan.added_clamp.expect("added").n() / 149_000.0 - 1.0).abs() < 0.005);
    assert_eq!(plan.outlook, Outlook::MayPassLimit);
    assert_eq!((plan.start, plan.step), (nm(45.0), deg(60.0)));
    let soft = Force::from_n(50.0).expect("finite");
    let plan = nut.plan(joint, mu, (nm(45.0), Some(nm(60.0))), Some(soft)).expect("a plan");
    assert_eq!(plan.outlook, Outlook::Fits);
    assert_eq!(nut.plan(joint, mu, (nm(45.0), None), None).expect("a plan").outlook, Outlook::NoLimit);
    assert_eq!(
        nut.plan(joint, mu, (nm(45.0), Some(nm(60.0))), None).expect("a plan").outlook,
        Outlook::WatchTorque
    );
    assert!(matches!(nut.plan(joint, mu, (nm(60.0), Some(nm(45.0))), None), Err(CastleError::Range { .. })));
    assert!(nut.plan(joint, mu, (nm(-1.0), None), None).is_err());
}

#[test]
fn a_hole_above_the_slots_means_a_bad_taper() {
    assert_eq!(judge_hole(HoleSeen::AboveSlots, true), HoleVerdict::RejectTaper);
    assert_eq!(judge_hole(HoleSeen::AboveSlots, false), HoleVerdict::AddWasher);
    assert_eq!(judge_hole(HoleSeen::InSlots, true), HoleVerdict::FitPin);
    assert_eq!(judge_hole(HoleSeen::BelowSlots, true), HoleVerdict::NotSeated);
    assert!(HoleVerdict::RejectTaper.to_string().contains("no washer"));
}

/// DIN 935, DIN 94 and ISO 1234 as printed in supplier sheets: slot width and split pin.
#[test]
fn castle_nut_sizes() {
    for (name, af, slot, pin) in [
        ("M8", Some((13.0, 13.0)), Some((2.5, 2.75)), Some((2.0, 16.0))),
        ("M10", Some((17.0, 16.0)), Some((2.8, 3.05)), Some((2.5, 20.0))),
        ("M12x1.25", Some((19.0, 18.0)), Some((3.5, 3.8)), Some((3.2, 22.0))),
        ("M14x1.5", Some((22.0, 21.0)), Some((3.5, 3.8)), Some((3.2, 25.0))),
        ("M16", Some((24.0, 24.0)), Some((4.5, 4.8)), Some((4.0, 28.0))),
        ("M18", Some((27.0, 27.0)), Some((4.5, 4.8)), Some((4.0, 32.0))),
        ("M20", Some((30.0, 30.0)), Some((4.5, 4.8)), Some((4.0, 36.0))),
        ("M22", Some((32.0, 34.0)), Some((5.5, 5.8)), Some((5.0, 36.0))),
        ("M24", Some((36.0, 36.0)), Some((5.5, 5.8)), None),
        ("M6", None, None, Some((1.6, 14.0))),
    ] {
        let size = size_of(thread(name)).expect(name);
        let pair = |p: Option<(Length, Length)>| p.map(|(a, b)| (a.mm(), b.mm()));
        assert_eq!((pair(size.across_flats), pair(size.slot), pair(size.pin)), (af, slot, pin), "{name}");
        assert_eq!(size.slots, 6);
    }
    assert!(size_of(thread("1/2-20")).is_none());
}

/// ISO 2320: greatest first on, least first off, least fifth off, N·m.
#[test]
fn prevailing_torques() {
    for (name, max, first, fifth) in [
        ("M5", 1.6, 0.29, 0.2),
        ("M6", 3.0, 0.45, 0.3),
        ("M8", 6.0, 0.85, 0.6),
        ("M10", 10.5, 1.5, 1.0),
        ("M12", 15.5, 2.3, 1.6),
        ("M14", 24.0, 3.3, 2.3),
        ("M16", 32.0, 4.5, 3.0),
        ("M18", 42.0, 6.0, 4.2),
        ("M20", 54.0, 7.5, 5.3),
        ("M22", 68.0, 9.5, 6.5),
        ("M24", 80.0, 11.5, 8.0),
    ] {
        let limits = prevailing(thread(name)).expect(name);
        let found = (limits.first_on_max.nm(), limits.first_off_min.nm(), limits.fifth_off_min.nm());
        assert_eq!(found, (max, first, fifth), "{name}");
    }
}

/// Case: M10: 10.6 N·m the first time on fails, 1.5 first off passes, 0.9 fifth off fails (ISO 2320).
#[test]
fn drag_of_an_m10_nut() {
    let t = thread("M10x1.25");
    let judge = |turn, drag| judge_drag(t, turn, nm(drag)).expect("judged");
    assert_eq!(judge(Turn::FirstOn, 10.6), DragVerdict::TooTight { most: nm(10.5) });
    assert_eq!(judge(Turn::FirstOn, 10.5), DragVerdict::Good);
    assert_eq!(judge(Turn::FirstOff, 1.5), DragVerdict::Good);
    assert_eq!(judge(Turn::FifthOff, 0.9), DragVerdict::TooLoose { least: nm(1.0) });
    assert!(matches!(judge_drag(t, Turn::FirstOn, nm(-1.0)), Err(LockingError::Negative(_))));
}

/// FAA AC 43.13-1B, table 7-2, in lb·in.
#[test]
fn drag_of_inch_nuts() {
    for (name, lb_in) in
        [("7/16-20", 8.0), ("1/2-20", 10.0), ("9/16-18", 13.0), ("5/8-18", 18.0), ("3/4-16", 27.0)]
    {
        let least = least_drag_for_reuse(thread(name)).expect(name);
        assert!((least.nm() / 0.112_984_829 - lb_in).abs() < 1e-6, "{name}");
    }
    assert_eq!(
        judge_drag(thread("1/2-20"), Turn::FifthOff, nm(1.0)),
        Ok(DragVerdict::TooLoose { least: least_drag_for_reuse(thread("1/2-20")).expect("row") })
    );
    assert!(matches!(judge_drag(thread("1/2-20"), Turn::FirstOn, nm(1.0)), Err(LockingError::OnlyReuse(_))));
    assert!(matches!(least_drag_for_reuse(thread("1/4-20")), Err(LockingError::NoRow(_))));
}

#[test]
fn every_kind_of_locking_is_known() {
    for (kind, reuse) in [
        (Locking::SplitPin, Reuse::Once),
        (Locking::Stake, Reuse::Once),
        (Locking::TabWasher, Reuse::Once),
        (Locking::NylonInsert, Reuse::WhileItDrags),
        (Locking::DistortedThread, Reuse::WhileItDrags),
        (Locking::ThreadLocker, Reuse::RenewAdhesive),
        (Locking::PreCoated, Reuse::Once),
        (Locking::JamNut, Reuse::Yes),
        (Locking::Plain, Reuse::Yes),
    ] {
        let known = kind.known().expect("a row");
        assert_eq!(known.reuse, reuse, "{kind:?}");
        assert!(!known.final_when.is_empty() && !known.check.is_empty());
        let told = reuse.to_string();
        assert_eq!(told.contains("a new one every time"), reuse == Reuse::Once, "{told}");
        assert_eq!(told.contains("where safety hangs on it"), reuse == Reuse::WhileItDrags, "{told}");
        assert_eq!(told.contains("new adhesive"), reuse == Reuse::RenewAdhesive, "{told}");
        assert_eq!(told == "may be used again", reuse == Reuse::Yes, "{told}");
    }
    for kind in Locking::ALL {
        assert!(kind.known().is_some());
        assert_eq!(Locking::from_slug(kind.slug()), Some(kind));
    }
    assert_eq!(Locking::NylonInsert.hottest_celsius(), Some(120.0));
    assert_eq!(Locking::DistortedThread.hottest_celsius(), Some(150.0));
}
