//! Numbers as people say them.

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

/// A number with its noun.
pub(crate) fn count(number: usize, noun: &str) -> String {
    if number == 1 { format!("1 {noun}") } else { format!("{number} {noun}s") }
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

/// Mentions of the command line, and what stands for them on a page.
const ON_PAGE: &[(&str, &str)] = &[
    ("'axlestand read --guide' shows what there is, ", "the ways stand below, "),
    (" ('axlestand read --guide' shows the methods)", ""),
    (" ('axlestand turned …')", ""),
    (" ('axlestand set alignment' says which)", ""),
    (" ('axlestand set alignment')", ""),
    (" ('axlestand read …')", ""),
    ("that 'axlestand set alignment' gives it", "that stands under To turn"),
    (". 'axlestand set height' says", ". The page Heights says"),
    ("'axlestand set height' says", "the page Heights says"),
    ("set it with 'car set'", "write it into the vehicle file with its source"),
    ("; say it with --ratio", "; say it below"),
    ("say --rods behind or --rods ahead", "say below where they are"),
    (": --at \"… mm\"", ""),
    ("(--at, ", "("),
    ("(--at: ", "("),
    (" (--at)", ""),
    ("raised by --at", "raised by so much"),
];

/// What the garage says, for somebody before a page: without names of commands and options.
pub(crate) fn on_page(text: &str) -> String {
    let mut said = ON_PAGE.iter().fold(text.to_owned(), |said, (from, to)| said.replace(from, to));
    // Whole clauses that only lead to another command.
    while let Some((before, rest)) = said.split_once("; 'axlestand ") {
        let after = rest.find([';', '.']).map_or("", |end| &rest[end..]);
        said = format!("{before}{after}");
    }
    let mut plain = String::with_capacity(said.len());
    for (at, word) in said.split(' ').enumerate() {
        if at > 0 {
            plain.push(' ');
        }
        let bare = word.trim_start_matches('(');
        match bare.strip_prefix("--").filter(|name| name.starts_with(|c: char| c.is_ascii_lowercase())) {
            Some(name) => {
                plain.push_str(&format!("{}{}", &word[..word.len() - bare.len()], name.replace('-', " ")));
            }
            None => plain.push_str(word),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::{about, amount, hours, on_page, percent, signed};

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

    #[test]
    fn no_command_is_named_on_a_page() {
        for (text, said) in [
            ("read plates; 'axlestand read --guide plates' leads through it", "read plates"),
            ("a; 'axlestand set height' says where collars go", "a; the page Heights says where collars go"),
            ("turn it, record it ('axlestand turned …'), read again", "turn it, record it, read again"),
            ("give --front-spring or (--lower 30)", "give front spring or (lower 30)"),
            ("x: say how far ahead: --at \"… mm\"", "x: say how far ahead"),
            ("it is -- as it were", "it is -- as it were"),
        ] {
            assert_eq!(on_page(text), said);
        }
    }
}
