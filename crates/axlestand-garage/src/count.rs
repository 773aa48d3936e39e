//! Numbers of things in words.

/// A number of things: `1 row`, `3 rows`, `1 entry`, `2 entries`.
#[must_use]
pub fn count(number: usize, thing: &str) -> String {
    match (number, thing.strip_suffix('y')) {
        (1, _) => format!("1 {thing}"),
        (_, Some(stem)) if !stem.ends_with(['a', 'e', 'i', 'o', 'u']) => format!("{number} {stem}ies"),
        _ => format!("{number} {thing}s"),
    }
}

#[cfg(test)]
mod tests {
    use super::count;

    #[test]
    fn one_is_one_and_more_are_many() {
        for (number, thing, said) in [
            (0, "row", "0 rows"),
            (1, "row", "1 row"),
            (2, "entry", "2 entries"),
            (1, "entry", "1 entry"),
            (3, "day", "3 days"),
            (1, "earlier reading", "1 earlier reading"),
        ] {
            assert_eq!(count(number, thing), said);
        }
    }
}
