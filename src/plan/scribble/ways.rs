//! Ways that a pitch has and that are run along without a length: `the width of the pitch x 10`.

use super::token::{Piece, Token, lower, text_of};
use crate::plan::PitchSize;

/// Width and length of a pitch for international matches, within the bounds of Law 1 of the game (IFAB), m.
const WIDTH_M: u32 = 68;
const LENGTH_M: u32 = 105;

/// A way that was given its length.
pub(super) struct Way {
    /// As it was written.
    pub written: String,
    /// Its length where that is only what is usual, m; the plan's own pitch leaves nothing open.
    pub usual_m: Option<u32>,
}

/// Puts its length to a counted way that has none: that of the plan's pitch, or a usual one.
pub(super) fn put(pieces: &mut [Piece], pitch: Option<PitchSize>) -> Option<Way> {
    let piece = pieces
        .iter_mut()
        .find(|piece| piece.contains(&Token::Times))?;
    let word = |at: usize| lower(piece, at);
    let is_side = |at: usize| matches!(word(at).as_str(), "width" | "length");
    let is_pitch = |at: usize| matches!(word(at).as_str(), "pitch" | "field" | "ground");
    let (from, to) = (0..piece.len()).find_map(|at| {
        let of = is_side(at)
            && word(at + 1) == "of"
            && matches!(word(at + 2).as_str(), "the" | "a")
            && is_pitch(at + 3);
        // `pitch length`, but not half of it.
        let half = at > 0 && word(at - 1) == "half";
        let joined = is_pitch(at) && is_side(at + 1) && !half;
        of.then_some((at, at + 4))
            .or(joined.then_some((at, at + 2)))
    })?;
    let numbers = piece.iter().filter(|token| token.is_number()).count();
    let written = text_of(piece.get(from..to)?);
    let wide = written.to_lowercase().contains("width");
    let usual_m = if wide { WIDTH_M } else { LENGTH_M };
    let known_m = pitch.map(|pitch| if wide { pitch.width_m } else { pitch.length_m });
    let length_m = known_m.map_or(usual_m.to_string(), |m| m.to_string());
    let way = [Token::Number(length_m), Token::word("m")];
    match (piece.get(to), piece.get(to + 1)) {
        // `the width of the pitch x 10`
        (Some(Token::Times), Some(count @ Token::Number(_))) if numbers == 1 => {
            let put = [count.clone(), Token::Times].into_iter().chain(way);
            let put: Vec<Token> = put.collect();
            piece.splice(to..to + 2, put);
        }
        // `the width of the pitch, walk back x 10`
        _ if numbers == 1
            && matches!(piece.as_slice(), [.., Token::Times, Token::Number(_)])
            && piece.len() > to + 2 =>
        {
            let count: Vec<Token> = piece.drain(piece.len() - 2..).rev().collect();
            piece.splice(to..to, count.into_iter().chain(way));
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
    Some(Way {
        written,
        usual_m: known_m.is_none().then_some(usual_m),
    })
}
