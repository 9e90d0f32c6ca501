//! Turns bytes into text: UTF-8 without a copy, UTF-16 and 8-bit encodings by way of a table.

use std::borrow::Cow;

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};
use memchr::memchr_iter;

use super::{Defect, Error};

/// How far into the bytes a guess looks.
const PROBE: usize = 1024;

/// The text of a file.
///
/// ## Definition
/// A byte order mark decides; without one, UTF-16 is known by its zero bytes, and an XML declaration names the rest. Text
/// that names nothing is UTF-8 if it is valid as such, else Windows-1252, of which ISO-8859-1 is a part. Bytes that do not
/// fit what was named become U+FFFD, with a defect: numbers and times are ASCII in all of these, so a spoilt name spoils
/// no fix.
///
/// ## References
/// XML 1.0 (fifth edition), appendix F; WHATWG Encoding Standard, section 4.2 (labels).
pub(super) fn decode<'a>(
    bytes: &'a [u8],
    defects: &mut Vec<Defect>,
) -> Result<Cow<'a, str>, Error> {
    if bytes.starts_with(&[0xff, 0xfe, 0, 0]) || bytes.starts_with(&[0, 0, 0xfe, 0xff]) {
        return Err(Error::Encoding { name: "UTF-32" });
    }
    if let Some((encoding, mark)) = Encoding::for_bom(bytes) {
        return Ok(with(
            encoding,
            bytes.get(mark..).unwrap_or_default(),
            defects,
        ));
    }
    if let Some(encoding) = utf16(bytes) {
        return Ok(with(encoding, bytes, defects));
    }
    match declared(bytes).and_then(Encoding::for_label) {
        // A declaration of two-byte text that is read as single bytes is wrong about itself.
        Some(encoding) if encoding != UTF_16LE && encoding != UTF_16BE => {
            Ok(with(encoding, bytes, defects))
        }
        _ => Ok(match std::str::from_utf8(bytes) {
            Ok(text) => Cow::Borrowed(text),
            Err(_) => with(WINDOWS_1252, bytes, defects),
        }),
    }
}

/// Whether text that begins so is read as it stands where all of it is UTF-8.
pub(super) fn is_utf8(bytes: &[u8]) -> bool {
    let wide = Encoding::for_bom(bytes).is_some() || utf16(bytes).is_some();
    let named = declared(bytes).and_then(Encoding::for_label);
    !wide && named.is_none_or(|encoding| [UTF_8, UTF_16LE, UTF_16BE].contains(&encoding))
}

fn with<'a>(
    encoding: &'static Encoding,
    bytes: &'a [u8],
    defects: &mut Vec<Defect>,
) -> Cow<'a, str> {
    if encoding == UTF_8 {
        match std::str::from_utf8(bytes) {
            Ok(text) => return Cow::Borrowed(text),
            Err(error) => {
                let before = bytes.get(..error.valid_up_to()).unwrap_or_default();
                let line = 1 + memchr_iter(b'\n', before).count() as u64;
                defects.push(Defect::at(
                    line,
                    "bytes that are not UTF-8, as the file says it is, were replaced",
                ));
                return Cow::Owned(String::from_utf8_lossy(bytes).into_owned());
            }
        }
    }
    let (text, replaced) = encoding.decode_without_bom_handling(bytes);
    if replaced {
        defects.push(Defect::new(format!(
            "bytes that are not {}, as the file seems to be, were replaced",
            encoding.name()
        )));
    }
    text
}

/// UTF-16 without a byte order mark: text of mostly Latin letters and digits has every other byte zero.
fn utf16(bytes: &[u8]) -> Option<&'static Encoding> {
    let probe = bytes.get(..bytes.len().min(PROBE))?;
    let pairs = probe.len() / 2;
    if pairs < 4 {
        return None;
    }
    let zeros = |offset: usize| {
        probe
            .iter()
            .skip(offset)
            .step_by(2)
            .filter(|b| **b == 0)
            .count()
    };
    let (even, odd) = (zeros(0), zeros(1));
    if even * 10 < pairs && odd * 10 > pairs * 8 {
        Some(UTF_16LE)
    } else if odd * 10 < pairs && even * 10 > pairs * 8 {
        Some(UTF_16BE)
    } else {
        None
    }
}

/// Whether the bytes are UTF-16 or UTF-32, so that zero bytes among them mean nothing.
pub(super) fn is_wide(bytes: &[u8]) -> bool {
    bytes.starts_with(&[0xff, 0xfe])
        || bytes.starts_with(&[0xfe, 0xff])
        || bytes.starts_with(&[0, 0, 0xfe, 0xff])
        || utf16(bytes).is_some()
}

/// The encoding that an XML declaration names.
fn declared(bytes: &[u8]) -> Option<&[u8]> {
    let start = bytes.iter().position(|b| !b.is_ascii_whitespace())?;
    let rest = bytes.get(start..)?;
    if !rest.starts_with(b"<?xml") {
        return None;
    }
    let rest = rest.get(..rest.len().min(PROBE))?;
    let end = rest.iter().position(|b| *b == b'>')?;
    let declaration = rest.get(..end)?;
    let key = b"encoding";
    let at = declaration.windows(key.len()).position(|w| w == key)?;
    let after = declaration.get(at + key.len()..)?;
    let open = after.iter().position(|b| *b == b'"' || *b == b'\'')?;
    let quote = *after.get(open)?;
    let value = after.get(open + 1..)?;
    let close = value.iter().position(|b| *b == quote)?;
    value.get(..close)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(bytes: &[u8], expected: &str, defects: usize) {
        let mut found = Vec::new();
        assert_eq!(decode(bytes, &mut found).expect("text"), expected);
        assert_eq!(found.len(), defects, "{found:?}");
    }

    fn utf16le(text: &str) -> Vec<u8> {
        text.encode_utf16().flat_map(u16::to_le_bytes).collect()
    }

    fn utf16be(text: &str) -> Vec<u8> {
        text.encode_utf16().flat_map(u16::to_be_bytes).collect()
    }

    #[test]
    fn utf8_is_not_copied() {
        let bytes = "é".as_bytes();
        assert!(matches!(
            decode(bytes, &mut Vec::new()),
            Ok(Cow::Borrowed("é"))
        ));
        let marked = "\u{feff}é".as_bytes();
        assert!(matches!(
            decode(marked, &mut Vec::new()),
            Ok(Cow::Borrowed("é"))
        ));
    }

    #[test]
    fn utf16_with_and_without_a_mark() {
        let text = "<gpx>é</gpx>";
        check(&utf16le(text), text, 0);
        check(&utf16be(text), text, 0);
        check(&utf16le(&format!("\u{feff}{text}")), text, 0);
        check(&utf16be(&format!("\u{feff}{text}")), text, 0);
    }

    #[test]
    fn latin_1_declared_or_not() {
        check(
            b"<?xml version='1.0' encoding='ISO-8859-1'?><name>\xe9</name>",
            "<?xml version='1.0' encoding='ISO-8859-1'?><name>é</name>",
            0,
        );
        check(b"name;\xe9", "name;é", 0);
    }

    #[test]
    fn a_wrong_declaration_of_utf16_is_passed_over() {
        let text = "<?xml version=\"1.0\" encoding=\"UTF-16\"?><gpx/>";
        check(text.as_bytes(), text, 0);
    }

    #[test]
    fn bytes_that_break_the_declared_utf8_are_replaced_and_told() {
        check(
            b"<?xml version='1.0' encoding='UTF-8'?>\n<a>\xff</a>",
            "<?xml version='1.0' encoding='UTF-8'?>\n<a>\u{fffd}</a>",
            1,
        );
    }

    #[test]
    fn utf32_is_named() {
        assert_eq!(
            decode(&[0xff, 0xfe, 0, 0, b'<', 0, 0, 0], &mut Vec::new()),
            Err(Error::Encoding { name: "UTF-32" })
        );
    }
}
