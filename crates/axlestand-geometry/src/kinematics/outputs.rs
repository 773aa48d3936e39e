//! What a solved corner shows: angles, places, rates.

use super::mechanism::{DriveAxle, Holding, Joint, Mechanism, SteeringAxis};
use super::row::{Row, response};
use super::spec::{MOST_JOINTS, Swing};
use crate::conventions::{camber, caster, inclination, to_contact, toe};
use crate::mathematics::{Dual, Lu, Pose, Scalar, Twist, Vec3};

/// Everything the kinematics tells of one corner at one travel and rack position. Signs as in
/// [`conventions`](crate::conventions); what the corner does not have is `None`.
///
/// Values by default; as the result of a sensitivity each field is the derivative of that output.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Outputs<S = f64> {
    /// Camber relative to the body, degrees.
    pub camber: S,
    /// Toe of this wheel, degrees, toe-in positive.
    pub toe: S,
    /// Heading of this wheel, degrees, to the left positive.
    pub heading: S,
    /// Change of camber with travel, degrees per mm.
    pub camber_rate: S,
    /// Change of toe with travel (bump steer), degrees per mm.
    pub toe_rate: S,
    /// Caster, degrees.
    pub caster: Option<S>,
    /// Steering-axis inclination, degrees.
    pub inclination: Option<S>,
    /// Scrub radius, mm.
    pub scrub_radius: Option<S>,
    /// Caster trail, mm.
    pub trail: Option<S>,
    /// Outward motion of the contact point from the design position, mm: half of the track change
    /// when both sides do the same.
    pub half_track: S,
    /// Forward motion of the wheel centre from the design position, mm: the wheelbase change.
    pub wheelbase: S,
    /// Height of the roll centre above the contact point, mm, from the motion of the contact point
    /// carried by the knuckle: h = y_C (dy_C/dz_C), both wheels doing the same.
    pub roll_centre: Option<S>,
    /// Forward motion of the contact point per mm of its rise, wheel locked to the knuckle: the
    /// tangent of the support angle for outboard brakes.
    pub contact_slope: Option<S>,
    /// Forward motion of the wheel centre per mm of travel: the tangent of the support angle for
    /// drive and brake torques that act through shafts.
    pub centre_slope: S,
    /// Front-view instant centre (y, z) in the plane through the wheel centre, mm.
    pub front_centre: Option<[S; 2]>,
    /// Side-view instant centre (x, z) in the plane through the wheel centre, mm.
    pub side_centre: Option<[S; 2]>,
    /// Distance between the spring's seats, mm.
    pub spring_length: Option<S>,
    /// Motion ratio of the spring, −d(length)/d(travel).
    pub spring_ratio: Option<S>,
    /// Distance between the damper's mounts, mm.
    pub damper_length: Option<S>,
    /// Motion ratio of the damper.
    pub damper_ratio: Option<S>,
    /// Turn of the anti-roll bar's arm from the design position, degrees, positive with the wheel up.
    pub bar_turn: Option<S>,
    /// Motion of the bar's arm end per mm of travel.
    pub bar_ratio: Option<S>,
    /// Tilt of the bar's link from the direction in which the arm's end moves, degrees: 0 works
    /// best, at 90 the link is over centre.
    pub bar_link_tilt: Option<S>,
    /// Turn of the lower (or only) control arm from the design position, degrees, positive with the
    /// wheel up. This is the twist of its bushings when they were tightened there.
    pub lower_arm_turn: Option<S>,
    /// Turn of the upper control arm from the design position, degrees.
    pub upper_arm_turn: Option<S>,
    /// Change of the drive axle's length from the design position, mm, out positive.
    pub axle_plunge: Option<S>,
    /// Angle of the drive axle's inner joint, degrees.
    pub axle_inner: Option<S>,
    /// Angle of the drive axle's outer joint, degrees.
    pub axle_outer: Option<S>,
    /// Articulation of the ball joints in the order of the description, degrees.
    pub joints: [Option<S>; MOST_JOINTS],
}

/// What is followed along the travel for its rate.
struct Moving<T> {
    camber: T,
    toe: T,
    spring: Option<T>,
    damper: Option<T>,
    bar: Option<[T; 3]>,
}

fn moving<T: Scalar>(m: &Mechanism<T>, pose: &Pose<T>) -> Moving<T> {
    let n = pose.turn.times(m.spin);
    Moving {
        camber: camber(n).in_degrees(),
        toe: toe(n, m.side).in_degrees(),
        spring: m.spring.map(|s| s.length(pose)),
        damper: m.damper.map(|s| s.length(pose)),
        bar: m.bar.and_then(|b| b.state(pose)).map(|b| [b.turn, b.tilt, b.arm]),
    }
}

/// A line: a point and its unit direction upward.
struct Line<S> {
    point: Vec3<S>,
    up: Vec3<S>,
}

fn steering_axis<S: Scalar>(
    m: &Mechanism<S>,
    held: &Holding<S>,
    pose: &Pose<S>,
    lu: &Lu<6>,
) -> Option<Line<S>> {
    let through = |lower: Vec3<S>, upper: Vec3<S>| Line { point: lower, up: (upper - lower).unit() };
    match m.axis {
        SteeringAxis::ToMount(lower, upper) => Some(through(pose.place(lower), upper)),
        SteeringAxis::Balls(lower, upper) => Some(through(pose.place(lower), pose.place(upper))),
        SteeringAxis::Virtual => {
            let steer = response(&held.rows, pose, lu, held.tie?);
            let square = steer.turn.dot(steer.turn);
            if square.value().is_nan() || square.value() <= 1e-16 {
                return None;
            }
            let foot = steer.turn.cross(steer.shift).times(S::one() / square);
            let up = if steer.turn.z.value() < 0.0 { -steer.turn } else { steer.turn };
            Some(Line { point: pose.origin + foot, up: up.unit() })
        }
        SteeringAxis::None => None,
    }
}

fn articulation<S: Scalar>(held: &Holding<S>, pose: &Pose<S>, joint: &Joint<S>) -> Option<S> {
    let rod = || match joint.rod.map(|i| held.rows[i]) {
        Some(Row::Rod { q, b, .. }) => Some((pose.place(b) - q).unit()),
        _ => None,
    };
    let angle = match joint.swing {
        Swing::StudAcrossRod => {
            let (u, stud) = (rod()?, pose.turn.times(joint.axis));
            u.dot(stud).atan2(u.cross(stud).norm())
        }
        Swing::RodFromAxis => {
            let u = rod()?;
            let along = u.dot(joint.axis);
            // Either end of the axis will do.
            let along = if along.value() < 0.0 { -along } else { along };
            u.cross(joint.axis).norm().atan2(along)
        }
        Swing::KnuckleFromArm => joint.arm?.turned(pose, joint.axis).angle_to(pose.turn.times(joint.axis)),
    };
    Some(angle.in_degrees())
}

fn drive_axle<S: Scalar>(m: &Mechanism<S>, pose: &Pose<S>, shaft: &DriveAxle<S>) -> [S; 3] {
    let along = pose.place(shaft.outer) - shaft.inner;
    let n = pose.turn.times(m.spin);
    [
        along.norm() - shaft.design_length,
        along.angle_to(shaft.axis).in_degrees(),
        along.angle_to(n).in_degrees(),
    ]
}

fn over<S: Scalar>(a: S, b: S) -> Option<S> {
    (b.value().abs() > 1e-9).then(|| a / b)
}

/// The instant centre in a plane: where the motion (`across`, `up`) at `origin` with the turn
/// `turn` has no speed in the plane.
fn centre<S: Scalar>(origin: [S; 2], across: S, up: S, turn: S) -> Option<[S; 2]> {
    let (a, b) = (over(up, turn)?, over(across, turn)?);
    Some([origin[0] - a, origin[1] + b])
}

/// Everything at a pose, for plain or dual numbers; `lu` are the factors of the plain derivative
/// matrix there, `held` the equations at the inputs, `lifted` is the mechanism ready to carry a rate.
pub(crate) fn outputs<S: Scalar>(
    m: &Mechanism<S>,
    held: &Holding<S>,
    lifted: &Mechanism<Dual<S>>,
    pose: &Pose<S>,
    lu: &Lu<6>,
) -> Outputs<S> {
    let rise = response(&held.rows, pose, lu, 5);
    let run = moving(lifted, &pose.along(&rise));
    let n = pose.turn.times(m.spin);
    let down = to_contact(n, m.radius);
    let contact = pose.origin + down;
    let design_contact = m.centre + to_contact(m.spin, m.radius);
    let swept = rise.of_point(down);
    let axis = steering_axis(m, held, pose, lu);
    let side = m.side.sign();
    let ground = axis.as_ref().and_then(|line| {
        let k = over(contact.z - line.point.z, line.up.z)?;
        Some(line.point + line.up.times(k))
    });
    let shaft = m.shaft.as_ref().map(|s| drive_axle(m, pose, s));
    let p = pose.origin;
    let toe = run.toe.value;
    Outputs {
        camber: run.camber.value,
        toe,
        heading: toe.scaled(-side),
        camber_rate: run.camber.rate,
        toe_rate: run.toe.rate,
        caster: axis.as_ref().map(|a| caster(a.up).in_degrees()),
        inclination: axis.as_ref().map(|a| inclination(a.up, m.side).in_degrees()),
        scrub_radius: ground.map(|g| (contact.y - g.y).scaled(side)),
        trail: ground.map(|g| g.x - contact.x),
        half_track: (contact.y - design_contact.y).scaled(side),
        wheelbase: p.x - m.centre.x,
        roll_centre: over(swept.y, swept.z).map(|slope| contact.y * slope),
        contact_slope: over(swept.x, swept.z),
        centre_slope: rise.shift.x,
        front_centre: centre([p.y, p.z], rise.shift.y, rise.shift.z, rise.turn.x),
        side_centre: centre([p.x, p.z], rise.shift.x, rise.shift.z, -rise.turn.y),
        spring_length: run.spring.map(|s| s.value),
        spring_ratio: run.spring.map(|s| -s.rate),
        damper_length: run.damper.map(|s| s.value),
        damper_ratio: run.damper.map(|s| -s.rate),
        bar_turn: run.bar.map(|[turn, _, _]| turn.value.in_degrees()),
        bar_ratio: run.bar.map(|[turn, _, arm]| turn.rate * arm.value),
        bar_link_tilt: run.bar.map(|[_, tilt, _]| tilt.value.in_degrees()),
        lower_arm_turn: m.lower.map(|a| a.angle(pose).in_degrees()),
        upper_arm_turn: m.upper.map(|a| a.angle(pose).in_degrees()),
        axle_plunge: shaft.map(|s| s[0]),
        axle_inner: shaft.map(|s| s[1]),
        axle_outer: shaft.map(|s| s[2]),
        joints: m.joints.map(|j| articulation(held, pose, &j?)),
    }
}

/// A screw: the axis about which a body turns and along which it slides at an instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InstantAxis {
    /// The axis' point nearest the body's origin, mm.
    pub point: Vec3,
    /// Unit direction.
    pub direction: Vec3,
    /// Slide along the axis per radian of turn, mm.
    pub pitch: f64,
    /// Turn per mm of travel, rad.
    pub turn: f64,
}

impl InstantAxis {
    /// The axis of a motion of a body at `pose`; `None` for a pure shift.
    #[must_use]
    pub fn of(pose: &Pose, motion: &Twist) -> Option<Self> {
        let turn = motion.turn.norm();
        if turn.is_nan() || turn < 1e-12 {
            return None;
        }
        let direction = motion.turn.times(1.0 / turn);
        let point = pose.origin + direction.cross(motion.shift).times(1.0 / turn);
        Some(Self { point, direction, pitch: direction.dot(motion.shift) / turn, turn })
    }
}
