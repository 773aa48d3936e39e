//! What another height does to the wheels of an axle that carries both.

use super::angles::{AngleView, Changes, Values, angles};
use super::corner_figures::CornerFigures;
use super::figures::spread;
use super::preview::{AxlePreview, travel_now};
use super::whole::{ends, whole};
use crate::job::Job;
use crate::units::Units;
use axlestand_geometry::kinematics::{WholeAxle, WholeAxleOutputs};
use axlestand_model::car::{Axle, Car};

/// The preview of such an axle; `view` is the one still without angles.
pub(super) fn whole_preview(
    car: &Car,
    job: Option<&Job>,
    axle: &Axle,
    mut view: AxlePreview,
    units: Units,
    (figures, held): (&CornerFigures, &WholeAxle),
) -> AxlePreview {
    let from = travel_now(job, axle).unwrap_or(0.0);
    let to = from + view.lower;
    if let Some(trouble) = [from, to].into_iter().find_map(|travel| held.at(travel, travel).err()) {
        view.missing = Some(format!("the wheels do not get there: {}", trouble.said(units.lengths())));
        return view;
    }
    let Some(changes) = changes(figures, from, to) else { return view };
    let spreads = spread(figures, |f| Some(self::changes(f, from, to)?.vector()));
    let spread_of = |i: usize| spreads.as_ref().and_then(|s| s.get(i).copied().flatten());
    view.angles = angles(car, job, axle, &changes, &spread_of);
    view.adjust = no_adjuster(axle, &view.angles);
    if let [_, Some(bump)] = ends(axle, held) {
        let left = units.length(bump - to, 0);
        view.adjust.push(format!("{left} of travel are left to the bump stop"));
    }
    view.inputs = figures.both_views(units);
    view
}

fn changes(figures: &CornerFigures, from: f64, to: f64) -> Option<Changes> {
    let axle = whole(figures)?;
    let at = |travel: f64| axle.at(travel, travel).ok().map(|out| values(&out));
    Some(Changes { before: at(from)?, after: at(to)? })
}

/// In the order of the preview's names: such an axle has no caster, no steering axis.
fn values(out: &WholeAxleOutputs) -> Values {
    [
        out.camber.map(Some),
        [Some(out.toe[0] + out.toe[1]); 2],
        [None; 2],
        [None; 2],
        [Some(out.track); 2],
        [out.roll_centre; 2],
        out.toe_rate.map(|rate| Some(10.0 * rate)),
        [None; 2],
        [out.roll_steer; 2],
    ]
}

/// What is to be said of angles that are out of their tolerance.
fn no_adjuster(axle: &Axle, angles: &[AngleView]) -> Vec<String> {
    let out = angles.iter().filter(|angle| angle.to_be_set);
    out.map(|angle| {
        format!(
            "{}: nothing on a {} turns it; shims behind the stub axles, where this car's maker offers them, else look for what is bent or worn",
            angle.name,
            axle.layout.phrase()
        )
    })
    .collect()
}
