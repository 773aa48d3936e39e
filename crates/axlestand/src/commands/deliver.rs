//! A queue that a phone handed over, recorded.

use super::{MakeClock, garage};
use crate::arguments::{Cli, DeliverArgs};
use crate::output::{Failure, Output};
use axlestand_garage::GarageError;
use axlestand_garage::delivery::{MOST_QUEUE, Queue};
use std::io::Read as _;

/// Records what a phone handed over; `false` where some of it needs a look or belongs elsewhere.
pub(super) fn run(
    cli: &Cli,
    args: &DeliverArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let queue = Queue::read(&text(args)?)?;
    let told = garage(cli, clock)?.hand_over(&queue, "file")?;
    if output.is_json() {
        output.json(&told)?;
        return Ok(told.is_whole());
    }
    let known = if told.known > 0 { format!(", {} already there", told.known) } else { String::new() };
    output.line(format!("Recorded: {}{known}.", told.recorded))?;
    for remark in &told.remarks {
        output.line(format!("Recorded, and needs a look: {remark}"))?;
    }
    if told.taken_back > 0 {
        output.line(format!("Taken back on the phone: {}; none of it counts.", told.taken_back))?;
    }
    if told.elsewhere > 0 {
        output.line(format!(
            "For another garage: {}; give the file to that one, with --garage.",
            told.elsewhere
        ))?;
    }
    if !told.to_look_at.is_empty() {
        output.line(format!(
            "Could not be recorded: {}. Record by hand what is true:",
            told.to_look_at.len()
        ))?;
        for one in &told.to_look_at {
            output.line(format!("  {}", one.what))?;
            for reason in &one.refusal.reasons {
                output.line(format!("    - {}", reason.text))?;
            }
        }
        output.line("They wait in the garage app under 'Needs a look'.")?;
    }
    Ok(told.is_whole())
}

fn text(args: &DeliverArgs) -> Result<String, Failure> {
    let path = &args.file;
    let cannot = |why| Failure::from(GarageError::CannotRead { path: path.clone(), why });
    // One byte more than may be there tells that it is too large.
    let most = MOST_QUEUE as u64 + 1;
    let mut text = String::new();
    if path.as_os_str() == "-" {
        std::io::stdin().take(most).read_to_string(&mut text).map_err(cannot)?;
    } else {
        let file = std::fs::File::open(path).map_err(cannot)?;
        file.take(most).read_to_string(&mut text).map_err(cannot)?;
    }
    if text.len() > MOST_QUEUE {
        let most = MOST_QUEUE / 1024 / 1024;
        return Err(Failure::from(GarageError::Input(format!(
            "{} holds more than {most} MB, so it is no queue that a phone handed over",
            path.display()
        ))));
    }
    Ok(text)
}
