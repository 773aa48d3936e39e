//! Where answers go: text for people, JSON for programs.

use crate::text::lead::led;
use axlestand_garage::{GarageError, Refusal};
use serde::Serialize;
use serde_json::json;
use std::io::Write;

/// What keeps a command from answering.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Failure {
    /// The garage says no or cannot.
    #[error(transparent)]
    Garage(#[from] GarageError),
    /// The answer cannot be written.
    #[error("the answer cannot be written: {0}")]
    Pipe(#[from] std::io::Error),
    /// The garage app cannot be served.
    #[error(transparent)]
    Serve(#[from] axlestand_web::ServeError),
    /// The command line is not complete.
    #[error("{0}")]
    Usage(String),
}

impl Failure {
    /// What to do about it, where the text does not say it already.
    pub(crate) fn hint(&self) -> Option<String> {
        Some(match self {
            Self::Garage(error) => led(error.hint()?, error.lead().as_ref()),
            Self::Serve(_) => return None,
            Self::Pipe(_) => "what was recorded stays recorded: 'axlestand log' shows it".to_owned(),
            Self::Usage(_) => {
                "'axlestand --help', or --help behind the command, shows what there is".to_owned()
            }
        })
    }

    /// Whether it is a "no" rather than an error: the tool works, the answer is no.
    pub(crate) fn is_a_no(&self) -> bool {
        matches!(
            self,
            Self::Garage(
                GarageError::Refused(_)
                    | GarageError::Stays(_)
                    | GarageError::Kept(_)
                    | GarageError::ReadSince(_)
                    | GarageError::FaultyCar { .. },
            )
        )
    }
}

/// The answer of a command.
pub(crate) struct Output<'a> {
    writer: &'a mut dyn Write,
    json: bool,
    colour: bool,
}

impl<'a> Output<'a> {
    /// Answers go to `writer`, as JSON or as text, the text with or without colours.
    pub(crate) fn new(writer: &'a mut dyn Write, json: bool, colour: bool) -> Self {
        Self { writer, json, colour }
    }

    /// Whether answers are JSON.
    pub(crate) fn is_json(&self) -> bool {
        self.json
    }

    /// Whether text may be coloured.
    pub(crate) fn colour(&self) -> bool {
        self.colour
    }

    /// One line of text.
    pub(crate) fn line(&mut self, text: impl AsRef<str>) -> Result<(), Failure> {
        writeln!(self.writer, "{}", text.as_ref())?;
        Ok(())
    }

    /// A heading.
    pub(crate) fn heading(&mut self, text: &str) -> Result<(), Failure> {
        let text = self.strong(text);
        self.line(text)
    }

    /// Text that stands out on a terminal.
    pub(crate) fn strong(&self, text: &str) -> String {
        if self.colour { format!("\u{1b}[1m{text}\u{1b}[0m") } else { text.to_owned() }
    }

    /// Text that recedes on a terminal.
    pub(crate) fn quiet(&self, text: &str) -> String {
        if self.colour { format!("\u{1b}[2m{text}\u{1b}[0m") } else { text.to_owned() }
    }

    /// A view as JSON.
    pub(crate) fn json<T: Serialize>(&mut self, view: &T) -> Result<(), Failure> {
        serde_json::to_writer_pretty(&mut *self.writer, view).map_err(std::io::Error::from)?;
        writeln!(self.writer)?;
        Ok(())
    }

    /// Raw bytes.
    pub(crate) fn raw(&mut self, bytes: &[u8]) -> Result<(), Failure> {
        self.writer.write_all(bytes)?;
        Ok(())
    }

    /// Everything written so far reaches its reader.
    pub(crate) fn flush(&mut self) -> Result<(), Failure> {
        self.writer.flush()?;
        Ok(())
    }

    /// Says what went wrong: as JSON on the same stream, as text on the error stream.
    pub(crate) fn failure(&mut self, failure: &Failure) -> Result<(), Failure> {
        if let Failure::Pipe(_) = failure {
            // The stream for answers does not take any more.
            std::io::stderr().lock().write_all(failure_text(failure).as_bytes())?;
            return Ok(());
        }
        if self.json {
            return self.json(&failure_json(failure));
        }
        self.flush()?;
        std::io::stderr().lock().write_all(failure_text(failure).as_bytes())?;
        Ok(())
    }
}

/// What went wrong, as text that ends with a line break.
pub(crate) fn failure_text(failure: &Failure) -> String {
    let mut text = match failure {
        Failure::Garage(GarageError::Refused(refusal) | GarageError::Stays(refusal)) => refusal_text(refusal),
        Failure::Garage(GarageError::Kept(why) | GarageError::ReadSince(why)) => format!("refused: {why}\n"),
        Failure::Garage(GarageError::FaultyCar { report, .. }) => format!("{report}\n\nerror: {failure}\n"),
        _ => format!("error: {failure}\n"),
    };
    if let Some(hint) = failure.hint() {
        text.push_str(&format!("  hint: {hint}\n"));
    }
    without_control(&text)
}

/// Typed names and texts of files are repeated in errors: without the signs that steer a terminal.
fn without_control(text: &str) -> String {
    let shown = |sign: char| if sign.is_control() && sign != '\n' { '\u{fffd}' } else { sign };
    text.chars().map(shown).collect()
}

/// What clap found wrong, in one sentence, without its markup and usage lines.
pub(crate) fn usage_text(why: &clap::Error) -> String {
    let text = why.render().to_string();
    let first = text.split("\n\n").next().unwrap_or(&text);
    let sentence = first.strip_prefix("error: ").unwrap_or(first);
    sentence.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn refusal_text(refusal: &Refusal) -> String {
    let mut text = format!("refused: {}\n", refusal.action);
    for reason in &refusal.reasons {
        text.push_str(&format!("  - {}\n", reason.text));
        if let Some(first) = &reason.first {
            text.push_str(&format!("    first: {first}\n"));
        }
    }
    text
}

fn failure_json(failure: &Failure) -> serde_json::Value {
    let code = match failure {
        Failure::Garage(error) => error.code(),
        Failure::Pipe(_) => "output",
        Failure::Usage(_) => "usage",
        Failure::Serve(_) => "serve",
    };
    let hint = failure.hint();
    let reasons: Vec<_> = match failure {
        Failure::Garage(GarageError::Refused(refusal) | GarageError::Stays(refusal)) => refusal
            .reasons
            .iter()
            .map(|r| json!({ "text": r.text, "first": r.first.as_ref().map(ToString::to_string) }))
            .collect(),
        Failure::Garage(GarageError::Kept(why) | GarageError::ReadSince(why)) => {
            vec![json!({ "text": why, "first": null })]
        }
        _ => Vec::new(),
    };
    json!({ "error": { "code": code, "message": failure.to_string(), "hint": hint, "reasons": reasons } })
}
