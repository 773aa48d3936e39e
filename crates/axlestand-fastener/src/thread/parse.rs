//! Reading thread designations.

use super::list::scaled;
use super::{Hand, Series, Size, Thread};

/// Why a thread designation was refused. Every message says what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ThreadError {
    /// Nothing was typed.
    #[error("no thread was given; write it like M12, M14x1.5 or 1/2-20 UNF")]
    Empty,
    /// Not the form of a designation.
    #[error("'{text}' is not a thread; write a metric one like M12 or M14x1.5, an inch one like 1/2-20 UNF")]
    NotUnderstood {
        /// What was typed.
        text: String,
    },
    /// No standard lists the diameter.
    #[error(
        "there is no standard thread {size}; the nearest are {nearest}. Measure the outside of the thread \
         with a caliper: it reads 0.1 to 0.3 mm under the nominal size"
    )]
    UnknownDiameter {
        /// The size as typed: "M13", "15/32 in".
        size: String,
        /// The nearest sizes that exist.
        nearest: String,
    },
    /// The diameter exists, the pitch does not go with it.
    #[error(
        "{size} does not come with {pitch}; it comes with {known}. Check with a pitch gauge, and leave a bolt's \
         length out"
    )]
    UnknownPitch {
        /// The size: "M12", "1/2 in".
        size: String,
        /// The pitch as typed: "pitch 1.6", "19 threads per inch".
        pitch: String,
        /// The pitches that exist.
        known: String,
    },
    /// The diameter has no coarse pitch, or no thread of the series, so the pitch must be given.
    #[error("{size} comes with {known}; give the pitch too")]
    PitchNeeded {
        /// The size: "M15", "1/2 in".
        size: String,
        /// The pitches that exist.
        known: String,
    },
    /// The series does not go with the number of threads per inch.
    #[error("{thread} is {actual}, not {given}; {size} comes with {known}")]
    WrongSeries {
        /// Size and threads per inch.
        thread: String,
        /// The series this thread belongs to.
        actual: Series,
        /// The series that was typed.
        given: Series,
        /// The size: "1/2 in".
        size: String,
        /// The threads that exist.
        known: String,
    },
}

/// Longest designation read; longer text cannot be a thread.
const LONGEST: usize = 60;

pub(super) fn thread(text: &str) -> Result<Thread, ThreadError> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(ThreadError::Empty);
    }
    let bad = || ThreadError::NotUnderstood { text: trimmed.chars().take(LONGEST).collect() };
    if trimmed.len() > LONGEST {
        return Err(bad());
    }
    let mut plain = trimmed.to_lowercase().replace(['×', '*', 'х'], "x").replace(['–', '−', '‑'], "-");
    let mut hand = Hand::Right;
    if let Some(rest) = plain.strip_suffix("lh") {
        plain = rest.trim_end_matches([' ', '-']).to_owned();
        hand = Hand::Left;
    }
    let found = match plain.strip_prefix('m') {
        Some(rest) => metric(rest).unwrap_or_else(|| Err(bad())),
        None => inch(&plain).unwrap_or_else(|| Err(bad())),
    };
    found.map(|thread| thread.with_hand(hand))
}

/// Reads what follows the `M`. `None` where the form is wrong.
fn metric(text: &str) -> Option<Result<Thread, ThreadError>> {
    let tight: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    let tight = tight.replace(',', ".");
    let untoleranced = match tight.rsplit_once(['-', '/']) {
        Some((front, class)) if is_tolerance(class) => front,
        _ => &tight,
    };
    let (diameter, pitch) = match untoleranced.split_once(['x', '-']) {
        Some((diameter, pitch)) => (diameter, Some(pitch)),
        None => (untoleranced, None),
    };
    let diameter = positive(diameter)?;
    let pitch = match pitch {
        Some(pitch) => Some(positive(pitch)?),
        None => None,
    };
    Some(metric_pair(diameter, pitch))
}

fn metric_pair(diameter: f64, pitch: Option<f64>) -> Result<Thread, ThreadError> {
    let size = format!("M{diameter}");
    let same: Vec<Thread> = Thread::all()
        .filter(|thread| thread.is_metric() && (thread.diameter_mm() - diameter).abs() < 1e-6)
        .collect();
    if same.is_empty() {
        let metric = Thread::all().filter(|thread| thread.is_metric());
        let nearest = nearest(metric, diameter, |thread| format!("M{}", thread.diameter_mm()));
        return Err(ThreadError::UnknownDiameter { size, nearest });
    }
    match pitch {
        None => same.iter().copied().find(|thread| thread.series == Series::MetricCoarse).ok_or_else(|| {
            ThreadError::PitchNeeded { size, known: joined(same.iter().map(ToString::to_string)) }
        }),
        Some(pitch) => {
            let wanted = scaled(pitch, 100.0);
            let fits =
                |thread: &Thread| matches!(thread.size, Size::Metric { pitch, .. } if Some(pitch) == wanted);
            same.iter().copied().find(fits).ok_or_else(|| ThreadError::UnknownPitch {
                size,
                pitch: format!("pitch {pitch}"),
                known: joined(same.iter().map(|thread| match thread.series {
                    Series::MetricCoarse => format!("{} (coarse)", thread.pitch_mm()),
                    _ => thread.pitch_mm().to_string(),
                })),
            })
        }
    }
}

/// Reads an inch designation. `None` where the form is wrong.
fn inch(text: &str) -> Option<Result<Thread, ThreadError>> {
    let (front, series) = match text.find("un") {
        Some(at) => {
            let (front, back) = text.split_at(at);
            (front, Some(series(back)?))
        }
        None => (text, None),
    };
    let front = front.replace(['"', '″', '#'], " ").replace("no.", " ").replace("in", " ");
    let words: Vec<&str> = front.split([' ', '-', 'x']).filter(|word| !word.is_empty()).collect();
    let words = match words.split_last() {
        Some((last, rest)) if series.is_none() && is_tolerance(last) && !rest.is_empty() => rest,
        _ => &words[..],
    };
    let (size, per_inch) = match *words {
        [size] => (size.to_owned(), None),
        [whole, part] if part.contains('/') => (format!("{whole}-{part}"), None),
        [size, per_inch] => (size.to_owned(), Some(per_inch)),
        [whole, part, per_inch] => (format!("{whole}-{part}"), Some(per_inch)),
        _ => return None,
    };
    if !size.chars().all(|c| c.is_ascii_digit() || matches!(c, '/' | '-')) {
        return None;
    }
    let per_inch = match per_inch {
        Some(text) => Some(text.parse::<u32>().ok()?),
        None => None,
    };
    if per_inch.is_none() && series.is_none() && !size.contains('/') {
        return None;
    }
    Some(inch_pair(&size, per_inch, series))
}

fn inch_pair(size: &str, per_inch: Option<u32>, given: Option<Series>) -> Result<Thread, ThreadError> {
    let same: Vec<Thread> = Thread::all()
        .filter(|thread| matches!(thread.size, Size::Inch { written, .. } if written == size))
        .collect();
    let shown = format!("{size} in");
    if same.is_empty() {
        let mm = crate::wrench_size::fraction(size).unwrap_or(0.0) * super::INCH_MM;
        let inches = Thread::all().filter(|thread| !thread.is_metric());
        let nearest = nearest(inches, mm, |thread| match thread.size {
            Size::Inch { written, .. } => written.to_owned(),
            Size::Metric { .. } => thread.to_string(),
        });
        return Err(ThreadError::UnknownDiameter { size: shown, nearest });
    }
    let known = joined(same.iter().map(ToString::to_string));
    let thread = match (per_inch, given) {
        (Some(n), _) => same.iter().copied().find(|thread| thread.threads_per_inch() == Some(n)),
        (None, Some(series)) => same.iter().copied().find(|thread| thread.series == series),
        (None, None) => None,
    };
    match (thread, per_inch, given) {
        (Some(thread), _, Some(given)) if thread.series != given => Err(ThreadError::WrongSeries {
            thread: format!("{size}-{}", thread.threads_per_inch().unwrap_or_default()),
            actual: thread.series,
            given,
            size: shown,
            known,
        }),
        (Some(thread), _, _) => Ok(thread),
        (None, Some(n), _) => {
            Err(ThreadError::UnknownPitch { size: shown, pitch: format!("{n} threads per inch"), known })
        }
        (None, None, _) => Err(ThreadError::PitchNeeded { size: shown, known }),
    }
}

/// The series at the start of `text`, with or without a tolerance class behind it.
fn series(text: &str) -> Option<Series> {
    let name = text.split([' ', '-']).next()?;
    let (name, class) = match name.find(|c: char| c.is_ascii_digit()) {
        Some(at) => name.split_at(at),
        None => (name, ""),
    };
    let class_behind = text.get(name.len() + class.len()..)?.trim_matches([' ', '-']);
    if !(class.is_empty() || is_tolerance(class)) || !(class_behind.is_empty() || is_tolerance(class_behind))
    {
        return None;
    }
    Some(match name {
        "unc" | "unrc" => Series::Unc,
        "unf" | "unrf" => Series::Unf,
        "unef" => Series::Unef,
        "uns" => Series::Uns,
        _ => return None,
    })
}

/// `6g`, `6h`, `5g6g`, `2a`, `3b`: a tolerance class.
fn is_tolerance(text: &str) -> bool {
    let ends_in_letter = text.chars().last().is_some_and(|c| c.is_ascii_alphabetic());
    let known = text.chars().all(|c| c.is_ascii_digit() || matches!(c, 'a' | 'b' | 'e' | 'f' | 'g' | 'h'));
    ends_in_letter && known && text.starts_with(|c: char| c.is_ascii_digit()) && text.len() <= 4
}

/// A plain positive decimal number.
fn positive(text: &str) -> Option<f64> {
    let plain = !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || c == '.');
    let value: f64 = if plain { text.parse().ok()? } else { return None };
    (value.is_finite() && value > 0.0).then_some(value)
}

/// The two sizes nearest to `mm`, written with `name`.
fn nearest(threads: impl Iterator<Item = Thread>, mm: f64, name: fn(&Thread) -> String) -> String {
    let mut sizes: Vec<(f64, String)> =
        threads.map(|thread| ((thread.diameter_mm() - mm).abs(), name(&thread))).collect();
    sizes.sort_by(|a, b| a.0.total_cmp(&b.0));
    sizes.dedup_by(|a, b| a.1 == b.1);
    joined(sizes.into_iter().take(2).map(|(_, name)| name))
}

/// "a, b and c".
fn joined(names: impl Iterator<Item = String>) -> String {
    let names: Vec<String> = names.collect();
    match names.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        None => String::new(),
    }
}
