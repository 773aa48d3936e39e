//! Devices that may use the garage over the network.
//!
//! Only hashes of secrets are kept, made by the caller. A device that was shut out stays in the list,
//! so that its name is not forgotten.

use super::{Store, explain};
use crate::error::GarageError;
use rusqlite::{OptionalExtension as _, params};
use serde::Serialize;

pub(super) const SCHEMA: &str = "
    CREATE TABLE device (
        id      TEXT PRIMARY KEY,
        name    TEXT NOT NULL,
        secret  TEXT NOT NULL UNIQUE,
        paired  TEXT NOT NULL,
        shut    TEXT
    ) STRICT;
    CREATE TABLE pairing (
        secret  TEXT PRIMARY KEY,
        until   INTEGER NOT NULL,
        used    TEXT
    ) STRICT;
";

/// A paired device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct DeviceView {
    /// Its id.
    pub id: String,
    /// Its name, as the owner gave it.
    pub name: String,
    /// When it was paired.
    pub paired: String,
    /// When it was shut out.
    pub shut: Option<String>,
}

impl Store {
    /// Keeps the hash of a pairing secret that may be used once, until `until` (seconds since 1970).
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be written.
    pub(crate) fn keep_pairing(&self, secret: &str, until: i64) -> Result<(), GarageError> {
        let sql = "INSERT INTO pairing (secret, until) VALUES (?1, ?2)";
        self.write(|transaction| transaction.execute(sql, params![secret, until]).map(|_| ()))
    }

    /// Uses a pairing secret up and keeps the device: both or neither. `false` where the secret is
    /// not known, too old or used.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be written.
    pub(crate) fn pair(
        &mut self,
        pairing: &str,
        now: i64,
        device: &DeviceView,
        secret: &str,
    ) -> Result<bool, GarageError> {
        self.write(|transaction| {
            let sql = "UPDATE pairing SET used = ?1 WHERE secret = ?2 AND used IS NULL AND until >= ?3";
            if transaction.execute(sql, params![device.paired, pairing, now])? != 1 {
                return Ok(false);
            }
            let sql = "INSERT INTO device (id, name, secret, paired) VALUES (?1, ?2, ?3, ?4)";
            transaction.execute(sql, params![device.id, device.name, secret, device.paired])?;
            Ok(true)
        })
    }

    /// The id of the device with this secret's hash, where it is not shut out.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub(crate) fn device_of(&self, secret: &str) -> Result<Option<String>, GarageError> {
        self.connection
            .query_row("SELECT id FROM device WHERE secret = ?1 AND shut IS NULL", [secret], |row| row.get(0))
            .optional()
            .map_err(|why| explain(&self.path, &why))
    }

    /// All devices, the oldest first.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be read.
    pub(crate) fn devices(&self) -> Result<Vec<DeviceView>, GarageError> {
        let read = || -> rusqlite::Result<Vec<DeviceView>> {
            let mut query =
                self.connection.prepare("SELECT id, name, paired, shut FROM device ORDER BY paired, id")?;
            let device = |row: &rusqlite::Row<'_>| {
                Ok(DeviceView { id: row.get(0)?, name: row.get(1)?, paired: row.get(2)?, shut: row.get(3)? })
            };
            query.query_map([], device)?.collect()
        };
        read().map_err(|why| explain(&self.path, &why))
    }

    /// Shuts a device out. `false` where it was out already.
    ///
    /// # Errors
    /// [`GarageError`] where the database cannot be written.
    pub(crate) fn shut_out(&self, id: &str, at: &str) -> Result<bool, GarageError> {
        let sql = "UPDATE device SET shut = ?1 WHERE id = ?2 AND shut IS NULL";
        self.write(|transaction| transaction.execute(sql, [at, id]).map(|changed| changed == 1))
    }
}
