//! `axlestand stuck`: recorded, then what it bears, what to try and the other ways.

use super::work::{plan_change, plan_json};
use super::{MakeClock, garage};
use crate::arguments::{Cli, StuckArgs};
use crate::output::{Failure, Output};
use crate::text;
use axlestand_garage::fastening::{self, AroundIt};
use axlestand_garage::forecast::{OutlookView, outlook};
use axlestand_garage::{Job, Way};
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
    let view = fastening::stuck(&recorded.job, &args.item, &around, cli.units())?;
    if output.is_json() {
        let ways: Vec<Value> = recorded.answer.iter().map(way_json).collect();
        let plan = plan_json(&recorded);
        let outlook = outlook_of(&recorded.job)?;
        output.json(&json!({
            "recorded": recorded.ids, "stuck": view, "ways": ways, "outlook": outlook, "plan": plan,
        }))?;
        return Ok(true);
    }
    match &view {
        Some(view) => text::stuck(view, args.explain, output)?,
        None => {
            output.line("Recorded as stuck. Clean it, penetrant and time, then the tool made for it; no heat near rubber, fluid or a sensor.")?;
        }
    }
    ways(&recorded.answer, output)?;
    plan_change(&recorded, output)?;
    text::outlook(&outlook_of(&recorded.job)?, output)?;
    Ok(true)
}

/// What is left takes how long, after what just happened.
pub(super) fn outlook_of(job: &Job) -> Result<OutlookView, Failure> {
    Ok(outlook(job, &job.plan()?))
}

fn way_json(way: &Way) -> Value {
    let scraps: Vec<_> = way.scraps.iter().map(ToString::to_string).collect();
    json!({
        "way": way.id.to_string(), "name": way.name, "minutes": way.work.minutes.clean, "scraps": scraps,
        "caution": way.work.caution,
    })
}

/// The other ways that the vehicle file describes.
fn ways(ways: &[Way], output: &mut Output<'_>) -> Result<(), Failure> {
    for way in ways {
        output.line(format!(
            "  or: {} ({} min): axlestand done {}",
            way.name, way.work.minutes.clean, way.id
        ))?;
        if let Some(caution) = &way.work.caution {
            output.line(format!("      ! {caution}"))?;
        }
    }
    if ways.is_empty() {
        output.line("  The vehicle file describes no other way to free it.")?;
    }
    Ok(())
}
