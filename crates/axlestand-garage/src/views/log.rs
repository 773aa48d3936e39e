//! The ledger, entry by entry.

use crate::job::Job;
use axlestand_ledger::Event;
use axlestand_model::ItemId;
use serde::Serialize;

/// One entry of the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LogLine {
    /// Its id.
    pub id: String,
    /// When it was made.
    pub at: String,
    /// What happened, in words.
    pub text: String,
    /// Whether it was taken back.
    pub withdrawn: bool,
    /// Whether it is of a kind that can be taken back; later entries may still need it.
    pub may_be_taken_back: bool,
}

/// Every entry, the oldest first.
#[must_use]
pub fn log(job: &Job) -> Vec<LogLine> {
    let withdrawn = job.state.withdrawn();
    job.state
        .entries
        .iter()
        .map(|entry| LogLine {
            id: entry.id.clone(),
            at: entry.at.clone(),
            text: event_text(&entry.event),
            withdrawn: withdrawn.contains(entry.id.as_str()),
            may_be_taken_back: !withdrawn.contains(entry.id.as_str()) && is_of_a_person(&entry.event),
        })
        .collect()
}

/// Whether a person made an entry, rather than the plan or the file.
fn is_of_a_person(event: &Event) -> bool {
    !matches!(
        event,
        Event::Planned { .. } | Event::CarUpdated { .. } | Event::JobStarted { .. } | Event::Withdrawn { .. }
    )
}

/// An event in words.
#[must_use]
pub fn event_text(event: &Event) -> String {
    let with = |what: &str, item: &ItemId, note: &Option<String>| match note {
        Some(note) => format!("{what} {item}: {note}"),
        None => format!("{what} {item}"),
    };
    match event {
        Event::JobStarted { name, goals, .. } => {
            let goals: Vec<_> = goals.iter().map(ItemId::as_str).collect();
            format!("job {name} started: replace {}", goals.join(", "))
        }
        Event::CarUpdated { .. } => "vehicle file changed".to_owned(),
        Event::Planned { rows, .. } => format!("plan of {} rows", rows.len()),
        Event::Done { action, torque, .. } => {
            let value = torque.as_ref().and_then(|torque| torque.value.as_ref());
            value.map_or_else(|| format!("done {action}"), |value| format!("done {action}: {value}"))
        }
        Event::Read { reading, again, typed, .. } => {
            format!("read {reading}{}: {typed}", if *again { " again" } else { "" })
        }
        Event::Gauged { place, typed, .. } => format!("gauged {place}: {typed}"),
        Event::Turned { adjuster, typed, .. } => format!("turned {adjuster}: {typed}"),
        Event::Stuck { item, note } => with("stuck", item, note),
        Event::Broken { item, note } => with("broken", item, note),
        Event::Replaced { item, note } => with("replaced", item, note),
        Event::Skipped { action, reason } => format!("left out {action}: {reason}"),
        Event::Chosen { item, way: Some(way) } => format!("chosen for {item}: {way}"),
        Event::Chosen { item, way: None } => format!("chosen for {item}: the usual manner"),
        Event::Seen { item, field, value } => format!("seen at {item}: {field} {value}"),
        Event::Pictured { action, note, .. } => {
            let of = action.as_ref().map(|action| format!(" of {action}")).unwrap_or_default();
            let note = note.as_ref().map(|note| format!(": {note}")).unwrap_or_default();
            format!("photo{of}{note}")
        }
        Event::Note { item: Some(item), text } => format!("note on {item}: {text}"),
        Event::Note { item: None, text } => format!("note: {text}"),
        Event::Withdrawn { entry, reason } => {
            let short = entry.get(..8).unwrap_or(entry);
            reason
                .as_ref()
                .map_or_else(|| format!("took back {short}"), |r| format!("took back {short}: {r}"))
        }
    }
}
