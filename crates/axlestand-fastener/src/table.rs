//! Reading the crate's embedded tables: comma-separated lines, `#` for remarks, the first other
//! line names the columns. Reading never panics; a row that does not fit is left out, and a test
//! counts the rows so that none is left out unseen.

/// A table as text, cut into fields.
pub(crate) struct Table {
    columns: Vec<&'static str>,
    rows: Vec<Vec<&'static str>>,
}

/// One row with the names of its columns.
#[derive(Clone, Copy)]
pub(crate) struct Row<'t> {
    columns: &'t [&'static str],
    fields: &'t [&'static str],
}

impl Table {
    /// Cuts `text` into columns and rows.
    pub(crate) fn parse(text: &'static str) -> Self {
        let mut lines = text.lines().filter(|line| !line.trim().is_empty() && !line.starts_with('#'));
        let columns = lines.next().map(fields).unwrap_or_default();
        Self { columns, rows: lines.map(fields).collect() }
    }

    /// The rows in their order.
    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|fields| Row { columns: &self.columns, fields })
    }

    /// Reads every row with `read`; rows that `read` refuses are left out.
    pub(crate) fn read<T>(text: &'static str, read: fn(Row<'_>) -> Option<T>) -> Vec<T> {
        Self::parse(text).rows().filter_map(read).collect()
    }
}

impl Row<'_> {
    /// The field in `column`; empty fields are `None`.
    pub(crate) fn text(self, column: &str) -> Option<&'static str> {
        let at = self.columns.iter().position(|name| *name == column)?;
        self.fields.get(at).copied().filter(|field| !field.is_empty())
    }

    /// The finite number in `column`.
    pub(crate) fn number(self, column: &str) -> Option<f64> {
        self.text(column)?.parse().ok().filter(|x: &f64| x.is_finite())
    }

    /// The whole number in `column`.
    pub(crate) fn whole(self, column: &str) -> Option<u32> {
        self.text(column)?.parse().ok()
    }

    /// Whether the row has as many fields as the table has columns.
    pub(crate) fn is_complete(self) -> bool {
        self.columns.len() == self.fields.len()
    }
}

/// Cuts a line at its commas; a field in double quotes may hold commas, not quotes.
fn fields(line: &'static str) -> Vec<&'static str> {
    let mut found = Vec::new();
    let mut rest = line.trim_end();
    loop {
        let (field, after) = match rest.strip_prefix('"').and_then(|inner| inner.split_once('"')) {
            Some((field, after)) => (field, after.strip_prefix(',')),
            None => match rest.split_once(',') {
                Some((field, after)) => (field, Some(after)),
                None => (rest, None),
            },
        };
        found.push(field.trim());
        match after {
            Some(after) => rest = after,
            None => return found,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comma_too_many_or_too_few_is_seen() {
        let table = Table::parse("# remark\n\nname,width\nplain, 3\n\"one, two\",4\none, two,4\nbare\n");
        let complete: Vec<bool> = table.rows().map(Row::is_complete).collect();
        assert_eq!(complete, [true, true, false, false]);
        let names: Vec<_> = table.rows().map(|row| row.text("name")).collect();
        assert_eq!(names, [Some("plain"), Some("one, two"), Some("one"), Some("bare")]);
        let widths: Vec<_> = table.rows().map(|row| row.whole("width")).collect();
        assert_eq!(widths, [Some(3), Some(4), None, None]);
    }
}
