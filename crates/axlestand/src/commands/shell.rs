//! Shell completions and the man page.

use crate::arguments::Cli;
use crate::output::{Failure, Output};
use clap::CommandFactory as _;
use serde_json::json;

/// Completions for a shell.
pub(crate) fn completions(shell: clap_complete::Shell, output: &mut Output<'_>) -> Result<bool, Failure> {
    let mut bytes = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "axlestand", &mut bytes);
    answer("script", &bytes, output)
}

/// The man page, every subcommand after the other.
pub(crate) fn man(output: &mut Output<'_>) -> Result<bool, Failure> {
    let mut command = Cli::command();
    command.build();
    let mut bytes = Vec::new();
    pages(&command, &mut bytes)?;
    answer("page", &bytes, output)
}

/// The text as it is, or as JSON under a name.
fn answer(name: &str, bytes: &[u8], output: &mut Output<'_>) -> Result<bool, Failure> {
    if output.is_json() {
        output.json(&json!({ name: String::from_utf8_lossy(bytes) }))?;
    } else {
        output.raw(bytes)?;
    }
    Ok(true)
}

fn pages(command: &clap::Command, bytes: &mut Vec<u8>) -> Result<(), std::io::Error> {
    clap_mangen::Man::new(command.clone()).render(bytes)?;
    for sub in command.get_subcommands().filter(|sub| sub.get_name() != "help") {
        pages(sub, bytes)?;
    }
    Ok(())
}
