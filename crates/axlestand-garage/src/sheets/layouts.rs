//! Corners that are no strut corner: what they are made of, as shapes through hardpoints, and typical
//! points for where the vehicle file has none.

use super::hardpoints::Hardpoints;
use axlestand_draw::corner::{Point, Shape, circle};
use axlestand_model::Layout;

/// A part as it is drawn: its word in the vehicle file's names, what people call it, its shape.
pub(super) type Drawn = (&'static str, &'static str, Shape);

/// Typical points of each layout, mm: x forward from the wheel centre, y to the left from the car's middle, z
/// up from the floor; left side. Good for a picture and for nothing else (AX-65, judgement, no source).
pub(super) fn typical(layout: Layout) -> &'static [(&'static str, Point)] {
    match layout {
        Layout::Strut => &[],
        Layout::DoubleWishbone => &DOUBLE_WISHBONE,
        Layout::TwistBeam => &TWIST_BEAM,
        Layout::SemiTrailing => &SEMI_TRAILING,
        Layout::MultiLink => &MULTI_LINK,
        Layout::LiveAxle => &LIVE_AXLE,
    }
}

const CENTRE: (&str, Point) = ("wheel-centre", [0.0, 735.0, 300.0]);
const ARCH: (&str, Point) = ("arch-lip", [0.0, 760.0, 670.0]);

const DOUBLE_WISHBONE: [(&str, Point); 20] = [
    CENTRE,
    ("lower-ball-joint", [5.0, 690.0, 190.0]),
    ("lower-arm-front-pivot", [130.0, 360.0, 205.0]),
    ("lower-arm-rear-pivot", [-190.0, 370.0, 212.0]),
    ("upper-ball-joint", [-14.0, 650.0, 452.0]),
    ("upper-arm-front-pivot", [90.0, 430.0, 470.0]),
    ("upper-arm-rear-pivot", [-130.0, 430.0, 460.0]),
    ("outer-tie-rod-joint", [-135.0, 665.0, 235.0]),
    ("inner-tie-rod-joint", [-135.0, 340.0, 247.0]),
    ("damper-lower-mount", [-20.0, 585.0, 205.0]),
    ("damper-upper-mount", [-30.0, 470.0, 690.0]),
    ("spring-lower-seat", [-23.0, 552.0, 345.0]),
    ("spring-upper-seat", [-29.0, 482.0, 640.0]),
    ("anti-roll-bar-pivot", [230.0, 400.0, 240.0]),
    ("anti-roll-bar-arm-end", [60.0, 560.0, 250.0]),
    ("bar-link-joint-at-the-suspension", [40.0, 575.0, 195.0]),
    ("drive-axle-inner-joint", [-8.0, 300.0, 297.0]),
    ("drive-axle-outer-joint", [0.0, 674.0, 302.0]),
    ("strut-lower-point", [-20.0, 600.0, 330.0]),
    ARCH,
];

const TWIST_BEAM: [(&str, Point); 8] = [
    CENTRE,
    ("beam-pivot", [420.0, 565.0, 338.0]),
    ("beam-shear-centre", [295.0, 0.0, 342.0]),
    ("spring-lower-seat", [40.0, 520.0, 270.0]),
    ("spring-upper-seat", [40.0, 520.0, 490.0]),
    ("damper-lower-mount", [-90.0, 610.0, 245.0]),
    ("damper-upper-mount", [-60.0, 590.0, 640.0]),
    ARCH,
];

const SEMI_TRAILING: [(&str, Point); 8] = [
    CENTRE,
    ("arm-inner-pivot", [330.0, 190.0, 330.0]),
    ("arm-outer-pivot", [450.0, 570.0, 320.0]),
    ("spring-lower-seat", [90.0, 500.0, 280.0]),
    ("spring-upper-seat", [90.0, 500.0, 520.0]),
    ("damper-lower-mount", [-90.0, 600.0, 250.0]),
    ("damper-upper-mount", [-60.0, 580.0, 660.0]),
    ARCH,
];

const MULTI_LINK: [(&str, Point); 16] = [
    CENTRE,
    ("link-1-inner-joint", [430.0, 560.0, 330.0]),
    ("link-1-outer-joint", [60.0, 640.0, 290.0]),
    ("link-2-inner-joint", [60.0, 380.0, 470.0]),
    ("link-2-outer-joint", [20.0, 650.0, 450.0]),
    ("link-3-inner-joint", [-60.0, 250.0, 215.0]),
    ("link-3-outer-joint", [-60.0, 680.0, 190.0]),
    ("link-4-inner-joint", [120.0, 340.0, 225.0]),
    ("link-4-outer-joint", [70.0, 680.0, 200.0]),
    ("link-5-inner-joint", [-170.0, 300.0, 240.0]),
    ("link-5-outer-joint", [-150.0, 680.0, 230.0]),
    ("spring-lower-seat", [-60.0, 470.0, 220.0]),
    ("spring-upper-seat", [-55.0, 460.0, 470.0]),
    ("damper-lower-mount", [-40.0, 620.0, 240.0]),
    ("damper-upper-mount", [-30.0, 560.0, 700.0]),
    ARCH,
];

const LIVE_AXLE: [(&str, Point); 12] = [
    CENTRE,
    ("link-1-inner-joint", [550.0, 480.0, 270.0]),
    ("link-1-outer-joint", [20.0, 480.0, 230.0]),
    ("link-3-inner-joint", [380.0, 110.0, 420.0]),
    ("link-3-outer-joint", [0.0, 130.0, 430.0]),
    ("link-4-inner-joint", [-110.0, 520.0, 350.0]),
    ("link-4-outer-joint", [-110.0, -480.0, 330.0]),
    ("spring-lower-seat", [60.0, 500.0, 330.0]),
    ("spring-upper-seat", [65.0, 490.0, 560.0]),
    ("damper-lower-mount", [-80.0, 590.0, 250.0]),
    ("damper-upper-mount", [-40.0, 520.0, 660.0]),
    ARCH,
];

/// The parts of a corner of that layout.
pub(super) fn shapes(layout: Layout, p: &Hardpoints) -> Vec<Drawn> {
    let mut shapes = wheel(p);
    shapes.extend(match layout {
        Layout::Strut => Vec::new(),
        Layout::DoubleWishbone => double_wishbone(p),
        Layout::TwistBeam => twist_beam(p),
        Layout::SemiTrailing => semi_trailing(p),
        Layout::MultiLink => multi_link(p),
        Layout::LiveAxle => live_axle(p),
    });
    if !(layout == Layout::LiveAxle && p.has("leaf-spring-front-eye")) {
        shapes.push(coil(p));
    }
    shapes.push(damper(p));
    shapes
}

fn wheel(p: &Hardpoints) -> Vec<Drawn> {
    let rings = |radii: Vec<f64>, outward| Shape::Rings {
        centre: p.by("wheel-centre", [0.0, outward, 0.0]),
        radii,
        upright: false,
    };
    let tyre = [1.0, 0.66].map(|part| circle(p.by("wheel-centre", [0.0, 40.0, 0.0]), p.tyre * part));
    vec![
        ("wheel", "wheel", Shape::Frame(tyre.to_vec())),
        ("disc", "brake", rings(vec![125.0, 72.0], 30.0)),
        ("hub", "hub", rings(vec![62.0, 28.0], 38.0)),
    ]
}

fn coil(p: &Hardpoints) -> Drawn {
    let between = [p.at("spring-lower-seat"), p.at("spring-upper-seat")];
    ("spring", "spring", Shape::Coil { between, radius: 58.0, wire: 7.0, turns: 6 })
}

fn damper(p: &Hardpoints) -> Drawn {
    let along = |part| p.between("damper-lower-mount", "damper-upper-mount", part);
    let tubes = vec![(vec![along(0.5), along(1.0)], 7.0), (vec![along(0.0), along(0.55)], 21.0)];
    ("damper", "damper", Shape::Tubes(tubes))
}

/// A bush, its axis along the car.
fn bush([x, y, z]: Point) -> (Vec<Point>, f64) {
    (vec![[x - 26.0, y, z], [x + 26.0, y, z]], 25.0)
}

fn double_wishbone(p: &Hardpoints) -> Vec<Drawn> {
    let hub = p.by("wheel-centre", [0.0, -30.0, 0.0]);
    let arm = |front: &str, rear: &str, ball: &str, radius| {
        let (front, rear, ball) = (p.at(front), p.at(rear), p.at(ball));
        Shape::Tubes(vec![(vec![front, ball], radius), (vec![rear, ball], radius), bush(front), bush(rear)])
    };
    let rod = |part| p.between("outer-tie-rod-joint", "inner-tie-rod-joint", part);
    vec![
        (
            "knuckle",
            "knuckle",
            Shape::Tubes(vec![
                (vec![p.at("lower-ball-joint"), hub], 21.0),
                (vec![hub, p.at("upper-ball-joint")], 19.0),
                (vec![p.by("wheel-centre", [-20.0, -30.0, -25.0]), p.at("outer-tie-rod-joint")], 13.0),
            ]),
        ),
        (
            "lower-arm",
            "lower control arm",
            arm("lower-arm-front-pivot", "lower-arm-rear-pivot", "lower-ball-joint", 18.0),
        ),
        (
            "upper-arm",
            "upper control arm",
            arm("upper-arm-front-pivot", "upper-arm-rear-pivot", "upper-ball-joint", 13.0),
        ),
        ("tie-rod-end", "tie-rod end", Shape::Tube { through: vec![rod(0.0), rod(0.26)], radius: 14.0 }),
        ("tie-rod", "tie rod", Shape::Tube { through: vec![rod(0.2), rod(1.0)], radius: 9.0 }),
    ]
}

fn twist_beam(p: &Hardpoints) -> Vec<Drawn> {
    let (pivot, middle) = (p.at("beam-pivot"), p.at("beam-shear-centre"));
    let hub = p.by("wheel-centre", [0.0, -70.0, 0.0]);
    // The cross member leaves the arm as far back as its middle lies.
    let part = ((middle[0] - pivot[0]) / (hub[0] - pivot[0])).clamp(0.05, 0.9);
    let root: Point = std::array::from_fn(|i| pivot[i] + (hub[i] - pivot[i]) * part);
    let [x, y, z] = pivot;
    let tubes = vec![
        (vec![pivot, hub], 26.0),
        (vec![root, middle], 32.0),
        (vec![hub, p.by("wheel-centre", [0.0, 20.0, 0.0])], 16.0),
        (vec![[x, y - 32.0, z], [x, y + 32.0, z]], 30.0),
    ];
    vec![("beam", "twist beam", Shape::Tubes(tubes))]
}

fn semi_trailing(p: &Hardpoints) -> Vec<Drawn> {
    let hub = p.by("wheel-centre", [0.0, -60.0, 0.0]);
    let (inner, outer) = (p.at("arm-inner-pivot"), p.at("arm-outer-pivot"));
    let tubes = vec![
        (vec![inner, hub], 22.0),
        (vec![outer, hub], 26.0),
        (vec![inner, outer], 14.0),
        (vec![hub, p.by("wheel-centre", [0.0, 20.0, 0.0])], 16.0),
    ];
    vec![("trailing-arm", "semi-trailing arm", Shape::Tubes(tubes))]
}

/// The links of an axle that are known: number and both ends.
fn links(p: &Hardpoints) -> Vec<(usize, [Point; 2])> {
    let ends = |n: usize| {
        let [inner, outer] = ["inner", "outer"].map(|end| format!("link-{n}-{end}-joint"));
        (p.has(&inner) && p.has(&outer)).then(|| (n, [p.at(&inner), p.at(&outer)]))
    };
    (1..=5).filter_map(ends).collect()
}

const LINKS: [(&str, &str); 5] = [
    ("link-1", "link 1"),
    ("link-2", "link 2"),
    ("link-3", "link 3"),
    ("link-4", "link 4"),
    ("link-5", "link 5"),
];

fn rods(p: &Hardpoints) -> impl Iterator<Item = Drawn> {
    links(p).into_iter().map(|(n, [inner, outer])| {
        let (word, name) = LINKS[n - 1];
        (word, name, Shape::Tubes(vec![(vec![inner, outer], 12.0), bush(inner), bush(outer)]))
    })
}

fn multi_link(p: &Hardpoints) -> Vec<Drawn> {
    let hub = p.by("wheel-centre", [0.0, -40.0, 0.0]);
    let mut tubes: Vec<(Vec<Point>, f64)> =
        links(p).into_iter().map(|(_, [_, outer])| (vec![hub, outer], 15.0)).collect();
    tubes.push((vec![hub, p.by("wheel-centre", [0.0, 20.0, 0.0])], 20.0));
    rods(p).chain([("knuckle", "wheel carrier", Shape::Tubes(tubes))]).collect()
}

fn live_axle(p: &Hardpoints) -> Vec<Drawn> {
    let middle = p.inboard("wheel-centre", 0.0);
    let [x, y, z] = middle;
    let tubes = vec![
        (vec![middle, p.by("wheel-centre", [0.0, 20.0, 0.0])], 32.0),
        (vec![[x + 110.0, y, z], [x - 90.0, y, z]], 85.0),
    ];
    let mut shapes: Vec<Drawn> = vec![("axle", "axle tube", Shape::Tubes(tubes))];
    if p.has("leaf-spring-front-eye") {
        let eye = p.at("leaf-spring-front-eye");
        // The rear eye lies about as far behind the axle as the front one before it.
        let rear = [2.0 * x - eye[0], eye[1], eye[2] + 20.0];
        let under = [x, eye[1], z - 55.0];
        let leaf = vec![
            eye,
            [(eye[0] + x) / 2.0, eye[1], z - 45.0],
            under,
            [(rear[0] + x) / 2.0, rear[1], z - 45.0],
            rear,
        ];
        shapes.push(("leaf-spring", "leaf spring", Shape::Tubes(vec![(leaf, 14.0), bush(eye), bush(rear)])));
    } else {
        shapes.extend(rods(p));
    }
    shapes
}
