//! Comma-separated values as RFC 4180 has them: records end in CR LF, fields with commas, quotes or
//! line breaks stand in quotes, quotes within are doubled.

use crate::output::{Failure, Output};

/// One field as it is written.
fn field(text: &str) -> String {
    if text.contains(['"', ',', '\r', '\n']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

/// One record.
pub(super) fn record(fields: &[String], output: &mut Output<'_>) -> Result<(), Failure> {
    let line: Vec<String> = fields.iter().map(|text| field(text)).collect();
    output.raw(format!("{}\r\n", line.join(",")).as_bytes())
}

/// A number with more digits than anything means, no minus before nought; empty where there is none.
pub(super) fn number(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| super::figures::number(value, 6))
}

#[cfg(test)]
mod tests {
    use super::field;

    /// The examples of RFC 4180, section 2, rules 5 to 7.
    #[test]
    fn fields_are_those_of_the_standard() {
        assert_eq!(field("aaa"), "aaa");
        assert_eq!(field("b CRLF\r\nbb"), "\"b CRLF\r\nbb\"");
        assert_eq!(field("b\"bb"), "\"b\"\"bb\"");
        assert_eq!(field("a,b"), "\"a,b\"");
        assert_eq!(field(""), "");
    }
}
