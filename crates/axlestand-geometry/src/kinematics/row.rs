//! The equations that hold a body: one scalar equation each, with its analytic derivative.

use crate::mathematics::{Lu, Pose, Scalar, Twist, Vec3};

/// The place of the height of the origin among the unknowns of a motion.
pub(crate) const HEIGHT: usize = 2;

/// One equation on the pose (p, R) of a body; body points b are given from the body's origin in
/// body axes. A small motion (v, ω) moves the point p + Rb by v + ω×Rb, which gives the
/// derivative rows (Lie-group calculus on SE(3)).
#[derive(Debug, Clone, Copy)]
pub(crate) enum Row<S = f64> {
    /// A rigid rod from chassis point `q` to body point `b`: |p + Rb − q| − length = 0.
    Rod {
        /// The chassis end.
        q: Vec3<S>,
        /// The body end.
        b: Vec3<S>,
        /// Length between joint centres.
        length: S,
    },
    /// The chassis point `t` stays on a line of the body, one of its two equations:
    /// e·Rᵀ(t − p) − at = 0 with body direction `e` across the line.
    Slide {
        /// The chassis point.
        t: Vec3<S>,
        /// Unit direction in the body.
        e: Vec3<S>,
        /// e·(a point of the line).
        at: S,
    },
    /// The body point `b` stays on a chassis plane: n·(p + Rb) − at = 0.
    Plane {
        /// The body point.
        b: Vec3<S>,
        /// The plane's unit normal.
        n: Vec3<S>,
        /// The plane's distance from the origin along `n`.
        at: S,
    },
}

impl<S: Scalar> Row<S> {
    /// How far the equation is from being met, mm.
    #[inline(always)]
    pub(crate) fn residual(&self, pose: &Pose<S>) -> S {
        match self {
            Self::Rod { q, b, length } => (pose.place(*b) - *q).norm() - *length,
            Self::Slide { t, e, at } => pose.turn.times(*e).dot(*t - pose.origin) - *at,
            Self::Plane { b, n, at } => n.dot(pose.place(*b)) - *at,
        }
    }

    /// Residual and its derivative by (v, ω).
    #[inline(always)]
    pub(crate) fn linear(&self, pose: &Pose<S>) -> (S, [S; 6]) {
        match self {
            Self::Rod { q, b, length } => {
                let arm = pose.turn.times(*b);
                let rod = pose.origin + arm - *q;
                let span = rod.norm();
                let u = rod.times(S::one() / span);
                (span - *length, six(u, arm.cross(u)))
            }
            Self::Slide { t, e, at } => {
                let e = pose.turn.times(*e);
                let w = *t - pose.origin;
                (e.dot(w) - *at, six(-e, e.cross(w)))
            }
            Self::Plane { b, n, at } => {
                let arm = pose.turn.times(*b);
                (n.dot(pose.origin + arm) - *at, six(*n, arm.cross(*n)))
            }
        }
    }

    /// Every number through `f`.
    pub(crate) fn map<T>(&self, f: impl Fn(S) -> T + Copy) -> Row<T> {
        match *self {
            Self::Rod { q, b, length } => Row::Rod { q: q.map(f), b: b.map(f), length: f(length) },
            Self::Slide { t, e, at } => Row::Slide { t: t.map(f), e: e.map(f), at: f(at) },
            Self::Plane { b, n, at } => Row::Plane { b: b.map(f), n: n.map(f), at: f(at) },
        }
    }
}

#[inline]
fn six<S: Copy>(a: Vec3<S>, b: Vec3<S>) -> [S; 6] {
    [a.x, a.y, a.z, b.x, b.y, b.z]
}

/// What is left of a derivative row for `N` unknowns: all six, or all but the height of the origin.
#[inline(always)]
pub(crate) fn unknowns<const N: usize>(six: &[f64; 6]) -> [f64; N] {
    const { assert!(N == 6 || N == 5, "six unknowns, or all but the height") };
    std::array::from_fn(|i| six[if N == 5 && i >= HEIGHT { i + 1 } else { i }])
}

/// The six unknowns of a motion from `N` of them; the height stays where it is not one of them.
#[inline(always)]
pub(crate) fn all_six<const N: usize>(some: &[f64; N]) -> [f64; 6] {
    std::array::from_fn(|i| match i {
        HEIGHT if N == 5 => 0.0,
        i if N == 5 && i > HEIGHT => some[i - 1],
        i => some[i],
    })
}

/// The determinant of all six equations from the factors of the first `N`: where the last one is the
/// height of the origin alone, its minor with the sign of its place.
#[inline(always)]
pub(crate) fn whole_det<const N: usize>(lu: &Lu<N>) -> f64 {
    if N == 5 { -lu.det() } else { lu.det() }
}

/// Residuals and derivative matrix of the first `N` of six equations at a pose by `N` unknowns,
/// evaluated together and put where they are wanted.
#[inline(always)]
pub(crate) fn linear<const N: usize>(
    rows: &[Row; 6],
    pose: &Pose,
    left: &mut [f64; N],
    slopes: &mut [[f64; N]; N],
) {
    for ((row, out), left) in rows.iter().zip(slopes).zip(left) {
        let (residual, slope) = row.linear(pose);
        (*left, *out) = (residual, unknowns(&slope));
    }
}

impl Row {
    /// By what the equation's own two vectors have to be multiplied to give how fast the residual
    /// changes with them while the pose stays; `slope` is its derivative row at the pose.
    #[inline(always)]
    pub(crate) fn levers(&self, slope: &[f64; 6], pose: &Pose) -> [Vec3; 2] {
        let u = Vec3::new(slope[0], slope[1], slope[2]);
        match self {
            Self::Rod { .. } => [-u, pose.turn.back(u)],
            Self::Slide { t, .. } => [-u, pose.turn.back(*t - pose.origin)],
            Self::Plane { b, .. } => [pose.place(*b), pose.turn.back(u)],
        }
    }

    /// How fast the residual changes when the equation's own numbers change at these rates and the
    /// pose stays: ∂F/∂θ. `levers` are those of the equation whose rates they are.
    #[inline(always)]
    pub(crate) fn drift(&self, levers: &[Vec3; 2]) -> f64 {
        let [first, second] = *levers;
        match self {
            Self::Rod { q: a, b, length: c }
            | Self::Slide { t: a, e: b, at: c }
            | Self::Plane { n: a, b, at: c } => first.dot(*a) + second.dot(*b) - *c,
        }
    }

    /// Whether every number in it is nought.
    pub(crate) fn is_still(&self) -> bool {
        let zero = |v: &Vec3| v.x == 0.0 && v.y == 0.0 && v.z == 0.0;
        match self {
            Self::Rod { q: a, b, length: c }
            | Self::Slide { t: a, e: b, at: c }
            | Self::Plane { b: a, n: b, at: c } => zero(a) && zero(b) && *c == 0.0,
        }
    }
}

/// The derivative matrix of six equations at a pose.
#[inline]
pub(crate) fn matrix<S: Scalar>(rows: &[Row<S>; 6], pose: &Pose<S>) -> [[S; 6]; 6] {
    let mut out = [[S::zero(); 6]; 6];
    for (row, out) in rows.iter().zip(&mut out) {
        *out = row.linear(pose).1;
    }
    out
}

/// The residuals of the first `N` of six equations at a pose.
#[inline]
pub(crate) fn residuals<S: Scalar, const N: usize>(rows: &[Row<S>; 6], pose: &Pose<S>) -> [S; N] {
    let mut out = [S::zero(); N];
    for (row, out) in rows.iter().zip(&mut out) {
        *out = row.residual(pose);
    }
    out
}

/// The motion that changes equation `which` by one and leaves the others met: a column of the
/// inverse of the derivative matrix, for plain and for dual numbers. `lu` holds the factors of the
/// plain matrix; one step of refinement carries the dual parts exactly.
pub(crate) fn response<S: Scalar>(rows: &[Row<S>; 6], pose: &Pose<S>, lu: &Lu<6>, which: usize) -> Twist<S> {
    let mut unit = [0.0; 6];
    unit[which] = 1.0;
    let first = lu.solve(unit);
    let matrix = matrix(rows, pose);
    let mut left = unit.map(S::constant);
    for (rest, row) in left.iter_mut().zip(&matrix) {
        for (entry, x) in row.iter().zip(&first) {
            *rest = *rest - entry.scaled(*x);
        }
    }
    let second = lu.solve(left);
    let mut sum = second;
    for (s, f) in sum.iter_mut().zip(&first) {
        *s = *s + S::constant(*f);
    }
    Twist::from_array(sum)
}
