//! A line that has the block above done again: `x 2`, `repeat twice with 3 min between`.

use super::phrase::number_in_words;
use super::token::{Piece, Token, lower};
use crate::plan::phrase::unit_of;

/// How often in all, and the rest between, s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::plan) struct Again {
    pub times: u32,
    pub between_s: Option<f64>,
}

/// Reads such a line. `None` where it says anything else.
pub(super) fn read(pieces: &[Piece]) -> Option<Again> {
    const LEADS: [&str; 8] = ["repeat", "do", "all", "this", "that", "it", "the", "set"];
    let all: Vec<Token> = pieces.concat();
    let word = |at: usize| lower(&all, at);
    let mut at = (0..all.len())
        .take_while(|at| LEADS.contains(&word(*at).as_str()))
        .count();
    let times = if all.get(at) == Some(&Token::Times) {
        at += 2;
        whole(all.get(at - 1)?)?
    } else if word(at) == "twice" {
        at += 1;
        2
    } else {
        at += 2;
        whole(all.get(at - 2)?).filter(|_| word(at - 1) == "times" && at > 2)?
    };
    let rest = all.get(at..)?;
    let words = [
        "with", "rest", "between", "in", "sets", "rounds", "each", "and",
    ];
    let mut numbers = rest
        .iter()
        .enumerate()
        .filter(|(_, token)| token.is_number());
    let between_s = match (numbers.next(), numbers.next()) {
        (None, _) => None,
        (Some((at, Token::Number(text))), None) => {
            let unit_s = match unit_of(&lower(rest, at + 1))? {
                "s" => 1.0,
                "min" => 60.0,
                _ => return None,
            };
            Some(unit_s * text.parse::<f64>().ok()?)
        }
        _ => return None,
    };
    let known = |token: &Token| {
        let word = token.lower();
        token.is_number() || unit_of(&word).is_some() || words.contains(&word.as_str())
    };
    (rest.iter().all(known) && (2..=20).contains(&times)).then_some(Again { times, between_s })
}

fn whole(token: &Token) -> Option<u32> {
    match token {
        Token::Number(text) => text.parse().ok(),
        word => number_in_words(&word.lower()),
    }
}
