//! Figures of a car as computations take them: each with where it comes from, and with a range
//! where it is only typical.
//!
//! A typical figure is never this car's. It may drive an answer, but the answer then names it and
//! says what its range does to the result: every typical figure is varied by itself to both ends of
//! its range, and the effects are added as a root sum of squares, since the figures do not depend on
//! each other.

use super::points::{from_word, layout, whole_layout};
use axlestand_geometry::Vec3;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{BallJoint, Carrier, CornerSpec, Point, Swing, WholeAxleSpec};
use axlestand_model::car::{Axle, Car};
use axlestand_model::{Origin, Provenance};
use serde::Serialize;

/// One figure with where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Figure {
    /// What it is.
    pub(crate) what: String,
    /// Its unit.
    pub(crate) unit: &'static str,
    /// Its value.
    pub(crate) value: f64,
    /// Between what it lies where it is only typical.
    pub(crate) range: Option<(f64, f64)>,
    /// Where it comes from.
    pub(crate) from: String,
}

/// One input of an answer, ready to be shown.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct InputView {
    /// What it is.
    pub what: String,
    /// Its value with unit.
    pub value: String,
    /// Where it comes from.
    pub from: String,
    /// Whether it is only typical: not from this car.
    pub typical: bool,
    /// Between what it was varied.
    pub range: Option<String>,
}

impl Figure {
    /// A figure of the file. With the provenance 'typical' it counts as typical within `span` to
    /// both sides.
    pub(crate) fn of_file(
        what: impl Into<String>,
        unit: &'static str,
        value: f64,
        provenance: &Provenance,
        span: f64,
    ) -> Self {
        let typical = provenance.origin == Origin::Typical;
        Self {
            what: what.into(),
            unit,
            value,
            range: typical.then_some((value - span, value + span)),
            from: if typical { "vehicle file, typical".to_owned() } else { provenance.to_string() },
        }
    }

    /// A figure the car's file does not have.
    pub(crate) fn typical(
        what: impl Into<String>,
        unit: &'static str,
        value: f64,
        range: (f64, f64),
        why: &str,
    ) -> Self {
        Self { what: what.into(), unit, value, range: Some(range), from: format!("typical: {why}") }
    }

    /// A figure that is known, with where it comes from.
    pub(crate) fn known(
        what: impl Into<String>,
        unit: &'static str,
        value: f64,
        from: impl Into<String>,
    ) -> Self {
        Self { what: what.into(), unit, value, range: None, from: from.into() }
    }

    /// Ready to be shown.
    pub(crate) fn view(&self) -> InputView {
        let unit = if self.unit.is_empty() || self.unit == "°" {
            self.unit.to_owned()
        } else {
            format!(" {}", self.unit)
        };
        InputView {
            what: self.what.clone(),
            value: format!("{}{unit}", short(self.value)),
            from: self.from.clone(),
            typical: self.range.is_some(),
            range: self.range.map(|(low, high)| format!("{} to {}{unit}", short(low), short(high))),
        }
    }
}

/// A number without needless noughts.
pub(crate) fn short(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A set of figures that can be varied one by one.
pub(crate) trait Figures: Clone {
    /// All of them.
    fn each(&mut self) -> Vec<&mut Figure>;
}

/// Half the spread of each result from the typical figures; `None` where none is typical. A
/// variation that has no result is left out.
pub(crate) fn spread<F: Figures>(
    figures: &F,
    result: impl Fn(&F) -> Option<Vec<Option<f64>>>,
) -> Option<Vec<Option<f64>>> {
    let nominal = result(figures)?;
    let mut squares = vec![0.0; nominal.len()];
    let mut any = false;
    let count = figures.clone().each().len();
    for i in 0..count {
        let Some((low, high)) = figures.clone().each().get(i).and_then(|figure| figure.range) else {
            continue;
        };
        any = true;
        let at = |value: f64| {
            let mut varied = figures.clone();
            if let Some(figure) = varied.each().into_iter().nth(i) {
                figure.value = value;
            }
            result(&varied)
        };
        for varied in [at(low), at(high)].into_iter().flatten() {
            for ((square, new), old) in squares.iter_mut().zip(&varied).zip(&nominal) {
                if let (Some(new), Some(old)) = (new, old) {
                    // Both ends count, each by half.
                    *square += (new - old).powi(2) / 2.0;
                }
            }
        }
    }
    any.then(|| squares.iter().zip(&nominal).map(|(s, n): (&f64, _)| n.map(|_| s.sqrt())).collect())
}

/// Loaded radius over unloaded radius of a tyre at its pressure: a judgement, 0.95 to 0.98 from
/// memory of tyre makers' tables.
const LOADED: (f64, f64) = (0.95, 0.98);

/// The loaded radius: the file's, else from the tyre designation, else typical.
pub(crate) fn tyre_radius(car: &Car, axle: &Axle) -> Figure {
    let what = "loaded tyre radius";
    if let Some(radius) = axle.tyre_radius {
        return Figure::of_file(what, "mm", radius.mm(), &axle.provenance, 10.0);
    }
    match car.tyre.as_deref().and_then(tyre_size) {
        Some((radius, _)) => {
            let (low, high) = (radius * LOADED.0, radius * LOADED.1);
            let why = format!("{} of the {radius:.0} mm that the tyre designation gives", "0.95 to 0.98");
            Figure::typical(what, "mm", (low + high) / 2.0, (low, high), &why)
        }
        None => Figure::typical(what, "mm", 300.0, (270.0, 340.0), "passenger cars"),
    }
}

/// The unloaded radius and the section width in mm that a designation like '195/60 R15' gives.
pub(crate) fn tyre_size(designation: &str) -> Option<(f64, f64)> {
    let (width, rest) = designation.split_once('/')?;
    let width: f64 =
        width.trim().trim_start_matches(|c: char| c.is_ascii_alphabetic()).trim().parse().ok()?;
    let digits =
        |text: &str| -> String { text.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect() };
    let rest = rest.trim();
    let aspect: f64 = digits(rest).parse().ok()?;
    let rim = rest.trim_start_matches(|c: char| c.is_ascii_digit()).trim_start_matches([' ', 'R', 'Z', '-']);
    let rim: f64 = digits(rim).parse().ok()?;
    let radius = rim * 25.4 / 2.0 + width * aspect / 100.0;
    ((100.0..400.0).contains(&width) && (10.0..100.0).contains(&aspect) && (8.0..26.0).contains(&rim))
        .then_some((radius, width))
}

/// The figures of one corner.
#[derive(Debug, Clone)]
pub(crate) struct CornerFigures {
    axle: Axle,
    /// Loaded radius, mm.
    pub(crate) radius: Figure,
    /// Static camber, degrees.
    pub(crate) camber: Figure,
    /// Static toe of one wheel, degrees.
    pub(crate) toe: Figure,
    /// Every coordinate of the points.
    coordinates: Vec<(Point, [Figure; 3])>,
}

/// By how much a hardpoint of a typical car may be elsewhere, mm: a judgement.
const TYPICAL_POINT_MM: f64 = 10.0;

impl CornerFigures {
    /// The figures of an axle's left corner.
    pub(crate) fn of(car: &Car, axle: &Axle) -> Self {
        let angle = |what: &str, value: Option<axlestand_quantity::Angle>, span: f64, why: &str| match value {
            Some(value) => Figure::of_file(what, "°", value.deg(), &axle.provenance, span),
            None => Figure::typical(what, "°", 0.0, (-span, span), why),
        };
        let coordinate = |name: &str, axis: &str, value: f64| {
            Figure::of_file(format!("{name} {axis}"), "mm", value, &axle.provenance, TYPICAL_POINT_MM)
        };
        let coordinates = axle.points.iter().filter_map(|(name, [x, y, z])| {
            Some((
                from_word(name)?,
                [coordinate(name, "x", *x), coordinate(name, "y", *y), coordinate(name, "z", *z)],
            ))
        });
        Self {
            radius: tyre_radius(car, axle),
            camber: angle("static camber", axle.camber, 1.0, "passenger cars, front and rear"),
            toe: angle("static toe of a wheel", axle.toe, 0.2, "passenger cars"),
            coordinates: coordinates.collect(),
            axle: axle.clone(),
        }
    }

    /// What goes into the kinematics, for one side.
    pub(crate) fn spec(&self, side: Side) -> Option<CornerSpec> {
        let mut spec = bare_spec(&self.axle, self.radius.value)?;
        spec.camber_deg = self.camber.value;
        spec.toe_deg = self.toe.value;
        for (point, [x, y, z]) in &self.coordinates {
            spec.set(*point, Vec3::new(x.value, y.value, z.value));
        }
        joints(&self.axle, &mut spec);
        Some(if side == Side::Right { spec.mirrored() } else { spec })
    }

    /// What goes into the kinematics of an axle that carries both wheels; `None` for wheels hung one
    /// by one.
    pub(crate) fn whole_spec(&self) -> Option<WholeAxleSpec> {
        let mut spec = WholeAxleSpec::new(whole_layout(&self.axle)?, self.radius.value);
        spec.camber_deg = self.camber.value;
        spec.toe_deg = self.toe.value;
        for (point, [x, y, z]) in &self.coordinates {
            spec.set(*point, Vec3::new(x.value, y.value, z.value));
        }
        Some(spec)
    }

    /// Ready to be shown: the hardpoints as one line.
    pub(crate) fn views(&self) -> Vec<InputView> {
        let first = self.coordinates.first().map(|(_, [x, _, _])| x);
        let points = InputView {
            what: "hardpoints".to_owned(),
            value: format!("{} points", self.coordinates.len()),
            from: first.map_or_else(String::new, |figure| figure.from.clone()),
            typical: first.is_some_and(|figure| figure.range.is_some()),
            range: first.and_then(|f| f.range).map(|_| format!("±{TYPICAL_POINT_MM} mm in each direction")),
        };
        vec![points, self.radius.view(), self.camber.view(), self.toe.view()]
    }
}

impl Figures for CornerFigures {
    fn each(&mut self) -> Vec<&mut Figure> {
        let mut all = vec![&mut self.radius, &mut self.camber, &mut self.toe];
        all.extend(self.coordinates.iter_mut().flat_map(|(_, xyz)| xyz.iter_mut()));
        all
    }
}

/// The corner as its points describe it, for the check of the file; `None` for a layout without
/// single corners or an axle without points.
pub(crate) fn corner_spec(axle: &Axle) -> Option<CornerSpec> {
    if axle.points.is_empty() {
        return None;
    }
    let mut spec = bare_spec(axle, axle.tyre_radius.map_or(300.0, axlestand_quantity::Length::mm))?;
    spec.camber_deg = axle.camber.map_or(0.0, axlestand_quantity::Angle::deg);
    spec.toe_deg = axle.toe.map_or(0.0, axlestand_quantity::Angle::deg);
    for (name, [x, y, z]) in &axle.points {
        if let Some(point) = from_word(name) {
            spec.set(point, Vec3::new(*x, *y, *z));
        }
    }
    Some(spec)
}

/// The axle that carries both wheels as its points describe it, for the check of the file; `None`
/// for wheels hung one by one or an axle without points.
pub(crate) fn whole_spec(axle: &Axle) -> Option<WholeAxleSpec> {
    if axle.points.is_empty() {
        return None;
    }
    let radius = axle.tyre_radius.map_or(300.0, axlestand_quantity::Length::mm);
    let mut spec = WholeAxleSpec::new(whole_layout(axle)?, radius);
    spec.camber_deg = axle.camber.map_or(0.0, axlestand_quantity::Angle::deg);
    spec.toe_deg = axle.toe.map_or(0.0, axlestand_quantity::Angle::deg);
    for (name, [x, y, z]) in &axle.points {
        if let Some(point) = from_word(name) {
            spec.set(point, Vec3::new(*x, *y, *z));
        }
    }
    Some(spec)
}

fn bare_spec(axle: &Axle, radius: f64) -> Option<CornerSpec> {
    let mut spec = CornerSpec::new(layout(axle)?, Side::Left, radius);
    let on = |word: Option<axlestand_model::Carrier>| match word {
        Some(axlestand_model::Carrier::LowerArm) => Carrier::LowerArm,
        Some(axlestand_model::Carrier::UpperArm) => Carrier::UpperArm,
        Some(axlestand_model::Carrier::Knuckle) | None => Carrier::Knuckle,
    };
    spec.spring_on = on(axle.spring.as_ref().and_then(|spring| spring.on));
    spec.damper_on = on(axle.damper.as_ref().and_then(|damper| damper.on));
    spec.bar_link_on = on(axle.bar.as_ref().and_then(|bar| bar.on));
    if let Some(damper) = &axle.damper {
        spec.limits.damper_closed = damper.closed.map(axlestand_quantity::Length::mm);
        spec.limits.damper_open = damper.open.map(axlestand_quantity::Length::mm);
    }
    if let Some(limits) = &axle.limits {
        spec.limits.axle_inner_deg = limits.axle_inner_joint.map(axlestand_quantity::Angle::deg);
        spec.limits.axle_outer_deg = limits.axle_outer_joint.map(axlestand_quantity::Angle::deg);
        spec.limits.plunge_in = limits.plunge_in.map(axlestand_quantity::Length::mm);
        spec.limits.plunge_out = limits.plunge_out.map(axlestand_quantity::Length::mm);
        spec.limits.bar_link_deg = limits.bar_link.map(axlestand_quantity::Angle::deg);
    }
    Some(spec)
}

/// Follows the ball joints whose points are given. Their middle is taken to be where they stand as
/// the points were taken; the inner tie-rod joint's is the rack's direction.
fn joints(axle: &Axle, spec: &mut CornerSpec) {
    let limits = axle.limits.as_ref();
    let up = Vec3::new(0.0, 0.0, 1.0);
    let mut add = |point: Point, swing: Swing, axis: Vec3, limit: Option<axlestand_quantity::Angle>| {
        spec.joints.push(BallJoint {
            point,
            swing,
            axis,
            limit_deg: limit.map(axlestand_quantity::Angle::deg),
        });
    };
    let has = |point: Point| axle.points.contains_key(&super::points::word(point));
    if has(Point::LowerBall) && has(Point::LowerFront) && has(Point::LowerRear) {
        add(Point::LowerBall, Swing::KnuckleFromArm, up, limits.and_then(|l| l.lower_ball_joint));
    }
    if has(Point::UpperBall) && has(Point::UpperFront) && has(Point::UpperRear) {
        add(Point::UpperBall, Swing::KnuckleFromArm, up, limits.and_then(|l| l.upper_ball_joint));
    }
    let end =
        |point: Point| axle.points.get(&super::points::word(point)).map(|[x, y, z]| Vec3::new(*x, *y, *z));
    if let (Some(inner), Some(outer)) = (end(Point::TieRodInner), end(Point::TieRodOuter)) {
        let stud = up.across((outer - inner).unit());
        let upright = if stud.norm() > 0.1 { stud } else { up };
        add(Point::TieRodOuter, Swing::StudAcrossRod, upright, limits.and_then(|l| l.outer_tie_rod_joint));
        let across = Vec3::new(0.0, 1.0, 0.0);
        add(Point::TieRodInner, Swing::RodFromAxis, across, limits.and_then(|l| l.inner_tie_rod_joint));
    }
}
