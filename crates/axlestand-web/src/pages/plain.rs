//! What the garage says, for somebody before a page: without names of commands and options. The same texts
//! serve the command line, where those names are what helps.

/// Mentions of the command line, and what stands for them on a page.
const ON_PAGE: &[(&str, &str)] = &[
    ("'axlestand read --guide' shows what there is, ", "the ways stand below, "),
    ("that 'axlestand set alignment' gives it", "that stands under To turn"),
    (". 'axlestand set height' says", ". The page Heights says"),
    ("'axlestand set height' says", "the page Heights says"),
    (
        "'axlestand read --guide' leads through the reading, 'axlestand set alignment' says what to turn",
        "the page Set leads through the reading and says what to turn",
    ),
    ("'--keep' afterwards", "then keep the result there"),
    ("; say it with --ratio", "; say it below"),
    ("say --rods behind or --rods ahead", "say below where they are"),
    (": --at \"… mm\"", ""),
    ("leave --seated out", "leave 'only seated' unticked"),
    (": use 'read'", ""),
    (", take it back: undo-entry", ", take it back in the ledger"),
    ("start with 'axlestand job start CAR --replace PART', or name the folder with --garage", "start a job"),
    (
        "'axlestand job list' shows the jobs; 'axlestand job start' begins one",
        "go to the start and choose a job, or start one",
    ),
    ("'axlestand car show FILE' lists the parts", "choose from the parts that are listed"),
    (": --replace PART", ""),
    (": --reason \"…\"", ""),
    ("is read off the car: say --measured", "is read off the car: say that it was measured"),
    (": --source \"manual, page or sheet\", or --measured", ": manual, page or sheet, or measured"),
    (" with --name", ""),
    (" with --out", ""),
    ("name another folder with --garage", "use another folder"),
    (
        "with the adapter set less, by the length of your wrench ('axlestand calc adapter')",
        "with the adapter set less, by the length of your wrench",
    ),
];

/// How a mention begins and where it ends, and what stands for it.
const SPANS: &[(&str, &str, &str)] = &[
    ("set it with 'car set", "'", "write it into the vehicle file with its source"),
    (", then: car set ", "--source \"…\"", ", then write it into the vehicle file with its source"),
    ("correct it first: car set ", "--source \"…\"", "correct it there first, with its source"),
    (" less that: axlestand set tie-rod ", "\"… mm\"", " less that"),
    (": axlestand read ", "\"… mm\"", ""),
    (": axlestand turned ", "\"", ""),
    (
        " or off gauges: 'axlestand ",
        "records it",
        " or off gauges: the page Set leads through that and keeps the result",
    ),
    (
        "or off gauges: 'axlestand ",
        "records it",
        "or off gauges: the page Set leads through that and keeps the result",
    ),
    (": 'axlestand done ", "'", ": record the loosening"),
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

    #[test]
    fn no_command_is_named_on_a_page() {
        for (text, said) in [
            ("read plates; 'axlestand read --guide plates' leads through it", "read plates"),
            ("a; 'axlestand set height' says where collars go", "a; the page Heights says where collars go"),
            ("turn it, record it ('axlestand turned …'), read again", "turn it, record it, read again"),
            ("give --front-spring or (--lower 30)", "give front spring or (lower 30)"),
            ("x: say how far ahead: --at \"… mm\"", "x: say how far ahead"),
            ("it is -- as it were", "it is -- as it were"),
            (
                "look it up (page 3), then: car set wheel-nuts torque \"… N·m\" --source \"…\"",
                "look it up (page 3), then write it into the vehicle file with its source",
            ),
            (
                "its target is not known; look it up (sheet 4) and set it with 'car set camber tolerance', then its value",
                "its target is not known; look it up (sheet 4) and write it into the vehicle file with its source, then its value",
            ),
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
