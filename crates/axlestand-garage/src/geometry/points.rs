//! Hardpoints of the vehicle file: their names, and which an axle needs.

use axlestand_geometry::kinematics::{Layout, Point, WholeLayout};
use axlestand_model::car::{Axle, nearest};
use std::collections::BTreeSet;

/// The name of a point as it stands in a vehicle file: the trade's words joined with hyphens.
pub(crate) fn word(point: Point) -> String {
    point.name().replace(' ', "-")
}

/// The point that is written as `word`.
pub(crate) fn from_word(text: &str) -> Option<Point> {
    Point::ALL.into_iter().find(|point| word(*point) == text)
}

/// The kinematic layout of an axle; `None` for axles whose wheels are not hung one by one.
pub(crate) fn layout(axle: &Axle) -> Option<Layout> {
    use axlestand_model::Layout as L;
    match axle.layout {
        L::Strut => Some(Layout::Strut),
        L::DoubleWishbone => Some(Layout::DoubleWishbone),
        L::SemiTrailing => Some(Layout::SemiTrailing),
        L::MultiLink => Some(Layout::FiveLink),
        L::TwistBeam | L::LiveAxle => None,
    }
}

/// How an axle that carries both wheels is held; `None` for axles whose wheels are hung one by one.
/// A live axle with a leaf spring's eye among its points is on leaf springs.
pub(crate) fn whole_layout(axle: &Axle) -> Option<WholeLayout> {
    use axlestand_model::Layout as L;
    match axle.layout {
        L::TwistBeam => Some(WholeLayout::TwistBeam),
        L::LiveAxle if axle.points.contains_key(&word(Point::LeafFrontEye)) => Some(WholeLayout::Leaves),
        L::LiveAxle => Some(WholeLayout::Links),
        L::Strut | L::DoubleWishbone | L::SemiTrailing | L::MultiLink => None,
    }
}

/// The points that the axle's layout cannot do without.
fn needed(axle: &Axle) -> &'static [Point] {
    match (layout(axle), whole_layout(axle)) {
        (Some(layout), _) => layout.points(),
        (None, Some(whole)) => whole.points(),
        (None, None) => &[],
    }
}

/// The points that the axle's layout cannot do without and that are not given.
pub(crate) fn missing(axle: &Axle) -> Vec<String> {
    let names = needed(axle).iter().map(|point| word(*point));
    names.filter(|name| !axle.points.contains_key(name)).collect()
}

/// What to write instead of a name that no point has.
pub(crate) fn unknown_hint(name: &str, axle: &Axle) -> String {
    if let Some(near) = suggestion(name, axle) {
        return format!("did you mean '{near}'?");
    }
    let names: Vec<String> = needed(axle).iter().map(|point| word(*point)).collect();
    format!("a {} axle takes {}; docs/vehicle-file.md lists all", axle.layout.phrase(), names.join(", "))
}

/// The point that was meant: one that differs by a slip, else the only one of the layout that has
/// all the words typed.
fn suggestion(name: &str, axle: &Axle) -> Option<String> {
    let all: Vec<String> = Point::ALL.into_iter().map(word).collect();
    if let Some(near) = nearest(name, all.iter().map(String::as_str)) {
        return Some(near.to_owned());
    }
    let typed: BTreeSet<&str> = name.split('-').collect();
    let has_all = |point: &&Point| {
        let known = word(**point);
        typed.is_subset(&known.split('-').collect())
    };
    let mut fitting = needed(axle).iter().filter(has_all);
    match (fitting.next(), fitting.next()) {
        (Some(only), None) => Some(word(*only)),
        _ => None,
    }
}
