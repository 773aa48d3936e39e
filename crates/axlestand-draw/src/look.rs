//! The look of paper and screen: every tone, size and line weight stands here once.
//!
//! Ink lines on white, one typeface, big numerals for what is set on a tool, one signal tone only
//! for "now", a hatched edge only for danger. What a tone says is always said by shape and word too.

/// The ground that a drawing stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Theme {
    /// Ink on white paper.
    Paper,
    /// Chalk on dark slate.
    Slate,
}

/// What a line, an area or a text is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// The ground itself.
    Ground,
    /// What is said.
    Ink,
    /// What is said on the side: sources, units, what recedes.
    Quiet,
    /// Guides and ghosts: never text.
    Faint,
    /// What is to be done now, and nothing else.
    Now,
}

/// A colour as red, green and blue, 0 to 255, in sRGB.
pub type Rgb = [u8; 3];

impl Tone {
    /// Every tone.
    pub const ALL: [Self; 5] = [Self::Ground, Self::Ink, Self::Quiet, Self::Faint, Self::Now];

    /// The colour of a tone.
    #[must_use]
    pub const fn rgb(self, theme: Theme) -> Rgb {
        match (theme, self) {
            (Theme::Paper, Self::Ground) => [0xff, 0xff, 0xff],
            (Theme::Paper, Self::Ink) => [0x11, 0x11, 0x11],
            (Theme::Paper, Self::Quiet) => [0x4d, 0x4d, 0x4d],
            (Theme::Paper, Self::Faint) => [0x85, 0x85, 0x85],
            (Theme::Paper, Self::Now) => [0xb8, 0x2e, 0x00],
            (Theme::Slate, Self::Ground) => [0x1a, 0x1e, 0x21],
            (Theme::Slate, Self::Ink) => [0xf3, 0xf2, 0xec],
            (Theme::Slate, Self::Quiet) => [0xbd, 0xc2, 0xc4],
            (Theme::Slate, Self::Faint) => [0x81, 0x89, 0x8d],
            (Theme::Slate, Self::Now) => [0xff, 0x93, 0x5c],
        }
    }
}

/// The contrast ratio of two colours, 1 to 21.
///
/// Source: WCAG 2.2, definitions of "relative luminance" and "contrast ratio".
#[must_use]
pub fn contrast(a: Rgb, b: Rgb) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

fn luminance(colour: Rgb) -> f64 {
    let linear = |part: u8| {
        let part = f64::from(part) / 255.0;
        if part <= 0.04045 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
    };
    let [red, green, blue] = colour.map(linear);
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/// Line weights in millimetres on paper.
pub mod weight {
    /// Guides, hatching, rules of a table.
    pub const FINE: f64 = 0.18;
    /// Outlines of parts.
    pub const USUAL: f64 = 0.35;
    /// What the eye goes to first, what is to be done now.
    pub const STRONG: f64 = 0.7;
}

/// Heights of text in millimetres; a point is 25.4/72 mm.
pub mod size {
    /// One typographic point.
    pub const POINT: f64 = 25.4 / 72.0;
    /// Sources, notes at the foot.
    pub const SMALL: f64 = 8.0 * POINT;
    /// Running text.
    pub const BODY: f64 = 9.5 * POINT;
    /// What is to be done.
    pub const WORK: f64 = 11.0 * POINT;
    /// Row numbers: read from the floor, typed in later.
    pub const ROW: f64 = 14.0 * POINT;
    /// Headings.
    pub const HEADING: f64 = 13.0 * POINT;
    /// The title of a sheet.
    pub const TITLE: f64 = 20.0 * POINT;
    /// What is set on a tool.
    pub const TOOL: f64 = 17.0 * POINT;
    /// What is read through a windscreen.
    pub const CARD: f64 = 64.0 * POINT;
    /// The side of a tick box.
    pub const TICK: f64 = 8.5;
}
