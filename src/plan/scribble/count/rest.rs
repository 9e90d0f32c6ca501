//! Rests and the counts beside them: what belongs to the rest is a piece of its own.

use super::behind::work;
use super::place::{begins_rest, is_time, is_timed_rest, part};
use crate::plan::phrase::unit_of;
use crate::plan::scribble::gait;
use crate::plan::scribble::phrase::counts;
use crate::plan::scribble::token::{
    Piece, Token, is_each_side, is_way, lower, number, seconds, text_of, unit, whole,
};

/// A rest of this length or longer behind sets may lie between them, s.
const LONG_REST_S: f64 = 60.0;

/// `10 s rest 50 s`: the word belongs to the time behind it, so it begins a piece.
pub(super) fn rest_between_times(pieces: &mut Vec<Piece>) {
    for index in 0..pieces.len() {
        let Some(piece) = pieces.get_mut(index) else {
            return;
        };
        let ahead = |at: usize| piece.get(..at).unwrap_or_default();
        // `4 x 4 rest 2 min`
        let bare = |at: usize| {
            // `sprints 20-40-60 rest 60 s`
            let list = ahead(at).last().is_some_and(Token::is_list);
            list || matches!(ahead(at), [.., Token::Times, Token::Number(_)])
        };
        let timed = |at: usize| is_time(piece, at - 2) && !ahead(at).contains(&Token::Times);
        let at = (2..piece.len()).find(|at| begins_rest(piece, *at) && (timed(*at) || bare(*at)));
        if let Some(at) = at {
            part(pieces, index, at);
        }
    }
}

/// `5 x 3 min off 2 min`, as swimmers say it: a rest of that time.
pub(super) fn off_a_time(pieces: &mut Vec<Piece>) {
    for index in 0..pieces.len() {
        let Some(piece) = pieces.get_mut(index).filter(|piece| counts(piece)) else {
            continue;
        };
        let end = piece.len();
        let off = end.checked_sub(3).filter(|at| {
            lower(piece, *at) == "off"
                && is_time(piece, at + 1)
                && !piece.iter().any(|token| token.lower() == "on")
        });
        if let Some(at) = off {
            let mut rest = piece.split_off(at);
            if let Some(first) = rest.first_mut() {
                *first = Token::word("rest");
            }
            pieces.insert(index + 1, rest);
        }
    }
}

/// `r 30 s, R 3 min`: a coach's small letter is the rest between reps, the capital that between sets.
pub(super) fn capital_rest(pieces: &mut Vec<Piece>) {
    let mut index = 0;
    while let Some(piece) = pieces.get_mut(index) {
        // `3 x 3 x 30 m r2' R5'`
        let at = (1..piece.len()).find(|at| lower(piece, *at) == "r" && is_time(piece, at + 1));
        if let Some(at) = at {
            part(pieces, index, at);
        }
        index += 1;
    }
    let led = |piece: &Piece, letter: &str| {
        piece.first() == Some(&Token::word(letter)) && piece.len() == 3 && is_time(piece, 1)
    };
    if !pieces.iter().any(|piece| led(piece, "r")) {
        return;
    }
    if let Some(piece) = pieces.iter_mut().find(|piece| led(piece, "R")) {
        piece.remove(0);
        piece.extend(["between", "sets"].map(Token::word));
    }
}

/// `4 x 1000 m with 2 min jog`: a rest behind `with` is a phrase of its own.
pub(super) fn with_a_rest(pieces: &mut Vec<Piece>) {
    let rests = |word: &str| {
        gait::is_gait(word) || matches!(word, "rest" | "recovery" | "rec" | "break" | "pause")
    };
    for index in 0..pieces.len() {
        let Some(piece) = pieces.get_mut(index) else {
            return;
        };
        let at = (1..piece.len()).find(|at| {
            let way = is_way(piece, at + 1)
                && gait::is_gait(&lower(piece, at + 3))
                && at + 4 == piece.len();
            let back = gait::is_gait(&lower(piece, at + 1)) && lower(piece, at + 2) == "back";
            if lower(piece, *at) == "with" && back {
                return true;
            }
            lower(piece, *at) == "with"
                && (is_time(piece, at + 1) || way)
                // `4 x 1000 m with 2 min`: nothing else is done with a time.
                && (at + 3 == piece.len()
                    || (at + 3..at + 6).any(|behind| rests(&lower(piece, behind))))
        });
        if let Some(at) = at.filter(|_| piece.contains(&Token::Times) || counts(piece)) {
            let mut rest = piece.split_off(at);
            rest.remove(0);
            if gait::is_gait(&lower(&rest, 0)) {
                rest.truncate(2);
            } else if rest.len() == 2 {
                rest.push(Token::word("rest"));
            } else if !is_time(&rest, 0) {
                rest.push(Token::word("recovery"));
            }
            pieces.insert(index + 1, rest);
            return;
        }
    }
}

/// `30 s flat out, 4 min rest x 6`: what is done so often is both, so the count stands in front of the work where that has none.
pub(super) fn count_behind_a_rest(pieces: &mut [Piece]) {
    let Some(index) = pieces.len().checked_sub(1).filter(|index| *index > 0) else {
        return;
    };
    let counted =
        (pieces.iter().take(index)).any(|piece| counts(piece) || piece.contains(&Token::Times));
    let Some(last) = pieces.get(index).filter(|_| !counted) else {
        return;
    };
    // `10 s all out, 50 s walk x 10`
    let gentle = is_time(last, 0) && gait::is_gait(&lower(last, 2));
    let rest = is_timed_rest(last, 0) || begins_rest(last, 0) || gentle;
    let behind =
        last.len() == 5 && rest && last.get(3) == Some(&Token::Times) && whole(last, 4).is_some();
    let works: Vec<(usize, usize)> = (pieces.iter().enumerate().take(index))
        .filter_map(|(at, piece)| Some((at, work(piece)?)))
        .collect();
    let [(at, from)] = works.as_slice() else {
        return;
    };
    if !behind {
        return;
    }
    let (at, from) = (*at, *from);
    if let Some(last) = pieces.get_mut(index)
        && let (Some(count), Some(_)) = (last.pop(), last.pop())
        && let Some(piece) = pieces.get_mut(at)
    {
        piece.splice(from..from, [count, Token::Times]);
    }
}

/// `6 x 20 m, 1 min rest x 3 sets`: the sets in front of the dose, and the rest, which may be one between reps or between sets, as a
/// piece of its own. Gives that rest as it was written.
pub(in crate::plan::scribble) fn sets_behind_a_rest(pieces: &mut Vec<Piece>) -> Option<String> {
    let dosed = |piece: &Piece| {
        piece
            .windows(3)
            .position(|three| matches!(three, [Token::Number(_), Token::Times, Token::Number(_)]))
    };
    let (dose, times) =
        (pieces.iter().enumerate()).find_map(|(k, piece)| Some((k, dosed(piece)?)))?;
    let index = pieces.len() - 1;
    let last = pieces.get(index)?;
    let end = last.len();
    let sets_at = end.checked_sub(3).filter(|at| {
        last.get(*at) == Some(&Token::Times)
            && whole(last, at + 1).is_some()
            && unit(last, at + 2) == Some("sets")
    })?;
    let rest_at = sets_at
        .checked_sub(3)
        .filter(|at| is_timed_rest(last, *at))?;
    // The dose must say how often, and nothing of sets.
    let own = pieces.get(dose)?;
    if own.get(times + 3) == Some(&Token::Times) || (dose == index && times + 3 > rest_at) {
        return None;
    }
    let sets = last.get(sets_at + 1).cloned()?;
    let rest: Piece = last.get(rest_at..sets_at)?.to_vec();
    let written = text_of(last.get(rest_at..end)?);
    if let Some(last) = pieces.last_mut() {
        last.truncate(rest_at);
    }
    pieces.push(rest);
    if let Some(own) = pieces.get_mut(dose) {
        own.splice(times..times, [sets, Token::Times]);
    }
    pieces.retain(|piece| !piece.is_empty());
    Some(written)
}

/// `10 x 20 m, 4 sets, 2 min rest`: a long rest right behind the sets may lie between them or between the reps. Gives it as it was
/// written.
pub(in crate::plan::scribble) fn rest_behind_sets(pieces: &[Piece]) -> Option<String> {
    let at = pieces.windows(2).position(|two| match two {
        [sets, rest] => {
            let counted = sets.len() == 2
                && unit(sets, 1) == Some("sets")
                && whole(sets, 0).is_some_and(|sets| sets > 1);
            let long = |at: usize| seconds(rest, at).is_some_and(|rest_s| rest_s >= LONG_REST_S);
            let timed = rest.len() == 3
                && (long(0) && is_timed_rest(rest, 0) || long(1) && begins_rest(rest, 0));
            counted && timed
        }
        _ => false,
    })?;
    // It lies behind all that is said of the dose.
    if at + 2 < pieces.len() {
        return None;
    }
    let counts_reps = pieces.iter().take(at).any(|piece| {
        piece.windows(2).any(|two| {
            matches!(
                two,
                [Token::Number(_), Token::Times] | [Token::Times, Token::Number(_)]
            )
        })
    });
    counts_reps.then(|| text_of(pieces.get(at + 1).map(Vec::as_slice).unwrap_or_default()))
}

/// `3 x 800 m 2 min`, `120 s x 5 1:1`: the time or the ratio behind a dose is a piece of its own, which is asked about.
pub(in crate::plan::scribble) fn time_behind(pieces: &mut Vec<Piece>) {
    for index in 0..pieces.len() {
        let Some(piece) = pieces
            .get(index)
            .filter(|piece| piece.contains(&Token::Times))
        else {
            continue;
        };
        let ratio = matches!(piece.last(), Some(Token::Number(text)) if text.len() == 3 && text.contains(':'));
        let at = piece.len().checked_sub(if ratio { 1 } else { 2 });
        let Some(at) = at.filter(|at| ratio || is_time(piece, *at)) else {
            continue;
        };
        let dosed = match piece.get(..at) {
            Some([.., Token::Times, Token::Number(_), word]) => {
                // `3 x 1 min 30 s` is one time.
                let within = number(piece, at).is_some_and(|seconds| seconds < 60.0);
                !(within
                    && unit_of(&word.lower()) == Some("min")
                    && unit(piece, at + 1) == Some("s"))
                    && unit_of(&word.lower()).is_some()
            }
            Some([.., Token::Times, Token::Number(_)] | [.., Token::Number(_), Token::Percent]) => {
                true
            }
            // `3 x 12 each leg 60 s`
            Some(ahead @ [.., Token::Times, Token::Number(_), _, _]) => {
                is_each_side(ahead, ahead.len() - 2)
            }
            Some([.., Token::Number(_), speed]) => {
                matches!(unit_of(&speed.lower()), Some("m/s" | "km/h" | "mph"))
            }
            _ => false,
        };
        if dosed {
            part(pieces, index, at);
            return;
        }
    }
}
