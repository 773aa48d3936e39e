//! The command line.

use crate::geometry_arguments::{CurvesArgs, SetStageArgs};
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Overhaul a car's suspension at home: Prepare, Strip, Refit, Set, Prove.
///
/// Axlestand works out what must come apart and in which order, what to have ready, keeps account
/// of every loosened fastener until it is back in its final state, and says what still stands
/// between the car and the road. Torques and targets are yours to look up: it never makes one up.
#[derive(Debug, Parser)]
#[command(name = "axlestand", version, propagate_version = true, arg_required_else_help = true)]
#[command(
    after_help = "Rows, actions and names: rows keep their number for the whole job (done 12 13, done 20-24); \
    an action is a verb and an item (fit:arm-front-bolt.left); any unambiguous beginning will do (fit:arm-f.l).\n\
    Exit code: 0 yes or done, 1 no (a gate is closed, a file has faults, an action is refused), 2 error."
)]
pub(crate) struct Cli {
    /// Folder of the garage, with its ledger.
    #[arg(
        long,
        global = true,
        env = "AXLESTAND_GARAGE",
        default_value = "axlestand-garage",
        value_name = "DIR"
    )]
    pub(crate) garage: PathBuf,
    /// The job meant, where it is not the current one.
    #[arg(long, global = true, value_name = "NAME")]
    pub(crate) job: Option<String>,
    /// Answer as JSON (documented in docs/json.md).
    #[arg(long, global = true)]
    pub(crate) json: bool,
    /// Which units are shown first.
    #[arg(long, global = true, env = "AXLESTAND_UNITS", value_enum, default_value_t = UnitChoice::Metric)]
    pub(crate) units: UnitChoice,
    /// Set to anything: no colours.
    #[arg(long, env = "NO_COLOR", hide = true, global = true, value_name = "ANY")]
    pub(crate) no_color: Option<String>,
    #[command(subcommand)]
    pub(crate) command: Command,
}

impl Cli {
    pub(crate) fn no_colour(&self) -> bool {
        self.no_color.as_ref().is_some_and(|value| !value.is_empty())
    }

    pub(crate) fn units(&self) -> axlestand_garage::Units {
        match self.units {
            UnitChoice::Metric => axlestand_garage::Units::Metric,
            UnitChoice::Inch => axlestand_garage::Units::Inch,
        }
    }
}

/// Units at the edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum UnitChoice {
    /// mm and N·m first.
    Metric,
    /// inches and lb·ft first.
    Inch,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Run a whole invented job and tell its story.
    Demo(DemoArgs),
    /// Vehicle files: make, check, show, complete.
    #[command(subcommand)]
    Car(CarCommand),
    /// Jobs: start, list, choose.
    #[command(subcommand)]
    Job(JobCommand),
    /// Prepare: what must come apart and why, what to have ready, the order of work.
    Prepare(PrepareArgs),
    /// Forecast: when it will be done, what would bring that nearer, what to buy ahead.
    Forecast(ForecastArgs),
    /// Repair or replace: the routes to a part beside each other.
    Routes(RoutesArgs),
    /// Set: heights, collars, what a height does to camber and toe, tie-rod ends.
    Set(SetStageArgs),
    /// What can be done next.
    Next(NextArgs),
    /// Record rows as done.
    Done(DoneArgs),
    /// Take an entry back by a further entry (the last one, or the one named).
    UndoEntry(UndoEntryArgs),
    /// Record readings: read height-front.left "612 ± 1 mm"; of the wheels: read --guide leads through them.
    Read(ReadArgs),
    /// Record that an adjuster was turned: turned tie-rod.left "1 turn 2 flats longer".
    Turned(crate::alignment_arguments::TurnedArgs),
    /// Record that a fastener does not come loose; shows what it bears, what to try, the other ways.
    Stuck(StuckArgs),
    /// Choose how something is to be freed: by one of its other ways, or 'usual'.
    Choose(ChooseArgs),
    /// Record that something broke.
    Broken(RemarkArgs),
    /// Record that a new one was taken.
    Replaced(RemarkArgs),
    /// Leave rows out, with the reason.
    Skip(SkipArgs),
    /// Record a remark.
    Note(NoteArgs),
    /// The ledger, entry by entry.
    Log,
    /// Every open item, the most dangerous first.
    Open,
    /// The two gates: may the car be lowered, may it go on the road? Exit code 0 only for yes.
    Check(CheckArgs),
    /// Prove: what was replaced, final states, readings, what to recheck.
    Report(ReportArgs),
    /// Pictures and paper: job sheets, lists, labels, reports, calendar, tables.
    Sheet(crate::sheet_arguments::SheetArgs),
    /// Free-standing arithmetic for fasteners: torque, adapter, castle nut, breaking torque …
    Calc(crate::calc_arguments::CalcArgs),
    /// The garage app: the whole job in a browser, on this machine or on the phone beside the car.
    Serve(crate::serve_arguments::ServeArgs),
    /// Record what a phone could not send and handed over as a file (docs/queue-file.md).
    Deliver(DeliverArgs),
    /// The garage itself: check it, back it up into one file, restore that into a new folder.
    #[command(subcommand)]
    Garage(GarageCommand),
    /// Devices that may use the garage app: list them, let one in, shut one out.
    Devices(crate::serve_arguments::DevicesArgs),
    /// Shell completions.
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
    /// The man page, as roff.
    Man,
}

#[derive(Debug, Args)]
pub(crate) struct DemoArgs {
    /// Where the demo garage is made; an own temporary folder if absent.
    #[arg(long, value_name = "DIR")]
    pub(crate) folder: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum CarCommand {
    /// Write a complete vehicle file from a layout template.
    New(NewArgs),
    /// Check a vehicle file: every fault in one run, each with its place.
    Check {
        /// The file.
        file: PathBuf,
    },
    /// Show a car, or one item of it.
    Show {
        /// The file.
        file: PathBuf,
        /// A part, fastener or any other item.
        item: Option<String>,
    },
    /// Camber, toe, caster, track, motion ratio, roll centre against wheel travel.
    Curves(CurvesArgs),
    /// Write one value into a vehicle file, comments untouched.
    Set(SetArgs),
    /// Write what was seen in this job into the vehicle file, as measured.
    Learn {
        /// Only show what would be written.
        #[arg(long)]
        dry_run: bool,
    },
    /// The JSON schema of vehicle files, for editors; or every field as a page to read.
    Schema {
        /// As Markdown: every table with its fields, what they hold and mean.
        #[arg(long)]
        markdown: bool,
    },
}

#[derive(Debug, Args)]
pub(crate) struct NewArgs {
    /// The layout of the front axle.
    #[arg(long, default_value = "strut")]
    pub(crate) layout: String,
    /// The file to write.
    #[arg(long, default_value = "car.toml", value_name = "FILE")]
    pub(crate) out: PathBuf,
    /// An answer: KEY=VALUE, as often as needed. The keys are shown by --questions.
    #[arg(long = "answer", value_name = "KEY=VALUE")]
    pub(crate) answers: Vec<String>,
    /// Show the questions with their usual answers, and write nothing.
    #[arg(long)]
    pub(crate) questions: bool,
    /// Ask nothing: take the usual answer where none is given.
    #[arg(long)]
    pub(crate) usual: bool,
}

#[derive(Debug, Args)]
pub(crate) struct SetArgs {
    /// The item.
    pub(crate) item: String,
    /// torque, condition, thread, length, class, drive, hold; amount, grade; value, tolerance.
    pub(crate) field: String,
    /// The value with its unit; a target takes value and tolerance: "0.10 ± 0.15°".
    #[arg(allow_hyphen_values = true)]
    pub(crate) value: String,
    /// Where it stands: which manual, which page or sheet.
    #[arg(long)]
    pub(crate) source: Option<String>,
    /// It was measured at the car.
    #[arg(long)]
    pub(crate) measured: bool,
    /// The vehicle file, where it is not the current job's.
    #[arg(long, value_name = "FILE")]
    pub(crate) car: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum JobCommand {
    /// Start a job on a car.
    Start(StartArgs),
    /// The jobs of this garage.
    List,
    /// Say where the job's vehicle file is now, where it was moved or the garage was restored elsewhere.
    Car {
        /// The file.
        file: PathBuf,
    },
    /// Make a job the current one.
    Use {
        /// Its name.
        name: String,
    },
}

#[derive(Debug, Args)]
pub(crate) struct StartArgs {
    /// The vehicle file.
    pub(crate) car: PathBuf,
    /// Parts to replace: a name without a side means both sides.
    #[arg(long, required = true, num_args = 1.., value_name = "PART")]
    pub(crate) replace: Vec<String>,
    /// A helper is at hand.
    #[arg(long)]
    pub(crate) helper: bool,
    /// Rust grade: 0 dry and young … 3 road-salt region, 4 long salt or flood.
    #[arg(long, default_value_t = 2, value_name = "0..4")]
    pub(crate) rust: u8,
    /// The toolbox file.
    #[arg(long, value_name = "FILE")]
    pub(crate) toolbox: Option<PathBuf>,
    /// The name of the job.
    #[arg(long)]
    pub(crate) name: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct PrepareArgs {
    /// Show every row.
    #[arg(long)]
    pub(crate) rows: bool,
    /// Show what must come apart, and why.
    #[arg(long)]
    pub(crate) why: bool,
    /// Show every change of the plan so far, through what and why.
    #[arg(long, conflicts_with_all = ["rows", "why", "picture"])]
    pub(crate) changes: bool,
    /// Write the plan as a strip along time, an SVG picture; an older one is replaced.
    #[arg(long, value_name = "FILE")]
    pub(crate) picture: Option<PathBuf>,
    /// Overwrite the file whatever it is.
    #[arg(long, requires = "picture")]
    pub(crate) replace: bool,
}

/// What a forecast goes by.
#[derive(Debug, Args)]
pub(crate) struct ForecastBasis {
    /// The forecast file: hours of work, prices, your own assumptions; forecast.toml in the garage if absent.
    #[arg(long, value_name = "FILE")]
    pub(crate) file: Option<PathBuf>,
    /// When you work, as often as needed: "Sat 9-18", "Mon-Fri 18:30-21", "2026-12-05 9-17".
    #[arg(long = "session", value_name = "DAYS HOURS")]
    pub(crate) sessions: Vec<String>,
    /// When work begins; now, if absent.
    #[arg(long, value_name = "WHEN")]
    pub(crate) from: Option<String>,
    /// Show the arithmetic and what is assumed.
    #[arg(long)]
    pub(crate) explain: bool,
}

#[derive(Debug, Args)]
pub(crate) struct ForecastArgs {
    #[command(flatten)]
    pub(crate) basis: ForecastBasis,
    /// By when it should be done: "2026-12-06 18:00", "Sun 18:00".
    #[arg(long, value_name = "WHEN")]
    pub(crate) by: Option<String>,
    /// The seed of the runs: the same seed gives the same answer.
    #[arg(long, default_value_t = 0)]
    pub(crate) seed: u64,
    /// How many runs.
    #[arg(long, value_name = "N")]
    pub(crate) runs: Option<usize>,
    /// Write a forecast file to fill in, and answer nothing else.
    #[arg(long, conflicts_with_all = ["by", "explain", "sessions", "from"])]
    pub(crate) new_file: bool,
}

#[derive(Debug, Args)]
pub(crate) struct RoutesArgs {
    /// The part.
    pub(crate) part: String,
    /// Another part to replace instead, as often as needed; the one it lies in if absent.
    #[arg(long, value_name = "PART")]
    pub(crate) instead: Vec<String>,
    #[command(flatten)]
    pub(crate) basis: ForecastBasis,
}

#[derive(Debug, Args)]
pub(crate) struct NextArgs {
    /// How many rows.
    #[arg(short = 'n', long, default_value_t = 3)]
    pub(crate) count: usize,
    /// The thread as it is, where it is not as specified: dry, oiled, anti-seize, moly …
    #[arg(long)]
    pub(crate) condition: Option<String>,
    /// The torque wrench of the toolbox; the best one if absent.
    #[arg(long)]
    pub(crate) wrench: Option<String>,
    /// The adapter on it: its name in the toolbox, or its offset, like "60 mm".
    #[arg(long)]
    pub(crate) adapter: Option<String>,
    /// The angle between handle and adapter: 0 straight out, 90 changes nothing.
    #[arg(long, value_name = "DEGREES")]
    pub(crate) angle: Option<String>,
    /// Show every input, formula, source and limit behind what to set.
    #[arg(long)]
    pub(crate) explain: bool,
}

#[derive(Debug, Args)]
pub(crate) struct DoneArgs {
    /// Rows (12, 20-24), actions (fit:arm-front-bolt.left) or items.
    #[arg(required = true)]
    pub(crate) rows: Vec<String>,
    /// Only seated: the final torque comes later.
    #[arg(long)]
    pub(crate) seated: bool,
    /// The tray place it was laid in, or taken from.
    #[arg(long, value_name = "N")]
    pub(crate) tray: Option<u32>,
    /// Length under the head of what goes in: "85 mm".
    #[arg(long)]
    pub(crate) length: Option<String>,
    /// The torque reached: "140 N·m", "50 N·m + 90°".
    #[arg(long)]
    pub(crate) torque: Option<String>,
    /// Where that value stands: which manual, which page or sheet.
    #[arg(long)]
    pub(crate) source: Option<String>,
    /// The wrench.
    #[arg(long)]
    pub(crate) wrench: Option<String>,
    /// The adapter on the wrench.
    #[arg(long)]
    pub(crate) adapter: Option<String>,
    /// The thread as it is: dry, oiled, anti-seize, as-supplied, thread-locker, moly …
    #[arg(long)]
    pub(crate) condition: Option<String>,
    /// The old one went back in although a new one is due.
    #[arg(long, conflicts_with = "new")]
    pub(crate) reused: bool,
    /// A new one went in although none was due.
    #[arg(long)]
    pub(crate) new: bool,
    /// Seen at the car: the thread.
    #[arg(long, value_name = "THREAD")]
    pub(crate) seen_thread: Option<String>,
    /// Seen at the car: the length.
    #[arg(long, value_name = "LENGTH")]
    pub(crate) seen_length: Option<String>,
    /// Seen at the car: the drive.
    #[arg(long, value_name = "DRIVE")]
    pub(crate) seen_drive: Option<String>,
    /// Seen at the car: the property class on the head.
    #[arg(long, value_name = "CLASS")]
    pub(crate) seen_class: Option<String>,
    /// A remark.
    #[arg(long)]
    pub(crate) note: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct UndoEntryArgs {
    /// The id of the entry or its beginning; the last entry if absent.
    pub(crate) entry: Option<String>,
    /// Why.
    #[arg(long)]
    pub(crate) reason: Option<String>,
}

#[derive(Debug, Args)]
#[command(after_help = "axlestand read height-front.left \"612 ± 1 mm\"\n\
    axlestand read --guide            the ways to read wheels\n\
    axlestand read --guide strings    what is read, from where to where, how often, what is missing\n\
    axlestand read string.fl.front-edge \"52.5 mm\"\n\
    axlestand read string.fl.hub=61mm string.fr.hub=60.5mm string.spacing.front=1820mm --at 900mm\n\
    A reading that no car gives, or that disagrees with the others, is asked about and not recorded; read\n\
    again and right: --sure.")]
pub(crate) struct ReadArgs {
    /// The reading; of wheels also several at once, as PLACE=VALUE.
    pub(crate) reading: Option<String>,
    /// Value with unit, with its standard uncertainty where known: "612 ± 1 mm".
    #[arg(allow_hyphen_values = true)]
    pub(crate) value: Option<String>,
    /// More of the value, where it was typed without quotes.
    #[arg(hide = true)]
    pub(crate) rest: Vec<String>,
    /// The instrument.
    #[arg(long)]
    pub(crate) instrument: Option<String>,
    /// Where along the car or the plate it is read, or how far the hub is raised: the guide says which.
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH")]
    pub(crate) at: Option<String>,
    /// Looked at again and right: recorded without asking, earlier ones at this place count no more.
    #[arg(long)]
    pub(crate) sure: bool,
    /// The reading taken before the work was mistyped: this is what was read then.
    #[arg(long)]
    pub(crate) correct: bool,
    /// Show the ways to read wheels, or the list of one: strings, plates, camber, floor, caster …
    #[arg(long, value_name = "METHOD", num_args = 0..=1, default_missing_value = "", conflicts_with_all = ["reading", "at", "sure", "correct"])]
    pub(crate) guide: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct StuckArgs {
    /// The item, or its row.
    pub(crate) item: String,
    /// A remark.
    #[arg(long)]
    pub(crate) note: Option<String>,
    /// What else is within a hand's breadth: rubber, hydraulics, gas, fuel, sensor, grease.
    #[arg(long, value_delimiter = ',', value_name = "WHAT")]
    pub(crate) near: Vec<String>,
    /// The diameter that the rust has left of the shank: "9 mm".
    #[arg(long, value_name = "DIAMETER")]
    pub(crate) left: Option<String>,
    /// The length of the bar in hand.
    #[arg(long, value_name = "LENGTH")]
    pub(crate) bar: Option<String>,
    /// It goes into a caged or welded nut that no wrench reaches.
    #[arg(long)]
    pub(crate) captive: bool,
    /// Show formulas and sources.
    #[arg(long)]
    pub(crate) explain: bool,
}

#[derive(Debug, Args)]
pub(crate) struct RemarkArgs {
    /// The item, or its row.
    pub(crate) item: String,
    /// A remark.
    #[arg(long)]
    pub(crate) note: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct ChooseArgs {
    /// The item, or its row.
    pub(crate) item: String,
    /// The way, or 'usual'.
    pub(crate) way: String,
}

#[derive(Debug, Args)]
pub(crate) struct SkipArgs {
    /// Rows (12, 20-24) or actions.
    pub(crate) rows: String,
    /// Why.
    #[arg(long)]
    pub(crate) reason: String,
}

#[derive(Debug, Args)]
pub(crate) struct NoteArgs {
    /// The remark.
    pub(crate) text: String,
    /// What it is about.
    #[arg(long)]
    pub(crate) item: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct CheckArgs {
    /// Which gate.
    #[arg(value_enum)]
    pub(crate) gate: Gate,
}

/// The two gates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Gate {
    /// May the car be lowered onto its wheels?
    Lowering,
    /// May the car go on the road?
    Road,
}

#[derive(Debug, Args)]
pub(crate) struct ReportArgs {
    /// Write the report as a page that a browser can print; an older one is replaced.
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
    /// Overwrite the file whatever it is.
    #[arg(long, requires = "page")]
    pub(crate) replace: bool,
}

#[derive(Debug, Subcommand)]
pub(crate) enum GarageCommand {
    /// Whether everything that was recorded is there and can be read; exit code 1 where something is wrong.
    Check,
    /// Write everything into one file: the ledger with each job's vehicle file, photos, files of the
    /// garage's folder. Others may work on meanwhile.
    #[command(after_help = "Keep it on another disk: a stick, another machine.")]
    Backup {
        /// The file.
        file: PathBuf,
        /// Overwrite an older backup, where this garage has no faults.
        #[arg(long)]
        replace: bool,
    },
    /// Make a garage from a backup, in a new or empty folder.
    #[command(after_help = "axlestand --garage new-folder garage restore stick/garage.backup\n\
        A garage that is there is never written over. Work on in one of the two only.")]
    Restore {
        /// The backup.
        file: PathBuf,
        /// Restore it also where something in it was changed since it was written.
        #[arg(long)]
        although_changed: bool,
    },
}

#[derive(Debug, Args)]
pub(crate) struct DeliverArgs {
    /// The file; '-' reads it from the input.
    #[arg(value_name = "FILE")]
    pub(crate) file: PathBuf,
}
