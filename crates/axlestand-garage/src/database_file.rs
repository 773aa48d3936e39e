//! The file of the ledger's database, before and beside what SQLite does with it.

use crate::error::GarageError;
use std::path::Path;
use std::time::Duration;

/// How often and how long each time to wait for another process that is just making the database: two
/// seconds in all.
const TRIES: u32 = 200;
const WAIT: Duration = Duration::from_millis(10);

/// SQLite's page size where none is asked for. A file of whole pages is not opened to look into it: when
/// a process closes a file, POSIX takes away all locks that it has on it, those of its open databases too.
const USUAL_PAGE: u64 = 4096;

/// Whether the file can be a whole database, told from its size before SQLite touches it.
///
/// A database that another process is just making is empty beside its log for a moment; that is waited
/// for. SQLite takes an empty file for a new database, throws away the log beside it, and fills up a
/// last page that was cut off with noughts. Beside a log, an odd size may come from a process that
/// was killed while it carried the log over, which SQLite repairs.
pub(crate) fn whole(path: &Path, create: bool) -> Result<(), GarageError> {
    let damaged = |why: &str| Err(GarageError::Damaged { path: path.to_owned(), why: why.to_owned() });
    let is_empty = || size(path) == 0 && path.is_file() && (is_logged(path) || !create);
    let mut tries = 0;
    while is_empty() {
        if tries == TRIES {
            return damaged("the file is empty");
        }
        tries += 1;
        std::thread::sleep(WAIT);
    }
    let (length, logged) = (size(path), is_logged(path));
    if length > 0 && length % USUAL_PAGE == 0 {
        // Whether it begins like a database, SQLite tells as well.
        return Ok(());
    }
    match page_size(path) {
        None if length > 0 => damaged("it does not begin like a database"),
        Some(page) if length % page != 0 && !logged => damaged("its end was cut off"),
        _ => Ok(()),
    }
}

/// Whether the file has another size than the database that is being read. With an empty log they are
/// the same, unless another file was put in the place of one that somebody still has open: SQLite goes
/// by the size that those know, and would write over pages of the new one.
pub(crate) fn is_replaced(path: &Path, read: u64) -> bool {
    let length = size(path);
    !is_logged(path) && length != read
}

/// The device and the number of the file that a path names: others once another file is put there.
#[cfg(unix)]
pub(crate) fn identity_of(path: &Path) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt as _;
    std::fs::metadata(path).ok().map(|file| (file.dev(), file.ino()))
}

/// Elsewhere an open file cannot be replaced.
#[cfg(not(unix))]
pub(crate) fn identity_of(_: &Path) -> Option<(u64, u64)> {
    None
}

fn size(path: &Path) -> u64 {
    std::fs::metadata(path).map_or(0, |file| file.len())
}

/// Whether something was logged that the database file does not hold yet.
pub(crate) fn is_logged(path: &Path) -> bool {
    let mut log = path.as_os_str().to_owned();
    log.push("-wal");
    size(Path::new(&log)) > 0
}

/// A path as a file URI for a database that is only read and that nobody changes (RFC 3986: whatever
/// is not unreserved is written by its bytes).
pub(crate) fn as_uri(path: &Path) -> Option<String> {
    use std::fmt::Write as _;
    let whole = std::path::absolute(path).ok()?;
    let mut uri = "file:".to_owned();
    for byte in whole.to_str()?.bytes() {
        match byte {
            b'/' | b'-' | b'.' | b'_' | b'~' => uri.push(char::from(byte)),
            byte if byte.is_ascii_alphanumeric() => uri.push(char::from(byte)),
            byte => write!(uri, "%{byte:02X}").ok()?,
        }
    }
    uri.push_str("?immutable=1");
    Some(uri)
}

/// The page size that a database file states in its header; `None`: it is no database file.
fn page_size(path: &Path) -> Option<u64> {
    use std::io::Read as _;
    let mut header = [0u8; 18];
    std::fs::File::open(path).and_then(|mut file| file.read_exact(&mut header)).ok()?;
    let [high, low] = [u64::from(header[16]), u64::from(header[17])];
    let stated = if (high, low) == (0, 1) { 65_536 } else { high << 8 | low };
    (header.starts_with(b"SQLite format 3\0") && stated.is_power_of_two()).then_some(stated)
}
