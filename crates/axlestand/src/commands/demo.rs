//! The demo: a whole invented job through the public commands.

use crate::arguments::DemoArgs;
use crate::output::{Failure, Output};

/// Runs the invented job.
pub(super) fn demo(args: &DemoArgs, output: &mut Output<'_>) -> Result<bool, Failure> {
    let _ = args;
    output.line("demo")?;
    Ok(true)
}
