//! The one typeface, and how wide its words are.

use std::sync::OnceLock;
use ttf_parser::Face;

/// The families that stand in for the typeface on a screen that lacks it; the numerals of all of
/// them are of one width.
pub(crate) const FAMILY: &str = "DejaVu Sans Condensed, DejaVu Sans, Verdana, sans-serif";

/// The file of the typeface.
pub(crate) fn file(bold: bool) -> &'static [u8] {
    if bold { dejavu::sans_condensed::bold() } else { dejavu::sans_condensed::regular() }
}

/// Advances of the signs in a face, in units of the em.
struct Advances {
    face: Option<Face<'static>>,
    em: f64,
}

fn advances(bold: bool) -> &'static Advances {
    static FACES: OnceLock<[Advances; 2]> = OnceLock::new();
    let read = |bold| {
        let face = Face::parse(file(bold), 0).ok();
        let em = face.as_ref().map_or(1.0, |face| f64::from(face.units_per_em()));
        Advances { face, em }
    };
    &FACES.get_or_init(|| [read(false), read(true)])[usize::from(bold)]
}

/// The signs of a line with their glyphs and advances in ems.
pub(crate) fn glyphs(text: &str, bold: bool) -> impl Iterator<Item = (std::ops::Range<usize>, u32, f64)> {
    let face = advances(bold);
    text.char_indices().map(move |(at, sign)| {
        let glyph = face.face.as_ref().and_then(|f| f.glyph_index(sign));
        (at..at + sign.len_utf8(), glyph.map_or(0, |g| u32::from(g.0)), advance(face, sign))
    })
}

fn advance(face: &Advances, sign: char) -> f64 {
    let known = face.face.as_ref().and_then(|f| f.glyph_hor_advance(f.glyph_index(sign)?));
    known.map_or(0.6, |units| f64::from(units) / face.em)
}

/// The width of a line of text, in the unit of `size`.
#[must_use]
pub(crate) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let face = advances(bold);
    text.chars().map(|sign| advance(face, sign)).sum::<f64>() * size
}

/// `text` as it can be drawn: signs that the typeface does not have become �, those that steer a
/// terminal or a line go.
#[must_use]
pub(crate) fn drawable(text: &str) -> String {
    let has = |sign: char| {
        let known = |bold| advances(bold).face.as_ref().is_some_and(|f| f.glyph_index(sign).is_some());
        known(false) && known(true)
    };
    let shown = |sign: char| match sign {
        '\t' | '\n' | '\r' => Some(' '),
        // Marks that steer the direction of writing, joiners and the like have no ink.
        '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' => None,
        sign if sign.is_control() => None,
        sign if has(sign) => Some(sign),
        _ => Some('\u{fffd}'),
    };
    text.chars().filter_map(shown).collect()
}

/// `text` in lines of at most `room`, broken at spaces, not at no-break ones; a word that is wider than
/// the room is broken inside.
#[must_use]
pub(crate) fn lines(text: &str, size: f64, bold: bool, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in drawable(text).split(' ').filter(|word| !word.is_empty()) {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&longer, size, bold) <= room {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        // What should stay together yields before a word is cut.
        if word.contains('\u{a0}') && width(word, size, bold) > room {
            lines.extend(self::lines(&word.replace('\u{a0}', " "), size, bold, room));
            line = lines.pop().unwrap_or_default();
            continue;
        }
        for sign in word.chars() {
            line.push(sign);
            if width(&line, size, bold) > room && line.chars().count() > 1 {
                // Behind a joint of the word, where it has one; else wherever the room ends.
                let kept = line.len() - sign.len_utf8();
                let at = line[..kept].rfind(['-', '.', '/', '_']).map_or(kept, |joint| joint + 1);
                let rest = line.split_off(at);
                lines.push(std::mem::replace(&mut line, rest));
            }
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// `text` on one line of at most `room`, with … at its end where it is cut.
#[must_use]
pub(crate) fn fitted(text: &str, size: f64, bold: bool, room: f64) -> String {
    let text = drawable(text);
    if width(&text, size, bold) <= room {
        return text;
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        let shorter = format!("{}…", kept.iter().collect::<String>().trim_end());
        if width(&shorter, size, bold) <= room {
            return shorter;
        }
    }
    String::new()
}

#[cfg(test)]
mod tests {
    use super::{lines, width};

    #[test]
    fn what_should_stay_together_yields_before_a_word_is_cut() {
        let value = "357.0\u{a0}±\u{a0}1.5\u{a0}mm";
        let whole = width(value, 3.0, false);
        assert_eq!(lines(value, 3.0, false, whole + 0.1), [value]);
        assert_eq!(lines(value, 3.0, false, whole - 0.1), ["357.0 ± 1.5", "mm"]);
        let name = "survey.front-left.pivot";
        assert_eq!(
            lines(name, 3.0, false, width("survey.front-left.pi", 3.0, false)),
            ["survey.front-left.", "pivot"]
        );
        assert_eq!(lines(&format!("before {value}"), 3.0, false, whole + 0.1), ["before", value]);
    }
}
