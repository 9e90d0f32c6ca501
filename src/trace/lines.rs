//! Line numbers of byte offsets.

use std::ops::Range;

use memchr::{memchr, memchr_iter};

/// Counts lines up to offsets that only grow, so that a whole file is counted once.
#[derive(Debug)]
pub(super) struct Lines<'a> {
    bytes: &'a [u8],
    newline: u8,
    counted: usize,
    line: u64,
    /// The line that the text begins in.
    first: u64,
}

impl<'a> Lines<'a> {
    pub(super) fn of(text: &'a str) -> Self {
        let bytes = text.as_bytes();
        // Files of some old systems end their lines with a bare carriage return.
        let newline = if memchr(b'\n', bytes).is_some() {
            b'\n'
        } else {
            b'\r'
        };
        Self {
            bytes,
            newline,
            counted: 0,
            line: 1,
            first: 1,
        }
    }

    /// Those of a text whose beginning is told to lie in a line.
    pub(super) fn from(text: &'a str, first: u64) -> Self {
        Self {
            line: first,
            first,
            ..Self::of(text)
        }
    }

    /// How many lines end in a part of the text.
    pub(super) fn ends_in(&self, part: Range<usize>) -> u64 {
        let part = self.bytes.get(part).unwrap_or_default();
        memchr_iter(self.newline, part).count() as u64
    }

    /// The same as [`Lines::at`] where `ends` lines are known to end before `offset` and not before `from`, which is not looked at then.
    pub(super) fn at_knowing(&mut self, offset: usize, from: usize, ends: u64) -> u64 {
        if self.counted != from {
            return self.at(offset);
        }
        self.line += ends;
        self.counted = offset;
        self.line
    }

    /// The line, from 1, of the byte at `offset`; of the last line when `offset` lies behind the end.
    pub(super) fn at(&mut self, offset: usize) -> u64 {
        let offset = offset.min(self.bytes.len());
        if offset < self.counted {
            self.counted = 0;
            self.line = self.first;
        }
        self.line += self.ends_in(self.counted..offset);
        self.counted = offset;
        self.line
    }
}

#[cfg(test)]
mod tests {
    use super::Lines;

    #[test]
    fn lines_count_from_one_and_may_be_asked_again() {
        let mut lines = Lines::of("a\nb\r\nc");
        assert_eq!(lines.at(0), 1);
        assert_eq!(lines.at(2), 2);
        assert_eq!(lines.at(5), 3);
        assert_eq!(lines.at(0), 1);
        assert_eq!(lines.at(99), 3);
        assert_eq!(lines.at(0), 1);
        assert_eq!(lines.at_knowing(2, 0, lines.ends_in(0..2)), 2);
        assert_eq!(lines.at_knowing(5, 3, 7), 3);
    }

    #[test]
    fn bare_carriage_returns_end_lines_where_there_is_nothing_else() {
        assert_eq!(Lines::of("a\rb\rc").at(4), 3);
    }
}
