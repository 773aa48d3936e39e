//! The readings of a corner, and the corner that fits them.

use crate::alignment::place::Place;
use crate::alignment::rounds::{Gauged, Round};
use crate::units::Units;
use axlestand_geometry::estimation::alignment::Wheel;
use axlestand_geometry::estimation::survey::{StrutSurvey, SurveyKind};
use axlestand_geometry::estimation::{Estimate, Trouble};
use axlestand_geometry::kinematics::{CornerSpec, Point};

/// A misfit less likely than this is looked at from other starts too: a mirror image may have been found.
const MIRROR: f64 = 0.001;
/// How many starts are plenty, from far off (research: 100 % of sets about a corner 60 mm off).
const STARTS: usize = 12;

/// The readings of one corner as the survey takes them.
#[derive(Debug, Clone)]
pub(crate) struct Surveyed {
    /// Kind, value and standard uncertainty.
    pub(crate) readings: Vec<(SurveyKind, f64, f64)>,
    /// The number behind each.
    pub(crate) numbers: Vec<Gauged>,
    /// The corner to start from, as high as the car stands.
    corner: CornerSpec,
    /// What a sweep's gauges show too much, about: camber and toe.
    zeros: [Option<f64>; 2],
}

/// The reading that a number of this wheel is; `None` for those of others and of other things.
pub(crate) fn kind(one: &Gauged, wheel: Wheel) -> Option<SurveyKind> {
    match one.place {
        Place::Survey { wheel: of, spot } if of == wheel => Some(spot.kind()),
        Place::BumpCamber(of) if of == wheel => Some(SurveyKind::SweepCamber(one.at?)),
        Place::BumpToe(of) if of == wheel => Some(SurveyKind::SweepToe(one.at?)),
        _ => None,
    }
}

impl Surveyed {
    /// The readings of a wheel's corner in a round. The car stands on stands, no matter how high: heights
    /// are counted from where the start corner's points would be on the middle one of them. A sweep's
    /// gauges may show anything at ride height.
    pub(crate) fn of(round: &Round, wheel: Wheel, corner: &CornerSpec) -> Self {
        let numbers: Vec<Gauged> =
            round.readings.iter().filter(|one| kind(one, wheel).is_some()).cloned().collect();
        let mut all = Self { readings: Vec::new(), numbers, corner: corner.clone(), zeros: [None; 2] };
        all.lift();
        let statics = [all.corner.camber_deg, all.corner.toe_deg];
        for (angle, usual) in statics.into_iter().enumerate() {
            all.zeros[angle] = all.near_ride_height(wheel, angle).map(|shown| shown - usual);
        }
        all.readings = all
            .numbers
            .iter()
            .filter_map(|one| kind(one, wheel).map(|kind| (kind, all.value(kind, one.value), one.u)))
            .collect();
        all
    }

    /// A value less what the gauge shows too much.
    pub(crate) fn value(&self, kind: SurveyKind, shown: f64) -> f64 {
        shown - self.zero(kind).unwrap_or(0.0)
    }

    /// What the gauge of a sweep reading shows too much; `None` where nothing tells, or for others.
    pub(crate) fn zero(&self, kind: SurveyKind) -> Option<f64> {
        match kind {
            SurveyKind::SweepCamber(_) => self.zeros[0],
            SurveyKind::SweepToe(_) => self.zeros[1],
            _ => None,
        }
    }

    /// Whether a height was read, so that it is known how high the car stands.
    pub(crate) fn has_height(&self) -> bool {
        self.readings.iter().any(|(kind, ..)| matches!(kind, SurveyKind::Height(_)))
    }

    /// What a sweep showed nearest to ride height.
    fn near_ride_height(&self, wheel: Wheel, angle: usize) -> Option<f64> {
        let height = |one: &Gauged| match kind(one, wheel) {
            Some(SurveyKind::SweepCamber(z)) if angle == 0 => Some(z.abs()),
            Some(SurveyKind::SweepToe(z)) if angle == 1 => Some(z.abs()),
            _ => None,
        };
        let swept = self.numbers.iter().filter_map(|one| Some((height(one)?, one.value)));
        swept.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, value)| value)
    }

    /// Brings the start corner to the height at which the car stands.
    fn lift(&mut self) {
        let above = |one: &Gauged| match one.place {
            Place::Survey { spot, .. } => match spot.kind() {
                SurveyKind::Height(point) => Some(one.value - self.corner.point(point)?.z),
                _ => None,
            },
            _ => None,
        };
        let mut lifts: Vec<f64> = self.numbers.iter().filter_map(above).collect();
        lifts.sort_by(f64::total_cmp);
        let Some(middle) = lifts.get(lifts.len() / 2).copied() else { return };
        for point in Point::ALL {
            if let Some(at) = self.corner.point(point) {
                self.corner = self.corner.clone().with(point, at.x, at.y, at.z + middle);
            }
        }
    }

    /// The survey about the start corner.
    pub(crate) fn survey(&self) -> Result<StrutSurvey, Trouble> {
        StrutSurvey::new(&self.corner)
    }

    /// The corner that fits. Where the fit from the start corner is bad, others are tried: tapes fit the
    /// mirror image of a corner too, but the rest does not.
    pub(crate) fn fit(&self, survey: &StrutSurvey) -> Result<Estimate, Trouble> {
        let near = survey.estimate(&self.readings, 1);
        if let Ok(near) = &near
            && near.examine().chance > MIRROR
        {
            return Ok(near.clone());
        }
        match (near, survey.estimate(&self.readings, STARTS)) {
            (Ok(near), Ok(far)) => Ok(if far.cost() < near.cost() { far } else { near }),
            (Ok(one), Err(_)) | (Err(_), Ok(one)) => Ok(one),
            (Err(why), Err(_)) => Err(why),
        }
    }

    /// Where to read the reading `at` again.
    pub(crate) fn name(&self, at: usize, units: Units) -> String {
        self.numbers.get(at).map_or_else(String::new, |one| name(one, units))
    }
}

/// How a number is named: a sweep's with its height.
pub(crate) fn name(one: &Gauged, units: Units) -> String {
    match (one.place, one.at) {
        (Place::BumpCamber(_) | Place::BumpToe(_), Some(at)) => {
            format!("{} at {}", one.place.name(), units.signed_length(at, 0))
        }
        _ => one.place.name(),
    }
}
