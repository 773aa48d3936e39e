//! `axlestand job …`

use super::{MakeClock, garage};
use crate::arguments::{Cli, JobCommand, StartArgs};
use crate::output::{Failure, Output};
use crate::text::count;
use axlestand_garage::{Garage, GarageError, StartJob};
use serde_json::json;

pub(super) fn run(
    cli: &Cli,
    command: &JobCommand,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    match command {
        JobCommand::Start(args) => start(cli, args, output, clock),
        JobCommand::List => list(cli, output, clock),
        JobCommand::Car { file } => {
            let recorded = garage(cli, clock)?.car_is_at(file)?;
            if output.is_json() {
                output.json(&json!({ "recorded": recorded.ids, "car": recorded.answer }))?;
            } else {
                output
                    .line(format!("The vehicle file of {} is {} now.", recorded.job.name, recorded.answer))?;
            }
            Ok(true)
        }
        JobCommand::Use { name } => {
            garage(cli, clock)?.use_job(name)?;
            if output.is_json() {
                output.json(&json!({ "current": name }))?;
            } else {
                output.line(format!("Commands now go to the job {name}."))?;
            }
            Ok(true)
        }
    }
}

fn start(
    cli: &Cli,
    args: &StartArgs,
    output: &mut Output<'_>,
    clock: MakeClock<'_>,
) -> Result<bool, Failure> {
    if let Some(job) = &cli.job {
        let why =
            format!("--job names a job that is there already; a new one takes its name so: --name \"{job}\"");
        return Err(GarageError::Input(why).into());
    }
    let mut garage = Garage::open_or_create(&cli.garage, clock())?;
    let started = garage.start_job(&StartJob {
        car: args.car.clone(),
        replace: args.replace.clone(),
        helper: args.helper,
        rust: args.rust,
        toolbox: args.toolbox.clone(),
        name: args.name.clone(),
    })?;
    let job = started.job;
    let neighbours = garage.neighbours(&job)?;
    let goals: Vec<_> = job.state.goals.iter().map(ToString::to_string).collect();
    let minutes = job.plan()?.minutes();
    if output.is_json() {
        output.json(&json!({
            "job": job.name, "car": job.car.name, "goals": goals, "rows": job.state.order.len(), "minutes": minutes,
            "open-beside": neighbours.iter().map(|neighbour| &neighbour.name).collect::<Vec<_>>(),
        }))?;
        return Ok(true);
    }
    output.line(format!("Job {} on {}: replace {}.", job.name, job.car.name, goals.join(", ")))?;
    output.line(format!(
        "{}, about {} of work at rust grade {}.",
        count(job.state.order.len(), "row"),
        crate::text::hours(minutes),
        job.state.rust
    ))?;
    for neighbour in &neighbours {
        output.line(format!(
            "! The job '{name}' on this car is open: this job knows nothing of what it took apart, and both have to be clear before the car goes down or on the road. What is replaced in one go belongs in one job.",
            name = neighbour.name
        ))?;
    }
    output.line("Next: axlestand prepare")?;
    Ok(true)
}

fn list(cli: &Cli, output: &mut Output<'_>, clock: MakeClock<'_>) -> Result<bool, Failure> {
    let garage = garage(cli, clock)?;
    let jobs = garage.jobs()?;
    let current = garage.current_job().ok();
    if output.is_json() {
        output.json(&json!({ "jobs": jobs, "current": current }))?;
        return Ok(true);
    }
    for job in &jobs {
        let mark = if Some(job) == current.as_ref() { "*" } else { " " };
        output.line(format!("{mark} {job}"))?;
    }
    Ok(true)
}
