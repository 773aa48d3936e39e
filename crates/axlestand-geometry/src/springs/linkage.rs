//! How long the spring's space is at each travel.

use crate::kinematics::{Corner, Trouble};

/// One sampled place: travel (mm), distance between the spring's seats (mm), motion ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinkagePoint {
    /// Wheel travel, mm.
    pub travel: f64,
    /// Distance between the seats with the collar at its reference, mm.
    pub length: f64,
    /// Motion ratio, −d(length)/d(travel).
    pub ratio: f64,
}

/// Why a sampled linkage cannot be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BadLinkage {
    /// Fewer than two places, or travels that do not rise.
    #[error("a spring's linkage needs at least two places with rising travel")]
    TooFew,
    /// A figure that is not an ordinary number, or a motion ratio that is not positive.
    #[error("at travel {travel} mm the spring's length or motion ratio is impossible")]
    Impossible {
        /// Where.
        travel: f64,
    },
    /// The corner has no spring.
    #[error("the corner has no spring seats; enter them or give the motion ratio")]
    NoSpring,
    /// The corner cannot be moved there.
    #[error(transparent)]
    Trouble(#[from] Trouble),
}

/// Spring length over wheel travel, between sampled places by the cubic through lengths and motion
/// ratios at both ends, beyond them carried on with the end's ratio and gradient.
#[derive(Debug, Clone, PartialEq)]
pub struct Linkage {
    points: Vec<LinkagePoint>,
}

impl Linkage {
    /// From sampled places in order of travel.
    ///
    /// # Errors
    /// [`BadLinkage`] for too few, unordered or impossible places.
    pub fn new(points: Vec<LinkagePoint>) -> Result<Self, BadLinkage> {
        let rising = points.windows(2).all(|w| w[0].travel < w[1].travel);
        if points.len() < 2 || !rising {
            return Err(BadLinkage::TooFew);
        }
        for p in &points {
            if !(p.travel.is_finite() && p.length.is_finite() && p.ratio.is_finite() && p.ratio > 0.0) {
                return Err(BadLinkage::Impossible { travel: p.travel });
            }
        }
        Ok(Self { points })
    }

    /// A constant motion ratio: `length` (mm) between the seats at travel nought.
    ///
    /// # Errors
    /// [`BadLinkage::Impossible`] for a ratio that is not positive.
    pub fn constant(length: f64, ratio: f64) -> Result<Self, BadLinkage> {
        let at = |travel: f64| LinkagePoint { travel, length: length - ratio * travel, ratio };
        Self::new(vec![at(-100.0), at(100.0)])
    }

    /// Sampled on a corner's kinematics every `step` mm from `from` to `to` mm of travel.
    ///
    /// # Errors
    /// [`BadLinkage::NoSpring`] without spring seats, [`BadLinkage::Trouble`] where the corner does
    /// not get there.
    pub fn of_corner(corner: &Corner, from: f64, to: f64, step: f64) -> Result<Self, BadLinkage> {
        let sound = from < to && step > 0.0 && ((to - from) / step) < 10_000.0;
        if !sound {
            return Err(BadLinkage::TooFew);
        }
        let count = ((to - from) / step).ceil();
        let mut tracker = corner.tracker();
        let mut points = Vec::new();
        let mut i = 0.0;
        while i <= count {
            let travel = from + (to - from) * i / count;
            let at = tracker.advance(travel, 0.0)?;
            let out = corner.outputs(&at)?;
            let (Some(length), Some(ratio)) = (out.spring_length, out.spring_ratio) else {
                return Err(BadLinkage::NoSpring);
            };
            points.push(LinkagePoint { travel, length, ratio });
            i += 1.0;
        }
        Self::new(points)
    }

    /// The sampled places.
    #[must_use]
    pub fn points(&self) -> &[LinkagePoint] {
        &self.points
    }

    /// Length (mm), motion ratio and its gradient (1/mm) at a travel, mm.
    #[must_use]
    pub fn at(&self, travel: f64) -> (f64, f64, f64) {
        let last = self.points.len() - 2;
        let i = self.points.partition_point(|p| p.travel <= travel).saturating_sub(1).min(last);
        let (a, b) = (&self.points[i], &self.points[i + 1]);
        let within = travel.clamp(a.travel, b.travel);
        let (length, ratio, gradient) = between(a, b, within);
        let beyond = travel - within;
        let carried = length - ratio * beyond - gradient * beyond * beyond / 2.0;
        (carried, ratio + gradient * beyond, gradient)
    }
}

/// The cubic through two places with their slopes.
fn between(a: &LinkagePoint, b: &LinkagePoint, travel: f64) -> (f64, f64, f64) {
    let h = b.travel - a.travel;
    let s = (travel - a.travel) / h;
    let (c2, c3) = {
        let rise = b.length - a.length;
        let (m0, m1) = (-a.ratio * h, -b.ratio * h);
        (3.0 * rise - 2.0 * m0 - m1, m0 + m1 - 2.0 * rise)
    };
    let m0 = -a.ratio * h;
    let length = a.length + s * (m0 + s * (c2 + s * c3));
    let slope = (m0 + s * (2.0 * c2 + 3.0 * s * c3)) / h;
    let bend = (2.0 * c2 + 6.0 * s * c3) / (h * h);
    (length, -slope, -bend)
}
