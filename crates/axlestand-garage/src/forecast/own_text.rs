//! The garage's forecast file as text, to be changed where no editor is at hand.

use super::ask::Ask;
use super::file::{FORECAST_FILE, Stated};
use crate::devices::fingerprint;
use crate::error::GarageError;
use crate::held_file::HeldFile;
use crate::job::{Garage, read_text};
use std::path::PathBuf;

/// The longest file that is taken, bytes.
const LONGEST: usize = 100_000;

/// The file's text, with what tells whether it was changed since.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ForecastText {
    /// The text; of a file to fill in where there is none yet.
    pub text: String,
    /// Of the text; [`Garage::keep_forecast_text`] wants it back.
    pub mark: String,
}

impl Garage {
    /// What the owner states of hours, prices and assumptions. Where there is no file yet, the one to fill
    /// in, in which nothing counts; looking makes no file.
    ///
    /// # Errors
    /// [`GarageError`] where it cannot be read, or no plan exists.
    pub fn forecast_text(&mut self) -> Result<ForecastText, GarageError> {
        let path = self.folder().join(FORECAST_FILE);
        let text = if path.exists() { read_text(&path)? } else { self.new_forecast_text()? };
        Ok(ForecastText { mark: fingerprint(text.as_bytes()), text })
    }

    /// Writes the file anew, whole or not at all; a text that is not understood is not written.
    ///
    /// # Errors
    /// [`GarageError::Input`] where it is not understood, too long, or was changed since `mark` was given.
    pub fn keep_forecast_text(&mut self, text: &str, mark: &str) -> Result<(), GarageError> {
        let text = text.replace("\r\n", "\n");
        if text.len() > LONGEST {
            return Err(GarageError::Input(format!("it is too long: at most {LONGEST} bytes are kept")));
        }
        Stated::of_text(&text).map_err(|why| {
            GarageError::Input(format!("it was not written, since it is not understood: {why}"))
        })?;
        let path = self.own_forecast_file()?;
        let held = HeldFile::take(&path)?;
        if fingerprint(read_text(&path)?.as_bytes()) != mark {
            return Err(GarageError::Input(
                "it was changed meanwhile, elsewhere, and stays as it is there: open it anew and change that"
                    .to_owned(),
            ));
        }
        held.replace(&text)
    }

    /// The garage's forecast file, to be changed: made to fill in where there is none.
    pub(super) fn own_forecast_file(&mut self) -> Result<PathBuf, GarageError> {
        let path = self.folder().join(FORECAST_FILE);
        if !path.exists() {
            match self.write_forecast_file(&Ask::default()) {
                // Somebody else made it a moment ago.
                Err(_) if path.exists() => {}
                made => return made,
            }
        }
        Ok(path)
    }
}
