//! A line of which only the end is not understood: it is offered without, the words kept beside it.

use super::cutter::cut;
use super::meaning::{Around, LONGEST_SHOWN};
use super::read;
use super::strict::strict;
use super::token::{Token, is_amount, is_rest};

/// Most places where a line is tried to end.
const MOST: usize = 10;

/// The words at the end that are not read, and the lines that are offered without them.
pub(in crate::plan) struct AsFar {
    pub tail: String,
    pub lines: Vec<String>,
}

/// Reads as much of a line as can be read, at least a dose.
pub(in crate::plan) fn as_far_as_it_goes(content: &str, around: Around<'_>) -> Option<AsFar> {
    if content.len() > LONGEST_SHOWN {
        return None;
    }
    let begins = |(at, c): &(usize, char)| {
        let before = content
            .get(..*at)
            .and_then(|ahead| ahead.chars().next_back());
        !c.is_whitespace() && before.is_some_and(|c| c.is_whitespace() || c == ',')
    };
    let places: Vec<usize> = (content.char_indices())
        .filter(begins)
        .map(|(at, _)| at)
        .collect();
    places.into_iter().rev().take(MOST).find_map(|at| {
        let (head, tail) = content.split_at_checked(at)?;
        let head = head
            // A unit's sign belongs to its number: `4 x 4' 1'`.
            .trim_end_matches(|c: char| {
                c.is_whitespace() || c.is_ascii_punctuation() && !matches!(c, ')' | '\'' | '"')
            });
        let tail = tail.trim().to_owned();
        let meant = Some(head)
            .filter(|head| has_a_dose(head))
            .and_then(|head| read(head, around))?;
        let lines = meant.lines_with(&tail)?;
        is_an_end(&tail).then_some(AsFar { tail, lines })
    })
}

/// Whether words are no dose, no rest, no part of either, and nothing that the notation knows.
fn is_an_end(tail: &str) -> bool {
    !tail.contains(['#', '+'])
        && tail.contains(|c: char| c.is_alphabetic() || c == '/')
        && strict(&format!("resistance 3 x 12 s, {tail}")).is_err()
        && cut(tail).is_some_and(|(pieces, _)| {
            let tokens: Vec<Token> = pieces.concat();
            !tokens.windows(2).any(is_amount)
                && tokens.iter().all(|token| {
                    let word = token.lower();
                    let part =
                        is_rest(&word) || matches!(word.as_str(), "between" | "then" | "rounds");
                    *token != Token::Times && !part
                })
        })
}

/// Whether a number stands in front of its unit, or behind an `x`.
fn has_a_dose(head: &str) -> bool {
    cut(head).is_some_and(|(pieces, _)| {
        pieces
            .iter()
            .flat_map(|piece| piece.windows(2))
            .any(|pair| is_amount(pair) || matches!(pair, [Token::Times, next] if next.is_number()))
    })
}
