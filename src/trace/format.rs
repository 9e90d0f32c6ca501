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

/// Bytes near the beginning of files that people mistake for a recording: where they stand, and what they tell.
const MAGIC: [(usize, &[u8], &str); 29] = [
    (0, b"PK\x03\x04", "a zip archive or a spreadsheet workbook"),
    (0, b"PK\x05\x06", "an empty zip archive"),
    (0, b"Rar!", "a RAR archive"),
    (0, b"BZh", "a bzip2 file"),
    (0, b"\xfd7zXZ", "an xz file"),
    (0, b"7z\xbc\xaf", "a 7-Zip archive"),
    (0, b"\x28\xb5\x2f\xfd", "a zstd file"),
    (257, b"ustar", "a tar archive"),
    (0, b"%PDF", "a PDF document"),
    (0, b"{\\rtf", "a document of a word processor"),
    (
        0,
        b"\xd0\xcf\x11\xe0",
        "a document or a workbook of an old office program",
    ),
    (0, b"\x89PNG", "a picture"),
    (0, b"\xff\xd8\xff", "a picture"),
    (0, b"GIF8", "a picture"),
    (0, b"II*\0", "a picture"),
    (0, b"MM\0*", "a picture"),
    (8, b"WEBP", "a picture"),
    (4, b"ftypheic", "a picture"),
    (4, b"ftypheix", "a picture"),
    (4, b"ftypmif1", "a picture"),
    (4, b"ftypavif", "a picture"),
    (4, b"ftypM4A", "a sound"),
    (4, b"ftyp", "a film"),
    (8, b"WAVE", "a sound"),
    (0, b"ID3", "a sound"),
    (0, b"fLaC", "a sound"),
    (0, b"OggS", "a sound"),
    (0, b"SQLite format 3\0", "a database, such as a diary"),
    (8, b".FIT", "a recording in FIT"),
];

/// Whether it is a bitmap: two letters, the length of the file and four zero bytes.
fn is_bitmap(bytes: &[u8]) -> bool {
    bytes.starts_with(b"BM") && bytes.get(6..10) == Some(&[0; 4])
}

/// Refuses what is no text, before any of it is decoded.
pub(super) fn refuse_binary(bytes: &[u8]) -> Result<(), Error> {
    // A file that a full disk or a lost battery left as blanks or zero bytes holds nothing either.
    if bytes.iter().all(|b| b.is_ascii_whitespace() || *b == 0)
        || matches!(bytes, [0xef, 0xbb, 0xbf] | [0xff, 0xfe] | [0xfe, 0xff])
    {
        return Err(Error::Empty);
    }
    let begins = |at: usize, magic: &[u8]| bytes.get(at..).is_some_and(|b| b.starts_with(magic));
    if let Some((.., looks_like)) = MAGIC.iter().find(|(at, magic, _)| begins(*at, magic)) {
        return Err(Error::Binary { looks_like });
    }
    if is_bitmap(bytes) {
        return Err(Error::Binary {
            looks_like: "a picture",
        });
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
    fn what_phones_and_offices_write_is_named() {
        for (bytes, named) in [
            (&b"\0\0\0\x24ftypheic\0\0\0\0"[..], "a picture"),
            (b"RIFF\x24\0\0\0WEBPVP8 ", "a picture"),
            (b"RIFF\x24\0\0\0WAVEfmt ", "a sound"),
            (b"\0\0\0\x20ftypisom\0\0\x02\0", "a film"),
            (b"BM\x36\0\0\0\0\0\0\0\x36\0", "a picture"),
            (b"{\\rtf1\\ansi x}", "a document of a word processor"),
        ] {
            assert_eq!(
                refuse_binary(bytes),
                Err(Error::Binary { looks_like: named })
            );
        }
        // A heading may begin like one.
        assert_eq!(refuse_binary(b"BM;time;speed\n1;2;3\n"), Ok(()));
    }

    #[test]
    fn leading_blanks_do_not_hide_the_format() {
        assert_eq!(detect("\u{feff}\n <gpx/>"), Ok(Kind::Xml));
        assert_eq!(detect("\ntime,speed"), Ok(Kind::Columns));
        assert_eq!(detect(" {\"a\":1}"), Err(Error::Json));
        assert_eq!(detect("\u{feff} "), Err(Error::Empty));
    }
}
