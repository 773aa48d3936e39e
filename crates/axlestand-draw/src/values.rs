//! Comma-separated values by RFC 4180.

/// A table as comma-separated values, its head first; cells with commas, quotes or line breaks are
/// quoted. A cell that a table program would take for a formula is kept from it by an apostrophe.
#[must_use]
pub fn comma_separated(head: &[&str], rows: &[Vec<String>]) -> String {
    let mut out = String::new();
    line(head.iter().copied(), &mut out);
    for row in rows {
        line(row.iter().map(String::as_str), &mut out);
    }
    out
}

/// Whether a table program takes the cell for a number, which it may go on being.
fn is_number(cell: &str) -> bool {
    cell.parse::<f64>().is_ok_and(f64::is_finite)
}

fn line<'a>(cells: impl Iterator<Item = &'a str>, out: &mut String) {
    for (at, cell) in cells.enumerate() {
        if at > 0 {
            out.push(',');
        }
        let formula =
            cell.starts_with(['=', '@', '\t', '\r']) || (cell.starts_with(['+', '-']) && !is_number(cell));
        let cell = if formula { format!("'{cell}") } else { cell.to_owned() };
        if cell.contains([',', '"', '\n', '\r']) {
            out.push('"');
            out.push_str(&cell.replace('"', "\"\""));
            out.push('"');
        } else {
            out.push_str(&cell);
        }
    }
    out.push_str("\r\n");
}
