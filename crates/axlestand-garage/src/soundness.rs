//! Whether a garage, or a backup of one, is sound: what is wrong, where, and what to do.

use crate::error::GarageError;
use crate::job::load;
use crate::photos::is_name;
use crate::store::{Store, soundness as stored};
use axlestand_ledger::{Entry, Event, wire};
use rusqlite::Connection;
use serde::Serialize;
use std::path::Path;

/// Something that is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Finding {
    /// A short fixed name: `damaged`, `guard`, `hole`, `entry`, `job`, `delivery`, `photo`, `vehicle-file`;
    /// of a backup also `changed`, `no-sum`.
    pub kind: &'static str,
    /// Where.
    pub place: String,
    /// What.
    pub text: String,
    /// What to do.
    pub hint: &'static str,
}

/// What a check of a garage or a backup brought.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SoundnessView {
    /// The folder of the garage, or the file of the backup.
    pub place: String,
    /// Whether nothing is wrong; remarks do no harm.
    pub good: bool,
    /// How many jobs it holds.
    pub jobs: usize,
    /// How many entries, over all jobs.
    pub entries: usize,
    /// How many deliveries of devices.
    pub deliveries: usize,
    /// How many photos the entries name.
    pub photos: usize,
    /// What is wrong.
    pub findings: Vec<Finding>,
    /// What is worth knowing and no fault.
    pub remarks: Vec<Finding>,
}

/// What there is of a photo that an entry names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PhotoFile {
    /// A JPEG from its beginning to its end.
    Whole,
    /// Not all of it.
    Torn,
    /// Nothing.
    Missing,
}

impl PhotoFile {
    /// Told by the marks at both ends of a JPEG (ISO/IEC 10918-1, table B.1: SOI and EOI).
    pub(crate) fn of(bytes: Option<&[u8]>) -> Self {
        match bytes {
            None => Self::Missing,
            Some(bytes) if bytes.starts_with(&[0xFF, 0xD8]) && bytes.ends_with(&[0xFF, 0xD9]) => Self::Whole,
            Some(_) => Self::Torn,
        }
    }
}

const FROM_BACKUP: &str = "keep the folder as it is, and restore the last good backup into a new one \
     (axlestand --garage NEW-FOLDER garage restore FILE)";

/// Checks a garage: its database, every entry, every job, the numbering and the files it names.
/// Nothing is changed; others may write meanwhile.
///
/// # Errors
/// [`GarageError`] where there is no garage, or it cannot be looked at at all; a damaged one is a
/// finding.
pub fn check(folder: &Path) -> Result<SoundnessView, GarageError> {
    let place = folder.display().to_string();
    let photos = folder.join("photos");
    let photo = |file: &str| PhotoFile::of(std::fs::read(photos.join(file)).ok().as_deref());
    let looked = Store::open(folder, false)
        .and_then(|store| store.look(|transaction| look_at(transaction, &place, &photo)));
    match looked {
        Err(GarageError::Damaged { why, .. }) => Ok(damaged(place, &why)),
        other => other,
    }
}

/// A garage or backup that cannot even be read.
pub(crate) fn damaged(place: String, why: &str) -> SoundnessView {
    let finding = Finding {
        kind: "damaged",
        place: "the database".to_owned(),
        text: format!("it is damaged: {why}"),
        hint: FROM_BACKUP,
    };
    SoundnessView { place, findings: vec![finding], ..SoundnessView::default() }
}

/// Looks at an open database; `photo` says what there is of a photo.
///
/// # Errors
/// The database's own, where it cannot be read on.
pub(crate) fn look_at(
    connection: &Connection,
    place: &str,
    photo: &dyn Fn(&str) -> PhotoFile,
) -> rusqlite::Result<SoundnessView> {
    let mut view = SoundnessView { place: place.to_owned(), ..SoundnessView::default() };
    for line in stored::faults_of_file(connection)? {
        view.find("damaged", "the database", line, FROM_BACKUP);
    }
    if !view.findings.is_empty() {
        // What is read from damaged pages says nothing.
        return Ok(view);
    }
    (view.entries, view.deliveries) = stored::counts(connection)?;
    for guard in stored::lacking_guards(connection)? {
        let text = format!("the guard '{guard}' is gone: another program could change what was recorded");
        view.find("guard", "the database", text, FROM_BACKUP);
    }
    for (what, first, last) in stored::holes(connection)? {
        let text = if first == last {
            format!("number {first} is missing")
        } else {
            format!("numbers {first} to {last} are missing")
        };
        view.find("hole", what, text, FROM_BACKUP);
    }
    for (delivery, entry) in stored::unkept_deliveries(connection)? {
        let text = format!("it was acknowledged, and its entry {entry} is not in the ledger");
        view.find("delivery", &format!("delivery {delivery}"), text, FROM_BACKUP);
    }
    let jobs = stored::jobs(connection)?;
    view.jobs = jobs.len();
    for job in jobs {
        look_at_job(&mut view, &job, &stored::raw_entries(connection, &job)?, photo);
    }
    view.good = view.findings.is_empty();
    Ok(view)
}

fn look_at_job(
    view: &mut SoundnessView,
    name: &str,
    raw: &[stored::RawEntry],
    photo: &dyn Fn(&str) -> PhotoFile,
) {
    let mut entries = Vec::with_capacity(raw.len());
    for one in raw {
        match wire::from_json(&one.body) {
            Ok(event) => {
                view.look_at_event(name, one, &event, &entries, photo);
                entries.push(Entry { id: one.id.clone(), at: one.at.clone(), event });
            }
            Err(why) => {
                let hint = match why {
                    wire::WireError::Newer { .. } => "use that newer axlestand; nothing was changed",
                    wire::WireError::Damaged(_) => FROM_BACKUP,
                };
                view.find("entry", &place_of(one, name), why.to_string(), hint);
            }
        }
    }
    if entries.len() < raw.len() {
        // What follows from a part of the entries would be a guess.
        return;
    }
    match load(name, &entries) {
        Err(why) => view.find("job", &format!("job {name}"), why.to_string(), FROM_BACKUP),
        Ok(job) if !Path::new(&job.state.car_path).is_file() => view.remarks.push(Finding {
            kind: "vehicle-file",
            place: format!("job {name}"),
            text: format!("its vehicle file is not at {}", job.state.car_path),
            hint: "the job goes on with the text kept in its ledger; to set values, say where the file is \
                   now ('axlestand job car FILE')",
        }),
        Ok(_) => {}
    }
}

impl SoundnessView {
    fn find(&mut self, kind: &'static str, place: &str, text: String, hint: &'static str) {
        self.findings.push(Finding { kind, place: place.to_owned(), text, hint });
    }

    /// What an entry says about others: its place in the job, the entry it takes back, its photo.
    fn look_at_event(
        &mut self,
        job: &str,
        raw: &stored::RawEntry,
        event: &Event,
        before: &[Entry],
        photo: &dyn Fn(&str) -> PhotoFile,
    ) {
        let place = place_of(raw, job);
        match event {
            Event::JobStarted { .. } if !before.is_empty() => {
                self.find("job", &place, "the job is started a second time".to_owned(), FROM_BACKUP);
            }
            Event::JobStarted { name, .. } if name != job => {
                let text = format!("it starts a job called '{name}'");
                self.find("job", &place, text, FROM_BACKUP);
            }
            Event::Withdrawn { entry, .. } if !is_among(before, entry) => {
                let text = format!("it takes back the entry {entry}, which is not before it in this job");
                self.find("entry", &place, text, FROM_BACKUP);
            }
            Event::Pictured { file, .. } => {
                self.photos += 1;
                let state = if is_name(file) { photo(file) } else { PhotoFile::Missing };
                let text = match state {
                    PhotoFile::Whole => return,
                    PhotoFile::Torn => format!("its photo {file} is not whole"),
                    PhotoFile::Missing => format!("its photo {file} is not in the folder photos"),
                };
                let hint = "restore a backup into another folder and copy the photo from there; \
                     the job itself goes on without it";
                self.find("photo", &place, text, hint);
            }
            _ => {}
        }
    }
}

fn is_among(entries: &[Entry], id: &str) -> bool {
    entries.iter().any(|entry| entry.id == id)
}

fn place_of(raw: &stored::RawEntry, job: &str) -> String {
    format!("entry {} (job {job})", raw.seq)
}
