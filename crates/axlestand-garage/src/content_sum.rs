//! A sum over the content of a database: SHA-256 (FIPS 180-4) of every table's definition and rows in a
//! fixed order. SQLite's own check tells whether pages hang together, not whether a text in them is the one
//! that was written; this tells it, however the pages lie.

use rusqlite::types::ValueRef;
use rusqlite::{Connection, OptionalExtension as _};
use sha2::{Digest as _, Sha256};

/// The table that holds the sum beside the content.
const TABLE: &str = "content_sum";

/// The sum over everything but the sum itself and the tables `without`, as hexadecimal digits.
///
/// # Errors
/// The database's own, where it cannot be read.
pub(crate) fn content_sum(connection: &Connection, without: &[&str]) -> rusqlite::Result<String> {
    let mut sum = Sha256::new();
    let format: i64 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
    add(&mut sum, ValueRef::Integer(format));
    let sql = "SELECT type, name, tbl_name, sql FROM sqlite_schema \
               WHERE name NOT LIKE 'sqlite#_%' ESCAPE '#' ORDER BY type, name";
    let mut query = connection.prepare(sql)?;
    let mut rows = query.query([])?;
    let mut tables = Vec::new();
    while let Some(row) = rows.next()? {
        let (kind, name, of): (String, String, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
        if of == TABLE || without.contains(&of.as_str()) {
            continue;
        }
        for column in 0..4 {
            add(&mut sum, row.get_ref(column)?);
        }
        if kind == "table" {
            tables.push(name);
        }
    }
    for table in tables {
        add_rows(&mut sum, connection, &table)?;
    }
    Ok(sum.finalize().iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Every row of a table, by its first column: a number or a name that no other row has.
fn add_rows(sum: &mut Sha256, connection: &Connection, table: &str) -> rusqlite::Result<()> {
    let sql = format!("SELECT * FROM \"{}\" ORDER BY 1", table.replace('"', "\"\""));
    let mut query = connection.prepare(&sql)?;
    let columns = query.column_count();
    let mut rows = query.query([])?;
    add(sum, ValueRef::Text(table.as_bytes()));
    while let Some(row) = rows.next()? {
        for column in 0..columns {
            add(sum, row.get_ref(column)?);
        }
    }
    Ok(())
}

/// A value with its kind and length before it, so that no two contents are the same bytes.
fn add(sum: &mut Sha256, value: ValueRef<'_>) {
    let number;
    let (kind, bytes): (u8, &[u8]) = match value {
        ValueRef::Null => (b'n', &[]),
        ValueRef::Integer(integer) => {
            number = integer.to_be_bytes();
            (b'i', &number)
        }
        ValueRef::Real(real) => {
            number = real.to_be_bytes();
            (b'r', &number)
        }
        ValueRef::Text(text) => (b't', text),
        ValueRef::Blob(blob) => (b'b', blob),
    };
    sum.update([kind]);
    sum.update((bytes.len() as u64).to_be_bytes());
    sum.update(bytes);
}

/// Writes the sum of the content beside it.
///
/// # Errors
/// The database's own.
pub(crate) fn keep_sum(connection: &Connection) -> rusqlite::Result<()> {
    let sum = content_sum(connection, &[])?;
    connection.execute_batch(&format!("CREATE TABLE {TABLE} (sha256 TEXT NOT NULL) STRICT;"))?;
    connection.execute(&format!("INSERT INTO {TABLE} (sha256) VALUES (?1)"), [sum]).map(drop)
}

/// Whether the content is the one whose sum stands beside it; `None` where there is no sum.
///
/// # Errors
/// The database's own, where it cannot be read.
pub(crate) fn sum_comes_out(connection: &Connection) -> rusqlite::Result<Option<bool>> {
    let has = "SELECT count(*) FROM sqlite_schema WHERE name = ?1";
    if connection.query_row(has, [TABLE], |row| row.get::<_, i64>(0))? == 0 {
        return Ok(None);
    }
    let kept: Option<String> =
        connection.query_row(&format!("SELECT sha256 FROM {TABLE}"), [], |row| row.get(0)).optional()?;
    Ok(Some(kept == Some(content_sum(connection, &[])?)))
}

/// Takes the sum away.
///
/// # Errors
/// The database's own.
pub(crate) fn drop_sum(connection: &Connection) -> rusqlite::Result<()> {
    connection.execute_batch(&format!("DROP TABLE IF EXISTS {TABLE}"))
}
