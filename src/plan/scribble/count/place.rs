//! What stands at a place of a piece.

use crate::plan::scribble::token::{Piece, Token, is_rest, is_way, lower, seconds};

/// Whether a way or a time stands at a place.
pub(super) fn is_measured(piece: &[Token], at: usize) -> bool {
    is_way(piece, at) || is_time(piece, at)
}

/// Whether a time stands at a place.
pub(super) fn is_time(piece: &[Token], at: usize) -> bool {
    seconds(piece, at).is_some()
}

/// Whether a piece from a place on is a time and the word of a rest.
pub(super) fn is_timed_rest(piece: &[Token], at: usize) -> bool {
    is_time(piece, at)
        && matches!(
            lower(piece, at + 2).as_str(),
            "rest" | "recovery" | "off" | "break"
        )
}

/// `rest 30 s` at a place: the word before its time.
pub(super) fn begins_rest(piece: &[Token], at: usize) -> bool {
    let word = lower(piece, at);
    (is_rest(&word) || word == "rec") && is_time(piece, at + 1)
}

/// Makes what stands from a place of a piece on a piece of its own, behind it.
pub(super) fn part(pieces: &mut Vec<Piece>, index: usize, at: usize) {
    if let Some(piece) = pieces.get_mut(index) {
        let tail = piece.split_off(at);
        pieces.insert(index + 1, tail);
    }
}
