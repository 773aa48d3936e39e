//! `axlestand garage …`: checking, backing up, restoring.

use super::{MakeClock, garage};
use crate::arguments::{Cli, GarageCommand};
use crate::output::{Failure, Output};
use crate::text::{count, soundness};
use axlestand_garage::{SoundnessView, check, restore};
use std::path::Path;

/// `false` where something is wrong with the garage or the backup.
pub(super) fn run(
    cli: &Cli,
    command: &GarageCommand,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    match command {
        GarageCommand::Check => {
            let view = check(&cli.garage)?;
            if output.is_json() {
                output.json(&view)?;
            } else {
                soundness(&view, output)?;
            }
            Ok(view.good)
        }
        GarageCommand::Backup { file, replace } => back_up(cli, file, *replace, output, clock),
        GarageCommand::Restore { file, although_changed } => bring_back(cli, file, *although_changed, output),
    }
}

fn back_up(
    cli: &Cli,
    file: &Path,
    replace: bool,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let made = garage(cli, clock)?.back_up(file, replace)?;
    if output.is_json() {
        output.json(&made)?;
        return Ok(made.check.good);
    }
    output.line(format!("Written and checked: {}, {}.", made.file, holding(&made.check, made.kept_files)))?;
    if made.check.good && made.check.remarks.is_empty() {
        output.line("Keep it on another disk: a stick, another machine.")?;
    } else {
        soundness(&made.check, output)?;
    }
    Ok(made.check.good)
}

fn bring_back(
    cli: &Cli,
    file: &Path,
    although_changed: bool,
    output: &mut Output<'_>,
) -> Result<bool, Failure> {
    let made = restore(file, &cli.garage, although_changed)?;
    if output.is_json() {
        output.json(&made)?;
        return Ok(made.check.good);
    }
    output.line(format!(
        "{}: the garage in {}, {}.",
        if made.check.good { "Restored and checked" } else { "Restored, and not sound" },
        made.folder,
        holding(&made.check, made.kept_files)
    ))?;
    if !made.check.findings.is_empty() || !made.check.remarks.is_empty() {
        soundness(&made.check, output)?;
    }
    output.line("Work on in this one only, and name it with --garage or AXLESTAND_GARAGE.")?;
    Ok(made.check.good)
}

/// What a backup or a restored garage holds.
fn holding(view: &SoundnessView, files: usize) -> String {
    let jobs = count(view.jobs, "job");
    let entries = count(view.entries, "entry");
    format!("{jobs}, {entries}, {}", count(files, "file"))
}
