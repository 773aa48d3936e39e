//! Hours of work as dates: windows of time on one line of minutes.

/// Stretches of time in which something goes on (work, an open shop), in minutes from a common start.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sessions {
    windows: Vec<(f64, f64)>,
    /// Minutes in all windows before each.
    before: Vec<f64>,
}

impl Sessions {
    /// Windows from–to, in any order; what lies before 0 is cut off, those that touch become one, empty or
    /// senseless ones are left out.
    #[must_use]
    pub fn of(windows: impl IntoIterator<Item = (f64, f64)>) -> Self {
        let mut list: Vec<(f64, f64)> =
            windows.into_iter().map(|(from, to)| (from.max(0.0), to)).filter(|(a, b)| a < b).collect();
        list.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut merged: Vec<(f64, f64)> = Vec::new();
        for (from, to) in list {
            match merged.last_mut() {
                Some(last) if from <= last.1 => last.1 = last.1.max(to),
                _ => merged.push((from, to)),
            }
        }
        let mut sum = 0.0;
        let before = merged.iter().map(|(from, to)| {
            let here = sum;
            sum += to - from;
            here
        });
        let before = before.collect();
        Self { windows: merged, before }
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.windows.is_empty()
    }

    /// The windows, in their order.
    #[must_use]
    pub fn windows(&self) -> &[(f64, f64)] {
        &self.windows
    }

    /// When so many minutes inside the windows have passed; infinity beyond the last.
    #[must_use]
    pub fn when(&self, minutes: f64) -> f64 {
        let at = self.before.partition_point(|before| *before < minutes).saturating_sub(1);
        let Some(&(from, to)) = self.windows.get(at) else { return f64::INFINITY };
        let time = from + (minutes - self.before[at]).max(0.0);
        // A rounding error must not push the end of a window out of it.
        if time <= to + 1e-6 { time } else { f64::INFINITY }
    }

    /// How many minutes inside the windows have passed at a time.
    #[must_use]
    pub fn until(&self, time: f64) -> f64 {
        let at = self.windows.partition_point(|window| window.0 < time);
        let Some(last) = at.checked_sub(1) else { return 0.0 };
        let (from, to) = self.windows[last];
        self.before[last] + time.min(to) - from
    }

    /// The first moment inside a window at or after a time; infinity beyond the last.
    #[must_use]
    pub fn next(&self, time: f64) -> f64 {
        let at = self.windows.partition_point(|window| window.1 <= time);
        self.windows.get(at).map_or(f64::INFINITY, |window| window.0.max(time))
    }
}
