//! The corner a survey starts from: the file's hardpoints, else a typical strut corner.

use crate::alignment::adjustable::Rods;
use crate::error::GarageError;
use crate::geometry::corner::axle as axle_named;
use crate::geometry::points::{layout, word};
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::Wheel;
use axlestand_geometry::kinematics::{CornerSpec, Layout, Point};
use axlestand_model::Origin;
use axlestand_model::car::{Axle, Car};
use axlestand_quantity::{Angle, Length};

/// A strut corner as such corners usually are, left, mm, for a half track of 730 and a tyre of 300: every
/// point is taken to be within some 50 mm of it each way (AX-52, judgement, no source).
const TYPICAL: [(Point, [f64; 3]); 8] = [
    (Point::LowerFront, [0.0, 380.0, 200.0]),
    (Point::LowerRear, [-320.0, 360.0, 200.0]),
    (Point::LowerBall, [0.0, 680.0, 180.0]),
    (Point::TieRodInner, [-150.0, 340.0, 200.0]),
    (Point::TieRodOuter, [-140.0, 640.0, 200.0]),
    (Point::StrutSeat, [0.0, 640.0, 340.0]),
    (Point::StrutTop, [-20.0, 560.0, 780.0]),
    (Point::WheelCentre, [0.0, 730.0, 300.0]),
];
const TYPICAL_HALF_TRACK: f64 = 730.0;
const TYPICAL_RADIUS: f64 = 300.0;

/// Where a survey starts.
#[derive(Debug, Clone)]
pub(crate) struct Start {
    /// The corner, as a left one with its wheel centre at x = 0.
    pub(crate) corner: CornerSpec,
    /// Where it comes from, in words.
    pub(crate) from: String,
    /// Whether all of it is this kind of car's own, from the file.
    pub(crate) own: bool,
}

/// Where the survey of a wheel's corner starts.
///
/// # Errors
/// [`GarageError::Input`] where the corner is no strut corner, with what can be done instead.
pub(crate) fn start(car: &Car, wheel: Wheel, rods: Option<Rods>) -> Result<Start, GarageError> {
    let axle = axle_named(car, &wheel.axle.to_string())?;
    if layout(axle) != Some(Layout::Strut) {
        return Err(GarageError::Input(format!(
            "the {} axle is a {}: the survey with tapes knows strut corners only. What height does to its wheels the bump sweep tells without any geometry ('axlestand read --guide bump.{}')",
            axle.name,
            axle.layout.phrase(),
            crate::alignment::place::wheel_word(wheel)
        )));
    }
    let track = if axle.name == "front" { car.track_front } else { car.track_rear };
    let wide = track.map_or(1.0, |track| track.mm() / 2.0 / TYPICAL_HALF_TRACK);
    let radius = axle.tyre_radius.map_or(TYPICAL_RADIUS, Length::mm);
    let ahead = rods == Some(Rods::Ahead) && axle.name == "front";
    let mut corner = CornerSpec::new(Layout::Strut, Side::Left, radius);
    let mut typical = 0;
    for (point, usual) in TYPICAL {
        let [x, y, z] = of_file(axle, wheel.side, point).unwrap_or_else(|| {
            typical += 1;
            let is_rod = matches!(point, Point::TieRodInner | Point::TieRodOuter);
            let x = if ahead && is_rod { -usual[0] } else { usual[0] };
            [x, usual[1] * wide, usual[2] * radius / TYPICAL_RADIUS]
        });
        corner = corner.with(point, x, y, z);
    }
    let hub = corner.point(Point::WheelCentre).map_or(0.0, |hub| hub.x);
    for (point, _) in TYPICAL {
        if let Some(at) = corner.point(point) {
            corner = corner.with(point, at.x - hub, at.y, at.z);
        }
    }
    let right = wheel.side == Side::Right;
    let angle = |own: Option<Angle>, other: Option<Angle>| own.filter(|_| right).or(other).map(Angle::deg);
    corner.camber_deg = angle(axle.camber_right, axle.camber).unwrap_or(-0.5);
    corner.toe_deg = angle(axle.toe_right, axle.toe).unwrap_or(0.0);
    let own = typical == 0 && axle.provenance.origin != Origin::Typical;
    Ok(Start { corner, from: from(axle, typical), own })
}

/// A point of the file, of that side, seen as a left one.
fn of_file(axle: &Axle, side: Side, point: Point) -> Option<[f64; 3]> {
    let name = word(point);
    let own = axle.points_right.get(&name).filter(|_| side == Side::Right).map(|[x, y, z]| [*x, -*y, *z]);
    own.or_else(|| axle.points.get(&name).copied())
}

fn from(axle: &Axle, typical: usize) -> String {
    match typical {
        0 if axle.provenance.origin == Origin::Typical => {
            "the hardpoints of the file, which are typical ones".to_owned()
        }
        0 => format!("the hardpoints of the file ({})", axle.provenance),
        8 => "a typical strut corner".to_owned(),
        _ => format!("the hardpoints of the file, {typical} of 8 typical ones in place of those it lacks"),
    }
}
