//! How an item stands that is not in its required final state.

use crate::event::FastenerStage;
use axlestand_model::{CarState, Condition};

/// How an open item stands; its words are what [`Display`](std::fmt::Display) gives.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// A part that is off.
    Off,
    /// Broken, and still in.
    BrokenIn,
    /// A fluid that was drained and not filled since.
    Drained,
    /// A fastener or connection on its way to its final stage.
    Underway {
        /// How far it is.
        stage: FastenerStage,
        /// Its final torque comes later on purpose.
        deferred: bool,
        /// The old one, where a new one is due.
        old: bool,
    },
    /// Finished, but it is the old one where a new one is due.
    OldOne,
    /// Tightened, but nobody recorded a value with a source.
    NoValue,
    /// Tightened to another value than the vehicle file asks for now.
    OtherValue {
        /// What it was tightened to.
        reached: String,
        /// What the vehicle file says.
        asked: String,
    },
    /// Tightened to a value that held for another thread condition than the vehicle file states now.
    OtherCondition {
        /// The condition it was tightened for.
        was: Condition,
        /// What the vehicle file says.
        asked: Condition,
    },
    /// Tightened with the car standing otherwise than is due.
    OtherCarState {
        /// How the car stood.
        was: CarState,
        /// How it has to stand.
        due: CarState,
    },
}

impl Standing {
    /// How finished it looks though it is not; more is worse.
    pub(crate) fn looks_finished(&self) -> u8 {
        match self {
            Self::Off | Self::Underway { stage: FastenerStage::Out, .. } => 0,
            Self::Underway { stage: FastenerStage::InByHand, .. } => 1,
            Self::Underway { stage: FastenerStage::AtFinal, .. } => 4,
            Self::Underway { .. } => 2,
            Self::BrokenIn => 3,
            _ => 5,
        }
    }
}

impl std::fmt::Display for Standing {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Off => f.write_str("off"),
            Self::BrokenIn => f.write_str("broken and still in"),
            Self::Drained => f.write_str("drained, not filled"),
            Self::Underway { stage, deferred, old } => {
                f.write_str(match stage {
                    FastenerStage::Seated if *deferred => "seated, final torque deferred",
                    FastenerStage::AtFinal => "at final torque, not locked",
                    stage => stage.phrase(),
                })?;
                if *old { f.write_str("; the old one, a new one is due") } else { Ok(()) }
            }
            Self::OldOne => f.write_str("the old one is in, a new one is due"),
            Self::NoValue => f.write_str("tightened, but no value with a source is recorded"),
            Self::OtherValue { reached, asked } => {
                write!(f, "tightened to {reached}, but the vehicle file now says {asked}")
            }
            Self::OtherCondition { was, asked } => write!(
                f,
                "tightened with the thread {}, but the vehicle file's value is now for one {}",
                was.phrase(),
                asked.phrase()
            ),
            Self::OtherCarState { was, due } => write!(
                f,
                "tightened with the car {}, but it is due with the car {}",
                was.phrase(),
                due.phrase()
            ),
        }
    }
}
