//! A number, and what belongs to it: a unit's sign, the other side of a game, the rest of a sum.

use super::Cutter;
use crate::plan::phrase::unit_of;
use crate::plan::scribble::token::Token;
use crate::plan::word::{is_dash, is_double_quote, is_single_quote, letters};

impl Cutter {
    pub(super) fn number(&mut self) {
        let start = self.at;
        let joins = |c: char| matches!(c, '.' | ',' | ':' | '/') || is_dash(c);
        loop {
            self.take(|c| c.is_ascii_digit() || matches!(c, '½' | '¼' | '¾'));
            if self.peek(0).is_some_and(joins) && self.digit(1) {
                self.at += 1;
            } else {
                break;
            }
        }
        let number = self.since(start);
        if let Some(sides) = self.sides(&number) {
            self.piece.push(Token::word(&sides));
            return;
        }
        // `1) warm up 10 min 2) rondo 10 min`: the mark of a list, where no bracket is open.
        let ahead = self.chars.get(..start).unwrap_or_default();
        let open = ahead.iter().filter(|c| **c == '(').count();
        let closed = ahead.iter().filter(|c| **c == ')').count();
        if self.peek(0) == Some(')') && open <= closed && number.len() <= 2 {
            self.at += 1;
            self.end_piece();
            return;
        }
        // `2-touch`, but not `12-min`.
        if self.peek(0).is_some_and(is_dash) && self.peek(1).is_some_and(char::is_alphabetic) {
            let word = self.word(1);
            if unit_of(&word.to_lowercase()).is_none() {
                self.at += 1 + word.chars().count();
                self.piece.push(Token::word(&format!("{number}-{word}")));
                return;
            }
        }
        // The `11+` of a warm-up is its name.
        if number == "11" && self.peek(0) == Some('+') && !self.digit(1) {
            self.at += 1;
            self.piece.push(Token::word("11+"));
            return;
        }
        // `a turn of 180°`
        if self.peek(0) == Some('\u{b0}') {
            self.at += 1;
            self.piece.push(Token::word(&format!("{number}\u{b0}")));
            return;
        }
        if let Some(ordinal) = self.ordinal(&number) {
            self.piece.push(Token::word(&ordinal));
            return;
        }
        // `4:00/km`
        if number.contains(':') && self.peek(0) == Some('/') {
            let unit = self.word(1);
            if matches!(
                unit.to_lowercase().as_str(),
                "km" | "kms" | "k" | "mile" | "miles"
            ) {
                self.at += 1 + unit.chars().count();
                self.piece.push(Token::word(&format!("{number}/{unit}")));
                return;
            }
        }
        // `(10+10)`: two ways of one rep, which is no amount.
        if self.peek(0) == Some('+') && self.digit(1) && self.is_a_sum_of_ways() {
            self.at += 1;
            let more = self.take(|c| c.is_ascii_digit() || c == '+');
            self.piece.push(Token::word(&format!("{number}+{more}")));
            return;
        }
        self.piece.push(Token::Number(number));
        // `90"`, `10'`, right behind the number.
        if let Some(c) = self.peek(0) {
            let double = is_double_quote(c)
                || is_single_quote(c) && self.peek(1).is_some_and(is_single_quote);
            if double {
                self.at += if is_double_quote(c) { 1 } else { 2 };
                self.piece.push(Token::word("s"));
            } else if is_single_quote(c) {
                self.at += 1;
                self.piece.push(Token::word("min"));
                self.seconds_behind();
            }
        }
    }

    /// Whether a bracket closes behind the numbers of a sum, or it is one of ways: `20+20 m`.
    fn is_a_sum_of_ways(&self) -> bool {
        let tail = self.chars.iter().skip(self.at);
        let behind = tail.skip_while(|c| c.is_ascii_digit() || **c == '+');
        let behind: String = behind.take(6).collect::<String>().to_lowercase();
        let behind = behind.trim_start();
        behind.starts_with(')') || matches!(unit_of(letters(behind)), Some("m" | "yd"))
    }

    /// `1'30`, behind the sign: seconds without a sign of their own.
    pub(super) fn seconds_behind(&mut self) {
        let more = |ahead| self.peek(ahead).is_some_and(char::is_alphanumeric);
        let signed = self
            .peek(2)
            .is_some_and(|c| is_double_quote(c) || is_single_quote(c));
        if self.digit(0) && self.digit(1) && !more(2) && !signed {
            let seconds = self.take(|c| c.is_ascii_digit());
            self.piece
                .extend([Token::Number(seconds), Token::word("s")]);
        }
    }

    /// `4v4`, `4 vs 4`, `5-a-side`, behind the first number.
    fn sides(&mut self, number: &str) -> Option<String> {
        let tail: String = self
            .chars
            .iter()
            .skip(self.at)
            .take(12)
            .collect::<String>()
            .to_lowercase();
        let begins = |mark: &str| tail.strip_prefix(mark);
        for mark in ["-a-side", " a side", "-a side", " a-side", " aside"] {
            if begins(mark).is_some_and(|rest| !rest.starts_with(char::is_alphabetic)) {
                self.at += mark.chars().count();
                return Some(format!("{number}-a-side"));
            }
        }
        for mark in [
            "v", " v ", "vs", " vs ", " vs. ", " contro ", " gegen ", " contre ", " contra ",
        ] {
            let Some(rest) = begins(mark) else { continue };
            let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
            if !digits.is_empty() {
                self.at += mark.chars().count() + digits.len();
                // `4v4+2`
                let plus = self.peek(0) == Some('+') && self.digit(1);
                let more: String = if plus {
                    self.at += 1;
                    format!("+{}", self.take(|c| c.is_ascii_digit()))
                } else {
                    String::new()
                };
                // `1v1s`
                if self.peek(0) == Some('s') && self.peek(1).is_none_or(|c| !c.is_alphabetic()) {
                    self.at += 1;
                }
                let spaced = if mark.starts_with(' ') { " v " } else { "v" };
                return Some(format!("{number}{spaced}{digits}{more}"));
            }
        }
        None
    }

    fn ordinal(&mut self, number: &str) -> Option<String> {
        let tail: String = self.chars.iter().skip(self.at).take(2).collect();
        let ends = self.peek(2).is_none_or(|c| !c.is_alphabetic());
        (ends && ["st", "nd", "rd", "th"].contains(&tail.to_lowercase().as_str())).then(|| {
            self.at += 2;
            format!("{number}{tail}")
        })
    }
}
