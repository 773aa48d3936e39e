//! The nearest point among whole steps.

use nalgebra::{DMatrix, DVector, QR};

/// Places that are looked at, at most; a handful of adjusters takes some hundred.
const MOST_PLACES: usize = 200_000;

/// Whole numbers n within bounds that make |A·n − b| least, and whether every better place has been
/// ruled out. A has at least as many rows as columns and full rank.
///
/// A is brought to triangular form; the last number is tried from the nearest value outward, then the
/// one before, and so on; whatever is already worse than the best so far is not followed
/// (`schnorr-euchner-1994`).
pub(crate) fn nearest(matrix: DMatrix<f64>, rhs: &DVector<f64>, bounds: &[(i64, i64)]) -> (Vec<i64>, bool) {
    let n = matrix.ncols();
    let qr = QR::new(matrix);
    let mut along = rhs.clone();
    qr.q_tr_mul(&mut along);
    let mut search = Search {
        triangle: qr.r(),
        along,
        bounds,
        current: vec![0; n],
        best: vec![0; n],
        least: f64::INFINITY,
        left: MOST_PLACES,
    };
    search.descend(n, 0.0);
    (search.best, search.left > 0)
}

struct Search<'a> {
    triangle: DMatrix<f64>,
    along: DVector<f64>,
    bounds: &'a [(i64, i64)],
    current: Vec<i64>,
    best: Vec<i64>,
    least: f64,
    left: usize,
}

impl Search<'_> {
    /// Numbers from `level` on are chosen and cost `spent` together.
    fn descend(&mut self, level: usize, spent: f64) {
        let Some(k) = level.checked_sub(1) else {
            if spent < self.least {
                self.least = spent;
                self.best.clone_from(&self.current);
            }
            return;
        };
        let pivot = self.triangle[(k, k)];
        let known: f64 =
            (level..self.current.len()).map(|j| self.triangle[(k, j)] * self.current[j] as f64).sum();
        let centre = (self.along[k] - known) / pivot;
        let (low, high) = self.bounds[k];
        let first = (centre.round().clamp(low as f64, high as f64)) as i64;
        // Outward in both directions, the nearer one first; a side is done when it leaves the bounds.
        let (mut down, mut up) = (first - 1, first + 1);
        let mut next = Some(first);
        while let Some(value) = next {
            if self.left == 0 {
                return;
            }
            self.left -= 1;
            let off = pivot * (value as f64 - centre);
            if spent + off * off >= self.least {
                return;
            }
            self.current[k] = value;
            self.descend(k, spent + off * off);
            let below = (down >= low).then_some(down);
            let above = (up <= high).then_some(up);
            next = match (below, above) {
                (Some(b), Some(a)) if (b as f64 - centre).abs() <= (a as f64 - centre).abs() => Some(b),
                (_, Some(a)) => Some(a),
                (b, None) => b,
            };
            if next == below { down -= 1 } else { up += 1 }
        }
    }
}
