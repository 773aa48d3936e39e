//! Commands: each calls the garage and hands the answer to the printer.

mod alignment;
mod calc;
mod car;
mod deliver;
mod demo;
mod forecast;
mod garage_care;
mod gates;
mod job;
mod serve;
mod set;
mod sheet;
mod shell;
mod stuck;
mod work;

use crate::arguments::{Cli, Command};
use crate::output::{Failure, Output};
use axlestand_garage::{Clock, Garage};

/// Makes the clock of a command.
pub(crate) type MakeClock<'a> = &'a dyn Fn() -> Box<dyn Clock>;

/// Runs a command. `true`: yes or done; `false`: the answer is no.
pub(crate) fn run(cli: &Cli, output: &mut Output<'_>, clock: MakeClock<'_>) -> Result<bool, Failure> {
    match &cli.command {
        Command::Demo(args) => demo::demo(args, output),
        Command::Calc(args) => calc::run(cli, args, output),
        Command::Car(command) => car::run(cli, command, output, clock),
        Command::Job(command) => job::run(cli, command, output, clock),
        Command::Prepare(args) => work::prepare(cli, args, output, clock),
        Command::Forecast(args) => forecast::forecast(cli, args, output, clock),
        Command::Routes(args) => forecast::routes(cli, args, output, clock),
        Command::Set(args) => set::run(cli, args, output, clock),
        Command::Next(args) => work::next(cli, args, output, clock),
        Command::Done(args) => work::done(cli, args, output, clock),
        Command::UndoEntry(args) => work::undo_entry(cli, args, output, clock),
        Command::Read(args) => alignment::read(cli, args, output, clock),
        Command::Turned(args) => alignment::turned(cli, args, output, clock),
        Command::Stuck(args) => stuck::run(cli, args, output, clock),
        Command::Choose(args) => work::choose(cli, args, output, clock),
        Command::Broken(args) => work::broken(cli, args, output, clock),
        Command::Replaced(args) => work::replaced(cli, args, output, clock),
        Command::Skip(args) => work::skip(cli, args, output, clock),
        Command::Note(args) => work::note(cli, args, output, clock),
        Command::Log => work::log(cli, output, clock),
        Command::Open => gates::open(cli, output, clock),
        Command::Check(args) => gates::check(cli, args, output, clock),
        Command::Report(args) => gates::report(cli, args, output, clock),
        Command::Sheet(args) => sheet::run(cli, args, output, clock),
        Command::Serve(args) => serve::serve(cli, args, output),
        Command::Deliver(args) => deliver::run(cli, args, output, clock),
        Command::Garage(command) => garage_care::run(cli, command, output, clock),
        Command::Devices(args) => serve::devices(cli, args, output, clock),
        Command::Completions { shell } => shell::completions(*shell, output),
        Command::Man => shell::man(output),
    }
}

/// The garage that the command line names.
pub(crate) fn garage(cli: &Cli, clock: MakeClock<'_>) -> Result<Garage, Failure> {
    Ok(Garage::open(&cli.garage, clock(), cli.job.clone())?)
}
