//! Phrases that begin with a keyword, and those that begin with a number.

use std::ops::Range;

use super::number::{Amount, Item};
use super::rest::Between;
use super::{EXPECTED_PHRASE, Phrases, Said};
use crate::plan::Target;
use crate::plan::amount::SHARE;
use crate::plan::near::{is_one_of, nearest};
use crate::plan::word::Kind;
use crate::plan::{Each, Effort};

/// Whether a word says that what stands beside it is not so.
pub(in crate::plan) fn negates(word: &str) -> bool {
    is_one_of(word, "no, not, don't, dont, without, never, except")
}

impl Phrases<'_> {
    pub(super) fn keyword(&mut self, said: &mut Said) {
        const THERE_AND_BACK: [&[&str]; 4] = [
            &["there", "and", "back"],
            &["up", "and", "back"],
            &["out", "and", "back"],
            &["down", "and", "back"],
        ];
        const WITH_BALL: [&[&str]; 3] = [
            &["with", "ball"],
            &["with", "the", "ball"],
            &["with", "a", "ball"],
        ];
        const REST: [&[&str]; 3] = [&["rest"], &["recovery"], &["recover"]];
        let from = self.at;
        if self.take_any(&WITH_BALL) {
            let span = self.since(from);
            self.once(&mut said.with_ball, span);
        } else if self.take_any(&THERE_AND_BACK) {
            let span = self.since(from);
            self.once(&mut said.there_and_back, span);
        } else if self.take(&["over"]) {
            self.over(from, said);
        } else if self.take_any(&[&["at"], &["@"]]) {
            if let Some(effort) = self.effort() {
                self.keep_effort(from, effort, said);
            } else {
                self.target(from, said);
            }
        } else if self.take_any(&REST) {
            self.rest(from, said);
        } else if self.begins_phrase() && self.free_rest().is_some() {
            self.at = from;
            self.rest(from, said);
        } else if self.take(&["then"]) {
            self.then(from, said);
        } else if self.take(&["every"]) {
            self.every(from, said);
        } else if self.begins_phrase() && self.take(&["work"]) {
            if let Some(item) = self.item() {
                self.work_of_rep(from, &item, said);
            }
        } else if self.begins_phrase() && self.take_any(&[&["repeat"], &["repeated"]]) {
            self.repeat_behind(from, said);
        } else if let Some(which) = self.between() {
            self.rest_between(from, which, said);
        } else if let Some(each) = self.each() {
            let span = self.since(from);
            if self.once(&mut said.each_at, span) {
                said.each = Some(each);
            }
        } else if self.build_up() {
            let span = self.since(from);
            self.once(&mut said.build_up, span);
        } else if let Some(effort) = self.effort() {
            self.keep_effort(from, effort, said);
        } else if self.connects() {
            self.at += 1;
        } else {
            self.stranger(from, said);
        }
    }

    /// `between sets 60 s`: what the rest lies between comes first.
    fn rest_between(&mut self, from: usize, which: Between, said: &mut Said) {
        let words = self.since(from);
        let written = self.line.slice(&words).to_owned();
        self.at = from;
        if which == Between::Rounds || !self.number_follows() {
            self.between();
            self.wrong(words, format!("`{written}` has no time in front of it"))
                .expected = Some(format!("a time such as `90 s {written}`"));
            return;
        }
        self.rest(from, said);
    }

    /// Whether a number follows the words here, a colon or `is` between them or not.
    fn number_follows(&self) -> bool {
        let kinds = self.words.iter().skip(self.at).map(|word| &word.kind);
        let mut behind = kinds.skip_while(|kind| matches!(kind, Kind::Letters | Kind::Colon));
        matches!(behind.next(), Some(Kind::Number(_) | Kind::Clock(_)))
    }

    /// A word that only leads over to what comes: `and 3 min between sets`, `for 12 min`, `with 60 s rest`.
    fn connects(&self) -> bool {
        let number = matches!(
            self.words.get(self.at + 1).map(|word| &word.kind),
            Some(Kind::Number(_) | Kind::Clock(_) | Kind::List(_))
        );
        match self.letters(0).as_str() {
            "for" | "with" => number,
            "and" => number || self.words.get(self.at + 1).is_some(),
            _ => false,
        }
    }

    /// `each side`, `per leg`.
    fn each(&mut self) -> Option<Each> {
        if self.take_any(&[&["each", "side"], &["per", "side"]]) {
            Some(Each::Side)
        } else if self.take_any(&[&["each", "leg"], &["per", "leg"]]) {
            Some(Each::Leg)
        } else {
            None
        }
    }

    /// `build up`, `first rep is a build up`.
    fn build_up(&mut self) -> bool {
        let from = self.at;
        if self.take(&["first"]) {
            self.take_any(&[&["rep"], &["one"], &["run"], &["sprint"]]);
            self.take(&["is"]);
            self.take(&["a"]);
        }
        let found = self.take_any(&[&["build", "up"], &["buildup"]]);
        if !found {
            self.at = from;
        }
        found
    }

    /// How hard, in words: `flat out`, `max`, `easy`, and behind `at`.
    fn effort(&mut self) -> Option<Effort> {
        const FLAT_OUT: [&[&str]; 10] = [
            &["flat", "out"],
            &["all", "out"],
            &["full", "speed"],
            &["full", "pace"],
            &["top", "speed"],
            &["max", "effort"],
            &["max", "speed"],
            &["maximum"],
            &["maximal"],
            &["max"],
        ];
        if self.is_at_most_a_rest() {
            None
        } else if self.take_any(&FLAT_OUT) {
            Some(Effort::FlatOut)
        } else if self.tells_of_a_rest() {
            None
        } else if self.take_any(&[&["easy", "pace"], &["easy"]]) {
            Some(Effort::Easy)
        } else {
            None
        }
    }

    /// `rest 2 min max`: the rest is at most so long, which is no effort of the work.
    fn is_at_most_a_rest(&self) -> bool {
        let kind = |back: usize| self.at.checked_sub(back).and_then(|at| self.words.get(at));
        let letters = |back: usize| match kind(back) {
            Some(word) if word.kind == Kind::Letters => self.line.slice(&word.span).to_lowercase(),
            _ => String::new(),
        };
        let rest = |back: usize| matches!(letters(back).as_str(), "rest" | "recovery" | "off");
        let number = |back: usize| {
            kind(back).is_some_and(|word| matches!(word.kind, Kind::Number(_) | Kind::Clock(_)))
        };
        let timed =
            rest(1) && (number(2) || number(3)) || number(2) && rest(3) || number(1) && rest(2);
        // `max rest 60 s`
        let next = self.words.get(self.at + 2).map(|word| &word.kind);
        let leads = matches!(self.letters(1).as_str(), "rest" | "recovery")
            && matches!(next, Some(Kind::Number(_) | Kind::Clock(_)));
        (timed || leads) && matches!(self.letters(0).as_str(), "max" | "maximum")
    }

    /// `easy jog back`: how the rest is taken, and not the work.
    fn tells_of_a_rest(&self) -> bool {
        self.reads(&["easy"])
            && matches!(
                self.letters(1).as_str(),
                "jog" | "jogging" | "walk" | "walking"
            )
    }

    /// `rest 2 min easy`: whether no comma parts it from the rest in front of it.
    fn follows_a_rest(&self, from: usize, said: &Said) -> bool {
        let before = from.checked_sub(1).and_then(|at| self.words.get(at));
        let rests = [&said.rest_at, &said.between_at, &said.then_at];
        before.is_some_and(|word| {
            let ends = |rest: &Range<usize>| rest.end == word.span.end;
            rests.into_iter().flatten().any(ends)
        })
    }

    fn keep_effort(&mut self, from: usize, effort: Effort, said: &mut Said) {
        let span = self.since(from);
        if effort == Effort::Easy && self.follows_a_rest(from, said) {
            let written = self.line.slice(&span).to_owned();
            self.wrong(span, format!("`{written}` may be how the rest is taken"))
                .expected = Some("a comma in front of it, where the work is easy".to_owned());
            return;
        }
        if self.once(&mut said.effort_at, span) {
            said.effort = Some(effort);
        }
    }

    /// `x 5` behind a phrase that is over. Whether that is what stands here.
    pub(super) fn repeat(&mut self, said: &mut Said) -> bool {
        let from = self.at;
        let number = matches!(
            self.words.get(from + 1).map(|word| &word.kind),
            Some(Kind::Number(_))
        );
        let alone = matches!(
            self.words.get(from + 2).map(|word| &word.kind),
            None | Some(Kind::Comma)
        );
        if from == 0 || !number || !alone || said.work.is_none() {
            return false;
        }
        self.at += 1;
        self.repeat_behind(from, said);
        true
    }

    /// The number behind `repeat`, and `times` behind that.
    fn repeat_behind(&mut self, from: usize, said: &mut Said) {
        let Some(mut item) = self.item() else {
            return;
        };
        if !self.one_of_all(&item) {
            return;
        }
        self.take_any(&[&["times"], &["x"]]);
        if self.kind() == Some(&Kind::Times) {
            self.at += 1;
        }
        let span = self.since(from);
        if let Amount::Reps(number) = item.amount {
            item.amount = Amount::Bare(number);
        }
        if let Some(count) = self.count(&item, "reps")
            && self.once(&mut said.repeat_at, span)
        {
            said.repeat = Some(count);
        }
    }

    /// A word that begins no phrase.
    pub(super) fn stranger(&mut self, from: usize, said: &mut Said) {
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
        if let Some(start) = nearest(&word, &STARTS).filter(|start| *start != word) {
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
        // `no walk back`, `last one with ball`: as a name they would no longer turn what stands beside them.
        let turns = (phrase.split_whitespace())
            .any(|word| negates(word) || is_one_of(word, "last, half, only"));
        if !named && !turns {
            self.strays.push(all.clone());
        }
        let mistake = self.wrong(all, format!("`{written}` is not read"));
        if after_category && names_ends_here && !named {
            "a name stands in double quotes".clone_into(&mut mistake.message);
            mistake.suggestion = Some(format!("\"{written}\""));
        } else {
            mistake.expected = Some(EXPECTED_PHRASE.to_owned());
            self.skip();
        }
    }

    /// One amount behind a keyword; says what was expected where there is none.
    pub(super) fn amount_after(&mut self, from: usize, expected: &str) -> Option<Item> {
        if self.kind_is_number() {
            let item = self.item()?;
            return self.one_of_all(&item).then_some(item);
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

    /// Whether an amount is one; several, as `rest 3/2/1 min`, are a mistake: a block says them once, for all its reps.
    pub(super) fn one_of_all(&mut self, item: &Item) -> bool {
        if item.list.is_empty() {
            return true;
        }
        let written = self.line.slice(&item.span).to_owned();
        self.wrong(
            item.span.clone(),
            format!("`{written}` are several; all reps of a block have one"),
        )
        .expected = Some("one number, or a line for each".to_owned());
        false
    }

    pub(super) fn over(&mut self, from: usize, said: &mut Said) {
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

    pub(super) fn target(&mut self, from: usize, said: &mut Said) {
        const EXPECTED: &str = "the speed to reach: a share of top speed such as `95%`, or `6.5 m/s`, `24 km/h`, `15 mph`";
        let Some(item) = self.amount_after(from, EXPECTED) else {
            return;
        };
        let mut of_top_speed = false;
        if matches!(item.amount, Amount::Share(_)) {
            of_top_speed = self.take_any(&[
                &["of", "top", "speed"],
                &["of", "max", "speed"],
                &["of", "top"],
                &["top", "speed"],
                &["max", "speed"],
            ]);
            if !of_top_speed {
                self.take_any(&[&["of", "max"], &["max"], &["effort"]]);
            }
        }
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
        let span = self.since(from);
        if self.once(&mut said.target_at, span) {
            said.target = Some(target);
            said.of_top_speed = of_top_speed;
        }
    }

    /// A phrase that begins with a number: the dose, or a part of it, or a rest.
    pub(super) fn amounts(&mut self, said: &mut Said) {
        let from = self.at;
        let items = self.items();
        if let [item] = items.as_slice() {
            if self.rest_behind(from, item, said) {
                return;
            }
            let whole = self.since(from);
            match item.amount {
                Amount::Speed(_) | Amount::Share(_) => {
                    let written = self.line.slice(&whole).to_owned();
                    self.wrong(whole, "a speed to reach stands behind `at`")
                        .suggestion = Some(format!("at {written}"));
                    return;
                }
                Amount::Sets(_) => {
                    if let Some(sets) = self.count(item, "sets")
                        && self.once(&mut said.sets_at, whole)
                    {
                        said.sets = Some(sets);
                    }
                    return;
                }
                Amount::Time(_) | Amount::Length(_)
                    if item.list.is_empty() && self.take_any(&[&["on"], &["work"]]) =>
                {
                    self.work_of_rep(from, item, said);
                    return;
                }
                _ => {}
            }
        }
        self.take_any(&[&["on"], &["work"]]);
        let whole = self.since(from);
        if !self.once(&mut said.dose_at, whole.clone()) {
            return;
        }
        if let Some((dose, mixed)) = self.dose(&items, &whole) {
            said.dose = Some(dose);
            said.mixed = mixed;
        }
    }
}
