//! Pictures and paper.

use super::{MakeClock, garage};
use crate::arguments::Cli;
use crate::output::{Failure, Output};
use crate::sheet_arguments::SheetArgs;
use serde_json::json;
use std::path::PathBuf;

pub(super) fn run(
    cli: &Cli,
    args: &SheetArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let file = garage(cli, clock)?.sheet(&args.wanted(), cli.units())?;
    let path = args.out.clone().unwrap_or_else(|| PathBuf::from(args.file_name(file.extension)));
    file.write(&path, args.replace)?;
    if output.is_json() {
        output.json(&json!({
            "file": path.display().to_string(),
            "bytes": file.bytes.len(),
            "pages": file.pages,
        }))?;
        return Ok(true);
    }
    let pages = match file.pages {
        None => String::new(),
        Some(1) => ": 1 page".to_owned(),
        Some(pages) => format!(": {pages} pages"),
    };
    output.line(format!("Wrote {}{pages}", path.display()))?;
    Ok(true)
}
