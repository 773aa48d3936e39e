//! Numbers as people say them.

pub(crate) use axlestand_garage::count;
pub(crate) use axlestand_garage::views::{about, hours};

/// A chance in percent.
pub(crate) fn percent(chance: f64) -> String {
    match chance * 100.0 {
        p if p <= 0.0 => "0 %".to_owned(),
        p if p < 1.0 => "under 1 %".to_owned(),
        p if p > 99.0 => "over 99 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}

/// An amount with its unit, without needless noughts.
pub(crate) fn amount(amount: f64, unit: &str) -> String {
    let rounded = (amount * 100.0).round() / 100.0;
    if unit.is_empty() { format!("{rounded} ×") } else { format!("{rounded} {unit}") }
}

/// A number with its sign and a true minus; no minus before nought.
pub(crate) fn signed(value: f64, places: usize) -> String {
    let text = format!("{:.places$}", value.abs());
    let nought = text.chars().all(|c| matches!(c, '0' | '.'));
    match (nought, value < 0.0) {
        (true, _) => text,
        (false, true) => format!("−{text}"),
        (false, false) => format!("+{text}"),
    }
}

/// The text with a capital in front.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::{about, amount, hours, percent, signed};

    #[test]
    fn they_are_said_plainly() {
        assert_eq!(
            [hours(25.4), hours(60.0), hours(460.0), hours(f64::NAN)],
            ["25 min", "1 h", "7 h 40", "0 min"]
        );
        assert_eq!([about(4.0), about(172.0), about(200.0)], ["10 min", "2 h 50", "3 h 30"]);
        assert_eq!(
            [percent(0.0), percent(0.004), percent(0.5), percent(0.999)],
            ["0 %", "under 1 %", "50 %", "over 99 %"]
        );
        assert_eq!([amount(2.0, ""), amount(0.333, "l")], ["2 ×", "0.33 l"]);
        assert_eq!([signed(0.124, 2), signed(-0.004, 2), signed(-0.6, 1)], ["+0.12", "0.00", "−0.6"]);
    }
}
