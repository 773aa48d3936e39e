//! Small dense systems of equations by LU with row exchange.

use super::scalar::Scalar;

/// The factors of an `N` by `N` matrix, stored by columns with noughts where the other factor is,
/// so that every loop runs over the full width.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lu<const N: usize> {
    /// Columns of L below the diagonal.
    lower: [[f64; N]; N],
    /// Columns of U above the diagonal.
    upper: [[f64; N]; N],
    /// Reciprocals of the pivots.
    inverse: [f64; N],
    /// Which row of the right-hand side comes first, second, …
    order: [usize; N],
    /// The determinant.
    det: f64,
}

impl<const N: usize> Lu<N> {
    /// Factorises; `None` where a pivot is nought or not an ordinary number.
    #[inline]
    pub(crate) fn of(mut a: [[f64; N]; N]) -> Option<Self> {
        let mut order = [0; N];
        for (i, slot) in order.iter_mut().enumerate() {
            *slot = i;
        }
        let mut lower = [[0.0; N]; N];
        let mut inverse = [0.0; N];
        let mut det = 1.0;
        for k in 0..N {
            let mut best = k;
            let mut most = a[k][k].abs();
            for (i, row) in a.iter().enumerate().skip(k + 1) {
                let size = row[k].abs();
                if size > most {
                    (best, most) = (i, size);
                }
            }
            if !(most > f64::MIN_POSITIVE && most.is_finite()) {
                return None;
            }
            if best != k {
                a.swap(best, k);
                order.swap(best, k);
                for column in lower.iter_mut().take(k) {
                    column.swap(best, k);
                }
                det = -det;
            }
            let mut top = a[k];
            det *= top[k];
            inverse[k] = 1.0 / top[k];
            // Entries left of the pivot are done with; as noughts they take part without effect.
            top[..=k].fill(0.0);
            for i in k + 1..N {
                let factor = a[i][k] * inverse[k];
                lower[k][i] = factor;
                for (entry, t) in a[i].iter_mut().zip(&top) {
                    *entry -= factor * t;
                }
            }
        }
        let mut upper = [[0.0; N]; N];
        for (i, row) in a.iter().enumerate() {
            for (j, entry) in row.iter().enumerate().skip(i + 1) {
                upper[j][i] = *entry;
            }
        }
        Some(Self { lower, upper, inverse, order, det })
    }

    /// The determinant of the matrix.
    pub(crate) fn det(&self) -> f64 {
        self.det
    }

    /// Solves for one right-hand side, of plain or of dual numbers.
    #[inline]
    pub(crate) fn solve<S: Scalar>(&self, rhs: [S; N]) -> [S; N] {
        let mut x = self.order.map(|i| rhs[i]);
        for (k, column) in self.lower.iter().enumerate() {
            let known = x[k];
            for (value, factor) in x.iter_mut().zip(column) {
                *value = *value - known.scaled(*factor);
            }
        }
        for k in (0..N).rev() {
            let known = x[k].scaled(self.inverse[k]);
            for (value, factor) in x.iter_mut().zip(&self.upper[k]) {
                *value = *value - known.scaled(*factor);
            }
            x[k] = known;
        }
        x
    }

    /// Solves the transposed system: which combination of rows gives `rhs`.
    pub(crate) fn solve_transposed(&self, rhs: [f64; N]) -> [f64; N] {
        let dot = |a: &[f64; N], b: &[f64; N]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        let mut x = [0.0; N];
        for k in 0..N {
            x[k] = (rhs[k] - dot(&self.upper[k], &x)) * self.inverse[k];
        }
        for k in (0..N).rev() {
            x[k] -= dot(&self.lower[k], &x);
        }
        let mut out = [0.0; N];
        for (value, &place) in x.iter().zip(&self.order) {
            out[place] = *value;
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::Lu;

    #[test]
    fn solves_both_ways_and_knows_the_determinant() {
        let a = [[0.0, 2.0, 1.0], [1.0, -1.0, 0.5], [3.0, 0.0, 4.0]];
        let lu = Lu::of(a).unwrap();
        assert!((lu.det() - -2.0).abs() < 1e-14, "{}", lu.det());
        let x = [1.5, -2.0, 0.25];
        let times = |v: [f64; 3], t: bool| {
            let mut b = [0.0; 3];
            for i in 0..3 {
                for j in 0..3 {
                    b[i] += if t { a[j][i] } else { a[i][j] } * v[j];
                }
            }
            b
        };
        for (found, t) in [(lu.solve(times(x, false)), false), (lu.solve_transposed(times(x, true)), true)] {
            for (f, w) in found.iter().zip(&x) {
                assert!((f - w).abs() < 1e-14, "transposed {t}: {found:?}");
            }
        }
        assert!(Lu::of([[1.0, 2.0], [2.0, 4.0]]).is_none());
    }
}
