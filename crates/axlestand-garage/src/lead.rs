//! What leads on from a text: the text says what to do, the lead says by which means. The command line
//! names its command or option for it, a page links to where it is done; paper shows the text alone.

use serde::Serialize;

/// Where a text leads.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "to", rename_all = "kebab-case")]
pub enum Lead {
    /// The list that leads through one way of reading the wheels.
    Guide {
        /// The way's word: `plates`.
        method: String,
    },
    /// All ways of reading the wheels.
    Guides,
    /// How the wheels stand and what to turn.
    Alignment,
    /// Keeping what was read off gauges as the readings of the vehicle file.
    Keep,
    /// Heights: where collars go, and whether the springs stay held.
    Height,
    /// Recording that an adjuster was turned.
    Turned,
    /// The entries of the job, and taking one back.
    Ledger,
    /// The curves of another axle.
    Axle {
        /// Its name: `rear`.
        axle: String,
    },
    /// Correcting a mistyped reading from before the work.
    Correct {
        /// The reading: `toe-front`.
        reading: String,
    },
    /// One reading off a gauge.
    Place {
        /// Its place: `thread.left`.
        place: String,
        /// The way of reading that it belongs to: `lengths`.
        method: &'static str,
    },
    /// A value of the vehicle file, with its source.
    Value {
        /// What it belongs to: `camber`.
        item: String,
        /// The field: `tolerance`; `None`: which one is the owner's choice.
        field: Option<String>,
    },
    /// Recording a row of the plan.
    Row {
        /// The action: `loosen:jam-nut.left`.
        action: String,
    },
    /// A check of another job.
    Check {
        /// The job.
        job: String,
        /// `lowering` or `road`.
        gate: String,
    },
    /// When work goes on, for a forecast.
    Sessions,
    /// The jobs of the garage.
    Jobs,
    /// Starting a job.
    StartJob,
    /// The name of a new job.
    JobName,
    /// What phones brought and a person has to look at.
    Look,
    /// The parts of a vehicle file.
    Parts,
    /// The findings of a vehicle file.
    CarCheck,
    /// The name of the file that is written.
    FileName,
    /// The same, where the file may be overwritten as well.
    FileNameOrOver,
    /// Letting an older file be overwritten.
    Over,
    /// The garage's folder.
    Folder,
    /// What is wrong with a garage.
    GarageCheck,
    /// Writing a backup of a garage.
    Backup,
    /// Making a garage from a backup.
    Restore,
    /// Making one although the content of the backup was changed.
    AlthoughChanged,
}

/// A text with where it leads.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LedText {
    /// The text; it names neither commands nor pages.
    pub text: String,
    /// Where it leads.
    pub lead: Option<Lead>,
}

impl LedText {
    pub(crate) fn new(text: impl Into<String>, lead: Lead) -> Self {
        Self { text: text.into(), lead: Some(lead) }
    }
}

impl From<String> for LedText {
    fn from(text: String) -> Self {
        Self { text, lead: None }
    }
}

impl From<&str> for LedText {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}
