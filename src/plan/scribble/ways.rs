//! Ways that a pitch has and that are run along without a length: `the width of the pitch x 10`, `6 laps of the pitch`.

use super::gait;
use super::kind::kind_of;
use super::token::{Piece, Token, count_in_front, is_rest, lower, number, text_of, whole};
use crate::plan::near::is_one_of;
use crate::plan::{Category, PitchSize};

/// Width and length of a pitch for international matches, within the bounds of Law 1 of the game (IFAB), m.
const USUAL: PitchSize = PitchSize {
    length_m: 105.0,
    width_m: 68.0,
};
/// A lap of a running track in its inner lane (World Athletics, Technical Rules), m.
const TRACK_M: f64 = 400.0;

/// A way that was given its length.
pub(super) struct Way {
    /// As it was written.
    pub written: String,
    /// Its length where that is only what is usual, m; the plan's own pitch leaves nothing open.
    pub usual_m: Option<f64>,
    /// Its length on a running track, where it may lie there, m.
    pub track_m: Option<f64>,
}

/// Puts its length to a way that has none: that of the plan's pitch, or a usual one.
pub(super) fn put(pieces: &mut [Piece], pitch: Option<PitchSize>) -> Option<Way> {
    // `5v5 on half pitch` says where.
    if kind_of(&pieces.concat()).is(Category::Game) {
        return None;
    }
    let size = pitch.unwrap_or(USUAL);
    let lap_m = 2.0 * (size.length_m + size.width_m);
    let way = laps(pieces, lap_m).or_else(|| sides(pieces, size, lap_m))?;
    let known = pitch.is_some() && way.track_m.is_none();
    Some(Way {
        written: way.written,
        usual_m: (!known).then_some(way.length_m),
        track_m: way.track_m,
    })
}

/// What was found in the line and given its length.
struct Found {
    written: String,
    length_m: f64,
    /// On a track, where it does not say that it is of the pitch.
    track_m: Option<f64>,
}

fn is_pitch(word: &str) -> bool {
    matches!(word, "pitch" | "field" | "ground")
}

/// `6 laps of the pitch`, `jog 3 laps`, `2 x around the pitch`: as far as they are, where the line says no other amount.
fn laps(pieces: &mut [Piece], lap_m: f64) -> Option<Found> {
    let measured = |piece: &Piece| {
        (1..piece.len()).any(|at| {
            let rests = (0..at).any(|at| is_rest(&lower(piece, at)) || lower(piece, at) == "then");
            let unit = piece.get(at).is_some_and(Token::is_unit);
            let gentle = gait::is_gait(&lower(piece, at + 1))
                || is_rest(&lower(piece, at + 1))
                || lower(piece, at + 1) == "off";
            let counted = at > 1 && piece.get(at - 2) == Some(&Token::Times);
            unit && piece.get(at - 1).is_some_and(Token::is_number) && !rests && !gentle && !counted
        })
    };
    if pieces.iter().any(measured) {
        return None;
    }
    pieces.iter_mut().find_map(|piece| {
        let word = |at: usize| lower(piece, at);
        let (from, to, bare) = (1..piece.len()).find_map(|at| {
            let number = count(piece, at - 1).is_some();
            let lap = matches!(word(at).as_str(), "lap" | "laps");
            let turn = matches!(word(at).as_str(), "times" | "round" | "rounds")
                || piece.get(at) == Some(&Token::Times);
            let lead = usize::from(matches!(word(at + 1).as_str(), "of" | "around" | "round"));
            let article = usize::from(matches!(word(at + 1 + lead).as_str(), "the" | "a"));
            let of = at + 1 + lead + article;
            let pitch = is_pitch(&word(of));
            (number && (lap || turn && lead > 0 && pitch)).then_some((
                at - 1,
                if pitch { of + 1 } else { at + 1 },
                !pitch,
            ))
        })?;
        let laps = count(piece, from)?;
        let length_m = (10.0 * laps * lap_m).round() / 10.0;
        let written = text_of(piece.get(from..to)?).replace(" x ", "x ");
        let put = [Token::Number(length_m.to_string()), Token::word("m")];
        if piece.get(from + 1) == Some(&Token::Times) {
            piece.splice(from..to, put);
        } else {
            // The words are the name.
            piece.splice(to..to, put);
            if let Some(number) = piece.get_mut(from) {
                *number = Token::word(&text_of(std::slice::from_ref(number)));
            }
        }
        let track_m = bare.then_some(laps * TRACK_M);
        Some(Found {
            written,
            length_m,
            track_m,
        })
    })
}

/// How many: `6`, `six`, `a`.
fn count(piece: &[Token], at: usize) -> Option<f64> {
    let one = (lower(piece, at) == "a").then_some(1.0);
    one.or(number(piece, at))
        .or(whole(piece, at).map(f64::from))
}

/// `sprint length jog width x 6`: moves along the sides of the pitch are given their lengths, usual ones where the plan has no pitch.
/// Gives the first of them as it was written.
pub(super) fn sides_of_moves(pieces: &mut [Piece], pitch: Option<PitchSize>) -> Option<String> {
    let counted = pieces.iter().any(|piece| piece.contains(&Token::Times));
    let measured = (pieces.iter())
        .any(|piece| (1..piece.len()).any(|at| piece.get(at).is_some_and(Token::is_unit)));
    if !counted || measured {
        return None;
    }
    let size = pitch.unwrap_or(USUAL);
    let side = |piece: &Piece, at: usize| {
        let length_m = match lower(piece, at).as_str() {
            "length" | "lengths" => size.length_m,
            "width" | "widths" => size.width_m,
            _ => return None,
        };
        let the = usize::from(at > 0 && lower(piece, at - 1) == "the");
        let moves = at.checked_sub(1 + the).map(|at| lower(piece, at))?;
        let known = gait::is_gait(&moves) || is_one_of(&moves, "sprint, run, stride, fast, hard");
        known.then_some((at - the, at + 1, length_m))
    };
    let found = |pieces: &[Piece]| {
        let each = |piece: &Piece| {
            (0..piece.len())
                .filter(|at| side(piece, *at).is_some())
                .count()
        };
        pieces.iter().map(each).sum::<usize>()
    };
    // One side alone is counted as it is.
    if found(pieces) < 2 {
        return None;
    }
    let mut first = None;
    for piece in pieces.iter_mut() {
        while let Some((from, to, length_m)) = (0..piece.len()).find_map(|at| side(piece, at)) {
            first.get_or_insert_with(|| text_of(piece.get(from..to).unwrap_or_default()));
            let put = [Token::Number(length_m.to_string()), Token::word("m")];
            piece.splice(from..to, put);
        }
    }
    first
}

/// `the width of the pitch x 10`, `6 lengths of the pitch`, `half pitch x 10`: a counted side of the pitch.
fn sides(pieces: &mut [Piece], size: PitchSize, lap_m: f64) -> Option<Found> {
    let plural = |piece: &Piece| {
        (1..piece.len()).find(|at| {
            let side = matches!(lower(piece, *at).as_str(), "lengths" | "widths");
            let joined = is_pitch(&lower(piece, *at))
                && matches!(lower(piece, *at + 1).as_str(), "lengths" | "widths");
            (side || joined) && piece.get(at - 1).is_some_and(Token::is_number)
        })
    };
    for piece in pieces.iter_mut() {
        if let Some(at) = plural(piece) {
            piece.insert(at, Token::Times);
        }
    }
    let piece = pieces
        .iter_mut()
        .find(|piece| piece.contains(&Token::Times))?;
    let word = |at: usize| lower(piece, at);
    let is_side = |at: usize| {
        matches!(
            word(at).as_str(),
            "width" | "length" | "widths" | "lengths" | "lap"
        )
    };
    let (from, to) = (0..piece.len()).find_map(|at| {
        let article = usize::from(matches!(word(at + 2).as_str(), "the" | "a"));
        let of = is_side(at) && word(at + 1) == "of" && is_pitch(&word(at + 2 + article));
        // `pitch length`, but not half of it.
        let half = at > 0 && word(at - 1) == "half";
        let joined = is_pitch(&word(at)) && is_side(at + 1) && !half;
        let part = matches!(
            word(at).as_str(),
            "half" | "quarter" | "three-quarter" | "full"
        );
        let halved = part && is_pitch(&word(at + 1)) && !is_side(at + 2);
        of.then_some((at, at + 3 + article))
            .or((joined || halved).then_some((at, at + 2)))
    })?;
    // `full pitch x 6 at 75%`
    let shares = piece
        .iter()
        .filter(|token| **token == Token::Percent)
        .count();
    let numbers = piece.iter().filter(|token| token.is_number()).count();
    let numbers = numbers.saturating_sub(shares);
    let written = text_of(piece.get(from..to)?);
    let lower = written.to_lowercase();
    let length_m = match () {
        () if lower.contains("width") => size.width_m,
        () if lower.contains("lap") => lap_m,
        () if lower.contains("three-quarter") => 0.75 * size.length_m,
        () if lower.contains("quarter") => 0.25 * size.length_m,
        () if lower.contains("half") => size.length_m / 2.0,
        () => size.length_m,
    };
    let way = [Token::Number(length_m.to_string()), Token::word("m")];
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
            count_in_front(piece, to);
            piece.splice(to + 2..to + 2, way);
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
    Some(Found {
        written,
        length_m,
        track_m: None,
    })
}
