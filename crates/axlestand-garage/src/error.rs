//! What can go wrong in a garage, each with what to do.

use crate::lead::Lead;
use axlestand_ledger::{Refusal, wire::WireError};
use axlestand_model::car::Unresolved;
use axlestand_model::file::EditError;
use axlestand_model::template::TemplateError;
use axlestand_plan::{NoOrder, ScopeError};
use std::path::PathBuf;

/// An error of the garage. Its text says what is wrong; [`GarageError::hint`] says what to do,
/// [`GarageError::lead`] by which means.
#[derive(Debug, thiserror::Error)]
pub enum GarageError {
    /// A file cannot be read.
    #[error("{path} cannot be read: {why}")]
    CannotRead {
        /// The file.
        path: PathBuf,
        /// The system's reason.
        why: std::io::Error,
    },
    /// A file cannot be written.
    #[error("{path} cannot be written: {why}")]
    CannotWrite {
        /// The file.
        path: PathBuf,
        /// The system's reason.
        why: std::io::Error,
    },
    /// A file is there already.
    #[error("{0} exists already and was left as it is")]
    Exists(PathBuf),
    /// Something else stands where a sheet is to be written.
    #[error("{0} is there already and is no axlestand sheet of this kind; it was left as it is")]
    Occupied(PathBuf),
    /// A vehicle file has faults; they have been shown.
    #[error("{path} has {errors} fault{}", if *errors == 1 { "" } else { "s" })]
    FaultyCar {
        /// The file.
        path: PathBuf,
        /// How many errors.
        errors: usize,
        /// All findings, rendered without colours.
        report: String,
    },
    /// A toolbox file has a fault.
    #[error("the toolbox file is not understood: {0}")]
    FaultyToolbox(String),
    /// There is no garage yet.
    #[error("there is no garage in {0}")]
    NoGarage(PathBuf),
    /// There is no job, or none of that name.
    #[error("{0}")]
    NoJob(String),
    /// A job of that name is there already.
    #[error("there is a job called '{0}' already")]
    JobExists(String),
    /// The file is no database, or a damaged one.
    #[error("{path} is damaged or no database: {why}")]
    Damaged {
        /// The file.
        path: PathBuf,
        /// The reason.
        why: String,
    },
    /// Another file was put in the place of a database that is in use.
    #[error("{0} was replaced by another file while it was in use")]
    Replaced(PathBuf),
    /// A database of another program.
    #[error("{0} is a database of another program")]
    Foreign(PathBuf),
    /// A backup stands where a garage's database belongs.
    #[error("{0} is a backup, not a garage to work in")]
    IsBackup(PathBuf),
    /// A backup, or something else, has that name already.
    #[error("{0} exists already and was left as it is")]
    BackupThere(PathBuf),
    /// A backup cannot be written.
    #[error("the backup {path} cannot be written: {why}; the garage is as it was")]
    NoBackupMade {
        /// The file.
        path: PathBuf,
        /// The reason.
        why: String,
    },
    /// A backup of a garage with faults would take the place of an older one.
    #[error(
        "{faults} fault{} found in this garage, so the older backup {path} was left as it is",
        if *faults == 1 { " was" } else { "s were" }
    )]
    OlderBackupKept {
        /// The older backup.
        path: PathBuf,
        /// How many faults.
        faults: usize,
    },
    /// The content of a backup is not the one that was written.
    #[error(
        "{0} is not restored: something in it was changed since it was written, and a torque or another value may be a wrong one"
    )]
    ChangedBackup(PathBuf),
    /// A file is no backup, or a damaged one.
    #[error("{path} cannot be restored: {why}; nothing was changed")]
    NoBackup {
        /// The file.
        path: PathBuf,
        /// The reason.
        why: String,
    },
    /// A garage cannot be restored here.
    #[error("the garage cannot be restored into {path}: {why}")]
    NotRestored {
        /// The folder.
        path: PathBuf,
        /// The reason.
        why: String,
    },
    /// Written by a newer program.
    #[error("{path} was written by a newer axlestand (format {found}; this one knows {known})")]
    Newer {
        /// The file.
        path: PathBuf,
        /// The format found.
        found: i64,
        /// The newest format known.
        known: i64,
    },
    /// The disk is full.
    #[error("the disk is full: nothing was recorded")]
    DiskFull,
    /// Another program is writing.
    #[error("the garage is in use by another program that does not let go: nothing was recorded")]
    Busy,
    /// The garage cannot be written.
    #[error("the garage cannot be written: {0}: nothing was recorded")]
    Store(String),
    /// The same delivery came before.
    #[error("this was delivered before")]
    Delivered,
    /// What a device delivered was made before something else about the same, which stands in the ledger:
    /// what that is.
    #[error("{}", .0.join("; "))]
    Overtaken(Vec<String>),
    /// What a device delivered is in the ledger already: another device was quicker.
    #[error("this is recorded already")]
    Agreed,
    /// A photo cannot be kept.
    #[error("the photo cannot be kept: {0}")]
    Photo(String),
    /// A stored event is not understood.
    #[error("entry {seq} of the ledger is not understood: {why}")]
    Entry {
        /// Its position.
        seq: i64,
        /// Why.
        why: WireError,
    },
    /// The vehicle file that is kept with a job gives no car.
    #[error("the vehicle file kept in the ledger with the job '{0}' is not understood")]
    KeptCar(String),
    /// An event cannot be stored.
    #[error(transparent)]
    Wire(#[from] WireError),
    /// The system gives no random numbers.
    #[error("the system gives no random numbers, so no entry can be made: {0}")]
    NoChance(#[from] getrandom::Error),
    /// A name was not understood.
    #[error(transparent)]
    Name(#[from] Unresolved),
    /// A selection was not understood.
    #[error("{0}")]
    Selection(String),
    /// An action was refused.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The vehicle file describes another axle, not the one that was asked for.
    #[error("the vehicle file describes no {asked} axle; it has: {}", known.join(", "))]
    NoAxle {
        /// The one asked for.
        asked: String,
        /// Those that it has.
        known: Vec<String>,
    },
    /// The reading taken before the work is there already.
    #[error("{0}")]
    Stays(Refusal),
    /// An entry cannot be taken back.
    #[error("{0}")]
    Kept(String),
    /// The turning of an adjuster cannot be taken back by itself, since wheels were read after it.
    #[error("{0}")]
    ReadSince(String),
    /// By how much an adjuster was turned is not understood.
    #[error("{0}")]
    Amount(String),
    /// A chance to be done by a date was asked for, and not when work goes on.
    #[error("a chance to be done by a date depends on when you work")]
    NoSessions,
    /// Something typed is wrong.
    #[error("{0}")]
    Input(String),
    /// What was said of where a value comes from is missing or wrong.
    #[error("{0}")]
    Source(String),
    /// What was typed cannot be a job's name.
    #[error("{0}")]
    JobName(String),
    /// A goal cannot be reached.
    #[error(transparent)]
    Scope(#[from] ScopeError),
    /// Rows wait for each other.
    #[error(transparent)]
    NoOrder(#[from] NoOrder),
    /// A value cannot be written into the vehicle file.
    #[error(transparent)]
    Edit(#[from] EditError),
    /// A template cannot be filled in.
    #[error(transparent)]
    Template(#[from] TemplateError),
}

impl GarageError {
    /// What to do about it, where the text does not say it already.
    #[must_use]
    pub fn hint(&self) -> Option<&'static str> {
        match self {
            Self::CannotRead { .. } => Some("check the path and whether you may read it"),
            Self::CannotWrite { .. } => {
                Some("check the path, the free space and whether you may write there")
            }
            Self::Exists(_) => Some("give another file name"),
            Self::Occupied(_) => Some("give another file name, or let it be overwritten"),
            Self::FaultyCar { .. } => Some("mend the places shown"),
            Self::FaultyToolbox(_) => Some("write it like: tools = [\"hex 21\", \"inner hex 8\"]"),
            Self::NoGarage(_) => Some("start a job"),
            Self::NoJob(_) => Some("choose one of the jobs, or start one"),
            Self::JobExists(_) => Some("give the new job another name"),
            Self::Damaged { .. } => Some("keep the file as it is, and go on with a copy from your backup"),
            Self::IsBackup(_) => Some("restore it into a new folder"),
            Self::NoBackupMade { .. } => {
                Some("look at the free space and at who may write there, or name another file")
            }
            Self::OlderBackupKept { .. } => Some("look at them first; give another file name to keep both"),
            Self::BackupThere(_) => Some("give another file name, or let an older backup be overwritten"),
            Self::ChangedBackup(_) => Some(
                "restore another backup; where there is none, restore this one although it was changed, and compare every value with what you know",
            ),
            Self::NoBackup { .. } => Some("name a sound backup of a garage"),
            Self::NotRestored { .. } => Some("name a new folder"),
            Self::Foreign(_) => Some("nothing was changed; use another folder"),
            Self::Newer { .. } => Some("use that newer axlestand; nothing was changed"),
            Self::DiskFull => Some("make room and do it again; what was recorded before is safe"),
            Self::Busy => Some("close the other program, or wait, and do it again"),
            Self::Entry { why: WireError::Newer { .. }, .. } => {
                Some("use that newer axlestand; nothing was changed")
            }
            Self::Entry { .. } => {
                Some("keep the garage as it is, and go on with a copy from your backup; nothing was changed")
            }
            Self::KeptCar(_) => Some(
                "keep the garage as it is, and go on with a copy from your backup, or use the newer axlestand that recorded it; nothing was changed",
            ),
            Self::Replaced(_) => Some(
                "stop every axlestand that has it open ('axlestand serve'), then go on; nothing was changed",
            ),
            Self::Photo(_) => Some("send a JPEG, PNG or WebP picture; the camera's usual setting will do"),
            Self::Store(_) => Some(
                "look at the free space and at who may write there, and do it again; what was recorded before is safe",
            ),
            Self::NoAxle { .. } => Some("ask for one that it has"),
            Self::Stays(_) => Some("where it was mistyped, give what was read then as its correction"),
            Self::Overtaken(_) => Some("look at the car, and record by hand what is true of it now"),
            Self::ReadSince(_) => Some(
                "take those back first, then this, and type it all again; if the adjuster itself was turned back, record that as a turn of its own",
            ),
            Self::NoSessions => {
                Some("say when, as often as needed, or write sessions into the forecast file")
            }
            Self::Amount(_) => Some("write it with the sign that it has among what to turn"),
            Self::Scope(ScopeError::NoSuchPart(_)) => Some("choose from the parts that are listed"),
            _ => None,
        }
    }

    /// Where the hint leads.
    #[must_use]
    pub fn lead(&self) -> Option<Lead> {
        Some(match self {
            Self::Exists(_) => Lead::FileName,
            Self::Occupied(_) => Lead::FileNameOrOver,
            Self::FaultyCar { .. } => Lead::CarCheck,
            Self::NoGarage(_) => Lead::StartJob,
            Self::NoJob(_) => Lead::Jobs,
            Self::JobExists(_) => Lead::JobName,
            Self::Foreign(_) => Lead::Folder,
            Self::IsBackup(_) | Self::NotRestored { .. } => Lead::Restore,
            Self::OlderBackupKept { .. } => Lead::GarageCheck,
            Self::BackupThere(_) => Lead::Over,
            Self::ChangedBackup(_) => Lead::AlthoughChanged,
            Self::NoBackup { .. } => Lead::Backup,
            Self::NoAxle { known, .. } => Lead::Axle { axle: known.first().cloned().unwrap_or_default() },
            Self::Stays(refusal) => Lead::Correct { reading: refusal.action.item.to_string() },
            Self::ReadSince(_) => Lead::Ledger,
            Self::Amount(_) => Lead::Alignment,
            Self::NoSessions => Lead::Sessions,
            Self::Scope(ScopeError::NoSuchPart(_)) => Lead::Parts,
            _ => return None,
        })
    }

    /// Whether doing the same again later may succeed, since it is the machine that failed, not what
    /// was asked.
    #[must_use]
    pub fn is_of_the_machine(&self) -> bool {
        matches!(
            self,
            Self::CannotRead { .. }
                | Self::CannotWrite { .. }
                | Self::NoGarage(_)
                | Self::Damaged { .. }
                | Self::Foreign(_)
                | Self::IsBackup(_)
                | Self::Newer { .. }
                | Self::DiskFull
                | Self::Busy
                | Self::Store(_)
                | Self::Entry { .. }
                | Self::KeptCar(_)
                | Self::Replaced(_)
                | Self::Wire(_)
                | Self::NoChance(_)
        )
    }

    /// A short fixed name for the kind of error, for `--json`.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::CannotRead { .. } => "cannot-read",
            Self::CannotWrite { .. } => "cannot-write",
            Self::Exists(_) | Self::Occupied(_) | Self::BackupThere(_) => "file-exists",
            Self::FaultyCar { .. } => "faulty-car",
            Self::FaultyToolbox(_) => "faulty-toolbox",
            Self::NoGarage(_) => "no-garage",
            Self::NoJob(_) => "no-job",
            Self::JobExists(_) => "job-exists",
            Self::Damaged { .. } => "damaged-garage",
            Self::Foreign(_) => "foreign-database",
            Self::IsBackup(_) => "is-backup",
            Self::NoBackupMade { .. } | Self::OlderBackupKept { .. } => "no-backup-made",
            Self::NoBackup { .. } => "no-backup",
            Self::ChangedBackup(_) => "changed-backup",
            Self::NotRestored { .. } => "not-restored",
            Self::Newer { .. } => "newer-format",
            Self::DiskFull => "disk-full",
            Self::Busy => "busy",
            Self::Store(_) => "store",
            Self::Photo(_) => "photo",
            Self::Delivered => "delivered-before",
            Self::Agreed => "recorded-already",
            Self::Overtaken(_) => "overtaken",
            Self::Entry { .. } | Self::KeptCar(_) | Self::Wire(_) => "entry",
            Self::Replaced(_) => "replaced",
            Self::NoChance(_) => "no-random-numbers",
            Self::Name(_) => "unknown-name",
            Self::Selection(_) => "unknown-selection",
            Self::Refused(_) | Self::Stays(_) | Self::Kept(_) | Self::ReadSince(_) => "refused",
            Self::NoAxle { .. }
            | Self::Input(_)
            | Self::Source(_)
            | Self::JobName(_)
            | Self::Amount(_)
            | Self::NoSessions => "bad-input",
            Self::Scope(_) => "no-way",
            Self::NoOrder(_) => "no-order",
            Self::Edit(_) => "edit",
            Self::Template(_) => "template",
        }
    }
}
