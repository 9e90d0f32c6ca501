//! As many reps as fill a time.

use crate::plan::scribble::token::{Piece, Token, is_way, lower, seconds, text_of};

/// A time alone behind work and rest is what they fill where it holds so many of both.
const FEWEST: f64 = 5.0;

/// `2 min on, 1 min off for 20 min`: as many times as fill the time, a rest behind the last or not. What is asked about, as it
/// was written, where that is no whole number.
pub(in crate::plan::scribble) fn for_a_time(pieces: &mut Vec<Piece>) -> Option<String> {
    let find = |word: &str| {
        (pieces.iter().enumerate()).find_map(|(index, piece)| {
            let at = (2..piece.len()).find(|at| lower(piece, *at) == word)? - 2;
            Some((index, at, seconds(piece, at)?))
        })
    };
    let (on, on_at, work_s) = find("on")?;
    let (off, _, rest_s) = find("off")?;
    let (total, from, to, total_s) = pieces.iter().enumerate().find_map(|(index, piece)| {
        (0..piece.len()).find_map(|at| {
            if lower(piece, at) == "for" {
                return Some((index, at, at + 3, seconds(piece, at + 1)?));
            }
            if lower(piece, at + 2) == "of" {
                return Some((index, at, at + 3, seconds(piece, at)?));
            }
            // `1 min fast / 1 min slow 10 mins`
            if at >= 3 && lower(piece, at - 1) == "off" && at + 2 == piece.len() {
                return Some((index, at, at + 2, seconds(piece, at)?));
            }
            // `30 s on, 15 s off, 10 min`: too long for a rest behind it.
            if index > off && piece.len() == 2 {
                let fills = |total_s: &f64| *total_s >= FEWEST * (work_s + rest_s);
                return Some((index, 0, 2, seconds(piece, 0).filter(fills)?));
            }
            // `20 min: 1 min on, 1 min off`
            let ahead = index < on && at + 2 == piece.len();
            ahead.then_some((index, at, at + 2, seconds(piece, at)?))
        })
    })?;
    let numbers = pieces.iter().flatten().filter(|token| token.is_number());
    let round_s = work_s + rest_s;
    if numbers.count() != 3 || round_s <= 0.0 || total_s < round_s {
        return None;
    }
    let whole = [total_s / round_s, (total_s + rest_s) / round_s]
        .into_iter()
        .find(|count| count.fract() == 0.0);
    let count = whole.unwrap_or((total_s / round_s).floor());
    let written = text_of(pieces.get(total)?.get(from..to)?);
    let put = [Token::Number(count.to_string()), Token::Times];
    // What stands behind goes first, so that the other's place stays.
    if (total, from) > (on, on_at) {
        pieces.get_mut(total)?.drain(from..to);
        pieces.get_mut(on)?.splice(on_at..on_at, put);
    } else {
        pieces.get_mut(on)?.splice(on_at..on_at, put);
        pieces.get_mut(total)?.drain(from..to);
    }
    pieces.retain(|piece| !piece.is_empty());
    whole.is_none().then_some(written)
}

/// `20 m every 20 s for 4 min`: as many as begin in that time. What is asked about, where that is no whole number.
pub(in crate::plan::scribble) fn every_for(pieces: &mut [Piece]) -> Option<String> {
    let [piece] = pieces else { return None };
    let way = (0..piece.len()).find(|at| is_way(piece, *at))?;
    let every = (way + 2..piece.len()).find(|at| lower(piece, *at) == "every")?;
    let whole_s = (every + 3..piece.len()).find(|at| lower(piece, *at) == "for")?;
    let (each_s, all_s) = (seconds(piece, every + 1)?, seconds(piece, whole_s + 1)?);
    let counted = piece.contains(&Token::Times) || each_s <= 0.0 || all_s < each_s;
    if counted || whole_s + 3 != piece.len() {
        return None;
    }
    let count = (all_s / each_s).floor();
    let written = text_of(piece.get(whole_s..)?);
    piece.truncate(whole_s);
    piece.splice(way..way, [Token::Number(count.to_string()), Token::Times]);
    (count * each_s != all_s).then_some(written)
}
