//! The points of a corner for a picture: the vehicle file's, else typical ones of its layout.

use super::layouts;
use axlestand_draw::corner::Point;
use axlestand_model::car::{Axle, Car};
use axlestand_model::{AxleEnd, Hand, Layout};
use std::collections::BTreeMap;

/// Points of a strut corner as such corners usually are, mm: x forward from the wheel centre, y to the left
/// from the car's middle, z up from the floor; left side. Good for a picture and for nothing else (AX-40,
/// judgement, no source).
const TYPICAL: [(&str, Point); 16] = [
    ("wheel-centre", [0.0, 735.0, 300.0]),
    ("lower-ball-joint", [5.0, 690.0, 195.0]),
    ("lower-arm-front-pivot", [10.0, 350.0, 220.0]),
    ("lower-arm-rear-pivot", [-290.0, 370.0, 230.0]),
    ("outer-tie-rod-joint", [-140.0, 665.0, 232.0]),
    ("inner-tie-rod-joint", [-140.0, 330.0, 250.0]),
    ("strut-top-mount", [-30.0, 540.0, 930.0]),
    ("strut-lower-point", [-6.0, 622.0, 430.0]),
    ("spring-upper-seat", [-29.0, 546.0, 890.0]),
    ("spring-lower-seat", [-18.0, 584.0, 655.0]),
    ("anti-roll-bar-pivot", [-330.0, 425.0, 262.0]),
    ("anti-roll-bar-arm-end", [-92.0, 592.0, 252.0]),
    ("bar-link-joint-at-the-suspension", [-74.0, 604.0, 528.0]),
    ("drive-axle-inner-joint", [-8.0, 300.0, 297.0]),
    ("drive-axle-outer-joint", [0.0, 674.0, 302.0]),
    ("arch-lip", [0.0, 760.0, 670.0]),
];

/// The points of one corner.
pub(super) struct Hardpoints {
    points: BTreeMap<String, Point>,
    /// How the wheel is carried; a strut where the vehicle file does not say.
    pub(super) layout: Layout,
    /// How many of them are typical ones, and of how many.
    pub(super) typical: [usize; 2],
    /// Loaded radius of the tyre, mm.
    pub(super) tyre: f64,
    outside: f64,
}

impl Hardpoints {
    /// The points of the corner of an axle and a side.
    pub(super) fn of(car: &Car, end: AxleEnd, side: Hand) -> Self {
        let axle = car.axles.iter().find(|axle| axle.name == end.word());
        let layout = axle.map_or(Layout::Strut, |axle| axle.layout);
        let outside = if side == Hand::Left { 1.0 } else { -1.0 };
        let given = axle.map(|axle| of_side(axle, side)).unwrap_or_default();
        let tyre = axle.and_then(|axle| axle.tyre_radius).map_or(300.0, axlestand_quantity::Length::mm);
        let mut points = given.clone();
        let mut count = [0, 0];
        // Typical points move along with the wheel centre that is given.
        let centre = given.get("wheel-centre").copied();
        let shift = centre.map_or([0.0; 3], |[x, y, z]| [x, y * outside - 735.0, z - 300.0]);
        let usual = if layout == Layout::Strut { &TYPICAL[..] } else { layouts::typical(layout) };
        // Rods as the file has them stay alone: one more would be an invention.
        let rods = given.keys().any(|name| name.starts_with("link-"));
        for (name, [x, y, z]) in usual {
            if rods && name.starts_with("link-") && !given.contains_key(*name) {
                continue;
            }
            count[1] += usize::from(*name != "arch-lip");
            if !given.contains_key(*name) {
                count[0] += usize::from(*name != "arch-lip");
                points.insert((*name).to_owned(), [x + shift[0], (y + shift[1]) * outside, z + shift[2]]);
            }
        }
        if let (Some([x, y, z]), Some(arch)) = (centre, axle.and_then(|axle| axle.hub_to_arch)) {
            points.insert("arch-lip".to_owned(), [x, y + 25.0 * outside, z + arch.mm()]);
        }
        Self { points, layout, typical: count, tyre, outside }
    }

    /// Whether there is such a point.
    pub(super) fn has(&self, name: &str) -> bool {
        self.points.contains_key(name)
    }

    /// A point by its name in the vehicle file.
    pub(super) fn at(&self, name: &str) -> Point {
        self.points.get(name).copied().unwrap_or([0.0; 3])
    }

    /// A point, moved forward, outward and up, mm.
    pub(super) fn by(&self, name: &str, [forward, outward, up]: Point) -> Point {
        let [x, y, z] = self.at(name);
        [x + forward, y + outward * self.outside, z + up]
    }

    /// A point on the line between two, at this part of the way.
    pub(super) fn between(&self, from: &str, to: &str, part: f64) -> Point {
        let (a, b) = (self.at(from), self.at(to));
        std::array::from_fn(|i| a[i] + (b[i] - a[i]) * part)
    }

    /// A point in the same place as `name`, but so far from the car's middle, mm.
    pub(super) fn inboard(&self, name: &str, from_middle: f64) -> Point {
        let [x, _, z] = self.at(name);
        [x, from_middle * self.outside, z]
    }
}

/// The points that the vehicle file gives for a side: the right corner is the mirror image of the
/// left one but for what it has of its own.
fn of_side(axle: &Axle, side: Hand) -> BTreeMap<String, Point> {
    let mut points = axle.points.clone();
    if side == Hand::Right {
        for [_, y, _] in points.values_mut() {
            *y = -*y;
        }
        points.extend(axle.points_right.clone());
    }
    points
}
