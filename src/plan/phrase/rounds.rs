//! The line above a list of blocks that is done several times: `3 rounds of, 2 min between rounds`.

use super::number::Amount;
use super::rest::Between;
use super::{EXPECTED_TIME, Phrases};
use crate::plan::Mistake;
use crate::plan::amount::REST_S;
use crate::plan::rounds::Rounds;
use crate::plan::word::Kind;

const EXPECTED: &str = "`3 rounds of`, with `2 min between rounds` or `then 3 min` behind it, and the blocks indented below";

impl Phrases<'_> {
    /// The rounds, if the line is one of them, or the mistakes in it.
    pub(crate) fn rounds(mut self) -> Option<Result<Rounds, Vec<Mistake>>> {
        let repeat = self.take(&["repeat"]);
        let mut item = if self.kind_is_number() {
            self.item()?
        } else {
            return None;
        };
        if matches!(item.amount, Amount::Bare(_)) {
            // `3 x rounds`
            if self.kind() == Some(&Kind::Times) {
                self.at += 1;
            }
            let rounds = self.take_any(&[&["rounds"], &["round"]]);
            let times = !rounds && self.take(&["times"]);
            if !rounds && !times {
                return None;
            }
            if !repeat && times && self.kind().is_some() && self.kind() != Some(&Kind::Colon) {
                return None;
            }
        } else {
            return None;
        }
        self.take(&["of"]);
        if self.mistakes.is_empty() && self.kind_is_number() {
            // `3 rounds of 8 x 10 s` is no line above a list.
            return None;
        }
        item.list.clear();
        let times = self.count(&item, "rounds");
        let mut rounds = Rounds {
            times: times.unwrap_or(1),
            between_s: None,
            then_s: None,
        };
        while self.at < self.words.len() {
            let from = self.at;
            self.round_phrase(from, &mut rounds);
            if self.at == from {
                self.at += 1;
            }
        }
        Some(if self.mistakes.is_empty() {
            Ok(rounds)
        } else {
            Err(self.mistakes)
        })
    }

    fn round_phrase(&mut self, from: usize, rounds: &mut Rounds) {
        if matches!(self.kind(), Some(Kind::Comma | Kind::Colon)) {
            self.at += 1;
            return;
        }
        if self.take(&["and"]) {
            return;
        }
        let then = self.take(&["then"]);
        let rest = !then && self.take_any(&[&["rest"], &["recovery"]]);
        self.take_any(&[&["for"], &["of"]]);
        let item = if self.kind_is_number() {
            self.item()
        } else {
            None
        };
        let Some(item) = item else {
            self.at = from;
            let span = self.span();
            let written = self.line.slice(&span).to_owned();
            self.wrong(span, format!("`{written}` is not read beside rounds"))
                .expected = Some(EXPECTED.to_owned());
            self.skip();
            return;
        };
        self.take_any(&[&["rest"], &["recovery"], &["off"], &["break"]]);
        let which = self.between();
        let span = self.since(from);
        if !self.one_of_all(&item) {
            return;
        }
        let Some(seconds) = self.time_of(&item, &REST_S, EXPECTED_TIME) else {
            return;
        };
        let slot = if then {
            &mut rounds.then_s
        } else {
            &mut rounds.between_s
        };
        let sane =
            matches!(which, None | Some(Between::Rounds)) && (then || rest || which.is_some());
        if slot.is_some() || !sane {
            let written = self.line.slice(&span).to_owned();
            self.wrong(span, format!("`{written}` is not read beside rounds"))
                .expected = Some(EXPECTED.to_owned());
        } else {
            *slot = Some(seconds);
        }
    }
}
