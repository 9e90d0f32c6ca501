//! Cuts a line into words, each with its place. Typography is settled here: after it `x` and `×` are one.

use std::ops::Range;

use crate::plan::Mistake;
use crate::plan::line::Line;

/// Said of brackets, whose words may be more than a remark.
pub(super) const BRACKETS: &str = "brackets are not read";

/// A word, a number or a sign, with its bytes in the text.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Word {
    pub kind: Kind,
    pub span: Range<usize>,
}

/// What a word is.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Kind {
    /// Letters, with a slash inside for units such as `m/s`.
    Letters,
    /// A number as written; it may be far out of bounds, or infinite.
    Number(f64),
    /// `1:30`, in seconds.
    Clock(f64),
    /// `10-20-30` or `15/30/45`: three numbers or more, a rep each.
    List(Vec<f64>),
    /// A name in quotes, without them, its spaces made single.
    Quoted(String),
    /// `x`, `×` or `*`.
    Times,
    /// `,`, `;` or a dash with spaces around it.
    Comma,
    /// `:`
    Colon,
    /// `%`
    Percent,
    /// `'` right after a number.
    MinuteSign,
    /// `"` or `''` right after a number.
    SecondSign,
}

/// A line cut into words.
#[derive(Debug, Default)]
pub(super) struct Words {
    pub list: Vec<Word>,
    /// Where the comment begins, its `#` included.
    pub comment: Option<usize>,
    pub mistakes: Vec<Mistake>,
}

/// Cuts the part of a line from byte `from` on into words.
pub(super) fn words(line: Line<'_>, from: usize) -> Words {
    let mut cutter = Cutter {
        line,
        at: from,
        out: Words::default(),
    };
    while let Some(c) = cutter.peek() {
        cutter.step(c);
    }
    cutter.out
}

struct Cutter<'a> {
    line: Line<'a>,
    at: usize,
    out: Words,
}

impl Cutter<'_> {
    fn rest(&self) -> &str {
        self.line.slice(&(self.at..self.line.end))
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn peek_second(&self) -> Option<char> {
        self.rest().chars().nth(1)
    }

    /// The character just before the cursor, on this line.
    fn before(&self) -> Option<char> {
        let head = self.line.slice(&(self.line.start..self.at));
        head.chars().next_back()
    }

    /// Moves past characters for as long as `more` holds, and returns the bytes passed.
    fn pass(&mut self, more: impl Fn(char) -> bool) -> Range<usize> {
        let start = self.at;
        let length: usize = self
            .rest()
            .chars()
            .take_while(|c| more(*c))
            .map(char::len_utf8)
            .sum();
        self.at += length;
        start..self.at
    }

    fn push(&mut self, kind: Kind, span: Range<usize>) {
        self.out.list.push(Word { kind, span });
    }

    fn wrong(&mut self, span: Range<usize>, message: impl Into<String>) -> &mut Mistake {
        let mistake = self.line.mistake(span, message);
        self.out.mistakes.push_mut(mistake)
    }

    /// Whether a number ends right before the cursor.
    fn after_number(&self) -> bool {
        self.out
            .list
            .last()
            .is_some_and(|word| word.span.end == self.at && matches!(word.kind, Kind::Number(_)))
    }

    fn one(&mut self, c: char, kind: Kind) {
        let start = self.at;
        self.at += c.len_utf8();
        self.push(kind, start..self.at);
    }

    fn step(&mut self, c: char) {
        match c {
            '#' => {
                self.out.comment = Some(self.at);
                self.at = self.line.end;
            }
            c if c.is_whitespace() || is_invisible(c) => self.at += c.len_utf8(),
            c if c.is_ascii_digit() => self.number(self.at),
            '.' if self.peek_second().is_some_and(|c| c.is_ascii_digit()) => self.number(self.at),
            // The point of an abbreviation or at the end of a line.
            '.' => self.at += 1,
            c if is_double_quote(c) => {
                if self.after_number() {
                    self.one(c, Kind::SecondSign);
                } else {
                    self.name();
                }
            }
            c if is_single_quote(c) => self.single_quote(c),
            c if is_times(c) => self.one(c, Kind::Times),
            c if c.is_alphabetic() => self.letters(),
            '/' if self.after_number()
                && self.peek_second().is_some_and(|c| c.is_ascii_digit()) =>
            {
                self.list(|c| c == '/');
            }
            c if vulgar_fraction(c).is_some() => self.number(self.at),
            // Read as the word.
            '&' | '@' => self.one(c, Kind::Letters),
            c if is_dash(c) => self.dash(c),
            ',' | ';' | '，' => self.one(c, Kind::Comma),
            ':' | '：' => self.one(c, Kind::Colon),
            '%' | '％' => self.one(c, Kind::Percent),
            // A bullet in front of the line is layout.
            '•' | '·' | '◦' if self.out.list.is_empty() => self.at += c.len_utf8(),
            c if let Some(message) = fault(c) => {
                let span = self.pass(|next| fault(next) == Some(message));
                self.wrong(span, message).expected = Some("plain text, saved as UTF-8".to_owned());
            }
            '(' | '[' | '{' => {
                let start = self.at;
                self.pass(|c| !matches!(c, ')' | ']' | '}' | '#'));
                if let Some(c @ (')' | ']' | '}')) = self.peek() {
                    self.at += c.len_utf8();
                }
                let end = start + self.line.slice(&(start..self.at)).trim_end().len();
                self.wrong(start..end, BRACKETS).expected =
                    Some("remarks behind a `#` at the end of the line".to_owned());
            }
            _ => {
                let start = self.at;
                self.pass_one();
                self.pass(is_strange);
                let span = start..self.at;
                let sign = self.line.slice(&span).to_owned();
                self.wrong(span, format!("`{sign}` is not read here"));
            }
        }
    }

    fn letters(&mut self) {
        let start = self.at;
        loop {
            self.pass(|c| c.is_alphabetic() && !is_times(c));
            // A slash or an apostrophe between letters belongs to the word.
            let joins = matches!(self.peek(), Some('/' | '\'' | '\u{2019}'))
                && self.peek_second().is_some_and(char::is_alphabetic);
            if !joins {
                break;
            }
            self.pass(|c| matches!(c, '/' | '\'' | '\u{2019}'));
        }
        let span = start..self.at;
        let times = matches!(self.line.slice(&span), "x" | "X");
        self.push(if times { Kind::Times } else { Kind::Letters }, span);
    }

    /// A number from `start` on, which may lie at a minus sign before the cursor's digits.
    fn number(&mut self, start: usize) {
        let first = self.at;
        let whole = self.pass(|c| c.is_ascii_digit());
        let mut fraction = None;
        if let Some(mark @ ('.' | ',')) = self.peek()
            && self.peek_second().is_some_and(|c| c.is_ascii_digit())
        {
            self.at += 1;
            fraction = Some((mark, self.pass(|c| c.is_ascii_digit())));
        }
        if let Some('e' | 'E') = self.peek() {
            let sign = usize::from(matches!(self.peek_second(), Some('+' | '-')));
            if self
                .rest()
                .chars()
                .nth(1 + sign)
                .is_some_and(|c| c.is_ascii_digit())
            {
                self.at += 1 + sign;
                self.pass(|c| c.is_ascii_digit());
            }
        }
        let written = self.line.slice(&(first..self.at)).replace(',', ".");
        let mut value: f64 = if written.is_empty() {
            0.0
        } else {
            written.parse().unwrap_or(f64::INFINITY)
        };
        if fraction.is_none()
            && self.peek() == Some(' ')
            && self.peek_second().and_then(vulgar_fraction).is_some()
        {
            self.at += 1;
        }
        if fraction.is_none()
            && let Some(part) = self.peek().and_then(vulgar_fraction)
        {
            self.pass_one();
            value += part;
        }
        let span = start..self.at;
        if let Some((',', decimals)) = &fraction
            && decimals.len() == 3
            && self.line.slice(&whole).parse::<f64>() != Ok(0.0)
        {
            let plain = self.line.slice(&span).replace(',', "");
            let point = self.line.slice(&span).replace(',', ".");
            self.wrong(span.clone(), "this comma can mean thousands or a fraction")
                .expected = Some(format!("`{plain}` or `{point}`"));
        }
        let value = if start < first { -value } else { value };
        if fraction.is_none()
            && self.peek() == Some(':')
            && self.peek_second().is_some_and(|c| c.is_ascii_digit())
        {
            self.clock(span, value);
        } else {
            self.push(Kind::Number(value), span);
        }
    }

    /// The seconds of `1:30`, from the colon on.
    fn clock(&mut self, minutes_span: Range<usize>, minutes: f64) {
        self.at += 1;
        let digits = self.pass(|c| c.is_ascii_digit());
        if self.peek() == Some('.') && self.peek_second().is_some_and(|c| c.is_ascii_digit()) {
            self.at += 1;
            self.pass(|c| c.is_ascii_digit());
        }
        let seconds_text = self.line.slice(&(digits.start..self.at));
        let seconds: f64 = seconds_text.parse().unwrap_or(f64::INFINITY);
        let hours =
            self.peek() == Some(':') && self.peek_second().is_some_and(|c| c.is_ascii_digit());
        if hours {
            self.at += 1;
            self.pass(|c| c.is_ascii_digit());
        }
        let span = minutes_span.start..self.at;
        if hours {
            self.wrong(span.clone(), "a time with hours is not read")
                .expected = Some("minutes, such as `75 min`".to_owned());
        } else if digits.len() != 2 || seconds >= 60.0 {
            self.wrong(span.clone(), "this is no time in minutes and seconds")
                .expected = Some("two digits up to 59 behind the colon, such as `1:30`".to_owned());
        }
        self.push(Kind::Clock(minutes * 60.0 + seconds), span);
    }

    /// The numbers behind the one just passed, each behind a sign: three or more are the reps of a set, two could be a
    /// range.
    fn list(&mut self, is_sign: fn(char) -> bool) {
        let first = self.out.list.last().map_or(self.at, |word| word.span.start);
        let mut values: Vec<f64> = match self.out.list.last() {
            Some(Word {
                kind: Kind::Number(value),
                ..
            }) => vec![*value],
            _ => Vec::new(),
        };
        let sign_at = self.at;
        while self.peek().is_some_and(is_sign)
            && self.peek_second().is_some_and(|c| c.is_ascii_digit())
        {
            self.pass_one();
            let digits = self.pass(|c| c.is_ascii_digit());
            if matches!(self.peek(), Some('.' | ','))
                && self.peek_second().is_some_and(|c| c.is_ascii_digit())
            {
                self.pass_one();
                self.pass(|c| c.is_ascii_digit());
            }
            let written = self.line.slice(&(digits.start..self.at)).replace(',', ".");
            values.push(written.parse().unwrap_or(f64::INFINITY));
        }
        if values.len() > 2 {
            self.out.list.pop();
            self.push(Kind::List(values), first..self.at);
            return;
        }
        let slash = self.line.slice(&(sign_at..self.at)).starts_with('/');
        let (message, expected) = if slash {
            (
                "two numbers with a slash can be work and rest, or two reps",
                "`8 x 30 s, rest 30 s` for work and rest; three numbers or more, such as `15/30/15 s`, are a rep each",
            )
        } else {
            (
                "a range is not read",
                "one number; three or more, such as `10-20-10 m`, are a rep each",
            )
        };
        self.wrong(first..self.at, message).expected = Some(expected.to_owned());
    }

    fn single_quote(&mut self, c: char) {
        let start = self.at;
        let next = self.peek_second();
        let minute =
            self.out.list.last().is_some_and(|word| {
                word.span.end == self.at && matches!(word.kind, Kind::MinuteSign)
            });
        if self.after_number() {
            if next.is_some_and(is_single_quote) {
                self.pass(is_single_quote);
                self.push(Kind::SecondSign, start..self.at);
            } else {
                self.one(c, Kind::MinuteSign);
            }
        } else if minute {
            self.at += c.len_utf8();
        } else {
            // A name in single quotes, up to the last of them before a comma.
            let tail = self.rest();
            let part = tail.split([',', ';', '#']).next().unwrap_or_default();
            let length = part
                .char_indices()
                .skip(1)
                .filter(|(_, c)| is_single_quote(*c))
                .last()
                .map_or(c.len_utf8(), |(at, c)| at + c.len_utf8());
            let inside: String = part
                .get(..length)
                .unwrap_or_default()
                .trim_matches(is_single_quote)
                .to_owned();
            self.at += length;
            let mistake = self.wrong(start..start + length, "a name stands in double quotes");
            if !inside.is_empty() {
                mistake.suggestion = Some(format!("\"{inside}\""));
            }
        }
    }

    fn name(&mut self) {
        let start = self.at;
        self.pass_one();
        let inside = self.pass(|c| !is_double_quote(c));
        let closed = self.peek().is_some();
        if closed {
            self.pass_one();
        }
        let raw = self.line.slice(&inside);
        let unreadable = raw.char_indices().find_map(|(at, c)| {
            let start = inside.start + at;
            fault(c).map(|message| (start..start + c.len_utf8(), message))
        });
        let name = clean(raw);
        if let Some((span, message)) = unreadable {
            self.wrong(span, message);
        }
        if !closed {
            self.wrong(start..inside.start, "this name has no closing quote")
                .expected = Some("a second `\"` behind the name".to_owned());
        }
        self.push(Kind::Quoted(name), start..self.at);
    }

    fn pass_one(&mut self) {
        if let Some(c) = self.peek() {
            self.at += c.len_utf8();
        }
    }

    fn dash(&mut self, c: char) {
        let start = self.at;
        let before = self.before();
        let next = self.peek_second();
        self.at += c.len_utf8();
        let open_before = before.is_none_or(|c| c.is_whitespace() || is_invisible(c));
        let digit_next = next.is_some_and(|c| c.is_ascii_digit());
        if digit_next
            && self.out.list.last().is_some_and(|word| {
                word.span.end == start && matches!(word.kind, Kind::Number(_) | Kind::Clock(_))
            })
        {
            self.at = start;
            self.list(is_dash);
        } else if digit_next && open_before && !self.out.list.is_empty() {
            self.number(start);
        } else if open_before && next.is_none_or(|c| c.is_whitespace() || c.is_alphabetic()) {
            // In front of the line a bullet, further on the mark between two phrases.
            if !self.out.list.is_empty() {
                self.push(Kind::Comma, start..self.at);
            }
        }
        // Else a hyphen between two parts of a word: `warm-up`, `12-min`.
    }
}

/// The text with its spaces made single and none at its ends.
pub(super) fn clean(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The letters that a text begins with.
pub(super) fn letters(text: &str) -> &str {
    let behind = text.trim_start_matches(char::is_alphabetic);
    text.get(..text.len() - behind.len()).unwrap_or_default()
}

/// Whether a text is a whole number in figures, and nothing else.
pub(super) fn is_figures(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

pub(super) fn is_double_quote(c: char) -> bool {
    matches!(
        c,
        '"' | '“' | '”' | '„' | '‟' | '«' | '»' | '″' | '〃' | '＂'
    )
}

pub(super) fn is_single_quote(c: char) -> bool {
    matches!(c, '\'' | '‘' | '’' | '‚' | '‛' | '′' | '´' | '`')
}

pub(super) fn is_times(c: char) -> bool {
    matches!(c, '×' | '✕' | '✖' | '⨯' | '*')
}

pub(super) fn is_dash(c: char) -> bool {
    matches!(c, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}')
}

/// What a sign such as `½` is worth.
fn vulgar_fraction(c: char) -> Option<f64> {
    match c {
        '¼' => Some(0.25),
        '½' => Some(0.5),
        '¾' => Some(0.75),
        _ => None,
    }
}

/// Characters that phones and editors put in unseen: a byte-order mark, zero-width spaces, soft hyphens, direction marks.
pub(super) fn is_invisible(c: char) -> bool {
    matches!(
        c,
        '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}' | '\u{fe0e}' | '\u{fe0f}'
    )
}

/// What is wrong with a character that no text has.
pub(super) fn fault(c: char) -> Option<&'static str> {
    match c {
        '\0' => Some("a NUL byte is no part of a plan"),
        // What `decode` puts for bytes that are not UTF-8.
        '\u{fffd}' => Some("these bytes are not text in UTF-8"),
        c if c.is_control() && !c.is_whitespace() => {
            Some("a control character is no part of a plan")
        }
        _ => None,
    }
}

/// What no rule knows, so that a run of it makes one mistake.
fn is_strange(c: char) -> bool {
    !(c.is_alphanumeric() && c.is_ascii()
        || c.is_alphabetic()
        || c.is_whitespace()
        || c.is_control()
        || is_invisible(c)
        || is_double_quote(c)
        || is_single_quote(c)
        || is_times(c)
        || is_dash(c)
        || matches!(
            c,
            '#' | '.' | ',' | ';' | ':' | '%' | '(' | '[' | '{' | '@' | '\u{fffd}'
        ))
}
