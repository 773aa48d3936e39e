//! From where to where a way of reading goes, as a drawing.

use crate::job::Job;
use crate::units::Units;
use axlestand_draw::{Drawing, Gauging, StringSetup, gauging, string_setup, survey_points};
use axlestand_quantity::Length;

/// The drawing of a method by its word, like `plates` or `survey.front-right`; `None` for a word that is none.
#[must_use]
pub fn guide_picture(job: &Job, method: &str, units: Units) -> Option<Drawing> {
    let mm = |length: Option<Length>| length.map_or(f64::NAN, Length::mm);
    let car = StringSetup {
        wheelbase: mm(job.car.wheelbase),
        track_front: mm(job.car.track_front),
        track_rear: mm(job.car.track_rear),
    };
    let way = match method.split('.').next()? {
        "strings" => return Some(string_setup(car)),
        "survey" | "full-survey" => return Some(survey_points()),
        "plates" => Gauging::Plates,
        "camber" => Gauging::Camber,
        "floor" => Gauging::Floor,
        "caster" => Gauging::Caster,
        "trammel" => Gauging::Trammel,
        "edge" => Gauging::StraightEdge,
        "lengths" => Gauging::Lengths,
        "conditions" => Gauging::Height,
        "bump" => Gauging::Sweep(units.lengths()),
        _ => return None,
    };
    Some(gauging(car, way))
}
