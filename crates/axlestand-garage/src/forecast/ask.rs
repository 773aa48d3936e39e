//! What a forecast is asked, and how the garage answers.

use super::file::{FORECAST_FILE, Stated, new_forecast_file, write_new};
use super::finish::finish;
use super::pace::stretches;
use super::route_view::{RoutesView, routes_view};
use super::view::{ForecastView, forecast_view};
use super::week::{Hours, local_minute, minutes_between, moment, windows};
use crate::error::GarageError;
use crate::job::{Garage, Job};
use crate::waits::over_at;
use axlestand_draw::Finish;
use axlestand_plan::Plan;
use axlestand_plan::risk::{Pace, RiskJob, Sessions, Setting};
use jiff::ToSpan as _;
use jiff::civil::DateTime;
use std::path::PathBuf;

/// What a forecast is asked.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ask {
    /// The forecast file; the garage's where there is one, if absent.
    pub file: Option<PathBuf>,
    /// Hours of work, instead of those in the file.
    pub sessions: Vec<String>,
    /// When work begins; now, if absent.
    pub from: Option<String>,
    /// By when the job should be done.
    pub by: Option<String>,
    /// The seed.
    pub seed: u64,
    /// How many runs; the usual number, if absent.
    pub samples: Option<usize>,
}

/// Runs of a forecast, and of each thing that is compared.
pub(super) const SAMPLES: (usize, usize) = (20_000, 4_000);

/// Everything a forecast is computed from.
pub(super) struct Basis {
    pub(super) stated: Stated,
    pub(super) plan: Plan,
    pub(super) risk: RiskJob,
    pub(super) have: u64,
    pub(super) start: DateTime,
    pub(super) by: Option<DateTime>,
    pub(super) sessions: Option<Sessions>,
    pub(super) shops: Option<Sessions>,
    pub(super) seed: u64,
    pub(super) samples: usize,
}

impl Basis {
    pub(super) fn setting(&self, samples: usize) -> Setting<'_> {
        Setting {
            have: self.have,
            sessions: self.sessions.as_ref(),
            shops: self.shops.as_ref(),
            seed: self.seed,
            samples,
            threads: threads(),
        }
    }
}

/// As many threads as the machine has processors; the answer is the same for any number.
pub(super) fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}

/// By when it should be done: a weekday without a date is the one after work goes on, so that "Sun" said on a Sunday
/// of work on Saturday is the next one.
fn end_after(text: &str, start: DateTime, sessions: Option<&Sessions>) -> Result<DateTime, GarageError> {
    let by = moment(text, start)?;
    let goes_on = sessions.and_then(|sessions| sessions.windows().first()).map_or(0.0, |(from, _)| *from);
    let goes_on = start.checked_add((goes_on.round() as i64).minutes()).ok().filter(|at| by <= *at);
    // A date that lies before it stays what it is.
    Ok(goes_on.and_then(|at| moment(text, at).ok()).unwrap_or(by))
}

impl Garage {
    /// When the job will be done, what would bring that nearer and what to buy ahead.
    ///
    /// # Errors
    /// [`GarageError`] where no plan exists, or something asked or stated is not understood.
    pub fn forecast(&mut self, ask: &Ask) -> Result<ForecastView, GarageError> {
        let job = self.job()?;
        let basis = self.basis(&job, ask)?;
        Ok(forecast_view(&job, &basis))
    }

    /// The same with the spread of the end as the plot takes it.
    pub(crate) fn forecast_drawn(
        &mut self,
        job: &Job,
        ask: &Ask,
    ) -> Result<(ForecastView, Finish), GarageError> {
        let basis = self.basis(job, ask)?;
        let view = forecast_view(job, &basis);
        let finish = finish(&basis, &view);
        Ok((view, finish))
    }

    /// The routes to a part beside each other, or to others instead of it.
    ///
    /// # Errors
    /// As [`Garage::forecast`]; also where a name is no part.
    pub fn routes(&mut self, part: &str, instead: &[String], ask: &Ask) -> Result<RoutesView, GarageError> {
        let job = self.job()?;
        let basis = self.basis(&job, ask)?;
        routes_view(&job, &basis, part, instead)
    }

    /// Writes a forecast file to fill in, into the garage's folder unless one is named; gives where.
    ///
    /// # Errors
    /// [`GarageError::Input`] where there is one already.
    pub fn write_forecast_file(&mut self, ask: &Ask) -> Result<PathBuf, GarageError> {
        let path = ask.file.clone().unwrap_or_else(|| self.folder().join(FORECAST_FILE));
        write_new(&path, &self.new_forecast_text()?)?;
        Ok(path)
    }

    /// A forecast file to fill in, with the things of the current job that may be needed.
    pub(super) fn new_forecast_text(&mut self) -> Result<String, GarageError> {
        let job = self.job()?;
        let stated = Stated::default();
        let pace = Pace::assumed(&stated.assumptions);
        let risk = RiskJob::of(&job.car, &job.state, &job.plan()?, &stated.assumptions, pace);
        Ok(new_forecast_file(&risk.things))
    }

    fn basis(&mut self, job: &Job, ask: &Ask) -> Result<Basis, GarageError> {
        let own = self.folder().join(FORECAST_FILE);
        let mut stated = match &ask.file {
            Some(path) => Stated::read(path)?,
            None if own.exists() => Stated::read(&own)?,
            None => Stated::default(),
        };
        if !ask.sessions.is_empty() {
            stated.sessions = ask.sessions.iter().map(|text| Hours::read(text)).collect::<Result<_, _>>()?;
            stated.session_texts.clone_from(&ask.sessions);
        }
        let stamp = self.now();
        let now = local_minute(&stamp)
            .ok_or_else(|| GarageError::Input(format!("the clock of this machine says '{stamp}'")))?;
        let start = ask.from.as_deref().map_or(Ok(now), |from| moment(from, now))?;
        let sessions = (!stated.sessions.is_empty()).then(|| windows(&stated.sessions, start));
        let by = ask.by.as_deref().map(|by| end_after(by, start, sessions.as_ref())).transpose()?;
        if by.is_some() && sessions.is_none() {
            return Err(GarageError::NoSessions);
        }
        let shops = (!stated.shops.is_empty()).then(|| windows(&stated.shops, start));
        let plan = job.plan()?;
        let pace = Pace::assumed(&stated.assumptions).after(&stretches(job), &stated.assumptions);
        let mut risk = RiskJob::of(&job.car, &job.state, &plan, &stated.assumptions, pace);
        let have = stated.apply(job, &mut risk);
        for step in &mut risk.steps {
            step.ready =
                over_at(job, &plan, &step.action).map_or(0.0, |over| minutes_between(start, over).max(0.0));
        }
        let samples = ask.samples.unwrap_or(SAMPLES.0).clamp(100, 5_000_000);
        Ok(Basis { stated, plan, risk, have, start, by, sessions, shops, seed: ask.seed, samples })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// Sunday 29 November 2026, by the calendar.
    #[test]
    fn a_weekday_is_the_one_after_work_goes_on_and_a_date_stays_what_it_is() {
        let sunday = date(2026, 11, 29).at(10, 0, 0, 0);
        let saturdays = windows(&[Hours::read("Sat 9-18").unwrap()], sunday);
        let end = |text: &str, sessions| end_after(text, sunday, sessions).unwrap();
        assert_eq!(end("Sun 18:00", Some(&saturdays)), date(2026, 12, 6).at(18, 0, 0, 0));
        assert_eq!(end("Sun 18:00", None), date(2026, 11, 29).at(18, 0, 0, 0));
        assert_eq!(end("2026-11-29 18:00", Some(&saturdays)), date(2026, 11, 29).at(18, 0, 0, 0));
        assert_eq!(end("Sat 12:00", Some(&saturdays)), date(2026, 12, 5).at(12, 0, 0, 0));
        // While somebody works, the next Sunday is the one of this day.
        let today = windows(&[Hours::read("Sun 9-17").unwrap()], sunday);
        assert_eq!(end("Sun 18:00", Some(&today)), date(2026, 11, 29).at(18, 0, 0, 0));
    }
}
