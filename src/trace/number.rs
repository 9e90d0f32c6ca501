//! Numbers as recordings write them.

/// A finite or infinite number, with a decimal point or a decimal comma; `None` for anything else.
///
/// ## Definition
/// A lone comma is a decimal comma. With points and commas both, the last of them is the decimal sign and the others part
/// thousands. Spaces around are free. The words for "not a number" give NaN, so that the caller can tell a value out of
/// range from text.
pub(super) fn parse(text: &str) -> Option<f64> {
    // Nearly every number is written plainly, with nothing around it.
    if let Ok(value) = text.parse() {
        return Some(value);
    }
    let text = text.trim();
    if let Ok(value) = text.parse() {
        return Some(value);
    }
    let comma = text.rfind(',')?;
    // Longer than any number, and so not worth a copy.
    if text.len() > 64 {
        return None;
    }
    let plain: String = match text.rfind('.') {
        Some(point) if point > comma => text.chars().filter(|c| *c != ',').collect(),
        Some(_) => text
            .chars()
            .filter(|c| *c != '.')
            .map(|c| if c == ',' { '.' } else { c })
            .collect(),
        None => text.replace(',', "."),
    };
    plain.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::parse;

    #[test]
    fn points_commas_and_thousands() {
        for (text, value) in [
            ("12.5", 12.5),
            (" 12,5 ", 12.5),
            ("-0,25", -0.25),
            ("1.234,5", 1234.5),
            ("1,234.5", 1234.5),
            ("1e-3", 0.001),
            ("+7", 7.0),
        ] {
            assert_eq!(parse(text), Some(value), "{text}");
        }
    }

    #[test]
    fn no_numbers() {
        for text in ["", " ", "x", "1,2,3", "1 2", "0x10", "12..5", "--"] {
            assert_eq!(parse(text), None, "{text}");
        }
        assert!(parse("NaN").is_some_and(f64::is_nan));
        assert_eq!(parse("inf"), Some(f64::INFINITY));
        assert_eq!(parse("1e999"), Some(f64::INFINITY));
    }
}
