//! What every handler needs: which garage, whose clock, who may come in.

use crate::access::Doors;
use crate::kept::Sets;
use crate::live::Live;
use crate::phone::AppWay;
use crate::problem::Problem;
use crate::serve::MakeClock;
use axlestand_garage::{Garage, GarageError, Job, Units};
use std::path::PathBuf;
use std::sync::Arc;

/// The running app.
pub(crate) struct App {
    pub(crate) folder: PathBuf,
    pub(crate) units: Units,
    pub(crate) clock: MakeClock,
    pub(crate) doors: Doors,
    pub(crate) live: Live,
    /// Who records waits in turn here: the database's own waiting is not fair to many at once.
    pub(crate) turn: tokio::sync::Mutex<()>,
    pub(crate) sets: Sets,
    /// How devices may use it as an app, over https with a certificate of our own.
    pub(crate) way: Option<AppWay>,
}

/// The app as handlers get it.
pub(crate) type Shared = Arc<App>;

impl App {
    /// Does work on the garage, on a thread that may block. `job` is the job meant; the current one
    /// if absent.
    ///
    /// # Errors
    /// What the garage says, as a page.
    pub(crate) async fn garage<T: Send + 'static>(
        self: &Arc<Self>,
        job: Option<String>,
        work: impl FnOnce(&mut Garage) -> Result<T, GarageError> + Send + 'static,
    ) -> Result<T, Problem> {
        let app = Arc::clone(self);
        let work = move || {
            let mut garage = Garage::open(&app.folder, (app.clock)(), job)?;
            work(&mut garage)
        };
        match tokio::task::spawn_blocking(work).await {
            Ok(result) => result.map_err(Problem::from),
            Err(_) => Err(Problem::of_the_program()),
        }
    }

    /// The same for what is recorded: one after the other, in the order of asking.
    ///
    /// # Errors
    /// What the garage says, as a page.
    pub(crate) async fn record<T: Send + 'static>(
        self: &Arc<Self>,
        job: Option<String>,
        work: impl FnOnce(&mut Garage) -> Result<T, GarageError> + Send + 'static,
    ) -> Result<T, Problem> {
        let _turn = self.turn.lock().await;
        self.garage(job, work).await
    }

    /// The same for a job that is only looked at.
    ///
    /// # Errors
    /// What the garage says, as a page.
    pub(crate) async fn job<T: Send + 'static>(
        self: &Arc<Self>,
        job: String,
        view: impl FnOnce(&Garage, &Job) -> Result<T, GarageError> + Send + 'static,
    ) -> Result<T, Problem> {
        self.garage(Some(job), move |garage| {
            let job = garage.job()?;
            view(garage, &job)
        })
        .await
    }
}
