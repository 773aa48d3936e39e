//! Layout templates: complete, commented vehicle files with everything `typical`.

use std::collections::BTreeMap;

/// The template of a strut front axle.
const STRUT: &str = include_str!("../templates/strut.toml");

/// Answers to the questions that a template asks.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Answers {
    /// Texts for the placeholders: `name`, `wheelbase`, …
    pub texts: BTreeMap<&'static str, String>,
    /// Conditions that hold: `abs`, `drive-axles`, …
    pub conditions: BTreeMap<&'static str, bool>,
}

/// One question of a template.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Question {
    /// The key in [`Answers`].
    pub key: &'static str,
    /// What to ask.
    pub ask: &'static str,
    /// What is taken where nothing is answered.
    pub usual: &'static str,
    /// Whether the answer is yes or no.
    pub yes_or_no: bool,
}

const fn text(key: &'static str, ask: &'static str, usual: &'static str) -> Question {
    Question { key, ask, usual, yes_or_no: false }
}

const fn yes_no(key: &'static str, ask: &'static str, usual: &'static str) -> Question {
    Question { key, ask, usual, yes_or_no: true }
}

/// What the strut template asks.
pub const STRUT_QUESTIONS: &[Question] = &[
    text("name", "What do you call the car?", "my car"),
    text("wheelbase", "Wheelbase?", "2600 mm"),
    text("track_front", "Front track?", "1500 mm"),
    text("track_rear", "Rear track?", "1490 mm"),
    text("tyre", "Tyre size on the side wall?", "195/65 R15"),
    text("mass_front", "Mass on the front axle?", "700 kg"),
    text("mass_rear", "Mass on the rear axle?", "480 kg"),
    text("wheel_fasteners", "How many fasteners hold one wheel?", "5"),
    yes_no("wheel-bolts", "Is the wheel held by bolts (no: by nuts on studs)?", "yes"),
    yes_no("drive-axles", "Are the front wheels driven?", "yes"),
    yes_no("staked-axle-nut", "Is the axle nut staked (no: a one-use locking nut)?", "yes"),
    yes_no("abs", "Are there wheel speed sensors?", "yes"),
    yes_no("undertray", "Is there an undertray?", "yes"),
    yes_no("pinch-bolt", "Is the ball joint held by a pinch bolt (no: by a taper and castle nut)?", "yes"),
    yes_no("castle-tie-rod", "Has the tie-rod end a castle nut (no: a locking nut)?", "no"),
    yes_no("pressed-bearing", "Is the wheel bearing pressed in (no: a bolt-on hub unit)?", "yes"),
    yes_no("bar-link-insert-nut", "Have the anti-roll bar links insert nuts (no: plain flange nuts)?", "yes"),
];

/// Why a template could not be filled in.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TemplateError {
    /// No template for that layout.
    #[error("there is no template for the layout '{0}' yet; there is one for 'strut'")]
    NoTemplate(String),
    /// An answer would break the file.
    #[error("'{0}' cannot stand in a file: leave out quotes, backslashes and line breaks")]
    BadText(String),
}

/// The text of a new vehicle file.
///
/// # Errors
/// [`TemplateError`] where there is no such template or an answer cannot stand in a file.
pub fn fill_in(layout: &str, answers: &Answers) -> Result<String, TemplateError> {
    if layout != "strut" {
        return Err(TemplateError::NoTemplate(layout.to_owned()));
    }
    let template = chosen_blocks(STRUT, answers);
    // In one pass, so that an answer that looks like a placeholder stays as it is.
    let mut text = String::with_capacity(template.len());
    let mut rest = template.as_str();
    while let Some((before, behind)) = rest.split_once('{') {
        text.push_str(before);
        let placeholder = behind.split_once('}').and_then(|(key, after)| Some((text_question(key)?, after)));
        match placeholder {
            Some((question, after)) => {
                text.push_str(answer(question, answers)?);
                rest = after;
            }
            None => {
                text.push('{');
                rest = behind;
            }
        }
    }
    text.push_str(rest);
    Ok(text)
}

fn text_question(key: &str) -> Option<&'static Question> {
    STRUT_QUESTIONS.iter().find(|question| question.key == key && !question.yes_or_no)
}

fn answer<'a>(question: &'a Question, answers: &'a Answers) -> Result<&'a str, TemplateError> {
    let answer = answers.texts.get(question.key).map_or(question.usual, String::as_str).trim();
    if answer.contains(['"', '\\']) || answer.chars().any(char::is_control) {
        return Err(TemplateError::BadText(answer.to_owned()));
    }
    Ok(answer)
}

/// Keeps the blocks `#if NAME` … `#end` whose condition holds (`no-NAME`: does not hold).
fn chosen_blocks(template: &str, answers: &Answers) -> String {
    let holds = |condition: &str| {
        let given = |key: &str| {
            let usual = STRUT_QUESTIONS.iter().find(|q| q.key == key).is_some_and(|q| q.usual == "yes");
            answers.conditions.get(key).copied().unwrap_or(usual)
        };
        condition.strip_prefix("no-").map_or_else(|| given(condition), |key| !given(key))
    };
    let mut keep = true;
    let mut text = String::with_capacity(template.len());
    for line in template.lines() {
        if let Some(condition) = line.trim().strip_prefix("#if ") {
            keep = holds(condition.trim());
        } else if line.trim() == "#end" {
            keep = true;
        } else if keep {
            text.push_str(line);
            text.push('\n');
        }
    }
    text
}
