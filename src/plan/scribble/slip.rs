//! Words that are nearly ours: `sprnits 6 x 30 m`, `10 mnis`. The line is offered as it was probably meant.

use super::apart::Scribbled;
use super::ask::question;
use super::meaning::{Around, LONGEST_SHOWN, Scribble};
use super::one::one_thing;
use super::phrase::{is_strange, nearest_ours};
use super::token::{Piece, Token, lower, number_in_words};
use crate::plan::near::nearest;
use crate::plan::phrase::unit_of;

/// A line with words that are nearly ours, as it was probably meant.
pub(super) fn offered(slip: Slip, content: &str, around: Around<'_>) -> Option<Scribble> {
    // Of a line that fills the screen only the word is shown.
    if content.len() > LONGEST_SHOWN {
        return None;
    }
    let message = format!("`{}` is not read", slip.written);
    let lines = lines_of(slip.pieces, content, around);
    question(message, Some(slip.written), lines)
}

/// The lines of a block or a question as which pieces are read.
pub(super) fn lines_of(pieces: Vec<Piece>, content: &str, around: Around<'_>) -> Vec<String> {
    let line = Scribbled::new(pieces, None, around.pitch);
    let remark = line.remarks.join("; ");
    match one_thing(&line, content, around) {
        Some(Scribble::Block { block, .. }) if remark.is_empty() => vec![block.line_text(true)],
        Some(Scribble::Block { block, .. }) => {
            vec![format!("{}  # {remark}", block.line_text(true))]
        }
        Some(Scribble::Ask { lines, .. }) => lines,
        _ => Vec::new(),
    }
}

/// A line without its slips.
pub(super) struct Slip {
    /// The first of them, as it was written.
    pub written: String,
    /// One of them is a number, without which the line would say something else.
    pub counts: bool,
    pub pieces: Vec<Piece>,
}

/// The pieces with every slip put right. `None` where there is none.
pub(super) fn corrected(pieces: &[Piece]) -> Option<Slip> {
    let mut out = pieces.to_vec();
    let (mut first, mut counts) = (None, false);
    for piece in &mut out {
        for at in 0..piece.len() {
            let behind_number = at > 0 && piece.get(at - 1).is_some_and(Token::is_number);
            let Some(Token::Word { text, joined }) = piece.get(at).cloned() else {
                continue;
            };
            let word = text.to_lowercase();
            let number = is_counted(piece, at).then(|| number_meant(&word)).flatten();
            counts |= number.is_some();
            let Some(meant) = number.or_else(|| meant(&word, behind_number)) else {
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
        counts,
        pieces: out,
    })
}

/// Whether a number is due at a place: in front of a unit or an `x`, or behind an `x`.
fn is_counted(piece: &[Token], at: usize) -> bool {
    let times = |token: Option<&Token>| token == Some(&Token::Times);
    unit_of(&lower(piece, at + 1)).is_some() && !lower(piece, at).is_empty()
        || times(piece.get(at + 1))
        || at > 0 && times(piece.get(at - 1))
}

/// The number that a word is nearly: `fourty`.
fn number_meant(word: &str) -> Option<&'static str> {
    const NUMBERS: [&str; 12] = [
        "three", "seven", "eight", "twelve", "fifteen", "twenty", "thirty", "forty", "fifty",
        "sixty", "eighty", "ninety",
    ];
    let long = word.chars().count() > 4 && number_in_words(word).is_none();
    nearest(word, &NUMBERS).filter(|_| long)
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
    nearest_ours(word)
}
