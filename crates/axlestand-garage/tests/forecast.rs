//! What the owner stated and what the times of the ledger teach, wherever the rest of a job is foretold.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use axlestand_garage::forecast::{FORECAST_FILE, outlook};
use axlestand_garage::views::{next, prepare, rows_to_do};
use axlestand_garage::{Clock, CountingClock, Details, Garage, Job, NoRandom, StartJob, Units};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

/// A clock that a test sets, in minutes; ids are counted.
struct Watch {
    minutes: Arc<AtomicU32>,
    ids: CountingClock,
}

impl Clock for Watch {
    fn now(&mut self) -> String {
        let minutes = self.minutes.load(Ordering::Relaxed);
        format!("2000-01-{:02}T{:02}:{:02}:00+00:00", 1 + minutes / 1440, minutes / 60 % 24, minutes % 60)
    }

    fn new_id(&mut self) -> Result<String, NoRandom> {
        self.ids.new_id()
    }
}

struct Bench {
    garage: Garage,
    folder: tempfile::TempDir,
    minutes: Arc<AtomicU32>,
}

impl Bench {
    /// A job on the demo car: the control arms are replaced.
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let minutes = Arc::new(AtomicU32::new(480));
        let watch = Watch { minutes: Arc::clone(&minutes), ids: CountingClock::default() };
        let mut garage = Garage::open_or_create(folder.path(), Box::new(watch)).unwrap();
        let car = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../cars/wagtail.toml");
        let start = StartJob { car, replace: vec!["control-arm".to_owned()], rust: 2, ..StartJob::default() };
        garage.start_job(&start).unwrap();
        Self { garage, folder, minutes }
    }

    fn job(&mut self) -> Job {
        self.garage.job().unwrap()
    }

    /// Does the first 20 rows that can be done, each so long after the last entry as `gap` makes of the row's
    /// expected minutes.
    fn rows(&mut self, gap: impl Fn(f64) -> f64) {
        for _ in 0..20 {
            let rows = self.job().plan().unwrap().rows;
            let done = rows.into_iter().any(|row| {
                let before = self.minutes.fetch_add(gap(row.minutes).round() as u32, Ordering::Relaxed);
                let action = row.action.to_string();
                let pending = rows_to_do(&self.job()).iter().any(|(_, pending)| *pending == action);
                let done = pending
                    && !action.starts_with("read:")
                    && self.garage.done(&[action], &Details::default(), &[]).is_ok();
                if !done {
                    self.minutes.store(before, Ordering::Relaxed);
                }
                done
            });
            assert!(done);
        }
    }

    fn is_pace_learnt(&mut self) -> bool {
        let job = self.job();
        outlook(&job, &job.plan().unwrap()).pace_learnt
    }

    fn state(&self, text: &str) {
        std::fs::write(self.folder.path().join(FORECAST_FILE), text).unwrap();
    }
}

/// The shares are common practice, no source: a gap beyond two hours is a break (AX-31).
#[test]
fn times_of_work_teach_the_pace_and_breaks_do_not() {
    let mut steady = Bench::new();
    assert!(!steady.is_pace_learnt());
    steady.rows(|expected| expected.max(1.0));
    assert!(steady.is_pace_learnt());
    let mut weekends = Bench::new();
    weekends.rows(|_| 121.0);
    assert!(!weekends.is_pace_learnt(), "breaks were taken for work");
    let mut at_once = Bench::new();
    at_once.rows(|_| 0.0);
    assert!(!at_once.is_pace_learnt(), "rows ticked together have no time");
}

/// One stretch of work tells no pace, and an operation comes loose no better or worse.
#[test]
fn next_says_nothing_of_this_car_before_it_showed_anything() {
    let mut bench = Bench::new();
    bench.minutes.fetch_add(1, Ordering::Relaxed);
    let rows = rows_to_do(&bench.job());
    let done = rows
        .iter()
        .filter(|(_, action)| action.starts_with("do:"))
        .any(|(_, action)| bench.garage.done(std::slice::from_ref(action), &Details::default(), &[]).is_ok());
    assert!(done);
    assert_eq!(next(&bench.job(), 1, Units::Metric).unwrap().outlook, None);
}

/// Twice the minutes stated for a try are a longer rest of the job, wherever it is foretold.
#[test]
fn what_the_owner_stated_counts_in_prepare_and_next() {
    let mut bench = Bench::new();
    bench.rows(|expected| expected.max(1.0));
    let told = |bench: &mut Bench| {
        let job = bench.job();
        let prepared = prepare(&job, Units::Metric).unwrap().outlook;
        let then = next(&job, 1, Units::Metric).unwrap().outlook.unwrap();
        [prepared, then]
    };
    let typical = told(&mut bench);
    assert!(typical.iter().all(|view| !view.stated && view.note.is_none()));
    bench.state("[assume]\ntry_minutes = 240\n[from]\ntry_minutes = \"timed here\"\n");
    for (stated, typical) in told(&mut bench).iter().zip(&typical) {
        assert!(stated.stated && stated.note.is_none(), "{stated:?}");
        assert!(stated.four_of_five > typical.four_of_five, "{stated:?}, {typical:?}");
    }
    // A file that is not understood stops no work, and is told of.
    bench.state("[assume]\ntry_minutes = \"long\"\n");
    for (left_out, typical) in told(&mut bench).iter().zip(&typical) {
        let note = left_out.note.as_deref().unwrap();
        assert!(!left_out.stated && note.contains("typical assumptions stand in for it"), "{note}");
        assert!((left_out.half - typical.half).abs() < 1e-9);
    }
}
