//! Property classes of bolts, screws, studs and nuts: ISO 898-1 and -2, SAE J429.
//!
//! Strengths are least values in MPa. What follows from them is a limit, never a value to use.

use std::fmt;
use std::sync::LazyLock;

use axlestand_quantity::Force;

use crate::saturate;
use crate::table::{Row, Table};
use crate::thread::{INCH_MM, Thread};

/// Strengths, as text.
pub(crate) const TEXT: &str = include_str!("../../../data/classes.csv");
/// Nut pairing, as text.
pub(crate) const NUTS_TEXT: &str = include_str!("../../../data/nuts.csv");

static ROWS: LazyLock<Vec<ClassRow>> = LazyLock::new(|| Table::read(TEXT, read));
static NUTS: LazyLock<Vec<(PropertyClass, u32)>> = LazyLock::new(|| Table::read(NUTS_TEXT, read_nut));

/// 1 ksi in MPa (NIST SP 811: 1 psi = 6.894 757 kPa).
const KSI_MPA: f64 = 6.894_757;

/// Why a property class was refused, or does not go with a thread. Every message says what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ClassError {
    /// Not a class known here.
    #[error("'{text}' is not a property class known here; give {known}, as stamped on the head")]
    Unknown {
        /// What was typed.
        text: String,
        /// The classes that are known.
        known: String,
    },
    /// A head mark of the old Japanese series.
    #[error(
        "'{text}' is an old Japanese head mark; it stands beside the newer {newer} but not for the same strength. \
         Look its torque up, or replace the bolt"
    )]
    OldJapanese {
        /// What was typed.
        text: String,
        /// The newer class it stands beside.
        newer: &'static str,
    },
    /// An ISO class on an inch thread, or an SAE grade on a metric one.
    #[error(
        "{class} does not go with {thread}: metric threads have classes such as 8.8, inch threads SAE grades"
    )]
    WrongSystem {
        /// The class.
        class: PropertyClass,
        /// The thread.
        thread: Thread,
    },
    /// The standard has no row for this diameter.
    #[error("{class} is not defined for {thread}; read the head mark again")]
    OutOfRange {
        /// The class.
        class: PropertyClass,
        /// The thread.
        thread: Thread,
    },
}

/// A property class or grade of a bolt, screw or stud.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PropertyClass {
    /// ISO 898-1 class 4.6.
    Iso4_6,
    /// ISO 898-1 class 4.8.
    Iso4_8,
    /// ISO 898-1 class 5.8.
    Iso5_8,
    /// ISO 898-1 class 8.8.
    Iso8_8,
    /// ISO 898-1 class 9.8, up to M16.
    Iso9_8,
    /// ISO 898-1 class 10.9.
    Iso10_9,
    /// ISO 898-1 class 12.9.
    Iso12_9,
    /// SAE J429 grade 2, 1/4 to 3/4 in.
    Sae2,
    /// SAE J429 grade 5, 1/4 to 1 in.
    Sae5,
    /// SAE J429 grade 8.
    Sae8,
}

/// Least strengths of a class at a diameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strength {
    /// Stress under the proof load, MPa.
    pub proof_mpa: f64,
    /// Yield: 0.2 % proof stress Rp0.2, MPa.
    pub yield_mpa: f64,
    /// Tensile strength Rm, MPa.
    pub tensile_mpa: f64,
    /// Vickers hardness, least and greatest, where it was read.
    pub hardness_hv: Option<(f64, f64)>,
    /// Source id, as in SOURCES.md.
    pub source: &'static str,
}

/// How a nut goes with a bolt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NutPairing {
    /// Strong enough: the bolt breaks before the nut strips.
    Suits,
    /// Too weak: the threads strip, perhaps unseen.
    TooWeak {
        /// The least class of nut that goes with the bolt.
        least: u32,
    },
}

pub(crate) struct ClassRow {
    class: PropertyClass,
    over_mm: f64,
    up_to_mm: f64,
    strength: Strength,
}

impl PropertyClass {
    /// Every class.
    pub const ALL: [Self; 10] = [
        Self::Iso4_6,
        Self::Iso4_8,
        Self::Iso5_8,
        Self::Iso8_8,
        Self::Iso9_8,
        Self::Iso10_9,
        Self::Iso12_9,
        Self::Sae2,
        Self::Sae5,
        Self::Sae8,
    ];

    /// Reads `8.8`, `class 10.9`, `10,9`, `SAE 5`, `grade 8`, `gr 8`.
    ///
    /// # Errors
    /// [`ClassError::Unknown`] and [`ClassError::OldJapanese`].
    pub fn parse(text: &str) -> Result<Self, ClassError> {
        let lower = text.trim().to_lowercase().replace(',', ".");
        let shown = || text.trim().chars().take(40).collect::<String>();
        let newer = match lower.as_str() {
            "4t" => Some("4.8"),
            "7t" => Some("8.8"),
            "9t" => Some("10.9"),
            _ => None,
        };
        if let Some(newer) = newer {
            return Err(ClassError::OldJapanese { text: shown(), newer });
        }
        let mut rest = lower.as_str();
        let mut graded = false;
        for word in ["property", "class", "iso", "sae", "j429", "grade", "gr.", "gr"] {
            if let Some(after) = rest.strip_prefix(word) {
                graded |= matches!(word, "sae" | "j429" | "grade" | "gr." | "gr");
                rest = after.trim_start();
            }
        }
        let wanted = if graded && !rest.contains('.') { format!("SAE {rest}") } else { rest.to_owned() };
        Self::ALL
            .into_iter()
            .find(|class| class.name() == wanted)
            .ok_or_else(|| ClassError::Unknown { text: shown(), known: Self::ALL.map(Self::name).join(", ") })
    }

    /// The class as it is stamped or written: `8.8`, `SAE 5`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Iso4_6 => "4.6",
            Self::Iso4_8 => "4.8",
            Self::Iso5_8 => "5.8",
            Self::Iso8_8 => "8.8",
            Self::Iso9_8 => "9.8",
            Self::Iso10_9 => "10.9",
            Self::Iso12_9 => "12.9",
            Self::Sae2 => "SAE 2",
            Self::Sae5 => "SAE 5",
            Self::Sae8 => "SAE 8",
        }
    }

    /// Whether the class belongs to metric threads.
    #[must_use]
    pub fn is_metric(self) -> bool {
        !matches!(self, Self::Sae2 | Self::Sae5 | Self::Sae8)
    }

    /// Least strengths at the diameter of `thread`.
    ///
    /// # Errors
    /// [`ClassError::WrongSystem`] and [`ClassError::OutOfRange`].
    pub fn strength(self, thread: Thread) -> Result<Strength, ClassError> {
        if self.is_metric() != thread.is_metric() {
            return Err(ClassError::WrongSystem { class: self, thread });
        }
        let d = thread.diameter_mm();
        ROWS.iter()
            .find(|row| row.class == self && row.over_mm < d && d <= row.up_to_mm + 1e-9)
            .map(|row| row.strength)
            .ok_or(ClassError::OutOfRange { class: self, thread })
    }

    /// The least class of nut (ISO 898-2 number, SAE grade) that goes with this bolt.
    #[must_use]
    pub fn least_nut(self) -> Option<u32> {
        NUTS.iter().find(|row| row.0 == self).map(|row| row.1)
    }

    /// Whether a nut of class `nut` goes with this bolt. `None` where the pairing is not known.
    #[must_use]
    pub fn nut_pairing(self, nut: u32) -> Option<NutPairing> {
        let least = self.least_nut()?;
        Some(if nut >= least { NutPairing::Suits } else { NutPairing::TooWeak { least } })
    }

    /// Whether acid, vinegar or electrolysis may make the bolt brittle (hydrogen embrittlement):
    /// above 320 HV, which is class 10.9 and up (ISO 4042:1999). Never on such a bolt that goes back.
    #[must_use]
    pub fn hydrogen_sensitive(self) -> bool {
        matches!(self, Self::Iso10_9 | Self::Iso12_9 | Self::Sae8)
    }
}

impl Strength {
    /// Proof load Fp = As·Sp: what the thread bears without a permanent set.
    #[must_use]
    pub fn proof_load(self, thread: Thread) -> Force {
        saturate::force(thread.stress_area_mm2() * self.proof_mpa)
    }

    /// Least load that tears the bolt, As·Rm.
    #[must_use]
    pub fn least_tensile_load(self, thread: Thread) -> Force {
        saturate::force(thread.stress_area_mm2() * self.tensile_mpa)
    }
}

pub(crate) fn read(row: Row<'_>) -> Option<ClassRow> {
    let class = named(row.text("class")?)?;
    let (stress, size) = match row.text("system")? {
        "metric" if class.is_metric() => (1.0, 1.0),
        "inch" if !class.is_metric() => (KSI_MPA, INCH_MM),
        _ => return None,
    };
    Some(ClassRow {
        class,
        over_mm: row.number("over")? * size,
        up_to_mm: row.number("up_to")? * size,
        strength: Strength {
            proof_mpa: row.number("proof")? * stress,
            yield_mpa: row.number("yield")? * stress,
            tensile_mpa: row.number("tensile")? * stress,
            hardness_hv: row.number("hv_low").zip(row.number("hv_high")),
            source: row.text("source")?,
        },
    })
}

pub(crate) fn read_nut(row: Row<'_>) -> Option<(PropertyClass, u32)> {
    Some((named(row.text("class")?)?, row.whole("nut")?))
}

fn named(text: &str) -> Option<PropertyClass> {
    PropertyClass::ALL.into_iter().find(|class| class.name() == text)
}

impl fmt::Display for PropertyClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

impl std::str::FromStr for PropertyClass {
    type Err = ClassError;

    /// The same as [`PropertyClass::parse`].
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}
