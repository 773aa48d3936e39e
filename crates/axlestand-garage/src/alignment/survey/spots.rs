//! What is read at a strut corner for its survey: from where to where, with what.

use axlestand_geometry::estimation::survey::{SurveyKind, Tilt};
use axlestand_geometry::kinematics::Point;

/// One thing to read at a corner: a row of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) struct Spot(usize);

/// What a spot is.
struct Row {
    /// The last word of its place's name.
    word: &'static str,
    /// The reading for the survey.
    kind: SurveyKind,
    /// A row of data/alignment_readings.csv.
    instrument: &'static str,
    /// From where to where, in the mechanic's words.
    from: &'static str,
}

const fn row(word: &'static str, kind: SurveyKind, instrument: &'static str, from: &'static str) -> Row {
    Row { word, kind, instrument, from }
}

const A: Point = Point::LowerFront;
const B: Point = Point::LowerRear;
const C: Point = Point::LowerBall;
const D: Point = Point::TieRodInner;
const E: Point = Point::TieRodOuter;
const S: Point = Point::StrutSeat;
const T: Point = Point::StrutTop;
const W: Point = Point::WheelCentre;

/// How many rows, from the first on, are the thirteen of the short survey.
pub(crate) const SHORT: usize = 13;

/// The thirteen first, in the order in which they are read; then what the full survey has besides.
const ROWS: [Row; 36] = {
    use SurveyKind::{Across, Angle, Camber, Diagonal, Height, Tape, Toe};
    [
        row("ball-to-rod-end", Tape(C, E), "survey-tape", "lower ball joint to outer tie-rod joint"),
        row("ball-to-rack-end", Tape(C, D), "survey-far", "lower ball joint to inner tie-rod joint"),
        row("rack-end-to-rod-end", Tape(D, E), "survey-tape", "inner to outer tie-rod joint"),
        row("front-pivot-to-rod-end", Tape(A, E), "survey-far", "arm's front pivot to outer tie-rod joint"),
        row("front-pivot-to-ball", Tape(A, C), "survey-tape", "arm's front pivot to lower ball joint"),
        row(
            "ball-to-strut-foot",
            Tape(C, S),
            "survey-tape",
            "lower ball joint to the strut's tube at its clamp",
        ),
        row("strut-foot-to-top", Tape(S, T), "survey-strut", "strut's tube at its clamp to the top mount"),
        row("height-front-pivot", Height(A), "survey-height", "floor to the arm's front pivot"),
        row("height-ball", Height(C), "survey-height", "floor to the lower ball joint"),
        row("height-rack-end", Height(D), "survey-height", "floor to the inner tie-rod joint"),
        row("height-rod-end", Height(E), "survey-height", "floor to the outer tie-rod joint"),
        row(
            "strut-lean",
            Angle(S, T, Tilt::LeanInFront),
            "survey-angle",
            "gauge on the strut's tube, seen from in front: lean from the vertical, top outward positive",
        ),
        row(
            "arm-rise",
            Angle(A, C, Tilt::RiseInFront),
            "survey-angle",
            "front pivot to ball joint, seen from in front: rise outward positive",
        ),
        row("front-pivot-to-rear-pivot", Tape(A, B), "survey-tape", "arm's front pivot to its rear pivot"),
        row("rear-pivot-to-ball", Tape(B, C), "survey-tape", "arm's rear pivot to lower ball joint"),
        row(
            "rod-end-to-strut-foot",
            Tape(E, S),
            "survey-tape",
            "outer tie-rod joint to the strut's tube at its clamp",
        ),
        row("ball-to-hub", Tape(C, W), "survey-far", "lower ball joint to the middle of the hub"),
        row("rod-end-to-hub", Tape(E, W), "survey-far", "outer tie-rod joint to the middle of the hub"),
        row(
            "strut-foot-to-hub",
            Tape(S, W),
            "survey-far",
            "strut's tube at its clamp to the middle of the hub",
        ),
        row("front-pivot-to-rack-end", Tape(A, D), "survey-far", "arm's front pivot to inner tie-rod joint"),
        row("rear-pivot-to-rod-end", Tape(B, E), "survey-far", "arm's rear pivot to outer tie-rod joint"),
        row("across-front-pivots", Across(A), "survey-across", "arm's front pivot to that of the other side"),
        row("across-rear-pivots", Across(B), "survey-across", "arm's rear pivot to that of the other side"),
        row("across-balls", Across(C), "survey-across", "lower ball joint to that of the other side"),
        row("across-rack-ends", Across(D), "survey-across", "inner tie-rod joint to that of the other side"),
        row("across-strut-tops", Across(T), "survey-across", "top mount to that of the other side"),
        row(
            "diagonal-front-pivot",
            Diagonal(A, B),
            "survey-diagonal",
            "arm's front pivot to the rear pivot of the other side",
        ),
        row(
            "diagonal-rack-end",
            Diagonal(D, B),
            "survey-diagonal",
            "inner tie-rod joint to the arm's rear pivot of the other side",
        ),
        row("height-rear-pivot", Height(B), "survey-height", "floor to the arm's rear pivot"),
        row("height-strut-foot", Height(S), "survey-height", "floor to the strut's tube at its clamp"),
        row("height-hub", Height(W), "survey-height", "floor to the middle of the hub"),
        row("height-strut-top", Height(T), "survey-top", "floor to the top mount"),
        row(
            "side-lean",
            Angle(S, T, Tilt::LeanFromSide),
            "survey-angle",
            "gauge on the strut's tube, seen from the side: lean from the vertical, top forward positive",
        ),
        row(
            "rod-rise",
            Angle(D, E, Tilt::RiseInFront),
            "survey-angle",
            "inner to outer tie-rod joint, seen from in front: rise outward positive",
        ),
        row(
            "camber",
            Camber,
            "survey-camber",
            "camber before the car was raised, by a gauge that was checked",
        ),
        row(
            "toe",
            Toe,
            "survey-toe",
            "toe of this wheel before the car was raised, by a gauge that was checked",
        ),
    ]
};

impl Spot {
    /// Every spot, the thirteen first.
    pub(crate) fn all() -> impl Iterator<Item = Self> {
        (0..ROWS.len()).map(Self)
    }

    /// Whether it is one of the thirteen.
    pub(crate) fn is_short(self) -> bool {
        self.0 < SHORT
    }

    fn row(self) -> &'static Row {
        // Spots are only made by `all`.
        &ROWS[self.0.min(ROWS.len() - 1)]
    }

    pub(crate) fn word(self) -> &'static str {
        self.row().word
    }

    pub(crate) fn kind(self) -> SurveyKind {
        self.row().kind
    }

    pub(crate) fn instrument(self) -> &'static str {
        self.row().instrument
    }

    pub(crate) fn from(self) -> &'static str {
        self.row().from
    }

    /// Whether it is read in degrees.
    pub(crate) fn is_angle(self) -> bool {
        matches!(self.kind(), SurveyKind::Angle(..) | SurveyKind::Camber | SurveyKind::Toe)
    }

    /// Between what it lies on any car, mm or degrees (AX-51).
    pub(crate) fn possible(self) -> (f64, f64) {
        match self.kind() {
            SurveyKind::Across(_) | SurveyKind::Diagonal(..) => (300.0, 2300.0),
            // The car is on stands.
            SurveyKind::Height(_) => (50.0, 2000.0),
            SurveyKind::Angle(..) => (-60.0, 60.0),
            SurveyKind::Camber | SurveyKind::Toe => (-12.0, 12.0),
            _ => (30.0, 1500.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{SHORT, Spot};

    /// What is typed in full with a short name of the wheel means one place.
    #[test]
    fn no_word_is_the_beginning_of_another() {
        let words: Vec<&str> = Spot::all().map(Spot::word).collect();
        for (at, word) in words.iter().enumerate() {
            let others = words.iter().enumerate().filter(|(other, _)| *other != at);
            assert!(others.into_iter().all(|(_, other)| !other.starts_with(word)), "{word}");
        }
        assert_eq!(Spot::all().filter(|spot| spot.is_short()).count(), SHORT);
    }
}
