//! Open items, the two gates, the report.

use super::work::notice;
use super::{MakeClock, garage};
use crate::arguments::{CheckArgs, Cli, Gate, ReportArgs};
use crate::output::{Failure, Output};
use crate::text;
use axlestand_garage::sheets::write_report_page;
use axlestand_garage::views::{check_lowering, check_road, open_to_work_from, report as report_view};
use serde_json::json;

pub(super) fn open(cli: &Cli, output: &mut Output<'_>, clock: MakeClock<'_>) -> Result<bool, Failure> {
    let job = garage(cli, clock)?.job()?;
    let items = open_to_work_from(&job, cli.units());
    if output.is_json() {
        output.json(&json!({ "job": job.name, "count": items.len(), "open": items }))?;
    } else {
        notice(&job, output)?;
        text::open(&items, output)?;
    }
    Ok(true)
}

pub(super) fn check(
    cli: &Cli,
    args: &CheckArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let mut garage = garage(cli, clock)?;
    let job = garage.job()?;
    let check = match args.gate {
        Gate::Lowering => check_lowering(&job),
        Gate::Road => check_road(&job, cli.units()),
    };
    let check = check.beside(&garage.neighbours(&job)?).with_waiting(garage.waiting()?.len());
    if output.is_json() {
        output.json(&check)?;
    } else {
        notice(&job, output)?;
        text::check(&check, output)?;
    }
    Ok(check.clear)
}

pub(super) fn report(
    cli: &Cli,
    args: &ReportArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let mut garage = garage(cli, clock)?;
    let job = garage.job()?;
    let mut report = report_view(&job, cli.units())?;
    report.road = report.road.beside(&garage.neighbours(&job)?).with_waiting(garage.waiting()?.len());
    if let Some(path) = &args.page {
        write_report_page(path, &axlestand_web::report_page(&report), args.replace)?;
    }
    if output.is_json() {
        output.json(&report)?;
    } else if let Some(path) = &args.page {
        output.line(format!("Wrote {}", path.display()))?;
    } else {
        text::report(&report, output)?;
    }
    Ok(true)
}
