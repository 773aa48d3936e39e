//! How sentences begin and end.

/// The text with a capital in front.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The text with a capital in front and a full stop behind, where it does not end already.
pub(crate) fn sentence(text: &str) -> String {
    let stop = if text.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{}{stop}", capital(text))
}

#[cfg(test)]
mod tests {
    use super::sentence;

    #[test]
    fn a_sentence_begins_and_ends_once() {
        for (text, said) in [("öl", "Öl."), ("Is it?", "Is it?"), ("so.", "So."), ("", ".")] {
            assert_eq!(sentence(text), said);
        }
    }
}
