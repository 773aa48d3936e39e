//! What the readings alone can tell, without any prior.

use super::estimate::Estimate;
use super::least_squares::Spectrum;
use nalgebra::{DMatrix, DVector};

/// A combination of unknowns, each counted in units of its prior width (else of its own size).
#[derive(Debug, Clone, PartialEq)]
pub struct Direction {
    /// How well the readings hold it: singular value, standard uncertainties for each unit.
    pub strength: f64,
    /// The unknowns that take part by more than a tenth, by place, largest part first.
    pub parts: Vec<(usize, f64)>,
}

/// What the readings alone hold and what only the priors do.
#[derive(Debug, Clone, PartialEq)]
pub struct Observability {
    /// How many independent combinations of the unknowns the readings hold.
    pub rank: usize,
    /// How many unknowns there are.
    pub unknowns: usize,
    /// The combinations that no reading touches.
    pub open: Vec<Direction>,
    /// The combination that is held weakest, where any is.
    pub weakest: Option<Direction>,
}

impl Estimate {
    /// The singular directions of the readings' derivatives without priors.
    #[must_use]
    pub fn observability(&self) -> Observability {
        let n = self.values.len();
        let (m, _) = self.here.slope.shape();
        let mut scaled = DMatrix::zeros(m.max(n), n);
        scaled.view_mut((0, 0), (m, n)).copy_from(&self.here.slope);
        for (mut column, scale) in scaled.column_iter_mut().zip(&self.scales) {
            column.scale_mut(*scale);
        }
        let rhs = DVector::zeros(m.max(n));
        let spectrum = Spectrum::of(scaled, &rhs, self.rank_tolerance);
        let direction = |k: usize| {
            let mut parts: Vec<(usize, f64)> = (0..n).map(|i| (i, spectrum.directions[(i, k)])).collect();
            parts.retain(|(_, p)| p.abs() > 0.1);
            parts.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
            Direction { strength: spectrum.values[k], parts }
        };
        Observability {
            rank: spectrum.rank,
            unknowns: n,
            open: (spectrum.rank..n).map(direction).collect(),
            weakest: spectrum.rank.checked_sub(1).map(direction),
        }
    }
}
