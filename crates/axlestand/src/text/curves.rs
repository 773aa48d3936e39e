//! Curves and steering as tables.

use super::csv;
use super::figures::{inputs, maybe, number, signed};
use crate::output::{Failure, Output};
use axlestand_garage::geometry::{CurvesView, SteeringView};

/// Curves as a table.
pub(crate) fn curves(view: &CurvesView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    output.heading(&format!("{}: {} axle, {}, {} wheel", view.car, view.axle, view.layout, view.side))?;
    output.line(match (view.side, view.mirrored) {
        ("right", true) => {
            "It is the mirror image of the left one: the file has no figures of its own for it."
        }
        ("right", false) => {
            "By its own figures; what the file does not give for it is mirrored from the left."
        }
        (_, true) => "The right wheel is its mirror image.",
        (_, false) => "The right wheel has figures of its own: --side right.",
    })?;
    let has_height = view.rows.iter().any(|row| row.height.is_some());
    let mut head = format!("{:>7}", "travel");
    let mut units = format!("{:>7}", "mm");
    for name in [(has_height, "height"), (view.grid, "rack")].into_iter().filter(|(shown, _)| *shown) {
        head.push_str(&format!("{:>7}", name.1));
        units.push_str(&format!("{:>7}", "mm"));
    }
    for column in &view.columns {
        head.push_str(&format!("{:>9}", column.name));
        units.push_str(&format!("{:>9}", column.unit));
    }
    let strong = output.strong(&head);
    output.line(strong)?;
    let quiet = output.quiet(&units);
    output.line(quiet)?;
    let mut before = view.rows.first().map(|row| row.travel);
    for row in &view.rows {
        if view.grid && before != Some(row.travel) {
            output.line("")?;
        }
        before = Some(row.travel);
        let mut line = format!("{:>7}", signed(row.travel, 0));
        if has_height {
            line.push_str(&format!("{:>7}", maybe(row.height, 0)));
        }
        if view.grid {
            line.push_str(&format!("{:>7}", signed(row.rack, 0)));
        }
        match &row.trouble {
            Some(trouble) => line.push_str(&format!("  {trouble}")),
            None => {
                for (value, column) in row.values.iter().zip(&view.columns) {
                    line.push_str(&format!("{:>9}", maybe(*value, column.places)));
                }
                line.push_str(row.beyond.map_or("", |_| "  *"));
            }
        }
        output.line(line)?;
    }
    output.line("")?;
    output.line(
        "Travel: wheel up from the height at which the points were taken. Angles relative to the body.",
    )?;
    if view.grid {
        output.line("Rack and heading: + to the left. Signs: camber + top outward; caster + top rearward (--explain says all).")?;
    } else {
        output.line("Signs: camber + top outward; toe + toe-in, of one wheel; caster + top rearward (--explain says all).")?;
    }
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

/// A column's name with its unit, for a program: `camber_deg`.
fn csv_name(key: &str, unit: &str) -> String {
    let unit = match unit {
        "°" => "_deg".to_owned(),
        "%" => "_percent".to_owned(),
        "" => String::new(),
        unit => format!("_{unit}"),
    };
    format!("{}{unit}", key.replace('-', "_"))
}

/// Names of columns; with their spreads beside them where inputs are only typical.
fn csv_head(columns: &[(&str, &str)], open: bool) -> Vec<String> {
    let mut head = Vec::new();
    for (key, unit) in columns {
        let name = csv_name(key, unit);
        head.push(name.clone());
        if open {
            head.push(format!("{name}_spread"));
        }
    }
    head
}

/// Values, each with its spread where inputs are only typical.
fn csv_values(values: &[Option<f64>], spread: Option<&[Option<f64>]>, open: bool) -> Vec<String> {
    let mut cells = Vec::new();
    for (i, value) in values.iter().enumerate() {
        cells.push(csv::number(*value));
        if open {
            cells.push(csv::number(spread.and_then(|s| s.get(i).copied().flatten())));
        }
    }
    cells
}

/// Curves as comma-separated values.
pub(crate) fn curves_csv(view: &CurvesView, output: &mut Output<'_>) -> Result<(), Failure> {
    let open = view.rows.iter().any(|row| row.spread.is_some());
    let mut head = vec!["travel_mm".to_owned(), "height_mm".to_owned()];
    head.extend(view.grid.then(|| "rack_mm".to_owned()));
    let columns: Vec<(&str, &str)> = view.columns.iter().map(|column| (column.key, column.unit)).collect();
    head.extend(csv_head(&columns, open));
    head.extend(["beyond", "trouble"].map(str::to_owned));
    csv::record(&head, output)?;
    for row in &view.rows {
        let mut cells = vec![format!("{}", row.travel), csv::number(row.height)];
        cells.extend(view.grid.then(|| format!("{}", row.rack)));
        cells.extend(csv_values(&row.values, row.spread.as_deref(), open));
        cells.push(row.beyond.unwrap_or_default().to_owned());
        cells.push(row.trouble.clone().unwrap_or_default());
        csv::record(&cells, output)?;
    }
    Ok(())
}

/// Both wheels against the rack as comma-separated values.
pub(crate) fn steering_csv(view: &SteeringView, output: &mut Output<'_>) -> Result<(), Failure> {
    let open = view.rows.iter().any(|row| row.spread.is_some());
    let columns = [
        ("left-heading", "°"),
        ("right-heading", "°"),
        ("left-camber", "°"),
        ("right-camber", "°"),
        ("ackermann", "%"),
    ];
    let mut head = vec!["rack_mm".to_owned()];
    head.extend(csv_head(&columns, open));
    head.push("trouble".to_owned());
    csv::record(&head, output)?;
    for row in &view.rows {
        let values = [row.left, row.right, row.left_camber, row.right_camber, row.ackermann];
        let mut cells = vec![format!("{}", row.rack)];
        cells.extend(csv_values(&values, row.spread.as_deref(), open));
        cells.push(row.trouble.clone().unwrap_or_default());
        csv::record(&cells, output)?;
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
    if !view.mirrored {
        output.line(
            "The right wheel has figures of its own; what the file does not give for it is mirrored.",
        )?;
    }
    output.line(
        "Rack and headings to the left are positive. Ackermann: 100 rolls without scrub, 0 is parallel.",
    )?;
    inputs(&view.inputs, explain, output)
}
