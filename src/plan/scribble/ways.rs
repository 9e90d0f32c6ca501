//! Ways that a pitch has and that are run along without a length: `the width of the pitch x 10`.

use super::token::{Piece, Token, text_of};

/// Width and length of a pitch for international matches, within the bounds of Law 1 of the game (IFAB), m.
const WIDTH_M: u32 = 68;
const LENGTH_M: u32 = 105;

/// The length that a way usually has, m.
pub(super) fn usual_m(written: &str) -> u32 {
    if written.to_lowercase().contains("width") {
        WIDTH_M
    } else {
        LENGTH_M
    }
}

/// Puts a usual length to a counted way that has none. Gives the way as it was written, which is asked about.
pub(super) fn put(pieces: &mut [Piece]) -> Option<String> {
    let piece = pieces
        .iter_mut()
        .find(|piece| piece.contains(&Token::Times))?;
    let word = |at: usize| piece.get(at).map(Token::lower).unwrap_or_default();
    let from = (0..piece.len()).find(|at| {
        matches!(word(*at).as_str(), "width" | "length")
            && matches!(word(at + 1).as_str(), "of")
            && matches!(word(at + 2).as_str(), "the" | "a")
            && matches!(word(at + 3).as_str(), "pitch" | "field" | "ground")
    })?;
    let to = from + 4;
    let numbers = piece.iter().filter(|token| token.is_number()).count();
    let written = text_of(piece.get(from..to)?);
    let way = [
        Token::Number(usual_m(&written).to_string()),
        Token::word("m"),
    ];
    match (piece.get(to), piece.get(to + 1)) {
        // `the width of the pitch x 10`
        (Some(Token::Times), Some(count @ Token::Number(_))) if numbers == 1 => {
            let put = [count.clone(), Token::Times].into_iter().chain(way);
            let put: Vec<Token> = put.collect();
            piece.splice(to..to + 2, put);
        }
        // `10 x the width of the pitch`
        _ if numbers == 1 => {
            let times = piece.iter().position(|token| *token == Token::Times)?;
            let counted = times
                .checked_sub(1)
                .is_some_and(|at| piece.get(at).is_some_and(Token::is_number));
            if !counted || times > from {
                return None;
            }
            let behind = times + 1;
            piece.splice(behind..behind, way);
        }
        _ => return None,
    }
    Some(written)
}
