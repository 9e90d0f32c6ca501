//! Cuts a text into lines, however their ends are written.

use std::ops::Range;

use crate::plan::Mistake;

/// One line of a text, without its end.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line<'a> {
    /// The whole text.
    pub text: &'a str,
    /// From 1.
    pub number: u32,
    /// First byte of the line in the text.
    pub start: usize,
    /// One past its last byte.
    pub end: usize,
}

impl<'a> Line<'a> {
    /// A text that is one line.
    pub(crate) fn alone(text: &'a str) -> Self {
        Self {
            text,
            number: 1,
            start: 0,
            end: text.len(),
        }
    }

    /// What is written on the line.
    pub(crate) fn content(&self) -> &'a str {
        self.slice(&(self.start..self.end))
    }

    /// What is written in front of its comment, which begins at a byte of the text.
    pub(crate) fn before(&self, comment: Option<usize>) -> &'a str {
        self.slice(&(self.start..comment.unwrap_or(self.end)))
    }

    /// What is written in front of its first `#`, be that a comment or not.
    pub(crate) fn before_hash(&self) -> &'a str {
        self.content().split('#').next().unwrap_or_default()
    }

    /// A part of the text; nothing where the range is none of ours.
    pub(crate) fn slice(&self, span: &Range<usize>) -> &'a str {
        self.text.get(span.clone()).unwrap_or_default()
    }

    /// A mistake at a place on this line.
    pub(crate) fn mistake(&self, span: Range<usize>, message: impl Into<String>) -> Mistake {
        let column = self.slice(&(self.start..span.start)).chars().count() + 1;
        Mistake {
            line: self.number,
            column: u32::try_from(column).unwrap_or(u32::MAX),
            span,
            message: message.into(),
            expected: None,
            suggestion: None,
            lines: Vec::new(),
        }
    }
}

/// The lines of a text; LF, CR LF and a lone CR each end one.
pub(super) fn lines(text: &str) -> impl Iterator<Item = Line<'_>> {
    let mut start = 0;
    let mut number: u32 = 0;
    let mut done = false;
    std::iter::from_fn(move || {
        if done {
            return None;
        }
        let rest = text.get(start..).unwrap_or_default();
        number = number.saturating_add(1);
        let (end, next) = match rest.find(['\n', '\r']) {
            Some(at) => {
                let end = start + at;
                let both = rest.get(at..).is_some_and(|tail| tail.starts_with("\r\n"));
                (end, end + if both { 2 } else { 1 })
            }
            None => (text.len(), text.len()),
        };
        let line = Line {
            text,
            number,
            start,
            end,
        };
        start = next;
        done = next >= text.len();
        Some(line)
    })
}

#[cfg(test)]
mod tests {
    use super::lines;

    fn check(text: &str, expected: &[&str]) {
        let found: Vec<&str> = lines(text).map(|line| line.content()).collect();
        assert_eq!(found, expected);
    }

    #[test]
    fn every_line_end_is_known() {
        check("", &[""]);
        check("a", &["a"]);
        check("a\n", &["a"]);
        check("a\nb\r\nc\rd", &["a", "b", "c", "d"]);
        check("\r\n\r\n\n", &["", "", ""]);
    }
}
