//! A thread: sizes, areas, heads.

use super::{CalcView, read_thread};
use crate::error::GarageError;
use crate::fastening::figures::{Reason, plain};
use axlestand_fastener::across_flats::across_flats;
use axlestand_fastener::torx::drives;
use axlestand_fastener::{PropertyClass, Thread, formula};

/// Everything the tables know of a thread.
///
/// # Errors
/// [`GarageError::Input`] where it is no standard thread, with those that are.
pub fn thread(designation: &str) -> Result<CalcView, GarageError> {
    let thread = read_thread(designation)?;
    let mut view = CalcView::new(format!(
        "{thread}{}: pitch {}, root {:.2}, stress area {} mm².",
        if thread.is_metric() { format!(", {}", thread.series()) } else { String::new() },
        thread.pitch(),
        thread.root_diameter(),
        plain(thread.stress_area_mm2(), 1)
    ));
    view.figure("diameter", thread.diameter().mm(), "mm");
    view.figure("pitch", thread.pitch().mm(), "mm");
    view.figure("pitch-diameter", thread.pitch_diameter().mm(), "mm");
    view.figure("minor-diameter", thread.minor_diameter().mm(), "mm");
    view.figure("root-diameter", thread.root_diameter().mm(), "mm");
    view.figure("stress-area", thread.stress_area_mm2(), "mm²");
    view.lines.extend(head_lines(thread));
    let others: Vec<String> = thread.pitches_of_same_diameter().map(|other| other.to_string()).collect();
    if others.len() > 1 {
        view.lines.push(format!(
            "Same diameter, other pitch: {}. Try with two fingers: forced in, it strips.",
            others.join(", ")
        ));
    }
    let proof: Vec<String> = PropertyClass::ALL
        .into_iter()
        .filter_map(|class| Some((class, class.strength(thread).ok()?)))
        .map(|(class, strength)| {
            format!("{class} {}", crate::fastening::figures::kilonewtons(strength.proof_load(thread)))
        })
        .collect();
    view.reasons.push(Reason::new("proof loads, a limit", proof.join(", "), "ISO 898-1, SAE J429"));
    let area = if thread.is_metric() { formula::STRESS_AREA_METRIC } else { formula::STRESS_AREA_INCH };
    let published = thread.published_stress_area_mm2();
    let printed = published
        .map(|area| format!("printed: {area:.1} mm²"))
        .unwrap_or_else(|| "no printed area: computed only".to_owned());
    view.reasons.push(Reason::formula(area, &printed));
    Ok(view)
}

/// The heads that a thread has: several, so that a spanner never tells the thread.
fn head_lines(thread: Thread) -> Vec<String> {
    let mut heads: Vec<(String, Vec<String>)> = Vec::new();
    for head in across_flats(thread) {
        let width = if thread.is_metric() {
            plain(head.width.mm(), 1)
        } else {
            format!("{} in", plain(head.width.mm() / 25.4, 4))
        };
        let standard = head.standard.to_string();
        match heads.iter_mut().find(|(known, _)| *known == width) {
            Some((_, list)) if list.contains(&standard) => {}
            Some((_, list)) => list.push(standard),
            None => heads.push((width, vec![standard])),
        }
    }
    let mut lines = Vec::new();
    if !heads.is_empty() {
        let said: Vec<String> =
            heads.iter().map(|(width, list)| format!("{width} ({})", list.join(", "))).collect();
        lines.push(format!("Across flats: {}.", said.join("; ")));
    }
    let lobes: Vec<String> = drives(thread)
        .iter()
        .map(|drive| match drive.kind {
            axlestand_fastener::torx::TorxKind::Internal => format!("T{}", drive.size),
            axlestand_fastener::torx::TorxKind::External => format!("E{}", drive.size),
        })
        .collect();
    if !lobes.is_empty() {
        lines.push(format!("Six lobes: {}.", lobes.join(", ")));
    }
    lines
}
