//! A file held while it is changed, so that two who change it at once lose nothing.

use crate::error::GarageError;
use std::fs::{File, TryLockError};
use std::io::{ErrorKind, Write as _};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How often another change is waited for, and how long each time: ten seconds in all.
const TRIES: u32 = 2000;
const WAIT: Duration = Duration::from_millis(5);

/// A file that nobody else changes through this type until it is dropped.
pub(crate) struct HeldFile {
    path: PathBuf,
    /// Holds the lock.
    file: File,
}

impl HeldFile {
    /// Takes hold of a file; waits where another one holds it.
    ///
    /// # Errors
    /// [`GarageError::CannotRead`] where there is none, [`GarageError::CannotWrite`] where another
    /// one holds it for long.
    pub(crate) fn take(path: &Path) -> Result<Self, GarageError> {
        let cannot = |why| GarageError::CannotRead { path: path.to_owned(), why };
        for _ in 0..TRIES {
            let file = File::open(path).map_err(cannot)?;
            match file.try_lock() {
                // Whoever held it before may have put a new file in its place.
                Ok(()) if is_still_there(&file, path) => {
                    return Ok(Self { path: path.to_owned(), file });
                }
                // Some file systems know no locks: there it is as with any editor.
                Err(TryLockError::Error(why)) if why.kind() == ErrorKind::Unsupported => {
                    return Ok(Self { path: path.to_owned(), file });
                }
                Err(TryLockError::Error(why)) => return Err(cannot(why)),
                Ok(()) | Err(TryLockError::WouldBlock) => {}
            }
            std::thread::sleep(WAIT);
        }
        let why = std::io::Error::new(ErrorKind::WouldBlock, "another program is changing it");
        Err(GarageError::CannotWrite { path: path.to_owned(), why })
    }

    /// Replaces it whole or not at all: written beside it, synced, then renamed. Who may read and write it
    /// stays as it was.
    ///
    /// # Errors
    /// [`GarageError::CannotWrite`]; the file is as it was then.
    pub(crate) fn replace(self, text: &str) -> Result<(), GarageError> {
        let mut name = self.path.file_name().unwrap_or_default().to_owned();
        name.push(".new");
        let beside = self.path.with_file_name(name);
        let write = || -> std::io::Result<()> {
            let mut file = File::create(&beside)?;
            file.write_all(text.as_bytes())?;
            file.set_permissions(self.file.metadata()?.permissions())?;
            file.sync_all()?;
            std::fs::rename(&beside, &self.path)
        };
        write().map_err(|why| {
            let _ = std::fs::remove_file(&beside);
            GarageError::CannotWrite { path: self.path.clone(), why }
        })
    }
}

/// Whether the path still names the file that is open.
#[cfg(unix)]
fn is_still_there(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt as _;
    match (file.metadata(), std::fs::metadata(path)) {
        (Ok(held), Ok(named)) => (held.dev(), held.ino()) == (named.dev(), named.ino()),
        _ => false,
    }
}

/// Elsewhere an open file cannot be replaced.
#[cfg(not(unix))]
fn is_still_there(_: &File, _: &Path) -> bool {
    true
}

#[cfg(all(test, unix))]
mod tests {
    use super::HeldFile;
    use std::os::unix::fs::PermissionsExt as _;

    /// A file that the owner shut to others stays shut.
    #[test]
    fn who_may_read_it_stays_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("car.toml");
        for mode in [0o600, 0o664] {
            std::fs::write(&path, "old").unwrap();
            std::fs::set_permissions(&path, std::fs::Permissions::from_mode(mode)).unwrap();
            HeldFile::take(&path).unwrap().replace("new").unwrap();
            assert_eq!(std::fs::read_to_string(&path).unwrap(), "new");
            assert_eq!(std::fs::metadata(&path).unwrap().permissions().mode() & 0o777, mode);
        }
    }
}
