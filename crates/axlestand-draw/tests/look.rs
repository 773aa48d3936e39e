//! Tones can be told apart: contrast by the formula of WCAG 2.2.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_draw::look::{Theme, Tone, contrast, size};

/// Values that anyone can look up: WCAG 2.2 gives 21:1 for black on white; #777777 on white is the
/// well-known grey that just misses 4.5:1 (4.48), #767676 the one that just meets it (4.54).
#[test]
fn the_contrast_formula_gives_the_known_ratios() {
    let white = [255; 3];
    assert!((contrast([0; 3], white) - 21.0).abs() < 1e-9);
    assert!((contrast([0x77; 3], white) - 4.48).abs() < 0.005);
    assert!((contrast([0x76; 3], white) - 4.54).abs() < 0.005);
    assert!((contrast(white, [0x76; 3]) - 4.54).abs() < 0.005, "either may come first");
}

/// WCAG 2.2: 1.4.6 (AAA) asks 7:1 of text, 1.4.3 (AA) 4.5:1, 1.4.11 3:1 of lines that say something.
#[test]
fn every_tone_stands_out_from_its_ground() {
    for theme in [Theme::Paper, Theme::Slate] {
        let on_ground = |tone: Tone| contrast(tone.rgb(theme), Tone::Ground.rgb(theme));
        for (tone, least) in [(Tone::Ink, 7.0), (Tone::Quiet, 7.0), (Tone::Now, 4.5), (Tone::Faint, 3.0)] {
            assert!(on_ground(tone) >= least, "{tone:?} on {theme:?}: {:.2}", on_ground(tone));
        }
    }
}

/// Print without colour keeps the order: what is to be done now is darker than guides and ghosts.
#[test]
fn in_black_and_white_guides_stay_lighter_than_what_is_said() {
    let on_white = |tone: Tone| contrast(tone.rgb(Theme::Paper), [255; 3]);
    assert!(on_white(Tone::Now) > on_white(Tone::Faint) + 1.0);
    assert!(on_white(Tone::Ink) > on_white(Tone::Now));
}

/// Row numbers at least 14 pt and boxes at least 8 mm: they are ticked with a pencil in a glove.
#[test]
fn what_is_read_from_the_floor_is_large() {
    const { assert!(size::ROW >= 14.0 * 25.4 / 72.0 - 1e-9) }
    const { assert!(size::TICK >= 8.0) }
}
