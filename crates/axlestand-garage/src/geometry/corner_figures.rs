//! The corners of an axle as figures: the left one by its points, the right one as its mirror image
//! but for what was measured there; and the axle that carries both wheels as one.

use super::figures::{Figure, Figures, InputView, tyre_radius};
use super::points::{from_word, layout, whole_layout};
use crate::units::Units;
use axlestand_geometry::Vec3;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{BallJoint, Carrier, CornerSpec, Point, Swing, WholeAxleSpec};
use axlestand_model::car::{Axle, Car};
use axlestand_quantity::{Angle, Length};
use std::collections::BTreeMap;

/// A point with the figures of its coordinates.
type PlacedPoint = (Point, [Figure; 3]);

/// The figures of an axle's corners.
#[derive(Debug, Clone)]
pub(crate) struct CornerFigures {
    axle: Axle,
    /// Loaded radius, mm.
    pub(crate) radius: Figure,
    /// Static camber, degrees.
    pub(crate) camber: Figure,
    /// Static toe of one wheel, degrees.
    pub(crate) toe: Figure,
    /// Camber and toe of the right wheel, where they differ.
    right_angles: [Option<Figure>; 2],
    /// Every coordinate of the left corner's points.
    coordinates: Vec<PlacedPoint>,
    /// Every coordinate of the right corner's own points.
    right_coordinates: Vec<PlacedPoint>,
}

/// By how much a hardpoint of a typical car may be elsewhere, mm: a judgement (AX-71).
const TYPICAL_POINT_MM: f64 = 10.0;
/// Within what a typical static camber and toe of a wheel lie, degrees: a judgement (AX-71).
const TYPICAL_ANGLES: [f64; 2] = [1.0, 0.2];

impl CornerFigures {
    /// The figures of an axle's corners.
    pub(crate) fn of(car: &Car, axle: &Axle) -> Self {
        let given = |what: &str, value: Angle, span: f64| {
            Figure::of_file(what, "°", value.deg(), &axle.provenance, span)
        };
        let angle = |what: &str, value: Option<Angle>, span: f64, why: &str| match value {
            Some(value) => given(what, value, span),
            None => Figure::typical(what, "°", 0.0, (-span, span), why),
        };
        let [camber, toe] = TYPICAL_ANGLES;
        Self {
            radius: tyre_radius(car, axle),
            camber: angle("static camber", axle.camber, camber, "passenger cars, front and rear"),
            toe: angle("static toe of a wheel", axle.toe, toe, "passenger cars"),
            right_angles: [
                axle.camber_right.map(|value| given("static camber, right", value, camber)),
                axle.toe_right.map(|value| given("static toe of the right wheel", value, toe)),
            ],
            coordinates: coordinates(axle, &axle.points, ""),
            right_coordinates: match layout(axle) {
                Some(_) => coordinates(axle, &axle.points_right, ", right"),
                // Nothing is computed by them where one axle carries both wheels.
                None => Vec::new(),
            },
            axle: axle.clone(),
        }
    }

    /// Whether the right side is the mirror image of the left one.
    pub(crate) fn right_is_mirrored(&self) -> bool {
        self.right_coordinates.is_empty() && self.right_angles.iter().all(Option::is_none)
    }

    /// What goes into the kinematics, for one side.
    pub(crate) fn spec(&self, side: Side) -> Option<CornerSpec> {
        let mut spec = bare_spec(&self.axle, self.radius.value)?;
        spec.camber_deg = self.camber.value;
        spec.toe_deg = self.toe.value;
        place(&mut spec, &self.coordinates);
        if side == Side::Right {
            spec = spec.mirrored();
            place(&mut spec, &self.right_coordinates);
            let [camber, toe] = &self.right_angles;
            spec.camber_deg = camber.as_ref().map_or(spec.camber_deg, |figure| figure.value);
            spec.toe_deg = toe.as_ref().map_or(spec.toe_deg, |figure| figure.value);
        }
        joints(&self.axle, &mut spec);
        Some(spec)
    }

    /// What goes into the kinematics of an axle that carries both wheels; `None` for wheels hung one
    /// by one.
    pub(crate) fn whole_spec(&self) -> Option<WholeAxleSpec> {
        let mut spec = WholeAxleSpec::new(whole_layout(&self.axle)?, self.radius.value);
        let [camber, toe] = &self.right_angles;
        let pair = |left: &Figure, right: &Option<Figure>| [left.value, right.as_ref().unwrap_or(left).value];
        spec.camber_deg = pair(&self.camber, camber);
        spec.toe_deg = pair(&self.toe, toe);
        for (point, [x, y, z]) in &self.coordinates {
            spec.set(*point, Vec3::new(x.value, y.value, z.value));
        }
        Some(spec)
    }

    /// The figures of one side, ready to be shown: the hardpoints as one line, those that the right
    /// corner has of its own as another.
    pub(crate) fn views(&self, side: Side, units: Units) -> Vec<InputView> {
        let mut views = vec![points_view("hardpoints", &self.coordinates, units)];
        let [camber, toe] = &self.right_angles;
        let right = side == Side::Right;
        if right && !self.right_coordinates.is_empty() {
            views.push(points_view("hardpoints of the right corner's own", &self.right_coordinates, units));
        }
        views.push(self.radius.view(units));
        for (own, both) in [(camber, &self.camber), (toe, &self.toe)] {
            views.push(own.as_ref().filter(|_| right).unwrap_or(both).view(units));
        }
        views
    }

    /// The figures of both sides, ready to be shown.
    pub(crate) fn both_views(&self, units: Units) -> Vec<InputView> {
        let mut views = self.views(Side::Left, units);
        for view in self.views(Side::Right, units) {
            if !views.contains(&view) {
                views.push(view);
            }
        }
        views
    }
}

impl Figures for CornerFigures {
    fn each(&mut self) -> Vec<&mut Figure> {
        let mut all = vec![&mut self.radius, &mut self.camber, &mut self.toe];
        all.extend(self.right_angles.iter_mut().flatten());
        let points = self.coordinates.iter_mut().chain(self.right_coordinates.iter_mut());
        all.extend(points.flat_map(|(_, xyz)| xyz.iter_mut()));
        all
    }
}

fn coordinates(axle: &Axle, points: &BTreeMap<String, [f64; 3]>, which: &str) -> Vec<PlacedPoint> {
    let figure = |name: &str, axis: &str, value: f64| {
        Figure::of_file(format!("{name} {axis}{which}"), "mm", value, &axle.provenance, TYPICAL_POINT_MM)
    };
    let placed = points.iter().filter_map(|(name, [x, y, z])| {
        Some((from_word(name)?, [figure(name, "x", *x), figure(name, "y", *y), figure(name, "z", *z)]))
    });
    placed.collect()
}

fn place(spec: &mut CornerSpec, points: &[PlacedPoint]) {
    for (point, [x, y, z]) in points {
        spec.set(*point, Vec3::new(x.value, y.value, z.value));
    }
}

fn points_view(what: &str, points: &[PlacedPoint], units: Units) -> InputView {
    let first = points.first().map(|(_, [x, _, _])| x);
    InputView {
        what: what.to_owned(),
        value: format!("{} {}", points.len(), if points.len() == 1 { "point" } else { "points" }),
        from: first.map_or_else(String::new, |figure| figure.from.said(units)),
        typical: first.is_some_and(|figure| figure.range.is_some()),
        range: first.and_then(|f| f.range).map(|_| {
            let off = units.short_length(TYPICAL_POINT_MM);
            format!("±{off} in each direction")
        }),
    }
}

/// The corner of one side as its points describe it, for the check of the file; `None` for a layout
/// without single corners or an axle without points.
pub(crate) fn corner_spec(axle: &Axle, side: Side) -> Option<CornerSpec> {
    if axle.points.is_empty() && axle.points_right.is_empty() {
        return None;
    }
    let mut spec = bare_spec(axle, axle.tyre_radius.map_or(300.0, Length::mm))?;
    spec.camber_deg = axle.camber.map_or(0.0, Angle::deg);
    spec.toe_deg = axle.toe.map_or(0.0, Angle::deg);
    set(&mut spec, &axle.points);
    if side == Side::Right {
        spec = spec.mirrored();
        set(&mut spec, &axle.points_right);
        spec.camber_deg = axle.camber_right.map_or(spec.camber_deg, Angle::deg);
        spec.toe_deg = axle.toe_right.map_or(spec.toe_deg, Angle::deg);
    }
    Some(spec)
}

/// The axle that carries both wheels as its points describe it, for the check of the file; `None`
/// for wheels hung one by one or an axle without points.
pub(crate) fn whole_spec(axle: &Axle) -> Option<WholeAxleSpec> {
    if axle.points.is_empty() {
        return None;
    }
    let mut spec = WholeAxleSpec::new(whole_layout(axle)?, axle.tyre_radius.map_or(300.0, Length::mm));
    let pair =
        |left: Option<Angle>, right: Option<Angle>| [left, right.or(left)].map(|a| a.map_or(0.0, Angle::deg));
    spec.camber_deg = pair(axle.camber, axle.camber_right);
    spec.toe_deg = pair(axle.toe, axle.toe_right);
    for (name, [x, y, z]) in &axle.points {
        if let Some(point) = from_word(name) {
            spec.set(point, Vec3::new(*x, *y, *z));
        }
    }
    Some(spec)
}

fn set(spec: &mut CornerSpec, points: &BTreeMap<String, [f64; 3]>) {
    for (name, [x, y, z]) in points {
        if let Some(point) = from_word(name) {
            spec.set(point, Vec3::new(*x, *y, *z));
        }
    }
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
        spec.limits.damper_closed = damper.closed.map(Length::mm);
        spec.limits.damper_open = damper.open.map(Length::mm);
    }
    if let Some(limits) = &axle.limits {
        spec.limits.axle_inner_deg = limits.axle_inner_joint.map(Angle::deg);
        spec.limits.axle_outer_deg = limits.axle_outer_joint.map(Angle::deg);
        spec.limits.plunge_in = limits.plunge_in.map(Length::mm);
        spec.limits.plunge_out = limits.plunge_out.map(Length::mm);
        spec.limits.bar_link_deg = limits.bar_link.map(Angle::deg);
    }
    Some(spec)
}

/// Follows the ball joints whose points are given. Their middle is taken to be where they stand as
/// the points were taken; the inner tie-rod joint's is the rack's direction.
fn joints(axle: &Axle, spec: &mut CornerSpec) {
    let limits = axle.limits.as_ref();
    let up = Vec3::new(0.0, 0.0, 1.0);
    let across = Vec3::new(0.0, spec.side.sign(), 0.0);
    let mut all = Vec::new();
    let mut add = |point: Point, swing: Swing, axis: Vec3, limit: Option<Angle>| {
        all.push(BallJoint { point, swing, axis, limit_deg: limit.map(Angle::deg) });
    };
    let has = |points: [Point; 3]| points.into_iter().all(|point| spec.point(point).is_some());
    if has([Point::LowerBall, Point::LowerFront, Point::LowerRear]) {
        add(Point::LowerBall, Swing::KnuckleFromArm, up, limits.and_then(|l| l.lower_ball_joint));
    }
    if has([Point::UpperBall, Point::UpperFront, Point::UpperRear]) {
        add(Point::UpperBall, Swing::KnuckleFromArm, up, limits.and_then(|l| l.upper_ball_joint));
    }
    if let (Some(inner), Some(outer)) = (spec.point(Point::TieRodInner), spec.point(Point::TieRodOuter)) {
        let stud = up.across((outer - inner).unit());
        let upright = if stud.norm() > 0.1 { stud } else { up };
        add(Point::TieRodOuter, Swing::StudAcrossRod, upright, limits.and_then(|l| l.outer_tie_rod_joint));
        add(Point::TieRodInner, Swing::RodFromAxis, across, limits.and_then(|l| l.inner_tie_rod_joint));
    }
    spec.joints = all;
}
