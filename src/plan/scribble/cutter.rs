//! Cuts a scribbled line into pieces: what stands between two commas, dashes, brackets or full stops.

use super::token::{Piece, SIDES, Token, is_rest};
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::word::{
    clean, fault, is_dash, is_double_quote, is_single_quote, is_times, letters,
};

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

    /// `10m-20m-10m`, behind the dash: a list whose unit stands behind each of its numbers. Passes the next number.
    fn goes_on_with_its_unit(&mut self) -> bool {
        let [.., Token::Number(_), unit] = self.piece.as_slice() else {
            return false;
        };
        let Some(unit) = unit_of(&unit.lower()) else {
            return false;
        };
        let tail = self.chars.get(self.at..).unwrap_or_default();
        let digits = tail.iter().take_while(|c| c.is_ascii_digit()).count();
        let behind = tail.iter().skip(digits).take_while(|c| c.is_alphabetic());
        let behind: String = behind.flat_map(|c| c.to_lowercase()).collect();
        if digits == 0 || unit_of(&behind) != Some(unit) {
            return false;
        }
        let next = self.take(|c| c.is_ascii_digit());
        self.piece.pop();
        if let Some(Token::Number(list)) = self.piece.last_mut() {
            *list = format!("{list}-{next}");
        }
        true
    }

    /// `10 - 15 min`, `rest 30 - 45 s`, behind the dash: the ends of a range with blanks around it. Passes its other end.
    fn goes_on_as_a_range(&mut self) -> bool {
        let [ahead @ .., Token::Number(low)] = self.piece.as_slice() else {
            return false;
        };
        let rests = ahead.first().is_some_and(|first| is_rest(&first.lower()));
        let tail: String = self.chars.iter().skip(self.at).collect();
        let behind = tail.trim_start();
        let after = behind.trim_start_matches(|c: char| c.is_ascii_digit());
        let Some(high) = behind.get(..behind.len() - after.len()) else {
            return false;
        };
        let unit = letters(after.trim_start());
        let timed = match unit_of(&unit.to_lowercase()) {
            Some("min") => true,
            Some("s") => rests,
            _ => false,
        };
        let ends = [low, high].map(|end| end.parse::<u32>().ok());
        let ascends = matches!(ends, [Some(low), Some(high)] if low < high);
        if !timed || !ascends {
            return false;
        }
        let range = Token::Number(format!("{low}-{high}"));
        self.at += tail.chars().count() - after.chars().count();
        self.piece.pop();
        self.piece.push(range);
        true
    }

    /// Whether the word in front of a full stop is written out, behind a number.
    fn ends_a_sentence(&self) -> bool {
        const SHORT: &str = "ca, approx, no, nr, min, max, vs, rec, rep, reps, sec, secs, r, p";
        let word = self.piece.last().map(Token::lower).unwrap_or_default();
        let written_out = word.len() > 1 && unit_of(&word).is_none() && !is_one_of(&word, SHORT);
        written_out && self.piece.iter().any(Token::is_number)
    }

    /// Whether a number comes next, blanks aside.
    fn number_is_next(&self) -> bool {
        let mut tail = self.chars.iter().skip(self.at);
        tail.find(|c| !c.is_whitespace())
            .is_some_and(char::is_ascii_digit)
    }

    /// Whether the word at the end is that of a rest, and work stands in front of it.
    fn rests_behind_work(&self) -> bool {
        let work = self.pieces.iter().flatten().chain(&self.piece);
        let rest = (self.piece.last()).is_some_and(|last| {
            let word = last.lower();
            is_rest(&word) || is_one_of(&word, "r, rec, p, pause, break, sr")
        });
        rest && work.into_iter().any(Token::is_number)
    }

    /// Whether nothing but a rest and what it lies between stands in front.
    fn begins_with_a_rest(&self) -> bool {
        const BETWEEN: [&str; 3] = ["between", "after", "in between"];
        let words: Vec<String> = self.piece.iter().map(Token::lower).collect();
        let rests = is_one_of(
            words.first().map_or("", String::as_str),
            "rest, r, p, pause, pausa, break, recupero, récup",
        );
        let behind = words.get(1..).unwrap_or_default().join(" ");
        let parts = (BETWEEN.iter()).any(|lead| {
            let part = behind.strip_prefix(lead).map(str::trim_start);
            part.is_some_and(|part| is_one_of(part, "reps, sets, runs, sprints, rounds"))
        });
        self.pieces.is_empty() && rests && (behind.is_empty() || parts)
    }

    /// Whether a leg or another of two sides stands so many signs ahead: `/leg`.
    fn is_a_side(&self, ahead: usize) -> bool {
        is_one_of(&self.word(ahead).to_lowercase(), SIDES)
    }

    /// `rest = work`, behind the sign; passes the word.
    fn rests_for_the_work(&mut self) -> bool {
        let rest = (self.piece.last()).is_some_and(|last| is_rest(&last.lower()));
        let tail: String = self.chars.iter().skip(self.at).collect();
        let word = tail.trim_start();
        let is_work = word
            .get(..4)
            .is_some_and(|w| w.eq_ignore_ascii_case("work"))
            && !word.chars().nth(4).is_some_and(char::is_alphanumeric);
        if !rest || !is_work {
            return false;
        }
        self.at += tail.chars().count() - word.chars().count() + 4;
        self.piece.pop();
        self.piece
            .extend([Token::word("rest"), Token::word("=work")]);
        true
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

    fn number(&mut self) {
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
    fn seconds_behind(&mut self) {
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

    fn letters(&mut self) {
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
