//! The guide (`docs/guide`) is one job from the first page to the last: what it shows is what the binary
//! answers.
//!
//! In a page, a block fenced by ```` ```console ```` is read as a job file is ([`super::jobs`]), and so is a
//! comment that begins with `<!-- job`: it brings the job on without being shown. `AXLESTAND_RENEW_JOBS=1`
//! writes the answers of the binary into the pages, for review.

use crate::jobs::{Bench, told};
use std::path::{Path, PathBuf};

/// Before a line of a page that is no part of the job: so it is a comment to the runner.
const PROSE: &str = "#\u{1}";

fn pages() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/guide");
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut pages: Vec<_> = entries.filter(|path| path.extension().is_some_and(|e| e == "md")).collect();
    pages.sort();
    pages
}

/// A page as a job: everything but what is typed and answered becomes a comment.
fn as_job(page: &str) -> String {
    let mut inside = false;
    let mut job = String::new();
    for line in page.lines() {
        let ends = inside && (line == "```" || line == "-->");
        if inside && !ends {
            job.push_str(line);
        } else {
            job.push_str(PROSE);
            job.push_str(line);
            inside = !ends && (line == "```console" || line == "<!-- job");
        }
        job.push('\n');
    }
    job
}

#[test]
fn the_guide_shows_what_the_binary_answers() {
    let renew = std::env::var_os("AXLESTAND_RENEW_JOBS").is_some_and(|value| value == "1");
    let pages = pages();
    assert!(pages.len() >= 5, "pages of the guide are missing: {pages:?}");
    let mut bench = Bench::new();
    for path in pages {
        let page = std::fs::read_to_string(&path).unwrap();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        // What stands behind the last answer belongs to no step.
        let job = as_job(&page);
        let shown =
            job.trim_end_matches('\n').rsplit('\n').take_while(|line| line.starts_with(PROSE)).count();
        let at = job.lines().count() - shown;
        let (steps, rest): (Vec<&str>, Vec<&str>) =
            (job.lines().take(at).collect(), job.lines().skip(at).collect());
        let written = told(&mut bench, &format!("{}\n", steps.join("\n")), &name, renew)
            .unwrap_or_else(|why| panic!("docs/guide/{why}"));
        let renewed: String = written
            .lines()
            .chain(rest)
            .map(|line| format!("{}\n", line.strip_prefix(PROSE).unwrap_or(line)))
            .collect();
        if renew && renewed != page {
            std::fs::write(&path, renewed).unwrap();
        }
    }
}
