//! Layout templates: complete, commented vehicle files with everything `typical`.

use axlestand_quantity::Dimension;
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

/// What kind of answer a question takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// Any text.
    Text,
    /// Yes or no.
    YesNo,
    /// A quantity between two limits in the project's own unit; a bare number is taken in it.
    Quantity(Dimension, f64, f64),
    /// A whole number between two limits.
    Count(u32, u32),
}

/// One question of a template.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// The key in [`Answers`].
    pub key: &'static str,
    /// What to ask.
    pub ask: &'static str,
    /// What is taken where nothing is answered.
    pub usual: &'static str,
    /// What kind of answer it takes.
    pub kind: Kind,
}

const fn ask(key: &'static str, ask: &'static str, usual: &'static str, kind: Kind) -> Question {
    Question { key, ask, usual, kind }
}

const fn yes_no(key: &'static str, ask: &'static str, usual: &'static str) -> Question {
    Question { key, ask, usual, kind: Kind::YesNo }
}

const TRACK: Kind = Kind::Quantity(Dimension::Length, 800.0, 2500.0);
const WHEELBASE: Kind = Kind::Quantity(Dimension::Length, 1200.0, 4500.0);
const AXLE_MASS: Kind = Kind::Quantity(Dimension::Mass, 100.0, 3000.0);

/// What the strut template asks.
pub const STRUT_QUESTIONS: &[Question] = &[
    ask("name", "What do you call the car?", "my car", Kind::Text),
    ask("wheelbase", "Wheelbase?", "2600 mm", WHEELBASE),
    ask("track_front", "Front track?", "1500 mm", TRACK),
    ask("track_rear", "Rear track?", "1490 mm", TRACK),
    ask("tyre", "Tyre size on the sidewall?", "195/65 R15", Kind::Text),
    ask("mass_front", "Mass on the front axle?", "700 kg", AXLE_MASS),
    ask("mass_rear", "Mass on the rear axle?", "480 kg", AXLE_MASS),
    ask("wheel_fasteners", "How many fasteners hold one wheel?", "5", Kind::Count(3, 8)),
    yes_no("wheel-bolts", "Is the wheel held by bolts (no: by nuts on studs)?", "yes"),
    yes_no("drive-axles", "Are the front wheels driven?", "yes"),
    yes_no("staked-axle-nut", "Is the axle nut staked (no: a one-use locking nut)?", "yes"),
    yes_no("abs", "Are there wheel speed sensors?", "yes"),
    yes_no("undertray", "Is there an undertray?", "yes"),
    yes_no("pinch-bolt", "Is the ball joint held by a pinch bolt (no: by a taper and castle nut)?", "yes"),
    yes_no("castle-tie-rod", "Does the tie-rod end have a castle nut (no: a locking nut)?", "no"),
    yes_no("pressed-bearing", "Is the wheel bearing pressed in (no: a bolt-on hub unit)?", "yes"),
    yes_no(
        "bar-link-insert-nut",
        "Do the anti-roll bar links have insert nuts (no: plain flange nuts)?",
        "yes",
    ),
];

impl Question {
    /// Reads an answer: gives it as it will stand in the file (`yes` or `no` for such a question).
    ///
    /// # Errors
    /// A sentence that says what is wrong and what would be right.
    pub fn read(&self, answer: &str) -> Result<String, String> {
        let answer = answer.trim();
        match self.kind {
            Kind::Text if answer.is_empty() => Err(format!("nothing was answered; usual is {}", self.usual)),
            Kind::Text => Ok(answer.to_owned()),
            Kind::YesNo => match answer.to_lowercase().as_str() {
                "yes" | "y" => Ok("yes".to_owned()),
                "no" | "n" => Ok("no".to_owned()),
                _ => Err(format!("'{answer}' is neither yes nor no")),
            },
            Kind::Count(low, high) => match answer.parse::<u32>() {
                Ok(number) if (low..=high).contains(&number) => Ok(number.to_string()),
                _ => Err(format!("'{answer}' is no whole number from {low} to {high}")),
            },
            Kind::Quantity(dimension, low, high) => {
                let unit = dimension.own_unit();
                let bare = answer.ends_with(|c: char| c.is_ascii_digit());
                let text = if bare { format!("{answer} {unit}") } else { answer.to_owned() };
                let value = dimension.parse(&text).map_err(|why| why.to_string())?.value;
                if (low..=high).contains(&value) {
                    Ok(text)
                } else {
                    Err(format!("{answer} is not possible here: give a value from {low} to {high} {unit}"))
                }
            }
        }
    }
}

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

/// What the template of a layout asks.
///
/// # Errors
/// [`TemplateError::NoTemplate`].
pub fn questions(layout: &str) -> Result<&'static [Question], TemplateError> {
    if layout == "strut" { Ok(STRUT_QUESTIONS) } else { Err(TemplateError::NoTemplate(layout.to_owned())) }
}

/// The text of a new vehicle file.
///
/// # Errors
/// [`TemplateError`] where there is no such template or an answer cannot stand in a file.
pub fn fill_in(layout: &str, answers: &Answers) -> Result<String, TemplateError> {
    questions(layout)?;
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
    STRUT_QUESTIONS.iter().find(|question| question.key == key && question.kind != Kind::YesNo)
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
