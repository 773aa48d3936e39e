//! One axle: how its wheels are carried, hardpoints, springs, dampers and what its joints allow.

use super::adjuster::Adjuster;
use crate::provenance::Provenance;
use crate::words::{Carrier, Layout};
use axlestand_quantity::{Angle, Length, Mass};
use std::collections::BTreeMap;

/// One axle.
#[derive(Debug, Clone, PartialEq)]
pub struct Axle {
    /// `front` or `rear`.
    pub name: String,
    /// How its wheels are carried.
    pub layout: Layout,
    /// Hardpoints of the left corner in mm, ISO 8855 axes (x forward, y left, z up), where known.
    pub points: BTreeMap<String, [f64; 3]>,
    /// Hardpoints of the right corner in the same axes (y negative), where they are not the mirror
    /// image of the left ones.
    pub points_right: BTreeMap<String, [f64; 3]>,
    /// Loaded radius of the tyre, hub centre to the floor.
    pub tyre_radius: Option<Length>,
    /// Camber of the left wheel as the points were taken, top outward positive.
    pub camber: Option<Angle>,
    /// Toe of one wheel as the points were taken, toe-in positive.
    pub toe: Option<Angle>,
    /// Camber of the right wheel, where it differs from the left one's, top outward positive.
    pub camber_right: Option<Angle>,
    /// Toe of the right wheel, where it differs from the left one's, toe-in positive.
    pub toe_right: Option<Angle>,
    /// Hub centre to arch lip as the points were taken: what heights are counted from.
    pub hub_to_arch: Option<Length>,
    /// Rack travel from the middle to either lock.
    pub rack_travel: Option<Length>,
    /// Weight of one wheel with all that moves along with it.
    pub unsprung: Option<Mass>,
    /// Rate of one tyre in N/mm.
    pub tyre_rate: Option<f64>,
    /// Rate of one spring in N/mm, where known.
    pub spring_rate: Option<f64>,
    /// Free length of one spring, where known.
    pub spring_free_length: Option<Length>,
    /// Further figures of one spring and how it sits.
    pub spring: Option<Spring>,
    /// Damper and bump stop.
    pub damper: Option<Damper>,
    /// The anti-roll bar.
    pub bar: Option<Bar>,
    /// What joints, shafts and bushings allow.
    pub limits: Option<Limits>,
    /// What can be set besides the tie rod, in the order of the file.
    pub adjusters: Vec<Adjuster>,
    /// Where points, angles and spring come from.
    pub provenance: Provenance,
}

/// One spring as it sits.
#[derive(Debug, Clone, PartialEq)]
pub struct Spring {
    /// Motion ratio, spring over wheel, where hardpoints do not give it.
    pub motion_ratio: Option<f64>,
    /// Length with the coils touching.
    pub solid_length: Option<Length>,
    /// Wire diameter.
    pub wire: Option<Length>,
    /// Mean diameter of the coil.
    pub coil_diameter: Option<Length>,
    /// Coils in all.
    pub coils: Option<f64>,
    /// Pitch of the collar's thread, where it has a collar that turns.
    pub collar_pitch: Option<Length>,
    /// Where the collar stands, raised towards the spring.
    pub collar: Option<Length>,
    /// What its lower seat is on.
    pub on: Option<Carrier>,
    /// Where this comes from.
    pub provenance: Provenance,
}

/// One damper with its bump stop.
#[derive(Debug, Clone, PartialEq)]
pub struct Damper {
    /// Distance between its mounts with the bump stop just touched.
    pub closed: Option<Length>,
    /// Distance between its mounts fully extended.
    pub open: Option<Length>,
    /// Wheel travel from the standing height to full droop, where the lengths do not give it.
    pub droop_travel: Option<Length>,
    /// Wheel travel from the standing height to the bump stop, where the lengths do not give it.
    pub bump_travel: Option<Length>,
    /// Rate of the bump stop at the wheel in N/mm.
    pub bump_rate: Option<f64>,
    /// Damper rate in N·s/m.
    pub rate: Option<f64>,
    /// What its lower mount is on.
    pub on: Option<Carrier>,
    /// Where this comes from.
    pub provenance: Provenance,
}

/// The anti-roll bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Rate at the wheel, N per mm of difference between left and right.
    pub rate: Option<f64>,
    /// What the link's joint at the suspension is on.
    pub on: Option<Carrier>,
    /// Where this comes from.
    pub provenance: Provenance,
}

/// What joints, shafts and bushings allow, as their makers say.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// Tilt of the lower ball joint.
    pub lower_ball_joint: Option<Angle>,
    /// Tilt of the upper ball joint.
    pub upper_ball_joint: Option<Angle>,
    /// Tilt of the outer tie-rod joint.
    pub outer_tie_rod_joint: Option<Angle>,
    /// Angle of the inner tie-rod joint.
    pub inner_tie_rod_joint: Option<Angle>,
    /// Tilt of the bar link from square to the bar's arm.
    pub bar_link: Option<Angle>,
    /// Angle of the drive axle's inner joint.
    pub axle_inner_joint: Option<Angle>,
    /// Angle of the drive axle's outer joint.
    pub axle_outer_joint: Option<Angle>,
    /// How far the plunging joint goes in.
    pub plunge_in: Option<Length>,
    /// How far it comes out.
    pub plunge_out: Option<Length>,
    /// Twist that the arm's bushings stand for long.
    pub bushing_twist: Option<Angle>,
    /// Stiffness of one arm's bushings together, N·m per degree of twist.
    pub bushing_stiffness: Option<f64>,
    /// Where this comes from.
    pub provenance: Provenance,
}

impl Axle {
    /// Whether the right corner is the mirror image of the left one: nothing of its own is given.
    #[must_use]
    pub fn right_is_mirrored(&self) -> bool {
        self.points_right.is_empty() && self.camber_right.is_none() && self.toe_right.is_none()
    }

    /// Solid length of the spring: as given, else wire times coils.
    #[must_use]
    pub fn solid_length(&self) -> Option<Length> {
        let spring = self.spring.as_ref()?;
        let stacked = || Length::from_mm(spring.wire?.mm() * spring.coils?).ok();
        spring.solid_length.or_else(stacked)
    }
}
