//! The arguments of `axlestand calc`.

use crate::geometry_arguments::{CasterArgs, SpringArgs, TieRodArgs, ToeArgs};
use clap::{Args, Subcommand};
use std::path::PathBuf;

/// Free-standing arithmetic for fasteners, wheel angles and springs: no car, no job, nothing recorded.
#[derive(Debug, Args)]
pub(crate) struct CalcArgs {
    /// Show every input, formula, source and limit.
    #[arg(long, global = true)]
    pub(crate) explain: bool,
    #[command(subcommand)]
    pub(crate) subject: CalcSubject,
}

#[derive(Debug, Subcommand)]
pub(crate) enum CalcSubject {
    /// Convert a torque to another thread condition, or compute one for a clamp load or as a limit.
    Torque(TorqueArgs),
    /// What to set with a crow's foot or another offset adapter.
    Adapter(AdapterArgs),
    /// Castle nuts: the angle to the next slot and what it costs.
    Castle(CastleArgs),
    /// A thread: sizes, stress area, spanners, proof loads.
    Thread {
        /// Its designation: M14x1.5, M12, 1/2-20 UNF.
        thread: String,
    },
    /// The clamp load of a torque, and how far it loads the bolt.
    Preload(PreloadArgs),
    /// What a fastener withstands before it twists off, and the pull on a bar: a limit, never a value to set.
    Break(BreakArgs),
    /// Which torque wrench, and what to set on it.
    Wrench(WrenchArgs),
    /// Total toe: millimetres over a diameter to degrees, and back.
    Toe(ToeArgs),
    /// Caster from the camber of a wheel turned to both sides.
    Caster(CasterArgs),
    /// A coil spring: rate, force, stored energy; wheel rate and ride frequency.
    Spring(SpringArgs),
    /// A new tie-rod end: the exposed thread that gives the old length.
    TieRod(TieRodArgs),
    /// Wheel fasteners: order, stages, when to check again.
    Wheel {
        /// How many.
        count: usize,
        /// The specified torque.
        torque: Option<String>,
    },
}

#[derive(Debug, Args)]
#[command(after_help = "axlestand calc torque M14x1.5 \"140 N·m\" --from dry --to anti-seize\n\
    axlestand calc torque M10x1.25 --clamp \"31.6 kN\" --friction 0.12\n\
    axlestand calc torque M10x1.25 --class 8.8 --friction 0.12   (a limit, never the value to use)")]
pub(crate) struct TorqueArgs {
    /// The thread.
    pub(crate) thread: String,
    /// The torque to convert.
    pub(crate) torque: Option<String>,
    /// The condition that the torque is specified for.
    #[arg(long, value_name = "CONDITION")]
    pub(crate) from: Option<String>,
    /// The condition of the thread.
    #[arg(long, value_name = "CONDITION")]
    pub(crate) to: Option<String>,
    /// Where it is: thread, wheel-fastener, taper, friction-face, pinch-joint …
    #[arg(long)]
    pub(crate) place: Option<String>,
    /// The clamp load to reach: "45 kN".
    #[arg(long, value_name = "FORCE")]
    pub(crate) clamp: Option<String>,
    /// The class on the head: gives the torque at 90 % of yield, a limit.
    #[arg(long)]
    pub(crate) class: Option<String>,
    /// Another share of yield than 0.9.
    #[arg(long)]
    pub(crate) share: Option<String>,
    /// The coefficient of friction, instead of a condition.
    #[arg(long, value_name = "NUMBER")]
    pub(crate) friction: Option<String>,
    /// Reckon torsion elastically, as tables before 2001 do: the safe side.
    #[arg(long)]
    pub(crate) elastic: bool,
}

#[derive(Debug, Args)]
pub(crate) struct AdapterArgs {
    /// The torque at the fastener.
    pub(crate) torque: String,
    /// From the middle of the grip to the square.
    #[arg(long, value_name = "LENGTH")]
    pub(crate) lever: String,
    /// From the middle of the square to the middle of the fastener.
    #[arg(long, value_name = "LENGTH")]
    pub(crate) offset: String,
    /// Between handle and adapter: 0 straight out, 90 nothing changes, 180 folded back.
    #[arg(long, value_name = "DEGREES")]
    pub(crate) angle: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct CastleArgs {
    /// The thread.
    pub(crate) thread: String,
    /// The number of slots, where it is not the usual one.
    #[arg(long)]
    pub(crate) slots: Option<u32>,
    /// Two holes crossing at a right angle.
    #[arg(long)]
    pub(crate) crossed: bool,
    /// The least torque.
    #[arg(long, value_name = "TORQUE")]
    pub(crate) from: Option<String>,
    /// The greatest torque.
    #[arg(long, value_name = "TORQUE")]
    pub(crate) to: Option<String>,
    /// The clamped length, for an upper bound of what the step adds.
    #[arg(long, value_name = "LENGTH")]
    pub(crate) grip: Option<String>,
    /// How far the nearest slot has gone past the hole.
    #[arg(long, value_name = "DEGREES")]
    pub(crate) past: Option<String>,
    /// Where the hole is seen at the torque: in, above or below the slots.
    #[arg(long, value_name = "PLACE")]
    pub(crate) hole: Option<String>,
    /// It sits on a flat face, not on a taper.
    #[arg(long)]
    pub(crate) flat: bool,
}

#[derive(Debug, Args)]
pub(crate) struct PreloadArgs {
    /// The thread.
    pub(crate) thread: String,
    /// The torque.
    pub(crate) torque: String,
    /// The thread as it is: dry, oiled, anti-seize …
    #[arg(long)]
    pub(crate) condition: Option<String>,
    /// The coefficient of friction instead.
    #[arg(long, value_name = "NUMBER")]
    pub(crate) friction: Option<String>,
    /// The nut factor K instead.
    #[arg(long, value_name = "K", conflicts_with_all = ["friction", "condition"])]
    pub(crate) nut_factor: Option<String>,
    /// The class on the head, for the share of its strength.
    #[arg(long)]
    pub(crate) class: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct BreakArgs {
    /// The thread.
    pub(crate) thread: String,
    /// The class on the head.
    pub(crate) class: String,
    /// The diameter that the rust has left of the shank.
    #[arg(long, value_name = "DIAMETER")]
    pub(crate) left: Option<String>,
    /// The drive: "T30", "inner hex 6", "hex 17".
    #[arg(long)]
    pub(crate) drive: Option<String>,
    /// The length of the bar.
    #[arg(long, value_name = "LENGTH")]
    pub(crate) bar: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct WrenchArgs {
    /// The torque at the fastener.
    pub(crate) torque: String,
    /// The toolbox file with the torque wrenches.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["from", "to"])]
    pub(crate) toolbox: Option<PathBuf>,
    /// Lowest mark of the wrench.
    #[arg(long, value_name = "TORQUE")]
    pub(crate) from: Option<String>,
    /// Highest mark of the wrench.
    #[arg(long, value_name = "TORQUE")]
    pub(crate) to: Option<String>,
    /// click, beam, dial or electronic.
    #[arg(long)]
    pub(crate) kind: Option<String>,
    /// The step of its scale.
    #[arg(long, value_name = "TORQUE")]
    pub(crate) step: Option<String>,
    /// What its maker states: "3 %".
    #[arg(long)]
    pub(crate) accuracy: Option<String>,
}
