//! Line numbers of byte offsets.

use memchr::{memchr, memchr_iter};

/// Counts lines up to offsets that only grow, so that a whole file is counted once.
#[derive(Debug)]
pub(super) struct Lines<'a> {
    bytes: &'a [u8],
    newline: u8,
    counted: usize,
    line: u64,
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
        }
    }

    /// The line, from 1, of the byte at `offset`; of the last line when `offset` lies behind the end.
    pub(super) fn at(&mut self, offset: usize) -> u64 {
        let offset = offset.min(self.bytes.len());
        if offset < self.counted {
            self.counted = 0;
            self.line = 1;
        }
        if let Some(stretch) = self.bytes.get(self.counted..offset) {
            self.line += memchr_iter(self.newline, stretch).count() as u64;
        }
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
    }

    #[test]
    fn bare_carriage_returns_end_lines_where_there_is_nothing_else() {
        assert_eq!(Lines::of("a\rb\rc").at(4), 3);
    }
}
