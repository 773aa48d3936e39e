//! Pictures as text (base64, RFC 4648 section 4), as a browser writes them.

/// The bytes that a text stands for; `None` where it is no base64. Padding may be left out.
pub(super) fn decode(text: &str) -> Option<Vec<u8>> {
    let digits = text.trim_end_matches('=').as_bytes();
    let mut bytes = Vec::with_capacity(digits.len() / 4 * 3 + 2);
    let (mut held, mut bits) = (0u32, 0u32);
    for &digit in digits {
        held = (held << 6 | u32::from(value(digit)?)) & 0xff_ffff;
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push((held >> bits & 0xff) as u8);
        }
    }
    // One digit alone is no byte.
    (digits.len() % 4 != 1).then_some(bytes)
}

fn value(digit: u8) -> Option<u8> {
    Some(match digit {
        b'A'..=b'Z' => digit - b'A',
        b'a'..=b'z' => digit - b'a' + 26,
        b'0'..=b'9' => digit - b'0' + 52,
        b'+' => 62,
        b'/' => 63,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::decode;

    /// The test vectors of RFC 4648, section 10.
    #[test]
    fn the_vectors_of_the_standard_are_read() {
        for (text, bytes) in [
            ("", ""),
            ("Zg==", "f"),
            ("Zm8=", "fo"),
            ("Zm9v", "foo"),
            ("Zm9vYg==", "foob"),
            ("Zm9vYmE=", "fooba"),
            ("Zm9vYmFy", "foobar"),
        ] {
            assert_eq!(decode(text).as_deref(), Some(bytes.as_bytes()), "{text}");
        }
        assert_eq!(decode("+/+/").as_deref(), Some(&[0xfb, 0xff, 0xbf][..]));
        for none in ["Z", "Zm9v!", "Zm 9v", "data:image/jpeg;base64,Zm9v"] {
            assert_eq!(decode(none), None, "{none}");
        }
    }
}
