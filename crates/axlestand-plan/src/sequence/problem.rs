//! A sequencing problem: operations for one pair of hands.

use super::precedence::Precedence;

/// The largest single time; sums of a thousand of them stay far from overflow.
const LARGEST: i64 = 100_000_000;

/// An attribute of the situation in which an operation is done: how the car stands, where the hands
/// are, which tool they hold. Changing it from one value to another takes time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attribute {
    /// `times[from][to]`: time of the change; nought on the diagonal.
    pub times: Vec<Vec<i64>>,
    /// The value at the start.
    pub start: usize,
    /// The value that each operation asks for.
    pub values: Vec<usize>,
}

/// Set-up times between operations.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Setups {
    /// `times[from][to]` between operations; the first operation takes none.
    Matrix(Vec<Vec<i64>>),
    /// The sum of the changes of all attributes.
    Attributes(Vec<Attribute>),
}

/// A wait: `then` starts at the earliest `time` after `first` has ended. Other work may fill it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lag {
    /// What has to end.
    pub first: usize,
    /// What waits.
    pub then: usize,
    /// For how long, in the unit of all times.
    pub time: i64,
}

/// What is wrong with the data of a problem.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Flaw {
    /// An index is out of range.
    #[error("operation {0} does not exist")]
    NoSuchOperation(usize),
    /// Operations that wait for each other, or for such ones.
    #[error("operations wait for each other: {0:?}")]
    Circle(Vec<usize>),
    /// A table has not one entry for each operation or value.
    #[error("a table of set-up times or values has the wrong size")]
    Size,
    /// A time is negative or beyond all reason.
    #[error("the time {0} is negative or too large")]
    Time(i64),
}

/// A sequencing problem, checked. Times are whole numbers of one unit, such as seconds.
#[derive(Debug, Clone)]
pub struct Problem {
    pub(crate) durations: Vec<i64>,
    pub(crate) precedence: Precedence,
    pub(crate) lags: Vec<Lag>,
    /// The class of each operation: operations with the same values of all attributes.
    pub(crate) class: Vec<usize>,
    pub(crate) classes: usize,
    /// Set-up times between classes, row by row.
    pub(crate) times: Vec<i64>,
    /// Set-up time of each class at the start.
    pub(crate) first: Vec<i64>,
    /// The attributes, where passing through a further value never saves time; else empty.
    pub(crate) attributes: Vec<Attribute>,
    /// The values of each class, in the order of the attributes.
    pub(crate) values: Vec<Vec<usize>>,
}

impl Problem {
    /// Checks and prepares a problem: `durations` and set-ups in one unit of time, `before` as pairs
    /// (first, then). Waits add their pairs to the precedence.
    ///
    /// # Errors
    /// [`Flaw`] where indices, sizes, times or the precedence are not sound.
    pub fn new(
        durations: Vec<i64>,
        before: &[(usize, usize)],
        setups: Setups,
        lags: Vec<Lag>,
    ) -> Result<Self, Flaw> {
        let count = durations.len();
        durations.iter().chain(lags.iter().map(|lag| &lag.time)).try_for_each(|&time| check(time))?;
        let pairs = before.iter().copied().chain(lags.iter().map(|lag| (lag.first, lag.then)));
        let precedence = Precedence::of(count, pairs)?;
        let mut problem = Self {
            durations,
            precedence,
            lags,
            class: (0..count).collect(),
            classes: count,
            times: Vec::new(),
            first: vec![0; count],
            attributes: Vec::new(),
            values: Vec::new(),
        };
        match setups {
            Setups::Matrix(times) => {
                problem.times = flat(&times, count)?;
            }
            Setups::Attributes(attributes) => problem.classify(attributes)?,
        }
        Ok(problem)
    }

    /// Puts operations with the same values into one class.
    fn classify(&mut self, attributes: Vec<Attribute>) -> Result<(), Flaw> {
        let mut metric = true;
        for attribute in &attributes {
            let size = attribute.times.len();
            let times = flat(&attribute.times, size)?;
            let values = &attribute.values;
            if values.len() != self.len() || values.iter().chain([&attribute.start]).any(|&v| v >= size) {
                return Err(Flaw::Size);
            }
            metric &= is_metric(&times, size);
        }
        let of = |op: usize| -> Vec<usize> { attributes.iter().map(|a| a.values[op]).collect() };
        let mut known: Vec<Vec<usize>> = (0..self.len()).map(of).collect();
        known.sort_unstable();
        known.dedup();
        // Without the triangle inequality two operations of one class are not exchangeable.
        let own: Vec<Vec<usize>> = if metric { known } else { (0..self.len()).map(of).collect() };
        self.class = (0..self.len())
            .map(|op| if metric { own.binary_search(&of(op)).unwrap_or(op) } else { op })
            .collect();
        self.classes = own.len();
        let change = |from: &[usize], to: &[usize]| -> i64 {
            attributes.iter().zip(from.iter().zip(to)).map(|(a, (&f, &t))| a.times[f][t]).sum()
        };
        self.times = own
            .iter()
            .flat_map(|from| own.iter().map(move |to| (from, to)))
            .map(|(f, t)| change(f, t))
            .collect();
        let start: Vec<usize> = attributes.iter().map(|a| a.start).collect();
        self.first = own.iter().map(|to| change(&start, to)).collect();
        self.values = own;
        self.attributes = if metric { attributes } else { Vec::new() };
        Ok(())
    }

    /// The number of operations.
    #[must_use]
    pub fn len(&self) -> usize {
        self.durations.len()
    }

    /// Whether there is nothing to do.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.durations.is_empty()
    }

    /// The sum of all durations.
    #[must_use]
    pub fn work(&self) -> i64 {
        self.durations.iter().sum()
    }

    /// Set-up time from one operation, or from the start, to the next.
    pub(crate) fn setup(&self, from: Option<usize>, to: usize) -> i64 {
        match from {
            Some(from) => self.times[self.class[from] * self.classes + self.class[to]],
            None => self.first[self.class[to]],
        }
    }

    /// The time from the start to the end of the last operation, in this order; set-ups may be done
    /// during a wait.
    #[must_use]
    pub fn total(&self, order: &[usize]) -> i64 {
        let mut ends = vec![0; self.len()];
        let mut now = 0;
        let mut last = None;
        for &op in order {
            now += self.setup(last, op);
            let ready = self.lags.iter().filter(|lag| lag.then == op).map(|lag| ends[lag.first] + lag.time);
            now = ready.fold(now, i64::max) + self.durations[op];
            ends[op] = now;
            last = Some(op);
        }
        now
    }

    /// Set-ups of an order, without waits.
    #[must_use]
    pub fn setups(&self, order: &[usize]) -> i64 {
        let pairs = order.windows(2).map(|pair| self.setup(Some(pair[0]), pair[1]));
        order.first().map_or(0, |&op| self.setup(None, op)) + pairs.sum::<i64>()
    }

    /// Whether an order holds every operation once and none too soon.
    #[must_use]
    pub fn is_valid(&self, order: &[usize]) -> bool {
        let mut place = vec![usize::MAX; self.len()];
        for (at, &op) in order.iter().enumerate() {
            match place.get_mut(op) {
                Some(slot) if *slot == usize::MAX => *slot = at,
                _ => return false,
            }
        }
        order.len() == self.len()
            && order.iter().enumerate().all(|(at, &op)| {
                super::precedence::members(self.precedence.before(op)).all(|first| place[first] < at)
            })
    }
}

fn check(time: i64) -> Result<(), Flaw> {
    if (0..=LARGEST).contains(&time) { Ok(()) } else { Err(Flaw::Time(time)) }
}

fn flat(times: &[Vec<i64>], size: usize) -> Result<Vec<i64>, Flaw> {
    if times.len() != size || times.iter().any(|row| row.len() != size) {
        return Err(Flaw::Size);
    }
    times.iter().flatten().try_for_each(|&time| check(time))?;
    Ok(times.iter().flatten().copied().collect())
}

/// Whether staying costs nothing and going by way of a third value never saves anything.
fn is_metric(times: &[i64], size: usize) -> bool {
    (0..size).all(|a| {
        times[a * size + a] == 0
            && (0..size)
                .all(|b| (0..size).all(|c| times[a * size + c] <= times[a * size + b] + times[b * size + c]))
    })
}
