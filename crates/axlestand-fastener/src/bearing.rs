//! The face under the turning head or nut, which takes about half of the torque.

use std::sync::LazyLock;

use axlestand_quantity::Length;

use crate::saturate;
use crate::table::{Row, Table};
use crate::thread::Thread;

/// Outer diameters, as text.
pub(crate) const FACES_TEXT: &str = include_str!("../../../data/bearing_faces.csv");
/// Clearance holes, as text.
pub(crate) const HOLES_TEXT: &str = include_str!("../../../data/clearance_holes.csv");

static FACES: LazyLock<Vec<Diameter>> = LazyLock::new(|| Table::read(FACES_TEXT, read_face));
static HOLES: LazyLock<Vec<Diameter>> = LazyLock::new(|| Table::read(HOLES_TEXT, read_hole));

/// Width across flats in diameters where no face is tabulated (MIL-HDBK-60, appendix B).
const HEAD_IN_DIAMETERS: f64 = 1.5;

/// Why a bearing face was refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum BearingError {
    /// A diameter of nought or less, or a hole as wide as the face.
    #[error(
        "a bearing face needs an outer diameter larger than its hole, both above nought; {outer:.2} over \
         {hole:.2} is none"
    )]
    Impossible {
        /// Outer diameter.
        outer: Length,
        /// Diameter of the hole.
        hole: Length,
    },
}

/// Where a face's size comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BearingOrigin {
    /// Measured or given by the caller.
    Given,
    /// From the tables (ISO 4014 face, ISO 273 medium hole).
    Tabulated,
    /// No row: 1.5 diameters over one diameter (MIL-HDBK-60, appendix B).
    Estimated,
}

/// An annular face: outer diameter of contact and hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    outer_mm: f64,
    hole_mm: f64,
    origin: BearingOrigin,
}

#[derive(Clone, Copy)]
pub(crate) struct Diameter {
    thread_mm: f64,
    size_mm: f64,
}

impl Bearing {
    /// A face that was measured. For a flange head give the flange: it is larger than the hexagon
    /// and raises the torque for the same clamp load.
    ///
    /// # Errors
    /// [`BearingError::Impossible`].
    pub fn new(outer: Length, hole: Length) -> Result<Self, BearingError> {
        if hole.mm() > 0.0 && outer > hole {
            Ok(Self { outer_mm: outer.mm(), hole_mm: hole.mm(), origin: BearingOrigin::Given })
        } else {
            Err(BearingError::Impossible { outer, hole })
        }
    }

    /// The face of a plain hexagon head or nut of `thread` over a medium hole.
    #[must_use]
    pub fn of_hex_head(thread: Thread) -> Self {
        let d = thread.diameter_mm();
        let row = |rows: &[Diameter]| {
            rows.iter()
                .find(|row| thread.is_metric() && (row.thread_mm - d).abs() < 1e-6)
                .map(|row| row.size_mm)
        };
        match (row(&FACES), row(&HOLES)) {
            (Some(outer_mm), Some(hole_mm)) if outer_mm > hole_mm => {
                Self { outer_mm, hole_mm, origin: BearingOrigin::Tabulated }
            }
            _ => Self { outer_mm: HEAD_IN_DIAMETERS * d, hole_mm: d, origin: BearingOrigin::Estimated },
        }
    }

    /// Outer diameter of contact.
    #[must_use]
    pub fn outer(self) -> Length {
        saturate::length(self.outer_mm)
    }

    /// Diameter of the hole.
    #[must_use]
    pub fn hole(self) -> Length {
        saturate::length(self.hole_mm)
    }

    /// Where the sizes come from.
    #[must_use]
    pub fn origin(self) -> BearingOrigin {
        self.origin
    }

    /// Diameter at which friction acts, Dkm = (dw + dh)/2 (VDI 2230).
    #[must_use]
    pub fn mean_diameter(self) -> Length {
        saturate::length(self.mean_mm())
    }

    /// The same with pressure spread evenly over the ring, ⅔·(Do³ − Di³)/(Do² − Di²) (JIS B 1083);
    /// at most 2 % above the mean for common heads.
    #[must_use]
    pub fn ring_diameter(self) -> Length {
        let (o, i) = (self.outer_mm, self.hole_mm);
        // The quotient of the two differences, with o − i divided out.
        saturate::length(2.0 / 3.0 * (o * o + o * i + i * i) / (o + i))
    }

    pub(crate) fn mean_mm(self) -> f64 {
        f64::midpoint(self.outer_mm, self.hole_mm)
    }
}

pub(crate) fn read_face(row: Row<'_>) -> Option<Diameter> {
    row.text("source")?;
    Some(Diameter { thread_mm: row.number("diameter")?, size_mm: row.number("outer")? })
}

pub(crate) fn read_hole(row: Row<'_>) -> Option<Diameter> {
    row.text("source")?;
    Some(Diameter { thread_mm: row.number("diameter")?, size_mm: row.number("hole")? })
}
