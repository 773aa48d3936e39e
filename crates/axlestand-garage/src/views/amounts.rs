//! Chances and amounts as they are said.

/// A chance (0 to 1) in percent; nothing but nought is said to be impossible, and nothing to be certain.
#[must_use]
pub fn percent(chance: f64) -> String {
    match chance * 100.0 {
        p if p <= 0.0 => "0 %".to_owned(),
        p if p < 1.0 => "under 1 %".to_owned(),
        p if p > 99.0 => "over 99 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}

/// An amount with its unit, without needless noughts: `2 ×`, `0.33 l`.
#[must_use]
pub fn amount(amount: f64, unit: &str) -> String {
    let rounded = (amount * 100.0).round() / 100.0;
    if unit.is_empty() { format!("{rounded} ×") } else { format!("{rounded} {unit}") }
}

#[cfg(test)]
mod tests {
    use super::{amount, percent};

    #[test]
    fn they_are_said_plainly() {
        assert_eq!(
            [percent(0.0), percent(0.004), percent(0.5), percent(0.999)],
            ["0 %", "under 1 %", "50 %", "over 99 %"]
        );
        assert_eq!([amount(2.0, ""), amount(0.333, "l")], ["2 ×", "0.33 l"]);
    }
}
