//! Lines of a table, and their cells.

use csv_core::{ReadRecordResult, Reader, ReaderBuilder};

use crate::limits::TABLE_CELLS as CELLS;
pub(super) use crate::limits::TABLE_LINE_BYTES as LINE;

/// A line of a text, without its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Line<'a> {
    /// From 1.
    pub number: u64,
    pub text: &'a str,
    /// Whether a line end follows; without one the file may have been cut off here.
    pub ended: bool,
}

impl Line<'_> {
    /// A blank line or a comment.
    pub(super) fn is_no_row(&self) -> bool {
        let text = self.text.trim_start();
        text.is_empty() || text.starts_with('#')
    }
}

/// The lines of a text.
///
/// A row is one line: a quotation mark that is never closed spoils its own row and not the rest of the file.
pub(super) fn lines(text: &str) -> impl Iterator<Item = Line<'_>> {
    // Files of some old systems end their lines with a bare carriage return.
    let newline = if text.as_bytes().contains(&b'\n') {
        '\n'
    } else {
        '\r'
    };
    text.split_inclusive(newline)
        .zip(1..)
        .map(move |(line, number)| {
            let (text, ended) = match line.strip_suffix(newline) {
                Some(text) => (text, true),
                None => (line, false),
            };
            Line {
                number,
                text: text.strip_suffix('\r').unwrap_or(text),
                ended,
            }
        })
}

/// Splits lines at a delimiter, with the quoting of RFC 4180.
pub(super) struct Splitter {
    reader: Reader,
    cells: Vec<u8>,
    ends: Vec<usize>,
}

/// The cells of one line.
#[derive(Clone, Copy)]
pub(super) struct Row<'a> {
    cells: &'a [u8],
    ends: &'a [usize],
}

impl Splitter {
    /// A splitter for one of the ASCII delimiters.
    pub(super) fn at(delimiter: char) -> Self {
        let mut builder = ReaderBuilder::new();
        builder.delimiter(u8::try_from(delimiter).unwrap_or(b','));
        Self {
            reader: builder.build(),
            cells: Vec::new(),
            ends: vec![0; CELLS],
        }
    }

    /// The cells of `line`; `None` when it is too long or has too many.
    pub(super) fn split(&mut self, line: &str) -> Option<Row<'_>> {
        if line.len() > LINE {
            return None;
        }
        if self.cells.len() < line.len() {
            self.cells.resize(line.len(), 0);
        }
        self.reader.reset();
        let mut input = line.as_bytes();
        let (mut written, mut ended) = (0, 0);
        loop {
            let (result, read, wrote, ends) = self.reader.read_record(
                input,
                self.cells.get_mut(written..)?,
                self.ends.get_mut(ended..)?,
            );
            input = input.get(read..)?;
            written += wrote;
            ended += ends;
            match result {
                ReadRecordResult::Record | ReadRecordResult::End => break,
                ReadRecordResult::InputEmpty => {}
                ReadRecordResult::OutputFull | ReadRecordResult::OutputEndsFull => return None,
            }
        }
        Some(Row {
            cells: self.cells.get(..written)?,
            ends: self.ends.get(..ended)?,
        })
    }
}

impl<'a> Row<'a> {
    /// The cell, without the spaces around it; empty where the row is too short.
    pub(super) fn get(&self, index: usize) -> &'a str {
        let cell = || {
            let end = *self.ends.get(index)?;
            let start = match index.checked_sub(1) {
                Some(before) => *self.ends.get(before)?,
                None => 0,
            };
            std::str::from_utf8(self.cells.get(start..end)?).ok()
        };
        cell().unwrap_or_default().trim()
    }

    /// All cells in order.
    pub(super) fn cells(self) -> impl Iterator<Item = &'a str> {
        (0..self.ends.len()).map(move |i| self.get(i))
    }

    /// Cells up to the last that is not empty.
    pub(super) fn used(&self) -> usize {
        (0..self.ends.len())
            .rev()
            .find(|i| !self.get(*i).is_empty())
            .map_or(0, |i| i + 1)
    }

    /// Cells, the empty ones at the end counted too.
    pub(super) fn len(&self) -> usize {
        self.ends.len()
    }
}

/// A cell that says it holds nothing.
pub(super) fn is_blank(cell: &str) -> bool {
    cell.is_empty()
        || matches!(cell, "-" | "--" | "---")
        || ["na", "n/a", "null", "none"]
            .iter()
            .any(|word| cell.eq_ignore_ascii_case(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(delimiter: char, line: &str, expected: &[&str]) {
        let mut splitter = Splitter::at(delimiter);
        let row = splitter.split(line).expect("a short line");
        assert_eq!(row.cells().collect::<Vec<_>>(), expected, "{line}");
    }

    #[test]
    fn cells_and_quotes() {
        check(',', "a, b ,,d", &["a", "b", "", "d"]);
        check(
            ';',
            "1,5;\"2;3\";\"say \"\"hi\"\"\"",
            &["1,5", "2;3", "say \"hi\""],
        );
        check('\t', "a\tb\t", &["a", "b", ""]);
        check(
            ',',
            "\"never closed, so one cell",
            &["never closed, so one cell"],
        );
        check(',', "é,ü", &["é", "ü"]);
        check(',', "", &[]);
    }

    #[test]
    fn rows_that_are_none() {
        let mut splitter = Splitter::at(',');
        assert!(splitter.split(&"x".repeat(LINE + 1)).is_none());
        assert!(splitter.split(&",".repeat(CELLS)).is_none());
        assert!(splitter.split("a,b").is_some_and(|row| row.len() == 2));
    }

    #[test]
    fn line_ends() {
        let all = |text| {
            lines(text)
                .map(|line| (line.number, line.text, line.ended))
                .collect::<Vec<_>>()
        };
        assert_eq!(
            all("a\r\nb\nc"),
            [(1, "a", true), (2, "b", true), (3, "c", false)]
        );
        assert_eq!(all("a\rb\r"), [(1, "a", true), (2, "b", true)]);
        assert_eq!(all(""), []);
    }
}
