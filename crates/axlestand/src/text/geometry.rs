//! Curves, heights and previews as text.

use crate::output::{Failure, Output};
use axlestand_garage::geometry::{
    AngleView, AxlePreview, CurvesView, HeightView, InputView, JointView, PreviewView, SteeringView,
    TieRodView, Value,
};

/// A number with its places; no minus before nought.
fn number(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    if text.trim_start_matches('-').chars().all(|c| matches!(c, '0' | '.')) {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

fn maybe(value: Option<f64>, places: usize) -> String {
    value.map_or_else(|| "–".to_owned(), |value| number(value, places))
}

/// A number with its sign.
fn signed(value: f64, places: usize) -> String {
    let text = number(value, places);
    if text.starts_with('-') || text.chars().all(|c| matches!(c, '0' | '.')) {
        text
    } else {
        format!("+{text}")
    }
}

/// Curves as a table.
pub(crate) fn curves(view: &CurvesView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    output.heading(&format!("{}: {} axle, {}, {}", view.car, view.axle, view.layout, view.wheels))?;
    let mut groups: Vec<&str> = view.columns.iter().map(|column| column.group).collect();
    groups.dedup();
    if groups.is_empty() {
        // Nowhere does the wheel get: the rows say why.
        groups.push("wheels");
    }
    for (i, group) in groups.into_iter().enumerate() {
        curve_table(view, group, i == 0, output)?;
        output.line("")?;
    }
    let rolls = view.against == "opposite-travel";
    output.line(if rolls {
        "Travel: left wheel up from the height at which the points were taken, right wheel down. Camber relative to the body and to the road."
    } else {
        "Travel: wheel up from the height at which the points were taken. Angles relative to the body."
    })?;
    let caster = if view.columns.iter().any(|c| c.key == "caster") { "; caster + top rearward" } else { "" };
    output.line(format!(
        "Signs: camber + top outward; toe + toe-in, of one wheel{caster} (--explain says all)."
    ))?;
    if explain {
        for column in view.columns.iter().filter(|c| !c.sign.is_empty()) {
            let line = output.quiet(&format!("  {}: {}", column.name, column.sign));
            output.line(line)?;
        }
    }
    ends(view.droop, view.bump, output)?;
    if view.rows.iter().any(|row| row.beyond.is_some()) {
        output.line("* beyond the damper's end: the links would go there, the wheel does not.")?;
    }
    for note in &view.notes {
        output.line(note)?;
    }
    curve_spread(view, output)?;
    inputs(&view.inputs, explain, output)
}

/// The columns of one group, as wide as a terminal takes; rows that the wheel does not get to only
/// where `troubles` are told.
fn curve_table(
    view: &CurvesView,
    group: &str,
    troubles: bool,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    let has_height = view.rows.iter().any(|row| row.height.is_some());
    let columns: Vec<_> = view.columns.iter().enumerate().filter(|(_, c)| c.group == group).collect();
    let width = |name: &str| (name.chars().count() + 1).max(9);
    let mut head = format!("{:>7}", "travel");
    let mut units = format!("{:>7}", "mm");
    if has_height {
        head.push_str(&format!("{:>7}", "height"));
        units.push_str(&format!("{:>7}", "mm"));
    }
    for (_, column) in &columns {
        let width = width(column.name);
        head.push_str(&format!("{:>width$}", column.name));
        units.push_str(&format!("{:>width$}", column.unit));
    }
    let strong = output.strong(&head);
    output.line(strong)?;
    let quiet = output.quiet(&units);
    output.line(quiet)?;
    for row in view.rows.iter().filter(|row| troubles || row.trouble.is_none()) {
        let mut line = format!("{:>7}", signed(row.travel, 0));
        if has_height {
            line.push_str(&format!("{:>7}", maybe(row.height, 0)));
        }
        match &row.trouble {
            Some(trouble) => line.push_str(&format!("  {trouble}")),
            None => {
                for (i, column) in &columns {
                    let (width, value) = (width(column.name), row.values.get(*i).copied().flatten());
                    line.push_str(&format!("{:>width$}", maybe(value, column.places)));
                }
                line.push_str(row.beyond.map_or("", |_| "  *"));
            }
        }
        output.line(line)?;
    }
    Ok(())
}

fn ends(droop: Option<f64>, bump: Option<f64>, output: &mut Output<'_>) -> Result<(), Failure> {
    match (droop, bump) {
        (None, None) => Ok(()),
        (droop, bump) => output.line(format!(
            "The damper ends the travel at {} mm (full droop) and {} mm (bump stop touched).",
            droop.map_or_else(|| "?".to_owned(), |d| signed(d, 0)),
            bump.map_or_else(|| "?".to_owned(), |b| signed(b, 0))
        )),
    }
}

/// The largest spread of each column.
fn curve_spread(view: &CurvesView, output: &mut Output<'_>) -> Result<(), Failure> {
    let mut pieces = Vec::new();
    for (i, column) in view.columns.iter().enumerate() {
        let most = view
            .rows
            .iter()
            .filter_map(|row| row.spread.as_ref()?.get(i).copied().flatten())
            .fold(0.0_f64, f64::max);
        if most > 0.5 * 10_f64.powi(-(column.places as i32)) {
            let unit = if column.unit.is_empty() || column.unit == "°" {
                column.unit.to_owned()
            } else {
                format!(" {}", column.unit)
            };
            pieces.push(format!("{} ± {}{unit}", column.name, number(most, column.places)));
        }
    }
    if pieces.is_empty() {
        return Ok(());
    }
    output.line(format!("What the typical inputs leave open, at most: {}.", pieces.join(", ")))
}

/// Curves as comma-separated values.
pub(crate) fn curves_csv(view: &CurvesView, output: &mut Output<'_>) -> Result<(), Failure> {
    let unit = |unit: &str| match unit {
        "°" => "_deg".to_owned(),
        "°/°" => "_deg_per_deg".to_owned(),
        "%" => "_percent".to_owned(),
        "" => String::new(),
        unit => format!("_{unit}"),
    };
    let mut head = vec!["travel_mm".to_owned(), "height_mm".to_owned()];
    let open = view.rows.iter().any(|row| row.spread.is_some());
    for column in &view.columns {
        let name = format!("{}{}", column.key.replace('-', "_"), unit(column.unit));
        head.push(name.clone());
        if open {
            head.push(format!("{name}_spread"));
        }
    }
    head.extend(["beyond", "trouble"].map(str::to_owned));
    output.line(head.join(","))?;
    for row in &view.rows {
        let plain = |value: Option<f64>| value.map_or_else(String::new, |v| format!("{v:.6}"));
        let mut cells = vec![format!("{}", row.travel), plain(row.height)];
        for (i, value) in row.values.iter().enumerate() {
            cells.push(plain(*value));
            if open {
                cells.push(plain(row.spread.as_ref().and_then(|s| s.get(i).copied().flatten())));
            }
        }
        cells.push(row.beyond.unwrap_or_default().to_owned());
        let trouble = row.trouble.as_deref().unwrap_or_default().replace('"', "'");
        cells.push(if trouble.is_empty() { trouble } else { format!("\"{trouble}\"") });
        output.line(cells.join(","))?;
    }
    Ok(())
}

/// Both wheels against the rack.
pub(crate) fn steering(view: &SteeringView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    output.heading(&format!("{}: {} axle, steered lock to lock", view.car, view.axle))?;
    let head = format!(
        "{:>9}{:>10}{:>10}{:>13}{:>14}{:>12}",
        "rack", "left", "right", "camber left", "camber right", "Ackermann"
    );
    let head = output.strong(&head);
    output.line(head)?;
    let units = output.quiet(&format!("{:>9}{:>10}{:>10}{:>13}{:>14}{:>12}", "mm", "°", "°", "°", "°", "%"));
    output.line(units)?;
    for row in &view.rows {
        let rest = match &row.trouble {
            Some(trouble) => format!("  {trouble}"),
            None => format!(
                "{:>10}{:>10}{:>13}{:>14}{:>12}",
                maybe(row.left, 2),
                maybe(row.right, 2),
                maybe(row.left_camber, 2),
                maybe(row.right_camber, 2),
                maybe(row.ackermann, 0)
            ),
        };
        output.line(format!("{:>9}{rest}", signed(row.rack, 1)))?;
    }
    output.line("")?;
    output.line(
        "Rack and headings to the left are positive. Ackermann: 100 rolls without scrub, 0 is parallel.",
    )?;
    inputs(&view.inputs, explain, output)
}

/// The inputs: the typical ones always, all on request.
fn inputs(inputs: &[InputView], explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    let typical: Vec<&InputView> = inputs.iter().filter(|input| input.typical).collect();
    if !typical.is_empty() {
        output.line("Typical, NOT from this car (measure these to narrow the answer):")?;
        for input in typical {
            let range = input.range.as_ref().map(|r| format!(", varied {r}")).unwrap_or_default();
            output.line(format!("  {} {}{range} [{}]", input.what, input.value, input.from))?;
        }
    }
    if explain {
        output.line("Inputs:")?;
        for input in inputs.iter().filter(|input| !input.typical) {
            let line = output.quiet(&format!("  {} {} [{}]", input.what, input.value, input.from));
            output.line(line)?;
        }
    }
    Ok(())
}

/// Heights and springs: a line for each figure, a column for each corner.
pub(crate) fn height(view: &HeightView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    let what =
        if view.changes { "heights and springs as wanted" } else { "heights and springs as the car stands" };
    output.heading(&format!("{}: {what}", view.car))?;
    for danger in &view.dangers {
        let line = if danger.starts_with("DANGER") { output.strong(danger) } else { format!("! {danger}") };
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
    row("spring held at full droop by, mm", open(|c| c.hold_at_droop, 0), output)?;
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
    let head = format!("  {:38}{:>10}{:>18}{:>10}", "", "before", "change", "after");
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
    format!("  {:38}{:>10}{change:>18}{:>10}", angle.name, value(angle.before), value(angle.after))
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
