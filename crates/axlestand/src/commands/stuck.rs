//! `axlestand stuck`: recorded, then what it bears, what to try and the other ways.

use super::work::{plan_change, plan_json, tell};
use super::{MakeClock, garage};
use crate::arguments::{Cli, StuckArgs};
use crate::output::{Failure, Output};
use crate::text;
use axlestand_garage::fastening::{self, AroundIt};
use axlestand_garage::forecast::{OutlookView, detours, outlook};
use axlestand_garage::{ItemId, Job, Way, views};
use serde_json::{Value, json};

pub(super) fn run(
    cli: &Cli,
    args: &StuckArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let around = AroundIt::read(&args.near, args.left.as_deref(), args.bar.as_deref(), args.captive)?;
    let mut garage = garage(cli, clock)?;
    // Judged before it is recorded, so that nonsense is refused with nothing written.
    fastening::stuck(&garage.job()?, &args.item, &around, cli.units())?;
    let recorded = garage.stuck(&args.item, args.note.clone())?;
    let costs = recorded.answer.first().map_or_else(Vec::new, |way| detours(&recorded.job, &way.frees));
    let view = fastening::stuck(&recorded.job, &args.item, &around, cli.units())?;
    let come_down = views::has_to_come_down(&recorded.job)?;
    if output.is_json() {
        let ways: Vec<Value> =
            recorded.answer.iter().map(|way| way_json(way, cost_of(&costs, way))).collect();
        let plan = plan_json(&recorded)?;
        let outlook = outlook_of(&recorded.job)?;
        output.json(&json!({
            "recorded": recorded.ids, "stuck": view, "ways": ways, "come-down": come_down, "outlook": outlook,
            "plan": plan,
        }))?;
        return Ok(true);
    }
    match &view {
        Some(view) => text::stuck(view, args.explain, output)?,
        None => {
            output.line("Recorded as stuck. Clean it, penetrant and time, then the tool made for it; no heat near rubber, fluid, fuel, a sensor or anything filled with gas.")?;
        }
    }
    ways(&recorded.answer, &costs, output)?;
    tell(come_down, output)?;
    plan_change(&recorded, output)?;
    text::outlook(&outlook_of(&recorded.job)?, output)?;
    Ok(true)
}

/// What is left takes how long, after what just happened.
pub(super) fn outlook_of(job: &Job) -> Result<OutlookView, Failure> {
    Ok(outlook(job, &job.plan()?))
}

/// By how many minutes a way makes the rest of the job longer than pressing on, where a plan says so.
fn cost_of(costs: &[(ItemId, f64)], way: &Way) -> Option<f64> {
    costs.iter().find(|(id, _)| *id == way.id).map(|(_, minutes)| *minutes)
}

fn way_json(way: &Way, cost: Option<f64>) -> Value {
    let scraps: Vec<_> = way.scraps.iter().map(ToString::to_string).collect();
    json!({
        "way": way.id.to_string(), "name": way.name, "minutes": way.work.minutes.clean, "scraps": scraps,
        "caution": way.work.caution, "against-pressing-on": cost,
    })
}

/// The other ways that the vehicle file describes.
fn ways(ways: &[Way], costs: &[(ItemId, f64)], output: &mut Output<'_>) -> Result<(), Failure> {
    for way in ways {
        output.line(format!(
            "  or: {} ({} min): axlestand done {}",
            way.name, way.work.minutes.clean, way.id
        ))?;
        if let Some(more) = cost_of(costs, way) {
            let compared = match more.abs().round() {
                minutes if minutes < 5.0 => "as long as".to_owned(),
                minutes if more > 0.0 => format!("{} longer than", text::hours(minutes)),
                minutes => format!("{} shorter than", text::hours(minutes)),
            };
            output.line(format!(
                "      with it the rest of the job is {compared} with pressing on, on average"
            ))?;
        }
        if let Some(caution) = &way.work.caution {
            output.line(format!("      ! {caution}"))?;
        }
    }
    match ways.first() {
        Some(way) => output.line(format!(
            "  The plan presses on until you choose: axlestand choose {} {}",
            way.frees, way.id
        )),
        None => output.line("  The vehicle file describes no other way to free it."),
    }
}
