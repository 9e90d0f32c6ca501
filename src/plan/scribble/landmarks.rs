//! Lines of the pitch as the stations of one rep: `6yd box - 18 - halfway shuttles` names a run, and is no length of it.

use super::ask::USUAL_REPS;
use super::token::{Piece, Token, lower, text_of};
use crate::plan::near::is_one_of;

/// A run to several lines of the pitch, with the lines as its name.
pub(super) struct Landmarks {
    pub pieces: Vec<Piece>,
    pub counted: bool,
}

/// Puts the lines together as the name of what is done. `None` where the line has no such row.
pub(super) fn named(pieces: &[Piece]) -> Option<Landmarks> {
    let row = pieces.iter().take_while(|piece| is_a_line(piece)).count();
    let stations = pieces.get(..row).filter(|row| row.len() > 2)?;
    // Without a number nothing is misread.
    let numbered = |piece: &Piece| is_a_number(piece) || is_a_box(piece);
    if !stations.iter().any(numbered) {
        return None;
    }
    let (last, ahead) = stations.split_last()?;
    let end = (last.iter().position(|token| *token == Token::Times)).unwrap_or(last.len());
    let texts: Vec<String> = (ahead.iter().map(Vec::as_slice))
        .chain(last.get(..end))
        .map(text_of)
        .collect();
    let count = last.get(end + 1).filter(|count| count.is_number()).cloned();
    let counted = count.is_some();
    let count = count.unwrap_or_else(|| Token::Number(USUAL_REPS.to_string()));
    let named = vec![Token::Name(texts.join(" - ")), count, Token::word("reps")];
    let behind = pieces.get(row..)?.iter().cloned();
    let pieces = std::iter::once(named).chain(behind).collect();
    Some(Landmarks { pieces, counted })
}

/// `6yd box`, `18`, `halfway shuttles x 4`.
fn is_a_line(piece: &Piece) -> bool {
    let place = is_one_of(
        &lower(piece, 0),
        "halfway, half, box, edge, spot, penalty, goal, touchline, byline, far",
    );
    let amount = |token: &Token| token.is_number() || token.is_unit();
    let counted = matches!(piece.as_slice(), [.., Token::Times, Token::Number(_)]);
    let words = piece.get(..piece.len() - 2 * usize::from(counted));
    let plain = words.is_some_and(|words| !words.iter().any(amount));
    is_a_number(piece) || (place || is_a_box(piece)) && plain
}

/// `18`, alone.
fn is_a_number(piece: &Piece) -> bool {
    matches!(piece.as_slice(), [Token::Number(text)] if is_one_of(text, "6, 12, 18"))
}

/// `6 yd box`, which is one word by now.
fn is_a_box(piece: &Piece) -> bool {
    let word = lower(piece, 0);
    let last = word.rsplit(' ').next().unwrap_or_default();
    word.starts_with(|c: char| c.is_ascii_digit()) && is_one_of(last, "box, area, line")
}
