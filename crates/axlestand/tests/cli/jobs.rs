//! Whole jobs, each told by one text file `tests/jobs/*.job` (how to write one: its README.md).
//!
//! ```text
//! # A comment: what the job is about.
//! car: wheel.toml
//!
//! $ done 12
//! refused: final:wheel-nuts
//!   - its final torque is due with the car on its wheels, and the car is on stands
//! → 1
//! ```
//!
//! `car: FILE` puts a car of `tests/jobs/cars` into a fresh folder, `car: template KEY=VALUE …` one
//! from the layout template as `car.toml`, `car: demo` the demo car as `wagtail.toml`. `$ …` runs the binary with those arguments. The lines
//! below it are the whole answer, standard output before standard error, and `→ N` is an exit code
//! other than 0. A line `…` stands for any number of lines, but not for the exit code. `edit: FILE "OLD" "NEW"` changes the one
//! place in a file where OLD stands. Times are shown as `TIME`, ids of entries as `entry-N`, which
//! is also how an argument names one.
//!
//! `AXLESTAND_RENEW_JOBS=1` writes the answers of the binary into the files, for review.

use crate::workshop::Workshop;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Stands for any number of lines.
const ELLIPSIS: &str = "…";
/// Begins the exit code, where it is not 0.
const EXIT: &str = "→ ";

#[test]
fn every_job_goes_as_its_file_tells_it() {
    let files = job_files();
    assert!(files.len() >= 9, "whole jobs are missing: {files:?}");
    let renew = std::env::var_os("AXLESTAND_RENEW_JOBS").is_some_and(|value| value == "1");
    let faults: Vec<String> = std::thread::scope(|scope| {
        let runs: Vec<_> = files.iter().map(|file| scope.spawn(move || run(file, renew))).collect();
        runs.into_iter().filter_map(|run| run.join().expect("the job file is in order")).collect()
    });
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/jobs")
}

fn job_files() -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path());
    let mut files: Vec<_> =
        entries.filter(|path| path.extension().is_some_and(|extension| extension == "job")).collect();
    files.sort();
    files
}

/// Runs one job; gives its first difference, with the place, or writes the answers into the file.
fn run(file: &Path, renew: bool) -> Option<String> {
    let text = std::fs::read_to_string(file).unwrap();
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    match told(&mut Bench::new(), &text, &name, renew) {
        Ok(written) if written != text => std::fs::write(file, written).unwrap(),
        Ok(_) => {}
        Err(fault) => return Some(fault),
    }
    None
}

/// Runs the commands of a text; gives it with the answers of the binary.
///
/// # Errors
/// The first difference, with its place, where the answers are not to be renewed.
pub(crate) fn told(bench: &mut Bench, text: &str, name: &str, renew: bool) -> Result<String, String> {
    let mut written = String::new();
    for step in steps(text) {
        let found = bench.take(&step);
        let mut keeps = step.expected.clone();
        if !matches(&step.expected, &found) {
            if !renew {
                return Err(difference(name, &step, &found));
            }
            keeps = merged(&step.expected, &found);
        }
        for line in step.before.iter().copied().chain([step.command]).chain(keeps.iter().map(String::as_str))
        {
            writeln!(written, "{line}").unwrap();
        }
    }
    Ok(written)
}

/// One command of a job file with the answer it expects.
struct Step<'a> {
    /// Comments and empty lines before it.
    before: Vec<&'a str>,
    number: usize,
    command: &'a str,
    expected: Vec<String>,
}

fn is_command(line: &str) -> bool {
    ["$ ", "car: ", "edit: "].iter().any(|word| line.starts_with(word))
}

fn steps(text: &str) -> Vec<Step<'_>> {
    let mut steps: Vec<Step<'_>> = Vec::new();
    let mut before = Vec::new();
    for (at, line) in text.lines().enumerate() {
        if is_command(line) {
            let before = std::mem::take(&mut before);
            steps.push(Step { before, number: at + 1, command: line, expected: Vec::new() });
        } else if line.is_empty() || line.starts_with('#') {
            before.push(line);
        } else {
            let step = steps.last_mut().unwrap_or_else(|| panic!("line {}: no command yet", at + 1));
            // Empty lines within an answer belong to it, a comment ends it.
            assert!(before.iter().all(|line| line.is_empty()), "line {}: an answer after a comment", at + 1);
            step.expected.extend(before.drain(..).map(str::to_owned));
            step.expected.push(line.to_owned());
        }
    }
    assert!(before.iter().all(|line| line.is_empty()), "a comment at the end speaks of nothing");
    steps
}

/// A garage in which a job goes.
pub(crate) struct Bench {
    workshop: Workshop,
    /// The ids of the entries, as far as they were asked for.
    ids: Vec<String>,
}

impl Bench {
    pub(crate) fn new() -> Self {
        Self { workshop: Workshop::bare(), ids: Vec::new() }
    }

    /// Does what a step says, and gives the lines of the answer.
    fn take(&mut self, step: &Step<'_>) -> Vec<String> {
        let words = words(step.command);
        let (kind, arguments) = words.split_first().expect("a command has a word");
        match kind.as_str() {
            "car:" => {
                self.car(arguments);
                Vec::new()
            }
            "edit:" => {
                self.edit(arguments);
                Vec::new()
            }
            _ => self.binary(arguments),
        }
    }

    fn car(&self, arguments: &[String]) {
        let (name, answers) = arguments.split_first().expect("a car has a name");
        if name == "template" {
            let mut command = vec!["car", "new", "--usual", "--out", "car.toml"];
            command.extend(answers.iter().flat_map(|answer| ["--answer", answer]));
            self.workshop.run(&command).expect(0);
        } else if name == "demo" {
            let demo = folder().join("../../cars/wagtail.toml");
            std::fs::copy(&demo, self.workshop.path().join("wagtail.toml")).unwrap();
        } else {
            let from = folder().join("cars").join(name);
            std::fs::copy(&from, self.workshop.path().join(name))
                .unwrap_or_else(|why| panic!("{name}: {why}"));
        }
    }

    fn edit(&self, arguments: &[String]) {
        let [name, old, new] = arguments else { panic!("edit: FILE \"OLD\" \"NEW\": {arguments:?}") };
        let path = self.workshop.path().join(name);
        let text = std::fs::read_to_string(&path).unwrap();
        assert_eq!(text.matches(old.as_str()).count(), 1, "{name} has not exactly one place with {old:?}");
        std::fs::write(path, text.replace(old.as_str(), new)).unwrap();
    }

    fn binary(&mut self, arguments: &[String]) -> Vec<String> {
        let names_entry = arguments.iter().any(|argument| argument.starts_with("entry-"));
        if names_entry {
            self.ids = self.workshop.log();
        }
        let full: Vec<&str> = arguments.iter().map(|argument| self.entry(argument)).collect();
        let answer = self.workshop.run(&full);
        if arguments.first().is_some_and(|word| word == "log") && answer.code == Some(0) {
            self.ids = self.workshop.log();
        }
        let mut lines: Vec<String> =
            answer.out.lines().chain(answer.err.lines()).map(str::to_owned).collect();
        for line in &mut lines {
            *line = self.masked(line);
            assert!(!is_command(line) && !line.starts_with('#'), "an answer that reads as a command: {line}");
        }
        while lines.last().is_some_and(String::is_empty) {
            lines.pop();
        }
        if answer.code != Some(0) {
            let code = answer.code.map_or("killed".to_owned(), |code| code.to_string());
            lines.push(format!("{EXIT}{code}"));
        }
        lines
    }

    /// The id of an entry that an argument names by its place in the ledger.
    fn entry<'a>(&'a self, argument: &'a str) -> &'a str {
        let place = argument.strip_prefix("entry-").and_then(|number| number.parse::<usize>().ok());
        place.map_or(argument, |place| self.ids.get(place - 1).map_or(argument, String::as_str))
    }

    /// A line without what differs from run to run.
    fn masked(&self, line: &str) -> String {
        let folder = format!("{}/", self.workshop.path().display());
        let mut line = without_times(&line.replace(&folder, ""));
        for (at, id) in self.ids.iter().enumerate() {
            let name = format!("entry-{}", at + 1);
            line = line.replace(id.as_str(), &name).replace(&id[..8], &name);
        }
        line
    }
}

/// Times like `2026-11-25T12:40`, `2026-11-25 12:40` and `Wed 25 Nov 12:40` and dates become `TIME`.
fn without_times(line: &str) -> String {
    let shape =
        |word: &str| -> String { word.chars().map(|c| if c.is_ascii_digit() { '0' } else { c }).collect() };
    let mut words: Vec<&str> = Vec::new();
    for word in line.split(' ') {
        if shape(word).starts_with("0000-00-00") {
            words.push("TIME");
        } else if !(words.last() == Some(&"TIME") && shape(word) == "00:00") {
            words.push(word);
        }
    }
    let mut at = 0;
    while at + 3 < words.len() {
        let day = DAYS.contains(&words[at]) && words[at + 1].parse::<u32>().is_ok();
        if day && shape(words[at + 3]).starts_with("00:00") {
            words.splice(at..at + 3, []);
            let rest = words[at].get(5..).unwrap_or_default();
            words[at] = match rest {
                ":" => "TIME:",
                "." => "TIME.",
                _ => "TIME",
            };
        }
        at += 1;
    }
    words.join(" ")
}

const DAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

/// The words of a line as a shell splits them, with both kinds of quotes.
fn words(line: &str) -> Vec<String> {
    let (mut words, mut word, mut quote) = (Vec::new(), None::<String>, None);
    for c in line.chars() {
        match (quote, c) {
            (Some(open), _) if c == open => quote = None,
            (None, '"' | '\'') => {
                quote = Some(c);
                word.get_or_insert_default();
            }
            (None, ' ') => words.extend(word.take()),
            _ => word.get_or_insert_default().push(c),
        }
    }
    assert!(quote.is_none(), "a quote is not closed: {line}");
    words.extend(word);
    words
}

/// Whether the lines found are the expected ones, `…` standing for any number of lines, but never for
/// an exit code.
fn matches(expected: &[String], found: &[String]) -> bool {
    match expected.split_first() {
        None => found.is_empty(),
        Some((line, rest)) if line == ELLIPSIS => {
            let most = found.iter().take_while(|line| !line.starts_with(EXIT)).count();
            (0..=most).any(|skip| matches(rest, &found[skip..]))
        }
        Some((line, rest)) => found.first() == Some(line) && matches(rest, &found[1..]),
    }
}

/// The lines found, with every `…` kept that stands alone between lines that are still there.
fn merged(expected: &[String], found: &[String]) -> Vec<String> {
    let mut lines = Vec::new();
    let (mut e, mut f) = (0, 0);
    for (next_e, next_f) in common(expected, found).into_iter().chain([(expected.len(), found.len())]) {
        let gap = &expected[e..next_e];
        let fails = found[f..next_f].iter().any(|line| line.starts_with(EXIT));
        if gap.len() == 1 && gap[0] == ELLIPSIS && !fails {
            lines.push(ELLIPSIS.to_owned());
        } else {
            lines.extend_from_slice(&found[f..next_f]);
        }
        lines.extend(found.get(next_f).cloned());
        (e, f) = (next_e + 1, next_f + 1);
    }
    lines
}

/// The longest common subsequence, as pairs of places.
fn common(left: &[String], right: &[String]) -> Vec<(usize, usize)> {
    let mut best = vec![vec![0_usize; right.len() + 1]; left.len() + 1];
    for l in (0..left.len()).rev() {
        for r in (0..right.len()).rev() {
            best[l][r] =
                if left[l] == right[r] { best[l + 1][r + 1] + 1 } else { best[l + 1][r].max(best[l][r + 1]) };
        }
    }
    let (mut l, mut r, mut pairs) = (0, 0, Vec::new());
    while l < left.len() && r < right.len() {
        if left[l] == right[r] {
            pairs.push((l, r));
            (l, r) = (l + 1, r + 1);
        } else if best[l + 1][r] >= best[l][r + 1] {
            l += 1;
        } else {
            r += 1;
        }
    }
    pairs
}

fn difference(name: &str, step: &Step<'_>, found: &[String]) -> String {
    let pairs = common(&step.expected, found);
    let mut text = format!("{name}:{}: {}\n", step.number, step.command);
    let (mut e, mut f) = (0, 0);
    for (next_e, next_f) in pairs.into_iter().chain([(step.expected.len(), found.len())]) {
        step.expected[e..next_e].iter().for_each(|line| writeln!(text, "- {line}").unwrap());
        found[f..next_f].iter().for_each(|line| writeln!(text, "+ {line}").unwrap());
        if let Some(line) = found.get(next_f) {
            writeln!(text, "  {line}").unwrap();
        }
        (e, f) = (next_e + 1, next_f + 1);
    }
    text
}

#[test]
fn the_runner_tells_answers_apart() {
    let lines = |text: &str| text.split('|').map(str::to_owned).collect::<Vec<_>>();
    assert!(matches(&lines("a|…|d"), &lines("a|b|c|d")) && matches(&lines("a|…|d"), &lines("a|d")));
    assert!(!matches(&lines("a|…|d"), &lines("a|b|c")) && !matches(&lines("a"), &lines("a|b")));
    assert!(!matches(&lines("a|…"), &lines("a|b|→ 1")) && matches(&lines("a|…|→ 1"), &lines("a|b|→ 1")));
    assert_eq!(merged(&lines("a|…|d|e"), &lines("a|b|c|d|x")), lines("a|…|d|x"));
    assert_eq!(merged(&lines("a|…|d"), &lines("a|b|x")), lines("a|b|x"));
    assert_eq!(words("$ read h \"360 ± 1 mm\" '' x\"y\"z"), ["$", "read", "h", "360 ± 1 mm", "", "xyz"]);
    assert_eq!(without_times("  2026-11-25T12:40  12 mm"), "  TIME  12 mm");
    assert_eq!(without_times("from 2026-11-25 12:40 on"), "from TIME on");
    assert_eq!(without_times("Not before Sun 29 Nov 01:04: it soaks"), "Not before TIME: it soaks");
}
