//! Curves and steering as tables.

use super::figures::{inputs, maybe, number, signed};
use crate::output::{Failure, Output};
use axlestand_garage::geometry::{ColumnView, CurvesView, SteeringView};
use axlestand_garage::{Units, comma_separated};

/// Curves as a table.
pub(crate) fn curves(
    view: &CurvesView,
    explain: bool,
    units: Units,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    output.heading(&format!("{}: {} axle, {}, {}", view.car, view.axle, view.layout, view.wheels))?;
    if let Some(line) = other_side(view) {
        output.line(line)?;
    }
    let mut groups: Vec<&str> = view.columns.iter().map(|column| column.group).collect();
    groups.dedup();
    if groups.is_empty() {
        // Nowhere does the wheel get: the rows say why.
        groups.push("wheels");
    }
    for (i, group) in groups.into_iter().enumerate() {
        piece(view, group, i == 0, units, output)?;
        output.line("")?;
    }
    signs(view, explain, output)?;
    ends(view.droop, view.bump, units, output)?;
    if view.rows.iter().any(|row| row.beyond.is_some()) {
        output.line("* beyond the damper's end: the links would go there, the wheel does not.")?;
    }
    for note in &view.notes {
        output.line(note)?;
    }
    curve_spread(view, units, output)?;
    inputs(&view.inputs, explain, output)
}

/// What is to be known of the side that is not shown, or of the right one where both are.
fn other_side(view: &CurvesView) -> Option<&'static str> {
    match (view.side, view.mirrored) {
        (Some("right"), true) => {
            Some("It is the mirror image of the left one: the file has no figures of its own for it.")
        }
        (Some("right"), false) => {
            Some("By its own figures; what the file does not give for it is mirrored from the left.")
        }
        (Some(_), true) => Some("The right wheel is its mirror image."),
        (Some(_), false) => Some("The right wheel has figures of its own: --side right."),
        (None, true) => None,
        (None, false) => {
            Some("The right wheel has figures of its own; what the file does not give for it is mirrored.")
        }
    }
}

/// The columns of one group, as wide as a terminal takes; rows that the wheel does not get to only
/// where `troubles` are told.
fn piece(
    view: &CurvesView,
    group: &str,
    troubles: bool,
    units: Units,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    let has_height = view.rows.iter().any(|row| row.height.is_some());
    let columns: Vec<_> = view.columns.iter().enumerate().filter(|(_, c)| c.group == group).collect();
    head(view, has_height, &columns, units, output)?;
    let length = |mm: f64| units.figure_in(mm, 0, "mm");
    let mut before = None;
    for row in view.rows.iter().filter(|row| troubles || row.trouble.is_none()) {
        if view.grid && before.is_some() && before != Some(row.travel) {
            output.line("")?;
        }
        before = Some(row.travel);
        let (travel, places, _) = length(row.travel);
        let mut line = format!("{:>7}", signed(travel, places));
        if has_height {
            line.push_str(&format!("{:>7}", maybe(row.height.map(|height| length(height).0), places)));
        }
        if view.grid {
            line.push_str(&format!("{:>7}", signed(length(row.rack).0, places)));
        }
        match &row.trouble {
            Some(trouble) => line.push_str(&format!("  {trouble}")),
            None => {
                for (i, column) in &columns {
                    let (_, places, _) = units.figure_in(0.0, column.places, column.unit);
                    let here = |value: f64| units.figure_in(value, 0, column.unit).0;
                    let (width, value) = (width(column), row.values.get(*i).copied().flatten().map(here));
                    line.push_str(&format!("{:>width$}", maybe(value, places)));
                }
                line.push_str(row.beyond.map_or("", |_| "  *"));
            }
        }
        output.line(line)?;
    }
    Ok(())
}

/// The names of a piece's columns over their units.
fn head(
    view: &CurvesView,
    has_height: bool,
    columns: &[(usize, &ColumnView)],
    shown: Units,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    let mut head = format!("{:>7}", "travel");
    let mut units = format!("{:>7}", shown.length_unit());
    for (_, name) in
        [(has_height, "height"), (view.grid, "rack")].into_iter().filter(|(is_there, _)| *is_there)
    {
        head.push_str(&format!("{name:>7}"));
        units.push_str(&format!("{:>7}", shown.length_unit()));
    }
    for (_, column) in columns {
        let width = width(column);
        head.push_str(&format!("{:>width$}", column.name));
        units.push_str(&format!("{:>width$}", shown.figure_in(0.0, 0, column.unit).2));
    }
    let strong = output.strong(&head);
    output.line(strong)?;
    let quiet = output.quiet(&units);
    output.line(quiet)
}

/// How wide a column is printed.
fn width(column: &ColumnView) -> usize {
    (column.name.chars().count() + 1).max(9)
}

/// What the numbers are counted from and which sign means what.
fn signs(view: &CurvesView, explain: bool, output: &mut Output<'_>) -> Result<(), Failure> {
    output.line(if view.against == "opposite-travel" {
        "Travel: left wheel up from the height at which the points were taken, right wheel down. Camber relative to the body and to the road."
    } else {
        "Travel: wheel up from the height at which the points were taken. Angles relative to the body."
    })?;
    let caster = if view.columns.iter().any(|c| c.key == "caster") { "; caster + top rearward" } else { "" };
    output.line(if view.grid {
        format!("Rack and heading: + to the left. Signs: camber + top outward{caster} (--explain says all).")
    } else {
        format!("Signs: camber + top outward; toe + toe-in, of one wheel{caster} (--explain says all).")
    })?;
    if explain {
        for column in view.columns.iter().filter(|c| !c.sign.is_empty()) {
            let line = output.quiet(&format!("  {}: {}", column.name, column.sign));
            output.line(line)?;
        }
    }
    Ok(())
}

fn ends(droop: Option<f64>, bump: Option<f64>, units: Units, output: &mut Output<'_>) -> Result<(), Failure> {
    let at = |travel: Option<f64>| {
        travel.map_or_else(
            || "?".to_owned(),
            |mm| {
                let (travel, places, _) = units.figure_in(mm, 0, "mm");
                signed(travel, places)
            },
        )
    };
    match (droop, bump) {
        (None, None) => Ok(()),
        (droop, bump) => output.line(format!(
            "The damper ends the travel at {} {unit} (full droop) and {} {unit} (bump stop touched).",
            at(droop),
            at(bump),
            unit = units.length_unit()
        )),
    }
}

/// The largest spread of each column.
fn curve_spread(view: &CurvesView, units: Units, output: &mut Output<'_>) -> Result<(), Failure> {
    let mut pieces = Vec::new();
    for (i, column) in view.columns.iter().enumerate() {
        let most = view
            .rows
            .iter()
            .filter_map(|row| row.spread.as_ref()?.get(i).copied().flatten())
            .fold(0.0_f64, f64::max);
        let (most, places, unit) = units.figure_in(most, column.places, column.unit);
        if most > 0.5 * 10_f64.powi(-(places as i32)) {
            let unit = if unit.is_empty() || unit == "°" { unit.to_owned() } else { format!(" {unit}") };
            pieces.push(format!("{} ± {}{unit}", column.name, number(most, places)));
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
        "°/°" => "_deg_per_deg".to_owned(),
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
        cells.push(every_digit(*value));
        if open {
            cells.push(every_digit(spread.and_then(|s| s.get(i).copied().flatten())));
        }
    }
    cells
}

/// A number with more digits than anything means, no minus before nought; empty where there is none.
fn every_digit(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| number(value, 6))
}

fn table(head: &[String], rows: &[Vec<String>], output: &mut Output<'_>) -> Result<(), Failure> {
    let head: Vec<&str> = head.iter().map(String::as_str).collect();
    output.raw(comma_separated(&head, rows).as_bytes())
}

/// Curves as comma-separated values.
pub(crate) fn curves_csv(view: &CurvesView, output: &mut Output<'_>) -> Result<(), Failure> {
    let open = view.rows.iter().any(|row| row.spread.is_some());
    let mut head = vec!["travel_mm".to_owned(), "height_mm".to_owned()];
    head.extend(view.grid.then(|| "rack_mm".to_owned()));
    let columns: Vec<(&str, &str)> = view.columns.iter().map(|column| (column.key, column.unit)).collect();
    head.extend(csv_head(&columns, open));
    head.extend(["beyond", "trouble"].map(str::to_owned));
    let mut rows = Vec::new();
    for row in &view.rows {
        let mut cells = vec![format!("{}", row.travel), every_digit(row.height)];
        cells.extend(view.grid.then(|| format!("{}", row.rack)));
        cells.extend(csv_values(&row.values, row.spread.as_deref(), open));
        cells.push(row.beyond.unwrap_or_default().to_owned());
        cells.push(row.trouble.clone().unwrap_or_default());
        rows.push(cells);
    }
    table(&head, &rows, output)
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
    let mut rows = Vec::new();
    for row in &view.rows {
        let values = [row.left, row.right, row.left_camber, row.right_camber, row.ackermann];
        let mut cells = vec![format!("{}", row.rack)];
        cells.extend(csv_values(&values, row.spread.as_deref(), open));
        cells.push(row.trouble.clone().unwrap_or_default());
        rows.push(cells);
    }
    table(&head, &rows, output)
}

/// Both wheels against the rack.
pub(crate) fn steering(
    view: &SteeringView,
    explain: bool,
    shown: Units,
    output: &mut Output<'_>,
) -> Result<(), Failure> {
    output.heading(&format!("{}: {} axle, steered lock to lock", view.car, view.axle))?;
    let head = format!(
        "{:>9}{:>10}{:>10}{:>13}{:>14}{:>12}",
        "rack", "left", "right", "camber left", "camber right", "Ackermann"
    );
    let head = output.strong(&head);
    output.line(head)?;
    let units = output.quiet(&format!(
        "{:>9}{:>10}{:>10}{:>13}{:>14}{:>12}",
        shown.length_unit(),
        "°",
        "°",
        "°",
        "°",
        "%"
    ));
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
        let (rack, places, _) = shown.figure_in(row.rack, 1, "mm");
        output.line(format!("{:>9}{rest}", signed(rack, places)))?;
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
