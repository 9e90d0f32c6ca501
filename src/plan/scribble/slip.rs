//! Words that are nearly ours: `sprnits 6 x 30 m`, `10 mnis`. The line is offered as it was probably meant.

use super::phrase::{OURS, is_strange};
use super::token::{Piece, Token};
use crate::plan::near::nearest;
use crate::plan::phrase::unit_of;

/// A line without its slips.
pub(super) struct Slip {
    /// The first of them, as it was written.
    pub written: String,
    pub pieces: Vec<Piece>,
}

/// The pieces with every slip put right. `None` where there is none.
pub(super) fn corrected(pieces: &[Piece]) -> Option<Slip> {
    let mut out = pieces.to_vec();
    let mut first = None;
    for piece in &mut out {
        for at in 0..piece.len() {
            let behind_number = at > 0 && piece.get(at - 1).is_some_and(Token::is_number);
            let Some(Token::Word { text, joined }) = piece.get(at).cloned() else {
                continue;
            };
            let Some(meant) = meant(&text.to_lowercase(), behind_number) else {
                continue;
            };
            first.get_or_insert(text);
            if let Some(token) = piece.get_mut(at) {
                *token = Token::Word {
                    text: meant.to_owned(),
                    joined,
                };
            }
        }
    }
    first.map(|written| Slip {
        written,
        pieces: out,
    })
}

/// The word of ours that a word is nearly; behind a number a unit.
fn meant(word: &str, behind_number: bool) -> Option<&'static str> {
    const UNITS: [&str; 8] = [
        "minutes", "mins", "seconds", "secs", "metres", "yards", "reps", "sets",
    ];
    if unit_of(word).is_some() || !is_strange(word) {
        return None;
    }
    if behind_number && let Some(unit) = nearest(word, &UNITS) {
        return Some(unit);
    }
    nearest(word, &OURS)
}
