//! The arguments of `axlestand set …`, `axlestand car curves` and of the geometry among `calc`.

use clap::{Args, Subcommand};
use std::path::PathBuf;

/// Set: how high, how much camber and toe, how many turns.
#[derive(Debug, Args)]
pub(crate) struct SetStageArgs {
    /// The vehicle file, where it is not the current job's; without a job no readings are known.
    #[arg(long, global = true, value_name = "FILE")]
    pub(crate) car: Option<PathBuf>,
    /// Show every input with where it comes from.
    #[arg(long, global = true)]
    pub(crate) explain: bool,
    #[command(subcommand)]
    pub(crate) command: SetCommand,
}

#[derive(Debug, Subcommand)]
pub(crate) enum SetCommand {
    /// Where the car stands, where the collars belong, what is left of travel, what springs hold.
    Height(HeightArgs),
    /// What another height does to camber, toe, caster and track, and what to adjust.
    Preview(PreviewArgs),
    /// The exposed thread that gives the old length with a new tie-rod end.
    TieRod {
        /// left or right.
        #[arg(value_parser = ["left", "right"])]
        side: String,
        /// The new end from counting face to ball centre, measured as the old one was: "83 ± 0.5 mm".
        length: String,
        /// More of the length, where it was typed without quotes.
        #[arg(hide = true)]
        rest: Vec<String>,
    },
    /// How the wheels stand from what was read, what to read next, what to turn.
    Alignment(crate::alignment_arguments::AlignmentArgs),
    /// What height does to camber and toe, from a bump sweep.
    Bump,
    /// What height, a turn of the tie rod and a shim do to a strut corner that was taped and swept.
    Survey(crate::alignment_arguments::SurveyArgs),
}

#[derive(Debug, Args)]
#[command(after_help = "axlestand set height\n\
    axlestand set height --want front=350mm --want rear=360mm --cross \"50 %\"\n\
    axlestand set height --front-spring \"28 N/mm x 350 mm\"\n\
    axlestand set height --now \"front=14 1/4 in\" --rear-spring \"160 lb/in x 14 in\"\n\
    A wheel is front-left, front-right, rear-left or rear-right. A height for front or rear is for both\n\
    wheels of the axle; a mass for front or rear is the axle's, half of it on each wheel.")]
pub(crate) struct HeightArgs {
    /// A height now, hub centre to arch: front-left=364mm. Absent: the last one read in the job.
    #[arg(long, value_name = "WHEEL=HEIGHT")]
    pub(crate) now: Vec<String>,
    /// A wanted height: front=350mm.
    #[arg(long, value_name = "WHEEL=HEIGHT")]
    pub(crate) want: Vec<String>,
    /// The wanted share of the weight on front right and rear left: "50 %".
    #[arg(long, value_name = "PERCENT")]
    pub(crate) cross: Option<String>,
    /// A mass on a wheel: front-left=366kg, or an axle's: front=718kg. Absent: the vehicle file's.
    #[arg(long, value_name = "WHEEL=MASS")]
    pub(crate) load: Vec<String>,
    /// Other springs at the front, on the same seats: "28 N/mm x 350 mm" or "160 lb/in x 14 in" (rate x
    /// free length).
    #[arg(long, value_name = "RATE x LENGTH")]
    pub(crate) front_spring: Option<String>,
    /// Other springs at the rear.
    #[arg(long, value_name = "RATE x LENGTH")]
    pub(crate) rear_spring: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct PreviewArgs {
    /// How much lower, both axles: "30 mm" or "1 1/4 in"; without a unit in that of --units. A minus raises.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) lower: Option<String>,
    /// How much lower at the front, where that differs.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) front: Option<String>,
    /// How much lower at the rear, where that differs.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) rear: Option<String>,
}

#[derive(Debug, Args)]
#[command(after_help = "axlestand car curves wagtail.toml --side right\n\
    axlestand car curves wagtail.toml --axle rear --roll\n\
    axlestand car curves wagtail.toml --steering\n\
    axlestand car curves wagtail.toml --grid --rack-step 10 --csv > grid.csv\n\
    The rack's travel is the file's rack_travel; to the left it is positive. CSV as RFC 4180 has it.")]
pub(crate) struct CurvesArgs {
    /// The vehicle file.
    pub(crate) file: PathBuf,
    /// front or rear.
    #[arg(long, default_value = "front")]
    pub(crate) axle: String,
    /// left or right wheel; an axle that carries both shows both.
    #[arg(long, default_value = "left", value_parser = ["left", "right"], conflicts_with_all = ["steering", "roll"])]
    pub(crate) side: String,
    /// Lowest wheel travel, "-50 mm" or "-2 in", without a unit in that of --units; minus is the wheel
    /// hanging lower. Absent: -60 mm or -2.5 in.
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH")]
    pub(crate) from: Option<String>,
    /// Highest wheel travel. Absent: 60 mm or 2.5 in.
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH")]
    pub(crate) to: Option<String>,
    /// Step. Absent: 10 mm or 0.5 in.
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH")]
    pub(crate) step: Option<String>,
    /// Both wheels against the steering rack, lock to lock, instead of travel.
    #[arg(long)]
    pub(crate) steering: bool,
    /// Travel and rack both: at each height the rack from lock to lock.
    #[arg(long, conflicts_with = "steering")]
    pub(crate) grid: bool,
    /// Step of the rack; absent: the locks, half-way and the middle.
    #[arg(long, requires = "grid", conflicts_with_all = ["steering", "roll"], allow_hyphen_values = true, value_name = "LENGTH")]
    pub(crate) rack_step: Option<String>,
    /// As the body rolls: the left wheel up by the travel, the right one down by as much.
    #[arg(long, conflicts_with_all = ["steering", "grid"])]
    pub(crate) roll: bool,
    /// As comma-separated values, every digit.
    #[arg(long, conflicts_with = "json")]
    pub(crate) csv: bool,
    /// Show every input with where it comes from.
    #[arg(long)]
    pub(crate) explain: bool,
}

#[derive(Debug, Args)]
#[command(
    after_help = "axlestand calc toe \"2 mm\" --diameter \"400 mm\"\naxlestand calc toe 0.2° --diameter \"15 in\""
)]
pub(crate) struct ToeArgs {
    /// Total toe: "2 mm" or "0.2°".
    #[arg(allow_hyphen_values = true)]
    pub(crate) value: String,
    /// The diameter over which the millimetres are measured: the rim's edge, as a rule.
    #[arg(long)]
    pub(crate) diameter: String,
}

#[derive(Debug, Args)]
#[command(
    after_help = "axlestand calc spring --wire \"12.6 mm\" --diameter \"122 mm\" --coils 4.6 --free \"381 mm\" --length \"250 mm\"\n\
    axlestand calc spring --rate \"24.5 N/mm\" --force \"3200 N\" --ratio 0.97 --mass \"320 kg\""
)]
pub(crate) struct SpringArgs {
    /// Its rate: "24.5 N/mm" or "140 lb/in"; without a unit in that of --units.
    #[arg(long)]
    pub(crate) rate: Option<String>,
    /// Wire diameter.
    #[arg(long)]
    pub(crate) wire: Option<String>,
    /// Mean diameter of the coil: outer diameter less the wire.
    #[arg(long)]
    pub(crate) diameter: Option<String>,
    /// Active coils: those that are free to move.
    #[arg(long)]
    pub(crate) coils: Option<String>,
    /// Free length.
    #[arg(long)]
    pub(crate) free: Option<String>,
    /// Length under load.
    #[arg(long)]
    pub(crate) length: Option<String>,
    /// Force, instead of lengths.
    #[arg(long)]
    pub(crate) force: Option<String>,
    /// Motion ratio: spring travel over wheel travel.
    #[arg(long)]
    pub(crate) ratio: Option<String>,
    /// Sprung mass of the corner.
    #[arg(long)]
    pub(crate) mass: Option<String>,
}

#[derive(Debug, Args)]
#[command(after_help = "axlestand calc caster --turned-left 1.5° --turned-right -1.9° --by 20°")]
pub(crate) struct CasterArgs {
    /// Camber with the wheel turned to the left.
    #[arg(long, allow_hyphen_values = true, value_name = "ANGLE")]
    pub(crate) turned_left: String,
    /// Camber with the wheel turned to the right.
    #[arg(long, allow_hyphen_values = true, value_name = "ANGLE")]
    pub(crate) turned_right: String,
    /// By how much this wheel was turned, each way.
    #[arg(long, default_value = "20°", value_name = "ANGLE")]
    pub(crate) by: String,
    /// Camber straight ahead: gives caster exactly, and the steering-axis inclination.
    #[arg(long, allow_hyphen_values = true, value_name = "ANGLE")]
    pub(crate) straight: Option<String>,
    /// It is the right wheel.
    #[arg(long)]
    pub(crate) right: bool,
}

#[derive(Debug, Args)]
#[command(
    after_help = "axlestand calc tie-rod --exposed \"12.4 mm\" --length \"84.5 mm\" --new-length \"83 mm\" --thread M14x1.5"
)]
pub(crate) struct TieRodArgs {
    /// Exposed thread with the old end: "12.4 ± 0.3 mm".
    #[arg(long)]
    pub(crate) exposed: String,
    /// The old end from counting face to ball centre.
    #[arg(long)]
    pub(crate) length: String,
    /// The new end, measured the same way.
    #[arg(long)]
    pub(crate) new_length: String,
    /// The thread: M14x1.5.
    #[arg(long)]
    pub(crate) thread: Option<String>,
    /// Length of the steering arm, square to the tie rod.
    #[arg(long)]
    pub(crate) arm: Option<String>,
}
