//! What the database itself can tell about its soundness. Nothing is changed.

use super::{Store, explain};
use crate::error::GarageError;
use rusqlite::{Connection, Transaction};
use std::time::Duration;

/// The most lines that are taken from SQLite's own check.
const MOST_LINES: u32 = 20;
/// What refuses that entries and deliveries are changed or deleted.
const GUARDS: [&str; 4] = ["entries_stay", "entries_remain", "deliveries_stay", "deliveries_remain"];

/// An entry as it is stored, understood or not.
#[derive(Debug)]
pub(crate) struct RawEntry {
    pub(crate) seq: i64,
    pub(crate) id: String,
    pub(crate) at: String,
    pub(crate) body: String,
}

/// What SQLite finds wrong with the file and its references; empty where it is sound.
pub(crate) fn faults_of_file(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut query = connection.prepare(&format!("PRAGMA integrity_check({MOST_LINES})"))?;
    let mut lines: Vec<String> = query.query_map([], |row| row.get(0))?.collect::<rusqlite::Result<_>>()?;
    lines.retain(|line| line != "ok");
    let mut query = connection.prepare("SELECT \"table\", rowid FROM pragma_foreign_key_check LIMIT 20")?;
    let astray = query.query_map([], |row| {
        let (table, row): (String, Option<i64>) = (row.get(0)?, row.get(1)?);
        Ok(format!("row {} of {table} refers to nothing", row.unwrap_or_default()))
    })?;
    lines.extend(astray.collect::<rusqlite::Result<Vec<_>>>()?);
    Ok(lines)
}

/// The guards against changing entries that are not there.
pub(crate) fn lacking_guards(connection: &Connection) -> rusqlite::Result<Vec<&'static str>> {
    let mut lacking = Vec::new();
    for guard in GUARDS {
        let table = if guard.starts_with("deliveries") { "delivery" } else { "entry" };
        let known = has(connection, "table", table)?;
        if known && !has(connection, "trigger", guard)? {
            lacking.push(guard);
        }
    }
    Ok(lacking)
}

fn has(connection: &Connection, kind: &str, name: &str) -> rusqlite::Result<bool> {
    let sql = "SELECT count(*) FROM sqlite_schema WHERE type = ?1 AND name = ?2";
    connection.query_row(sql, [kind, name], |row| row.get::<_, i64>(0)).map(|count| count > 0)
}

/// How many entries there are, and of deliveries; an older format has none of these.
pub(crate) fn counts(connection: &Connection) -> rusqlite::Result<(usize, usize)> {
    let count = |sql: &str| connection.query_row(sql, [], |row| row.get::<_, i64>(0));
    let entries = count("SELECT count(*) FROM entry")?;
    let deliveries =
        if has(connection, "table", "delivery")? { count("SELECT count(*) FROM delivery")? } else { 0 };
    // Counts are never negative.
    Ok((usize::try_from(entries).unwrap_or_default(), usize::try_from(deliveries).unwrap_or_default()))
}

/// Numbers that are missing between 1 and the last one, as first and last of each hole. Entries are
/// numbered as they are written and never deleted, so there is none in a sound ledger.
pub(crate) fn holes(connection: &Connection) -> rusqlite::Result<Vec<(&'static str, i64, i64)>> {
    let mut holes = Vec::new();
    let tables = [("entry", "entries"), ("delivery", "deliveries")];
    for (table, name) in tables {
        if !has(connection, "table", table)? {
            continue;
        }
        let sql = format!(
            "SELECT before + 1, seq - 1 FROM \
             (SELECT seq, lag(seq, 1, 0) OVER (ORDER BY seq) AS before FROM {table}) WHERE seq > before + 1"
        );
        let mut query = connection.prepare(&sql)?;
        let found = query.query_map([], |row| Ok((name, row.get(0)?, row.get(1)?)))?;
        holes.extend(found.collect::<rusqlite::Result<Vec<_>>>()?);
    }
    Ok(holes)
}

/// Deliveries that were acknowledged as recorded and whose entries are not in the ledger: the delivery
/// and the entry that is lacking.
pub(crate) fn unkept_deliveries(connection: &Connection) -> rusqlite::Result<Vec<(String, String)>> {
    if !has(connection, "table", "delivery")? {
        return Ok(Vec::new());
    }
    let mut lacking = Vec::new();
    let mut known = connection.prepare("SELECT count(*) FROM entry WHERE id = ?1 AND job = ?2")?;
    let mut query =
        connection.prepare("SELECT id, job, answer FROM delivery WHERE outcome = 'recorded' ORDER BY seq")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let (id, job, answer): (String, String, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
        for entry in answer.split_whitespace() {
            let count: i64 = known.query_row([entry, job.as_str()], |row| row.get(0))?;
            if count != 1 {
                lacking.push((id.clone(), entry.to_owned()));
            }
        }
    }
    Ok(lacking)
}

/// The names of all jobs, the oldest first.
pub(crate) fn jobs(connection: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut query = connection.prepare("SELECT job FROM entry GROUP BY job ORDER BY min(seq)")?;
    query.query_map([], |row| row.get(0))?.collect()
}

/// The entries of a job as they are stored.
pub(crate) fn raw_entries(connection: &Connection, job: &str) -> rusqlite::Result<Vec<RawEntry>> {
    let mut query =
        connection.prepare_cached("SELECT seq, id, at, body FROM entry WHERE job = ?1 ORDER BY seq")?;
    let entry = |row: &rusqlite::Row<'_>| {
        Ok(RawEntry { seq: row.get(0)?, id: row.get(1)?, at: row.get(2)?, body: row.get(3)? })
    };
    query.query_map([job], entry)?.collect()
}

impl Store {
    /// Lets `look` read one state of the database, whatever others write meanwhile.
    ///
    /// # Errors
    /// What `look` gives, as the owner is told it.
    pub(crate) fn look<T>(
        &self,
        look: impl FnOnce(&Transaction<'_>) -> rusqlite::Result<T>,
    ) -> Result<T, GarageError> {
        let read = || look(&self.connection.unchecked_transaction()?);
        read().map_err(|why| explain(&self.path, &why))
    }

    /// Carries what is logged over into the database file and empties the log, unless somebody reads
    /// or writes just now.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be written.
    pub(crate) fn carry_over(&self) -> Result<(), GarageError> {
        let carry = || {
            self.connection.busy_timeout(Duration::ZERO)?;
            self.connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))
        };
        carry().map_err(|why| explain(&self.path, &why))
    }

    /// Writes the database as it stands now into a new file of its own, whatever others write meanwhile.
    ///
    /// # Errors
    /// The database's own, so that the caller says which of the two files is meant.
    pub(crate) fn copy_into(&self, file: &str) -> rusqlite::Result<()> {
        self.connection.execute("VACUUM INTO ?1", [file]).map(|_| ())
    }
}
