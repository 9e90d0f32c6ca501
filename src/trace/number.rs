//! Numbers as recordings write them.

/// A finite or infinite number, with a decimal point or a decimal comma; `None` for anything else.
///
/// ## Definition
/// A lone comma is a decimal comma. With points and commas both, the last of them is the decimal sign and the others part
/// thousands. Spaces around are free. The words for "not a number" give NaN, so that the caller can tell a value out of
/// range from text.
pub(super) fn parse(text: &str) -> Option<f64> {
    // Nearly every number is written plainly, with nothing around it.
    if let Some(value) = plain(text.as_bytes()) {
        return Some(value);
    }
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

/// Powers of ten that a number holds exactly.
const POWERS: [f64; 16] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// A number of at most 15 digits with or without a sign and a point; `None` for anything else.
#[inline]
fn plain(bytes: &[u8]) -> Option<f64> {
    let (value, length) = leading(bytes)?;
    (length == bytes.len()).then_some(value)
}

/// The number of at most 15 digits with or without a sign and a point that a text begins with, and how many bytes it takes; `None` where
/// there is none, or a longer one.
///
/// Its digits without the point are a number below 2^53 and so exact, as is the power of ten that they are divided by: the
/// quotient is rounded once, and is what any right reading gives.
///
/// ## References
/// Clinger, W. D. (1990), How to read floating point numbers accurately, PLDI, 10.1145/93542.93557: the fast path.
#[inline]
pub(super) fn leading(bytes: &[u8]) -> Option<(f64, usize)> {
    let (negative, bytes) = match bytes {
        [b'-', bytes @ ..] => (true, bytes),
        bytes => (false, bytes),
    };
    let mut digits = 0;
    let mut length = take_digits(bytes, &mut digits);
    let (mut count, mut behind) = (length, 0);
    if let Some((b'.', fraction)) = bytes.get(length..)?.split_first() {
        behind = take_digits(fraction, &mut digits);
        count += behind;
        length += 1 + behind;
    }
    if count == 0 || count >= POWERS.len() {
        return None;
    }
    let value = digits as f64 / POWERS.get(behind)?;
    let value = if negative { -value } else { value };
    Some((value, length + usize::from(negative)))
}

/// Appends the digits that a text begins with to a number, up to more than are read, and says how many there were.
#[inline]
fn take_digits(bytes: &[u8], number: &mut u64) -> usize {
    let mut count = 0;
    for byte in bytes.iter().take(POWERS.len()) {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            break;
        }
        // What does not fit has too many digits to be taken.
        *number = number.wrapping_mul(10).wrapping_add(u64::from(digit));
        count += 1;
    }
    count
}

#[cfg(test)]
mod tests {
    use super::{leading, parse, plain};

    #[test]
    fn plain_numbers_are_what_the_library_reads() {
        let mut state = 1_u64;
        let mut chance = |below: u64| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) % below
        };
        let mut read = 0;
        for _ in 0..200_000 {
            let length = chance(19);
            let text: String = (0..length)
                .map(|n| match chance(40) {
                    0 if n == 0 => '-',
                    1 | 2 => '.',
                    3 => 'e',
                    digit => char::from(b'0' + (digit % 10) as u8),
                })
                .collect();
            if let Some(value) = plain(text.as_bytes()) {
                read += 1;
                let library = text.parse::<f64>().map(f64::to_bits);
                assert_eq!(Ok(value.to_bits()), library, "{text}");
                let more = format!("{text}<");
                assert_eq!(leading(more.as_bytes()), Some((value, text.len())));
            }
        }
        assert!(read > 50_000, "{read}");
        for text in ["", "-", ".", "-.", "1234567890123456", "1e3", "+1", "1..2"] {
            assert_eq!(plain(text.as_bytes()), None, "{text}");
        }
        for text in [
            "-0",
            "5.",
            ".5",
            "-0.0",
            "123456789012345",
            "0.00000000000001",
        ] {
            let library = text.parse::<f64>().ok().map(f64::to_bits);
            assert_eq!(plain(text.as_bytes()).map(f64::to_bits), library, "{text}");
        }
    }

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
