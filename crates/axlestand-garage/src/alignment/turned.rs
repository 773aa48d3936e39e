//! An adjuster was turned: by how much, which way.

use super::adjustable::{Adjustable, ROD_STEP, adjustables, select};
use super::entry::gauges;
use super::place::Place;
use super::rounds::Rounds;
use super::stated;
use super::words::amount_text;
use crate::error::GarageError;
use crate::job::{Garage, Job, Recorded};
use crate::typed;
use crate::units::Units;
use axlestand_ledger::Event;
use axlestand_model::car::Acts;
use axlestand_quantity::{Dimension, Unit, vulgar_fraction};

/// What was recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct TurnedAnswer {
    /// The adjuster.
    pub adjuster: String,
    /// By how much, in turns of a tie rod, longer positive, else in its own unit.
    pub amount: f64,
    /// The same in words.
    pub text: String,
}

/// The names of the adjusters that may be turned.
#[must_use]
pub fn adjuster_names(job: &Job) -> Vec<String> {
    let rounds = Rounds::of(&job.state, &gauges(&job.state));
    adjustables(job, &rounds, stated::rods(&job.state), Units::Metric)
        .list
        .into_iter()
        .map(|one| one.key)
        .collect()
}

impl Garage {
    /// Records that an adjuster was turned. What was gauged before does not count for after.
    ///
    /// # Errors
    /// [`GarageError`] for an adjuster there is not and an amount that is not understood.
    pub fn turned(&mut self, adjuster: &str, amount: &str) -> Result<Recorded<TurnedAnswer>, GarageError> {
        let kept = typed::remark("the amount", amount)?;
        self.record(|job| {
            let rounds = Rounds::of(&job.state, &gauges(&job.state));
            let all = adjustables(job, &rounds, stated::rods(&job.state), Units::Metric);
            let one = select(&all.list, adjuster)?;
            let (amount, units) =
                if one.is_rod() { (rod_amount(one, &kept)?, Units::Metric) } else { own_amount(one, &kept)? };
            let text = amount_text(one, amount, units);
            let answer = TurnedAnswer { adjuster: one.key.clone(), amount, text };
            let event = Event::Turned { adjuster: one.key.clone(), amount, typed: kept };
            Ok((vec![event], answer))
        })
    }
}

/// Why a recorded turn cannot be taken back by itself: wheels were read after it, and without it those
/// readings would count as one round with the ones before it, though the rod was turned in between.
pub(crate) fn read_since_turned(job: &Job, entry: &str) -> Option<String> {
    let mut after = job.state.counting_entries().skip_while(|one| one.id != entry);
    let Event::Turned { adjuster, typed, .. } = &after.next()?.event else { return None };
    let read = after
        .filter(|one| match &one.event {
            Event::Gauged { place, .. } => Place::named(place).is_some_and(|place| !place.stays()),
            _ => false,
        })
        .count();
    (read > 0).then(|| {
        format!(
            "{adjuster} {typed}: {read} {} of the wheels since then would be mixed with those before it, as if nothing had been turned",
            if read == 1 { "reading" } else { "readings" }
        )
    })
}

/// Most that is believed of one entry: turns of a tie rod.
const MOST_TURNS: f64 = 20.0;

/// `1 1/4 turns longer`, `3 flats shorter`, `2 mm longer`, `1 turn 2 flats longer`.
fn rod_amount(one: &Adjustable, text: &str) -> Result<f64, GarageError> {
    let wrong = |why: &str| {
        GarageError::Input(format!(
            "'{text}': {why}; write it like \"1 1/4 turns longer\", \"2 flats shorter\" or \"1 turn 2 flats longer\" (longer: more thread shows)"
        ))
    };
    let spaced = spaced_fractions(text);
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let (way, rest) = words.split_last().ok_or_else(|| wrong("nothing was given"))?;
    let sign = match *way {
        "longer" => 1.0,
        "shorter" => -1.0,
        _ => return Err(wrong("it does not say at its end whether the rod became longer or shorter")),
    };
    let mut turns = 0.0;
    let mut number: Option<f64> = None;
    for word in rest {
        if let Some(value) = plain_or_fraction(word) {
            // A whole number may have a fraction behind it, nothing else.
            let is_fraction = word.contains('/') || word.chars().any(|c| vulgar_fraction(c).is_some());
            if number.is_some_and(|whole| whole.fract() > 0.0 || !is_fraction || value >= 1.0) {
                return Err(wrong(&format!("'{word}' follows another number")));
            }
            number = Some(number.unwrap_or(0.0) + value);
            continue;
        }
        let Some(value) = number.take() else { return Err(wrong(&format!("'{word}' is no number"))) };
        turns += match word.trim_end_matches('s') {
            "turn" => value,
            "flat" | "sixth" => value / 6.0,
            word => match Unit::find(word).filter(|unit| unit.dimension == Dimension::Length) {
                Some(unit) => value * unit.factor / one.pitch,
                None => return Err(wrong(&format!("'{word}' is no amount: turns, flats, mm or in"))),
            },
        };
    }
    if number.is_some() {
        return Err(wrong("the last number has no turns, flats, mm or in behind it"));
    }
    if turns > MOST_TURNS {
        return Err(wrong(&format!("more than {MOST_TURNS} turns in one go is no setting")));
    }
    if turns <= 0.0 {
        return Err(wrong("it was turned by nothing"));
    }
    if turns < ROD_STEP / 2.0 {
        return Err(wrong("that is less than a quarter of a flat, which nobody sets by hand"));
    }
    Ok(sign * turns)
}

/// `1½` and `1-1/2` as `1 ½` and `1 1/2`: a fraction stands by itself.
fn spaced_fractions(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 4);
    let mut after_digit = false;
    for (at, c) in text.char_indices() {
        let digit_follows = || text[at + c.len_utf8()..].starts_with(|d: char| d.is_ascii_digit());
        if vulgar_fraction(c).is_some() {
            out.extend([' ', c, ' ']);
        } else if c == '-' && after_digit && digit_follows() {
            out.push(' ');
        } else {
            out.push(c);
        }
        after_digit = c.is_ascii_digit();
    }
    out
}

/// `1`, `0.5`, `1/4`, `¼`.
fn plain_or_fraction(word: &str) -> Option<f64> {
    let mut characters = word.chars();
    if let (Some(value), None) = (characters.next().and_then(vulgar_fraction), characters.next()) {
        return Some(value);
    }
    let number =
        |text: &str| text.replace(',', ".").parse::<f64>().ok().filter(|x| x.is_finite() && *x >= 0.0);
    match word.split_once('/') {
        Some((top, bottom)) => Some(number(top)? / number(bottom).filter(|x| *x > 0.0)?),
        None => number(word),
    }
}

/// In the adjuster's own unit and sense, as it stands among what to turn: `+0.4°`, `-1.5 mm`.
/// Gives the units it was typed in as well.
fn own_amount(one: &Adjustable, text: &str) -> Result<(f64, Units), GarageError> {
    let degrees = one
        .of_file
        .as_ref()
        .is_some_and(|adjuster| matches!(adjuster.acts, Acts::StrutTurn { .. } | Acts::Eccentric { .. }));
    let dimension = if degrees { Dimension::Angle } else { Dimension::Length };
    let parsed = dimension.parse(text).map_err(|why| GarageError::Amount(format!("{}: {why}", one.key)))?;
    let units = Units::of(parsed.unit);
    if parsed.value.abs() <= 0.0 {
        return Err(GarageError::Input(format!("{}: '{text}': it was turned by nothing", one.key)));
    }
    let (from, to) = one.turnable.range;
    let width = to - from;
    if parsed.value.abs() > width.max(one.turnable.step) {
        let (width, places, unit) = units.figure_in(width, 2, dimension.own_unit());
        return Err(GarageError::Input(format!(
            "{}: {text} is more than its whole range of {width:.places$} {unit}",
            one.key
        )));
    }
    Ok((parsed.value, units))
}

#[cfg(test)]
mod tests {
    use super::{plain_or_fraction, spaced_fractions};

    #[test]
    fn fractions_are_read() {
        assert_eq!(plain_or_fraction("1/4"), Some(0.25));
        assert_eq!(plain_or_fraction("0,5"), Some(0.5));
        assert_eq!(plain_or_fraction("½"), Some(0.5));
        for (typed, spaced) in [("1½ turns", "1 ½ turns"), ("1-1/2 turns", "1 1/2 turns"), ("-1", "-1")] {
            assert_eq!(spaced_fractions(typed).split_whitespace().collect::<Vec<_>>().join(" "), spaced);
        }
        for bad in ["", "x", "1/0", "-1", "1/4/2", "inf", "NaN"] {
            assert_eq!(plain_or_fraction(bad), None, "{bad}");
        }
    }
}
