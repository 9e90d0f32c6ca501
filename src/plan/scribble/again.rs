//! A line that has the block above done again: `x 2`, `repeat twice with 3 min between`.

use super::token::{Piece, Token, lower, seconds, whole};
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

/// How often in all, and the rest between, s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::plan) struct Again {
    pub times: u32,
    pub between_s: Option<f64>,
}

/// Reads such a line. `None` where it says anything else.
pub(super) fn read(pieces: &[Piece]) -> Option<Again> {
    const WORDS: &str = "with, rest, between, in, sets, rounds, each, and";
    const LEADS: &str = "repeat, do, all, this, that, it, the, set";
    let all: Vec<Token> = pieces.concat();
    let word = |at: usize| lower(&all, at);
    let mut at = (0..all.len())
        .take_while(|at| is_one_of(&word(*at), LEADS))
        .count();
    let times = if all.get(at) == Some(&Token::Times) {
        at += 2;
        whole(&all, at - 1)?
    } else if word(at) == "twice" {
        at += 1;
        2
    } else {
        at += 2;
        whole(&all, at - 2).filter(|_| word(at - 1) == "times" && at > 2)?
    };
    let rest = all.get(at..)?;
    let numbers = rest.iter().filter(|token| token.is_number()).count();
    let between_s = (0..rest.len()).find_map(|at| seconds(rest, at));
    if numbers != usize::from(between_s.is_some()) {
        return None;
    }
    let known = |token: &Token| {
        let word = token.lower();
        token.is_number() || unit_of(&word).is_some() || is_one_of(&word, WORDS)
    };
    (rest.iter().all(known) && (2..=20).contains(&times)).then_some(Again { times, between_s })
}
