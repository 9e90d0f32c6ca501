//! Words, with the slashes and figures that belong to them.

use super::Cutter;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::scribble::token::{Token, is_rest};
use crate::plan::word::{is_dash, is_single_quote, is_times};

impl Cutter {
    pub(super) fn letters(&mut self) {
        const WITH_A_SLASH: [&str; 26] = [
            "km/h",
            "m/s",
            "mi/h",
            "km/hr",
            "w/u",
            "c/d",
            "b/w",
            "b/t",
            "w/",
            "w/o",
            "e/s",
            "e/l",
            "e/leg",
            "e/side",
            "e/arm",
            "e/foot",
            "w/b",
            "w/back",
            "min/km",
            "min/kms",
            "mins/kms",
            "mins/km",
            "min/k",
            "min/mile",
            "mins/mile",
            "min/mi",
        ];
        let start = self.at;
        let mut joined = self.before().is_some_and(is_dash)
            && matches!(self.piece.last(), Some(Token::Word { .. }))
            && start > 1
            && self
                .chars
                .get(start - 2)
                .is_some_and(|c| c.is_alphanumeric());
        self.take(|c| c.is_alphabetic() && !is_times(c) || is_single_quote(c));
        if self.peek(0) == Some('/') {
            let at = self.at;
            self.at += 1;
            self.take(char::is_alphabetic);
            let whole = self.since(start);
            if !WITH_A_SLASH.contains(&whole.to_lowercase().as_str()) {
                // Else two words: the slash is a sign of its own.
                self.at = at;
            }
        }
        let mut text = self.since(start);
        if matches!(text.as_str(), "m" | "M") && self.in_minutes_and_seconds(start) {
            "min".clone_into(&mut text);
            self.piece.push(Token::Word { text, joined });
            return;
        }
        if matches!(text.as_str(), "m" | "M") && self.before_is_digit(start) && self.rests_for() {
            self.piece.push(Token::word("min"));
            self.seconds_behind();
            return;
        }
        if matches!(text.as_str(), "percent" | "pct")
            && self.piece.last().is_some_and(Token::is_number)
        {
            self.piece.push(Token::Percent);
            return;
        }
        if matches!(text.as_str(), "x" | "X") {
            self.piece.push(Token::Times);
            return;
        }
        // `U14`, `Z2`: a name with a number.
        // But `r2'` is a rest.
        let rests = matches!(text.as_str(), "r" | "R");
        if text.chars().count() <= 2 && !rests && self.digit(0) && !self.before_is_digit(start) {
            text += &self.take(|c| c.is_ascii_digit());
            // `U15s`
            if self.peek(0) == Some('s') && self.peek(1).is_none_or(|c| !c.is_alphanumeric()) {
                self.at += 1;
                text.push('s');
            }
        }
        // `MD-2`
        if matches!(text.as_str(), "MD" | "md" | "Md")
            && self.peek(0).is_some_and(|c| c == '+' || is_dash(c))
            && self.digit(1)
        {
            text.extend(self.peek(0));
            self.at += 1;
            text += &self.take(|c| c.is_ascii_digit());
        }
        // A slash between two words joins them.
        let per = unit_of(&text.to_lowercase()).is_some() && self.is_a_side(1);
        if self.peek(0) == Some('/') && self.peek(1).is_some_and(char::is_alphabetic) && !per {
            self.at += 1;
        }
        joined &= !text.is_empty();
        self.piece.push(Token::Word { text, joined });
    }

    /// `rest 1m30`: whether the number at the end is that of a rest, and seconds stand behind its unit.
    fn rests_for(&self) -> bool {
        let rest = self.piece.len().checked_sub(2).is_some_and(|at| {
            let word = self.piece.get(at).map(Token::lower).unwrap_or_default();
            is_rest(&word) || is_one_of(&word, "r, rec, p, pause, break, sr")
        });
        let ends = self.peek(2).is_none_or(|c| !c.is_alphanumeric());
        rest && self.digit(0) && self.digit(1) && ends
    }

    /// Whether the `m` at `start` stands in `1m30s`, without a blank.
    fn in_minutes_and_seconds(&self, start: usize) -> bool {
        let tail: String = self.chars.iter().skip(self.at).take(4).collect();
        let digits = tail.chars().take_while(char::is_ascii_digit).count();
        let unit = self.word(digits);
        self.before_is_digit(start)
            && (1..=2).contains(&digits)
            && unit_of(&unit.to_lowercase()) == Some("s")
    }

    fn before_is_digit(&self, at: usize) -> bool {
        at.checked_sub(1)
            .and_then(|at| self.chars.get(at))
            .is_some_and(char::is_ascii_digit)
    }
}
