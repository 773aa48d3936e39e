//! `axlestand forecast`, `axlestand routes`.

use super::{MakeClock, garage};
use crate::arguments::{Cli, ForecastArgs, ForecastBasis, RoutesArgs};
use crate::output::{Failure, Output};
use crate::text;
use axlestand_garage::forecast::Ask;
use serde_json::json;

fn ask(basis: &ForecastBasis) -> Ask {
    Ask {
        file: basis.file.clone(),
        sessions: basis.sessions.clone(),
        from: basis.from.clone(),
        ..Ask::default()
    }
}

pub(super) fn forecast(
    cli: &Cli,
    args: &ForecastArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let mut garage = garage(cli, clock)?;
    let ask = Ask { by: args.by.clone(), seed: args.seed, samples: args.runs, ..ask(&args.basis) };
    if args.new_file {
        let path = garage.write_forecast_file(&ask)?;
        if output.is_json() {
            output.json(&json!({ "written": path.display().to_string() }))?;
        } else {
            output.line(format!("Wrote {}: nothing in it counts until you fill it in.", path.display()))?;
        }
        return Ok(true);
    }
    let view = garage.forecast(&ask)?;
    if output.is_json() {
        output.json(&view)?;
    } else {
        text::forecast(&view, args.basis.explain, output)?;
    }
    Ok(true)
}

pub(super) fn routes(
    cli: &Cli,
    args: &RoutesArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let view = garage(cli, clock)?.routes(&args.part, &args.instead, &ask(&args.basis))?;
    if output.is_json() {
        output.json(&view)?;
    } else {
        text::routes(&view, args.basis.explain, output)?;
    }
    Ok(true)
}
