//! The rest of a job, many times over.

use super::belief::Belief;
use super::draws::Draws;
use super::job::{Chance, Danger, RiskJob, Step};
use super::session::Sessions;

/// Under which circumstances a job is simulated.
#[derive(Debug, Clone, Copy)]
pub struct Setting<'a> {
    /// Things (bits by their place in [`RiskJob::things`]) that lie ready.
    pub have: u64,
    /// When there is work; `None`: hours of work are counted, and waits for parts only as stops.
    pub sessions: Option<&'a Sessions>,
    /// When shops are open; `None`: always.
    pub shops: Option<&'a Sessions>,
    /// The seed.
    pub seed: u64,
    /// How many samples.
    pub samples: usize,
    /// How many threads; any number gives the same samples.
    pub threads: usize,
}

/// How one run of the rest of the job went.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sample {
    /// Minutes of work, trips for parts included, waiting not.
    pub minutes: f64,
    /// The end, in minutes from the start of the sessions (infinity: beyond them); of work where there are
    /// none.
    pub end: f64,
    /// Things that were needed, by bit, whether or not they lay ready.
    pub needs: u64,
    /// How many things were stuck.
    pub stuck: u32,
    /// How often the work had to wait for parts.
    pub stops: u32,
}

/// All samples.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Runs {
    /// In the order of their numbers.
    pub samples: Vec<Sample>,
    minutes: Vec<f64>,
    ends: Vec<f64>,
}

impl Runs {
    fn of(samples: Vec<Sample>) -> Self {
        let sorted = |value: fn(&Sample) -> f64| {
            let mut list: Vec<f64> = samples.iter().map(value).collect();
            list.sort_unstable_by(f64::total_cmp);
            list
        };
        let (minutes, ends) = (sorted(|s| s.minutes), sorted(|s| s.end));
        Self { samples, minutes, ends }
    }

    /// Minutes of work that this fraction of the samples stays at or below.
    #[must_use]
    pub fn minutes(&self, fraction: f64) -> f64 {
        quantile(&self.minutes, fraction)
    }

    /// The end that this fraction of the samples stays at or below.
    #[must_use]
    pub fn end(&self, fraction: f64) -> f64 {
        quantile(&self.ends, fraction)
    }

    /// The chance that the end comes by a time.
    #[must_use]
    pub fn chance_by(&self, time: f64) -> f64 {
        fraction(self.ends.partition_point(|end| *end <= time), self.ends.len())
    }

    /// The chance that the work has to wait for a part at least once.
    #[must_use]
    pub fn chance_of_stop(&self) -> f64 {
        fraction(self.samples.iter().filter(|s| s.stops > 0).count(), self.samples.len())
    }

    /// Mean and standard deviation of the minutes of work.
    #[must_use]
    pub fn moments(&self) -> (f64, f64) {
        let count = self.minutes.len().max(1) as f64;
        let mean = self.minutes.iter().sum::<f64>() / count;
        let square = self.minutes.iter().map(|m| (m - mean).powi(2)).sum::<f64>() / count;
        (mean, square.sqrt())
    }
}

fn fraction(part: usize, whole: usize) -> f64 {
    if whole == 0 { 0.0 } else { part as f64 / whole as f64 }
}

/// The smallest value that at least this fraction does not exceed.
fn quantile(sorted: &[f64], fraction: f64) -> f64 {
    let rank = (fraction.clamp(0.0, 1.0) * sorted.len() as f64).ceil() as usize;
    sorted.get(rank.max(1) - 1).copied().unwrap_or(0.0)
}

/// Simulates the rest of a job. Sample `n` depends on the seed and `n` alone, each step in it on its own
/// key, so that two jobs that differ in one step differ in nothing else.
#[must_use]
pub fn simulate(job: &RiskJob, setting: &Setting<'_>) -> Runs {
    let threads = setting.threads.clamp(1, 64);
    let mut samples = vec![Sample::default(); setting.samples];
    let piece = setting.samples.div_ceil(threads).max(1);
    let classes: Vec<usize> = (0..MOST).filter(|class| job.has_class(*class)).collect();
    let classes = classes.as_slice();
    let mut waited: Vec<u64> =
        job.steps.iter().flat_map(|step| step.after.iter().map(|(key, _)| *key)).collect();
    waited.sort_unstable();
    let waited = waited.as_slice();
    std::thread::scope(|scope| {
        for (at, part) in samples.chunks_mut(piece).enumerate() {
            scope.spawn(move || {
                for (i, sample) in part.iter_mut().enumerate() {
                    *sample = one(job, setting, (classes, waited), (at * piece + i) as u64);
                }
            });
        }
    });
    Runs::of(samples)
}

/// Streams that belong to the whole run, beside the keys of its steps.
const PACE: u64 = u64::MAX;
const CLASSES: u64 = u64::MAX - 100;

/// Most exposure classes.
const MOST: usize = 8;

fn one(job: &RiskJob, setting: &Setting<'_>, (classes, waited): (&[usize], &[u64]), number: u64) -> Sample {
    let root = Draws::seeded(setting.seed).part(number);
    let pace = job.pace.draw(&mut root.part(PACE));
    let (mut stuck, mut breaks) = ([0.0; MOST], [0.0; MOST]);
    for &class in classes {
        let mut draws = root.part(CLASSES + class as u64);
        let mut draw = |beliefs: &[Belief]| beliefs.get(class).map_or(0.0, |belief| belief.draw(&mut draws));
        (stuck[class], breaks[class]) = (draw(&job.beliefs.stuck), draw(&job.beliefs.breaks));
    }
    let mut run = Run {
        job,
        setting,
        sample: Sample::default(),
        clock: 0.0,
        missing: 0,
        there: 0.0,
        ended: Vec::new(),
    };
    for step in &job.steps {
        run.wait(step);
        if step.waits_for & run.missing != 0 {
            run.fetch();
        }
        let mut draws = root.part(step.key);
        let (usual, extra) = draws.normals();
        run.work(pace * (step.setup + step.time.at(usual)));
        if let Some(danger) = &step.danger {
            let chance = match danger.chance {
                Chance::Class(class) => (stuck[class.min(MOST - 1)] * danger.factor).min(1.0),
                Chance::Own(chance) => chance,
            };
            if draws.fraction() <= chance {
                let breaks = breaks[danger.class.min(MOST - 1)];
                run.trouble(danger, pace, extra, draws.fraction() <= breaks && danger.may_break);
            }
        }
        if waited.binary_search(&step.key).is_ok()
            && let Some(sessions) = setting.sessions
        {
            run.ended.push((step.key, sessions.when(run.clock)));
        }
    }
    if run.missing != 0 {
        run.fetch();
    }
    run.sample.end = setting.sessions.map_or(run.sample.minutes, |sessions| sessions.when(run.clock));
    run.sample
}

/// One run as it goes on.
struct Run<'a> {
    job: &'a RiskJob,
    setting: &'a Setting<'a>,
    sample: Sample,
    /// Minutes inside the sessions so far, waiting included.
    clock: f64,
    /// Things that are ordered and not there yet.
    missing: u64,
    /// When the last of them is there, on the line of the sessions.
    there: f64,
    /// When the steps that something waits for ended, by key, on the line of the sessions.
    ended: Vec<(u64, f64)>,
}

impl Run<'_> {
    /// What soaks, dries, cures or drains goes on in nights and breaks too; the step waits for the rest of it.
    /// Set-ups may be done meanwhile.
    fn wait(&mut self, step: &Step) {
        let Some(sessions) = self.setting.sessions else { return };
        let over = |&(first, time): &(u64, f64)| {
            self.ended.iter().find(|(key, _)| *key == first).map(|(_, ended)| ended + time)
        };
        let ready = step.after.iter().filter_map(over).fold(step.ready, f64::max);
        if ready > 0.0 {
            let until = if ready.is_finite() { sessions.until(ready) } else { f64::INFINITY };
            self.clock = self.clock.max(until);
        }
    }

    fn work(&mut self, minutes: f64) {
        self.sample.minutes += minutes;
        self.clock += minutes;
    }

    /// Something is stuck: it is forced, and may break; or another way is gone.
    fn trouble(&mut self, danger: &Danger, pace: f64, z: f64, broke: bool) {
        self.sample.stuck += 1;
        if let Some(detour) = &danger.detour {
            self.work(pace * (danger.tried + detour.time.at(z)));
            return self.need(detour.things);
        }
        let extra = danger.extra.at(z);
        self.work(pace * extra);
        if broke {
            self.work(pace * extra * danger.broken_extra);
            self.need(danger.things);
        }
    }

    fn need(&mut self, things: u64) {
        self.sample.needs |= things;
        let lacking = things & !self.setting.have & !self.missing;
        if lacking == 0 {
            return;
        }
        self.missing |= lacking;
        let Some(sessions) = self.setting.sessions else { return };
        let now = sessions.when(self.clock);
        let days = self.job.lead_days(lacking);
        let open = |time: f64| self.setting.shops.map_or(time, |shops| shops.next(time));
        // Ordered while a shop is open, fetched while one is.
        let there = if days > 0.0 { open(open(now) + days * 1440.0) } else { open(now) };
        self.there = self.there.max(there);
    }

    /// The work needs what is missing: it waits until all of it is there, and one trip fetches it.
    fn fetch(&mut self) {
        self.missing = 0;
        self.sample.stops += 1;
        if let Some(sessions) = self.setting.sessions {
            self.clock = if self.there.is_finite() {
                self.clock.max(sessions.until(self.there))
            } else {
                f64::INFINITY
            };
        }
        self.work(self.job.trip_minutes);
    }
}
