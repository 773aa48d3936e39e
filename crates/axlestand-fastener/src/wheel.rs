//! Wheel fasteners: in which order, in which stages, and when to check again. Always clean and dry,
//! never with an impact wrench for the last stage.

use std::sync::LazyLock;

use axlestand_quantity::Torque;

use crate::saturate;
use crate::table::{Row, Table};
use crate::tightening::{TighteningError, checked_torque};

/// The table as text.
pub(crate) const TEXT: &str = include_str!("../../../data/wheel_recheck.csv");

static ROWS: LazyLock<Vec<Recheck>> = LazyLock::new(|| Table::read(TEXT, read));

/// Why a pattern or stage was refused.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum WheelError {
    /// A number of fasteners without a pattern.
    #[error("a pattern is known for 3 to 10 wheel fasteners; {0} is not")]
    Count(usize),
    /// The torque itself.
    #[error(transparent)]
    Tightening(#[from] TighteningError),
}

/// One stage of tightening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stage {
    /// What to do.
    pub instruction: &'static str,
    /// To which torque; `None` for snug by hand.
    pub torque: Option<Torque>,
    /// Whether the tyre stands on the ground.
    pub on_the_ground: bool,
}

/// A distance after which to check again, as printed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recheck {
    /// From, km.
    pub km_low: f64,
    /// To, km.
    pub km_high: f64,
    /// What to do.
    pub instruction: &'static str,
    /// Source id, as in SOURCES.md.
    pub source: &'static str,
}

/// The order for `count` fasteners, numbered clockwise from 1 at the top: each one as far across
/// from the last as can be (MIL-HDBK-60, 5.7: opposite pairs, then at a right angle).
///
/// # Errors
/// [`WheelError::Count`] for fewer than 3 or more than 10.
pub fn pattern(count: usize) -> Result<Vec<usize>, WheelError> {
    if !(3..=10).contains(&count) {
        return Err(WheelError::Count(count));
    }
    let order = match count {
        // A star: always the next but one.
        5 => vec![1, 3, 5, 2, 4],
        4 => vec![1, 3, 2, 4],
        6 => vec![1, 4, 2, 5, 3, 6],
        8 => vec![1, 5, 3, 7, 2, 6, 4, 8],
        10 => vec![1, 6, 3, 8, 5, 10, 2, 7, 4, 9],
        odd => star(odd),
    };
    Ok(order)
}

/// The stages to `torque`: snug by hand with the wheel free; on the ground half of it, the whole of it,
/// and the whole once more round (trade press: 30–60–100, or half and then full).
///
/// # Errors
/// [`WheelError::Tightening`] for a negative torque.
pub fn stages(torque: Torque) -> Result<[Stage; 4], WheelError> {
    let whole = checked_torque(torque)?;
    let half = saturate::torque(0.5 * whole.nm());
    Ok([
        Stage {
            instruction: "all on by hand, wheel square on the hub, snug in the pattern",
            torque: None,
            on_the_ground: false,
        },
        Stage {
            instruction: "tyre touching the ground, half the torque in the pattern",
            torque: Some(half),
            on_the_ground: true,
        },
        Stage {
            instruction: "the whole torque in the pattern, no impact wrench",
            torque: Some(whole),
            on_the_ground: true,
        },
        Stage {
            instruction: "once more round at the whole torque; if one still turns far, find out why",
            torque: Some(whole),
            on_the_ground: true,
        },
    ])
}

/// When to check again: every printed distance. The project's default is a few metres, 10 to 30 km,
/// and 50 to 100 km; a maker's own distance comes first.
#[must_use]
pub fn rechecks() -> &'static [Recheck] {
    &ROWS
}

/// The default distances in km: after a few metres, and between the two figures of each further check.
#[must_use]
pub fn default_rechecks() -> [(f64, f64); 3] {
    [(0.0, 0.0), (10.0, 30.0), (50.0, 100.0)]
}

/// Goes round with the largest stride under half that visits every fastener.
fn star(count: usize) -> Vec<usize> {
    let visits_all = |stride: usize| {
        let (mut a, mut b) = (count, stride);
        while b != 0 {
            (a, b) = (b, a % b);
        }
        a == 1
    };
    let stride = (1..=count / 2).rev().find(|stride| visits_all(*stride)).unwrap_or(1);
    (0..count).map(|i| i * stride % count + 1).collect()
}

pub(crate) fn read(row: Row<'_>) -> Option<Recheck> {
    Some(Recheck {
        km_low: row.number("km_low")?,
        km_high: row.number("km_high")?,
        instruction: row.text("what")?,
        source: row.text("source")?,
    })
}
