//! The axle in side and front view: instant centres, and what the links carry as the car brakes and
//! drives.

use super::corner_figures::CornerFigures;
use super::figures::{Figure, Figures, InputView};
use crate::units::Units;
use axlestand_geometry::kinematics::{Corner, Outputs, Solved, WholeAxleOutputs, support_percent};
use axlestand_model::car::{Axle, Balance as Given, Car};
use axlestand_model::{Driven, Layout};

/// An arm longer than this counts as none, mm: the wheel shifts without turning.
const LONGEST_ARM: f64 = 100_000.0;

/// What decides which share of the load transfer falls on an axle.
#[derive(Debug, Clone)]
pub(super) struct Balance {
    rear: bool,
    cg_height: Figure,
    wheelbase: Figure,
    brake_share_front: Figure,
    /// The axle's share of the drive; `None` where it is not driven, or nobody says.
    drive_share: Option<Figure>,
    /// Whether the axle itself holds the drive's torque, as a live axle does.
    holds_drive: bool,
}

impl Balance {
    /// Of an axle of the car, typical where the file says nothing.
    pub(super) fn of(car: &Car, axle: &Axle) -> Self {
        let balance = car.balance.as_ref();
        let share = |what: &str, of: fn(&Given) -> Option<f64>, usual: f64, range: (f64, f64)| match balance
            .and_then(|b| Some((of(b)?, &b.provenance)))
        {
            Some((value, from)) => Figure::of_file(what, "", value, from, 0.1),
            None => Figure::typical(what, "", usual, range, "passenger cars, no source"),
        };
        let rear = axle.name == "rear";
        let drive_share = match car.driven {
            Some(Driven::All) => {
                Some(share("share of the drive at the front", |b| b.drive_share_front, 0.5, (0.3, 0.7)))
            }
            Some(Driven::Front) if !rear => {
                Some(Figure::known("share of the drive", "", 1.0, "vehicle file"))
            }
            Some(Driven::Rear) if rear => Some(Figure::known("share of the drive", "", 0.0, "vehicle file")),
            _ => None,
        };
        Self {
            rear,
            cg_height: match balance.and_then(|b| Some((b.cg_height?.mm(), &b.provenance))) {
                Some((height, from)) => Figure::of_file(CG_HEIGHT, "mm", height, from, 60.0),
                None => Figure::typical(CG_HEIGHT, "mm", 560.0, (500.0, 650.0), "passenger cars, no source"),
            },
            wheelbase: match car.wheelbase {
                Some(length) => Figure::known("wheelbase", "mm", length.mm(), "vehicle file"),
                None => Figure::typical("wheelbase", "mm", 2600.0, (2300.0, 2900.0), "passenger cars"),
            },
            brake_share_front: share(
                "share of the brakes at the front",
                |b| b.brake_share_front,
                0.7,
                (0.6, 0.8),
            ),
            drive_share,
            holds_drive: axle.layout == Layout::LiveAxle,
        }
    }

    /// Ready to be shown.
    pub(super) fn views(&self, units: Units) -> Vec<InputView> {
        let always = [&self.cg_height, &self.brake_share_front, &self.wheelbase];
        always.into_iter().chain(&self.drive_share).map(|figure| figure.view(units)).collect()
    }

    /// Percent of this axle's load transfer that its links carry, for a slope (mm forward per mm of
    /// rise) and the front's share of the force.
    fn support(&self, slope: f64, front: f64) -> f64 {
        let (slope, share) = if self.rear { (-slope, 1.0 - front) } else { (slope, front) };
        support_percent(slope, share, self.wheelbase.value, self.cg_height.value)
    }
}

const CG_HEIGHT: &str = "height of the centre of gravity";

/// The figures of the curves: the corner's and, where the side view is shown, the balance.
#[derive(Debug, Clone)]
pub(super) struct CurveFigures {
    pub(super) corner: CornerFigures,
    pub(super) balance: Option<Balance>,
}

impl Figures for CurveFigures {
    fn each(&mut self) -> Vec<&mut Figure> {
        let mut all = self.corner.each();
        if let Some(balance) = &mut self.balance {
            all.extend([&mut balance.cg_height, &mut balance.brake_share_front, &mut balance.wheelbase]);
            all.extend(balance.drive_share.as_mut());
        }
        all
    }
}

/// Instant centres and supports at one place of the wheels.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct SideView {
    /// From the wheel to the side-view instant centre, mm, ahead positive.
    pub(super) side_arm: Option<f64>,
    /// Height of that centre above the ground, mm.
    pub(super) side_height: Option<f64>,
    /// From the wheel to the front-view instant centre, mm, inward positive.
    pub(super) front_arm: Option<f64>,
    /// Height of that centre above the ground, mm.
    pub(super) front_height: Option<f64>,
    /// Front, braking, percent.
    pub(super) anti_dive: Option<f64>,
    /// Rear, braking.
    pub(super) anti_lift_braking: Option<f64>,
    /// Front, driven.
    pub(super) anti_lift_driving: Option<f64>,
    /// Rear, driven.
    pub(super) anti_squat: Option<f64>,
}

impl SideView {
    /// Of a wheel that is hung by itself, solved at one place.
    pub(super) fn of_wheel(corner: &Corner, solved: &Solved, out: &Outputs, balance: &Balance) -> Self {
        let (spec, centre) = (corner.spec(), solved.pose.origin);
        let (x, inward) = (centre.x, -spec.side.sign());
        let ground = centre.z - spec.loaded_radius * out.camber.to_radians().cos();
        let near = |arm: f64| arm.abs() < LONGEST_ARM;
        let side = out.side_centre.filter(|[cx, _]| near(cx - x));
        let front = out.front_centre.filter(|[cy, _]| near(cy - centre.y));
        let mut view = Self {
            side_arm: side.map(|[cx, _]| cx - x),
            side_height: side.map(|[_, cz]| cz - ground),
            front_arm: front.map(|[cy, _]| inward * (cy - centre.y)),
            front_height: front.map(|[_, cz]| cz - ground),
            ..Self::default()
        };
        view.supports(out.contact_slope, out.centre_slope, balance);
        view
    }

    /// Of an axle that carries both wheels, the left wheel's centre at x.
    pub(super) fn of_both(out: &WholeAxleOutputs, x: f64, balance: &Balance) -> Self {
        let side = out.side_centre.filter(|[cx, _]| (cx - x).abs() < LONGEST_ARM);
        let mut view = Self {
            side_arm: side.map(|[cx, _]| cx - x),
            side_height: side.map(|[_, cz]| cz - out.ground),
            ..Self::default()
        };
        view.supports(out.contact_slope, out.centre_slope, balance);
        view
    }

    fn supports(&mut self, contact: Option<f64>, centre: f64, balance: &Balance) {
        let braking = contact.map(|slope| balance.support(slope, balance.brake_share_front.value));
        let slope = if balance.holds_drive { contact } else { Some(centre) };
        let driving = balance.drive_share.as_ref().zip(slope);
        let driving = driving.map(|(share, slope)| balance.support(slope, share.value));
        if balance.rear {
            (self.anti_lift_braking, self.anti_squat) = (braking, driving);
        } else {
            (self.anti_dive, self.anti_lift_driving) = (braking, driving);
        }
    }
}

/// What to know of the supports.
pub(super) fn note() -> String {
    "Anti-dive, anti-lift and anti-squat are shares of the load transfer that the links carry instead of the springs, for brakes at the wheels and a steady pull; 100 % holds the axle's height.".to_owned()
}
