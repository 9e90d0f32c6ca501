//! Two or three rests in a row: between reps, between sets and behind the block.

use super::dose::sets_and_reps;
use super::place::{begins_rest, is_time, part};
use crate::plan::scribble::token::{Piece, Token, lower, number, text_of, unit};

/// `3 x 5 x 20 m 15 s/2 min/4 min`: the rests between reps, between sets, and behind the block, which are asked about. Gives them as
/// they were written.
pub(in crate::plan::scribble) fn rests_in_a_row(pieces: &mut Vec<Piece>) -> Option<String> {
    let alone =
        |piece: Option<&Piece>| piece.is_some_and(|piece| piece.len() == 2 && is_time(piece, 0));
    let dosed = |piece: &Piece| {
        let counts = |token: &&Token| **token == Token::Times || token.is_list();
        piece.iter().filter(counts).count() == 2
    };
    // `2 x 10 x 15 s/15 s r: 3 min`
    for index in 1..pieces.len() {
        let Some(piece) = pieces.get_mut(index).filter(|piece| is_time(piece, 0)) else {
            continue;
        };
        let r = usize::from(matches!(lower(piece, 2).as_str(), "r" | "rest" | "between"));
        if is_time(piece, 2 + r) && piece.len() == 4 + r {
            piece.drain(2..2 + r);
            part(pieces, index, 2);
            break;
        }
    }
    // `3 x 5 x 20 m rest 30 s/3 min`, `3 sets of 5 reps 20 m`
    for index in 0..pieces.len() {
        let next = pieces.get(index + 1);
        let slashed = next.is_some_and(|next| next.len() == 2 && is_time(next, 0));
        let Some(piece) = pieces.get_mut(index).filter(|_| slashed) else {
            continue;
        };
        let rest = (piece.len().checked_sub(3)).filter(|at| begins_rest(piece, *at));
        if let Some(at) = rest {
            let mut time = piece.split_off(at);
            time.remove(0);
            if piece.is_empty() {
                *piece = time;
            } else {
                sets_and_reps(piece);
                pieces.insert(index + 1, time);
            }
            break;
        }
    }
    let at = (pieces.iter()).position(|piece| {
        let measured =
            (0..piece.len()).any(|at| number(piece, at).is_some() && unit(piece, at + 1).is_some());
        dosed(piece) && (measured || piece.iter().any(Token::is_list))
    })?;
    let numbers = |piece: &Piece| piece.iter().filter(|token| token.is_number()).count();
    let times = |piece: &Piece| piece.iter().filter(|token| **token == Token::Times).count();
    if alone(pieces.get(at + 1))
        && let Some(piece) = pieces
            .get_mut(at)
            .filter(|piece| numbers(piece) == times(piece) + 2)
        && let Some(from) = piece
            .len()
            .checked_sub(2)
            .filter(|from| is_time(piece, *from))
    {
        let first = piece.split_off(from);
        pieces.insert(at + 1, first);
    }
    if !alone(pieces.get(at + 1)) || !alone(pieces.get(at + 2)) {
        return None;
    }
    let last = at + 2 + usize::from(alone(pieces.get(at + 3)));
    let rests = pieces.get(at + 1..=last)?.iter();
    let written: Vec<String> = rests.map(|piece| text_of(piece)).collect();
    for (index, lead) in [(at + 1, "rest"), (at + 3, "then")] {
        if let Some(piece) = pieces.get_mut(index).filter(|_| index <= last) {
            piece.insert(0, Token::word(lead));
        }
    }
    if let Some(piece) = pieces.get_mut(at + 2) {
        piece.extend(["between", "sets"].map(Token::word));
    }
    Some(written.join("/"))
}
