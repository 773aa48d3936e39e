//! What became of a delivery, for the device and for people.

use super::Command;
use crate::error::GarageError;
use crate::job::{Job, Recorded};
use crate::store::Kept;
use serde::{Deserialize, Serialize};

/// Why something was not recorded.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct RefusalView {
    /// The reasons.
    pub reasons: Vec<RefusedBecause>,
    /// What to do.
    pub hint: Option<String>,
}

/// One reason, with what to do first.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct RefusedBecause {
    /// The reason.
    pub text: String,
    /// The action that has to come first.
    pub first: Option<String>,
    /// The place of the wheels, or the reading, whose number it asks about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
}

impl RefusedBecause {
    /// A reason that nothing helps and that asks about no number.
    #[must_use]
    pub fn new(text: impl Into<String>) -> Self {
        Self { text: text.into(), first: None, place: None }
    }
}

/// What recording brought, whatever was recorded.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Ids of the new entries.
    pub entries: Vec<String>,
    /// Rows that came into the plan.
    pub added: usize,
    /// Rows that fell out of it.
    pub dropped: usize,
    /// What was not recorded but asked about.
    pub questions: Vec<RefusedBecause>,
    /// The job afterwards.
    pub job: Box<Job>,
}

impl Answer {
    pub(super) fn of<T>(recorded: Recorded<T>) -> Self {
        let (added, dropped) = (recorded.added.len(), recorded.dropped.len());
        let job = Box::new(recorded.job);
        Self { entries: recorded.ids, added, dropped, questions: Vec::new(), job }
    }
}

/// What became of a delivery.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Delivered {
    /// Its id.
    pub id: String,
    /// Whether it is in the ledger.
    pub recorded: bool,
    /// Whether it had been recorded by an earlier delivery of the same.
    pub repeated: bool,
    /// Ids of its entries.
    pub entries: Vec<String>,
    /// Rows that came into the plan.
    pub added: usize,
    /// Rows that fell out of the plan.
    pub dropped: usize,
    /// What was not recorded but asked about.
    pub questions: Vec<RefusedBecause>,
    /// What a person is told though it is in the ledger; that waits to be looked at as well.
    pub remarks: Vec<String>,
    /// Why it is not in the ledger.
    pub refusal: Option<RefusalView>,
}

impl Delivered {
    pub(super) fn recorded(id: &str, answer: Answer) -> Self {
        Self {
            id: id.to_owned(),
            recorded: true,
            repeated: false,
            entries: answer.entries,
            added: answer.added,
            dropped: answer.dropped,
            questions: answer.questions,
            remarks: Vec::new(),
            refusal: None,
        }
    }

    /// `typed` are the questions to numbers that were not recorded.
    pub(super) fn repeated(kept: &Kept, typed: Option<&Kept>) -> Self {
        let entries = kept.answer.split_whitespace().map(str::to_owned).collect();
        let questions = typed.map(|kept| refusal_from(&kept.answer).reasons).unwrap_or_default();
        let (added, dropped) = (0, 0);
        let id = kept.stamp.id.clone();
        let (remarks, refusal) = (Vec::new(), None);
        Self { id, recorded: true, repeated: true, entries, added, dropped, questions, remarks, refusal }
    }

    /// One that was never understood, so that it was not kept either.
    #[must_use]
    pub fn not_understood(id: &str, refusal: RefusalView) -> Self {
        Self::refused(id, refusal)
    }

    pub(super) fn agreed(id: &str) -> Self {
        Self { recorded: true, repeated: true, refusal: None, ..Self::refused(id, RefusalView::default()) }
    }

    pub(super) fn refused(id: &str, refusal: RefusalView) -> Self {
        Self {
            id: id.to_owned(),
            recorded: false,
            repeated: false,
            entries: Vec::new(),
            added: 0,
            dropped: 0,
            questions: Vec::new(),
            remarks: Vec::new(),
            refusal: Some(refusal),
        }
    }
}

/// A delivery that waits to be looked at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct WaitingView {
    /// Its id.
    pub id: String,
    /// When it was made.
    pub at: String,
    /// The device that sent it.
    pub device: String,
    /// What was asked.
    pub what: String,
    /// Why it was not recorded.
    pub refusal: RefusalView,
}

impl WaitingView {
    pub(super) fn of(kept: &Kept) -> Self {
        // What cannot be read back is shown as it was sent.
        let what = serde_json::from_str::<Command>(&kept.stamp.body)
            .map_or_else(|_| kept.stamp.body.clone(), |command| command.text());
        Self {
            id: kept.stamp.id.clone(),
            at: kept.stamp.at.clone(),
            device: kept.stamp.device.clone(),
            what,
            refusal: refusal_from(&kept.answer),
        }
    }
}

/// An error of the garage as a refusal.
#[must_use]
pub fn refusal_of(error: &GarageError) -> RefusalView {
    let mistyped = match error {
        GarageError::Stays(refusal) => Some(refusal.action.item.to_string()),
        _ => None,
    };
    let reasons = match error {
        GarageError::Overtaken(newer) => newer.iter().map(RefusedBecause::new).collect(),
        GarageError::Refused(refusal) | GarageError::Stays(refusal) => refusal
            .reasons
            .iter()
            .map(|reason| RefusedBecause {
                text: reason.text.clone(),
                first: reason.first.as_ref().map(ToString::to_string),
                place: mistyped.clone(),
            })
            .collect(),
        other => vec![RefusedBecause::new(other.to_string())],
    };
    RefusalView { reasons, hint: error.hint().map(str::to_owned) }
}

pub(super) fn refusal_json(refusal: &RefusalView) -> String {
    serde_json::to_string(refusal).unwrap_or_else(|why| why.to_string())
}

pub(super) fn refusal_from(json: &str) -> RefusalView {
    serde_json::from_str(json)
        .unwrap_or_else(|_| RefusalView { reasons: vec![RefusedBecause::new(json)], hint: None })
}
