//! Square codes (QR, ISO/IEC 18004) as areas.

use crate::look::Tone;
use crate::scene::{Drawing, Item};
use qrcodegen::{QrCode, QrCodeEcc};
use std::fmt::Write as _;

/// Free modules about the code: ISO/IEC 18004 wants four.
const QUIET: i32 = 4;

/// `text` as a square code of this side in mm, its free edge included; `None` where it is too long.
pub(crate) fn code(text: &str, side: f64) -> Option<Vec<Item>> {
    let qr = QrCode::encode_text(text, QrCodeEcc::Medium).ok()?;
    let module = side / f64::from(qr.size() + 2 * QUIET);
    let mut items = Vec::new();
    for y in 0..qr.size() {
        let mut x = 0;
        while x < qr.size() {
            let start = x;
            while qr.get_module(x, y) {
                x += 1;
            }
            if x > start {
                let at = [f64::from(start + QUIET) * module, f64::from(y + QUIET) * module];
                // A hair taller, so that rows leave no white line between them.
                let size = [f64::from(x - start) * module, module * 1.02];
                items.push(Item::rect(at, size, None, Some(Tone::Ink)));
            }
            x += 1;
        }
    }
    Some(items)
}

/// `text` as a square code that a phone reads, as a drawing of this side in mm; `None` where it is
/// too long for one.
#[must_use]
pub fn square_code(text: &str, side: f64) -> Option<Drawing> {
    let items = code(text, side)?;
    Some(Drawing { size: [side, side], title: "square code".to_owned(), description: text.to_owned(), items })
}

/// `text` as a square code of characters for a terminal: two modules above each other in a character.
/// Empty where it is too long for one.
///
/// A terminal that writes light on dark shows it inverted, which not every phone reads: who prints it says
/// which tones it has.
#[must_use]
pub fn qr_text(text: &str) -> String {
    let Ok(qr) = QrCode::encode_text(text, QrCodeEcc::Medium) else { return String::new() };
    let ends = -QUIET..qr.size() + QUIET;
    let mut lines = String::new();
    for y in ends.clone().step_by(2) {
        for x in ends.clone() {
            // A module outside the code is light.
            lines.push(match (qr.get_module(x, y), qr.get_module(x, y + 1)) {
                (true, true) => '█',
                (true, false) => '▀',
                (false, true) => '▄',
                (false, false) => ' ',
            });
        }
        lines.push('\n');
    }
    lines
}

/// `text` as a square code for a page, an SVG of one unit a module: black on white whatever tones the page
/// has, as an inverted code is not read by every phone. `None` where it is too long for one.
#[must_use]
pub fn qr_svg(text: &str) -> Option<String> {
    let qr = QrCode::encode_text(text, QrCodeEcc::Medium).ok()?;
    let side = qr.size() + 2 * QUIET;
    let mut dark = String::new();
    for y in 0..qr.size() {
        for x in (0..qr.size()).filter(|x| qr.get_module(*x, y)) {
            // Writing to a text does not fail.
            let _ = write!(dark, "M{} {}h1v1h-1z", x + QUIET, y + QUIET);
        }
    }
    Some(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {side} {side}\" role=\"img\" aria-label=\"Code to scan\" shape-rendering=\"crispEdges\"><rect width=\"{side}\" height=\"{side}\" fill=\"#fff\"/><path fill=\"#000\" d=\"{dark}\"/></svg>"
    ))
}
