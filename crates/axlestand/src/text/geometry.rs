//! Heights, previews and tie-rod ends as text.

use super::figures::{inputs, maybe, number, signed};
use crate::output::{Failure, Output};
use axlestand_garage::geometry::{
    AngleView, AxlePreview, HeightView, JointView, PreviewView, TieRodView, Value,
};

/// Heights and springs: a line for each figure, a column for each corner.
pub(crate) fn height(view: &HeightView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    let what =
        if view.changes { "heights and springs as wanted" } else { "heights and springs as the car stands" };
    output.heading(&format!("{}: {what}", view.car))?;
    for danger in &view.dangers {
        let line = if danger.grave { output.strong(&danger.to_string()) } else { format!("! {danger}") };
        output.line(line)?;
    }
    let head: String = view.corners.iter().map(|c| format!("{:>15}", c.wheel.replace('-', " "))).collect();
    let head = output.strong(&format!("{:34}{head}", ""));
    output.line(head)?;
    let row = |name: &str, cells: Vec<String>, output: &mut Output<'_>| {
        if cells.iter().all(|cell| cell == "–") {
            return Ok(());
        }
        let cells: String = cells.iter().map(|cell| format!("{cell:>15}")).collect();
        output.line(format!("{name:34}{cells}"))
    };
    let c = &view.corners;
    let plain = |of: fn(&axlestand_garage::geometry::CornerHeight) -> Option<f64>,
                 places: usize|
     -> Vec<String> { c.iter().map(|corner| maybe(of(corner), places)).collect() };
    let open = |of: fn(&axlestand_garage::geometry::CornerHeight) -> Value, places: usize| -> Vec<String> {
        c.iter().map(|corner| with_spread(of(corner), places)).collect()
    };
    row("height now, hub to arch, mm", plain(|c| c.now, 0), output)?;
    if view.changes {
        row("wanted, mm", plain(|c| c.wanted, 0), output)?;
        row("comes to stand at, mm", open(|c| c.height, 0), output)?;
        if c.iter().any(|corner| corner.collar_change.value.is_some_and(|change| change.abs() > 0.05)) {
            row("collar: raise (+) or lower (−), mm", open(|c| c.collar_change, 1), output)?;
            row("  in turns of the collar", plain(|c| c.collar_turns, 1), output)?;
        }
    } else {
        row("stands at, mm", open(|c| c.height, 0), output)?;
    }
    row("load on the tyre, N", open(|c| c.load, 0), output)?;
    row("force of the spring, N", open(|c| c.force, 0), output)?;
    row("motion ratio, spring over wheel", open(|c| c.ratio, 2), output)?;
    row("wheel rate, N/mm", open(|c| c.wheel_rate, 1), output)?;
    row("ride frequency, Hz", open(|c| c.frequency, 2), output)?;
    row("damping ratio", open(|c| c.damping, 2), output)?;
    row("travel left to the bump stop, mm", open(|c| c.bump_left, 0), output)?;
    row("travel left to full droop, mm", open(|c| c.droop_left, 0), output)?;
    row("spring compressed at full droop, mm", open(|c| c.hold_at_droop, 0), output)?;
    row("coils free at the bump stop, mm", open(|c| c.to_bind, 0), output)?;
    row("energy in the spring, J", open(|c| c.energy, 0), output)?;
    row("  at full droop, J", open(|c| c.energy_at_droop, 0), output)?;
    for corner in c.iter().filter(|corner| corner.target.is_some()) {
        let target = corner.target.as_deref().unwrap_or_default();
        output.line(format!("{} height: {target} (target of the file)", corner.wheel.replace('-', " ")))?;
    }
    output
        .line(format!("Cross-weight (front right and rear left): {} %", with_spread(view.cross_weight, 1)))?;
    if view.changes {
        aim(view.aim_percent, output)?;
    }
    for note in &view.notes {
        output.line(note)?;
    }
    if c.iter().any(|corner| corner.height.spread.is_some() || corner.load.spread.is_some()) {
        output.line("± is half the spread that the typical inputs leave.")?;
    }
    inputs(&view.inputs, explain, output)
}

fn with_spread(value: Value, places: usize) -> String {
    let spread = value.spread.filter(|s| *s > 0.5 * 10_f64.powi(-(places as i32)));
    let spread = spread.map_or_else(String::new, |s| format!(" ± {}", number(s, places)));
    value.value.map_or_else(|| "–".to_owned(), |v| format!("{}{spread}", number(v, places)))
}

fn aim(percent: Option<f64>, output: &mut Output<'_>) -> Result<(), Failure> {
    let Some(percent) = percent else {
        return output.line("Headlamps: the wheelbase is not in the file, so their aim is not computed.");
    };
    if percent.abs() < 0.05 {
        return output.line("Headlamps: their aim stays as it is (both axles move alike).");
    }
    let way = if percent > 0.0 { "higher" } else { "lower" };
    output.line(format!(
        "Headlamps: they aim {:.1} % {way}, {:.0} cm at 10 m: have them set.",
        percent.abs(),
        percent.abs() * 10.0
    ))
}

/// What lowering does.
pub(crate) fn preview(view: &PreviewView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    output.heading(&view.car)?;
    for axle in &view.axles {
        axle_preview(axle, explain, output)?;
    }
    aim(view.aim_percent, output)?;
    for note in &view.notes {
        output.line(note)?;
    }
    Ok(())
}

fn axle_preview(axle: &AxlePreview, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    let moved = if axle.lower.abs() < 0.05 {
        "as high as it is".to_owned()
    } else {
        format!("{:.0} mm {}", axle.lower.abs(), if axle.lower > 0.0 { "lower" } else { "higher" })
    };
    output.line("")?;
    output.heading(&format!("{} axle, {moved}", axle.axle))?;
    if let Some(missing) = &axle.missing {
        return output.line(format!("  No angles: {missing}."));
    }
    let head = format!("  {:42}{:>10}{:>18}{:>10}", "", "before", "change", "after");
    let head = output.strong(&head);
    output.line(head)?;
    for angle in &axle.angles {
        output.line(angle_line(angle))?;
        if let (Some(target), Some(verdict)) = (&angle.target, &angle.verdict) {
            output.line(format!("      {verdict}: target {target}"))?;
        }
    }
    for line in &axle.adjust {
        output.line(format!("  → {line}"))?;
    }
    for joint in &axle.joints {
        output.line(format!("  {}", joint_line(joint)))?;
    }
    inputs(&axle.inputs, explain, output)
}

fn angle_line(angle: &AngleView) -> String {
    let unit = if angle.unit == "°" { "°".to_owned() } else { format!(" {}", angle.unit) };
    let spread = angle.change_spread.filter(|s| *s > 0.5 * 10_f64.powi(-(angle.places as i32)));
    let spread = spread.map_or_else(String::new, |s| format!(" ± {}", number(s, angle.places)));
    let change = format!("{}{spread}{unit}", signed(angle.change, angle.places));
    let value = |value: Option<f64>| {
        value.map_or_else(|| "–".to_owned(), |v| format!("{}{unit}", number(v, angle.places)))
    };
    format!("  {:42}{:>10}{change:>18}{:>10}", angle.name, value(angle.before), value(angle.after))
}

fn joint_line(joint: &JointView) -> String {
    let unit = if joint.unit == "°" { "°".to_owned() } else { format!(" {}", joint.unit) };
    let at = format!("at travel {} mm, rack {} mm", signed(joint.travel, 0), signed(joint.rack, 0));
    match (joint.limit, joint.within) {
        (Some(limit), Some(within)) => format!(
            "{}: {:.1}{unit} {at}, {} the {:.1}{unit} allowed [{}]",
            joint.what,
            joint.value,
            if within { "within" } else { "BEYOND" },
            limit,
            joint.from.as_deref().unwrap_or_default()
        ),
        _ => format!("{}: {:.1}{unit} {at} (no limit in the file, so no verdict)", joint.what, joint.value),
    }
}

/// How to screw on the new tie-rod end.
pub(crate) fn tie_rod(view: &TieRodView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    output.heading(&format!("Tie-rod end, {}: {}", view.side, view.line))?;
    for line in &view.lines {
        output.line(line)?;
    }
    inputs(&view.inputs, explain, output)
}
