//! Reads a block line: a category, a name, then phrases in any order.
//!
//! What is said is collected phrase by phrase (`keyword`, `rest`, `number`, `dose`) and made a block at the end of the line
//! (`assemble`), since `8 reps` may come before or behind `30 s on`. Words behind the category that begin no phrase are its
//! name (`name`).

mod assemble;
mod category;
mod dose;
mod doubt;
mod keyword;
mod name;
mod number;
mod rest;
mod rounds;

use std::ops::Range;

use crate::plan::amount::REST_S;
use crate::plan::line::Line;
use crate::plan::word::{self, Kind, Word};
use crate::plan::{Block, Dose, Each, Effort, FreeRest, Mistake, Rest, Target, Work};

pub(super) use assemble::NO_COUNT;
pub(super) use category::begins_with_category;
pub(super) use keyword::negates;
pub(super) use number::{NUMBERS, is_hours, unit_of};

const EXPECTED_DOSE: &str = "how much: `12 min`, `8 x 10 s` (reps x work), `3 x 8 x 10 s` (sets x reps x work), `5 x 40 m` or `3 x 6 reps`";
const EXPECTED_PHRASE: &str = "`over 9 m`, `there and back`, `at 95%`, `rest 25 s`, `rest walk back`, \
    `90 s between sets`, `then 3 min` or `with ball`";
const EXPECTED_TIME: &str = "a time such as `25 s`, `2 min` or `1:30`";

/// The seconds of a time written alone, `5min` or `1:30`, within the bounds of a rest.
#[must_use]
pub fn seconds(text: &str) -> Option<f64> {
    let line = Line::alone(text);
    let cut = word::words(line, 0);
    let mut phrases = Phrases::new(line, cut.list, false);
    let item = phrases.item()?;
    let whole = cut.mistakes.is_empty()
        && phrases.mistakes.is_empty()
        && phrases.at == phrases.words.len()
        && item.list.is_empty();
    match item.amount {
        number::Amount::Time(seconds) if whole && REST_S.contains(&seconds) => Some(seconds),
        _ => None,
    }
}

/// The words of a line, read from left to right.
pub(super) struct Phrases<'a> {
    line: Line<'a>,
    words: Vec<Word>,
    at: usize,
    /// Whether the cutting of the line found mistakes, so that what is missing may be there.
    doubtful: bool,
    pub mistakes: Vec<Mistake>,
    /// Where a rest stands that could be one between sets as well.
    pub open_rest: Option<Range<usize>>,
    /// Words that say nothing that is read, where they may be the name of a block that has none.
    pub strays: Vec<Range<usize>>,
}

/// What a block line has said so far; each with its place, so that a second saying can be shown.
#[derive(Default)]
struct Said {
    name: Option<String>,
    dose: Option<Dose>,
    dose_at: Option<Range<usize>>,
    /// The reps of a set that differ.
    mixed: Vec<Work>,
    /// `3 sets`, alone.
    sets: Option<u32>,
    sets_at: Option<Range<usize>>,
    /// `30 s on`, `work 30 s`.
    work: Option<Work>,
    work_at: Option<Range<usize>>,
    /// `repeat 3 times`
    repeat: Option<u32>,
    repeat_at: Option<Range<usize>>,
    each: Option<Each>,
    each_at: Option<Range<usize>>,
    with_ball: Option<Range<usize>>,
    there_and_back: Option<Range<usize>>,
    over_m: Option<f64>,
    over_at: Option<Range<usize>>,
    target: Option<Target>,
    target_at: Option<Range<usize>>,
    /// `of top speed` was said of it, so that it can mean one thing only.
    of_top_speed: bool,
    effort: Option<Effort>,
    effort_at: Option<Range<usize>>,
    build_up: Option<Range<usize>>,
    rest: Option<Rest>,
    free_rest: FreeRest,
    rest_at: Option<Range<usize>>,
    /// `between reps` was said of it, so that it can mean one thing only.
    rest_of_reps: bool,
    every_s: Option<f64>,
    between_sets_s: Option<f64>,
    between_at: Option<Range<usize>>,
    then_s: Option<f64>,
    then_at: Option<Range<usize>>,
    /// The line is so far from a block that a missing dose is not worth a word.
    lost: bool,
}

impl<'a> Phrases<'a> {
    pub(crate) fn new(line: Line<'a>, words: Vec<Word>, doubtful: bool) -> Self {
        Self {
            line,
            words,
            at: 0,
            doubtful,
            mistakes: Vec::new(),
            open_rest: None,
            strays: Vec::new(),
        }
    }

    /// Reads the whole line as a block. `None` where there is a mistake, or no word at all.
    pub(crate) fn block(&mut self) -> Option<Block> {
        if self.words.is_empty() {
            return None;
        }
        let mut said = Said::default();
        let category = self.category(&mut said);
        if self.kind() == Some(&Kind::Colon) {
            self.at += 1;
        }
        self.name(&mut said);
        while self.at < self.words.len() {
            self.phrase(&mut said);
        }
        self.assemble(category, said)
    }

    fn phrase(&mut self, said: &mut Said) {
        let from = self.at;
        if self.kind() == Some(&Kind::Times) && self.repeat(said) {
            return;
        }
        match self.kind() {
            None => {}
            Some(Kind::Comma) => self.at += 1,
            Some(Kind::Quoted(name)) => {
                let name = name.clone();
                let span = self.span();
                self.at += 1;
                if said.name.is_some() {
                    self.wrong(span, "this block has a name already");
                } else if !name.is_empty() {
                    said.name = Some(name);
                }
            }
            Some(Kind::Number(_) | Kind::Clock(_) | Kind::List(_)) => self.amounts(said),
            Some(Kind::Letters) if self.number_word().is_some() => self.amounts(said),
            Some(Kind::Letters) => self.keyword(said),
            Some(
                Kind::Percent | Kind::Times | Kind::Colon | Kind::MinuteSign | Kind::SecondSign,
            ) => {
                let span = self.span();
                let written = self.line.slice(&span).to_owned();
                self.at += 1;
                self.wrong(
                    span,
                    format!("`{written}` has no number in front of it here"),
                )
                .expected = Some(EXPECTED_PHRASE.to_owned());
                self.skip();
            }
        }
        if self.at == from {
            // Every phrase passes a word; this keeps a slip of ours from becoming a hang of the player's.
            self.at += 1;
        }
    }

    fn once(&mut self, slot: &mut Option<Range<usize>>, span: Range<usize>) -> bool {
        if slot.is_some() {
            let written = self.line.slice(&span).to_owned();
            self.wrong(
                span,
                format!("`{written}`: this was said before on this line"),
            )
            .expected = Some("each thing once; a second dose is a second block".to_owned());
            return false;
        }
        *slot = Some(span);
        true
    }

    fn kind(&self) -> Option<&Kind> {
        self.words.get(self.at).map(|word| &word.kind)
    }

    fn kind_is_number(&self) -> bool {
        matches!(
            self.kind(),
            Some(Kind::Number(_) | Kind::Clock(_) | Kind::List(_))
        ) || self.number_word().is_some()
    }

    fn span(&self) -> Range<usize> {
        self.words
            .get(self.at)
            .map_or(self.line.end..self.line.end, |word| word.span.clone())
    }

    /// The letters at `ahead` words from here, in lower case; nothing where no letters stand.
    fn letters(&self, ahead: usize) -> String {
        match self.words.get(self.at + ahead) {
            Some(word) if word.kind == Kind::Letters => match self.line.slice(&word.span) {
                "&" => "and".to_owned(),
                written => written.to_lowercase(),
            },
            _ => String::new(),
        }
    }

    /// Whether these letters stand here.
    fn reads(&self, words: &[&str]) -> bool {
        words
            .iter()
            .enumerate()
            .all(|(index, word)| self.letters(index) == *word)
    }

    /// Passes these letters if they stand here.
    fn take(&mut self, words: &[&str]) -> bool {
        let found = self.reads(words);
        if found {
            self.at += words.len();
        }
        found
    }

    /// Passes the first of these that stands here.
    fn take_any(&mut self, several: &[&[&str]]) -> bool {
        several.iter().any(|words| self.take(words))
    }

    /// The bytes from the start of word `from` to the end of the word before here.
    fn since(&self, from: usize) -> Range<usize> {
        let start = self
            .words
            .get(from)
            .map_or(self.line.end, |word| word.span.start);
        let last = self.at.saturating_sub(1).max(from);
        let end = self.words.get(last).map_or(start, |word| word.span.end);
        start..end
    }

    fn wrong(&mut self, span: Range<usize>, message: impl Into<String>) -> &mut Mistake {
        let mistake = self.line.mistake(span, message);
        self.mistakes.push_mut(mistake)
    }

    /// Passes the rest of the phrase.
    fn skip(&mut self) {
        while self.kind().is_some_and(|kind| *kind != Kind::Comma) {
            self.at += 1;
        }
    }
}
