//! What a survey is asked, and what it may answer.

use super::fit::Surveyed;
use crate::units::Units;
use axlestand_geometry::estimation::survey::{StrutSurvey, SurveyAnswer, SurveyKind};
use axlestand_geometry::estimation::{Estimate, Trouble};
use serde::Serialize;

/// Least spread of heights at which toe was read for bump steer to be told, mm (AX-53).
const LEAST_SPREAD: f64 = 40.0;
/// What is not shown as better than this, degrees, camber and toe: bushes, top mounts, a tyre on the floor
/// (AX-53).
const FLOOR: [f64; 2] = [0.05, 0.03];
/// Above this share it is said that an answer rests on what was assumed.
const MOSTLY: f64 = 0.5;
/// A shim that is told of, mm.
pub(super) const SHIM: f64 = 1.0;

/// One answer of a survey.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SurveyAnswerView {
    /// `camber-change`, `toe-change`, `toe-per-turn`, `toe-per-mm` or `shim`.
    pub answer: &'static str,
    /// For people: `camber, 30 mm lower`.
    pub what: String,
    /// For how many millimetres: lowered, of thread, of shim.
    pub by: f64,
    /// Degrees; absent where it is refused.
    pub value: Option<f64>,
    /// Its standard uncertainty, degrees.
    pub u: Option<f64>,
    /// The share of its variance that comes from the corner it starts from, 0 to 1.
    pub assumed_share: Option<f64>,
    /// What to know of it: why it is refused, that it is mostly the start.
    pub note: Option<String>,
}

/// One question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Asked {
    pub(super) word: &'static str,
    pub(super) answer: SurveyAnswer,
}

/// What is asked of a corner: changes for these heights, toe for `thread` mm of the tie rod (a turn of it at
/// the front), a shim.
pub(super) fn asked(lowered: &[f64], thread: f64, is_turn: bool) -> Vec<Asked> {
    let ask = |word, answer| Asked { word, answer };
    let mut all: Vec<Asked> =
        lowered.iter().map(|by| ask("camber-change", SurveyAnswer::CamberChange(*by))).collect();
    all.extend(lowered.iter().map(|by| ask("toe-change", SurveyAnswer::ToeChange(*by))));
    let turn = if is_turn { "toe-per-turn" } else { "toe-per-mm" };
    all.push(ask(turn, SurveyAnswer::ToeOfRod(thread)));
    all.push(ask("shim", SurveyAnswer::BumpOfShim(SHIM)));
    all
}

impl Asked {
    fn by(self) -> f64 {
        match self.answer {
            SurveyAnswer::CamberChange(by)
            | SurveyAnswer::ToeChange(by)
            | SurveyAnswer::ToeOfRod(by)
            | SurveyAnswer::BumpOfShim(by) => by,
        }
    }

    pub(super) fn what(self, units: Units) -> String {
        let height = |by: f64| {
            format!("{} {}", units.short_length(by.abs()), if by < 0.0 { "higher" } else { "lower" })
        };
        match self.answer {
            SurveyAnswer::CamberChange(by) => format!("camber, {}", height(by)),
            SurveyAnswer::ToeChange(by) => format!("toe of this wheel, {}", height(by)),
            SurveyAnswer::ToeOfRod(by) if self.word == "toe-per-turn" => {
                format!("toe for a turn of the tie rod ({} longer)", units.short_length(by))
            }
            SurveyAnswer::ToeOfRod(by) => format!("toe for {} of tie rod, longer", units.short_length(by)),
            SurveyAnswer::BumpOfShim(by) => {
                let (travel, shim) = (units.length(10.0, 0), units.length(by, 0));
                format!("bump steer per {travel} for a {shim} shim, outer joint lower")
            }
        }
    }

    /// Shown no better than this.
    pub(super) fn floor(self) -> f64 {
        match self.answer {
            SurveyAnswer::CamberChange(_) => FLOOR[0],
            SurveyAnswer::ToeChange(_) => FLOOR[1],
            _ => 0.0,
        }
    }
}

/// The answers of a fit.
pub(super) fn answers(
    survey: &StrutSurvey,
    estimate: &Estimate,
    surveyed: &Surveyed,
    asked: &[Asked],
    units: Units,
) -> Result<Vec<SurveyAnswerView>, Trouble> {
    let kinds: Vec<SurveyAnswer> = asked.iter().map(|one| one.answer).collect();
    let functions = survey.functions(&kinds);
    let told = estimate.answers(&functions)?;
    let mut all = Vec::with_capacity(asked.len());
    for ((one, told), function) in asked.iter().zip(told.list()).zip(&functions) {
        let mut view = SurveyAnswerView {
            answer: one.word,
            what: one.what(units),
            by: one.by(),
            value: None,
            u: None,
            assumed_share: None,
            note: None,
        };
        if let (SurveyAnswer::ToeChange(_), Some(why)) = (one.answer, no_bump_steer(surveyed, units)) {
            view.note = Some(why);
        } else {
            let share = survey.typical_share(estimate, function)?;
            (view.value, view.u) = (Some(told.value), Some(told.u.max(one.floor())));
            view.assumed_share = Some(share);
            view.note = (share > MOSTLY).then(|| {
                format!(
                    "{:.0} % of its uncertainty is the assumed corner, not this car: read more",
                    100.0 * share
                )
            });
        }
        all.push(view);
    }
    Ok(all)
}

/// Why bump steer is not told; `None` where toe was swept.
pub(super) fn no_bump_steer(surveyed: &Surveyed, units: Units) -> Option<String> {
    let mut heights: Vec<f64> = surveyed
        .readings
        .iter()
        .filter_map(|(kind, ..)| if let SurveyKind::SweepToe(z) = kind { Some(*z) } else { None })
        .collect();
    heights.sort_by(f64::total_cmp);
    let spread = heights.last().zip(heights.first()).map_or(0.0, |(high, low)| high - low);
    let slip = match units {
        Units::Metric => "1 mm in the height of a tie-rod joint is 0.013° for 10 mm of travel",
        Units::Inch => "1/32 in in the height of a tie-rod joint is 0.026° for an inch of travel",
    };
    (spread < LEAST_SPREAD).then(|| {
        format!("tapes alone do not tell bump steer. {slip}, and its centre cannot be taped that well; read toe with the hub low and high; 'axlestand read --guide bump' leads through it")
    })
}
