//! What the garage says, for somebody before a page: without names of commands and options. The same texts
//! serve the command line, where those names are what helps.

/// Mentions of the command line, and what stands for them on a page.
const ON_PAGE: &[(&str, &str)] = &[
    (". 'axlestand set height' says", ". The page Heights says"),
    ("; say it with --ratio", "; say it below"),
    ("say --rods behind or --rods ahead", "say below where they are"),
    (": --at \"… mm\"", ""),
    (": --at \"… in\"", ""),
    ("leave --seated out", "leave 'only seated' unticked"),
    (": use 'read'", ""),
    (": --replace PART", ""),
    (": --reason \"…\"", ""),
    ("is read off the car: say --measured", "is read off the car: say that it was measured"),
    (": --source \"manual, page or sheet\", or --measured", ": manual, page or sheet, or measured"),
    (
        "what to set with the adapter depends on the length of your wrench and the angle of the adapter ('axlestand calc adapter')",
        "what to set with the adapter depends on the length of your wrench and the angle of the adapter",
    ),
];

/// How a mention begins and where it ends, and what stands for it.
const SPANS: &[(&str, &str, &str)] = &[
    ("correct it first: car set ", "--source \"…\"", "correct it there first, with its source"),
    (" less that: axlestand set tie-rod ", "\"… mm\"", " less that"),
    (" less that: axlestand set tie-rod ", "\"… in\"", " less that"),
    (": axlestand read ", "\"… mm\"", ""),
    (": axlestand read ", "\"… in\"", ""),
];

/// What the garage says, as a page says it.
pub(crate) fn on_page(text: &str) -> String {
    let said = ON_PAGE.iter().fold(text.to_owned(), |said, (from, to)| said.replace(from, to));
    let said = SPANS.iter().fold(said, |said, span| without_span(&said, span));
    let said = without_clauses(&without_brackets(&said));
    without_options(&said)
}

fn without_span(text: &str, (begin, end, instead): &(&str, &str, &str)) -> String {
    let mut said = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(begin) {
        let Some((_, behind)) = after.split_once(end) else { break };
        said.push_str(before);
        said.push_str(instead);
        rest = behind;
    }
    said.push_str(rest);
    said
}

/// Whether a piece of text names a command.
fn names_command(text: &str) -> bool {
    ["'axlestand ", "axlestand --", "'car ", "'done ", "'skip ", "'read ", "'set "]
        .iter()
        .any(|name| text.contains(name))
}

/// Leaves out brackets that only name a command.
fn without_brackets(text: &str) -> String {
    let mut said = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, inside)) = rest.split_once(" (") {
        let Some((bracket, behind)) = inside.split_once(')') else { break };
        said.push_str(before);
        if !names_command(bracket) || bracket.contains('(') {
            said.push_str(" (");
            said.push_str(bracket);
            said.push(')');
        }
        rest = behind;
    }
    said.push_str(rest);
    said
}

/// Leaves out whole clauses that only lead to another command.
fn without_clauses(text: &str) -> String {
    let mut said = text.to_owned();
    while let Some((before, rest)) = said.split_once("; 'axlestand ") {
        let after = rest.find([';', '.']).map_or("", |end| &rest[end..]);
        said = format!("{before}{after}");
    }
    said
}

/// Options as plain words: `--source` is the source.
fn without_options(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for (at, word) in text.split(' ').enumerate() {
        if at > 0 {
            plain.push(' ');
        }
        let bare = word.trim_start_matches('(');
        match bare.strip_prefix("--").filter(|name| name.starts_with(|c: char| c.is_ascii_lowercase())) {
            Some(name) => {
                plain.push_str(&word[..word.len() - bare.len()]);
                plain.push_str(&name.replace('-', " "));
            }
            None => plain.push_str(word),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::on_page;
    use std::path::{Path, PathBuf};

    fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                sources(&path, found);
            } else if path.extension().is_some_and(|end| end == "rs") {
                found.push(path);
            }
        }
    }

    /// The texts in a source file, as they are written there; those of its tests are left out.
    fn texts(source: &str) -> Vec<String> {
        let code = source.split("#[cfg(test)]").next().unwrap_or_default();
        let code: String = code.lines().filter(|line| !line.trim_start().starts_with("//")).collect();
        let mut found = Vec::new();
        let mut rest = code.as_str();
        while let Some(start) = rest.find('"') {
            let inside = &rest[start + 1..];
            let mut escaped = false;
            let end = inside.find(|sign: char| {
                let ends = sign == '"' && !escaped;
                escaped = sign == '\\' && !escaped;
                ends
            });
            let Some(end) = end else { break };
            found.push(inside[..end].to_owned());
            rest = &inside[end + 1..];
        }
        found
    }

    /// Every text of the crates that pages show, whether or not a test brings it onto a page.
    #[test]
    fn no_text_of_the_garage_names_a_command_on_a_page() {
        let mut files = Vec::new();
        for of in ["axlestand-garage", "axlestand-ledger"] {
            sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(of).join("src"), &mut files);
        }
        let (mut looked, mut named) = (0, Vec::new());
        for file in files {
            let source = std::fs::read_to_string(&file).unwrap();
            for text in texts(&source) {
                // A command that a view shows as the one to type, a piece of that; paper; a comment of XML.
                let no_text = ["axlestand ", " --at", "Type each number in", "{svg}"];
                if no_text.iter().any(|start| text.starts_with(start)) {
                    continue;
                }
                looked += 1;
                // The unit of a length stands in braces in the source.
                let said = on_page(&text.replace("\\\"", "\"").replace("{unit}", "in"));
                let marks = ["'axlestand ", ": axlestand ", "'car set", ": car set", " --"];
                if let Some(mark) = marks.iter().find(|mark| said.contains(**mark)) {
                    named.push(format!("{}: {mark}: {said}", file.display()));
                }
            }
        }
        assert!(looked > 3000, "{looked} texts: the sources are read otherwise");
        assert!(named.is_empty(), "{}", named.join("\n"));
    }

    #[test]
    fn no_command_is_named_on_a_page() {
        for (text, said) in [
            ("turn it, record it ('axlestand turned …'), read again", "turn it, record it, read again"),
            ("give --front-spring or (--lower 30)", "give front spring or (lower 30)"),
            ("x: say how far ahead: --at \"… mm\"", "x: say how far ahead"),
            ("x: say how far ahead: --at \"… in\"", "x: say how far ahead"),
            ("it is -- as it were", "it is -- as it were"),
            (
                "type at least 4 characters of its id ('axlestand log' shows them)",
                "type at least 4 characters of its id",
            ),
            (
                "record it ('done off:wheel.left'); else leave out what it is for (a part that stays: 'skip off:…')",
                "record it; else leave out what it is for",
            ),
            (
                "another job on this car is open, 'b': 2 reasons (axlestand --job 'b' check road)",
                "another job on this car is open, 'b': 2 reasons",
            ),
            ("a (b (c) d) e (f)", "a (b (c) d) e (f)"),
            ("not closed ('axlestand ", "not closed ('axlestand "),
        ] {
            assert_eq!(on_page(text), said);
        }
    }
}
