//! Small dense systems of equations by LU with row exchange.

use super::scalar::Scalar;

/// The factors of an `N` by `N` matrix, stored with noughts where the other factor is, so that every
/// loop runs over the full width.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lu<const N: usize> {
    /// Columns of L below the diagonal. What stands elsewhere is nought from the start and stays so.
    lower: [[f64; N]; N],
    /// Rows of U right of the diagonal.
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
    pub(crate) fn of(a: [[f64; N]; N]) -> Option<Self> {
        let mut out = Self::blank();
        out.factorise(a).then_some(out)
    }

    /// Room for factors.
    #[inline(always)]
    pub(crate) fn blank() -> Self {
        let zero = [[0.0; N]; N];
        Self { lower: zero, upper: zero, inverse: [0.0; N], order: [0; N], det: 0.0 }
    }

    /// Factorises; false where a pivot is nought or not an ordinary number, and then the factors are
    /// of no use.
    #[inline(always)]
    pub(crate) fn factorise(&mut self, a: [[f64; N]; N]) -> bool {
        self.upper = a;
        self.factorise_room()
    }

    /// Where the matrix is to be written for [`factorise_room`](Self::factorise_room).
    #[inline(always)]
    pub(crate) fn room(&mut self) -> &mut [[f64; N]; N] {
        &mut self.upper
    }

    /// Factorises the matrix that was written into the [`room`](Self::room); false as in
    /// [`factorise`](Self::factorise).
    #[inline(always)]
    pub(crate) fn factorise_room(&mut self) -> bool {
        self.det = 1.0;
        for (i, slot) in self.order.iter_mut().enumerate() {
            *slot = i;
        }
        // Written out up to the largest system there is, so that each stage has a fixed place and
        // the compiler unrolls its loops.
        self.stage(0)
            && self.stage(1)
            && self.stage(2)
            && self.stage(3)
            && self.stage(4)
            && self.stage(5)
            && self.stage(6)
            && N <= 7
    }

    /// Eliminates column `k`; false where its pivot is of no use.
    #[inline(always)]
    fn stage(&mut self, k: usize) -> bool {
        if k >= N {
            return true;
        }
        let a = &mut self.upper;
        let mut best = k;
        let mut most = a[k][k].abs();
        for (i, row) in a.iter().enumerate().skip(k + 1) {
            let size = row[k].abs();
            if size > most {
                (best, most) = (i, size);
            }
        }
        if !(most > f64::MIN_POSITIVE && most.is_finite()) {
            return false;
        }
        if best != k {
            a.swap(best, k);
            self.order.swap(best, k);
            for column in self.lower.iter_mut().take(k) {
                column.swap(best, k);
            }
            self.det = -self.det;
        }
        let mut top = a[k];
        self.det *= top[k];
        let inverse = 1.0 / top[k];
        self.inverse[k] = inverse;
        // Entries left of the pivot are done with; as noughts they take part without effect.
        top[..=k].fill(0.0);
        for (row, slot) in a.iter_mut().zip(&mut self.lower[k]).skip(k + 1) {
            let factor = row[k] * inverse;
            *slot = factor;
            for (entry, t) in row.iter_mut().zip(&top) {
                *entry -= factor * t;
            }
        }
        a[k] = top;
        true
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
            let mut sum = x[k];
            for (value, factor) in x.iter().zip(&self.upper[k]) {
                sum = sum - value.scaled(*factor);
            }
            x[k] = sum.scaled(self.inverse[k]);
        }
        x
    }

    /// Solves the transposed system: which combination of rows gives `rhs`.
    pub(crate) fn solve_transposed(&self, rhs: [f64; N]) -> [f64; N] {
        let mut x = rhs;
        for (k, row) in self.upper.iter().enumerate() {
            let known = x[k] * self.inverse[k];
            for (value, factor) in x.iter_mut().zip(row) {
                *value -= known * factor;
            }
            x[k] = known;
        }
        for k in (0..N).rev() {
            let column = self.lower[k].iter().zip(&x);
            x[k] -= column.map(|(a, b)| a * b).sum::<f64>();
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
