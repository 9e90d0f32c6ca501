//! Recognises the format by content, never by file name.

use super::{Error, encoding};

/// The format of a recording, found by content.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Format {
    /// GPX, with the version attribute as written.
    Gpx {
        /// "1.0", "1.1", or whatever was written.
        version: Option<String>,
    },
    /// Text in columns.
    Csv {
        /// The delimiter found.
        delimiter: char,
    },
}

/// The two families of text that are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Xml,
    Columns,
}

/// First bytes of files that people mistake for a recording.
const MAGIC: [(&[u8], &str); 9] = [
    (b"PK\x03\x04", "a zip archive or a spreadsheet workbook"),
    (b"PK\x05\x06", "an empty zip archive"),
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"BZh", "a bzip2 file"),
    (b"\xfd7zXZ", "an xz file"),
    (b"7z\xbc\xaf", "a 7-Zip archive"),
    (b"\x28\xb5\x2f\xfd", "a zstd file"),
];

/// Refuses what is no text, before any of it is decoded.
pub(super) fn refuse_binary(bytes: &[u8]) -> Result<(), Error> {
    // A file that a full disk or a lost battery left as blanks or zero bytes holds nothing either.
    if bytes.iter().all(|b| b.is_ascii_whitespace() || *b == 0)
        || matches!(bytes, [0xef, 0xbb, 0xbf] | [0xff, 0xfe] | [0xfe, 0xff])
    {
        return Err(Error::Empty);
    }
    if let Some((_, looks_like)) = MAGIC.iter().find(|(magic, _)| bytes.starts_with(magic)) {
        return Err(Error::Binary { looks_like });
    }
    if encoding::is_wide(bytes) {
        return Ok(());
    }
    // A file that was being written when the power went is filled up with zero bytes.
    let written = bytes.iter().rposition(|b| *b != 0).map_or(0, |at| at + 1);
    let probe = bytes.get(..written.min(1024)).unwrap_or_default();
    let control = probe
        .iter()
        .filter(|b| b.is_ascii_control() && !b.is_ascii_whitespace())
        .count();
    // A stray zero byte or two is damage in a text; more than one byte in twenty is no text.
    if control > 3 && control * 20 > probe.len() {
        return Err(Error::Binary {
            looks_like: "a binary file",
        });
    }
    Ok(())
}

/// Tells XML from columns, and from text that is neither.
pub(super) fn detect(text: &str) -> Result<Kind, Error> {
    let start =
        text.trim_start_matches(|c: char| c.is_whitespace() || c == '\u{feff}' || c == '\0');
    match start.chars().next() {
        None => Err(Error::Empty),
        Some('<') => Ok(Kind::Xml),
        Some('{' | '[') => Err(Error::Json),
        Some(_) => Ok(Kind::Columns),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_are_empty() {
        for bytes in [&b""[..], b" \r\n", b"\0\0\0\0\0\0", b"\xef\xbb\xbf"] {
            assert_eq!(refuse_binary(bytes), Err(Error::Empty));
        }
    }

    #[test]
    fn a_stray_zero_byte_does_not_make_a_text_binary() {
        assert_eq!(refuse_binary(b"time,speed\n0,1\0\n"), Ok(()));
        let device: Vec<u8> = (0..=255).cycle().take(4096).collect();
        assert!(matches!(refuse_binary(&device), Err(Error::Binary { .. })));
    }

    #[test]
    fn leading_blanks_do_not_hide_the_format() {
        assert_eq!(detect("\u{feff}\n <gpx/>"), Ok(Kind::Xml));
        assert_eq!(detect("\ntime,speed"), Ok(Kind::Columns));
        assert_eq!(detect(" {\"a\":1}"), Err(Error::Json));
        assert_eq!(detect("\u{feff} "), Err(Error::Empty));
    }
}
