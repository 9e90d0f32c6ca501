//! A name without quotes: the words behind the category that begin no phrase.

use super::number::unit_of;
use super::{Phrases, Said};
use crate::plan::near::{is_one_of, nearest};
use crate::plan::word::{Kind, clean};

impl Phrases<'_> {
    /// Reads `wall passes` and `4 v 4` behind the category as the name of the block.
    pub(super) fn name(&mut self, said: &mut Said) {
        if self.at == 0 || said.lost {
            return;
        }
        let from = self.at;
        let mut letters = false;
        loop {
            if let Some(words) = self.sides() {
                self.at += words;
                letters = true;
            } else if self.kind() == Some(&Kind::Letters)
                && self.number_word().is_none()
                && !self.begins_phrase()
            {
                letters |= self.letters(0) != "and";
                self.at += 1;
            } else {
                break;
            }
        }
        let ends = matches!(
            self.kind(),
            None | Some(
                Kind::Comma
                    | Kind::Number(_)
                    | Kind::Clock(_)
                    | Kind::List(_)
                    | Kind::Letters
                    | Kind::Colon
            )
        );
        if self.at == from || !letters || !ends || self.slip(from) {
            self.at = from;
            return;
        }
        let span = self.since(from);
        // `speed twice 6 x 30 m`: how often, and no name.
        if is_one_of(&self.line.slice(&span).to_lowercase(), "twice, thrice") {
            self.at = from;
            return;
        }
        if self.kind() == Some(&Kind::Colon) {
            self.at += 1;
        }
        said.name = Some(clean(self.line.slice(&span)));
    }

    /// Words up to here that are a phrase with a slip in it, `rset 25 s` or `wiht ball`, rather than a name.
    fn slip(&self, from: usize) -> bool {
        const BEFORE_A_NUMBER: [&str; 3] = ["over", "rest", "then"];
        const WHOLE: [&str; 5] = [
            "with ball",
            "walk back",
            "there and back",
            "between sets",
            "rest walk back",
        ];
        let span = self.since(from);
        let written = clean(self.line.slice(&span)).to_lowercase();
        if nearest(&written, &WHOLE).is_some() {
            return true;
        }
        let amount = self.kind_is_number()
            && !matches!(
                self.words.get(self.at + 1).map(|word| &word.kind),
                Some(Kind::Times)
            );
        // A dose that comes later says that this number is none.
        let dose_later = self
            .words
            .iter()
            .skip(self.at + 1)
            .any(|word| word.kind == Kind::Times);
        let near = nearest(&written, &BEFORE_A_NUMBER).is_some();
        amount && near && dose_later
    }

    /// How many words `4v4`, `4 v 4`, `5 vs 5` or `5-a-side` take here.
    pub(super) fn sides(&self) -> Option<usize> {
        let number = |ahead: usize| {
            matches!(
                self.words.get(self.at + ahead).map(|word| &word.kind),
                Some(Kind::Number(number)) if number.fract() == 0.0
            )
        };
        if !number(0) {
            return None;
        }
        match self.letters(1).as_str() {
            "v" | "vs" | "versus" | "against" if number(2) => Some(3),
            "a" if matches!(self.letters(2).as_str(), "side" | "sides") => Some(3),
            "aside" => Some(2),
            _ => None,
        }
    }

    /// Whether a phrase begins at this word. A word that can be either, such as `easy`, does where nothing but another
    /// phrase follows it.
    pub(super) fn begins_phrase(&self) -> bool {
        let number = |ahead: usize| {
            matches!(
                self.words.get(self.at + ahead).map(|word| &word.kind),
                Some(Kind::Number(_) | Kind::Clock(_) | Kind::List(_))
            )
        };
        let reads = |several: &[&[&str]]| several.iter().any(|words| self.reads(words));
        match self.letters(0).as_str() {
            "with" => {
                number(1)
                    || reads(&[
                        &["with", "ball"],
                        &["with", "the", "ball"],
                        &["with", "a", "ball"],
                    ])
            }
            "there" | "up" | "out" | "down" => {
                reads(&[&["there", "and", "back"], &["up", "and", "back"]])
                    || reads(&[&["out", "and", "back"], &["down", "and", "back"]])
            }
            "at" | "@" => {
                number(1)
                    || matches!(
                        self.letters(1).as_str(),
                        "max" | "full" | "top" | "maximum" | "easy"
                    )
            }
            "over" | "then" | "for" | "every" | "work" | "repeat" | "repeated" => {
                number(1) || self.reads(&["every", "minute"])
            }
            "rest" | "recovery" | "recover" => {
                number(1)
                    || self.after_phrase(1)
                    || matches!(
                        self.letters(1).as_str(),
                        "walk"
                            | "walking"
                            | "walkback"
                            | "jog"
                            | "jogging"
                            | "full"
                            | "for"
                            | "of"
                            | "between"
                    )
            }
            "walk" | "walking" | "jog" | "jogging" => self.letters(1) == "back",
            "walkback" => true,
            "between" | "after" => reads(&[
                &["between", "sets"],
                &["between", "reps"],
                &["after", "each"],
                &["between", "each"],
            ]),
            "full" => reads(&[&["full", "rest"], &["full", "recovery"]]),
            "flat" | "all" => {
                (self.reads(&["flat", "out"]) || self.reads(&["all", "out"]))
                    && self.after_phrase(2)
            }
            "build" => self.reads(&["build", "up"]) && self.after_phrase(2),
            "buildup" | "max" | "maximal" | "easy" => self.after_phrase(1),
            "each" | "per" => matches!(self.letters(1).as_str(), "side" | "leg"),
            _ => false,
        }
    }

    /// Whether the word so far ahead is no letters, so that what stands before it is over.
    fn after_phrase(&self, ahead: usize) -> bool {
        let word = self.letters(ahead);
        word.is_empty() || unit_of(&word).is_some()
    }
}
