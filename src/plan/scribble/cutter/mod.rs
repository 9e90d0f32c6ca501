//! Cuts a scribbled line into pieces: what stands between two commas, dashes, brackets or full stops.

mod letters;
mod number;
mod sign;

use super::token::{Piece, Token};
use crate::plan::word::{clean, fault, is_dash, is_double_quote, is_single_quote, is_times};

/// The pieces of a line and the comment behind `//`. `None` where it holds what no text has, or a quote that never ends.
pub(super) fn cut(line: &str) -> Option<(Vec<Piece>, Option<String>)> {
    let mut cutter = Cutter {
        chars: line.chars().collect(),
        at: 0,
        pieces: Vec::new(),
        piece: Vec::new(),
    };
    let mut comment = None;
    while let Some(c) = cutter.peek(0) {
        if c == '/' && cutter.peek(1) == Some('/') {
            let rest: String = cutter.chars.iter().skip(cutter.at + 2).collect();
            comment = Some(rest.trim().to_owned());
            break;
        }
        cutter.step(c)?;
    }
    cutter.end_piece();
    Some((cutter.pieces, comment))
}

struct Cutter {
    chars: Vec<char>,
    at: usize,
    pieces: Vec<Piece>,
    piece: Piece,
}

impl Cutter {
    fn peek(&self, ahead: usize) -> Option<char> {
        self.chars.get(self.at + ahead).copied()
    }

    fn digit(&self, ahead: usize) -> bool {
        self.peek(ahead).is_some_and(|c| c.is_ascii_digit())
    }

    fn before(&self) -> Option<char> {
        self.at
            .checked_sub(1)
            .and_then(|at| self.chars.get(at))
            .copied()
    }

    fn end_piece(&mut self) {
        if !self.piece.is_empty() {
            self.pieces.push(std::mem::take(&mut self.piece));
        }
    }

    /// The letters that stand so many signs ahead.
    fn word(&self, ahead: usize) -> String {
        let tail = self.chars.iter().skip(self.at + ahead);
        tail.take_while(|c| c.is_alphabetic()).collect()
    }

    /// What was passed from a place on.
    fn since(&self, start: usize) -> String {
        let passed = self.chars.get(start..self.at);
        passed.unwrap_or_default().iter().collect()
    }

    fn take(&mut self, more: impl Fn(char) -> bool) -> String {
        let text: String = (self.chars.iter().skip(self.at))
            .take_while(|c| more(**c))
            .collect();
        self.at += text.chars().count();
        text
    }

    fn step(&mut self, c: char) -> Option<()> {
        if fault(c).is_some() {
            return None;
        }
        if c.is_ascii_digit() || c == '.' && self.digit(1) || matches!(c, '½' | '¼' | '¾') {
            self.number();
        } else if c.is_numeric() {
            return None;
        } else if is_times(c) {
            self.at += 1;
            self.piece.push(Token::Times);
        } else if c.is_alphabetic() {
            self.letters();
        } else if is_double_quote(c) {
            self.name(is_double_quote)?;
        } else if is_single_quote(c) {
            // A name in single quotes, or a mark that says nothing.
            let tail = self.chars.iter().skip(self.at + 1);
            let closes = tail.take_while(|c| **c != ',').any(|c| is_single_quote(*c));
            if closes {
                self.name(is_single_quote)?;
            } else {
                self.at += 1;
            }
        } else {
            self.sign(c)?;
        }
        Some(())
    }

    fn sign(&mut self, c: char) -> Option<()> {
        let before = self.before();
        let spaced = before.is_none_or(char::is_whitespace);
        self.at += 1;
        match c {
            '=' if self.rests_for_the_work() => {}
            // `r=30s`, `rest = 200 m walk`
            '=' if self.number_is_next()
                && (self.piece.last()).is_some_and(|last| {
                    matches!(
                        last.lower().as_str(),
                        "r" | "rest" | "rec" | "recovery" | "p"
                    )
                }) => {}
            // `30 m, rest: 60 s`, but not `Recovery: jog 20 min`.
            ':' if self.rests_behind_work() => {}
            // `Rest: 90 s`, `rest between reps: 20 s` on a line of its own.
            ':' if self.begins_with_a_rest() && self.number_is_next() => {}
            // `at 95%+`: at least so fast.
            '+' if self.piece.last() == Some(&Token::Percent) => {}
            // `lunges 3 x 10/leg`
            // `planks 3 x 20 s/side`
            '/' if (self.piece.last()).is_some_and(|last| last.is_number() || last.is_unit())
                && self.is_a_side(0) =>
            {
                self.piece.push(Token::word("per"));
            }
            '<' | '=' | '^' => return None,
            '%' | '％' => self.piece.push(Token::Percent),
            '@' => self.piece.push(Token::word("at")),
            '&' => self.piece.push(Token::word("and")),
            // What a bracket multiplies belongs to the number: `6 x (10 m there and back)`.
            '(' | '[' if self.piece.last() == Some(&Token::Times) => {}
            // `3(6 x 30 m)`
            '(' if self.digit(0) && before.is_some_and(|c| c.is_ascii_digit()) => {
                self.piece.push(Token::Times);
            }
            // `1. Sprints`, `10 min warm up. 15 min rondo`, but neither `30 sec. rest` nor `ca. 10 min`.
            '.' => {
                let next = self.chars.iter().skip(self.at).find(|c| !c.is_whitespace());
                let sentence = next.is_some_and(char::is_ascii_digit) && self.ends_a_sentence();
                if sentence || next.is_none_or(|c| c.is_uppercase()) {
                    self.end_piece();
                }
            }
            c if is_dash(c) => {
                let apart = spaced && self.peek(0).is_none_or(char::is_whitespace);
                let word = matches!(self.piece.last(), Some(Token::Word { .. } | Token::Name(_)));
                let between = word && self.digit(0);
                if self.goes_on_with_its_unit() {
                    return Some(());
                }
                if apart && self.goes_on_as_a_range() {
                    return Some(());
                }
                if spaced && self.digit(0) && !word {
                    // It may be a minus.
                    return None;
                }
                if self.peek(0) == Some('>') {
                    self.at += 1;
                    self.end_piece();
                } else if apart || between {
                    self.end_piece();
                }
            }
            // `~10 min`, `_speed_`
            '~' | '_' | '\\' | '$' => {}
            c if c.is_ascii_punctuation()
                || matches!(
                    c,
                    '，' | '：' | '•' | '·' | '→' | '⇒' | '➔' | '➜' | '➡' | '⟶' | '▶' | '…'
                ) =>
            {
                self.end_piece();
            }
            // Blanks, little pictures and marks say nothing.
            _ => {}
        }
        Some(())
    }

    fn name(&mut self, is_quote: fn(char) -> bool) -> Option<()> {
        self.at += 1;
        let name = self.take(|c| !is_quote(c));
        self.peek(0)?;
        self.at += 1;
        let name = clean(&name);
        if name.chars().any(|c| fault(c).is_some()) {
            return None;
        }
        if !name.is_empty() {
            self.piece.push(Token::Name(name));
        }
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::cut;
    use crate::plan::scribble::token::text_of;

    fn pieces(text: &str) -> Vec<String> {
        let (pieces, _) = cut(text).unwrap();
        pieces.iter().map(|piece| text_of(piece)).collect()
    }

    #[test]
    fn a_line_is_cut_where_its_signs_say() {
        assert_eq!(pieces("Warm up - 10 mins"), ["Warm up", "10 mins"]);
        assert_eq!(
            pieces("6x(10m there and back)"),
            ["6 x 10 m there and back"]
        );
        assert_eq!(
            pieces("4x30m @95%, walk-back"),
            ["4 x 30 m at 95%", "walk-back"]
        );
        assert_eq!(pieces("5-a-side 20' (4 v 4)"), ["5-a-side 20 min", "4 v 4"]);
        assert_eq!(
            pieces("10/20/30 🏃 8 x 30\" on/30\" off"),
            ["10/20/30 8 x 30 s on", "30 s off"]
        );
        assert_eq!(cut("speed \"to half"), None);
    }
}
