//! CSV as spreadsheets write it.

use super::{Cell, Error};
use crate::limits::SHEET_ROWS;

/// The rows with their numbers: fields in quotes may hold separators and line ends (RFC 4180); the separator is the one of comma,
/// semicolon and tab that the first line has most of.
pub(super) fn rows(bytes: &[u8]) -> Result<Vec<(usize, Vec<Cell>)>, Error> {
    let text = String::from_utf8_lossy(bytes);
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    let first = text.lines().next().unwrap_or_default();
    let separator = [',', ';', '\t']
        .into_iter()
        .max_by_key(|separator| (first.matches(*separator).count(), *separator == ','))
        .unwrap_or(',');
    let mut rows = Vec::new();
    let mut cells = Vec::new();
    let mut cell = String::new();
    let mut quoted = false;
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '"' if quoted && chars.next_if_eq(&'"').is_some() => cell.push('"'),
            '"' if quoted || cell.trim().is_empty() => quoted = !quoted,
            '\r' if !quoted => {}
            '\n' if !quoted => {
                cells.push(Cell::Text(std::mem::take(&mut cell)));
                rows.push((rows.len() + 1, std::mem::take(&mut cells)));
                if rows.len() > SHEET_ROWS {
                    return Err(Error::TooLong);
                }
            }
            c if c == separator && !quoted => cells.push(Cell::Text(std::mem::take(&mut cell))),
            c => cell.push(c),
        }
    }
    if !cell.is_empty() || !cells.is_empty() {
        cells.push(Cell::Text(cell));
        rows.push((rows.len() + 1, cells));
    }
    Ok(rows)
}
