//! Garages and jobs: opening, starting, reading, recording.

use crate::changes::{came_off_unseen, changed_file, may_stand_for};
use crate::clock::Clock;
use crate::database_file::is_logged;
use crate::delivery::Underway;
use crate::error::GarageError;
use crate::forecast::FORECAST_FILE;
use crate::store::{Beside, Store};
use crate::toolbox::read_toolbox;
use crate::typed;
use crate::vehicle::{kept_car, load_car};
use axlestand_ledger::{Action, Entry, Event, JobState, PlannedRow};
use axlestand_model::car::Car;
use axlestand_model::{ItemId, Stage};
use axlestand_plan::{Plan, Toolbox, WORST_RUST, order, scope};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// The setting that names the current job.
const CURRENT_JOB: &str = "current-job";

/// One garage: a folder with its ledger.
pub struct Garage {
    folder: PathBuf,
    pub(crate) store: Store,
    pub(crate) clock: Box<dyn Clock>,
    pub(crate) job: Option<String>,
    /// The delivery that is being recorded.
    pub(crate) delivery: Option<Underway>,
}

/// A job as it stands.
#[derive(Debug, Clone)]
pub struct Job {
    /// Its name.
    pub name: String,
    /// The car as the ledger knows it.
    pub car: Car,
    /// The state.
    pub state: JobState,
    /// When it was looked at, as the garage's clock says: what soaks or dries is over by some time.
    pub now: String,
    /// Something to tell the owner, such as a vehicle file that cannot be used as it is now.
    pub notice: Option<String>,
    /// What the owner stated for forecasts, where it would stand; none for a job that is looked at from
    /// another one.
    pub(crate) forecast_file: Option<PathBuf>,
    /// The plan once it was made, with the number of entries that it follows from: a page asks for it
    /// several times.
    made: OnceLock<(usize, Plan)>,
}

/// What starts a job.
#[derive(Debug, Clone, Default)]
pub struct StartJob {
    /// The vehicle file.
    pub car: PathBuf,
    /// Parts to replace, as typed.
    pub replace: Vec<String>,
    /// A helper is at hand.
    pub helper: bool,
    /// Rust grade, 0 to 4.
    pub rust: u8,
    /// The toolbox file.
    pub toolbox: Option<PathBuf>,
    /// The name of the job.
    pub name: Option<String>,
}

/// What recording brought.
#[derive(Debug, Clone)]
pub struct Recorded<T> {
    /// The answer of the command.
    pub answer: T,
    /// Ids of the new entries, the plan's not among them.
    pub ids: Vec<String>,
    /// The job afterwards.
    pub job: Job,
    /// Rows that came into the plan.
    pub added: Vec<PlannedRow>,
    /// Rows that fell out of the plan.
    pub dropped: Vec<PlannedRow>,
}

impl Garage {
    /// Opens the garage in a folder.
    ///
    /// # Errors
    /// [`GarageError`] where there is none or it cannot be used.
    pub fn open(folder: &Path, clock: Box<dyn Clock>, job: Option<String>) -> Result<Self, GarageError> {
        Ok(Self { folder: folder.to_owned(), store: Store::open(folder, false)?, clock, job, delivery: None })
    }

    /// Opens the garage in a folder, making it where there is none.
    ///
    /// # Errors
    /// [`GarageError`] where it cannot be made or used.
    pub fn open_or_create(folder: &Path, clock: Box<dyn Clock>) -> Result<Self, GarageError> {
        Ok(Self {
            folder: folder.to_owned(),
            store: Store::open(folder, true)?,
            clock,
            job: None,
            delivery: None,
        })
    }

    /// Carries what is logged over into the database file, unless somebody reads or writes just now:
    /// the file alone holds everything then. Does nothing where nothing is logged.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be used.
    pub fn carry_over(folder: &Path) -> Result<(), GarageError> {
        if is_logged(&Store::path_in(folder)) {
            // By a connection of its own, so that it is the file that stands there now.
            Store::open(folder, false)?.carry_over()?;
        }
        Ok(())
    }

    /// Now, as the garage's clock says.
    pub(crate) fn now(&mut self) -> String {
        self.clock.now()
    }

    /// The folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// The entries of a job.
    pub(crate) fn entries_of(&self, name: &str) -> Result<Vec<Entry>, GarageError> {
        self.store.entries(name)
    }

    /// The names of all jobs, the oldest first.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub fn jobs(&self) -> Result<Vec<String>, GarageError> {
        self.store.jobs()
    }

    /// Makes a job the current one.
    ///
    /// # Errors
    /// [`GarageError::NoJob`] where there is none of that name.
    pub fn use_job(&self, name: &str) -> Result<(), GarageError> {
        if !self.store.jobs()?.iter().any(|job| job == name) {
            return Err(GarageError::NoJob(format!("there is no job called '{name}'")));
        }
        self.store.keep_setting(CURRENT_JOB, name)
    }

    /// The name of the job that commands mean: the one asked for, else the current one.
    ///
    /// # Errors
    /// [`GarageError::NoJob`] where there is none.
    pub fn current_job(&self) -> Result<String, GarageError> {
        let jobs = self.store.jobs()?;
        let wanted = match &self.job {
            Some(job) => Some(job.clone()),
            None => self.store.setting(CURRENT_JOB)?,
        };
        match wanted {
            Some(job) if jobs.contains(&job) => Ok(job),
            Some(job) => Err(GarageError::NoJob(format!("there is no job called '{job}'"))),
            None => Err(GarageError::NoJob("there is no job in this garage yet".to_owned())),
        }
    }

    /// The parts that a job of any name is to replace; the current job stays the one that it is.
    ///
    /// # Errors
    /// [`GarageError::NoJob`] where there is none of that name.
    pub fn goals_of(&self, name: &str) -> Result<Vec<String>, GarageError> {
        let job = load(name, &self.entries_of(name)?)?;
        Ok(job.state.goals.iter().map(ToString::to_string).collect())
    }

    /// An id for an entry that came without one.
    ///
    /// # Errors
    /// [`GarageError`] where the machine gives no random numbers.
    pub fn new_entry_id(&mut self) -> Result<String, GarageError> {
        Ok(self.clock.new_id()?)
    }

    /// Starts a job and makes it the current one.
    ///
    /// # Errors
    /// [`GarageError`] where the vehicle file has faults, a part is not known, or no plan exists.
    pub fn start_job(&mut self, start: &StartJob) -> Result<Recorded<()>, GarageError> {
        let (car_text, car) = load_car(&start.car)?;
        if start.rust > WORST_RUST {
            return Err(GarageError::Input(format!(
                "the rust grade goes from 0 (dry and young) to {WORST_RUST} (long salt or flood), not {}",
                start.rust
            )));
        }
        let toolbox = start.toolbox.as_deref().map(read_text).transpose()?;
        if let Some(text) = &toolbox {
            read_toolbox(text)?;
        }
        let wanted = start.name.as_deref().map(typed::job_name).transpose()?;
        let event = Event::JobStarted {
            name: String::new(),
            car_text,
            car_path: path_text(&start.car)?,
            goals: goals(&car, &start.replace)?,
            rust: start.rust,
            helper: start.helper,
            toolbox,
        };
        loop {
            let name = match &wanted {
                Some(name) => name.clone(),
                None => self.free_name(&start.car)?,
            };
            match self.write_start(&name, &car, event.clone()) {
                // Another process took the name that was free a moment ago.
                Err(GarageError::JobExists(_)) if wanted.is_none() => {}
                result => return result,
            }
        }
    }

    /// Records the start of a job and makes it the current one: both or neither.
    fn write_start(&mut self, name: &str, car: &Car, mut event: Event) -> Result<Recorded<()>, GarageError> {
        if let Event::JobStarted { name: kept, .. } = &mut event {
            name.clone_into(kept);
        }
        let current = Some((CURRENT_JOB, name));
        let recorded = self.write(name, current, |entries, draft| {
            if !entries.is_empty() {
                return Err(GarageError::JobExists(name.to_owned()));
            }
            let (name, car) = (name.to_owned(), car.clone());
            let mut job = Job {
                name,
                car,
                state: JobState::default(),
                now: String::new(),
                notice: None,
                forecast_file: None,
                made: OnceLock::new(),
            };
            let id = draft.add(&mut job, event)?;
            draft.ids.push(id);
            Ok((job, ()))
        })?;
        self.job = Some(name.to_owned());
        Ok(recorded)
    }

    /// A name after the vehicle file that no job has yet.
    ///
    /// # Errors
    /// [`GarageError`] where the garage cannot be read.
    pub fn free_name(&self, car: &Path) -> Result<String, GarageError> {
        let jobs = self.store.jobs()?;
        let stem = car.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        let stem: String =
            stem.chars().filter(|sign| !sign.is_control() && !matches!(sign, '/' | '\\')).take(60).collect();
        let stem = if stem.trim().is_empty() { "job".to_owned() } else { stem.trim().to_owned() };
        let name = std::iter::once(stem.clone())
            .chain((2u32..).map(|n| format!("{stem}-{n}")))
            .find(|name| !jobs.contains(name));
        Ok(name.unwrap_or(stem))
    }

    /// The current job as it stands. A vehicle file that was changed meanwhile is taken over where
    /// it has no faults and still describes everything that was disturbed.
    ///
    /// # Errors
    /// [`GarageError`] where there is no job or it cannot be read.
    pub fn job(&mut self) -> Result<Job, GarageError> {
        let name = self.current_job()?;
        let forecast_file = Some(self.folder.join(FORECAST_FILE));
        let job = Job { now: self.now(), forecast_file, ..load(&name, &self.store.entries(&name)?)? };
        match changed_file(&job) {
            None => Ok(job),
            Some(Err(why)) => Ok(Job { notice: Some(why), ..job }),
            Some(Ok(_)) => {
                let recorded = self.record(|_| Ok((Vec::new(), ())))?;
                let notice = plan_notice(&recorded).or(recorded.job.notice.clone());
                Ok(Job { notice, ..recorded.job })
            }
        }
    }

    /// Records what `decide` makes of the job: durable when this returns. A changed vehicle file is
    /// taken over first.
    ///
    /// # Errors
    /// What `decide` refuses, and [`GarageError`] where it cannot be stored; nothing is recorded
    /// then.
    pub fn record<T>(
        &mut self,
        decide: impl FnOnce(&Job) -> Result<(Vec<Event>, T), GarageError>,
    ) -> Result<Recorded<T>, GarageError> {
        let name = self.current_job()?;
        let delivery = self.delivery.clone();
        self.write(&name, None, |entries, draft| {
            let mut job = load(&name, entries)?;
            match changed_file(&job) {
                Some(Ok(text)) => {
                    draft.add(&mut job, Event::CarUpdated { car_text: text })?;
                    let car = kept_car(&job.state.car_text).ok_or_else(|| unreadable(&name))?;
                    for event in came_off_unseen(&job.car, &car, &job.state) {
                        draft.add(&mut job, event)?;
                    }
                    job.car = car;
                    job.made = OnceLock::new();
                }
                Some(Err(why)) => job.notice = Some(why),
                None => {}
            }
            let (events, answer) = decide(&job)?;
            if let Some(delivery) = &delivery {
                delivery.is_in_time(&job, &events, entries.len(), &draft.clock.now())?;
            }
            for event in events {
                let id = draft.add(&mut job, event)?;
                draft.ids.push(id);
            }
            Ok((job, answer))
        })
    }

    /// Records where the job's vehicle file is now: moved, or restored elsewhere. Gives its whole path.
    ///
    /// # Errors
    /// [`GarageError`] where there is no vehicle file, or it has faults or is another car's.
    pub fn car_is_at(&mut self, car: &Path) -> Result<Recorded<String>, GarageError> {
        let (text, _) = load_car(car)?;
        let path = path_text(car)?;
        self.record(|job| {
            may_stand_for(&text, job)
                .map_err(|why| GarageError::Input(format!("{path} is not this job's car: {why}")))?;
            Ok((vec![Event::CarMoved { car_path: path.clone() }], path))
        })
    }

    /// Appends what `decide` drafts, and the plan where it changed by that.
    fn write<T>(
        &mut self,
        name: &str,
        setting: Option<(&str, &str)>,
        decide: impl FnOnce(&[Entry], &mut Draft<'_>) -> Result<(Job, T), GarageError>,
    ) -> Result<Recorded<T>, GarageError> {
        let forecast_file = self.folder.join(FORECAST_FILE);
        let clock = self.clock.as_mut();
        let made = self.delivery.as_ref().map(|delivery| delivery.stamp.at.clone());
        let delivery = self.delivery.as_ref().map(|delivery| &delivery.stamp);
        let beside = Beside { setting, delivery, left_aside: Some(crate::delivery::left_aside) };
        self.store.append(name, beside, |entries: Vec<Entry>| {
            let mut draft = Draft { clock, made, entries: Vec::new(), ids: Vec::new() };
            let (mut job, answer) = decide(&entries, &mut draft)?;
            let (mut added, mut dropped) = (Vec::new(), Vec::new());
            let change = match plan_change(&job) {
                Ok(change) => change,
                Err(why) if entries.is_empty() => return Err(why),
                // What was recorded is true all the same; the plan stays as it was.
                Err(_) => None,
            };
            if let Some(change) = change {
                (added, dropped) = (change.added, change.dropped);
                draft.add(&mut job, Event::Planned { rows: change.rows, ways: change.ways })?;
            }
            job.now = draft.clock.now();
            job.forecast_file = Some(forecast_file);
            Ok((draft.entries, Recorded { answer, ids: draft.ids, job, added, dropped }))
        })
    }
}

/// What a changed vehicle file did to the plan, where it did anything.
fn plan_notice(recorded: &Recorded<()>) -> Option<String> {
    let names =
        |rows: &[PlannedRow]| rows.iter().map(|row| row.action.to_string()).collect::<Vec<_>>().join(", ");
    let said = |what: &str, rows: &[PlannedRow]| match rows.len() {
        0 => None,
        1..=4 => Some(format!("{what} {}", names(rows))),
        more => Some(format!("{what} {} and {} more rows", names(&rows[..3]), more - 3)),
    };
    let parts: Vec<String> =
        [said("new in the plan:", &recorded.added), said("no longer in it:", &recorded.dropped)]
            .into_iter()
            .flatten()
            .collect();
    (!parts.is_empty()).then(|| format!("the vehicle file was changed; {}", parts.join("; ")))
}

/// Entries that are about to be appended.
struct Draft<'a> {
    clock: &'a mut dyn Clock,
    /// When what is recorded was made, where that was not now.
    made: Option<String>,
    entries: Vec<Entry>,
    ids: Vec<String>,
}

impl Draft<'_> {
    /// Drafts one more entry and brings the job up to it; gives its id.
    fn add(&mut self, job: &mut Job, event: Event) -> Result<String, GarageError> {
        let at = self.made.clone().unwrap_or_else(|| self.clock.now());
        let entry = Entry { id: self.clock.new_id()?, at, event };
        job.state.apply(&entry);
        let id = entry.id.clone();
        self.entries.push(entry);
        Ok(id)
    }
}

impl Job {
    /// The plan as it follows from the state now.
    ///
    /// # Errors
    /// [`GarageError`] where a goal can no longer be reached.
    pub fn plan(&self) -> Result<Plan, GarageError> {
        let entries = self.state.entries.len();
        if let Some((of, plan)) = self.made.get()
            && *of == entries
        {
            return Ok(plan.clone());
        }
        let plan = order(&self.car, &self.state, scope(&self.car, &self.state)?)?;
        // A plan made of an earlier state stays where it is and is not used.
        let _ = self.made.set((entries, plan.clone()));
        Ok(plan)
    }

    /// The owner's toolbox, where one was given.
    #[must_use]
    pub fn toolbox(&self) -> Option<Toolbox> {
        self.state.toolbox.as_deref().and_then(|text| read_toolbox(text).ok())
    }

    /// The planned actions in their order, with their numbers.
    pub fn rows(&self) -> impl Iterator<Item = (u32, &Action)> {
        self.state.order.iter().filter_map(|number| Some((*number, self.state.rows.get(number)?)))
    }

    /// The stage that the next pending row belongs to.
    #[must_use]
    pub fn stage(&self, plan: &Plan) -> Stage {
        let pending = |action: &Action| {
            axlestand_ledger::row_status(&self.car, &self.state, action)
                == axlestand_ledger::RowStatus::Pending
        };
        plan.rows.iter().find(|row| pending(&row.action)).map_or(Stage::Prove, |row| row.section.stage())
    }
}

/// The parts that were named, each once.
fn goals(car: &Car, replace: &[String]) -> Result<Vec<ItemId>, GarageError> {
    let mut goals: Vec<ItemId> = Vec::new();
    for typed in replace {
        for id in car.resolve(typed)? {
            if car.part(&id).is_none() {
                let kind = car.item(&id).map_or("nothing", axlestand_model::car::Item::a_kind);
                let whole = typed.trim() == id.as_str() || typed.trim() == id.base();
                return Err(GarageError::Input(if whole {
                    format!("'{typed}' is {kind}; only parts can be replaced")
                } else {
                    format!(
                        "the car has no part called '{typed}'; '{id}' is {kind}, and only parts can be replaced"
                    )
                }));
            }
            if !goals.contains(&id) {
                goals.push(id);
            }
        }
    }
    if goals.is_empty() {
        return Err(GarageError::Input(
            "a job needs at least one part to replace: --replace PART".to_owned(),
        ));
    }
    Ok(goals)
}

/// The whole path of a vehicle file as it is kept in the ledger.
fn path_text(car: &Path) -> Result<String, GarageError> {
    let whole = std::path::absolute(car).unwrap_or_else(|_| car.to_owned());
    whole.to_str().map(str::to_owned).ok_or_else(|| {
        GarageError::Input(format!(
            "the path {} is no plain text, so the ledger cannot keep it: rename the file or folder",
            whole.display()
        ))
    })
}

struct PlanChange {
    rows: Vec<PlannedRow>,
    ways: Vec<ItemId>,
    added: Vec<PlannedRow>,
    dropped: Vec<PlannedRow>,
}

/// The new plan, where its rows are others than those planned so far. A row keeps its number for
/// the whole job; a new one takes the next free number.
fn plan_change(job: &Job) -> Result<Option<PlanChange>, GarageError> {
    let (plan, state) = (job.plan()?, &job.state);
    let now: BTreeSet<&Action> = state.order.iter().filter_map(|number| state.rows.get(number)).collect();
    let then: BTreeSet<&Action> = plan.rows.iter().map(|row| &row.action).collect();
    if now == then {
        return Ok(None);
    }
    let mut next = state.rows.keys().last().map_or(1, |last| last + 1);
    let mut numbers: BTreeMap<Action, u32> = state.numbers.clone();
    let mut rows = Vec::new();
    for row in &plan.rows {
        let number = *numbers.entry(row.action.clone()).or_insert_with(|| {
            next += 1;
            next - 1
        });
        rows.push(PlannedRow { number, action: row.action.clone() });
    }
    let added = rows.iter().filter(|row| !now.contains(&row.action)).cloned().collect();
    let dropped = state
        .order
        .iter()
        .filter_map(|number| Some(PlannedRow { number: *number, action: state.rows.get(number)?.clone() }))
        .filter(|row| !then.contains(&row.action))
        .collect();
    let ways = plan.scope.ways.values().cloned().collect();
    Ok(Some(PlanChange { rows, ways, added, dropped }))
}

pub(crate) fn load(name: &str, entries: &[Entry]) -> Result<Job, GarageError> {
    let state = JobState::of(entries);
    if state.started.is_none() {
        return Err(GarageError::NoJob(format!("there is no job called '{name}'")));
    }
    let car = kept_car(&state.car_text).ok_or_else(|| unreadable(name))?;
    let now = entries.last().map_or_else(String::new, |entry| entry.at.clone());
    Ok(Job {
        name: name.to_owned(),
        car,
        state,
        now,
        notice: None,
        forecast_file: None,
        made: OnceLock::new(),
    })
}

fn unreadable(name: &str) -> GarageError {
    GarageError::KeptCar(name.to_owned())
}

/// Reads a text file.
pub(crate) fn read_text(path: &Path) -> Result<String, GarageError> {
    std::fs::read_to_string(path).map_err(|why| GarageError::CannotRead { path: path.to_owned(), why })
}
