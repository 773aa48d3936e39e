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
    /// A short fixed name for its kind: `unknown-item`, `access-cycle`.
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
            message,
            hint,
            span: start..end,
            line,
            column,
            excerpt: excerpt.chars().take(80).collect(),
        }
    }
}

fn floor_boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Renders findings with the lines of the file they speak of, worst place first in the order of
/// the file; with terminal colours where `colour` is set.
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
