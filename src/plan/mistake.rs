//! A mistake in a plan: its line, its place, what was expected; and how it is shown.

use std::fmt::{self, Write as _};
use std::ops::Range;

use anstyle::{AnsiColor, Style};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Something in a plan that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// Bytes of the text that are wrong; empty where something is missing.
    pub span: Range<usize>,
    /// What is wrong, one plain sentence without a full stop.
    pub message: String,
    /// What could stand there.
    pub expected: Option<String>,
    /// What was probably meant: the text to put in the place of `span`.
    pub suggestion: Option<String>,
    /// The whole line as it probably was meant, ready to copy; several where it can mean several things. What takes more lines
    /// than one has them in one, with line ends between them. Said at the last mistake of the line.
    pub lines: Vec<String>,
}

impl Mistake {
    pub(super) fn expecting(mut self, expected: impl Into<String>) -> Self {
        self.expected = Some(expected.into());
        self
    }

    pub(super) fn suggesting(mut self, suggestion: Option<impl Into<String>>) -> Self {
        self.suggestion = suggestion.map(Into::into);
        self
    }
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "line {}, column {}: {}",
            self.line, self.column, self.message
        )?;
        if let [line] = self.lines.as_slice() {
            write!(f, "; did you mean: {}", line.replace('\n', "  and: "))?;
        } else if !self.lines.is_empty() {
            let lines = self.lines.join("  or: ").replace('\n', "  and: ");
            write!(f, "; did you mean: {lines}")?;
        } else if let Some(suggestion) = &self.suggestion {
            write!(f, "; did you mean `{suggestion}`?")?;
        } else if let Some(expected) = &self.expected {
            write!(f, "; expected {expected}")?;
        }
        Ok(())
    }
}

/// How many mistakes are shown before the rest is only counted.
const SHOWN: usize = 20;
/// Columns of a terminal that we may use.
const WIDTH: usize = 80;

/// Shows mistakes as a player reads them: file and line, the line itself, a caret under the word, what was expected.
///
/// `name` is the name of the file, `text` what was given to [`parse`](crate::plan::parse()). With `color` the text
/// carries ANSI styles; it reads the same without.
#[must_use]
pub fn render(name: &str, text: &str, mistakes: &[Mistake], color: bool) -> String {
    let style = |style: Style| if color { style } else { Style::new() };
    let error = style(AnsiColor::Red.on_default().bold());
    let frame = style(AnsiColor::Cyan.on_default());
    let help = style(Style::new().bold());
    let mut out = String::new();
    for mistake in mistakes.iter().take(SHOWN) {
        let shown = excerpt(text, mistake);
        let number = mistake.line.to_string();
        let margin = " ".repeat(number.len());
        // Writing to a String cannot fail.
        let _ = writeln!(
            out,
            "{error}mistake{error:#} in {}:{}:{}: {}",
            printable(name),
            mistake.line,
            mistake.column,
            mistake.message
        );
        let _ = writeln!(out, " {frame}{number} |{frame:#} {}", shown.line);
        let _ = writeln!(
            out,
            " {frame}{margin} |{frame:#} {}{error}{}{error:#}",
            " ".repeat(shown.before),
            "^".repeat(shown.under)
        );
        if let Some(suggestion) = &mistake.suggestion
            && mistake.lines.is_empty()
        {
            let _ = writeln!(
                out,
                " {margin} {frame}={frame:#} did you mean `{help}{}{help:#}`?",
                printable(suggestion)
            );
        }
        if let Some(expected) = &mistake.expected {
            for (index, row) in wrap(expected, WIDTH - 14 - number.len()).iter().enumerate() {
                let lead = if index == 0 { "expected" } else { "        " };
                let mark = if index == 0 { "=" } else { " " };
                let _ = writeln!(out, " {margin} {frame}{mark}{frame:#} {lead} {row}");
            }
        }
        // Each on a line of its own and never broken, so that it can be copied.
        for (index, line) in mistake.lines.iter().enumerate() {
            let lead = if index == 0 { "did you mean:" } else { "or:" };
            let rows: Vec<String> = line.split('\n').map(printable).collect();
            let line = rows.join("\n");
            let broken = rows.len() > 1 || lead.len() + line.width() + 6 + number.len() > WIDTH;
            let gap = if broken { "\n" } else { " " };
            let _ = writeln!(
                out,
                " {margin} {frame}={frame:#} {lead}{gap}{help}{line}{help:#}"
            );
        }
        out.push('\n');
    }
    let hidden = mistakes.len().saturating_sub(SHOWN);
    if hidden > 0 {
        let _ = writeln!(out, "... and {hidden} more like these\n");
    }
    let lines = match mistakes.len() {
        1 => "1 mistake".to_owned(),
        n => format!("{n} mistakes"),
    };
    let _ = writeln!(out, "{lines} in {}; nothing was guessed", printable(name));
    out
}

/// The part of a line that is shown, and where the carets go, in columns.
struct Excerpt {
    line: String,
    before: usize,
    under: usize,
}

/// Cuts a long line so that the place of the mistake stays in view.
fn excerpt(text: &str, mistake: &Mistake) -> Excerpt {
    let room = WIDTH - 5 - mistake.line.to_string().len();
    let head = text.get(..mistake.span.start).unwrap_or_default();
    let tail = text.get(mistake.span.end..).unwrap_or_default();
    let line_start = head.rfind(['\n', '\r']).map_or(0, |at| at + 1);
    let before = printable(head.get(line_start..).unwrap_or_default());
    let wrong = printable(text.get(mistake.span.clone()).unwrap_or_default());
    let after = printable(tail.split(['\n', '\r']).next().unwrap_or_default());

    let wrong = keep_start(&wrong, room - 10);
    let mut shown = before;
    let most = (room - wrong.width()) * 2 / 3;
    if shown.width() + wrong.width() + after.width() > room && shown.width() > most {
        shown = keep_end(&shown, most);
    }
    let columns = shown.width();
    let after = keep_start(&after, room.saturating_sub(columns + wrong.width()));
    Excerpt {
        before: columns,
        under: wrong.width().max(1),
        line: format!("{shown}{wrong}{after}").trim_end().to_owned(),
    }
}

/// The text with everything that would move the cursor replaced by a visible stand-in.
fn printable(text: &str) -> String {
    text.chars()
        .filter(|c| c.width() != Some(0) || c.is_control())
        .map(|c| match c {
            '\u{0}' => '\u{2400}',
            c if c.is_whitespace() => ' ',
            c if c.is_control() => '\u{fffd}',
            c => c,
        })
        .collect()
}

fn keep_start(text: &str, columns: usize) -> String {
    if text.width() <= columns {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut used = 3;
    for c in text.chars() {
        used += c.width().unwrap_or(0);
        if used > columns {
            break;
        }
        out.push(c);
    }
    out.push_str("...");
    out
}

fn keep_end(text: &str, columns: usize) -> String {
    let backwards: String = text.chars().rev().collect();
    keep_start(&backwards, columns).chars().rev().collect()
}

fn wrap(text: &str, columns: usize) -> Vec<String> {
    let mut rows: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match rows.last_mut() {
            Some(row) if row.width() + 1 + word.width() <= columns => {
                row.push(' ');
                row.push_str(word);
            }
            _ => rows.push(word.to_owned()),
        }
    }
    rows
}
