//! What the TOML parser says, as findings: where the text is not TOML, and what that hides.

use super::record::Sink;
use std::ops::Range;
use toml::de::DeTable;

/// Most faults of syntax that are told; beyond these the file is hardly one of ours.
const MOST: usize = 20;

/// One fault of syntax: its place and the parser's words.
pub(super) struct Fault {
    span: Range<usize>,
    said: String,
}

/// Finds the faults of syntax. Gives them with a text that has the same places, in which the lines
/// are blank at which the parser would give up on all that follows.
pub(super) fn faults(text: &str) -> (String, Vec<Fault>) {
    let mut readable = text.to_owned();
    let mut told: Vec<Fault> = Vec::new();
    loop {
        let mut found = faults_of(&readable);
        let stops = found.iter().position(|fault| stops_the_parser(&readable, fault.span.start));
        match stops {
            Some(at) if told.len() < MOST => {
                let fault = found.swap_remove(at);
                let line = line_of(&readable, fault.span.start);
                let blank = " ".repeat(line.len());
                readable.replace_range(line, &blank);
                told.push(fault);
            }
            _ => {
                told.extend(found);
                told.sort_by_key(|fault| fault.span.start);
                return (readable, told);
            }
        }
    }
}

fn faults_of(text: &str) -> Vec<Fault> {
    let (_, errors) = DeTable::parse_recoverable(text);
    let fault = |error: &toml::de::Error| {
        let span = error.span().unwrap_or(0..0);
        let span = span.start.min(text.len())..span.end.min(text.len());
        Fault { span, said: error.message().to_owned() }
    };
    errors.iter().map(fault).collect()
}

/// Whether a fault stands where a key should, so that the parser reads no further.
fn stops_the_parser(text: &str, place: usize) -> bool {
    let line = line_of(text, place);
    let before = text.get(line.start..place).unwrap_or_default();
    let whole = text.get(line).unwrap_or_default().trim();
    !before.contains(['=', '{', '[', '#', '"', '\'']) && !whole.is_empty() && !whole.starts_with('[')
}

/// Where the text is not TOML. What stands there cannot be read, so it is not missing.
#[derive(Debug, Default)]
pub(super) struct Damage {
    places: Vec<usize>,
    lines: Vec<Range<usize>>,
}

impl Damage {
    /// Whether something of the file could not be read.
    pub(super) fn any(&self) -> bool {
        !self.places.is_empty()
    }

    /// Whether something of the table that begins at `span` could not be read. The table reaches
    /// to the next header; the file itself, with an empty span, to its end.
    pub(super) fn within(&self, text: &str, span: &Range<usize>) -> bool {
        let end = if span.is_empty() { text.len() } else { next_header(text, span.end) };
        self.places.iter().any(|place| (span.start..=end).contains(place))
    }

    /// Whether this place stands in a line that is no TOML.
    pub(super) fn in_line(&self, place: usize) -> bool {
        self.lines.iter().any(|line| (line.start..=line.end).contains(&place))
    }
}

/// Whether this is no text; then that is all there is to say.
pub(super) fn is_binary(sink: &mut Sink<'_>) -> bool {
    let binary = sink.text.contains(['\0', '\u{fffd}']);
    if binary {
        sink.error(
            "syntax",
            &(0..0),
            "this is not a text file".to_owned(),
            "name a vehicle file: plain text in UTF-8, beginning with format = 1".to_owned(),
        );
    }
    binary
}

/// Turns the faults of the parser into findings: one for each line, since a parser stumbles on
/// from the first one.
pub(super) fn report(faults: Vec<Fault>, sink: &mut Sink<'_>) {
    let mut told = 0;
    // Keys of a table that is described twice are there twice as well: told once, with the table.
    let mut twice = 0..0;
    for Fault { span, said } in faults {
        sink.shaken = true;
        sink.damage.places.push(span.start);
        let line = line_of(sink.text, span.start);
        let header = sink.text.get(line.clone()).is_some_and(|line| line.trim_start().starts_with('['));
        let duplicate = said == "duplicate key";
        if duplicate && header {
            twice = line.end..next_header(sink.text, line.end);
        } else if duplicate && twice.contains(&span.start) {
            continue;
        }
        let known = sink.damage.in_line(span.start);
        sink.damage.lines.push(line);
        if known {
            continue;
        }
        told += 1;
        if told > MOST {
            sink.error(
                "syntax",
                &span,
                "this is not TOML either, and there is more of it".to_owned(),
                "mend the places above first, or take the file again from where it came".to_owned(),
            );
            return;
        }
        let (message, hint) = explain(&said, &span, header, sink.text);
        sink.error("syntax", &span, message, hint);
    }
}

/// Where the next table header begins, else the end of the text.
fn next_header(text: &str, from: usize) -> usize {
    text.get(from..).and_then(|rest| rest.find("\n[")).map_or(text.len(), |at| from + at)
}

/// The line around a place, without its end.
fn line_of(text: &str, place: usize) -> Range<usize> {
    let start = text.get(..place).and_then(|before| before.rfind('\n')).map_or(0, |at| at + 1);
    let end = text.get(place..).and_then(|rest| rest.find('\n')).map_or(text.len(), |at| place + at);
    start..end
}

/// What is wrong and what to do, from the parser's words.
fn explain(said: &str, span: &Range<usize>, header: bool, text: &str) -> (String, String) {
    let found = text.get(span.clone()).unwrap_or_default();
    if said == "duplicate key" {
        let hint = if header {
            "give one of them another name, or bring both together in one table"
        } else {
            "keep one of them and take the other out"
        };
        return (format!("'{found}' stands here a second time"), hint.to_owned());
    }
    if said.contains("recursion") || said.contains("recurse") {
        return (
            "tables or lists are nested too deeply".to_owned(),
            "no field of a vehicle file needs more than four levels: take the brackets or dots out"
                .to_owned(),
        );
    }
    if span.start >= text.trim_end().len() {
        return (
            format!("the file ends in the middle of something: {said}"),
            "it seems to be cut off: take it again from where it came, or complete its last line".to_owned(),
        );
    }
    let hint = if said.contains("must be quoted") {
        format!("write it in quotes: \"{found}\"")
    } else if said.contains("string") {
        "close the quotes: text begins and ends with one \" on the same line".to_owned()
    } else if said.contains("expected `=`") {
        "write it as KEY = VALUE, or begin the line with # to make it a comment".to_owned()
    } else if said.contains("table") || header {
        "close the brackets: a header is [part.NAME], a table in a line { … }".to_owned()
    } else {
        "write one KEY = VALUE on each line, with texts in quotes".to_owned()
    };
    (format!("this is not TOML: {said}"), hint)
}
