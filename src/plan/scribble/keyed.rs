//! Numbers with a word for each: `sets 3, reps 6, distance 20 m, rest 30 s`, `2 sets - 8 reps - 20 m`.

use super::token::{Piece, Token, lower};
use crate::plan::phrase::unit_of;

/// Puts them in the notation's order.
pub(super) fn put(pieces: &mut Vec<Piece>) {
    words_first(pieces);
    apart(pieces);
}

/// `Reps: 6 Sets: 2 Work: 15 s Rest: 45 s`: the word stands in front of its number, from somewhere in the line to its end.
fn words_first(pieces: &mut Vec<Piece>) {
    let all: Vec<Token> = pieces.concat();
    let Some((from, keyed)) = (0..all.len()).find_map(|from| Some((from, keyed(&all, from)?)))
    else {
        return;
    };
    let mut out: Vec<Piece> = Vec::new();
    let lead: Piece = all.into_iter().take(from).collect();
    out.extend((!lead.is_empty()).then_some(lead));
    out.extend(keyed);
    *pieces = out;
}

/// What such words say from a place to the end, in the notation's words; at least sets or reps and one thing more.
fn keyed(all: &[Token], from: usize) -> Option<Vec<Piece>> {
    let word = |at: usize| lower(all, at);
    let mut out = Vec::new();
    let mut counted = false;
    let mut at = from;
    while at < all.len() {
        let key = word(at);
        let number = all.get(at + 1).filter(|token| token.is_number())?.clone();
        let unit = all.get(at + 2).filter(|token| token.is_unit()).cloned();
        let length = 2 + usize::from(unit.is_some());
        let mut amount = vec![number];
        amount.extend(unit);
        match (key.as_str(), amount.len()) {
            ("sets" | "set" | "reps" | "rep", 1) => {
                counted = true;
                amount.push(Token::word(&key));
            }
            ("work" | "distance" | "time" | "dist" | "length", 2) => {}
            ("rest" | "recovery", 2) => amount.insert(0, Token::word("rest")),
            _ => return None,
        }
        out.push(amount);
        at += length;
    }
    (counted && out.len() > 1).then_some(out)
}

/// `2 sets`, `8 reps` and `20 m`, each a piece of its own, are one dose.
fn apart(pieces: &mut Vec<Piece>) {
    let counts = |piece: &Piece, unit: &str| match piece.as_slice() {
        [number @ Token::Number(_), word] if unit_of(&word.lower()) == Some(unit) => {
            Some(number.clone())
        }
        _ => None,
    };
    let Some(reps_at) = pieces
        .iter()
        .position(|piece| counts(piece, "reps").is_some())
    else {
        return;
    };
    let work = |piece: &Piece| {
        ["m", "yd", "s", "min"]
            .iter()
            .any(|unit| counts(piece, unit).is_some())
    };
    let Some(work_at) = pieces.iter().position(work) else {
        return;
    };
    if pieces.iter().any(|piece| piece.contains(&Token::Times)) || work_at.abs_diff(reps_at) > 2 {
        return;
    }
    let sets_at = pieces
        .iter()
        .position(|piece| counts(piece, "sets").is_some());
    let mut dose = Vec::new();
    for (at, unit) in [(sets_at, "sets"), (Some(reps_at), "reps")] {
        if let Some(number) = at.and_then(|at| counts(pieces.get(at)?, unit)) {
            dose.extend([number, Token::Times]);
        }
    }
    dose.extend(pieces.get(work_at).cloned().unwrap_or_default());
    let taken = [sets_at, Some(reps_at), Some(work_at)];
    let first = taken.iter().flatten().min().copied().unwrap_or(0);
    let mut at = 0;
    pieces.retain(|_| {
        at += 1;
        !taken.contains(&Some(at - 1))
    });
    pieces.insert(first.min(pieces.len()), dose);
}
