//! `axlestand set …` and `axlestand car curves`.

use super::{MakeClock, garage};
use crate::arguments::Cli;
use crate::geometry_arguments::{CurvesArgs, SetCommand, SetStageArgs};
use crate::output::{Failure, Output};
use crate::text;
use axlestand_garage::geometry::{
    CurvesWanted, HeightWanted, PreviewWanted, Racks, curves, height, preview, roll_curves, steering,
    tie_rod_end, travel, usual_travels,
};
use axlestand_garage::{Hand, Job, Units, vehicle};

pub(super) fn run(
    cli: &Cli,
    args: &SetStageArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    let job: Option<Job> = match &args.car {
        Some(_) => None,
        None => Some(garage(cli, clock)?.job()?),
    };
    let car = match (&args.car, &job) {
        (Some(path), _) => vehicle::load_car(path)?.1,
        (None, Some(job)) => job.car.clone(),
        (None, None) => return Err(Failure::Usage("name the vehicle file with --car".to_owned())),
    };
    match &args.command {
        SetCommand::Height(wanted) => {
            let wanted = HeightWanted {
                now: wanted.now.clone(),
                want: wanted.want.clone(),
                cross: wanted.cross.clone(),
                load: wanted.load.clone(),
                front_spring: wanted.front_spring.clone(),
                rear_spring: wanted.rear_spring.clone(),
                units: cli.units(),
            };
            let view = height(&car, job.as_ref(), &wanted)?;
            let danger = view.dangers.iter().any(|danger| danger.grave);
            if output.is_json() {
                output.json(&view)?;
            } else {
                text::height(&view, args.explain, cli.units(), output)?;
            }
            Ok(!danger)
        }
        SetCommand::Preview(wanted) => {
            let wanted = PreviewWanted {
                lower: wanted.lower.clone(),
                front: wanted.front.clone(),
                rear: wanted.rear.clone(),
                units: cli.units(),
            };
            let view = preview(&car, job.as_ref(), &wanted)?;
            if output.is_json() {
                output.json(&view)?;
            } else {
                text::preview(&view, args.explain, cli.units(), output)?;
            }
            Ok(true)
        }
        SetCommand::Alignment(wanted) => {
            super::alignment::alignment(cli, wanted, &of_a_job(job)?, output, clock)
        }
        SetCommand::Bump => super::alignment::bump(cli, &of_a_job(job)?, output),
        SetCommand::Survey(wanted) => super::alignment::survey(cli, wanted, &of_a_job(job)?, output),
        SetCommand::TieRod { side, length, rest } => {
            let Some(job) = &job else {
                return Err(Failure::Usage(
                    "the old length is a reading of a job; without one use 'axlestand calc tie-rod'"
                        .to_owned(),
                ));
            };
            let length = std::iter::once(length).chain(rest).cloned().collect::<Vec<_>>().join(" ");
            let view = tie_rod_end(job, hand(side), &length, cli.units())?;
            if output.is_json() {
                output.json(&view)?;
            } else {
                text::tie_rod(&view, args.explain, output)?;
            }
            Ok(true)
        }
    }
}

/// Readings belong to a job.
fn of_a_job(job: Option<Job>) -> Result<Job, Failure> {
    job.ok_or_else(|| {
        Failure::Usage("the readings of the wheels belong to a job: leave --car out".to_owned())
    })
}

/// `axlestand car curves`.
pub(super) fn car_curves(cli: &Cli, args: &CurvesArgs, output: &mut Output<'_>) -> Result<bool, Failure> {
    let (_, car) = vehicle::load_car(&args.file)?;
    // A table for programs is in millimetres, its words too.
    let words = if args.csv { Units::Metric } else { cli.units() };
    if args.steering {
        let view = steering(&car, &args.axle, words)?;
        if output.is_json() {
            output.json(&view)?;
        } else if args.csv {
            text::steering_csv(&view, output)?;
        } else {
            text::steering(&view, args.explain, cli.units(), output)?;
        }
        return Ok(true);
    }
    let units = cli.units();
    let [from, to, step] = usual_travels(units);
    let typed = |what: &str, text: &Option<String>, usual: &str| {
        travel(what, text.as_deref().unwrap_or(usual), units)
    };
    let rack_step = args.rack_step.as_deref().map(|text| travel("--rack-step", text, units)).transpose()?;
    let wanted = CurvesWanted {
        axle: args.axle.clone(),
        side: hand(&args.side),
        from: typed("--from", &args.from, from)?,
        to: typed("--to", &args.to, to)?,
        step: typed("--step", &args.step, step)?,
        racks: if args.grid { Racks::LockToLock(rack_step) } else { Racks::Straight },
        units: words,
    };
    let view = if args.roll { roll_curves(&car, &wanted)? } else { curves(&car, &wanted)? };
    if output.is_json() {
        output.json(&view)?;
    } else if args.csv {
        text::curves_csv(&view, output)?;
    } else {
        text::curves(&view, args.explain, cli.units(), output)?;
    }
    Ok(true)
}

/// The side that the arguments let through.
fn hand(side: &str) -> Hand {
    if side == "left" { Hand::Left } else { Hand::Right }
}
