//! Axlestand: overhaul a car's suspension at home. Prepare → Strip → Refit → Set → Prove.
//!
//! The binary parses arguments, calls the garage and prints what it answers. It holds no rule.
//!
//! Where to begin: `arguments.rs` has every command; `commands/` calls the garage for it; `text/` says the
//! answer in words, while `--json` prints the same view as it is (`output.rs`).

mod alignment_arguments;
mod arguments;
mod calc_arguments;
mod commands;
mod geometry_arguments;
mod output;
mod serve_arguments;
mod sheet_arguments;
mod text;

use arguments::Cli;
use axlestand_garage::SystemClock;
use clap::Parser as _;
use output::{Failure, Output};
use std::io::IsTerminal as _;
use std::process::ExitCode;

/// Exit code for "no": a gate is closed, a file has faults, an action was refused.
const NO: u8 = 1;
/// Exit code for an error.
const ERROR: u8 = 2;

fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(why) => return not_understood(&why),
    };
    let stdout = std::io::stdout();
    let colour = stdout.is_terminal() && !cli.json && !cli.no_colour();
    let mut writer = std::io::BufWriter::new(stdout.lock());
    let mut output = Output::new(&mut writer, cli.json, colour);
    let result = commands::run(&cli, &mut output, &|| Box::new(SystemClock)).and_then(|verdict| {
        output.flush()?;
        Ok(verdict)
    });
    match result {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(NO),
        Err(failure) => report(&failure, &mut output),
    }
}

/// Help and version are answers; anything else about the command line is an error, told as JSON
/// where that was asked for.
fn not_understood(why: &clap::Error) -> ExitCode {
    let asked_for_json = std::env::args_os().any(|argument| argument == "--json");
    if why.use_stderr() && asked_for_json {
        let mut writer = std::io::stdout().lock();
        let failure = Failure::Usage(output::usage_text(why));
        let _ = Output::new(&mut writer, true, false).failure(&failure);
        return ExitCode::from(ERROR);
    }
    let _ = why.print();
    if why.use_stderr() { ExitCode::from(ERROR) } else { ExitCode::SUCCESS }
}

/// Says what went wrong. A reader that closed the pipe is no error.
fn report(failure: &Failure, output: &mut Output<'_>) -> ExitCode {
    let code = match failure {
        Failure::Pipe(why) if why.kind() == std::io::ErrorKind::BrokenPipe => return ExitCode::SUCCESS,
        failure if failure.is_a_no() => NO,
        _ => ERROR,
    };
    let _ = output.failure(failure).and_then(|()| output.flush());
    ExitCode::from(code)
}
