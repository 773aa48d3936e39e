//! Other jobs in the garage on the same car: what they have open counts for the car as well.

use crate::clock::milliseconds;
use crate::error::GarageError;
use crate::job::{Garage, Job, load};
use crate::lead::{Lead, LedText};
use crate::units::Units;
use crate::views::{ReasonView, check_lowering, check_road};
use axlestand_ledger::{Danger, Entry, Event, FastenerStage, OpenItem, Standing, open_items, rolling_check};
use axlestand_model::car::Fastener;
use axlestand_model::{CarState, ItemId};

/// Another job on the same car that is not finished.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Neighbour {
    /// Its name.
    pub name: String,
    /// How many reasons keep the car from being lowered: all, where that job has it on stands; else what a life hangs
    /// on that is off, or not in as it should be by then: it came up with loose wheel nuts.
    pub lowering: usize,
    /// How many reasons keep the car off the road.
    pub road: usize,
    /// What it says against rolling the car: `in the job 'first': hub nut is out`.
    pub rolling: Option<String>,
    /// How many items are open in it that hold something.
    pub open: usize,
    /// What it remarks where the car is let down: something broke and is still in.
    pub remarks: Vec<String>,
}

impl Neighbour {
    fn reason(&self, count: usize, gate: &str) -> Option<ReasonView> {
        let text = format!(
            "another job on this car is open, '{}': {}",
            self.name,
            crate::count::count(count, "reason")
        );
        let lead = Lead::Check { job: self.name.clone(), gate: gate.to_owned() };
        (count > 0).then(|| ReasonView::of(LedText::new(text, lead)))
    }

    /// Why the car may not be lowered, as far as this job goes.
    #[must_use]
    pub fn lowering_reason(&self) -> Option<ReasonView> {
        self.reason(self.lowering, "lowering")
    }

    /// Why the car may not go on the road, as far as this job goes.
    #[must_use]
    pub fn road_reason(&self) -> Option<ReasonView> {
        self.reason(self.road, "road")
    }

    /// Why the car must not be rolled, as far as this job goes.
    pub(crate) fn not_rolled(&self) -> Option<String> {
        self.rolling.as_ref().map(|why| format!("the car must not be rolled: {why}"))
    }

    /// Why the car is not proven on its wheels, as far as this job goes.
    pub(crate) fn not_proven(&self) -> Option<String> {
        let open = || {
            format!("the job '{}' on this car has {} open", self.name, crate::count::count(self.open, "item"))
        };
        self.not_rolled().or_else(|| (self.open > 0).then(open))
    }
}

impl Garage {
    /// The other jobs on the same vehicle file in which something was done and that are not finished.
    ///
    /// # Errors
    /// [`GarageError`] where a job cannot be read.
    pub fn neighbours(&self, job: &Job) -> Result<Vec<Neighbour>, GarageError> {
        self.neighbours_of(&job.name, &job.state.car_path, raised(job))
    }

    /// The same of the current job.
    pub(crate) fn neighbours_of_current(&self) -> Result<Vec<Neighbour>, GarageError> {
        if self.jobs()?.len() < 2 {
            return Ok(Vec::new());
        }
        let name = self.current_job()?;
        let job = load(&name, &self.entries_of(&name)?)?;
        self.neighbours_of(&name, &job.state.car_path, raised(&job))
    }

    /// The same as [`Garage::stands_elsewhere`], of the current job.
    pub(crate) fn current_stands_elsewhere(&self) -> Result<Option<String>, GarageError> {
        if self.jobs()?.len() < 2 {
            return Ok(None);
        }
        let name = self.current_job()?;
        self.stands_elsewhere(&load(&name, &self.entries_of(&name)?)?)
    }

    /// What speaks against rolling the car besides the job: what a phone brought and nobody looked at yet, and what other
    /// jobs on the car say ([`Neighbour::rolling`]).
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub fn against_rolling(&self, job: &Job) -> Result<Vec<String>, GarageError> {
        let mut told: Vec<String> = waiting_text(self.waiting_for(&job.name)?).into_iter().collect();
        for other in self.others_on(&job.name, &job.state.car_path)? {
            told.extend(against_rolling(&other, self.waiting_for(&other.name)?));
        }
        Ok(told)
    }

    /// Where another job on the car, the last one in which it was moved, has it standing otherwise than this one.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub fn stands_elsewhere(&self, job: &Job) -> Result<Option<String>, GarageError> {
        let others = self.others_on(&job.name, &job.state.car_path)?;
        let moved = |job: &Job| last_moved(job).map(|entry| milliseconds(&entry.at));
        let last = others.iter().filter(|other| moved(other) > moved(job)).max_by_key(|other| moved(other));
        let (here, there) =
            (job.state.stands(), last.map_or(job.state.stands(), |other| other.state.stands()));
        Ok(last.filter(|_| here != there).map(|other| {
            format!(
                "by the job '{}' the car is {}, by this one {}: record here too how it stands",
                other.name,
                there.phrase(),
                here.phrase()
            )
        }))
    }

    fn neighbours_of(
        &self,
        own: &str,
        car_path: &str,
        raised: Option<i64>,
    ) -> Result<Vec<Neighbour>, GarageError> {
        let mut found = Vec::new();
        for other in self.others_on(own, car_path)? {
            let on_stands = other.state.stands() == CarState::OnStands;
            let waiting = self.waiting_for(&other.name)?;
            let check = check_lowering(&other);
            let lowering = if on_stands { check.reasons.len() } else { missing(&other, raised) } + waiting;
            let road = check_road(&other, Units::default()).reasons.len() + waiting;
            if lowering + road > 0 {
                let rolling = against_rolling(&other, waiting);
                let open = open_items(&other.car, &other.state).into_iter();
                let open = open.filter(|item| item.danger != Danger::Cover).count();
                let name = other.name;
                found.push(Neighbour { name, lowering, road, rolling, open, remarks: check.remarks });
            }
        }
        Ok(found)
    }

    /// How many deliveries for a job wait to be looked at.
    fn waiting_for(&self, job: &str) -> Result<usize, GarageError> {
        Ok(self.store.to_look_at(job)?.len())
    }

    /// The other jobs on the same vehicle file in which something was done.
    fn others_on(&self, own: &str, car_path: &str) -> Result<Vec<Job>, GarageError> {
        let mut found = Vec::new();
        for name in self.jobs()?.into_iter().filter(|name| name != own) {
            // One that cannot be read says so itself when it is used; it is no reason to stop this one.
            let Ok(other) = self.entries_of(&name).and_then(|entries| load(&name, &entries)) else {
                continue;
            };
            let touched = other.state.disturbed > 0 || other.state.car_state.is_some();
            if other.state.car_path == car_path && (touched || self.waiting_for(&name)? > 0) {
                found.push(other);
            }
        }
        Ok(found)
    }
}

fn against_rolling(job: &Job, waiting: usize) -> Option<String> {
    let reasons = rolling_check(&job.car, &job.state).into_iter().map(|blocker| blocker.text);
    let reasons: Vec<String> = reasons.chain(waiting_text(waiting)).collect();
    (!reasons.is_empty()).then(|| format!("in the job '{}': {}", job.name, reasons.join(", ")))
}

/// How much is off that a life hangs on, or is not in as it should be by lowering. The car came up with what was loosened
/// before another job raised it.
fn missing(job: &Job, raised: Option<i64>) -> usize {
    let deferred = |id: &ItemId| job.car.fastener(id).is_some_and(Fastener::is_deferred);
    let was_touched_up = |id: &ItemId| {
        let of_it = |entry: &&Entry| matches!(&entry.event, Event::Done { action, .. } if action.item == *id);
        let last = job.state.counting_entries().filter(of_it).last();
        last.zip(raised).is_some_and(|(entry, raised)| milliseconds(&entry.at) > raised)
    };
    let open = |item: &OpenItem| match &item.stands {
        Standing::Off => true,
        Standing::BrokenIn => was_touched_up(&item.item),
        Standing::Underway { stage: FastenerStage::BrokenLoose, .. } if deferred(&item.item) => {
            was_touched_up(&item.item)
        }
        Standing::Underway { stage, .. } => *stage == FastenerStage::Out || !deferred(&item.item),
        _ => false,
    };
    let items = open_items(&job.car, &job.state).into_iter();
    items.filter(|item| item.danger == Danger::Critical && open(item)).count()
}

/// When this job raised the car, where it has it up, ms since 1970.
fn raised(job: &Job) -> Option<i64> {
    last_moved(job).filter(|_| job.state.stands() == CarState::OnStands).map(|entry| milliseconds(&entry.at))
}

/// The last entry that raised the car, let it down or settled it.
fn last_moved(job: &Job) -> Option<&Entry> {
    let moves =
        |entry: &&Entry| matches!(&entry.event, Event::Done { effects, .. } if effects.brings.is_some());
    job.state.counting_entries().filter(moves).last()
}

/// What is told where deliveries of phones wait to be looked at.
pub(crate) fn waiting_text(waiting: usize) -> Option<String> {
    match waiting {
        0 => None,
        1 => Some("1 entry from a phone needs a look: the car may stand otherwise".to_owned()),
        many => Some(format!("{many} entries from phones need a look: the car may stand otherwise")),
    }
}
