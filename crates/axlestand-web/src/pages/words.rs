//! Numbers as people say them.

pub(crate) use axlestand_garage::views::{about, amount, hours, percent};
pub(crate) use axlestand_garage::{capital, count};

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

#[cfg(test)]
mod tests {
    use super::signed;

    #[test]
    fn nought_has_no_sign() {
        assert_eq!([signed(0.124, 2), signed(-0.004, 2), signed(-0.6, 1)], ["+0.12", "0.00", "−0.6"]);
    }
}
