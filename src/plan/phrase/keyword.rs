//! Phrases: those that begin with a keyword, and `90 s between sets`.

use super::number::{Amount, Item};
use super::{EXPECTED_PHRASE, EXPECTED_TIME, Phrases, Said};
use crate::plan::amount::{self, REST_S, SHARE};
use crate::plan::near::nearest;
use crate::plan::word::Kind;
use crate::plan::{Rest, Target};

impl Phrases<'_> {
    pub(super) fn keyword(&mut self, said: &mut Said) {
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
        } else if self.take(&["rest"]) || self.reads(&["walk", "back"]) || self.reads(&["walkback"])
        {
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

    /// One amount behind a keyword; says what was expected where there is none.
    pub(super) fn amount_after(&mut self, from: usize, expected: &str) -> Option<Item> {
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

    pub(super) fn rest(&mut self, from: usize, said: &mut Said) {
        const EXPECTED: &str = "a time such as `25 s`, or `walk back`";
        if self.take(&["walk", "back"]) || self.take(&["walkback"]) {
            let span = self.since(from);
            if self.once(&mut said.rest_at, span) {
                said.rest = Some(Rest::WalkBack);
            }
            return;
        }
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

    pub(super) fn then(&mut self, from: usize, said: &mut Said) {
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
    pub(super) fn amounts(&mut self, said: &mut Said) {
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
    pub(super) fn almost_rest(&mut self, from: usize, item: &Item) {
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
}
