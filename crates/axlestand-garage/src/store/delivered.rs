//! Deliveries: what devices sent, each kept once, with what became of it.
//!
//! A device may send the same thing again (its answer was lost, it was reloaded): the id tells. What
//! came from a queue and could not be recorded is kept too, until a person has looked at it: nothing
//! that was acknowledged is lost.

use super::{Store, explain};
use crate::error::GarageError;
use rusqlite::{Connection, OptionalExtension as _, params};
use std::collections::BTreeMap;

pub(super) const SCHEMA: &str = "
    CREATE TABLE delivery (
        seq     INTEGER PRIMARY KEY,
        id      TEXT NOT NULL UNIQUE,
        job     TEXT NOT NULL,
        device  TEXT NOT NULL,
        number  INTEGER NOT NULL,
        at      TEXT NOT NULL,
        body    TEXT NOT NULL,
        outcome TEXT NOT NULL CHECK (outcome IN ('recorded', 'agreed', 'refused')),
        answer  TEXT NOT NULL
    ) STRICT;
    CREATE INDEX refused_of_job ON delivery (job, seq) WHERE outcome = 'refused';
    CREATE TABLE looked_at (
        delivery TEXT PRIMARY KEY REFERENCES delivery (id),
        at       TEXT NOT NULL
    ) STRICT;
    CREATE TRIGGER deliveries_stay BEFORE UPDATE ON delivery BEGIN SELECT RAISE(ABORT, 'deliveries are never changed'); END;
    CREATE TRIGGER deliveries_remain BEFORE DELETE ON delivery BEGIN SELECT RAISE(ABORT, 'deliveries are never deleted'); END;
";

/// What became of a delivery.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// It is in the ledger.
    Recorded,
    /// The ledger said the same already.
    Agreed,
    /// It could not be recorded; a person has to look at it.
    Refused,
}

impl Outcome {
    fn word(self) -> &'static str {
        match self {
            Self::Recorded => "recorded",
            Self::Agreed => "agreed",
            Self::Refused => "refused",
        }
    }
}

/// What marks a delivery.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Stamp {
    /// Its id, made on the device.
    pub(crate) id: String,
    /// The device.
    pub(crate) device: String,
    /// The device's own count.
    pub(crate) number: i64,
    /// When it was made, as RFC 3339 text by the garage's clock.
    pub(crate) at: String,
    /// What was asked, as JSON.
    pub(crate) body: String,
}

/// A delivery as it was kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Kept {
    /// What marks it.
    pub(crate) stamp: Stamp,
    /// The job.
    pub(crate) job: String,
    /// What became of it.
    pub(crate) outcome: Outcome,
    /// Ids of the entries: recorded, or said the same already; or why not.
    pub(crate) answer: String,
}

/// Nobody has put it aside, or taken it back.
const STANDS: &str = "id NOT IN (SELECT delivery FROM looked_at)";

const COLUMNS: &str = "SELECT id, device, number, at, body, job, outcome, answer FROM delivery";

fn read(row: &rusqlite::Row<'_>) -> rusqlite::Result<Kept> {
    let outcome: String = row.get(6)?;
    Ok(Kept {
        stamp: Stamp {
            id: row.get(0)?,
            device: row.get(1)?,
            number: row.get(2)?,
            at: row.get(3)?,
            body: row.get(4)?,
        },
        job: row.get(5)?,
        outcome: match outcome.as_str() {
            "recorded" => Outcome::Recorded,
            "agreed" => Outcome::Agreed,
            _ => Outcome::Refused,
        },
        answer: row.get(7)?,
    })
}

pub(super) fn kept(connection: &Connection, id: &str) -> rusqlite::Result<Option<Kept>> {
    connection.query_row(&format!("{COLUMNS} WHERE id = ?1"), [id], read).optional()
}

pub(super) fn insert(
    connection: &Connection,
    job: &str,
    stamp: &Stamp,
    outcome: Outcome,
    answer: &str,
) -> rusqlite::Result<()> {
    let sql = "INSERT INTO delivery (id, job, device, number, at, body, outcome, answer) \
               VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)";
    let Stamp { id, device, number, at, body } = stamp;
    connection.execute(sql, params![id, job, device, number, at, body, outcome.word(), answer]).map(|_| ())
}

/// Deliveries that were left aside since this entry said the same, and about which nobody was asked yet.
pub(super) fn agreed_with(connection: &Connection, job: &str, entry: &str) -> rusqlite::Result<Vec<Kept>> {
    let sql = format!(
        "{COLUMNS} WHERE job = ?1 AND outcome = 'agreed' AND instr(answer, ?2) > 0 AND {STANDS} ORDER BY seq"
    );
    connection.prepare_cached(&sql)?.query_map([job, entry], read)?.collect()
}

impl Store {
    /// The delivery of an id, where it came before.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub(crate) fn delivery(&self, id: &str) -> Result<Option<Kept>, GarageError> {
        kept(&self.connection, id).map_err(|why| explain(&self.path, &why))
    }

    /// Who delivered an entry; `None` where it was recorded at the command line.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub(crate) fn sender_of(&self, job: &str, entry: &str) -> Result<Option<String>, GarageError> {
        let sql =
            "SELECT device FROM delivery WHERE job = ?1 AND outcome = 'recorded' AND instr(answer, ?2) > 0";
        self.connection
            .query_row(sql, [job, entry], |row| row.get(0))
            .optional()
            .map_err(|why| explain(&self.path, &why))
    }

    /// Entries that came from the same queue as `device` (`phone/QUEUE`), whichever way it was delivered,
    /// each with the queue's own count.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub(crate) fn sent_by(&self, job: &str, device: &str) -> Result<BTreeMap<String, i64>, GarageError> {
        let queue = device.split_once('/').map_or("", |(_, queue)| queue);
        let sql = "SELECT number, answer FROM delivery WHERE job = ?1 AND outcome = 'recorded' \
                   AND (device = ?2 OR (?3 <> '' AND substr(device, instr(device, '/') + 1) = ?3))";
        let read_all = || -> rusqlite::Result<Vec<(i64, String)>> {
            let mut query = self.connection.prepare_cached(sql)?;
            query.query_map([job, device, queue], |row| Ok((row.get(0)?, row.get(1)?)))?.collect()
        };
        let all = read_all().map_err(|why| explain(&self.path, &why))?;
        let each = |(number, answer): &(i64, String)| {
            let number = *number;
            answer.split_whitespace().map(move |id| (id.to_owned(), number)).collect::<Vec<_>>()
        };
        Ok(all.iter().flat_map(each).collect())
    }

    /// The last delivery from another device that asked for the same and was recorded.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub(crate) fn same_recorded(&self, job: &str, stamp: &Stamp) -> Result<Option<Kept>, GarageError> {
        let sql = format!(
            "{COLUMNS} WHERE job = ?1 AND body = ?2 AND device <> ?3 AND outcome = 'recorded' ORDER BY seq DESC LIMIT 1"
        );
        self.connection
            .query_row(&sql, [job, stamp.body.as_str(), stamp.device.as_str()], read)
            .optional()
            .map_err(|why| explain(&self.path, &why))
    }

    /// The deliveries of a job that were left aside since entries said the same.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub(crate) fn agreed(&self, job: &str) -> Result<Vec<Kept>, GarageError> {
        let sql = format!(
            "{COLUMNS} WHERE job = ?1 AND outcome = 'agreed' AND answer <> '' AND {STANDS} ORDER BY seq"
        );
        let read_all = || -> rusqlite::Result<Vec<Kept>> {
            self.connection.prepare_cached(&sql)?.query_map([job], read)?.collect()
        };
        read_all().map_err(|why| explain(&self.path, &why))
    }

    /// Keeps a delivery that could not be recorded, with the reasons; the first one stays where it
    /// came before.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be written.
    pub(crate) fn keep_refused(&mut self, job: &str, stamp: &Stamp, answer: &str) -> Result<(), GarageError> {
        self.keep_unrecorded(job, stamp, Outcome::Refused, answer)
    }

    /// Keeps a delivery that says what the ledger said already, by these entries.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be written.
    pub(crate) fn keep_agreed(&mut self, job: &str, stamp: &Stamp, entries: &str) -> Result<(), GarageError> {
        self.keep_unrecorded(job, stamp, Outcome::Agreed, entries)
    }

    fn keep_unrecorded(
        &self,
        job: &str,
        stamp: &Stamp,
        outcome: Outcome,
        answer: &str,
    ) -> Result<(), GarageError> {
        self.write(|transaction| {
            if kept(transaction, &stamp.id)?.is_none() {
                insert(transaction, job, stamp, outcome, answer)?;
            }
            Ok(())
        })
    }

    /// The refused deliveries of a job that nobody has looked at, the oldest first.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub(crate) fn to_look_at(&self, job: &str) -> Result<Vec<Kept>, GarageError> {
        let read_all = || -> rusqlite::Result<Vec<Kept>> {
            let mut query = self.connection.prepare_cached(&format!(
                "{COLUMNS} WHERE job = ?1 AND outcome = 'refused' AND {STANDS} ORDER BY seq"
            ))?;
            query.query_map([job], read)?.collect()
        };
        read_all().map_err(|why| explain(&self.path, &why))
    }

    /// Keeps that a person has looked at a refused delivery.
    ///
    /// # Errors
    /// [`GarageError`] where there is none of that id, or the database cannot be written.
    pub(crate) fn keep_looked_at(&self, id: &str, at: &str) -> Result<(), GarageError> {
        match self.delivery(id)? {
            Some(Kept { outcome: Outcome::Refused, .. }) => {}
            _ => return Err(GarageError::Selection(format!("no delivery '{id}' waits to be looked at"))),
        }
        self.keep_void(id, at)
    }

    /// Keeps that a delivery speaks of nothing any more.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be written.
    pub(crate) fn keep_void(&self, id: &str, at: &str) -> Result<(), GarageError> {
        let sql = "INSERT INTO looked_at (delivery, at) VALUES (?1, ?2) ON CONFLICT DO NOTHING";
        self.write(|transaction| transaction.execute(sql, [id, at]).map(|_| ()))
    }
}
