//! The demo car as tests need it: its front corner without the façade, and a job on it.
#![allow(dead_code, reason = "not every test file uses all of it")]
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use axlestand_garage::{CountingClock, Garage, StartJob};
use axlestand_geometry::conventions::Side;
use axlestand_geometry::kinematics::{CornerSpec, Layout, Point};
use axlestand_model::car::Car;

/// The front corner of a file's points, put together without the façade.
pub(crate) fn bare_spec(car: &Car, side: Side) -> CornerSpec {
    let axle = car.axles.iter().find(|axle| axle.name == "front").unwrap();
    let mut spec = CornerSpec::new(Layout::Strut, Side::Left, 298.0);
    (spec.camber_deg, spec.toe_deg) = (-0.6, 0.05);
    for point in Point::ALL {
        if let Some([x, y, z]) = axle.points.get(&point.name().replace(' ', "-")) {
            spec = spec.with(point, *x, *y, *z);
        }
    }
    if side == Side::Right { spec.mirrored() } else { spec }
}

/// A garage with a job on the car of this text: the control arms are replaced.
pub(crate) fn started(text: &str) -> (Garage, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("car.toml");
    std::fs::write(&path, text).unwrap();
    let mut garage =
        Garage::open_or_create(&folder.path().join("garage"), Box::new(CountingClock::default())).unwrap();
    let start =
        StartJob { car: path, replace: vec!["control-arm".to_owned()], rust: 1, ..StartJob::default() };
    garage.start_job(&start).unwrap();
    (garage, folder)
}
