//! Findings: what is wrong with a vehicle file, each with its place.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use std::ops::Range;

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The file cannot be used.
    Error,
    /// The file can be used; something in it looks wrong.
    Warning,
}

/// One fault of a vehicle file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// How much it matters.
    pub severity: Severity,
    /// A short fixed name for its kind: `unknown-item`, `access-circle`.
    pub code: &'static str,
    /// What is wrong, in one sentence.
    pub message: String,
    /// What was expected or what to do.
    pub hint: String,
    /// Bytes of the file it speaks of.
    pub span: Range<usize>,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The offending text, its first line.
    pub excerpt: String,
}

impl Finding {
    /// Makes a finding about `span` of `text`.
    pub(crate) fn new(
        text: &str,
        severity: Severity,
        code: &'static str,
        span: &Range<usize>,
        message: String,
        hint: String,
    ) -> Self {
        let start = floor_boundary(text, span.start);
        let end = floor_boundary(text, span.end.max(start));
        let before = text.get(..start).unwrap_or_default();
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
        let excerpt = text.get(start..end).unwrap_or_default().lines().next().unwrap_or_default();
        Self {
            severity,
            code,
            message: shown(message),
            hint: shown(hint),
            span: start..end,
            line,
            column,
            excerpt: shown(excerpt.chars().take(80).collect()),
        }
    }
}

impl Finding {
    /// Findings are told in the order of the file.
    pub(super) fn order(&self) -> (usize, usize, &'static str, &str) {
        (self.span.start, self.span.end, self.code, &self.message)
    }

    /// Whether it says the same as `other` of the same place, perhaps of the other side of the car:
    /// one entry of the file stands for both.
    pub(super) fn repeats(&self, other: &Self) -> bool {
        let sideless = |message: &str| message.replace(".left", "").replace(".right", "");
        self.span == other.span
            && self.code == other.code
            && sideless(&self.message) == sideless(&other.message)
    }
}

/// Takes the signs out that steer a terminal: files come from other people.
fn shown(text: String) -> String {
    if text.chars().any(char::is_control) {
        text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
    } else {
        text
    }
}

fn floor_boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Renders findings with the lines of the file they speak of, in the order of the file; with
/// terminal colours where `colour` is set.
#[must_use]
pub fn render(findings: &[Finding], text: &str, file_name: &str, colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    findings
        .iter()
        .map(|finding| {
            let level = match finding.severity {
                Severity::Error => Level::ERROR,
                Severity::Warning => Level::WARNING,
            };
            let span = if finding.span.is_empty() && finding.span.end < text.len() {
                finding.span.start
                    ..finding.span.start + text[finding.span.start..].chars().next().map_or(0, char::len_utf8)
            } else {
                finding.span.clone()
            };
            let snippet = Snippet::source(text)
                .path(file_name)
                .annotation(AnnotationKind::Primary.span(span).label(finding.hint.as_str()));
            let report: &[Group<'_>] =
                &[level.primary_title(finding.message.as_str()).id(finding.code).element(snippet)];
            renderer.render(report)
        })
        .collect::<Vec<_>>()
        .join("\n\n")
}
