//! The fields of a vehicle file as a page to read, in Markdown.

use super::fields::{AXLES, FILE, Field, Holds, Table, WHEELS_AND_AXLES, example_of};
use axlestand_quantity::Dimension;
use std::fmt::Write as _;

/// Every table of the vehicle file with its fields, made from the same list that the reader uses.
#[must_use]
pub fn reference() -> String {
    let mut text = String::from(
        "# The fields of a vehicle file\n\n\
         Every table that a vehicle file may hold, with all its fields; vehicle-file.md says how they go together. \
         Made by `axlestand car schema --markdown` from the list that the reader itself goes by. A field in **bold** \
         has to be there.\n",
    );
    let mut told: Vec<&Table> = Vec::new();
    let mut waiting: Vec<(String, &Table)> = vec![(String::new(), &FILE)];
    while let Some((path, table)) = waiting.pop() {
        if told.iter().any(|known| std::ptr::eq(*known, table)) {
            continue;
        }
        told.push(table);
        one(&mut text, &path, table);
        let inner = table.fields.iter().filter_map(|field| Some((path_of(&path, field), table_of(field)?)));
        // The last one waiting comes first.
        let inner: Vec<(String, &Table)> = inner.collect();
        waiting.extend(inner.into_iter().rev());
    }
    text
}

fn table_of(field: &Field) -> Option<&'static Table> {
    match field.holds {
        Holds::Table(table) | Holds::Tables(table) | Holds::Items(table) => Some(table),
        _ => None,
    }
}

/// How a table inside another one is headed: `part.NAME`, `fastener.NAME.torque`.
fn path_of(path: &str, field: &Field) -> String {
    let key = if path.is_empty() { field.key.to_owned() } else { format!("{path}.{}", field.key) };
    match field.holds {
        Holds::Items(_) if field.key == "axle" => format!("{key}.{}", AXLES.join("|")),
        Holds::Items(_) => format!("{key}.NAME"),
        _ => key,
    }
}

fn one(text: &mut String, path: &str, table: &Table) {
    let head = if path.is_empty() { "The file".to_owned() } else { format!("`[{path}]`") };
    // Writing into a text cannot fail.
    let _ = write!(text, "\n## {head}\n\n");
    if !path.is_empty() {
        let _ = write!(text, "{}.\n\n", capital(table.what));
    }
    text.push_str("| field | holds | what it means |\n| --- | --- | --- |\n");
    for field in table.fields {
        let key = if field.required { format!("**`{}`**", field.key) } else { format!("`{}`", field.key) };
        let _ = writeln!(text, "| {key} | {} | {} |", holds(field), field.doc.replace('|', "\\|"));
    }
}

/// What a field holds, in words.
fn holds(field: &Field) -> String {
    match field.holds {
        Holds::Text => "a text".to_owned(),
        Holds::Names => "a name or a list of names".to_owned(),
        Holds::Flag => "`true` or `false`".to_owned(),
        Holds::Count if field.key == "format" => format!("`{}`", super::read::FORMAT),
        Holds::Count => "a whole number from 1 to 1000".to_owned(),
        Holds::Number(limit) => format!("a number from 0 to {limit}"),
        Holds::Quantity(dimension) => quantity(dimension),
        Holds::Word(words) => words.iter().map(|word| format!("`\"{word}\"`")).collect::<Vec<_>>().join(", "),
        Holds::Texts => "a text or a list of texts".to_owned(),
        Holds::Thread => "`\"M12x1.5\"`, `\"1/2-20\"`".to_owned(),
        Holds::Drive => "`\"hex 21\"`, `\"inner hex 8\"`, `\"T30\"`".to_owned(),
        Holds::Steps => "`\"140 N·m\"`, `\"50 N·m + 90°\"`".to_owned(),
        Holds::AnyQuantity => "`\"1 mm\"`, `\"0.1°\"`".to_owned(),
        Holds::Table(table) => format!("a table: {}", table.one()),
        Holds::Tables(table) => format!("a list of tables, each {}", table.one()),
        Holds::Quantities(dimension) => {
            let of = WHEELS_AND_AXLES.map(|key| format!("`{key}`")).join(", ");
            format!("a table from {of} to {}", quantity(dimension))
        }
        Holds::Point => "`[x, y, z]`".to_owned(),
        Holds::Points => "a table from names of points to `[x, y, z]`".to_owned(),
        Holds::Items(table) => format!("tables by name, each {}", table.one()),
    }
}

fn quantity(dimension: Dimension) -> String {
    format!("{}, such as `\"{}\"`", dimension.name(), example_of(dimension))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
