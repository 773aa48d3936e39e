//! Distances, heights and angles of targets: joint plus offset.

use super::reading::{SurveyKind, Tilt};
use super::unknowns;
use crate::estimation::{Formula, Model};
use crate::kinematics::Point;
use crate::mathematics::{Dual, Scalar, Vec3};

/// A reading of up to two targets, the floor's roll and pitch.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Plain(pub(crate) SurveyKind);

/// Targets of both points, then roll and pitch in degrees.
impl Formula for Plain {
    fn at<S: Scalar>(&self, x: &[S]) -> S {
        let (a, b) = (Vec3::new(x[0], x[1], x[2]), Vec3::new(x[3], x[4], x[5]));
        let (roll, pitch) = (x[6], x[7]);
        match self.0 {
            SurveyKind::Across(_) => a.y.scaled(2.0),
            SurveyKind::Diagonal(..) => (a - Vec3::new(b.x, -b.y, b.z)).norm(),
            SurveyKind::Height(_) => a.z + a.y * roll.in_radians() - a.x * pitch.in_radians(),
            SurveyKind::Station(_) => a.x - b.x,
            SurveyKind::Angle(_, _, tilt) => angle(b - a, tilt, roll, pitch),
            _ => (a - b).norm(),
        }
    }
}

fn angle<S: Scalar>(d: Vec3<S>, tilt: Tilt, roll: S, pitch: S) -> S {
    match tilt {
        Tilt::RiseInFront => {
            let run = d.y.scaled(if d.y.value() < 0.0 { -1.0 } else { 1.0 });
            (d.z + d.y * roll.in_radians()).atan2(run).in_degrees()
        }
        Tilt::LeanInFront => d.y.atan2(d.z).in_degrees() - roll,
        Tilt::LeanFromSide => d.x.atan2(d.z).in_degrees() + pitch,
    }
}

impl Plain {
    /// The points a reading is about; the second stands in where there is one only.
    fn points(self) -> Option<[usize; 2]> {
        let of = |p: Point| unknowns::place(p);
        match self.0 {
            SurveyKind::Tape(a, b) | SurveyKind::Diagonal(a, b) | SurveyKind::Angle(a, b, _) => {
                Some([of(a)?, of(b)?])
            }
            SurveyKind::Across(a) | SurveyKind::Height(a) => Some([of(a)?; 2]),
            SurveyKind::Station(a) => Some([of(a)?, of(Point::WheelCentre)?]),
            _ => None,
        }
    }

    /// Its inputs and, for each, the unknowns that add up to it.
    fn inputs(self) -> Option<[Vec<usize>; 8]> {
        let mut out: [Vec<usize>; 8] = Default::default();
        for (k, place) in self.points()?.into_iter().enumerate() {
            let (coordinates, offsets) = (unknowns::coordinates(place), unknowns::offsets(place));
            for axis in 0..3 {
                out[3 * k + axis] = coordinates[axis].into_iter().chain([offsets[axis]]).collect();
            }
        }
        out[6] = vec![unknowns::ROLL];
        out[7] = vec![unknowns::PITCH];
        Some(out)
    }
}

impl Model for Plain {
    fn evaluate(&self, at: &[f64], gradient: &mut [f64]) -> Option<f64> {
        let inputs = self.inputs()?;
        let mut values = [0.0; 8];
        for (value, parts) in values.iter_mut().zip(&inputs) {
            for part in parts {
                *value += at.get(*part)?;
            }
        }
        let mut dual = values.map(Dual::fixed);
        for (k, parts) in inputs.iter().enumerate() {
            dual[k].rate = 1.0;
            let rate = self.at(&dual).rate;
            dual[k].rate = 0.0;
            for part in parts {
                *gradient.get_mut(*part)? += rate;
            }
        }
        Some(self.at(&values))
    }
}
