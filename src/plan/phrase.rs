//! Reads a block line: a category, a name, then phrases in any order.

use std::ops::{Range, RangeInclusive};

use crate::plan::amount::{self, LENGTH_M, MOST_REPS, REST_S, SHARE, SPEED_M_S, TIME_S};
use crate::plan::line::Line;
use crate::plan::near::nearest;
use crate::plan::word::{Kind, Word};
use crate::plan::{Block, Category, Dose, Mistake, Rest, Target, Work};
use crate::units::{SpeedUnit, YARD_M};

/// All categories, in the order of a session.
pub(super) const CATEGORIES: [Category; 7] = [
    Category::WarmUp,
    Category::Technical,
    Category::Strength,
    Category::Resistance,
    Category::Speed,
    Category::Game,
    Category::CoolDown,
];

/// Words that people use for our categories: suggested, never taken.
const OTHER_NAMES: [(&str, Category); 14] = [
    ("sprint", Category::Speed),
    ("sprints", Category::Speed),
    ("endurance", Category::Resistance),
    ("stamina", Category::Resistance),
    ("conditioning", Category::Resistance),
    ("agility", Category::Strength),
    ("shuttles", Category::Strength),
    ("technique", Category::Technical),
    ("tech", Category::Technical),
    ("match", Category::Game),
    ("games", Category::Game),
    ("warming", Category::WarmUp),
    ("warmdown", Category::CoolDown),
    ("cooling", Category::CoolDown),
];

const EXPECTED_CATEGORY: &str =
    "warm-up, technical, strength, resistance, speed, game or cool-down";
const EXPECTED_DOSE: &str = "how much: `12 min`, `8 x 10 s` (reps x work), `3 x 8 x 10 s` (sets x reps x work), `5 x 40 m` or `3 x 6 reps`";
const EXPECTED_PHRASE: &str = "`over 9 m`, `there and back`, `at 95%`, `rest 25 s`, `rest walk back`, \
    `90 s between sets`, `then 3 min` or `with ball`";
const EXPECTED_TIME: &str = "a time such as `25 s`, `2 min` or `1:30`";
const EXPECTED_UNIT: &str = "a time (s, min, m:ss), a length (m, yd) or `reps`";

/// Whether the words in front of a colon begin with a category: then the line is a block, and no header line.
pub(super) fn begins_with_category(text: &str) -> bool {
    let words: Vec<&str> = text
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty())
        .collect();
    (1..=words.len().min(2)).any(|n| {
        let start: String = words.iter().take(n).copied().collect();
        category_of(&letters_of(&start)).is_some()
    })
}

fn letters_of(text: &str) -> String {
    let letters = text.chars().filter(|c| c.is_alphabetic());
    letters.flat_map(char::to_lowercase).collect()
}

fn category_of(letters: &str) -> Option<Category> {
    CATEGORIES
        .into_iter()
        .find(|category| letters_of(category.word()) == letters)
}

/// The unit behind a number, and what the number is then worth.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Amount {
    Bare(f64),
    Time(f64),
    Length(f64),
    Speed(f64),
    Share(f64),
    Reps(f64),
    Sets(f64),
    /// A mistake that was reported.
    Unknown,
}

/// An amount with its place and the bytes of its number alone.
#[derive(Clone, Debug)]
struct Item {
    amount: Amount,
    number: f64,
    span: Range<usize>,
}

/// The words of a line, read from left to right.
pub(super) struct Phrases<'a> {
    line: Line<'a>,
    words: Vec<Word>,
    at: usize,
    /// Whether the cutting of the line found mistakes, so that what is missing may be there.
    doubtful: bool,
    pub mistakes: Vec<Mistake>,
}

/// What a block line has said so far; each with its place, so that a second saying can be shown.
#[derive(Default)]
struct Said {
    name: Option<String>,
    dose: Option<Dose>,
    dose_at: Option<Range<usize>>,
    with_ball: Option<Range<usize>>,
    there_and_back: Option<Range<usize>>,
    over_m: Option<f64>,
    over_at: Option<Range<usize>>,
    target: Option<Target>,
    target_at: Option<Range<usize>>,
    rest: Option<Rest>,
    rest_at: Option<Range<usize>>,
    between_sets_s: Option<f64>,
    between_at: Option<Range<usize>>,
    then_s: Option<f64>,
    then_at: Option<Range<usize>>,
    /// The line is so far from a block that a missing dose is not worth a word.
    lost: bool,
}

impl<'a> Phrases<'a> {
    pub fn new(line: Line<'a>, words: Vec<Word>, doubtful: bool) -> Self {
        Self {
            line,
            words,
            at: 0,
            doubtful,
            mistakes: Vec::new(),
        }
    }

    /// Reads the whole line as a block. `None` where there is a mistake, or no word at all.
    pub fn block(&mut self) -> Option<Block> {
        if self.words.is_empty() {
            return None;
        }
        let mut said = Said::default();
        let category = self.category(&mut said);
        if self.kind() == Some(&Kind::Colon) {
            self.at += 1;
        }
        while self.at < self.words.len() {
            self.phrase(&mut said);
        }
        if said.dose_at.is_none() && !said.lost && !self.doubtful {
            let end = self
                .words
                .last()
                .map_or(self.line.end, |word| word.span.end);
            self.wrong(end..end, "this block does not say how much")
                .expected = Some(EXPECTED_DOSE.to_owned());
        }
        if !self.mistakes.is_empty() {
            return None;
        }
        Some(Block {
            category: category?,
            name: said.name,
            with_ball: said.with_ball.is_some(),
            dose: said.dose?,
            over_m: said.over_m,
            there_and_back: said.there_and_back.is_some(),
            target: said.target,
            rest: said.rest.unwrap_or(Rest::RunOn),
            between_sets_s: said.between_sets_s,
            then_s: said.then_s,
            line: self.line.number,
        })
    }

    /// Reads `100 x 64 m` to its end, in metres.
    pub fn two_lengths(&mut self) -> Option<(f64, f64)> {
        let (items, _) = self.items();
        let [first, second] = items.as_slice() else {
            return None;
        };
        let done = self.at == self.words.len();
        match (first.amount, second.amount) {
            (Amount::Length(a), Amount::Length(b)) if done => Some((a, b)),
            // The unit behind the second number is that of the first.
            (Amount::Bare(a), Amount::Length(b)) if done => {
                let yards = self.line.slice(&second.span).to_lowercase().contains('y');
                let unit_m = if yards { YARD_M } else { 1.0 };
                Some((amount::metres(a, unit_m), b))
            }
            _ => None,
        }
    }

    /// Reads one speed to the end.
    pub fn one_speed(&mut self) -> Option<f64> {
        let item = self.item()?;
        if let Amount::Bare(_) = item.amount {
            let end = item.span.end;
            self.wrong(end..end, "the unit of this speed is missing")
                .expected = Some("m/s, km/h or mph".to_owned());
        }
        let Amount::Speed(speed) = item.amount else {
            return None;
        };
        (self.at == self.words.len() && self.speed_in_bounds(speed, &item)).then_some(speed)
    }

    // Looking at words.

    fn kind(&self) -> Option<&Kind> {
        self.words.get(self.at).map(|word| &word.kind)
    }

    fn span(&self) -> Range<usize> {
        self.words
            .get(self.at)
            .map_or(self.line.end..self.line.end, |word| word.span.clone())
    }

    /// The letters at `ahead` words from here, in lower case; nothing where no letters stand.
    fn letters(&self, ahead: usize) -> String {
        match self.words.get(self.at + ahead) {
            Some(word) if word.kind == Kind::Letters => self.line.slice(&word.span).to_lowercase(),
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
        self.mistakes.push(mistake);
        let last = self.mistakes.len() - 1;
        &mut self.mistakes[last]
    }

    /// Passes the rest of the phrase.
    fn skip(&mut self) {
        while self.kind().is_some_and(|kind| *kind != Kind::Comma) {
            self.at += 1;
        }
    }

    // The parts of a block.

    fn category(&mut self, said: &mut Said) -> Option<Category> {
        let two = format!("{}{}", self.letters(0), self.letters(1));
        let one = self.letters(0);
        if let Some(category) = category_of(&one) {
            self.at += 1;
            return Some(category);
        }
        if let Some(category) = category_of(&two) {
            self.at += 2;
            return Some(category);
        }
        let from = self.at;
        if one.is_empty() {
            let span = self.span();
            said.lost = !matches!(
                self.kind(),
                Some(Kind::Number(_) | Kind::Clock(_) | Kind::Quoted(_))
            );
            self.wrong(span, "a block begins with its category")
                .expected = Some(EXPECTED_CATEGORY.to_owned());
            if said.lost {
                self.skip();
            }
            return None;
        }
        let near = |letters: &str| {
            let words = CATEGORIES.map(|category| letters_of(category.word()));
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let other = OTHER_NAMES.iter().find(|(name, _)| *name == letters);
            nearest(letters, &words)
                .and_then(category_of)
                .or(other.map(|(_, category)| *category))
        };
        let found = if let Some(category) = near(&one) {
            self.at += 1;
            // `warming up`: the second half belongs to it.
            if matches!(self.letters(0).as_str(), "up" | "down") {
                self.at += 1;
            }
            Some(category)
        } else if !self.letters(1).is_empty()
            && let Some(category) = near(&two)
        {
            self.at += 2;
            Some(category)
        } else {
            self.at += 1;
            said.lost = true;
            None
        };
        let span = self.since(from);
        let written = self.line.slice(&span).to_owned();
        let mistake = self.wrong(span, format!("`{written}` is no category"));
        mistake.expected = Some(EXPECTED_CATEGORY.to_owned());
        mistake.suggestion = found.map(|category| category.word().to_owned());
        let numbers = |word: &Word| matches!(word.kind, Kind::Number(_) | Kind::Clock(_));
        if found.is_none() && !self.words.iter().any(numbers) {
            // Prose: one mistake is enough.
            self.at = self.words.len();
        } else if found.is_none() {
            while self.kind() == Some(&Kind::Letters) {
                self.at += 1;
            }
        }
        None
    }

    fn phrase(&mut self, said: &mut Said) {
        let from = self.at;
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
            Some(Kind::Number(_) | Kind::Clock(_)) => self.amounts(said),
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

    fn keyword(&mut self, said: &mut Said) {
        let from = self.at;
        if self.take(&["with", "ball"])
            || self.take(&["with", "the", "ball"])
            || self.take(&["with", "a", "ball"])
        {
            let span = self.since(from);
            self.once(&mut said.with_ball, span);
        } else if self.take(&["there", "and", "back"]) {
            let span = self.since(from);
            self.once(&mut said.there_and_back, span);
        } else if self.take(&["over"]) {
            self.over(from, said);
        } else if self.take(&["at"]) || self.take(&["@"]) {
            self.target(from, said);
        } else if self.reads(&["walk", "back"]) || self.reads(&["walkback"]) {
            self.rest(from, said);
        } else if self.take(&["rest"]) {
            self.rest(from, said);
        } else if self.take(&["then"]) {
            self.then(from, said);
        } else if self.take(&["between", "sets"]) {
            let written = self.since(from);
            let item = if self.kind_is_number() {
                self.item()
            } else {
                None
            };
            let span = self.since(from);
            match item {
                Some(Item {
                    amount: Amount::Time(s),
                    ..
                }) => {
                    self.wrong(span, "the time comes first").suggestion =
                        Some(format!("{} between sets", amount::time_text(s)));
                }
                Some(_) => {}
                None => {
                    self.wrong(written, "`between sets` has no time in front of it")
                        .expected = Some("a time such as `90 s between sets`".to_owned());
                }
            }
        } else {
            self.stranger(from, said);
        }
    }

    /// A word that begins no phrase.
    fn stranger(&mut self, from: usize, said: &mut Said) {
        const STARTS: [&str; 8] = [
            "over", "there", "rest", "then", "with", "between", "at", "walk",
        ];
        const WHOLE: [&str; 5] = [
            "there and back",
            "walk back",
            "with ball",
            "between sets",
            "rest walk back",
        ];
        let after_category =
            from <= 1 || matches!(self.words.get(from - 1), Some(word) if word.kind == Kind::Colon);
        let word = self.letters(0);
        while self.kind() == Some(&Kind::Letters) {
            self.at += 1;
            // Stop where a known phrase begins.
            if STARTS.contains(&self.letters(0).as_str()) {
                break;
            }
        }
        let all = self.since(from);
        let phrase = self.line.slice(&all).to_lowercase();
        if let Some(whole) = nearest(&phrase, &WHOLE) {
            self.wrong(all, format!("`{phrase}` is not read"))
                .suggestion = Some(whole.to_owned());
            return;
        }
        if let Some(start) = nearest(&word, &STARTS) {
            self.at = from + 1;
            let span = self.since(from);
            let written = self.line.slice(&span).to_owned();
            self.wrong(span, format!("`{written}` is not read"))
                .suggestion = Some(start.to_owned());
            self.skip();
            return;
        }
        let written = self.line.slice(&all).to_owned();
        let names_ends_here = matches!(
            self.kind(),
            None | Some(Kind::Comma | Kind::Number(_) | Kind::Clock(_))
        );
        let named = said.name.is_some();
        let mistake = self.wrong(all, format!("`{written}` is not read"));
        if after_category && names_ends_here && !named {
            "a name stands in double quotes".clone_into(&mut mistake.message);
            mistake.suggestion = Some(format!("\"{written}\""));
        } else {
            mistake.expected = Some(EXPECTED_PHRASE.to_owned());
            self.skip();
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

    fn kind_is_number(&self) -> bool {
        matches!(self.kind(), Some(Kind::Number(_) | Kind::Clock(_)))
    }

    /// One amount behind a keyword; says what was expected where there is none.
    fn amount_after(&mut self, from: usize, expected: &str) -> Option<Item> {
        if self.kind_is_number() {
            return self.item();
        }
        let keyword = self.since(from);
        let written = self.line.slice(&keyword).to_owned();
        let here = self.span();
        let next = self.line.slice(&here).to_owned();
        if next.is_empty() || self.kind() == Some(&Kind::Comma) {
            self.wrong(keyword, format!("behind `{written}` something is missing"))
                .expected = Some(expected.to_owned());
        } else {
            self.wrong(here, format!("`{next}` is not read behind `{written}`"))
                .expected = Some(expected.to_owned());
        }
        self.skip();
        None
    }

    fn over(&mut self, from: usize, said: &mut Said) {
        const EXPECTED: &str = "the length of one way, such as `9 m` or `10 yd`";
        let Some(item) = self.amount_after(from, EXPECTED) else {
            return;
        };
        let span = self.since(from);
        let Some(length) = self.length_of(&item, EXPECTED) else {
            return;
        };
        if self.once(&mut said.over_at, span) {
            said.over_m = Some(length);
        }
    }

    fn target(&mut self, from: usize, said: &mut Said) {
        const EXPECTED: &str = "the speed to reach: a share of top speed such as `95%`, or `6.5 m/s`, `24 km/h`, `15 mph`";
        let Some(item) = self.amount_after(from, EXPECTED) else {
            return;
        };
        let target = match item.amount {
            Amount::Share(share) if SHARE.contains(&share) => Target::ShareOfTop(share),
            Amount::Share(_) => {
                let written = self.line.slice(&item.span).to_owned();
                self.wrong(
                    item.span,
                    format!("`{written}` of top speed cannot be meant"),
                )
                .expected = Some("a share between 5% and 120%".to_owned());
                return;
            }
            Amount::Speed(speed) => {
                if !self.speed_in_bounds(speed, &item) {
                    return;
                }
                Target::Speed(speed)
            }
            Amount::Unknown => return,
            Amount::Bare(number) => {
                let end = item.span.end;
                let mistake = self.wrong(end..end, "the unit of this speed is missing");
                mistake.expected = Some("`%` of top speed, m/s, km/h or mph".to_owned());
                if SHARE.contains(&(number / 100.0)) && number > 40.0 {
                    mistake.suggestion = Some("%".to_owned());
                }
                return;
            }
            _ => {
                let written = self.line.slice(&item.span).to_owned();
                self.wrong(item.span, format!("`{written}` is no speed"))
                    .expected = Some(EXPECTED.to_owned());
                return;
            }
        };
        if matches!(target, Target::ShareOfTop(_)) && !self.take(&["of", "top", "speed"]) {
            self.take(&["top", "speed"]);
        }
        let span = self.since(from);
        if self.once(&mut said.target_at, span) {
            said.target = Some(target);
        }
    }

    fn rest(&mut self, from: usize, said: &mut Said) {
        if self.take(&["walk", "back"]) || self.take(&["walkback"]) {
            let span = self.since(from);
            if self.once(&mut said.rest_at, span) {
                said.rest = Some(Rest::WalkBack);
            }
            return;
        }
        const EXPECTED: &str = "a time such as `25 s`, or `walk back`";
        if self.kind() == Some(&Kind::Letters) {
            let word = self.letters(0);
            let start = self.at;
            while self.kind() == Some(&Kind::Letters) {
                self.at += 1;
            }
            let span = self.since(start);
            let written = self.line.slice(&span).to_owned();
            let walk = ["walk", "walking", "walkback", "jog", "jogging"];
            let walking =
                nearest(&word, &walk[..3]).is_some() || nearest(&written, &["walk back"]).is_some();
            let mistake = self.wrong(span, format!("`{written}` is no rest that is read"));
            mistake.expected = Some(EXPECTED.to_owned());
            if walking {
                mistake.suggestion = Some("walk back".to_owned());
            }
            said.rest_at.get_or_insert(0..0);
            self.skip();
            return;
        }
        let Some(item) = self.amount_after(from, EXPECTED) else {
            return;
        };
        let between = self.take(&["between", "sets"]);
        if !between {
            self.take(&["between", "reps"]);
        }
        let span = self.since(from);
        let Some(seconds) = self.time_of(&item, &REST_S, EXPECTED) else {
            return;
        };
        if between {
            if self.once(&mut said.between_at, span) {
                said.between_sets_s = Some(seconds);
            }
        } else if self.once(&mut said.rest_at, span) {
            // A rest of no length is none: the reps run on.
            said.rest = Some(if seconds > 0.0 {
                Rest::Timed(seconds)
            } else {
                Rest::RunOn
            });
        }
    }

    fn then(&mut self, from: usize, said: &mut Said) {
        let Some(item) = self.amount_after(from, EXPECTED_TIME) else {
            return;
        };
        self.take(&["rest"]);
        let span = self.since(from);
        let Some(seconds) = self.time_of(&item, &REST_S, EXPECTED_TIME) else {
            return;
        };
        if self.once(&mut said.then_at, span) {
            said.then_s = Some(seconds);
        }
    }

    /// A phrase that begins with a number: the dose, or `90 s between sets`.
    fn amounts(&mut self, said: &mut Said) {
        let from = self.at;
        let (items, odd) = self.items();
        let whole = self.since(from);
        if let [item] = items.as_slice() {
            let rest = self.take(&["rest"]);
            if self.take(&["between", "sets"]) {
                let span = self.since(from);
                let Some(seconds) = self.time_of(item, &REST_S, EXPECTED_TIME) else {
                    return;
                };
                if self.once(&mut said.between_at, span) {
                    said.between_sets_s = Some(seconds);
                }
                return;
            }
            if rest || nearest(&self.letters(0), &["between"]).is_some() {
                self.almost_rest(from, item);
                return;
            }
            if matches!(item.amount, Amount::Speed(_) | Amount::Share(_)) {
                let written = self.line.slice(&whole).to_owned();
                self.wrong(whole, "a speed to reach stands behind `at`")
                    .suggestion = Some(format!("at {written}"));
                return;
            }
        }
        let first_time = self.once(&mut said.dose_at, whole.clone());
        if !first_time {
            return;
        }
        let before = self.mistakes.len();
        let dose = self.dose(&items, &whole);
        let sets = items
            .iter()
            .any(|item| matches!(item.amount, Amount::Sets(_)));
        let odd = odd.or(sets.then(|| "sets".to_owned()));
        if let Some(dose) = dose
            && let Some(word) = odd
            && self.mistakes.len() == before
        {
            self.wrong(whole, format!("`{word}` is not read between numbers"))
                .suggestion = Some(dose.to_string());
        }
        said.dose = dose;
    }

    /// `25 s rest`, `25 s between reps`, `90 s betwen sets`: a rest in words that are nearly right.
    fn almost_rest(&mut self, from: usize, item: &Item) {
        while self.kind() == Some(&Kind::Letters) {
            self.at += 1;
        }
        let span = self.since(from);
        let written = self.line.slice(&span).to_owned();
        let Some(seconds) = self.time_of(item, &REST_S, EXPECTED_TIME) else {
            return;
        };
        let time = amount::time_text(seconds);
        let last = written.split_whitespace().last().unwrap_or_default();
        let suggestion = match nearest(last, &["sets", "rest", "reps"]) {
            Some("sets") => Some(format!("{time} between sets")),
            Some(_) => Some(format!("rest {time}")),
            None => None,
        };
        let mistake = self.wrong(span, format!("`{written}` is not read"));
        mistake.expected = Some(format!("`rest {time}` or `{time} between sets`"));
        mistake.suggestion = suggestion;
    }

    // Numbers.

    /// Numbers with `x` between them, and the first odd word that stood for an `x`.
    fn items(&mut self) -> (Vec<Item>, Option<String>) {
        const ODD: [&str; 6] = ["by", "of", "times", "lots", "mal", "à"];
        let mut items = Vec::new();
        let mut odd = None;
        while let Some(item) = self.item() {
            items.push(item);
            let from = self.at;
            if self.kind() == Some(&Kind::Times) {
                self.at += 1;
            } else if ODD.contains(&self.letters(0).as_str()) {
                odd.get_or_insert(self.letters(0));
                self.at += 1;
                self.take(&["of"]);
            } else {
                break;
            }
            if !self.kind_is_number() {
                if odd.is_none() {
                    let span = self
                        .words
                        .get(from)
                        .map_or(self.span(), |word| word.span.clone());
                    self.wrong(span, "a number is missing behind this `x`")
                        .expected = Some(EXPECTED_DOSE.to_owned());
                    if let Some(last) = items.last_mut() {
                        last.amount = Amount::Unknown;
                    }
                    self.skip();
                } else {
                    self.at = from;
                    odd = None;
                }
                break;
            }
        }
        (items, odd)
    }

    /// One number with its unit.
    fn item(&mut self) -> Option<Item> {
        let from = self.at;
        let (number, clock) = match self.kind()? {
            Kind::Number(number) => (*number, false),
            Kind::Clock(seconds) => (*seconds, true),
            _ => return None,
        };
        self.at += 1;
        let amount = if clock {
            // `1:30 min` says the same twice.
            self.take(&["min"]);
            Amount::Time(amount::seconds(number, 1.0))
        } else {
            self.unit(number)
        };
        Some(Item {
            amount,
            number,
            span: self.since(from),
        })
    }

    fn unit(&mut self, number: f64) -> Amount {
        match self.kind() {
            Some(Kind::Percent) => {
                self.at += 1;
                return Amount::Share(amount::share(number));
            }
            Some(Kind::SecondSign) => {
                self.at += 1;
                return Amount::Time(amount::seconds(number, 1.0));
            }
            Some(Kind::MinuteSign) => {
                self.at += 1;
                return self.minutes(number);
            }
            Some(Kind::Letters) => {}
            _ => return Amount::Bare(number),
        }
        let word = self.letters(0);
        let known = match word.as_str() {
            "s" => Amount::Time(amount::seconds(number, 1.0)),
            "min" => {
                self.at += 1;
                return self.minutes(number);
            }
            "m" => Amount::Length(amount::metres(number, 1.0)),
            "yd" => Amount::Length(amount::metres(number, YARD_M)),
            "m/s" => Amount::Speed(amount::metres_per_second(
                number,
                SpeedUnit::MetresPerSecond,
            )),
            "km/h" => Amount::Speed(amount::metres_per_second(
                number,
                SpeedUnit::KilometresPerHour,
            )),
            "mph" => Amount::Speed(amount::metres_per_second(number, SpeedUnit::MilesPerHour)),
            "rep" | "reps" => Amount::Reps(number),
            "set" | "sets" => Amount::Sets(number),
            _ => return self.unknown_unit(number, &word),
        };
        self.at += 1;
        known
    }

    /// Minutes, and the seconds behind them: `1 min 30`, `1 min 30 s`, `1'30"`.
    fn minutes(&mut self, minutes: f64) -> Amount {
        let whole = amount::seconds(minutes, 60.0);
        let Some(&Kind::Number(seconds)) = self.kind() else {
            return Amount::Time(whole);
        };
        let next = self.words.get(self.at + 1).map(|word| &word.kind);
        let unit = match next {
            Some(Kind::Letters) => {
                let word = self
                    .words
                    .get(self.at + 1)
                    .map(|word| self.line.slice(&word.span).to_lowercase())
                    .unwrap_or_default();
                match word.as_str() {
                    "s" => 2,
                    _ if unit_meant(&word).is_some() || is_unit(&word) => {
                        return Amount::Time(whole);
                    }
                    _ => 1,
                }
            }
            Some(Kind::SecondSign) => 2,
            Some(Kind::Times | Kind::Percent | Kind::MinuteSign | Kind::Colon) => {
                return Amount::Time(whole);
            }
            _ => 1,
        };
        if minutes.fract() != 0.0 || !(0.0..60.0).contains(&seconds) {
            return Amount::Time(whole);
        }
        self.at += unit;
        Amount::Time(amount::seconds(minutes * 60.0 + seconds, 1.0))
    }

    /// Letters behind a number that are no unit: a near miss, a wrong quantity, or the start of the next phrase.
    fn unknown_unit(&mut self, number: f64, word: &str) -> Amount {
        const NEXT: [&str; 16] = [
            "over", "there", "at", "rest", "then", "with", "between", "walk", "walkback", "by",
            "of", "times", "lots", "mal", "à", "x",
        ];
        if NEXT.contains(&word) {
            return Amount::Bare(number);
        }
        let span = self.span();
        let written = self.line.slice(&span).to_owned();
        self.at += 1;
        if let Some(unit) = unit_meant(word) {
            self.wrong(span, format!("`{written}` is no unit that is read"))
                .suggestion = Some(unit.to_owned());
            return Amount::Unknown;
        }
        if matches!(word, "h" | "hr" | "hrs" | "hour" | "hours") {
            let minutes = number * 60.0;
            let before = self.words.get(self.at.saturating_sub(2));
            let whole = before.map_or(span.start, |word| word.span.start)..span.end;
            let mistake = self.wrong(whole, "hours are not read");
            mistake.expected = Some("minutes, such as `75 min`".to_owned());
            if TIME_S.contains(&(minutes * 60.0)) {
                mistake.suggestion = Some(amount::time_text(amount::seconds(minutes, 60.0)));
            }
            return Amount::Unknown;
        }
        let units = ["min", "yd", "m/s", "km/h", "mph", "reps"];
        let mistake = self.wrong(span, format!("`{written}` is no unit that is read"));
        mistake.suggestion = nearest(word, &units).map(str::to_owned);
        mistake.expected = Some(EXPECTED_UNIT.to_owned());
        Amount::Unknown
    }

    fn speed_in_bounds(&mut self, speed: f64, item: &Item) -> bool {
        if SPEED_M_S.contains(&speed) {
            return true;
        }
        let written = self.line.slice(&item.span).to_owned();
        let number = item.number;
        let mistake = self.wrong(
            item.span.clone(),
            format!("`{written}` cannot be a running speed"),
        );
        mistake.expected = Some("0.5 to 13 m/s, 1.8 to 46.8 km/h or 1.2 to 29 mph".to_owned());
        let km_h = amount::metres_per_second(number, SpeedUnit::KilometresPerHour);
        if written.to_lowercase().contains("m/s") && SPEED_M_S.contains(&km_h) {
            mistake.suggestion = Some(format!("{number} km/h"));
        }
        false
    }

    /// The item as a time within bounds.
    fn time_of(
        &mut self,
        item: &Item,
        bounds: &RangeInclusive<f64>,
        expected: &str,
    ) -> Option<f64> {
        match item.amount {
            Amount::Time(s) if bounds.contains(&s) => Some(s),
            Amount::Time(s) => {
                let written = self.line.slice(&item.span).to_owned();
                let why = if s < 0.0 {
                    "is less than nothing"
                } else if s < *bounds.start() {
                    "is no time"
                } else {
                    "is longer than a day"
                };
                self.wrong(item.span.clone(), format!("`{written}` {why}"))
                    .expected = Some(expected.to_owned());
                None
            }
            Amount::Unknown => None,
            Amount::Bare(_) => {
                let end = item.span.end;
                self.wrong(end..end, "the unit of this time is missing")
                    .expected = Some(expected.to_owned());
                None
            }
            _ => {
                let written = self.line.slice(&item.span).to_owned();
                self.wrong(item.span.clone(), format!("`{written}` is no time"))
                    .expected = Some(expected.to_owned());
                None
            }
        }
    }

    fn length_of(&mut self, item: &Item, expected: &str) -> Option<f64> {
        let written = self.line.slice(&item.span).to_owned();
        match item.amount {
            Amount::Length(m) if LENGTH_M.contains(&m) => return Some(m),
            Amount::Unknown => return None,
            Amount::Length(m) => {
                let why = if m < 0.0 {
                    "is less than nothing"
                } else if m < *LENGTH_M.start() {
                    "is too short to run"
                } else {
                    "is too long to run"
                };
                self.wrong(item.span.clone(), format!("`{written}` {why}"))
            }
            Amount::Bare(_) => {
                let end = item.span.end;
                self.wrong(end..end, "the unit of this length is missing")
            }
            _ => self.wrong(item.span.clone(), format!("`{written}` is no length")),
        }
        .expected = Some(expected.to_owned());
        None
    }

    fn dose(&mut self, items: &[Item], whole: &Range<usize>) -> Option<Dose> {
        let (last, counts) = items.split_last()?;
        if items.iter().any(|item| item.amount == Amount::Unknown) {
            return None;
        }
        let counted = matches!(last.amount, Amount::Reps(_));
        let most = if counted { 1 } else { 2 };
        if counts.len() > most {
            self.wrong(whole.clone(), "too many numbers").expected = Some(EXPECTED_DOSE.to_owned());
            return None;
        }
        let mut numbers = Vec::new();
        for (index, item) in counts.iter().enumerate() {
            let labelled = matches!(item.amount, Amount::Sets(_));
            let sets = index == 0 && (counts.len() == 2 || counted || labelled);
            numbers.push(self.count(item, if sets { "sets" } else { "reps" })?);
        }
        let work = match last.amount {
            Amount::Time(_) => Work::Duration(self.time_of(last, &TIME_S, EXPECTED_TIME)?),
            Amount::Length(_) => {
                Work::Distance(self.length_of(last, "a length such as `40 m` or `50 yd`")?)
            }
            Amount::Reps(_) => {
                numbers.push(self.count(last, "reps")?);
                Work::Count
            }
            Amount::Bare(_) => {
                let end = last.span.end;
                self.wrong(end..end, "the unit is missing").expected =
                    Some(EXPECTED_UNIT.to_owned());
                return None;
            }
            _ => {
                let written = self.line.slice(&last.span).to_owned();
                self.wrong(
                    last.span.clone(),
                    format!("`{written}` is no work of a rep"),
                )
                .expected = Some(EXPECTED_UNIT.to_owned());
                return None;
            }
        };
        let (sets, reps) = match (numbers.as_slice(), work) {
            ([], Work::Duration(duration_s)) => return Some(Dose::Continuous { duration_s }),
            ([], _) => (1, 1),
            ([sets], _)
                if matches!(
                    counts,
                    [Item {
                        amount: Amount::Sets(_),
                        ..
                    }]
                ) =>
            {
                (*sets, 1)
            }
            ([reps], _) => (1, *reps),
            ([sets, reps, ..], _) => (*sets, *reps),
        };
        if sets.saturating_mul(reps) > MOST_REPS {
            self.wrong(whole.clone(), "these are more reps than a block can have")
                .expected = Some(format!("at most {MOST_REPS} reps, all sets together"));
            return None;
        }
        Some(Dose::Reps { sets, reps, work })
    }

    /// A whole number of sets or reps.
    fn count(&mut self, item: &Item, what: &str) -> Option<u32> {
        let written = self.line.slice(&item.span).to_owned();
        let number = match item.amount {
            Amount::Bare(number) => number,
            Amount::Reps(number) if what == "reps" => number,
            Amount::Sets(number) if what == "sets" => number,
            _ => {
                self.wrong(
                    item.span.clone(),
                    format!("`{written}` is no number of {what}"),
                )
                .expected = Some(EXPECTED_DOSE.to_owned());
                return None;
            }
        };
        let why = if number < 0.0 {
            format!("`{written}` is less than nothing")
        } else if number == 0.0 {
            format!("with `{written}` {what} there is nothing to do")
        } else if number > f64::from(MOST_REPS) {
            format!("these are more {what} than a block can have")
        } else if number.fract() != 0.0 {
            format!("`{written}` is no whole number of {what}")
        } else {
            return Some(number as u32);
        };
        self.wrong(item.span.clone(), why).expected =
            Some(format!("a whole number of {what} from 1 to {MOST_REPS}"));
        None
    }
}

fn is_unit(word: &str) -> bool {
    matches!(
        word,
        "s" | "min" | "m" | "yd" | "m/s" | "km/h" | "mph" | "rep" | "reps" | "set" | "sets"
    )
}

/// The unit that a common other spelling means; suggested, never taken.
fn unit_meant(word: &str) -> Option<&'static str> {
    Some(match word {
        "sec" | "secs" | "second" | "seconds" => "s",
        "mins" | "minute" | "minutes" => "min",
        "mtr" | "mtrs" | "metre" | "metres" | "meter" | "meters" => "m",
        "yds" | "yard" | "yards" => "yd",
        "mps" | "mtrs/s" => "m/s",
        "kmh" | "kph" | "kmph" | "km/hr" | "kms/h" => "km/h",
        "mi/h" | "miles/h" => "mph",
        "repetition" | "repetitions" => "reps",
        _ => return None,
    })
}
