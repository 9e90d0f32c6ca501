//! So much on each side: `10 shots R 10 shots L`, `10 squats L + R`.

use crate::plan::near::is_one_of;
use crate::plan::scribble::token::{Piece, Token, lower};

/// `10 squats L + R`: beside each other, as `L/R`.
pub(super) fn both_sides(pieces: &mut Vec<Piece>) {
    let at = pieces.windows(2).position(|two| match two {
        [ahead, other] => {
            let last = ahead.last().map(Token::lower).unwrap_or_default();
            let both = format!("{last}{}", lower(other, 0));
            other.len() == 1 && matches!(both.as_str(), "lr" | "rl")
        }
        _ => false,
    });
    if let Some(at) = at {
        let other = pieces.remove(at + 1);
        if let Some(piece) = pieces.get_mut(at) {
            piece.extend(other);
        }
    }
}

/// `10 shots R 10 shots L`, `2 x 20 left, 2 x 20 right`: so much on each side.
pub(super) fn right_and_left(pieces: &mut Vec<Piece>) {
    let side = |token: &Token| match token.lower().as_str() {
        "r" | "right" => Some(true),
        "l" | "left" => Some(false),
        _ => None,
    };
    let Some(index) = pieces
        .iter()
        .position(|piece| piece.iter().any(Token::is_number))
    else {
        return;
    };
    let tokens: Piece = pieces.iter().skip(index).flatten().cloned().collect();
    let Some(from) = tokens.iter().position(Token::is_number) else {
        return;
    };
    let foot = |at: usize| usize::from(is_one_of(&lower(&tokens, at), "foot, leg, side, hand"));
    let Some(first) = (from..tokens.len()).find(|at| tokens.get(*at).and_then(side).is_some())
    else {
        return;
    };
    let next = first + 1 + foot(first + 1);
    let dose = tokens.get(from..first).unwrap_or_default();
    let second = next + dose.len();
    let same = !dose.is_empty() && tokens.get(next..second) == Some(dose);
    let sides = [first, second].map(|at| tokens.get(at).and_then(side));
    let ends = second + 1 + foot(second + 1) == tokens.len();
    if !same || !ends || sides[1].is_none() || sides[0] == sides[1] {
        return;
    }
    let mut put: Piece = tokens.iter().take(first).cloned().collect();
    put.extend(["each", "side"].map(Token::word));
    pieces.truncate(index);
    pieces.push(put);
}
