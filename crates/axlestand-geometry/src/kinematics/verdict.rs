//! Angles and lengths held against what the parts allow.

use super::corner::Corner;
use super::outputs::Outputs;
use super::point::Point;
use super::trouble::Trouble;

/// What a limit is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limited {
    /// Articulation of a ball joint, degrees.
    Joint(Point),
    /// Angle of the drive axle's inner joint, degrees.
    AxleInner,
    /// Angle of the drive axle's outer joint, degrees.
    AxleOuter,
    /// Plunge of the drive axle inward, mm.
    PlungeIn,
    /// Plunge of the drive axle outward, mm.
    PlungeOut,
    /// Tilt of the anti-roll bar's link, degrees.
    BarLink,
}

impl std::fmt::Display for Limited {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Joint(point) => write!(f, "articulation of the {point}"),
            Self::AxleInner => f.write_str("angle of the drive axle's inner joint"),
            Self::AxleOuter => f.write_str("angle of the drive axle's outer joint"),
            Self::PlungeIn => f.write_str("plunge of the drive axle inward"),
            Self::PlungeOut => f.write_str("plunge of the drive axle outward"),
            Self::BarLink => f.write_str("tilt of the bar link"),
        }
    }
}

/// One quantity against its limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verdict {
    /// What it is about.
    pub what: Limited,
    /// What it is, degrees or mm, without sign.
    pub value: f64,
    /// What its maker allows; without one there is no verdict, only the value.
    pub limit: Option<f64>,
}

impl Verdict {
    /// How much is left to the limit, negative beyond it; `None` without a limit.
    #[must_use]
    pub fn margin(&self) -> Option<f64> {
        self.limit.map(|limit| limit - self.value)
    }
}

/// The worst of each limited quantity over a set of positions, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worst {
    /// Quantity, its largest value and its limit.
    pub verdict: Verdict,
    /// Wheel travel there, mm.
    pub travel: f64,
    /// Rack travel there, mm.
    pub rack: f64,
}

impl Corner {
    /// Every limited quantity at a position with its limit, if its maker tells.
    #[must_use]
    pub fn verdicts(&self, out: &Outputs) -> Vec<Verdict> {
        let limits = &self.spec().limits;
        let mut all = Vec::new();
        let mut add = |what, value: Option<f64>, limit| {
            if let Some(value) = value {
                all.push(Verdict { what, value, limit });
            }
        };
        for (joint, angle) in self.spec().joints.iter().zip(out.joints) {
            add(Limited::Joint(joint.point), angle.map(f64::abs), joint.limit_deg);
        }
        add(Limited::AxleInner, out.axle_inner, limits.axle_inner_deg);
        add(Limited::AxleOuter, out.axle_outer, limits.axle_outer_deg);
        add(Limited::PlungeIn, out.axle_plunge.map(|p| (-p).max(0.0)), limits.plunge_in);
        add(Limited::PlungeOut, out.axle_plunge.map(|p| p.max(0.0)), limits.plunge_out);
        add(Limited::BarLink, out.bar_link_tilt, limits.bar_link_deg);
        all
    }

    /// The worst of every limited quantity over the given travels at every given rack position:
    /// both travel stops at both locks belong in there.
    ///
    /// # Errors
    /// [`Trouble`] where a position cannot be reached.
    pub fn worst_over(&self, travels: &[f64], racks: &[f64]) -> Result<Vec<Worst>, Trouble> {
        let mut worst: Vec<Worst> = Vec::new();
        let curves = self.curves(travels, racks);
        for (i, &travel) in travels.iter().enumerate() {
            for (j, &rack) in racks.iter().enumerate() {
                let out = match curves.get(i, j) {
                    Some(Ok(out)) => out,
                    Some(Err(trouble)) => return Err(trouble.clone()),
                    None => continue,
                };
                for verdict in self.verdicts(out) {
                    let here = Worst { verdict, travel, rack };
                    match worst.iter_mut().find(|w| w.verdict.what == verdict.what) {
                        Some(w) if w.verdict.value < verdict.value => *w = here,
                        Some(_) => {}
                        None => worst.push(here),
                    }
                }
            }
        }
        Ok(worst)
    }
}
