//! Runs commands for the demo and shows them as a person would see them.

use crate::arguments::Cli;
use crate::output::{Failure, Output};
use axlestand_garage::{Clock, Garage, views};
use clap::Parser as _;
use std::cell::Cell;
use std::path::{Path, PathBuf};
use std::rc::Rc;

/// A clock that advances with the story, so that the demo is the same every time.
#[derive(Debug, Clone, Default)]
struct StoryClock {
    minutes: Rc<Cell<u64>>,
    ids: Rc<Cell<u64>>,
}

/// Minutes that each entry of the story takes.
const MINUTES_PER_ENTRY: u64 = 6;

impl Clock for StoryClock {
    fn now(&mut self) -> String {
        let minutes = self.minutes.get();
        format!(
            "2026-05-{:02}T{:02}:{:02}:00+00:00",
            6 + minutes / 1440 % 25,
            minutes / 60 % 24,
            minutes % 60
        )
    }

    fn new_id(&mut self) -> Result<String, axlestand_garage::NoRandom> {
        self.ids.set(self.ids.get() + 1);
        self.minutes.set(self.minutes.get() + MINUTES_PER_ENTRY);
        // Spread over the digits, so that the beginning of an id tells entries apart.
        Ok(format!("{:016x}{:016x}", self.ids.get().wrapping_mul(0x9e37_79b9_7f4a_7c15), self.ids.get()))
    }
}

/// What a command answered.
pub(super) struct Answer {
    /// Yes, no or refused.
    pub(super) yes: bool,
    /// The text, errors included.
    pub(super) text: String,
}

/// The demo as it goes on.
pub(super) struct Story<'a, 'b> {
    folder: PathBuf,
    output: &'a mut Output<'b>,
    clock: StoryClock,
}

impl<'a, 'b> Story<'a, 'b> {
    pub(super) fn new(folder: &Path, output: &'a mut Output<'b>) -> Self {
        let clock = StoryClock { minutes: Rc::new(Cell::new(18 * 60)), ids: Rc::default() };
        Self { folder: folder.to_owned(), output, clock }
    }

    /// The path of a file in the story's folder.
    pub(super) fn file(&self, name: &str) -> String {
        self.folder.join(name).display().to_string()
    }

    /// A line of the teller.
    pub(super) fn tell(&mut self, text: &str) -> Result<(), Failure> {
        if self.output.is_json() {
            return Ok(());
        }
        self.output.line("")?;
        self.output.heading(text)
    }

    /// Time goes on to this day (0 is the Wednesday) and hour.
    pub(super) fn clock_at(&self, day: u64, hour: u64) {
        let wanted = (day * 24 + hour) * 60;
        self.clock.minutes.set(self.clock.minutes.get().max(wanted));
    }

    /// Runs a command without showing it.
    pub(super) fn run(&mut self, arguments: &[&str]) -> Result<Answer, Failure> {
        let folder = self.folder.display().to_string();
        let mut line = vec!["axlestand", "--garage", &folder];
        line.extend(arguments);
        let cli = Cli::try_parse_from(line).map_err(|why| Failure::Usage(why.to_string()))?;
        let mut bytes = Vec::new();
        let clock = self.clock.clone();
        let result = {
            let mut captured = Output::new(&mut bytes, cli.json, false);
            crate::commands::run(&cli, &mut captured, &|| Box::new(clock.clone()))
        };
        let mut text = String::from_utf8_lossy(&bytes).into_owned();
        match result {
            Ok(yes) => Ok(Answer { yes, text }),
            Err(failure) if failure.is_a_no() => {
                text.push_str(&crate::output::failure_text(&failure));
                Ok(Answer { yes: false, text })
            }
            Err(failure) => Err(failure),
        }
    }

    /// Number and action of every row still to do. No command is run for it: a person sees them in
    /// `prepare --rows`, whose forecast the teller does not need.
    pub(super) fn rows_to_do(&self) -> Result<Vec<(u32, String)>, Failure> {
        let mut garage = Garage::open(&self.folder, Box::new(self.clock.clone()), None)?;
        Ok(views::rows_to_do(&garage.job()?))
    }

    /// Runs a command and shows it with at most `most` lines of its answer.
    pub(super) fn show(&mut self, arguments: &[&str], most: usize) -> Result<Answer, Failure> {
        let answer = self.run(arguments)?;
        let quoted: Vec<String> = arguments
            .iter()
            .map(|a| a.replace(&format!("{}/", self.folder.display()), ""))
            .map(|a| if a.contains([' ', '±']) { format!("\"{a}\"") } else { a })
            .collect();
        if self.output.is_json() {
            return Ok(answer);
        }
        self.output.line(format!("$ axlestand {}", quoted.join(" ")))?;
        let lines: Vec<&str> = answer.text.lines().filter(|line| !line.trim().is_empty()).collect();
        for line in lines.iter().take(most) {
            self.output.line(format!("  {line}"))?;
        }
        if lines.len() > most {
            self.output.line(format!("  … {} more lines", lines.len() - most))?;
        }
        Ok(answer)
    }
}
