//! The ledger, entry by entry.

use crate::count::count;
use crate::job::Job;
use crate::views::row_text;
use axlestand_ledger::Event;
use axlestand_model::ItemId;
use axlestand_model::car::Item;
use serde::Serialize;

/// One entry of the ledger.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct LogLine {
    /// Its id.
    pub id: String,
    /// When it was made.
    pub at: String,
    /// What happened, with the names that commands take.
    pub text: String,
    /// What happened, in the words of the rows.
    pub words: String,
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
            words: in_words(job, &entry.event),
            withdrawn: withdrawn.contains(entry.id.as_str()),
            may_be_taken_back: !withdrawn.contains(entry.id.as_str()) && is_of_a_person(&entry.event),
        })
        .collect()
}

/// Whether a person made an entry, rather than the plan or the file.
fn is_of_a_person(event: &Event) -> bool {
    !event.sets_up() && !matches!(event, Event::Withdrawn { .. })
}

/// An event in the words of the rows, where it is about one; else as [`event_text`].
pub(crate) fn in_words(job: &Job, event: &Event) -> String {
    let name = |id: &ItemId| job.car.item(id).map_or(id.as_str(), Item::name).to_owned();
    let with = |what: String, note: &Option<String>| match note {
        Some(note) => format!("{what} ({note})"),
        None => what,
    };
    match event {
        Event::Done { action, torque, note, .. } => {
            let value = torque.as_ref().and_then(|torque| torque.value.as_ref());
            let value = value.map(|value| format!(", {value}")).unwrap_or_default();
            with(format!("{}{value}", row_text(job, action)), note)
        }
        Event::Read { reading, again, typed, .. } => {
            format!("Read{}: {}: {typed}", if *again { " again" } else { "" }, name(reading))
        }
        Event::Stuck { item, note } => with(format!("Stuck: {}", name(item)), note),
        Event::Broken { item, note } => with(format!("Broken: {}", name(item)), note),
        Event::Replaced { item, note } => with(format!("A new one lies ready: {}", name(item)), note),
        Event::Skipped { action, reason } => format!("Left out: {} ({reason})", row_text(job, action)),
        Event::Chosen { item, way: Some(way) } => format!("{}: {}", name(item), name(way)),
        Event::Chosen { item, way: None } => format!("{}: in the usual manner", name(item)),
        Event::Note { item: Some(item), text } => format!("Note on {}: {text}", name(item)),
        Event::Note { item: None, text } => format!("Note: {text}"),
        Event::Pictured { action: Some(action), note, .. } => {
            with(format!("Photo: {}", row_text(job, action)), note)
        }
        Event::Withdrawn { entry, reason } => {
            let was = job.state.entries.iter().find(|known| known.id == *entry);
            let was = was.map_or_else(|| event_text(event), |was| in_words(job, &was.event));
            with(format!("Taken back: {was}"), reason)
        }
        other => event_text(other),
    }
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
        Event::CarMoved { car_path } => format!("vehicle file is at {car_path} now"),
        Event::Planned { rows, .. } => format!("plan of {}", count(rows.len(), "row")),
        Event::Done { action, torque, .. } => {
            let value = torque.as_ref().and_then(|torque| torque.value.as_ref());
            value.map_or_else(|| format!("done {action}"), |value| format!("done {action}: {value}"))
        }
        Event::Read { reading, again, typed, .. } => {
            format!("read {reading}{}: {typed}", if *again { " again" } else { "" })
        }
        Event::Gauged { place, typed, .. } => format!("gauged {place}: {typed}"),
        Event::Turned { adjuster, typed, .. } => format!("turned {adjuster}: {typed}"),
        Event::Stated { what, value } => format!("stated {what}: {value}"),
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
