//! What stands around a sign, by which it joins or cuts: a range, a list with its units, the end of a sentence, a rest behind a colon.

use super::Cutter;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::scribble::token::{SIDES, Token, is_rest};
use crate::plan::word::letters;

impl Cutter {
    /// `10m-20m-10m`, behind the dash: a list whose unit stands behind each of its numbers. Passes the next number.
    pub(super) fn goes_on_with_its_unit(&mut self) -> bool {
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
    pub(super) fn goes_on_as_a_range(&mut self) -> bool {
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
    pub(super) fn ends_a_sentence(&self) -> bool {
        const SHORT: &str = "ca, approx, no, nr, min, max, vs, rec, rep, reps, sec, secs, r, p";
        let word = self.piece.last().map(Token::lower).unwrap_or_default();
        let written_out = word.len() > 1 && unit_of(&word).is_none() && !is_one_of(&word, SHORT);
        let mut ahead = self.pieces.iter().flatten().chain(&self.piece);
        written_out && ahead.any(Token::is_number)
    }

    /// Whether a number comes next, blanks aside.
    pub(super) fn number_is_next(&self) -> bool {
        let mut tail = self.chars.iter().skip(self.at);
        tail.find(|c| !c.is_whitespace())
            .is_some_and(char::is_ascii_digit)
    }

    /// Whether the word at the end is that of a rest, and work stands in front of it.
    pub(super) fn rests_behind_work(&self) -> bool {
        let work = self.pieces.iter().flatten().chain(&self.piece);
        let rest = (self.piece.last()).is_some_and(|last| {
            let word = last.lower();
            is_rest(&word) || is_one_of(&word, "r, rec, p, pause, break, sr")
        });
        rest && work.into_iter().any(Token::is_number)
    }

    /// Whether nothing but a rest and what it lies between stands in front.
    pub(super) fn begins_with_a_rest(&self) -> bool {
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
    pub(super) fn is_a_side(&self, ahead: usize) -> bool {
        is_one_of(&self.word(ahead).to_lowercase(), SIDES)
    }

    /// `rest = work`, behind the sign; passes the word.
    pub(super) fn rests_for_the_work(&mut self) -> bool {
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
}
