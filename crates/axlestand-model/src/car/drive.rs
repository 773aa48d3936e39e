//! Drives and their sizes: which tool turns a fastener.

use axlestand_quantity::{Dimension, Length};

/// The kind of drive.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DriveKind {
    /// External hexagon.
    Hex,
    /// Hexagon socket.
    InnerHex,
    /// Hexalobular socket (ISO 10664), sizes T…
    InnerLobe,
    /// External hexalobular, sizes E…
    OuterLobe,
    /// Cross recess (ISO 4757), sizes PH… and PZ…
    Cross,
    /// Two parallel flats.
    Flats,
}

/// A drive with its size, written `hex 21`, `inner hex 8`, `T30`, `E14`, `PH2`, `flats 17`.
#[derive(Debug, Clone, PartialEq)]
pub struct Drive {
    /// The kind.
    pub kind: DriveKind,
    /// Across flats, for the kinds that have them.
    pub across_flats: Option<Length>,
    text: String,
}

impl Drive {
    /// Reads a drive; sizes of hexagons and flats are millimetres, or inches with `in`.
    ///
    /// # Errors
    /// A sentence that says what is wrong and what would be right.
    pub fn parse(text: &str) -> Result<Self, String> {
        let plain = text.trim();
        let lower = plain.to_lowercase();
        for (word, kind) in
            [("inner hex", DriveKind::InnerHex), ("hex", DriveKind::Hex), ("flats", DriveKind::Flats)]
        {
            if let Some(size) = lower.strip_prefix(word) {
                return across_flats(word, kind, size.trim());
            }
        }
        let numbered = |prefix: &str| {
            lower
                .strip_prefix(prefix)
                .and_then(|n| n.trim().parse::<u32>().ok())
                .filter(|n| (1..=100).contains(n))
        };
        for (prefix, kind) in [
            ("ph", DriveKind::Cross),
            ("pz", DriveKind::Cross),
            ("e", DriveKind::OuterLobe),
            ("t", DriveKind::InnerLobe),
        ] {
            if let Some(n) = numbered(prefix) {
                return Ok(Self { kind, across_flats: None, text: format!("{}{n}", prefix.to_uppercase()) });
            }
        }
        Err(format!(
            "'{plain}' is not a drive known here; write 'hex 21', 'inner hex 8', 'flats 17', 'T30', 'E14' or 'PH2'"
        ))
    }
}

fn across_flats(word: &str, kind: DriveKind, size: &str) -> Result<Drive, String> {
    let with_unit =
        if size.ends_with(|c: char| c.is_ascii_digit()) { format!("{size} mm") } else { size.to_owned() };
    let parsed = Dimension::Length.parse(&with_unit).map_err(|_| {
        format!("'{word} {size}' has no size across flats; write '{word} 21' or '{word} 13/16 in'")
    })?;
    let length = Length::from_mm(parsed.value).map_err(|e| e.to_string())?;
    if !(1.0..=120.0).contains(&length.mm()) {
        return Err(format!("a drive of {length} across flats does not exist on a car; is the unit right?"));
    }
    Ok(Drive { kind, across_flats: Some(length), text: format!("{word} {size}") })
}

impl std::fmt::Display for Drive {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&self.text)
    }
}
