//! Steps and covariances of a linear least-squares system by orthogonal reduction: the normal
//! equations are never formed, so that half the digits are not lost.

use nalgebra::{DMatrix, DVector, QR};

/// What is left of M·x ≈ b after an orthogonal reduction, with its columns scaled to unit length.
#[derive(Debug, Clone)]
pub(crate) struct Reduced {
    /// Upper triangle of the scaled system, n by n.
    triangle: DMatrix<f64>,
    /// Reduced right-hand side, n.
    rhs: DVector<f64>,
    /// Length of each column of M (one where it is nought).
    columns: Vec<f64>,
}

impl Reduced {
    /// Reduces a system with at least as many rows as columns.
    pub(crate) fn of(mut matrix: DMatrix<f64>, mut rhs: DVector<f64>) -> Self {
        let n = matrix.ncols();
        let mut columns = Vec::with_capacity(n);
        for mut column in matrix.column_iter_mut() {
            let norm = column.norm();
            let norm = if norm > 0.0 && norm.is_finite() { norm } else { 1.0 };
            column.unscale_mut(norm);
            columns.push(norm);
        }
        let qr = QR::new(matrix);
        qr.q_tr_mul(&mut rhs);
        Self { triangle: qr.r(), rhs: rhs.rows(0, n).into_owned(), columns }
    }

    /// The undamped step and its length |M·step|: how many standard uncertainties of the result it
    /// moves by. Directions that are all but open are damped a little.
    pub(crate) fn full_step(&self) -> Option<(DVector<f64>, f64)> {
        if self.triangle.diagonal().iter().all(|d| d.abs() > 1e-5) {
            let mut step = self.rhs.clone();
            if self.triangle.solve_upper_triangular_mut(&mut step) {
                step.iter_mut().zip(&self.columns).for_each(|(x, norm)| *x /= norm);
                let length = self.rhs.norm();
                return (length.is_finite() && step.iter().all(|x| x.is_finite())).then_some((step, length));
            }
        }
        self.step(1e-14)
    }

    /// The step that makes |M·step − b|² + damping·|scaled step|² least, and its length.
    pub(crate) fn step(&self, damping: f64) -> Option<(DVector<f64>, f64)> {
        let n = self.columns.len();
        let mut matrix = DMatrix::zeros(2 * n, n);
        matrix.view_mut((0, 0), (n, n)).copy_from(&self.triangle);
        for i in 0..n {
            matrix[(n + i, i)] = damping.sqrt();
        }
        let mut rhs = DVector::zeros(2 * n);
        rhs.rows_mut(0, n).copy_from(&self.rhs);
        let qr = QR::new(matrix);
        qr.q_tr_mul(&mut rhs);
        let mut step = rhs.rows(0, n).into_owned();
        if !qr.r().solve_upper_triangular_mut(&mut step) {
            return None;
        }
        let length = (&self.triangle * &step).norm();
        for (x, norm) in step.iter_mut().zip(&self.columns) {
            *x /= norm;
        }
        (length.is_finite() && step.iter().all(|x| x.is_finite())).then_some((step, length))
    }

    /// The inverse triangle with the columns' scale taken off: (MᵀM)⁻¹ = T·Tᵀ. `None` where a
    /// direction is open.
    pub(crate) fn inverse_factor(&self) -> Option<DMatrix<f64>> {
        let n = self.columns.len();
        let mut inverse = DMatrix::identity(n, n);
        if !self.triangle.solve_upper_triangular_mut(&mut inverse) {
            return None;
        }
        for (i, norm) in self.columns.iter().enumerate() {
            inverse.row_mut(i).unscale_mut(*norm);
        }
        inverse.iter().all(|x| x.is_finite()).then_some(inverse)
    }
}

/// A system seen along its singular directions, with what is numerically nought cut off.
pub(crate) struct Spectrum {
    /// Singular values, largest first, n of them.
    pub(crate) values: Vec<f64>,
    /// The direction of each among the unknowns, n by n, as columns.
    pub(crate) directions: DMatrix<f64>,
    /// The right-hand side along each.
    along: Vec<f64>,
    /// How many are above `tolerance` times the largest.
    pub(crate) rank: usize,
}

/// Columns whose cosine is below this are orthogonal.
const ORTHOGONAL: f64 = 1e-15;

/// Sweeps of plane rotations at most; some ten are usual.
const SWEEPS: usize = 60;

impl Spectrum {
    /// Of a system with at least as many rows as columns: the columns are rotated in pairs until they
    /// are orthogonal (`hestenes-1958`), which finds small and vanishing directions accurately.
    pub(crate) fn of(matrix: DMatrix<f64>, rhs: &DVector<f64>, tolerance: f64) -> Self {
        let n = matrix.ncols();
        let (mut left, mut right) = (matrix, DMatrix::identity(n, n));
        let negligible = left.norm() * f64::EPSILON;
        for _ in 0..SWEEPS {
            let mut turned = false;
            for i in 0..n {
                for j in i + 1..n {
                    turned |= orthogonalise(&mut left, &mut right, (i, j), negligible);
                }
            }
            if !turned {
                break;
            }
        }
        let mut order: Vec<usize> = (0..n).collect();
        let sizes: Vec<f64> = left.column_iter().map(|c| c.norm()).collect();
        order.sort_by(|a, b| sizes[*b].total_cmp(&sizes[*a]));
        let values: Vec<f64> = order.iter().map(|k| sizes[*k]).collect();
        let floor = values.first().copied().unwrap_or(0.0) * tolerance;
        let rank = values.iter().filter(|v| **v > floor).count();
        let along = |k: &usize| if sizes[*k] > 0.0 { left.column(*k).dot(rhs) / sizes[*k] } else { 0.0 };
        let along = order.iter().map(along).collect();
        let directions = DMatrix::from_fn(n, n, |i, k| right[(i, order[k])]);
        Self { values, directions, along, rank }
    }

    /// The damped step of least norm, and its length in standard uncertainties of the result.
    pub(crate) fn step(&self, damping: f64) -> (DVector<f64>, f64) {
        let mut step = DVector::zeros(self.directions.nrows());
        let mut square = 0.0;
        for k in 0..self.rank {
            let (s, b) = (self.values[k], self.along[k]);
            let amount = s * b / (s * s + damping);
            square += (s * amount) * (s * amount);
            step += self.directions.column(k) * amount;
        }
        (step, square.sqrt())
    }

    /// A factor T of the pseudo-inverse: (MᵀM)⁺ = T·Tᵀ.
    pub(crate) fn inverse_factor(&self) -> DMatrix<f64> {
        let n = self.directions.ncols();
        let mut factor = DMatrix::zeros(n, n);
        for k in 0..self.rank {
            let column = self.directions.column(k) / self.values[k];
            factor.set_column(k, &column);
        }
        factor
    }
}

/// Rotates two columns so that they become orthogonal; false where they are already.
fn orthogonalise(
    left: &mut DMatrix<f64>,
    right: &mut DMatrix<f64>,
    (i, j): (usize, usize),
    negligible: f64,
) -> bool {
    let (a, b) = (left.column(i).norm_squared(), left.column(j).norm_squared());
    let c = left.column(i).dot(&left.column(j));
    let small = c.abs() <= ORTHOGONAL * (a * b).sqrt() || a.min(b).sqrt() <= negligible;
    if small || !c.is_finite() {
        return false;
    }
    let zeta = (b - a) / (2.0 * c);
    let tan = zeta.signum() / (zeta.abs() + zeta.hypot(1.0));
    let cos = 1.0 / tan.hypot(1.0);
    let sin = cos * tan;
    for matrix in [left, right] {
        for row in 0..matrix.nrows() {
            let (x, y) = (matrix[(row, i)], matrix[(row, j)]);
            matrix[(row, i)] = cos * x - sin * y;
            matrix[(row, j)] = sin * x + cos * y;
        }
    }
    true
}
