//! The ledger on disk: one SQLite database in the garage's folder.
//!
//! Appending is durable before it returns (write-ahead log, `synchronous = FULL`); entries are
//! never changed or deleted (triggers refuse it); an entry's id is unique, so a repeated delivery
//! changes nothing. Several processes may read and write: a writer takes the write lock before it
//! reads what it decides upon.

mod delivered;
mod devices;
mod format;
pub(crate) mod soundness;

pub(crate) use delivered::{Kept, Outcome, Stamp};
pub use devices::DeviceView;
pub(crate) use format::{APPLICATION_ID, BACKUP_ID, FORMAT};

use crate::database_file::{as_uri, identity_of, is_logged, whole};
use crate::error::GarageError;
use axlestand_ledger::{Entry, Event, wire};
use format::Prepare;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags, params};
use std::path::{Path, PathBuf};

/// What is written in the same transaction as the entries.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Beside<'a> {
    /// A setting of the garage.
    pub(crate) setting: Option<(&'a str, &'a str)>,
    /// The delivery that the entries come from.
    pub(crate) delivery: Option<&'a Stamp>,
    /// What a delivery that was left aside becomes when the entry that said the same is taken back.
    pub(crate) left_aside: Option<LeftAside>,
}

/// Makes a question of what marks a delivery: what marks that, and the question.
pub(crate) type LeftAside = fn(&Stamp) -> (Stamp, String);

/// The open database of a garage.
#[derive(Debug)]
pub struct Store {
    connection: Connection,
    path: PathBuf,
    /// Which file it was when it was opened.
    file: Option<(u64, u64)>,
    /// Why it can only be read.
    only_read: Option<rusqlite::Error>,
}

impl Store {
    /// The database file of a garage's folder.
    #[must_use]
    pub fn path_in(folder: &Path) -> PathBuf {
        folder.join("garage.db")
    }

    /// Opens the database of a folder; makes folder and database where `create` is set.
    ///
    /// # Errors
    /// [`GarageError`] where there is none, or it is damaged, foreign, newer or cannot be written.
    pub fn open(folder: &Path, create: bool) -> Result<Self, GarageError> {
        let path = Self::path_in(folder);
        if path.exists() {
            whole(&path, create)?;
        } else {
            if !create {
                return Err(GarageError::NoGarage(folder.to_owned()));
            }
            std::fs::create_dir_all(folder)
                .map_err(|why| GarageError::CannotWrite { path: folder.to_owned(), why })?;
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_CREATE
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(&path, flags).map_err(|why| explain(&path, &why))?;
        let file = identity_of(&path);
        let store = Self { connection, path, file, only_read: None };
        match store.prepare() {
            Ok(()) => Ok(store),
            Err(Prepare::Other(error)) => Err(error),
            Err(Prepare::Sql(why)) if is_corrupt(&why) && store.is_sound_alone() => {
                Err(GarageError::Replaced(store.path.clone()))
            }
            Err(Prepare::Sql(why)) if create => Err(explain(&store.path, &why)),
            Err(Prepare::Sql(why)) => store.reopened_to_read(why),
        }
    }

    /// The same database, to be read alone: on a full disk, or where the owner may not write. Even
    /// reading takes a small file beside the database otherwise.
    fn reopened_to_read(self, why: rusqlite::Error) -> Result<Self, GarageError> {
        let told = explain(&self.path, &why);
        let code = why.sqlite_error_code();
        let may_be_read = matches!(
            code,
            Some(
                ErrorCode::SystemIoFailure
                    | ErrorCode::DiskFull
                    | ErrorCode::CannotOpen
                    | ErrorCode::ReadOnly
                    | ErrorCode::PermissionDenied
            )
        );
        let alone = if may_be_read { self.alone() } else { None };
        let Some(connection) = alone else { return Err(told) };
        let store = Self { connection, path: self.path.clone(), file: self.file, only_read: Some(why) };
        match store.marks() {
            // What format 1 lacks is asked for only where something is to be written.
            Ok((APPLICATION_ID, 1..=FORMAT, _)) => Ok(store),
            _ => Err(told),
        }
    }

    /// The file by itself, to be read: what other processes know of it does not count. It must hold
    /// everything; `None` where something is still in the log.
    fn alone(&self) -> Option<Connection> {
        let name = as_uri(&self.path).filter(|_| !is_logged(&self.path))?;
        let flags =
            OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        Connection::open_with_flags(name, flags).ok()
    }

    /// Whether the file can be read by itself. Where it cannot be beside other processes, it is not damaged:
    /// they have the file open that stood in its place.
    fn is_sound_alone(&self) -> bool {
        let read = |alone: Connection| {
            alone.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get::<_, i64>(0))
        };
        self.alone().is_some_and(|alone| read(alone).is_ok())
    }

    /// Whether the path still names the file that is open.
    pub(crate) fn is_in_its_place(&self) -> bool {
        identity_of(&self.path) == self.file
    }

    /// Every entry of a job, in their order.
    ///
    /// # Errors
    /// [`GarageError`] where the database or an entry cannot be read.
    pub fn entries(&self, job: &str) -> Result<Vec<Entry>, GarageError> {
        entries(&self.connection, &self.path, job)
    }

    /// The names of all jobs, the oldest first.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub fn jobs(&self) -> Result<Vec<String>, GarageError> {
        let read = || -> rusqlite::Result<Vec<String>> {
            let mut query =
                self.connection.prepare("SELECT job FROM entry GROUP BY job ORDER BY min(seq)")?;
            query.query_map([], |row| row.get(0))?.collect()
        };
        read().map_err(|why| explain(&self.path, &why))
    }

    /// When a job began: the time of its first entry.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub(crate) fn began(&self, job: &str) -> Result<Option<String>, GarageError> {
        use rusqlite::OptionalExtension as _;
        let sql = "SELECT at FROM entry WHERE job = ?1 ORDER BY seq LIMIT 1";
        let read = || self.connection.query_row(sql, [job], |row| row.get(0)).optional();
        read().map_err(|why| explain(&self.path, &why))
    }

    /// A setting of the garage.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub fn setting(&self, key: &str) -> Result<Option<String>, GarageError> {
        use rusqlite::OptionalExtension as _;
        self.connection
            .query_row("SELECT value FROM setting WHERE key = ?1", [key], |row| row.get(0))
            .optional()
            .map_err(|why| explain(&self.path, &why))
    }

    /// Keeps a setting of the garage.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be written.
    pub fn keep_setting(&self, key: &str, value: &str) -> Result<(), GarageError> {
        self.write(|transaction| keep(transaction, key, value))
    }

    /// Keeps a setting where there is none yet; gives the one that counts, whoever was quicker.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be written.
    pub(crate) fn keep_first_setting(&self, key: &str, value: &str) -> Result<String, GarageError> {
        let sql = "INSERT INTO setting (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO NOTHING";
        self.write(|transaction| transaction.execute(sql, [key, value]))?;
        Ok(self.setting(key)?.unwrap_or_else(|| value.to_owned()))
    }

    /// A number that grows with everything that is recorded, by whichever process: the same number
    /// means that nothing happened.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub(crate) fn position(&self) -> Result<i64, GarageError> {
        let sql = "SELECT coalesce((SELECT max(seq) FROM entry), 0) \
                   + coalesce((SELECT max(seq) FROM delivery), 0) + (SELECT count(*) FROM looked_at)";
        let read = || self.connection.prepare_cached(sql)?.query_row([], |row| row.get(0));
        read().map_err(|why| explain(&self.path, &why))
    }

    /// Reads a job, lets `decide` say what to append, and appends it, with a setting and a delivery's
    /// stamp where they are given: all in one transaction that holds the write lock, so that two processes never decide
    /// upon the same state. When this returns, the entries are durable.
    ///
    /// # Errors
    /// What `decide` refuses, [`GarageError::Delivered`] where the delivery came before, and other
    /// [`GarageError`]s where the database cannot be written; nothing is appended then.
    pub(crate) fn append<T>(
        &mut self,
        job: &str,
        beside: Beside<'_>,
        decide: impl FnOnce(Vec<Entry>) -> Result<(Vec<Entry>, T), GarageError>,
    ) -> Result<T, GarageError> {
        let sql = |why: rusqlite::Error| explain(&self.path, &why);
        let transaction = self.begin()?;
        if let Some(stamp) = beside.delivery
            && delivered::kept(&transaction, &stamp.id).map_err(sql)?.is_some()
        {
            return Err(GarageError::Delivered);
        }
        let known = entries(&transaction, &self.path, job)?;
        let (new, answer) = decide(known)?;
        for entry in &new {
            let body = wire::to_json(&entry.event)?;
            transaction
                .execute(
                    "INSERT INTO entry (id, job, at, body) VALUES (?1, ?2, ?3, ?4)",
                    params![entry.id, job, entry.at, body],
                )
                .map_err(sql)?;
        }
        let taken_back = new.iter().filter_map(|entry| match &entry.event {
            Event::Withdrawn { entry, .. } => Some(entry),
            _ => None,
        });
        for (entry, left_aside) in taken_back.filter_map(|entry| beside.left_aside.map(|then| (entry, then)))
        {
            for kept in delivered::agreed_with(&transaction, job, entry).map_err(sql)? {
                let (stamp, question) = left_aside(&kept.stamp);
                // Two entries may have said what one delivery says.
                if delivered::kept(&transaction, &stamp.id).map_err(sql)?.is_none() {
                    delivered::insert(&transaction, job, &stamp, Outcome::Refused, &question).map_err(sql)?;
                }
            }
        }
        if let Some((key, value)) = beside.setting {
            keep(&transaction, key, value).map_err(sql)?;
        }
        if let Some(stamp) = beside.delivery {
            let ids: Vec<&str> = new.iter().map(|entry| entry.id.as_str()).collect();
            delivered::insert(&transaction, job, stamp, Outcome::Recorded, &ids.join(" ")).map_err(sql)?;
        }
        transaction.commit().map_err(sql)?;
        Ok(answer)
    }
}

fn keep(connection: &Connection, key: &str, value: &str) -> rusqlite::Result<()> {
    let sql = "INSERT INTO setting (key, value) VALUES (?1, ?2) \
               ON CONFLICT (key) DO UPDATE SET value = excluded.value";
    connection.execute(sql, [key, value]).map(|_| ())
}

fn entries(connection: &Connection, path: &Path, job: &str) -> Result<Vec<Entry>, GarageError> {
    let read = || -> rusqlite::Result<Vec<(i64, String, String, String)>> {
        let mut query =
            connection.prepare_cached("SELECT seq, id, at, body FROM entry WHERE job = ?1 ORDER BY seq")?;
        query.query_map([job], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?)))?.collect()
    };
    let rows = read().map_err(|why| explain(path, &why))?;
    rows.into_iter()
        .map(|(seq, id, at, body)| {
            let event: Event = wire::from_json(&body).map_err(|why| GarageError::Entry { seq, why })?;
            Ok(Entry { id, at, event })
        })
        .collect()
}

/// What an error of the database means to the owner.
fn explain(path: &Path, why: &rusqlite::Error) -> GarageError {
    match why.sqlite_error_code() {
        Some(ErrorCode::DiskFull) => GarageError::DiskFull,
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => GarageError::Busy,
        Some(ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt) => {
            GarageError::Damaged { path: path.to_owned(), why: why.to_string() }
        }
        Some(ErrorCode::SystemIoFailure) => GarageError::Store(format!("{why} (is the disk full or gone?)")),
        Some(ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => {
            GarageError::Store(format!("{} may not be written ({why})", path.display()))
        }
        _ => GarageError::Store(why.to_string()),
    }
}

fn is_corrupt(why: &rusqlite::Error) -> bool {
    why.sqlite_error_code() == Some(ErrorCode::DatabaseCorrupt)
}

/// The last one to close a database carries the log beside it over into the file that it has open. Where
/// another file was put in its place, the log is that one's, and stays beside it.
impl Drop for Store {
    fn drop(&mut self) {
        if !self.is_in_its_place() {
            // Where that cannot be had, the log is carried over as ever.
            let _ = self.connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true);
        }
    }
}

#[cfg(test)]
mod full_disk {
    //! A full disk, made by a limit on the pages of the database.

    use super::{Beside, Store};
    use crate::error::GarageError;
    use axlestand_ledger::{Entry, Event};

    fn note(number: usize) -> Entry {
        let event = Event::Note { item: None, text: "x".repeat(1500) };
        Entry { id: format!("{number:032x}"), at: String::new(), event }
    }

    fn put(store: &mut Store, number: usize) -> Result<(), GarageError> {
        let last = number.to_string();
        let beside = Beside { setting: Some(("last", &last)), ..Beside::default() };
        store.append("job", beside, |_| Ok((vec![note(number)], ())))
    }

    #[test]
    fn nothing_is_half_recorded_and_after_making_room_the_same_entry_goes_in() {
        let folder = tempfile::tempdir().unwrap();
        let mut store = Store::open(folder.path(), true).unwrap();
        let limit = |store: &Store, pages: u32| {
            store.connection.pragma_update_and_check(None, "max_page_count", pages, |_| Ok(())).unwrap();
        };
        limit(&store, 24);
        let full = (0..200).find(|number| {
            let Err(why) = put(&mut store, *number) else { return false };
            assert!(matches!(why, GarageError::DiskFull), "{why}");
            assert_eq!(why.to_string(), "the disk is full: nothing was recorded");
            assert!(why.hint().is_some_and(|hint| hint.starts_with("make room")));
            true
        });
        let full = full.expect("a limit of 24 pages is reached");
        assert!(full > 5, "some entries went in before: {full}");
        assert_eq!(store.entries("job").unwrap().len(), full);
        assert_eq!(store.setting("last").unwrap(), Some((full - 1).to_string()));
        // Seen by another process as well.
        assert_eq!(Store::open(folder.path(), false).unwrap().entries("job").unwrap().len(), full);

        limit(&store, 1000);
        put(&mut store, full).unwrap();
        assert_eq!(store.entries("job").unwrap().len(), full + 1);
        let sound: String =
            store.connection.query_row("PRAGMA integrity_check", [], |row| row.get(0)).unwrap();
        assert_eq!(sound, "ok");
    }
}

/// Elsewhere an open file cannot be replaced.
#[cfg(all(test, unix))]
mod replaced {
    use super::Store;
    use crate::error::GarageError;

    /// A copy of the same size, as a restored one may be, that another program puts in its place.
    #[test]
    fn where_another_file_was_put_in_its_place_each_write_is_refused_and_nothing_is_written_over_it() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(folder.path(), true).unwrap();
        store.keep_setting("before", "yes").unwrap();
        store.connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(())).unwrap();
        let other = folder.path().join("other.db");
        std::fs::copy(&store.path, &other).unwrap();
        let before = std::fs::read(&other).unwrap();
        std::fs::rename(&other, &store.path).unwrap();
        for _ in 0..2 {
            let why = store.keep_setting("after", "no").unwrap_err();
            assert!(matches!(why, GarageError::Replaced(_)), "{why}");
            assert!(std::fs::read(&store.path).unwrap() == before);
        }
        assert_eq!(store.setting("before").unwrap().as_deref(), Some("yes"), "reading goes on");
        let path = store.path.clone();
        drop(store);
        assert!(std::fs::read(&path).unwrap() == before);
        Store::open(folder.path(), false).unwrap().keep_setting("after", "yes").unwrap();
    }
}
