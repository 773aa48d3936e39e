//! A backup of a garage in one file, and a garage made from it.
//!
//! The file is an SQLite database: the garage's own, as it stood at one moment, with its photos and
//! vehicle files in a table beside. One file is copied whole or not at all, SQLite's own check tells
//! whether it is sound, a sum over its content whether anything in it was changed since, and what reads it
//! is in the program already. It holds the hashes of the devices' secrets, never the secrets.

use crate::content_sum::{content_sum, drop_sum, keep_sum, sum_comes_out};
use crate::database_file::whole;
use crate::error::GarageError;
use crate::job::Garage;
use crate::own_files::is_kept;
use crate::photos::is_name;
use crate::soundness::{Finding, PhotoFile, SoundnessView, check, damaged, look_at};
use crate::store::soundness::faults_of_file;
use crate::store::{APPLICATION_ID, BACKUP_ID, FORMAT, Store};
use rusqlite::{Connection, OpenFlags, OptionalExtension as _, params};
use serde::Serialize;
use std::fs::{File, OpenOptions};
use std::io::{ErrorKind, Write as _};
use std::path::{Path, PathBuf};

/// The table of files.
const KEPT_FILE: &str = "kept_file";
const KEPT_FILES: &str = "CREATE TABLE kept_file (name TEXT PRIMARY KEY, bytes BLOB NOT NULL) STRICT;";
/// The folder of photos, within a garage and in the names of kept files.
const PHOTOS: &str = "photos";

/// A backup that was written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct BackupView {
    /// The file.
    pub file: String,
    /// Its size in bytes.
    pub bytes: u64,
    /// How many photos and vehicle files are in it.
    pub kept_files: usize,
    /// What the check of the written file brought.
    pub check: SoundnessView,
}

/// A garage that was made from a backup.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct RestoredView {
    /// The folder.
    pub folder: String,
    /// The backup.
    pub file: String,
    /// How many photos and vehicle files were put back.
    pub kept_files: usize,
    /// What the check of the new garage brought.
    pub check: SoundnessView,
}

impl Garage {
    /// Writes a backup of the whole garage, checks what was written, and gives it its name only then.
    /// Others may write meanwhile: it holds one state. An older backup is replaced only where
    /// `replace` says so and the new one has no faults.
    ///
    /// # Errors
    /// [`GarageError::BackupThere`] for a name that is taken, [`GarageError::OlderBackupKept`],
    /// [`GarageError::Damaged`] where the garage cannot be read, and
    /// [`GarageError::NoBackupMade`]. What stood there before is as it was then.
    pub fn back_up(&mut self, file: &Path, replace: bool) -> Result<BackupView, GarageError> {
        if file.exists() {
            if !replace {
                return Err(GarageError::BackupThere(file.to_owned()));
            }
            if !is_backup(file) {
                let why = "something is there that is no backup, and it was left as it is".to_owned();
                return Err(GarageError::NoBackupMade { path: file.to_owned(), why });
            }
        }
        let beside = beside(file, &self.clock.new_id()?);
        let made = self.written(&beside, file).and_then(|view| {
            if !view.check.good && file.exists() {
                let faults = view.check.findings.len();
                return Err(GarageError::OlderBackupKept { path: file.to_owned(), faults });
            }
            name_it(&beside, file, replace).map(|()| view)
        });
        if made.is_err() {
            // What was half written is of no use; that it cannot be removed changes nothing.
            let _ = std::fs::remove_file(&beside);
        }
        made
    }

    /// Writes a backup under a name beside its own, durable and checked.
    fn written(&self, beside: &Path, file: &Path) -> Result<BackupView, GarageError> {
        let cannot = |why: String| GarageError::NoBackupMade { path: file.to_owned(), why };
        let io = |why: std::io::Error| cannot(why.to_string());
        let sql = |why: rusqlite::Error| cannot(why.to_string());
        let text = beside.to_str().ok_or_else(|| cannot("its name is no plain text".to_owned()))?;
        // Made here, so that the system's own reason is told where it cannot be.
        OpenOptions::new().write(true).create_new(true).open(beside).map_err(io)?;
        self.store.copy_into(text).map_err(|why| match why.sqlite_error_code() {
            Some(rusqlite::ErrorCode::DatabaseCorrupt | rusqlite::ErrorCode::NotADatabase) => {
                GarageError::Damaged { path: Store::path_in(self.folder()), why: why.to_string() }
            }
            _ => sql(why),
        })?;
        let files = kept_files(self.folder()).map_err(io)?;
        let mut connection = Connection::open(beside).map_err(sql)?;
        let transaction = connection.transaction().map_err(sql)?;
        transaction.execute_batch(KEPT_FILES).map_err(sql)?;
        transaction.pragma_update(None, "application_id", BACKUP_ID).map_err(sql)?;
        for (name, path) in &files {
            let bytes = std::fs::read(path).map_err(io)?;
            let insert = "INSERT INTO kept_file (name, bytes) VALUES (?1, ?2)";
            transaction.execute(insert, params![name, bytes]).map_err(sql)?;
        }
        keep_sum(&transaction).map_err(sql)?;
        transaction.commit().map_err(sql)?;
        connection.close().map_err(|(_, why)| sql(why))?;
        File::open(beside).and_then(|written| written.sync_all()).map_err(io)?;
        let mut check = check_backup(beside, file)?;
        if check.findings.iter().any(|finding| matches!(finding.kind, "damaged" | CHANGED)) {
            return Err(cannot("what was written is not what was read: the disk may be failing".to_owned()));
        }
        // Indexes are made anew for the copy, so that it may look sound where the garage is not.
        if let Some(fault) = self.store.look(|live| faults_of_file(live))?.into_iter().next() {
            check.good = false;
            check.findings.push(of_garage(&fault));
        }
        let bytes = std::fs::metadata(beside).map_err(io)?.len();
        Ok(BackupView { file: file.display().to_string(), bytes, kept_files: files.len(), check })
    }
}

/// The kind of finding that says that the content was changed.
const CHANGED: &str = "changed";

/// What is told where the content of a backup is not the one that was written.
fn changed() -> Finding {
    Finding {
        kind: CHANGED,
        place: "the backup".to_owned(),
        text:
            "something in it was changed since it was written: a torque or another value may be a wrong one"
                .to_owned(),
        hint: "restore another backup; where there is none, compare every value with what you know",
    }
}

/// What is told where nothing tells whether the content of a backup was changed.
fn without_sum() -> Finding {
    Finding {
        kind: "no-sum",
        place: "the backup".to_owned(),
        text: "it was written by an older axlestand, without a sum of its content: whether a value in it was changed since cannot be told"
            .to_owned(),
        hint: "nothing, where it was kept well; a new backup has the sum",
    }
}

/// What is told where a garage has damaged pages and could still be copied.
fn of_garage(fault: &str) -> Finding {
    Finding {
        kind: "damaged",
        place: "the garage itself".to_owned(),
        text: format!("it is damaged, and this is what could still be read of it: {fault}"),
        hint: "keep your older backups; restore this one into a new folder and look its ledger through",
    }
}

/// Gives a file that was written beside its place the name it is for, durably.
fn name_it(beside: &Path, file: &Path, replace: bool) -> Result<(), GarageError> {
    if !replace {
        // Who comes first has the name, also among several at once.
        match OpenOptions::new().write(true).create_new(true).open(file) {
            Err(why) if why.kind() == ErrorKind::AlreadyExists => {
                return Err(GarageError::BackupThere(file.to_owned()));
            }
            Err(why) => {
                return Err(GarageError::NoBackupMade { path: file.to_owned(), why: why.to_string() });
            }
            Ok(_) => {}
        }
    }
    let named = std::fs::rename(beside, file).and_then(|()| sync_folder_of(file));
    named.map_err(|why| {
        if !replace {
            let _ = std::fs::remove_file(file);
        }
        GarageError::NoBackupMade { path: file.to_owned(), why: why.to_string() }
    })
}

/// Makes a garage from a backup in a folder that is new or empty. The backup is checked before, the
/// garage after; its database gets its name last, so that what is cut off half way is no garage. A backup
/// whose content was changed since it was written is restored only with `although_changed`; then, and where
/// an older one has no sum to tell it by, the check says so.
///
/// # Errors
/// [`GarageError::NoBackup`] for what is none or damaged, [`GarageError::ChangedBackup`],
/// [`GarageError::Newer`] for one of a newer program, [`GarageError::NotRestored`] where the folder holds something or cannot be written.
pub fn restore(file: &Path, folder: &Path, although_changed: bool) -> Result<RestoredView, GarageError> {
    let cannot = |why: String| GarageError::NotRestored { path: folder.to_owned(), why };
    let before = check_backup(file, file)?;
    if let Some(fault) = before.findings.iter().find(|finding| finding.kind == "damaged") {
        return Err(GarageError::NoBackup { path: file.to_owned(), why: fault.text.clone() });
    }
    let changed = before.findings.iter().find(|finding| finding.kind == CHANGED);
    if changed.is_some() && !although_changed {
        return Err(GarageError::ChangedBackup(file.to_owned()));
    }
    let is_taken = match std::fs::read_dir(folder) {
        Ok(mut entries) => entries.next().is_some(),
        Err(why) if why.kind() == ErrorKind::NotFound => false,
        Err(why) => return Err(cannot(why.to_string())),
    };
    if is_taken {
        return Err(cannot("it is not empty, and a living garage is never written over".to_owned()));
    }
    let is_new = !folder.exists();
    let made = put_back(file, folder);
    let kept_files = made.inspect_err(|_| clear(folder, is_new))?;
    let mut check = check(folder)?;
    check.good &= changed.is_none();
    check.findings.extend(changed.cloned());
    check.remarks.extend(before.remarks);
    if (check.jobs, check.entries, check.deliveries) != (before.jobs, before.entries, before.deliveries) {
        return Err(cannot("what was written is not what was read: the disk may be failing".to_owned()));
    }
    let (folder, file) = (folder.display().to_string(), file.display().to_string());
    Ok(RestoredView { folder, file, kept_files, check })
}

/// Writes database and files of a backup into an empty folder; how many files.
fn put_back(file: &Path, folder: &Path) -> Result<usize, GarageError> {
    let cannot = |why: String| GarageError::NotRestored { path: folder.to_owned(), why };
    let io = |why: std::io::Error| cannot(why.to_string());
    let sql = |why: rusqlite::Error| cannot(why.to_string());
    std::fs::create_dir_all(folder).map_err(io)?;
    let database = Store::path_in(folder);
    let beside = folder.join("garage.db.new");
    let mut to = OpenOptions::new().write(true).create_new(true).open(&beside).map_err(io)?;
    let mut from = File::open(file).map_err(io)?;
    std::io::copy(&mut from, &mut to).map_err(io)?;
    drop(to);
    let mut connection = Connection::open(&beside).map_err(sql)?;
    let read = content_sum(&connection, &[KEPT_FILE]).map_err(sql)?;
    let count = write_files(&connection, folder)?;
    let transaction = connection.transaction().map_err(sql)?;
    transaction.execute_batch("DROP TABLE kept_file").map_err(sql)?;
    drop_sum(&transaction).map_err(sql)?;
    transaction.pragma_update(None, "application_id", APPLICATION_ID).map_err(sql)?;
    transaction.commit().map_err(sql)?;
    // The room of the photos is given back.
    connection.execute_batch("VACUUM").map_err(sql)?;
    if content_sum(&connection, &[]).map_err(sql)? != read {
        return Err(cannot("what was written is not what was read: the disk may be failing".to_owned()));
    }
    connection.close().map_err(|(_, why)| sql(why))?;
    File::open(&beside).and_then(|written| written.sync_all()).map_err(io)?;
    std::fs::rename(&beside, &database).and_then(|()| sync_folder_of(&database)).map_err(io)?;
    Ok(count)
}

/// Writes the kept files of a backup into a folder, durably.
fn write_files(connection: &Connection, folder: &Path) -> Result<usize, GarageError> {
    let cannot = |why: String| GarageError::NotRestored { path: folder.to_owned(), why };
    let io = |why: std::io::Error| cannot(why.to_string());
    let sql = |why: rusqlite::Error| cannot(why.to_string());
    let mut query = connection.prepare("SELECT name, bytes FROM kept_file ORDER BY name").map_err(sql)?;
    let mut rows = query.query([]).map_err(sql)?;
    let mut count = 0;
    while let Some(row) = rows.next().map_err(sql)? {
        let (name, bytes): (String, Vec<u8>) = (row.get(0).map_err(sql)?, row.get(1).map_err(sql)?);
        // A name in a file is not believed: nothing is written outside the folder.
        let path = match name.split_once('/') {
            Some((PHOTOS, photo)) if is_name(photo) => folder.join(PHOTOS).join(photo),
            None if is_kept(&name, bytes.len() as u64) => folder.join(&name),
            _ => continue,
        };
        if let Some(parent) = path.parent() {
            std::fs::create_dir_all(parent).map_err(io)?;
        }
        let mut to = OpenOptions::new().write(true).create_new(true).open(&path).map_err(io)?;
        to.write_all(&bytes).and_then(|()| to.sync_all()).map_err(io)?;
        sync_folder_of(&path).map_err(io)?;
        count += 1;
    }
    Ok(count)
}

/// Takes away what a restore that failed wrote into a folder that was empty before.
fn clear(folder: &Path, is_new: bool) {
    // That it cannot be removed changes nothing: a folder without a database is no garage.
    if is_new {
        let _ = std::fs::remove_dir_all(folder);
        return;
    }
    let _ = std::fs::remove_dir_all(folder.join(PHOTOS));
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let _ = std::fs::remove_file(entry.path());
    }
}

/// Checks a backup; `told` is the name by which it is spoken of.
fn check_backup(path: &Path, told: &Path) -> Result<SoundnessView, GarageError> {
    let place = told.display().to_string();
    let none = |why: String| GarageError::NoBackup { path: told.to_owned(), why };
    File::open(path).map_err(|why| none(why.to_string()))?;
    if !is_backup(path) {
        return Err(none("it is no axlestand backup".to_owned()));
    }
    if let Err(GarageError::Damaged { why, .. }) = whole(path, false) {
        return Ok(damaged(place, &why));
    }
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let look = || -> rusqlite::Result<Result<SoundnessView, GarageError>> {
        let connection = Connection::open_with_flags(path, flags)?;
        let found: i64 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
        if found > FORMAT {
            return Ok(Err(GarageError::Newer { path: told.to_owned(), found, known: FORMAT }));
        }
        let photo = |file: &str| {
            let sql = "SELECT bytes FROM kept_file WHERE name = ?1";
            let name = format!("{PHOTOS}/{file}");
            let bytes = connection.query_row(sql, [name], |row| row.get::<_, Vec<u8>>(0)).optional();
            PhotoFile::of(bytes.ok().flatten().as_deref())
        };
        let mut view = look_at(&connection, &place, &photo)?;
        // Where the vehicle files stand is this machine's affair, not the backup's.
        view.remarks.clear();
        match sum_comes_out(&connection)? {
            Some(true) => {}
            Some(false) => {
                view.good = false;
                view.findings.push(changed());
            }
            None => view.remarks.push(without_sum()),
        }
        Ok(Ok(view))
    };
    match look() {
        Ok(result) => result,
        Err(why) => Ok(damaged(place, &why.to_string())),
    }
}

/// Whether a file says of itself that it is a backup: the mark stands at byte 68 of an SQLite database,
/// the most significant byte first (SQLite's file format, section 1.3).
fn is_backup(file: &Path) -> bool {
    use std::io::Read as _;
    let mut header = [0u8; 72];
    let read = File::open(file).and_then(|mut file| file.read_exact(&mut header));
    read.is_ok()
        && header.starts_with(b"SQLite format 3\0")
        && i64::from(u32::from_be_bytes([header[68], header[69], header[70], header[71]])) == BACKUP_ID
}

/// The files of a garage's folder that a backup takes along, by name: photos, vehicle files, toolboxes,
/// the forecast file. No links: they may lead anywhere.
fn kept_files(folder: &Path) -> std::io::Result<Vec<(String, PathBuf)>> {
    let mut files = Vec::new();
    let photos = folder.join(PHOTOS);
    for (within, prefix) in [(folder, ""), (photos.as_path(), "photos/")] {
        let entries = match std::fs::read_dir(within) {
            Err(why) if why.kind() == ErrorKind::NotFound => continue,
            entries => entries?,
        };
        for entry in entries {
            let entry = entry?;
            let meta = entry.metadata()?;
            let Some(name) = entry.file_name().to_str().map(str::to_owned) else { continue };
            let is_wanted = if prefix.is_empty() { is_kept(&name, meta.len()) } else { is_name(&name) };
            if meta.is_file() && is_wanted {
                files.push((format!("{prefix}{name}"), entry.path()));
            }
        }
    }
    files.sort();
    Ok(files)
}

/// A name beside a file's own that nobody else takes.
fn beside(file: &Path, id: &str) -> PathBuf {
    let mut name = file.file_name().unwrap_or_default().to_owned();
    name.push(format!(".{}.new", id.get(..8).unwrap_or(id)));
    file.with_file_name(name)
}

/// A name in a folder is durable only when the folder is.
fn sync_folder_of(path: &Path) -> std::io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}
