//! The arguments of `axlestand set alignment`, `axlestand set survey` and `axlestand turned`.

use clap::{Args, ValueEnum};

#[derive(Debug, Args)]
#[command(after_help = "axlestand set alignment\n\
    axlestand set alignment --ratio 15.5 --keep\n\
    Readings are taken with 'axlestand read --guide'; what was turned is recorded with 'axlestand turned'.\n\
    Exit code 0 only where everything is within targets.")]
pub(crate) struct AlignmentArgs {
    /// Where the tie rods are, seen from the front axle; asked where the file has no hardpoints.
    #[arg(long, value_enum)]
    pub(crate) rods: Option<RodsChoice>,
    /// Turns of the steering wheel for one of the road wheels.
    #[arg(long, value_name = "NUMBER")]
    pub(crate) ratio: Option<String>,
    /// Record total toe, camber and caster as the job's readings; the road check then judges them.
    #[arg(long)]
    pub(crate) keep: bool,
}

/// Where the tie rods are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum RodsChoice {
    /// Behind the axle.
    Behind,
    /// Ahead of it.
    Ahead,
}

#[derive(Debug, Args)]
#[command(after_help = "axlestand turned tie-rod.left \"1 1/4 turns longer\"\n\
    axlestand turned tie-rod.right \"2 flats shorter\"\n\
    axlestand turned camber-slot.left \"+0.40°\"\n\
    Longer: more thread shows. What was read of the wheels before no longer counts afterwards.")]
pub(crate) struct TurnedArgs {
    /// What was turned: tie-rod.left, tie-rod.right, or an adjuster of the vehicle file.
    pub(crate) adjuster: String,
    /// By how much and which way: "1 1/4 turns longer"; for other adjusters as 'set alignment' says it.
    #[arg(allow_hyphen_values = true)]
    pub(crate) amount: String,
    /// More of it, where it was typed without quotes.
    #[arg(hide = true)]
    pub(crate) rest: Vec<String>,
}

#[derive(Debug, Args)]
#[command(after_help = "axlestand set survey\n\
    axlestand set survey --lower \"25 mm\"\n\
    Readings are taken with 'axlestand read --guide survey' (another wheel: survey.fr).\n\
    Exit code 0 only where the readings fit each other and no answer is refused.")]
pub(crate) struct SurveyArgs {
    /// How much lower: "25 mm" or "1 in", without a unit in that of --units; a minus raises. Absent: a few
    /// heights.
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    pub(crate) lower: Option<String>,
}
