//! What both wheels of an axle do together: the track, and the roll centre of an axle whose sides
//! differ.

use super::corner::corner;
use super::corner_figures::CornerFigures;
use axlestand_geometry::conventions::{Side, spin_axis, to_contact};
use axlestand_geometry::kinematics::{Corner, Outputs, Solved};

/// A solved corner with what it shows.
pub(crate) type Shown<'a> = (&'a Corner, &'a Solved, &'a Outputs);

/// The corner of one side, and the one across the car where it is not its mirror image.
#[derive(Debug, Clone)]
pub(crate) struct BothSides {
    /// The corner that is looked at.
    pub(crate) here: Corner,
    /// The one across, where it differs.
    pub(crate) across: Option<Corner>,
}

/// What both wheels do together at one travel.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Together {
    /// Change of the track, mm.
    pub(crate) track_change: Option<f64>,
    /// Height of the roll centre above the ground, mm.
    pub(crate) roll_centre: Option<f64>,
}

impl BothSides {
    /// The corner of one side with the one across; `None` where they cannot be put together.
    pub(crate) fn of(figures: &CornerFigures, side: Side) -> Option<Self> {
        let here = corner(figures, side)?;
        if figures.right_is_mirrored() {
            return Some(Self { here, across: None });
        }
        Some(Self { here, across: Some(corner(figures, side.other())?) })
    }

    /// What both wheels do together at a wheel travel and rack travel, mm; the corner looked at is
    /// solved there.
    pub(crate) fn together(&self, at: &Solved, out: &Outputs, across: Option<&Solved>) -> Together {
        let here = (&self.here, at, out);
        let Some(corner) = &self.across else {
            return Together { track_change: Some(2.0 * out.half_track), roll_centre: out.roll_centre };
        };
        let across = across.and_then(|at| Some((at, corner.outputs(at).ok()?)));
        across.map_or_else(Together::default, |(at, other)| Together {
            track_change: Some(out.half_track + other.half_track),
            roll_centre: roll_centre(here, (corner, at, &other)),
        })
    }
}

/// Height of the roll centre of two corners, mm above the ground, both wheels at the same travel:
/// where the two lines meet that run from each contact point to its instant centre (Blundell and
/// Harty 2004, eqs 4.32–4.43). A corner that gives the height h over the centreline has the line
/// h − y·h/y_C, so the lines meet at y = (h_l − h_r) / (h_l/y_l − h_r/y_r).
fn roll_centre(one: Shown<'_>, other: Shown<'_>) -> Option<f64> {
    let (h, h_other) = (one.2.roll_centre?, other.2.roll_centre?);
    let (slope, slope_other) = (h / contact_y(one), h_other / contact_y(other));
    let y = (h - h_other) / (slope - slope_other);
    // Lines that are all but parallel meet nowhere on the car.
    (y.abs() < 10_000.0).then_some(h - y * slope)
}

/// Where the wheel meets the ground, mm to the left.
fn contact_y((corner, solved, out): Shown<'_>) -> f64 {
    let spec = corner.spec();
    let spin = spin_axis(out.camber.to_radians(), out.toe.to_radians(), spec.side);
    solved.pose.origin.y + to_contact(spin, spec.loaded_radius).y
}

#[cfg(test)]
mod tests {
    use super::roll_centre;
    use axlestand_geometry::conventions::{Side, spin_axis, to_contact};
    use axlestand_geometry::kinematics::{Corner, CornerSpec, Layout, Point};

    /// A strut of the shape of the recorded one; the arm's pivots `lift` mm higher.
    fn strut(lift: f64) -> CornerSpec {
        CornerSpec::new(Layout::Strut, Side::Left, 290.0)
            .with(Point::WheelCentre, 0.0, 735.0, 290.0)
            .with(Point::LowerBall, 5.0, 690.0, 190.0)
            .with(Point::LowerFront, 10.0, 345.0, 212.0 + lift)
            .with(Point::LowerRear, -300.0, 370.0, 222.0 + lift)
            .with(Point::StrutTop, -25.0, 565.0, 800.0)
            .with(Point::StrutSeat, -6.0, 628.0, 420.0)
            .with(Point::TieRodInner, -140.0, 330.0, 238.0)
            .with(Point::TieRodOuter, -140.0, 665.0, 222.0)
    }

    #[test]
    fn equal_sides_have_the_roll_centre_of_one() {
        let (left, right) = (Corner::new(strut(0.0)).unwrap(), Corner::new(strut(0.0).mirrored()).unwrap());
        for travel in [-40.0, 0.0, 30.0] {
            let ((at_l, l), (at_r, r)) = (left.at(travel, 0.0).unwrap(), right.at(travel, 0.0).unwrap());
            let met = roll_centre((&left, &at_l, &l), (&right, &at_r, &r)).unwrap();
            assert!((met - l.roll_centre.unwrap()).abs() < 1e-9, "{met} {l:?}");
        }
    }

    /// The body held, both wheels rise together by dz: the contact points move sideways by slopes
    /// found as differences, and the lines square to both motions are drawn anew.
    #[test]
    fn unequal_sides_meet_where_differences_say() {
        let (left, right) = (Corner::new(strut(0.0)).unwrap(), Corner::new(strut(25.0).mirrored()).unwrap());
        let ((at_l, l), (at_r, r)) = (left.at(0.0, 0.0).unwrap(), right.at(0.0, 0.0).unwrap());
        let met = roll_centre((&left, &at_l, &l), (&right, &at_r, &r)).unwrap();
        let line = |corner: &Corner| {
            // The contact point carried by the knuckle.
            let at = corner.solve(0.0, 0.0).unwrap();
            let out = corner.outputs(&at).unwrap();
            let spin = spin_axis(out.camber.to_radians(), out.toe.to_radians(), corner.spec().side);
            let down = to_contact(spin, 290.0);
            let carried = |travel: f64| {
                let at = corner.solve(travel, 0.0).unwrap();
                at.pose.origin + at.pose.turn.times(down)
            };
            let (low, high) = (carried(-0.5), carried(0.5));
            let slope = (high.y - low.y) / (high.z - low.z);
            ((low.y + high.y) / 2.0, slope)
        };
        let ((yl, ml), (yr, mr)) = (line(&left), line(&right));
        // h = −(y − y_C)·dy/dz for each; solved for the common y.
        let y = (yl * ml - yr * mr) / (ml - mr);
        let height = -(y - yl) * ml;
        assert!((met - height).abs() < 0.01, "{met} {height}");
        assert!((met - l.roll_centre.unwrap()).abs() > 1.0, "the sides differ");
        assert!((met - r.roll_centre.unwrap()).abs() > 1.0, "the sides differ");
    }
}
