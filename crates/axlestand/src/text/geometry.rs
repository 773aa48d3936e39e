//! Heights, previews and tie-rod ends as text.

use super::figures::{inputs, number, signed};
use crate::output::{Failure, Output};
use axlestand_garage::Units;
use axlestand_garage::geometry::{
    AngleView, AxlePreview, CornerHeight, HeightView, JointView, PreviewView, TieRodView, Value,
};

/// A figure of a corner.
type Figure = fn(&CornerHeight) -> Value;

/// Name, unit, places and figure of the lines on springs and travel.
const FIGURES: [(&str, &str, usize, Figure); 12] = [
    ("load on the tyre", "N", 0, |c| c.load),
    ("force of the spring", "N", 0, |c| c.force),
    ("motion ratio, spring over wheel", "", 2, |c| c.ratio),
    ("wheel rate", "N/mm", 1, |c| c.wheel_rate),
    ("ride frequency", "Hz", 2, |c| c.frequency),
    ("damping ratio", "", 2, |c| c.damping),
    ("travel left to the bump stop", "mm", 0, |c| c.bump_left),
    ("travel left to full droop", "mm", 0, |c| c.droop_left),
    ("spring compressed at full droop", "mm", 0, |c| c.hold_at_droop),
    ("coils free at the bump stop", "mm", 0, |c| c.to_bind),
    ("energy in the spring", "J", 0, |c| c.energy),
    ("  at full droop", "J", 0, |c| c.energy_at_droop),
];

/// A line for each figure, a column for each corner, lengths in the user's unit.
struct Rows<'a> {
    corners: &'a [CornerHeight],
    units: Units,
}

impl Rows<'_> {
    fn line(
        &self,
        name: &str,
        (unit, places): (&'static str, usize),
        of: impl Fn(&CornerHeight) -> Value,
        output: &mut Output<'_>,
    ) -> Result<(), Failure> {
        let values: Vec<Value> = self.corners.iter().map(of).collect();
        if values.iter().all(|value| value.value.is_none()) {
            return Ok(());
        }
        let (_, places, shown) = self.units.figure_in(0.0, places, unit);
        let here = |value: f64| self.units.figure_in(value, 0, unit).0;
        let cell = |one: &Value| {
            let one = Value { value: one.value.map(here), spread: one.spread.map(here) };
            format!("{:>15}", with_spread(one, places))
        };
        let cells: String = values.iter().map(cell).collect();
        let name = if shown.is_empty() { name.to_owned() } else { format!("{name}, {shown}") };
        output.line(format!("{name:34}{cells}"))
    }
}

/// A figure without a spread.
fn exact(value: Option<f64>) -> Value {
    Value { value, spread: None }
}

/// Heights and springs: a line for each figure, a column for each corner.
pub(crate) fn height(
    view: &HeightView,
    explain: bool,
    units: Units,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
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
    let rows = Rows { corners: &view.corners, units };
    // As many places as tell each height from its limits.
    let places = |corner: &CornerHeight| Some(corner.target.as_ref()?.places(corner.height.value?, units));
    let stands = view.corners.iter().filter_map(places).max().unwrap_or(0);
    rows.line("height now, hub to arch", ("mm", stands), |c| exact(c.now), output)?;
    if view.changes {
        rows.line("wanted", ("mm", 0), |c| exact(c.wanted), output)?;
        rows.line("comes to stand at", ("mm", stands), |c| c.height, output)?;
        let changes = |corner: &CornerHeight| corner.collar_change.value.is_some_and(|by| by.abs() > 0.05);
        if view.corners.iter().any(changes) {
            rows.line("collar: raise (+) or lower (−)", ("mm", 1), |c| c.collar_change, output)?;
            rows.line("  in turns of the collar", ("", 1), |c| exact(c.collar_turns), output)?;
        }
    } else {
        rows.line("stands at", ("mm", stands), |c| c.height, output)?;
    }
    for (name, unit, places, of) in FIGURES {
        rows.line(name, (unit, places), of, output)?;
    }
    for corner in &view.corners {
        let (Some(target), Some(height)) = (&corner.target, corner.height.value) else { continue };
        let [_, lower, upper] = target.said(height, units);
        output.line(format!(
            "{} height: {}: target {lower} to {upper} [vehicle file]",
            corner.wheel.replace('-', " "),
            target.verdict,
        ))?;
    }
    output
        .line(format!("Cross-weight (front right and rear left): {} %", with_spread(view.cross_weight, 1)))?;
    if view.changes {
        aim(view.aim_percent, units, output)?;
    }
    for note in &view.notes {
        output.line(note)?;
    }
    if view.corners.iter().any(|corner| corner.height.spread.is_some() || corner.load.spread.is_some()) {
        output.line("± is half the spread that the typical inputs leave.")?;
    }
    inputs(&view.inputs, explain, output)
}

fn with_spread(value: Value, places: usize) -> String {
    let spread = value.spread.filter(|s| *s > 0.5 * 10_f64.powi(-(places as i32)));
    let spread = spread.map_or_else(String::new, |s| format!(" ± {}", number(s, places)));
    value.value.map_or_else(|| "–".to_owned(), |v| format!("{}{spread}", number(v, places)))
}

fn aim(percent: Option<f64>, units: Units, output: &mut Output<'_>) -> Result<(), Failure> {
    let Some(percent) = percent else {
        return output.line("Headlamps: the wheelbase is not in the file, so their aim is not computed.");
    };
    if percent.abs() < 0.05 {
        return output.line("Headlamps: their aim stays as it is (both axles move alike).");
    }
    let way = if percent > 0.0 { "higher" } else { "lower" };
    // A percent is a centimetre at a metre, and 3 in at 25 ft.
    let beam = match units {
        Units::Metric => format!("{:.0} cm at 10 m", percent.abs() * 10.0),
        Units::Inch => format!("{:.1} in at 25 ft", percent.abs() * 3.0),
    };
    output.line(format!("Headlamps: they aim {:.1} % {way}, {beam}: have them set.", percent.abs()))
}

/// What lowering does.
pub(crate) fn preview(
    view: &PreviewView,
    explain: bool,
    units: Units,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    output.heading(&view.car)?;
    for axle in &view.axles {
        axle_preview(axle, explain, units, output)?;
    }
    aim(view.aim_percent, units, output)?;
    for note in &view.notes {
        output.line(note)?;
    }
    Ok(())
}

fn axle_preview(
    axle: &AxlePreview,
    explain: bool,
    units: Units,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    let moved = if axle.lower.abs() < 0.05 {
        "as high as it is".to_owned()
    } else {
        format!("{} {}", units.length(axle.lower.abs(), 0), if axle.lower > 0.0 { "lower" } else { "higher" })
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
        output.line(angle_line(&angle.in_units(units)))?;
        if let (Some(target), Some(verdict)) = (&angle.target, &angle.verdict) {
            output.line(format!("      {verdict}: target {target}"))?;
        }
    }
    for line in &axle.adjust {
        output.line(format!("  → {line}"))?;
    }
    for joint in &axle.joints {
        output.line(format!("  {}", joint_line(joint, units)))?;
    }
    inputs(&axle.inputs, explain, output)
}

/// A row as it is in the user's units.
fn angle_line(angle: &AngleView) -> String {
    let (places, unit) = (angle.places, behind(angle.unit));
    let spread = angle.change_spread.filter(|s| *s > 0.5 * 10_f64.powi(-(places as i32)));
    let spread = spread.map_or_else(String::new, |s| format!(" ± {}", number(s, places)));
    let change = format!("{}{spread}{unit}", signed(angle.change, places));
    let value =
        |value: Option<f64>| value.map_or_else(|| "–".to_owned(), |v| format!("{}{unit}", number(v, places)));
    format!("  {:42}{:>10}{change:>18}{:>10}", angle.name, value(angle.before), value(angle.after))
}

/// A unit as it stands behind a number.
fn behind(unit: &str) -> String {
    if unit == "°" { "°".to_owned() } else { format!(" {unit}") }
}

fn joint_line(joint: &JointView, units: Units) -> String {
    let (value, places, unit) = units.figure_in(joint.value, 1, joint.unit);
    let unit = behind(unit);
    let moved = |mm: f64| {
        let (by, places, unit) = units.figure_in(mm, 0, "mm");
        format!("{} {unit}", signed(by, places))
    };
    let at = format!("at travel {}, rack {}", moved(joint.travel), moved(joint.rack));
    match (joint.limit, joint.within) {
        (Some(limit), Some(within)) => format!(
            "{}: {value:.places$}{unit} {at}, {} the {:.places$}{unit} allowed [{}]",
            joint.what,
            if within { "within" } else { "BEYOND" },
            units.figure_in(limit, 1, joint.unit).0,
            joint.from.as_deref().unwrap_or_default()
        ),
        _ => format!("{}: {value:.places$}{unit} {at} (no limit in the file, so no verdict)", joint.what),
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
