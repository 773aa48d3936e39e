//! Reports: fitness for the road, hand-over to the alignment shop, record for the next owner, notes
//! for next time. Each says what was measured with which uncertainty, what was not done, and that it
//! is no inspection certificate.

use super::lists::columns;
use crate::geometry::jam_nut;
use crate::job::Job;
use crate::sentence::capital;
use crate::units::Units;
use crate::views::{ReadingView, ReportView, StateLine};
use axlestand_draw::paper::{Block, Table};
use axlestand_draw::{Drawing, StringSetup, string_setup};
use axlestand_ledger::{Event, HoldState};
use axlestand_model::Hand;
use axlestand_model::car::Item;
use axlestand_quantity::Length;

fn title(text: &str, report: &ReportView) -> Block {
    let span = match (&report.started, &report.last_entry) {
        (Some(from), Some(to)) => format!("from {} to {}", day(from), day(to)),
        _ => String::new(),
    };
    Block::Title { text: text.to_owned(), under: format!("{} · job {} · {span}", report.car, report.job) }
}

/// The day of a time stamp.
fn day(time: &str) -> &str {
    time.get(..10).unwrap_or(time)
}

fn disclaimer(report: &ReportView) -> Block {
    Block::Danger(report.disclaimer.to_owned())
}

fn table(head: &[(&str, f64)], rows: Vec<Vec<String>>) -> Block {
    Block::Table(Table { columns: columns(head), rows, tick: false })
}

/// A heading with its table; words where there is nothing.
fn part(heading: &str, none: &str, head: &[(&str, f64)], rows: Vec<Vec<String>>) -> Vec<Block> {
    let content = if rows.is_empty() { Block::Text(none.to_owned()) } else { table(head, rows) };
    vec![Block::Heading(heading.to_owned()), content]
}

/// Fitness for the road.
pub(super) fn road(report: &ReportView) -> Vec<Block> {
    let mut blocks = vec![title("Fitness for the road", report), disclaimer(report)];
    blocks.push(Block::Heading(if report.road.clear {
        "The ledger of this job knows nothing against driving on the road".to_owned()
    } else {
        format!("NOT FIT for the road. Reasons: {}", report.road.reasons.len())
    }));
    let reasons =
        report.road.reasons.iter().map(|reason| {
            vec![reason.number.map_or_else(String::new, |n| n.to_string()), capital(&reason.text)]
        });
    let reasons: Vec<_> = reasons.collect();
    if !reasons.is_empty() {
        blocks.push(table(&[("row", 1.0), ("reason", 9.0)], reasons));
    }
    blocks.extend(report.road.remarks.iter().map(|remark| Block::Text(capital(remark))));
    blocks.extend(states("Fasteners and joints that lives depend on", report, |state| state.critical));
    blocks.extend(readings(report));
    blocks.extend(not_done(report));
    blocks.extend(rechecks(report));
    blocks
}

fn states(heading: &str, report: &ReportView, wanted: impl Fn(&StateLine) -> bool) -> Vec<Block> {
    let row = |state: &StateLine| {
        let lock = state.lock.map(|lock| format!(", {lock}")).unwrap_or_default();
        let how = [state.car_state.map(|s| format!("with the car {s}")), state.wrench.clone()];
        vec![
            format!("{}{}", state.name, if state.new { " (new)" } else { "" }),
            format!("{}{lock}", state.stands),
            state.torque.clone().unwrap_or_default(),
            how.into_iter().flatten().collect::<Vec<_>>().join(", "),
            state.provenance.clone().unwrap_or_default(),
        ]
    };
    let rows = report.states.iter().filter(|state| wanted(state)).map(row).collect();
    let head = [("fastener", 3.4), ("stands", 2.4), ("torque", 1.6), ("how", 2.4), ("value from", 2.6)];
    part(heading, "None was disturbed.", &head, rows)
}

fn readings(report: &ReportView) -> Vec<Block> {
    let row = |reading: &ReadingView| {
        let whole = |value: &String| value.replace(' ', "\u{a0}");
        let shown = |value: &Option<String>| value.as_ref().map_or_else(|| "not read".to_owned(), whole);
        vec![
            reading.name.clone(),
            shown(&reading.before),
            shown(&reading.after),
            reading.change.as_ref().map(whole).unwrap_or_default(),
            reading.target.clone().unwrap_or_else(|| "none in the vehicle file".to_owned()),
        ]
    };
    let rows: Vec<_> = report.readings.iter().map(row).collect();
    let head = [("reading", 2.9), ("before", 2.3), ("after", 2.3), ("change", 1.6), ("target", 3.9)];
    let mut blocks = part("Measured", "Nothing was measured.", &head, rows);
    if !report.readings.is_empty() {
        blocks.push(Block::Aside(
            "± is the standard uncertainty of the reading: about two thirds of repeats fall within it, about 95 % within twice that."
                .to_owned(),
        ));
    }
    blocks
}

fn not_done(report: &ReportView) -> Vec<Block> {
    let left = report.left_out.iter().map(|left| vec![left.what.clone(), left.reason.clone()]);
    let unread = report.readings.iter().filter(|reading| reading.before.is_some() && reading.after.is_none());
    let unread = unread.map(|reading| vec![reading.name.clone(), "was not read again".to_owned()]);
    let open = report.open.iter().map(|open| vec![open.name.clone(), format!("still open: {}", open.stands)]);
    // Half-way through a job most rows wait for the same reason: told once, not on two pages. A cell is
    // not broken over pages, so it ends somewhere.
    let mut rows: Vec<Vec<String>> = Vec::new();
    for row in open.chain(left).chain(unread) {
        match rows.iter_mut().find(|other| other[1] == row[1] && other[0].len() < 1200) {
            Some(other) => other[0] = format!("{}; {}", other[0], row[0]),
            None => rows.push(row),
        }
    }
    let rows = rows.into_iter().map(|mut row| {
        row.swap(0, 1);
        row[0] = capital(&row[0]);
        row
    });
    let none = "Nothing that was planned was left out.";
    part("Not done", none, &[("why", 2.6), ("what", 7.4)], rows.collect())
}

fn rechecks(report: &ReportView) -> Vec<Block> {
    let rows = report
        .rechecks
        .iter()
        .map(|recheck| vec![capital(&recheck.what), recheck.when.clone(), String::new()]);
    part("To recheck", "Nothing.", &[("what", 5.0), ("when", 3.0), ("done on, at km", 2.4)], rows.collect())
}

/// Hand-over to who aligns the wheels.
pub(super) fn alignment(job: &Job, report: &ReportView, units: Units) -> Vec<Block> {
    let mut blocks = vec![title("For the alignment shop", report), disclaimer(report)];
    blocks.extend(part(
        "What was renewed",
        "Nothing.",
        &[("part", 1.0)],
        report.replaced.iter().map(|name| vec![capital(name)]).collect(),
    ));
    let jam = [Hand::Left, Hand::Right].into_iter().filter_map(|hand| jam_nut(&job.car, hand));
    let jam = jam.map(|nut| vec![nut.name.clone(), turns(&job.state.hold(&nut.id)).to_owned()]);
    blocks.extend(part(
        "Jam nuts",
        "None known: a nut is named by the reading of its tie rod's exposed thread.",
        &[("nut", 4.0), ("seized?", 5.0)],
        jam.collect(),
    ));
    blocks.extend(super::angles::blocks(job, units));
    blocks.extend(readings(report));
    blocks.push(Block::Picture(strings(job)));
    let targets = job.car.targets.iter().map(|target| {
        let dimension = job.car.reading(&target.reading).map(|reading| reading.dimension);
        let band = target.band.zip(dimension).map_or_else(
            || "to be looked up".to_owned(),
            |(band, dimension)| units.reading(dimension, band.nominal(), band.upper() - band.nominal()),
        );
        vec![target.name.clone(), band.replace(' ', "\u{a0}"), target.provenance.to_string()]
    });
    blocks.extend(part(
        "Targets",
        "None in the vehicle file.",
        &[("target", 3.0), ("value and tolerance", 2.4), ("from", 4.0)],
        targets.collect(),
    ));
    blocks.extend(not_done(report));
    blocks.push(Block::Heading("For you to fill in".to_owned()));
    blocks.push(Block::Lines {
        what: "camber, toe, caster as you set them; steering wheel straight; remarks".to_owned(),
        count: 5,
    });
    blocks
}

/// Whether a nut turns, as far as this job knows.
fn turns(hold: &HoldState) -> &'static str {
    match (hold.was_out || hold.disturbed > 0, hold.stuck) {
        (true, false) => "was loosened in this job: not seized",
        (true, true) => "was stuck, then loosened in this job",
        (false, true) => "STUCK when it was tried in this job, and not loosened since",
        (false, false) => "not turned in this job",
    }
}

/// What toe was measured with.
fn strings(job: &Job) -> Drawing {
    let mm = |length: Option<Length>| length.map_or(f64::NAN, Length::mm);
    string_setup(StringSetup {
        wheelbase: mm(job.car.wheelbase),
        track_front: mm(job.car.track_front),
        track_rear: mm(job.car.track_rear),
    })
}

/// The record for the next owner.
pub(super) fn owner(report: &ReportView) -> Vec<Block> {
    let mut blocks = vec![title("Record for the next owner", report), disclaimer(report)];
    blocks.extend(part(
        "Renewed",
        "Nothing.",
        &[("what", 4.0), ("maker, part number", 3.0)],
        report.replaced.iter().map(|name| vec![capital(name), String::new()]).collect(),
    ));
    blocks.extend(states("Every fastener that was disturbed", report, |_| true));
    blocks.extend(readings(report));
    blocks.extend(not_done(report));
    blocks.extend(rechecks(report));
    blocks
}

/// Own notes for next time: what was stuck or broke, which way worked, remarks.
pub(super) fn notes(job: &Job, report: &ReportView) -> Vec<Block> {
    let mut blocks = vec![title("Notes for next time", report), disclaimer(report)];
    let name = |id: &axlestand_model::ItemId| job.car.item(id).map_or(id.as_str(), Item::name).to_owned();
    let trouble = job.state.counting_entries().filter_map(|entry| {
        let told = |what: &str, note: &Option<String>| {
            note.as_ref().map_or_else(|| what.to_owned(), |note| format!("{what}: {note}"))
        };
        let (item, text) = match &entry.event {
            Event::Stuck { item, note, .. } => (item, told("stuck", note)),
            Event::Broken { item, note, .. } => (item, told("broke", note)),
            _ => return None,
        };
        Some(vec![day(&entry.at).to_owned(), name(item), text])
    });
    blocks.extend(part(
        "What gave trouble",
        "Nothing was recorded as stuck or broken.",
        &[("day", 1.4), ("what", 3.4), ("how", 5.0)],
        trouble.collect(),
    ));
    let ways = job.state.ways.iter().map(|way| vec![name(way)]).collect();
    blocks.extend(part("Ways chosen instead of the usual one", "None.", &[("way", 1.0)], ways));
    let notes = report.notes.iter().map(|note| vec![note.clone()]).collect();
    blocks.extend(part("Remarks", "None.", &[("remark", 1.0)], notes));
    blocks.extend(readings(report));
    blocks.extend(not_done(report));
    blocks.push(Block::Lines { what: "more for next time".to_owned(), count: 6 });
    blocks
}
