//! What locks a fastener: when it is final, whether it goes back on, and how hard a lock nut must
//! drag.
//!
//! Staked nuts: new every time, never backed off after the torque, no impact wrench (Tomorrow's
//! Technician; Motor Age). Pinch bolts must slide in by finger, or the stud is not home (CARS, 2002).
//! Lock nuts keep a nut on the bolt; they do not keep the clamp load (W. Eccles, 2010).

use std::fmt;
use std::sync::LazyLock;

use axlestand_quantity::Torque;

use crate::saturate;
use crate::table::{Row, Table};
use crate::thread::Thread;

/// Kinds of locking, as text.
pub(crate) const TEXT: &str = include_str!("../../../data/locking.csv");
/// Prevailing torque of metric lock nuts, as text.
pub(crate) const PREVAILING_TEXT: &str = include_str!("../../../data/prevailing.csv");
/// Least drag of inch lock nuts, as text.
pub(crate) const INCH_TEXT: &str = include_str!("../../../data/prevailing_inch.csv");

static ROWS: LazyLock<Vec<LockingRow>> = LazyLock::new(|| Table::read(TEXT, read));
static METRIC: LazyLock<Vec<(f64, Prevailing)>> =
    LazyLock::new(|| Table::read(PREVAILING_TEXT, read_prevailing));
static INCH: LazyLock<Vec<(Thread, Torque)>> = LazyLock::new(|| Table::read(INCH_TEXT, read_inch));

/// 1 lb·in in N·m (NIST SP 811, B.8).
const LB_IN_NM: f64 = 0.112_984_829;

/// How a fastener is kept from turning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Locking {
    /// Castle nut with a split pin.
    SplitPin,
    /// Collar staked into a groove.
    Stake,
    /// Tab washer.
    TabWasher,
    /// Nut with a nylon insert.
    NylonInsert,
    /// All-metal nut with a distorted thread.
    DistortedThread,
    /// Liquid thread locker.
    ThreadLocker,
    /// Bolt with adhesive already on it.
    PreCoated,
    /// Two nuts against each other.
    JamNut,
    /// Nothing but its clamp load.
    Plain,
}

/// Whether a locked fastener goes back on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Reuse {
    /// Never: a new one every time.
    Once,
    /// Only while it still drags; new in critical places.
    WhileItDrags,
    /// Yes, with the old adhesive off and new adhesive on.
    RenewAdhesive,
    /// Yes.
    Yes,
}

/// What is known of a kind of locking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LockingRow {
    /// The kind.
    pub kind: Locking,
    /// What must be done until it is final.
    pub final_when: &'static str,
    /// Whether it goes back on.
    pub reuse: Reuse,
    /// What to look at or feel for.
    pub check: &'static str,
    /// Source id, as in SOURCES.md.
    pub source: &'static str,
}

/// Limits of the prevailing torque of a lock nut (ISO 2320).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prevailing {
    /// Greatest torque the first time on.
    pub first_on_max: Torque,
    /// Least torque the first time off.
    pub first_off_min: Torque,
    /// Least torque the fifth time off: what a used nut must still hold.
    pub fifth_off_min: Torque,
}

/// When the drag was felt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Turn {
    /// A new nut going on for the first time.
    FirstOn,
    /// Coming off for the first time.
    FirstOff,
    /// Coming off for the fifth time, or a used nut.
    FifthOff,
}

/// What the drag says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DragVerdict {
    /// Within the limit.
    Good,
    /// More drag than allowed: dirty, damaged or wrong thread.
    TooTight {
        /// The limit.
        most: Torque,
    },
    /// Less drag than allowed: replace the nut.
    TooLoose {
        /// The limit.
        least: Torque,
    },
}

/// Why a drag was not judged.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum LockingError {
    /// No row for the thread.
    #[error("no limit for the drag of a lock nut {0} is in the tables; take a new nut")]
    NoRow(Thread),
    /// A drag below nought.
    #[error("the drag of a nut cannot be negative ({0})")]
    Negative(Torque),
    /// Inch nuts have only a limit for going on again.
    #[error("for {0} only the least drag for going on again is in the tables")]
    OnlyReuse(Thread),
}

impl Locking {
    /// Every kind.
    pub const ALL: [Self; 9] = [
        Self::SplitPin,
        Self::Stake,
        Self::TabWasher,
        Self::NylonInsert,
        Self::DistortedThread,
        Self::ThreadLocker,
        Self::PreCoated,
        Self::JamNut,
        Self::Plain,
    ];

    /// The word used in files and commands.
    #[must_use]
    pub fn slug(self) -> &'static str {
        match self {
            Self::SplitPin => "split-pin",
            Self::Stake => "stake",
            Self::TabWasher => "tab-washer",
            Self::NylonInsert => "nylon-insert",
            Self::DistortedThread => "distorted-thread",
            Self::ThreadLocker => "thread-locker",
            Self::PreCoated => "pre-coated",
            Self::JamNut => "jam-nut",
            Self::Plain => "plain",
        }
    }

    /// The kind with this slug.
    #[must_use]
    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.slug() == slug)
    }

    /// What is known of this kind.
    #[must_use]
    pub fn known(self) -> Option<LockingRow> {
        ROWS.iter().copied().find(|row| row.kind == self)
    }

    /// Greatest service temperature of the nut in °C: nylon 120, all-metal 150 (ISO 2320).
    #[must_use]
    pub fn hottest_celsius(self) -> Option<f64> {
        match self {
            Self::NylonInsert => Some(120.0),
            Self::DistortedThread => Some(150.0),
            _ => None,
        }
    }
}

/// Limits for the lock nut of a metric thread, fine threads as coarse (ISO 2320).
#[must_use]
pub fn prevailing(thread: Thread) -> Option<Prevailing> {
    METRIC
        .iter()
        .find(|row| thread.is_metric() && (row.0 - thread.diameter_mm()).abs() < 1e-6)
        .map(|row| row.1)
}

/// Least drag with which a used lock nut may go on again: fifth-off limit of ISO 2320 for metric,
/// FAA AC 43.13-1B, table 7-2, for inch threads. A nut that turns by finger is scrap in any case.
///
/// # Errors
/// [`LockingError::NoRow`].
pub fn least_drag_for_reuse(thread: Thread) -> Result<Torque, LockingError> {
    let right = thread.with_hand(crate::Hand::Right);
    match prevailing(thread) {
        Some(limits) => Ok(limits.fifth_off_min),
        None => INCH.iter().find(|row| row.0 == right).map(|row| row.1).ok_or(LockingError::NoRow(thread)),
    }
}

/// Judges a measured drag.
///
/// # Errors
/// [`LockingError`] for a negative drag or a thread that is not in the tables.
pub fn judge_drag(thread: Thread, turn: Turn, drag: Torque) -> Result<DragVerdict, LockingError> {
    if drag.nm() < 0.0 {
        return Err(LockingError::Negative(drag));
    }
    let Some(limits) = prevailing(thread) else {
        let least = least_drag_for_reuse(thread)?;
        return if turn == Turn::FifthOff {
            Ok(at_least(drag, least))
        } else {
            Err(LockingError::OnlyReuse(thread))
        };
    };
    Ok(match turn {
        Turn::FirstOn if drag > limits.first_on_max => DragVerdict::TooTight { most: limits.first_on_max },
        Turn::FirstOn => DragVerdict::Good,
        Turn::FirstOff => at_least(drag, limits.first_off_min),
        Turn::FifthOff => at_least(drag, limits.fifth_off_min),
    })
}

fn at_least(drag: Torque, least: Torque) -> DragVerdict {
    if drag < least { DragVerdict::TooLoose { least } } else { DragVerdict::Good }
}

pub(crate) fn read(row: Row<'_>) -> Option<LockingRow> {
    let kind = Locking::from_slug(row.text("kind")?)?;
    let reuse = match row.text("reuse")? {
        "once" => Reuse::Once,
        "while-it-drags" => Reuse::WhileItDrags,
        "renew-adhesive" => Reuse::RenewAdhesive,
        "yes" => Reuse::Yes,
        _ => return None,
    };
    Some(LockingRow {
        kind,
        final_when: row.text("final_when")?,
        reuse,
        check: row.text("check")?,
        source: row.text("source")?,
    })
}

pub(crate) fn read_prevailing(row: Row<'_>) -> Option<(f64, Prevailing)> {
    row.text("source")?;
    let torque = |column: &str| row.number(column).map(saturate::torque);
    let limits = Prevailing {
        first_on_max: torque("first_on_max")?,
        first_off_min: torque("first_off_min")?,
        fifth_off_min: torque("fifth_off_min")?,
    };
    Some((row.number("diameter")?, limits))
}

pub(crate) fn read_inch(row: Row<'_>) -> Option<(Thread, Torque)> {
    let thread = Thread::parse(row.text("thread")?).ok()?;
    row.text("source")?;
    Some((thread, saturate::torque(row.number("reuse_min")? * LB_IN_NM)))
}

impl fmt::Display for Reuse {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Once => "use a new one every time",
            Self::WhileItDrags => {
                "use again only while it still drags; take a new one where safety hangs on it"
            }
            Self::RenewAdhesive => "use again with the old adhesive off and new adhesive on",
            Self::Yes => "may be used again",
        })
    }
}
