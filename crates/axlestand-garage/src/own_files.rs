//! Files in the garage's own folder that a page may name: vehicle files and toolboxes.
//!
//! A page names a file, never a path. A name is made of plain characters, and what it names has to be a
//! file of its own: no link leads out of the folder.

use crate::error::GarageError;
use crate::job::{Garage, read_text};
use crate::vehicle::read_car;
use serde::Serialize;
use std::path::PathBuf;

/// The longest name of a file, in characters.
const LONGEST_NAME: usize = 64;
/// The largest file that is taken for a vehicle file, bytes.
const LARGEST: u64 = 4 * 1024 * 1024;

/// What a file in the garage's folder is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum OwnKind {
    Vehicle,
    Toolbox,
}

/// A vehicle file in the garage's folder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct OwnCarView {
    /// The name of the file.
    pub file: String,
    /// The name of the car; absent where the file has faults.
    pub name: Option<String>,
    /// How many faults it has.
    pub errors: usize,
    /// How many things are to be looked at.
    pub warnings: usize,
}

impl Garage {
    /// The vehicle files in the garage's folder, by name.
    ///
    /// # Errors
    /// [`GarageError::CannotRead`] where the folder cannot be read.
    pub fn own_cars(&self) -> Result<Vec<OwnCarView>, GarageError> {
        let files = self.own_files(OwnKind::Vehicle)?;
        let view = |(file, text): (String, String)| {
            let reading = read_car(&text);
            let errors = reading.errors();
            let warnings = reading.findings.len() - errors;
            OwnCarView { file, name: reading.car.map(|car| car.name), errors, warnings }
        };
        Ok(files.into_iter().map(view).collect())
    }

    /// Where the garage's folder lies, to be told to its owner.
    #[must_use]
    pub fn folder_said(&self) -> String {
        let whole = std::path::absolute(self.folder()).unwrap_or_else(|_| self.folder().to_owned());
        whole.display().to_string()
    }

    /// The toolbox files in the garage's folder, by name.
    ///
    /// # Errors
    /// [`GarageError::CannotRead`] where the folder cannot be read.
    pub fn own_toolboxes(&self) -> Result<Vec<String>, GarageError> {
        Ok(self.own_files(OwnKind::Toolbox)?.into_iter().map(|(file, _)| file).collect())
    }

    /// The path of a file in the garage's folder.
    ///
    /// # Errors
    /// [`GarageError::Selection`] where the name is none or names no file of the folder itself.
    pub fn own_file(&self, name: &str) -> Result<PathBuf, GarageError> {
        let path = self.folder().join(plain_name(name)?);
        // A link is none: it may lead out of the folder.
        let is_file = std::fs::symlink_metadata(&path).is_ok_and(|meta| meta.is_file());
        if is_file {
            Ok(path)
        } else {
            Err(GarageError::Selection(format!("there is no file '{name}' in this garage's folder")))
        }
    }

    /// The path for a file that is to be made in the garage's folder; `.toml` is put behind the name
    /// where it is missing.
    ///
    /// # Errors
    /// [`GarageError::Input`] where the name cannot be one.
    pub fn path_of_new(&self, name: &str) -> Result<(String, PathBuf), GarageError> {
        let name = name.trim();
        let whole = if name.ends_with(".toml") { name.to_owned() } else { format!("{name}.toml") };
        let plain = plain_name(&whole).map_err(|_| {
            GarageError::Input(format!(
                "'{name}' cannot be the name of a file: letters, digits, - and _ only, like my-car"
            ))
        })?;
        let path = self.folder().join(plain);
        Ok((whole, path))
    }

    fn own_files(&self, kind: OwnKind) -> Result<Vec<(String, String)>, GarageError> {
        let cannot = |why| GarageError::CannotRead { path: self.folder().to_owned(), why };
        let mut found = Vec::new();
        for entry in std::fs::read_dir(self.folder()).map_err(cannot)? {
            let entry = entry.map_err(cannot)?;
            let Some(name) = entry.file_name().to_str().map(str::to_owned) else { continue };
            let small = entry.metadata().is_ok_and(|meta| meta.is_file() && meta.len() <= LARGEST);
            if !small || plain_name(&name).is_err() {
                continue;
            }
            // What cannot be read is another's business.
            let Ok(text) = read_text(&entry.path()) else { continue };
            if kind_of(&text) == Some(kind) {
                found.push((name, text));
            }
        }
        found.sort();
        Ok(found)
    }
}

/// Whether a file of the garage's folder is one that a backup takes along, by its name and size.
pub(crate) fn is_kept(name: &str, bytes: u64) -> bool {
    bytes <= LARGEST && plain_name(name).is_ok()
}

/// A name of plain characters that ends with `.toml`.
fn plain_name(name: &str) -> Result<&str, GarageError> {
    let stem = name.strip_suffix(".toml").unwrap_or_default();
    let plain = |sign: char| sign.is_ascii_alphanumeric() || matches!(sign, '-' | '_' | '.');
    let good = !stem.is_empty()
        && !stem.starts_with(['.', '-'])
        && !stem.ends_with('.')
        && name.len() <= LONGEST_NAME
        && stem.chars().all(plain)
        && !stem.contains("..");
    if good {
        Ok(name)
    } else {
        Err(GarageError::Selection(format!("'{name}' is no name of a vehicle file in this garage's folder")))
    }
}

/// What a file is by its tables; a faulty one by the lines that open them.
fn kind_of(text: &str) -> Option<OwnKind> {
    let has = |names: &[&str]| match text.parse::<toml::Table>() {
        Ok(table) => names.iter().any(|name| table.contains_key(*name)),
        Err(_) => text.lines().any(|line| {
            let key = line.trim().trim_start_matches('[').split([']', '=', '.', ' ']).next();
            key.is_some_and(|key| names.contains(&key))
        }),
    };
    if has(&["car", "axle", "fastener"]) {
        Some(OwnKind::Vehicle)
    } else if has(&["tools", "torque-wrench"]) {
        Some(OwnKind::Toolbox)
    } else {
        None
    }
}

#[cfg(test)]
mod what_a_page_may_name {
    use super::{OwnKind, kind_of, plain_name};
    use crate::{CountingClock, Garage};

    #[test]
    fn names_are_plain() {
        for good in ["wagtail.toml", "my-car_2.toml", "a.b.toml"] {
            assert_eq!(plain_name(good).unwrap(), good);
        }
        let long = format!("{}.toml", "x".repeat(80));
        for bad in [
            "",
            ".toml",
            "..toml",
            "../x.toml",
            "a/b.toml",
            "a\\b.toml",
            "x",
            "x.txt",
            ".x.toml",
            "a..toml",
            "a b.toml",
            "ü.toml",
            "x\0.toml",
            "-x.toml",
            "garage.db",
            &long,
        ] {
            assert!(plain_name(bad).is_err(), "{bad:?}");
        }
    }

    #[test]
    fn faulty_files_are_still_told_apart() {
        assert_eq!(kind_of("[car]\nname = \"x"), Some(OwnKind::Vehicle));
        assert_eq!(kind_of("[car]\nname = \"x\""), Some(OwnKind::Vehicle));
        assert_eq!(kind_of("tools = [\"hex 21\""), Some(OwnKind::Toolbox));
        assert_eq!(kind_of("sessions = [\"Sat 9-18\"]"), None);
        assert_eq!(kind_of("not toml at all"), None);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_leads_nowhere() {
        let folder = tempfile::tempdir().unwrap();
        let outside = tempfile::NamedTempFile::with_suffix(".toml").unwrap();
        std::fs::write(outside.path(), "[car]\nname = \"secret\"\n").unwrap();
        let garage = Garage::open_or_create(folder.path(), Box::new(CountingClock::default())).unwrap();
        std::os::unix::fs::symlink(outside.path(), folder.path().join("link.toml")).unwrap();
        std::fs::write(folder.path().join("own.toml"), "[car]\nname = \"own\"\n").unwrap();
        assert!(garage.own_file("link.toml").is_err());
        assert!(garage.own_file("own.toml").is_ok());
        let names: Vec<String> = garage.own_cars().unwrap().into_iter().map(|car| car.file).collect();
        assert_eq!(names, ["own.toml"]);
    }
}
