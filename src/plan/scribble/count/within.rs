//! As many reps as fill a time.

use crate::plan::scribble::token::{Piece, Token, is_way, lower, number, seconds, text_of};

/// A time alone behind work and rest is what they fill where it holds so many of both.
const FEWEST: f64 = 5.0;

/// `2 min on, 1 min off for 20 min`: as many times as fill the time, a rest behind the last or not. What is asked about, as it
/// was written, where that is no whole number.
pub(in crate::plan::scribble) fn for_a_time(pieces: &mut Vec<Piece>) -> Option<String> {
    work_and_rest(pieces);
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

/// `20 s work 40 s rest, 12 min`: where a third time stands beside them, as `20 s on, 40 s off` does.
fn work_and_rest(pieces: &mut [Piece]) {
    let place = |word: &str| {
        (pieces.iter().enumerate()).find_map(|(index, piece)| {
            let at = (0..piece.len()).find(|at| lower(piece, *at) == word)?;
            let behind = at
                .checked_sub(2)
                .filter(|from| seconds(piece, *from).is_some());
            let leads = at == 0 && seconds(piece, 1).is_some() && piece.len() == 3;
            (behind.is_some() || leads).then_some((index, at, leads))
        })
    };
    let (Some(work), Some(rest)) = (place("work"), place("rest")) else {
        return;
    };
    let times = pieces.iter().flatten().filter(|token| token.is_unit());
    if times.count() != 3 || pieces.iter().any(|piece| piece.contains(&Token::Times)) {
        return;
    }
    for ((index, at, leads), put) in [(work, "on"), (rest, "off")] {
        if let Some(token) = pieces.get_mut(index).and_then(|piece| piece.get_mut(at)) {
            *token = Token::word(put);
        }
        if leads && let Some(piece) = pieces.get_mut(index) {
            piece.rotate_left(1);
        }
    }
}

/// `20 m every 20 s for 4 min`: as many as begin in that time. What is asked about, where that is no whole number.
pub(in crate::plan::scribble) fn every_for(pieces: &mut [Piece]) -> Option<String> {
    if pieces.iter().any(|piece| piece.contains(&Token::Times)) {
        return None;
    }
    let (dose, way) = (pieces.iter().enumerate()).find_map(|(index, piece)| {
        let way = (0..piece.len()).find(|at| is_way(piece, *at))?;
        Some((index, way))
    })?;
    let (index, each_s, all, all_s) = (pieces.iter().enumerate()).find_map(|(index, piece)| {
        let every = (0..piece.len()).find(|at| lower(piece, *at) == "every")?;
        let minute = lower(piece, every + 1) == "minute";
        let each_s = if minute {
            60.0
        } else {
            seconds(piece, every + 1)?
        };
        let all = every + if minute { 2 } else { 3 };
        if lower(piece, all) != "for" {
            return None;
        }
        // `every minute for 10`: minutes, or as many.
        let bare = piece.len() == all + 2 && minute;
        let all_s = match number(piece, all + 1).filter(|_| bare) {
            Some(minutes) => 60.0 * minutes,
            None => seconds(piece, all + 1).filter(|_| piece.len() == all + 3)?,
        };
        Some((index, each_s, all, all_s))
    })?;
    if each_s <= 0.0 || all_s < each_s {
        return None;
    }
    let count = (all_s / each_s).floor();
    let piece = pieces.get_mut(index)?;
    let written = text_of(piece.get(all..)?);
    piece.truncate(all);
    let put = [Token::Number(count.to_string()), Token::Times];
    pieces.get_mut(dose)?.splice(way..way, put);
    (count * each_s != all_s).then_some(written)
}
