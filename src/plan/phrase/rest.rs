//! Rest: how long, or how it is taken, and between what.

use super::number::{Amount, Item, unit_of};
use super::{EXPECTED_TIME, Phrases, Said};
use crate::plan::amount::{self, REST_S};
use crate::plan::near::nearest;
use crate::plan::word::Kind;
use crate::plan::{FreeRest, Rest};

/// What a rest lies between.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Between {
    Reps,
    Sets,
    Rounds,
}

const EXPECTED: &str = "a time such as `25 s`, or `walk back`";

impl Phrases<'_> {
    /// `between sets`, `between each rep`, `after every set`.
    pub(super) fn between(&mut self) -> Option<Between> {
        let from = self.at;
        let after = self.take(&["after"]);
        if after || self.take(&["between"]) {
            let each = self.take_any(&[&["each"], &["every"]]);
            if each || !after {
                let which = match self.letters(0).as_str() {
                    "set" | "sets" => Some(Between::Sets),
                    "rep" | "reps" | "repetition" | "repetitions" | "run" | "runs" | "sprint"
                    | "sprints" => Some(Between::Reps),
                    "round" | "rounds" => Some(Between::Rounds),
                    _ => None,
                };
                if which.is_some() {
                    self.at += 1;
                    return which;
                }
            }
        }
        self.at = from;
        None
    }

    /// A rest whose length is free: `walk back`, `jog back recovery`, `full rest`, or behind `rest`.
    pub(super) fn free_rest(&mut self) -> Option<FreeRest> {
        const WALK: [&[&str]; 3] = [&["walk", "back"], &["walkback"], &["walking", "back"]];
        const JOG: [&[&str]; 2] = [&["jog", "back"], &["jogging", "back"]];
        let found = if self.take_any(&WALK) {
            FreeRest::Walk
        } else if self.take_any(&JOG) {
            FreeRest::Jog
        } else if self.take_any(&[&["full", "rest"], &["full", "recovery"]]) {
            FreeRest::Full
        } else {
            return None;
        };
        self.take_any(&[&["recovery"], &["rest"]]);
        Some(found)
    }

    /// What stands behind `rest` or `recovery`, or a rest of free length without that word.
    pub(super) fn rest(&mut self, from: usize, said: &mut Said) {
        if self.kind() == Some(&Kind::Colon) {
            self.at += 1;
        }
        let full = from < self.at
            && self.letters(0) == "full"
            && !matches!(self.letters(1).as_str(), "rest" | "recovery");
        let free = if full {
            self.at += 1;
            Some(FreeRest::Full)
        } else {
            self.free_rest()
        };
        if let Some(free) = free {
            let behind = self.at;
            let which = self.between();
            let span = self.since(from);
            if matches!(which, Some(Between::Sets | Between::Rounds)) {
                let written = self.line.slice(&span).to_owned();
                self.at = behind;
                let alone = self.line.slice(&self.since(from)).to_owned();
                self.between();
                let mistake = self.wrong(span, format!("`{written}` has no length"));
                mistake.expected =
                    Some("a time such as `3 min between sets`, or a rest between reps".to_owned());
                mistake.suggestion = Some(alone);
                said.rest_at.get_or_insert(0..0);
                return;
            }
            if self.once(&mut said.rest_at, span) {
                said.rest = Some(Rest::WalkBack);
                said.free_rest = free;
            }
            return;
        }
        self.take_any(&[&["for"], &["of"], &["is"]]);
        let before = self.between();
        if before.is_some() && self.kind() == Some(&Kind::Colon) {
            self.at += 1;
        }
        if self.kind() == Some(&Kind::Letters) && !self.kind_is_number() {
            self.no_rest(said);
            return;
        }
        let Some(item) = self.amount_after(from, EXPECTED) else {
            return;
        };
        let which = before.or_else(|| self.between());
        self.keep_rest(from, &item, which, said);
    }

    /// Words behind `rest` that are none.
    fn no_rest(&mut self, said: &mut Said) {
        let word = self.letters(0);
        let start = self.at;
        while self.kind() == Some(&Kind::Letters) {
            self.at += 1;
        }
        let span = self.since(start);
        let written = self.line.slice(&span).to_owned();
        let walking = nearest(&word, &["walk", "walking", "walkback"]).is_some()
            || nearest(&written, &["walk back"]).is_some();
        let mistake = self.wrong(span, format!("`{written}` is no rest that is read"));
        mistake.expected =
            Some("a time such as `25 s`, `walk back`, `jog back` or `full`".to_owned());
        if walking {
            mistake.suggestion = Some("walk back".to_owned());
        }
        said.rest_at.get_or_insert(0..0);
        self.skip();
    }

    /// `25 s rest`, `2 min off`, `90 s between sets` behind the number. Whether it was a rest.
    pub(super) fn rest_behind(&mut self, from: usize, item: &Item, said: &mut Said) -> bool {
        const REST: [&[&str]; 6] = [
            &["rest"],
            &["recovery"],
            &["off"],
            &["break"],
            &["pause"],
            &["recover"],
        ];
        if said.dose_at.is_none() && said.work_at.is_none() && self.rests_behind_it() {
            return false;
        }
        let rest = self.take_any(&REST);
        let which = self.between();
        if rest || which.is_some() {
            self.keep_rest(from, item, which, said);
            return true;
        }
        if nearest(&self.letters(0), &["between"]).is_some() {
            self.almost_rest(from, item);
            return true;
        }
        false
    }

    /// `10 s rest 50 s`, from `rest` on: the word belongs to the time behind it, and the one in front is the work.
    fn rests_behind_it(&self) -> bool {
        let kind = |ahead: usize| self.words.get(self.at + ahead).map(|word| &word.kind);
        if !matches!(self.letters(0).as_str(), "rest" | "recovery") {
            return false;
        }
        match kind(1) {
            Some(Kind::Clock(_)) => true,
            Some(Kind::Number(_)) => {
                let time = matches!(unit_of(&self.letters(2)), Some("s" | "min"))
                    || matches!(kind(2), Some(Kind::SecondSign | Kind::MinuteSign));
                // `30 s rest, 10 s work` without its comma.
                time && !matches!(self.letters(3).as_str(), "work" | "on")
            }
            _ => false,
        }
    }

    fn keep_rest(&mut self, from: usize, item: &Item, which: Option<Between>, said: &mut Said) {
        let span = self.since(from);
        if !self.one_of_all(item) {
            return;
        }
        let Some(seconds) = self.time_of(item, &REST_S, EXPECTED) else {
            return;
        };
        match which {
            Some(Between::Rounds) => {
                self.wrong(span, "there are no rounds on this line")
                    .expected = Some(
                    "`3 rounds of, 2 min between rounds` on a line of its own, with its blocks indented below"
                        .to_owned(),
                );
            }
            Some(Between::Sets) => {
                if self.once(&mut said.between_at, span) {
                    said.between_sets_s = Some(seconds);
                }
            }
            Some(Between::Reps) | None => {
                if self.once(&mut said.rest_at, span) {
                    said.rest_of_reps = which.is_some();
                    // A rest of no length is none: the reps run on.
                    said.rest = Some(if seconds > 0.0 {
                        Rest::Timed(seconds)
                    } else {
                        Rest::RunOn
                    });
                }
            }
        }
    }

    /// `every 60 s`, `every minute`: from start to start.
    pub(super) fn every(&mut self, from: usize, said: &mut Said) {
        let seconds = if self.take(&["minute"]) {
            Some(60.0)
        } else {
            let Some(item) = self.amount_after(from, EXPECTED_TIME) else {
                return;
            };
            self.time_of(&item, &REST_S, EXPECTED_TIME)
        };
        let span = self.since(from);
        if let Some(seconds) = seconds
            && self.once(&mut said.rest_at, span)
        {
            said.every_s = Some(seconds);
        }
    }

    /// `90 s betwen sets`: a rest in words that are nearly right.
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

    pub(super) fn then(&mut self, from: usize, said: &mut Said) {
        let Some(item) = self.amount_after(from, EXPECTED_TIME) else {
            return;
        };
        self.take_any(&[&["rest"], &["recovery"], &["break"], &["off"]]);
        let span = self.since(from);
        let Some(seconds) = self.time_of(&item, &REST_S, EXPECTED_TIME) else {
            return;
        };
        if self.once(&mut said.then_at, span) {
            said.then_s = Some(seconds);
        }
    }

    /// `work 30 s`, `30 s on`: the work of a rep whose count is said elsewhere.
    pub(super) fn work_of_rep(&mut self, from: usize, item: &Item, said: &mut Said) {
        let span = self.since(from);
        if !self.one_of_all(item) {
            return;
        }
        let work = match item.amount {
            Amount::Length(_) => self
                .length_of(item, "a length such as `40 m` or `50 yd`")
                .map(crate::plan::Work::Distance),
            _ => self
                .time_of(item, &amount::TIME_S, EXPECTED_TIME)
                .map(crate::plan::Work::Duration),
        };
        if let Some(work) = work
            && self.once(&mut said.work_at, span)
        {
            said.work = Some(work);
        }
    }
}
