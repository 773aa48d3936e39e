//! `axlestand calc …`

use crate::arguments::Cli;
use crate::calc_arguments::{
    AdapterArgs, BreakArgs, CalcArgs, CalcSubject, CastleArgs, PreloadArgs, TorqueArgs, WrenchArgs,
};
use crate::geometry_arguments::{CasterArgs, SpringArgs, TieRodArgs};
use crate::output::{Failure, Output};
use crate::text;
use axlestand_garage::fastening::calc;
use axlestand_garage::geometry;
use axlestand_garage::{GarageError, Units};

pub(super) fn run(cli: &Cli, args: &CalcArgs, output: &mut Output<'_>) -> Result<bool, Failure> {
    let units = cli.units();
    let view = match &args.subject {
        CalcSubject::Torque(args) => torque(args, units)?,
        CalcSubject::Adapter(args) => adapter(args)?,
        CalcSubject::Castle(args) => castle(args, units)?,
        CalcSubject::Thread { thread } => calc::thread(thread)?,
        CalcSubject::Preload(args) => preload(args)?,
        CalcSubject::Break(args) => breaking(args, units)?,
        CalcSubject::Wrench(args) => wrench(args)?,
        CalcSubject::Toe(args) => geometry::calc::toe(&args.value, &args.diameter, units)?,
        CalcSubject::Caster(args) => caster(args)?,
        CalcSubject::Spring(args) => spring(args, units)?,
        CalcSubject::TieRod(args) => tie_rod(args, units)?,
        CalcSubject::Wheel { count, torque } => calc::wheel(*count, torque.as_deref(), units)?,
    };
    if output.is_json() {
        output.json(&view)?;
    } else {
        text::calc(&view, args.explain, output)?;
    }
    Ok(true)
}

fn torque(args: &TorqueArgs, units: Units) -> Result<calc::CalcView, GarageError> {
    let input = calc::TorqueInput {
        thread: args.thread.clone(),
        torque: args.torque.clone(),
        from: args.from.clone(),
        to: args.to.clone(),
        place: args.place.clone(),
        clamp: args.clamp.clone(),
        class: args.class.clone(),
        share: args.share.clone(),
        friction: args.friction.clone(),
        elastic: args.elastic,
    };
    calc::torque(&input, units)
}

fn adapter(args: &AdapterArgs) -> Result<calc::CalcView, GarageError> {
    calc::adapter(&calc::AdapterInput {
        torque: args.torque.clone(),
        lever: args.lever.clone(),
        offset: args.offset.clone(),
        angle: args.angle.clone(),
    })
}

fn castle(args: &CastleArgs, units: Units) -> Result<calc::CalcView, GarageError> {
    let input = calc::CastleInput {
        thread: args.thread.clone(),
        slots: args.slots,
        crossed: args.crossed,
        from: args.from.clone(),
        to: args.to.clone(),
        grip: args.grip.clone(),
        past: args.past.clone(),
        hole: args.hole.clone(),
        flat: args.flat,
    };
    calc::castle(&input, units)
}

fn preload(args: &PreloadArgs) -> Result<calc::CalcView, GarageError> {
    calc::preload(&calc::PreloadInput {
        thread: args.thread.clone(),
        torque: args.torque.clone(),
        class: args.class.clone(),
        condition: args.condition.clone(),
        friction: args.friction.clone(),
        nut_factor: args.nut_factor.clone(),
    })
}

fn breaking(args: &BreakArgs, units: Units) -> Result<calc::CalcView, GarageError> {
    let input = calc::BreakInput {
        thread: args.thread.clone(),
        class: args.class.clone(),
        left: args.left.clone(),
        drive: args.drive.clone(),
        bar: args.bar.clone(),
    };
    calc::breaking(&input, units)
}

fn wrench(args: &WrenchArgs) -> Result<calc::CalcView, GarageError> {
    let toolbox = args
        .toolbox
        .as_ref()
        .map(|path| {
            std::fs::read_to_string(path).map_err(|why| GarageError::CannotRead { path: path.clone(), why })
        })
        .transpose()?;
    calc::wrench(&calc::WrenchInput {
        torque: args.torque.clone(),
        from: args.from.clone(),
        to: args.to.clone(),
        kind: args.kind.clone(),
        step: args.step.clone(),
        accuracy: args.accuracy.clone(),
        toolbox,
    })
}

fn caster(args: &CasterArgs) -> Result<calc::CalcView, GarageError> {
    geometry::calc::caster(&geometry::calc::CasterInput {
        right_wheel: args.right,
        turned_left: args.turned_left.clone(),
        turned_right: args.turned_right.clone(),
        by: args.by.clone(),
        straight: args.straight.clone(),
    })
}

fn spring(args: &SpringArgs, units: Units) -> Result<calc::CalcView, GarageError> {
    let input = geometry::calc::SpringInput {
        rate: args.rate.clone(),
        wire: args.wire.clone(),
        diameter: args.diameter.clone(),
        coils: args.coils.clone(),
        free: args.free.clone(),
        length: args.length.clone(),
        force: args.force.clone(),
        ratio: args.ratio.clone(),
        mass: args.mass.clone(),
    };
    geometry::calc::spring(&input, units)
}

fn tie_rod(args: &TieRodArgs, units: Units) -> Result<calc::CalcView, GarageError> {
    let input = geometry::calc::TieRodInput {
        exposed: args.exposed.clone(),
        length: args.length.clone(),
        new_length: args.new_length.clone(),
        thread: args.thread.clone(),
        arm: args.arm.clone(),
    };
    geometry::calc::tie_rod(&input, units)
}
