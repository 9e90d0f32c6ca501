//! The first sheet of a workbook: a ZIP archive (PKWARE APPNOTE 6.3) of XML parts (ECMA-376, `SpreadsheetML`).

use std::io::Read;

use flate2::read::DeflateDecoder;
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use super::{Cell, Error};
use crate::limits::{SHEET_BYTES, SHEET_ROWS};

/// Most columns that are looked at.
const COLUMNS: usize = 64;
/// Most parts of an archive.
const PARTS: usize = 4096;

pub(super) fn rows(bytes: &[u8]) -> Result<Vec<(usize, Vec<Cell>)>, Error> {
    let archive = Archive::of(bytes)?;
    let shared = match archive.part("xl/sharedStrings.xml")? {
        Some(xml) => strings(&xml)?,
        None => Vec::new(),
    };
    let sheet = archive
        .part("xl/worksheets/sheet1.xml")?
        .ok_or(Error::Workbook("it has no first sheet"))?;
    cells(&sheet, &shared)
}

/// The archive by its central directory.
struct Archive<'a> {
    bytes: &'a [u8],
    /// Name, method, packed size and place of the local header.
    parts: Vec<(String, u16, usize, usize)>,
}

const CUT: Error = Error::Workbook("it is cut short");

impl<'a> Archive<'a> {
    fn of(bytes: &'a [u8]) -> Result<Self, Error> {
        // The end record has 22 bytes and a comment of at most 65,535 after it.
        let from = bytes.len().saturating_sub(22 + 65_535);
        let tail = bytes.get(from..).unwrap_or_default();
        let end = (tail.windows(4).rposition(|w| w == b"PK\x05\x06")).ok_or(CUT)? + from;
        let count = usize::from(two(bytes, end + 10)?).min(PARTS);
        let mut at = four(bytes, end + 16)?;
        let mut parts = Vec::new();
        for _ in 0..count {
            if bytes.get(at..at + 4) != Some(b"PK\x01\x02") {
                return Err(CUT);
            }
            let [name, extra, comment] = [28, 30, 32].map(|field| two(bytes, at + field));
            let (name, extra, comment) = (
                usize::from(name?),
                usize::from(extra?),
                usize::from(comment?),
            );
            let text = bytes.get(at + 46..at + 46 + name).ok_or(CUT)?;
            parts.push((
                String::from_utf8_lossy(text).into_owned(),
                two(bytes, at + 10)?,
                four(bytes, at + 20)?,
                four(bytes, at + 42)?,
            ));
            at += 46 + name + extra + comment;
        }
        Ok(Self { bytes, parts })
    }

    /// A part, unpacked; nothing where it is not there.
    fn part(&self, name: &str) -> Result<Option<Vec<u8>>, Error> {
        let Some((_, method, size, at)) = self.parts.iter().find(|part| part.0 == name) else {
            return Ok(None);
        };
        let begin = at
            + 30
            + usize::from(two(self.bytes, at + 26)?)
            + usize::from(two(self.bytes, at + 28)?);
        let packed = self
            .bytes
            .get(begin..begin.saturating_add(*size))
            .ok_or(CUT)?;
        let mut out = Vec::new();
        let read = match method {
            0 => packed.take(SHEET_BYTES + 1).read_to_end(&mut out),
            8 => DeflateDecoder::new(packed)
                .take(SHEET_BYTES + 1)
                .read_to_end(&mut out),
            _ => {
                return Err(Error::Workbook(
                    "it is packed in a way that is not known here",
                ));
            }
        };
        read.map_err(|_| Error::Workbook("it is damaged"))?;
        if out.len() as u64 > SHEET_BYTES {
            return Err(Error::TooLong);
        }
        Ok(Some(out))
    }
}

fn two(bytes: &[u8], at: usize) -> Result<u16, Error> {
    let two = bytes
        .get(at..at.saturating_add(2))
        .and_then(|b| b.try_into().ok());
    two.map(u16::from_le_bytes).ok_or(CUT)
}

fn four(bytes: &[u8], at: usize) -> Result<usize, Error> {
    let four = bytes
        .get(at..at.saturating_add(4))
        .and_then(|b| b.try_into().ok());
    four.and_then(|b| usize::try_from(u32::from_le_bytes(b)).ok())
        .ok_or(CUT)
}

fn next<'x>(reader: &mut Reader<&'x [u8]>) -> Result<Event<'x>, Error> {
    reader
        .read_event()
        .map_err(|_| Error::Workbook("its XML is damaged"))
}

/// The text of what stands between tags, with its entities resolved.
fn push(event: &Event<'_>, out: &mut String) {
    match event {
        Event::Text(text) => out.push_str(text),
        Event::CData(text) => out.push_str(text),
        Event::GeneralRef(name) => out.push_str(&resolved(name)),
        _ => {}
    }
}

fn resolved(name: &str) -> String {
    let number = name
        .strip_prefix('#')
        .and_then(|code| match code.strip_prefix('x') {
            Some(hex) => u32::from_str_radix(hex, 16).ok(),
            None => code.parse().ok(),
        });
    match (name, number.and_then(char::from_u32)) {
        (_, Some(c)) => c.to_string(),
        ("amp", _) => "&".to_owned(),
        ("lt", _) => "<".to_owned(),
        ("gt", _) => ">".to_owned(),
        ("quot", _) => "\"".to_owned(),
        ("apos", _) => "'".to_owned(),
        _ => String::new(),
    }
}

/// The strings that cells share; what is said of their sound is left out.
fn strings(xml: &[u8]) -> Result<Vec<String>, Error> {
    let mut reader = Reader::from_reader(xml);
    let mut strings = Vec::new();
    let mut text = String::new();
    let (mut inside, mut sound) = (false, false);
    loop {
        match next(&mut reader)? {
            Event::Start(tag) if tag.local_name().as_ref() == "si" => text.clear(),
            Event::Start(tag) if tag.local_name().as_ref() == "rPh" => sound = true,
            Event::Start(tag) if tag.local_name().as_ref() == "t" => inside = !sound,
            Event::End(tag) => match tag.local_name().as_ref() {
                "si" => strings.push(std::mem::take(&mut text)),
                "rPh" => sound = false,
                "t" => inside = false,
                _ => {}
            },
            Event::Empty(tag) if tag.local_name().as_ref() == "si" => strings.push(String::new()),
            Event::Eof => return Ok(strings),
            event if inside => push(&event, &mut text),
            _ => {}
        }
    }
}

fn attribute(tag: &BytesStart<'_>, name: &str) -> Option<String> {
    let found = tag
        .attributes()
        .flatten()
        .find(|a| a.key.as_ref() == name)?;
    Some(found.value.into_owned())
}

/// The cells row by row; a row or a cell that is left out in the file is empty.
fn cells(xml: &[u8], shared: &[String]) -> Result<Vec<(usize, Vec<Cell>)>, Error> {
    let mut reader = Reader::from_reader(xml);
    let mut rows: Vec<(usize, Vec<Cell>)> = Vec::new();
    let mut row: Vec<Cell> = Vec::new();
    let mut number = 0;
    let (mut column, mut kind, mut text, mut inside) = (0, String::new(), String::new(), false);
    loop {
        match next(&mut reader)? {
            Event::Start(tag) => match tag.local_name().as_ref() {
                "row" => {
                    number = attribute(&tag, "r")
                        .and_then(|r| r.parse().ok())
                        .unwrap_or(number + 1);
                    column = 0;
                }
                "c" => {
                    column = attribute(&tag, "r")
                        .and_then(|r| place(&r))
                        .unwrap_or(column);
                    kind = attribute(&tag, "t").unwrap_or_default();
                    text.clear();
                }
                "v" | "t" => inside = true,
                _ => {}
            },
            Event::End(tag) => match tag.local_name().as_ref() {
                "v" | "t" => inside = false,
                "c" => {
                    if column < COLUMNS {
                        row.resize(row.len().max(column + 1), Cell::Text(String::new()));
                        if let Some(cell) = row.get_mut(column) {
                            *cell = value(&kind, &text, shared);
                        }
                    }
                    column += 1;
                }
                "row" => {
                    rows.push((number, std::mem::take(&mut row)));
                    if rows.len() > SHEET_ROWS {
                        return Err(Error::TooLong);
                    }
                }
                _ => {}
            },
            Event::Eof => return Ok(rows),
            event if inside => push(&event, &mut text),
            _ => {}
        }
    }
}

/// The column of `C7`, from 0.
fn place(reference: &str) -> Option<usize> {
    let letters = reference.chars().take_while(char::is_ascii_uppercase);
    let number = letters.fold(0_usize, |sum, c| {
        sum.saturating_mul(26)
            .saturating_add(c as usize - 'A' as usize + 1)
    });
    number.checked_sub(1)
}

fn value(kind: &str, text: &str, shared: &[String]) -> Cell {
    match kind {
        "s" => {
            let string = text
                .trim()
                .parse()
                .ok()
                .and_then(|at: usize| shared.get(at));
            Cell::Text(string.cloned().unwrap_or_default())
        }
        "inlineStr" | "str" | "d" | "b" | "e" => Cell::Text(text.to_owned()),
        _ => text
            .trim()
            .parse()
            .map_or_else(|_| Cell::Text(text.to_owned()), Cell::Number),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_of_cells_are_counted_as_letters() {
        assert_eq!(
            [place("A1"), place("C7"), place("Z2"), place("AA3")],
            [Some(0), Some(2), Some(25), Some(26)]
        );
        assert_eq!(place("7"), None);
    }

    #[test]
    fn what_is_no_archive_is_an_error() {
        for bytes in [&b"PK\x03\x04"[..], b"PK\x05\x06", &[0; 30]] {
            assert!(rows(bytes).is_err());
        }
    }
}
