//! Rests that are open: without a unit, between which reps or sets, or the time of the work.

use super::{NO_UNIT, Open, find, with};
use crate::plan::near::is_one_of;
use crate::plan::scribble::gait;
use crate::plan::scribble::phrase::counts;
use crate::plan::scribble::token::{Piece, Token, lower, number, seconds, text_of, unit, whole};

/// Below it a rest without a unit is in minutes.
const LEAST_S: f64 = 10.0;

/// `2 x 6 x 20 m, 40 s rest, 3 min`: between sets, or behind the block.
pub(super) fn time_at_the_end(pieces: &[Piece]) -> Option<Open> {
    let (last, ahead) = pieces.split_last()?;
    let times = |piece: &Piece| piece.iter().filter(|token| **token == Token::Times).count();
    // `2 x 5-10-15 m` are sets as well.
    let listed = |piece: &Piece| piece.iter().any(Token::is_list);
    let said = |piece: &Piece| piece.len() == 2 && unit(piece, 1) == Some("sets");
    let sets =
        (ahead.iter()).any(|piece| times(piece) == 1 + usize::from(!listed(piece)) || said(piece));
    let rests = |piece: &Piece| {
        let walks = gait::is_gait(&lower(piece, 0)) && lower(piece, 1) == "back";
        if walks && piece.len() == 2 {
            return true;
        }
        let timed = (0..piece.len()).any(|at| seconds(piece, at).is_some());
        timed
            && piece
                .iter()
                .any(|token| is_one_of(&token.lower(), "rest, recovery, rec, r, off"))
    };
    if last.len() != 2
        || seconds(last, 0).is_none()
        || !sets
        || !(ahead.iter())
            .rfind(|piece| !said(piece))
            .is_some_and(rests)
    {
        return None;
    }
    let written = text_of(last);
    let between = [last.clone(), ["between", "sets"].map(Token::word).to_vec()].concat();
    let then = [vec![Token::word("then")], last.clone()].concat();
    let meant = [between, then].map(|rest| [ahead.to_vec(), vec![rest]].concat());
    let message = format!("`{written}` may lie between the sets, or behind the block");
    Some(Open::new(message, written, meant.to_vec()))
}

/// `sprint the diagonals x 6 60 s`: a rest behind so many, or the time of each.
pub(super) fn time_behind_a_count(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ()) = find(pieces, |piece, at| {
        let counted = at > 1
            && piece.get(at - 1) == Some(&Token::Times)
            && matches!(piece.get(at - 2), Some(Token::Word { .. }))
            && unit(piece, at - 2).is_none();
        let timed = whole(piece, at).is_some() && seconds(piece, at + 1).is_some();
        (counted && timed && at + 3 == piece.len()).then_some(())
    })?;
    let piece = pieces.get(index)?;
    let time = piece.get(at + 1..)?.to_vec();
    let written = text_of(&time);
    let mut rested = with(pieces, index, at + 1..at + 3, &[]);
    rested.insert(
        index + 1,
        [vec![Token::word("rest")], time.clone()].concat(),
    );
    let dose = [vec![piece.get(at)?.clone(), Token::Times], time].concat();
    let worked = with(pieces, index, at - 1..at + 3, &dose);
    let message = format!("`{written}` may be the rest, or how long each takes");
    Some(Open::new(message, written, vec![rested, worked]))
}

/// `10 x 20 m on 30 s`: one sets off so often.
pub(super) fn on_a_time(pieces: &[Piece]) -> Option<Open> {
    let (index, at, length) = find(pieces, |piece, at| {
        let on = at > 0 && lower(piece, at) == "on" && seconds(piece, at - 2.min(at)).is_none();
        let length = usize::from(lower(piece, at + 1) == "the") + 1;
        let timed = seconds(piece, at + length).is_some() && at + length + 2 == piece.len();
        // `on 30`: seconds are usual.
        let bare = whole(piece, at + length).is_some_and(|time| time >= 10);
        let timed = timed || bare && at + length + 1 == piece.len();
        let ahead = piece.get(..at).unwrap_or_default();
        (on && timed && counts(ahead)).then_some(length)
    })?;
    let mut time = pieces.get(index)?.get(at + length..)?.to_vec();
    let written = text_of(pieces.get(index)?.get(at..)?);
    let ends = at + length + time.len();
    if time.len() == 1 {
        time.push(Token::word("s"));
    }
    let meant = ["every", "rest"].map(|word| {
        let mut out = with(pieces, index, at..ends, &[]);
        out.insert(index + 1, [vec![Token::word(word)], time.clone()].concat());
        out
    });
    let message = format!("`{written}` may be when each begins, or the rest");
    Some(Open::new(message, written, meant.to_vec()))
}

/// `rest 60`, `R2`, `rest 1m`, `rest 1.30`: seconds or minutes, as is usual for so many.
pub(super) fn rests_without_a_unit(pieces: &[Piece]) -> Option<Open> {
    if !pieces.iter().any(|piece| counts(piece)) {
        return None;
    }
    let mut out = pieces.to_vec();
    let mut first = None;
    for piece in &mut out {
        // `90 off` has its word behind it.
        let alone = piece.len() == 2 && piece.first().is_some_and(Token::is_number);
        let mut at = usize::from(!alone);
        while at < piece.len() {
            if let Some((taken, put, usual)) = rest_without_a_unit(piece, at) {
                let written = text_of(
                    piece
                        .get(at.saturating_sub(1)..at + taken)
                        .unwrap_or_default(),
                );
                first.get_or_insert((written, usual));
                piece.splice(at..at + taken, put);
            }
            at += 1;
        }
    }
    let (written, usual) = first?;
    let message = format!("`{written}` {NO_UNIT}; {usual} are usual");
    Some(Open::new(message, written, vec![out]))
}

/// How many tokens a rest without a unit takes at a place, the time in their place, and what is usual.
fn rest_without_a_unit(piece: &[Token], at: usize) -> Option<(usize, [Token; 2], &'static str)> {
    let ahead = at
        .checked_sub(1)
        .map_or_else(String::new, |at| lower(piece, at));
    let led = is_one_of(&ahead, "r, rest, rests, rec, recovery, pause, break, sr");
    let Token::Number(text) = piece.get(at)? else {
        return None;
    };
    let metres = usize::from(matches!(lower(piece, at + 1).as_str(), "m"));
    let behind = lower(piece, at + 1 + metres);
    // `30 rest`
    let behind_it = is_one_of(&lower(piece, at + 1), "rest, rec, recovery, off, break");
    let led = led || (ahead == "with" || at == 0) && behind_it;
    let ends = piece.get(at + 1 + metres).is_none()
        || is_one_of(&behind, "between, r, rest, rec")
        || at == 0 && behind_it;
    if !led || !ends {
        return None;
    }
    let time = |time: String, unit: &str| [Token::Number(time), Token::word(unit)];
    // `1.30` is how a watch shows it.
    let clock = text
        .split_once(['.', ','])
        .filter(|(_, part)| part.len() == 2);
    if let Some((minutes, part)) = clock {
        let (minutes, part): (u32, u32) = (minutes.parse().ok()?, part.parse().ok()?);
        if minutes >= 60 || part >= 60 {
            return None;
        }
        let seconds = time((60 * minutes + part).to_string(), "s");
        return Some((1 + metres, seconds, "minutes and seconds"));
    }
    let value = number(piece, at).filter(|value| *value > 0.0)?;
    let (unit, usual) = if value < LEAST_S {
        ("min", "minutes")
    } else if metres == 0 {
        ("s", "seconds")
    } else {
        return None;
    };
    Some((1 + metres, time(text.clone(), unit), usual))
}
