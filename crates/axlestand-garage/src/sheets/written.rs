//! A sheet on the disk: never over something else, and whole or not at all.

use super::{SheetFile, SheetKind, picture_file};
use crate::error::GarageError;
use crate::job::Job;
use crate::picture::plan_picture;
use axlestand_draw::look::Theme;
use std::fs::{File, OpenOptions};
use std::io::{ErrorKind, Read as _, Write as _};
use std::path::{Path, PathBuf};

/// No sheet is this large: what is larger is somebody else's file.
const LARGEST: u64 = 64 << 20;

impl SheetKind {
    /// What a file of this kind has in it that no other file has: the keyword of a PDF, the comment at the
    /// end of a picture, the maker of a calendar, the head of a table.
    #[must_use]
    pub(super) fn keyword(self) -> String {
        let word = match self {
            Self::Calendar => return "PRODID:-//Axlestand//sheets//".to_owned(),
            Self::Parts => return super::values::HEAD.join(","),
            Self::All => "all",
            Self::Job => "job",
            Self::Open => "open",
            Self::Deferred => "deferred",
            Self::Shopping => "shopping",
            Self::Tools => "tools",
            Self::Labels => "labels",
            Self::Card => "card",
            Self::Road => "road",
            Self::Alignment => "alignment",
            Self::Readings => "readings",
            Self::Owner => "owner",
            Self::Notes => "notes",
            Self::Curves => "curves",
            Self::Forecast => "forecast",
            Self::Torque => "torque",
            Self::Corner => "corner",
            Self::Plan => "plan",
        };
        format!("axlestand sheet {word}")
    }
}

impl SheetFile {
    /// Writes the file: beside its place first, then renamed, so that there is never half of one. What
    /// stands there already is replaced where it is a sheet of the same kind, or with `replace`.
    ///
    /// # Errors
    /// [`GarageError::Occupied`] where something else stands there; [`GarageError::CannotWrite`] where
    /// the folder or the disk does not take it: what stood there is as it was then.
    pub fn write(&self, path: &Path, replace: bool) -> Result<(), GarageError> {
        write(path, &self.bytes, &self.kind.keyword(), replace)
    }
}

/// The plan along time, on paper's ground, as a file of its own.
///
/// # Errors
/// [`GarageError`] where no plan exists.
pub fn plan_file(job: &Job) -> Result<SheetFile, GarageError> {
    Ok(picture_file(SheetKind::Plan, &plan_picture(job)?.svg(Theme::Paper)))
}

/// What a report has in it that no other page has.
pub const REPORT_PAGE: &str = "axlestand report page";

/// Writes a report as a page, in which [`REPORT_PAGE`] stands; on the disk as [`SheetFile::write`] does it.
///
/// # Errors
/// As [`SheetFile::write`].
pub fn write_report_page(path: &Path, page: &str, replace: bool) -> Result<(), GarageError> {
    write(path, page.as_bytes(), REPORT_PAGE, replace)
}

fn write(path: &Path, bytes: &[u8], keyword: &str, replace: bool) -> Result<(), GarageError> {
    let cannot = |why| GarageError::CannotWrite { path: path.to_owned(), why };
    match std::fs::metadata(path) {
        Ok(there) if there.is_dir() => {
            let why = std::io::Error::new(ErrorKind::IsADirectory, "it is a folder");
            return Err(cannot(why));
        }
        // A pipe or a device takes bytes, and is never replaced.
        Ok(there) if !there.is_file() => return std::fs::write(path, bytes).map_err(cannot),
        Ok(there) if !(replace || has_in_it(keyword, path, there.len())) => {
            return Err(GarageError::Occupied(path.to_owned()));
        }
        Ok(_) | Err(_) => {}
    }
    // Through a link to the file itself, so that the link stays one.
    let place = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let beside = beside(&place);
    let write = || -> std::io::Result<()> {
        let mut file = OpenOptions::new().write(true).create_new(true).open(&beside)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        drop(file);
        std::fs::rename(&beside, &place)
    };
    write().map_err(|why| {
        if why.kind() != ErrorKind::AlreadyExists {
            let _ = std::fs::remove_file(&beside);
        }
        cannot(why)
    })
}

/// Whether the keyword stands in the file, which so is of the same kind. What cannot be read is not.
fn has_in_it(keyword: &str, path: &Path, size: u64) -> bool {
    if size > LARGEST {
        return false;
    }
    let mut there = Vec::new();
    let read = File::open(path).and_then(|file| file.take(LARGEST).read_to_end(&mut there));
    read.is_ok() && there.windows(keyword.len()).any(|part| part == keyword.as_bytes())
}

/// A name beside the file that nothing else has: hidden, with the number of this process.
fn beside(path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.{}.new", std::process::id()))
}
