//! Answers as intervals.

/// A lowest, a likeliest and a highest value.
///
/// The ends are the ends of what is published for the inputs, not a statistical interval: a real
/// fastener is expected between them, and the point is the value to plan with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval<T> {
    low: T,
    point: T,
    high: T,
}

impl<T: Copy + PartialOrd> Interval<T> {
    /// An interval with `low <= point <= high`; `None` otherwise.
    #[must_use]
    pub fn new(low: T, point: T, high: T) -> Option<Self> {
        (low <= point && point <= high).then_some(Self { low, point, high })
    }

    /// The interval around three values in any order, the point held inside.
    pub(crate) fn hull(a: T, point: T, b: T) -> Self {
        let (low, high) = if a <= b { (a, b) } else { (b, a) };
        let low = if point < low { point } else { low };
        let high = if point > high { point } else { high };
        Self { low, point, high }
    }

    /// The lowest value.
    #[must_use]
    pub fn low(self) -> T {
        self.low
    }

    /// The value to plan with.
    #[must_use]
    pub fn point(self) -> T {
        self.point
    }

    /// The highest value.
    #[must_use]
    pub fn high(self) -> T {
        self.high
    }

    /// Whether `value` lies between the ends, ends included.
    #[must_use]
    pub fn contains(self, value: T) -> bool {
        self.low <= value && value <= self.high
    }
}
