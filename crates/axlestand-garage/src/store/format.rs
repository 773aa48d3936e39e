//! Whose database it is and of which format: made, brought up from an older one, and looked at again
//! before each writing, since a newer program may have been there meanwhile.

use super::{Store, delivered, devices, explain};
use crate::database_file::is_replaced;
use crate::error::GarageError;
use rusqlite::{Transaction, TransactionBehavior};
use std::time::Duration;

/// Marks the file as ours (`PRAGMA application_id`): "AXST".
pub(crate) const APPLICATION_ID: i64 = 0x4158_5354;
/// Marks a backup in the same way: "AXSB".
pub(crate) const BACKUP_ID: i64 = 0x4158_5342;
/// The format of the database: 1 had entries and settings, 2 also deliveries and devices.
pub(crate) const FORMAT: i64 = 2;
/// How long to wait for another writer.
const PATIENCE: Duration = Duration::from_secs(5);

const SCHEMA: &str = "
    CREATE TABLE entry (
        seq  INTEGER PRIMARY KEY,
        id   TEXT NOT NULL UNIQUE,
        job  TEXT NOT NULL,
        at   TEXT NOT NULL,
        body TEXT NOT NULL
    ) STRICT;
    CREATE INDEX entry_of_job ON entry (job, seq);
    CREATE TABLE setting (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
    CREATE TRIGGER entries_stay BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
    CREATE TRIGGER entries_remain BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
";

/// Why a database cannot be used.
pub(super) enum Prepare {
    Sql(rusqlite::Error),
    Other(GarageError),
}

impl From<rusqlite::Error> for Prepare {
    fn from(why: rusqlite::Error) -> Self {
        Self::Sql(why)
    }
}

impl From<GarageError> for Prepare {
    fn from(error: GarageError) -> Self {
        Self::Other(error)
    }
}

impl Store {
    /// Looks whose database it is, and makes it or brings it up where that is needed.
    pub(super) fn prepare(&self) -> Result<(), Prepare> {
        self.connection.busy_timeout(PATIENCE)?;
        let (id, format, tables) = self.marks()?;
        // What has neither mark nor table is a new file.
        let is_new = id == 0 && tables == 0;
        if !is_new {
            self.is_ours(id, format)?;
        }
        self.connection.query_row("PRAGMA journal_mode = WAL", [], |row| row.get::<_, String>(0))?;
        self.connection.execute_batch("PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON;")?;
        if is_new {
            self.create()?;
        } else if format < FORMAT {
            let transaction = self.immediate()?;
            self.bring_up(&transaction)?;
            transaction.commit()?;
        }
        Ok(())
    }

    /// An error where the marks are not those of a garage that this program knows.
    fn is_ours(&self, id: i64, format: i64) -> Result<(), GarageError> {
        let path = self.path.clone();
        match (id, format) {
            (APPLICATION_ID, 1..=FORMAT) => Ok(()),
            (APPLICATION_ID, found) if found > FORMAT => {
                Err(GarageError::Newer { path, found, known: FORMAT })
            }
            (APPLICATION_ID, found) => {
                let why = format!("it states the format {found}, and the first was 1");
                Err(GarageError::Damaged { path, why })
            }
            (BACKUP_ID, _) => Err(GarageError::IsBackup(path)),
            _ => Err(GarageError::Foreign(path)),
        }
    }

    /// Brings an older format up to this one, within a transaction: all of it or nothing. The marks
    /// are read again in it, since another process may have been quicker, also a newer program.
    fn bring_up(&self, transaction: &Transaction<'_>) -> Result<(), Prepare> {
        let (id, format) = (mark(transaction, "application_id")?, mark(transaction, "user_version")?);
        self.is_ours(id, format)?;
        if format < 2 {
            transaction.execute_batch(delivered::SCHEMA)?;
            transaction.execute_batch(devices::SCHEMA)?;
            transaction.pragma_update(None, "user_version", FORMAT)?;
        }
        Ok(())
    }

    /// Begins to write, with the write lock. Since it was opened here, another file may have been put in
    /// its place, which what is written would never reach; or a newer program may have brought it up, and
    /// what this one would write is not what belongs there.
    pub(super) fn begin(&self) -> Result<Transaction<'_>, GarageError> {
        if let Some(why) = &self.only_read {
            return Err(explain(&self.path, why));
        }
        let begun = || -> Result<Transaction<'_>, Prepare> {
            let transaction = self.immediate()?;
            if !self.is_in_its_place() {
                return Err(Prepare::Other(GarageError::Replaced(self.path.clone())));
            }
            self.bring_up(&transaction)?;
            Ok(transaction)
        };
        begun().map_err(|why| match why {
            Prepare::Sql(why) => explain(&self.path, &why),
            Prepare::Other(error) => error,
        })
    }

    /// One thing written in a transaction of its own.
    pub(super) fn write<T>(
        &self,
        write: impl FnOnce(&Transaction<'_>) -> rusqlite::Result<T>,
    ) -> Result<T, GarageError> {
        let transaction = self.begin()?;
        let written = write(&transaction).and_then(|answer| transaction.commit().map(|()| answer));
        written.map_err(|why| explain(&self.path, &why))
    }

    fn immediate(&self) -> rusqlite::Result<Transaction<'_>> {
        Transaction::new_unchecked(&self.connection, TransactionBehavior::Immediate)
    }

    /// Whose database it is, of which format, and how many tables it has: read together, since
    /// another process may be making it.
    pub(super) fn marks(&self) -> Result<(i64, i64, i64), Prepare> {
        let transaction = Transaction::new_unchecked(&self.connection, TransactionBehavior::Deferred)?;
        let tables = transaction.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
        let bytes = mark(&transaction, "page_count")? * mark(&transaction, "page_size")?;
        if u64::try_from(bytes).is_ok_and(|read| is_replaced(&self.path, read)) {
            return Err(Prepare::Other(GarageError::Replaced(self.path.clone())));
        }
        Ok((mark(&transaction, "application_id")?, mark(&transaction, "user_version")?, tables))
    }

    /// Makes the tables; another process may have been quicker.
    fn create(&self) -> Result<(), rusqlite::Error> {
        let transaction = self.immediate()?;
        let tables: i64 =
            transaction.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
        if tables == 0 {
            transaction.execute_batch(SCHEMA)?;
            transaction.execute_batch(delivered::SCHEMA)?;
            transaction.execute_batch(devices::SCHEMA)?;
            transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
            transaction.pragma_update(None, "user_version", FORMAT)?;
        }
        transaction.commit()
    }
}

fn mark(transaction: &Transaction<'_>, name: &str) -> rusqlite::Result<i64> {
    transaction.pragma_query_value(None, name, |row| row.get(0))
}

#[cfg(test)]
mod two_versions {
    //! A newer program brings the database up while this one has it open.

    use super::Store;
    use crate::error::GarageError;
    use crate::store::{Beside, DeviceView, Stamp};
    use axlestand_ledger::{Entry, Event};
    use rusqlite::Connection;

    fn note(store: &mut Store, id: &str) -> Result<(), GarageError> {
        let event = Event::Note { item: None, text: "a word".to_owned() };
        let entry = Entry { id: id.to_owned(), at: String::new(), event };
        store.append("job", Beside::default(), |_| Ok((vec![entry], ())))
    }

    /// Everything that writes, tried in turn.
    fn write_everything(store: &mut Store) -> Vec<(&'static str, Result<(), GarageError>)> {
        let stamp = Stamp {
            id: "d".to_owned(),
            device: "phone".to_owned(),
            number: 1,
            at: String::new(),
            body: "{}".to_owned(),
        };
        let device = DeviceView {
            id: "phone".to_owned(),
            name: "phone".to_owned(),
            paired: "now".to_owned(),
            shut: None,
        };
        vec![
            ("append", note(store, "b")),
            ("keep_setting", store.keep_setting("key", "value")),
            ("keep_first_setting", store.keep_first_setting("first", "value").map(drop)),
            ("keep_refused", store.keep_refused("job", &stamp, "no")),
            ("keep_agreed", store.keep_agreed("job", &stamp, "")),
            ("keep_looked_at", store.keep_looked_at("refused", "now")),
            ("keep_pairing", store.keep_pairing("secret", 9)),
            ("pair", store.pair("paired", 1, &device, "hash").map(drop)),
            ("shut_out", store.shut_out("phone", "now").map(drop)),
        ]
    }

    fn dump(connection: &Connection) -> Vec<i64> {
        ["entry", "setting", "delivery", "looked_at", "device", "pairing"]
            .map(|table| format!("SELECT count(*) FROM {table}"))
            .iter()
            .map(|sql| connection.query_row(sql, [], |row| row.get(0)).unwrap())
            .collect()
    }

    #[test]
    fn what_an_older_program_had_open_is_not_written_any_more_and_loses_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let mut store = Store::open(folder.path(), true).unwrap();
        note(&mut store, "a").unwrap();
        let sql = "INSERT INTO delivery VALUES (1, 'refused', 'job', 'phone', 1, '', '{}', 'refused', 'no')";
        store.connection.execute(sql, []).unwrap();
        let newer = Connection::open(Store::path_in(folder.path())).unwrap();
        let up = "BEGIN IMMEDIATE; ALTER TABLE entry ADD COLUMN origin TEXT; PRAGMA user_version = 3; COMMIT";
        newer.execute_batch(up).unwrap();
        let before = dump(&newer);
        for (what, written) in write_everything(&mut store) {
            let why = written.expect_err(what);
            assert!(matches!(why, GarageError::Newer { found: 3, known: 2, .. }), "{what}: {why}");
        }
        assert_eq!(dump(&newer), before);
        // No lock is left behind, and what was recorded before can still be read.
        newer.execute("INSERT INTO setting VALUES ('of', 'the newer one')", []).unwrap();
        assert_eq!(store.entries("job").unwrap().len(), 1);
        // Under a garage of its own format the same is written.
        newer.pragma_update(None, "user_version", 2).unwrap();
        for (what, written) in write_everything(&mut store) {
            assert!(written.is_ok(), "{what}: {written:?}");
        }
        assert_eq!(store.entries("job").unwrap().len(), 2);
    }

    #[test]
    fn a_newer_program_that_is_quicker_at_bringing_up_format_1_is_seen() {
        let folder = tempfile::tempdir().unwrap();
        drop(Store::open(folder.path(), true).unwrap());
        let connection = Connection::open(Store::path_in(folder.path())).unwrap();
        let store = Store { connection, path: Store::path_in(folder.path()), file: None, only_read: None };
        // What was seen as format 1 a moment ago is format 3 by the time of the transaction.
        store.connection.pragma_update(None, "user_version", 3).unwrap();
        let transaction = store.immediate().unwrap();
        let why = store.bring_up(&transaction);
        assert!(matches!(why, Err(super::Prepare::Other(GarageError::Newer { found: 3, .. }))));
    }

    #[test]
    fn a_foreign_database_that_takes_its_place_is_not_written() {
        let folder = tempfile::tempdir().unwrap();
        let mut store = Store::open(folder.path(), true).unwrap();
        for (id, is_right) in [
            (0, (|why| matches!(why, GarageError::Foreign(_))) as fn(&GarageError) -> bool),
            (super::BACKUP_ID, |why| matches!(why, GarageError::IsBackup(_))),
        ] {
            store.connection.pragma_update(None, "application_id", id).unwrap();
            let why = note(&mut store, "a").unwrap_err();
            assert!(is_right(&why), "{why}");
        }
    }
}
