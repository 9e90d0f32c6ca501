//! Rests without a word of their own, or beside what is no rest: `20 s passive`, `30 s / 2 sets / 3 min`, `rest 1:1`.

use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::scribble::kind;
use crate::plan::scribble::token::{
    Piece, Token, is_each_side, is_rest, is_way, lower, seconds, unit, whole,
};

/// `20 s passive`, `25 s active` behind a dose: a rest, and how it is taken. `30 s active, 20 s passive x 10`: work and rest.
pub(super) fn taken_still(pieces: &mut [Piece]) {
    let timed = |piece: &Piece, words: &str| {
        seconds(piece, 0).is_some() && is_one_of(&lower(piece, 2), words)
    };
    let mut dosed = false;
    for piece in pieces.iter_mut() {
        let words = if dosed {
            "passive, active, standing"
        } else {
            "passive, standing"
        };
        if piece.len() == 3 && timed(piece, words) {
            piece.push(Token::word("rest"));
        }
        dosed |= piece.contains(&Token::Times);
    }
    let both = pieces.windows(2).position(|two| match two {
        [work, still] => {
            let counted = matches!(still.get(3..), Some([Token::Times, Token::Number(_)]));
            work.len() == 3 && timed(work, "active") && counted && timed(still, "passive, standing")
        }
        _ => false,
    });
    if let Some([work, still]) = both.and_then(|at| pieces.get_mut(at..at + 2)) {
        work.splice(2.., [Token::word("on")]);
        still.splice(2..3, [Token::word("off")]);
    }
}

/// `with 30 s in between and 3 min between sets`: a piece each.
pub(super) fn two_rests(pieces: &mut Vec<Piece>) {
    let found = (pieces.iter().enumerate()).find_map(|(index, piece)| {
        let time = |at: usize| seconds(piece, at).is_some();
        let and = (3..piece.len()).find(|at| {
            lower(piece, *at) == "and" && time(at + 1) && lower(piece, at + 3) == "between"
        })?;
        let with = (1..and).find(|at| lower(piece, *at) == "with" && time(at + 1))?;
        Some((index, with, and))
    });
    if let Some((index, with, and)) = found
        && let Some(piece) = pieces.get_mut(index)
    {
        let sets = piece.split_off(and).into_iter().skip(1).collect();
        let reps = piece.split_off(with).into_iter().skip(1).collect();
        pieces.insert(index + 1, reps);
        pieces.insert(index + 2, sets);
    }
}

/// `2 sets 5 x 20 m 90 s rest 4 min rest`: two times, as if they were written `90 s, 4 min`.
pub(super) fn rests_behind_each_other(pieces: &mut Vec<Piece>) {
    let found = (pieces.iter().enumerate()).find_map(|(index, piece)| {
        let at = piece.len().checked_sub(6).filter(|at| *at > 0)?;
        let rest = |at: usize| seconds(piece, at).is_some() && is_rest(&lower(piece, at + 2));
        (rest(at) && rest(at + 3)).then_some((index, at))
    });
    if let Some((index, at)) = found
        && let Some(piece) = pieces.get_mut(index)
    {
        let mut reps = piece.split_off(at);
        let mut sets = reps.split_off(3);
        reps.truncate(2);
        sets.truncate(2);
        pieces.insert(index + 1, reps);
        pieces.insert(index + 2, sets);
    }
}

/// `6 x 30 s rest 1:1`, `6 x 30 s 1:2`: the ratio is a piece of its own.
pub(super) fn ratio_behind_its_work(pieces: &mut Vec<Piece>) {
    let ratio = |token: &Token| match token {
        Token::Number(text) => {
            let parts: Vec<&str> = text.split(':').collect();
            parts.len() == 2 && parts.iter().all(|part| part.len() == 1)
        }
        _ => false,
    };
    let found = (pieces.iter().enumerate()).find_map(|(index, piece)| {
        let last = piece.len().checked_sub(1)?;
        let at = piece.iter().position(ratio)?;
        let from = at - usize::from(at > 0 && is_rest(&lower(piece, at - 1)));
        let ends = at == last || at + 1 == last && is_rest(&lower(piece, last));
        (ends && piece.get(..from)?.contains(&Token::Times)).then_some((index, from))
    });
    if let Some((index, from)) = found
        && let Some(piece) = pieces.get_mut(index)
    {
        let mut rest = piece.split_off(from);
        if rest.len() == 1 {
            rest.insert(0, Token::word("rest"));
        }
        pieces.insert(index + 1, rest);
    }
}

/// `6 x 30 m/20 s x 2 sets 4 min`: the rest, the sets and what lies between them, a piece each.
pub(super) fn sets_behind_a_time(pieces: &mut Vec<Piece>) {
    let at = pieces.windows(2).position(|two| match two {
        [dose, rest] => {
            let behind = rest.len() == 5 || rest.len() == 7 && seconds(rest, 5).is_some();
            let sets = rest.get(2) == Some(&Token::Times) && unit(rest, 4) == Some("sets");
            let once = dose.iter().filter(|token| **token == Token::Times).count() == 1;
            once && seconds(rest, 0).is_some() && sets && whole(rest, 3).is_some() && behind
        }
        _ => false,
    });
    let Some(at) = at.map(|at| at + 1) else {
        return;
    };
    if let Some(rest) = pieces.get_mut(at) {
        let between = rest.split_off(5);
        let mut sets = rest.split_off(2);
        sets.remove(0);
        rest.insert(0, Token::word("rest"));
        pieces.insert(at + 1, sets);
        if !between.is_empty() {
            let sets = ["between", "sets"].map(Token::word).to_vec();
            pieces.insert(at + 2, [between, sets].concat());
        }
    }
}

/// `6 x 30 m, 30 s / 2 sets / 3 min`: what stands behind the sets lies between them.
pub(super) fn sets_between_rests(pieces: &mut [Piece]) {
    let time = |piece: &Piece| piece.len() == 2 && seconds(piece, 0).is_some();
    let at = pieces.windows(3).position(|three| match three {
        [rest, sets, between] => {
            let counted = sets.len() == 2 && unit(sets, 1) == Some("sets");
            time(rest) && counted && time(between)
        }
        _ => false,
    });
    // Two times in front of it are no rest of the reps.
    let Some(at) = at.filter(|at| *at > 0) else {
        return;
    };
    if let Some(rest) = pieces.get_mut(at) {
        rest.insert(0, Token::word("rest"));
    }
    if let Some(between) = pieces.get_mut(at + 2) {
        between.extend(["between", "sets"].map(Token::word));
    }
}

/// `runs x 8 30 s rest`, `agility 3 x with 3 min rest`: the rest behind a count is a piece of its own.
pub(super) fn rest_behind_a_count(pieces: &mut Vec<Piece>) {
    for index in 0..pieces.len() {
        let Some(piece) = pieces.get_mut(index) else {
            return;
        };
        let at = (2..piece.len()).find(|at| {
            let led = matches!(lower(piece, *at).as_str(), "with" | "w/");
            let time = at + usize::from(led);
            let timed = seconds(piece, time).is_some();
            let rests = is_one_of(&lower(piece, time + 2), "rest, recovery, rec, break, pause");
            // `T-drill x 4 each side 60 s rest`
            let sides = is_each_side(piece, at - 2);
            // `6 x 6 min conditioned games 1 min rest`
            let named =
                kind::is_known(&lower(piece, at - 1)) || kind::explicit_at(piece, at - 1).is_some();
            let worked = (2..*at).any(|work| {
                piece.get(work - 1).is_some_and(Token::is_number)
                    && piece.get(work - 2) == Some(&Token::Times)
                    && unit(piece, work).is_some()
            });
            if named && worked && timed && rests && time == *at {
                return true;
            }
            let end = if sides { at - 2 } else { *at };
            let counted = end > 1
                && piece.get(end - 2) == Some(&Token::Times)
                && whole(piece, end - 1).is_some()
                || led && piece.get(at - 1) == Some(&Token::Times);
            timed && rests && counted
        });
        if let Some(at) = at {
            let mut rest = piece.split_off(at);
            if seconds(&rest, 0).is_none() {
                rest.remove(0);
            }
            pieces.insert(index + 1, rest);
            return;
        }
    }
}

/// `8 x 200 m 38 s, 60 s rest`: where the rest is said, the other time is that of the way.
pub(super) fn time_of_a_way(pieces: &mut [Piece]) {
    let rested = pieces.iter().any(|piece| {
        (0..piece.len()).any(|at| seconds(piece, at).is_some())
            && piece.iter().any(|token| is_rest(&token.lower()))
    });
    let work = pieces.iter_mut().find(|piece| {
        matches!(piece.as_slice(), [.., Token::Times, Token::Number(_), way, Token::Number(_), time]
            if matches!(unit_of(&way.lower()), Some("m" | "yd")) && unit_of(&time.lower()) == Some("s"))
    });
    if let Some(work) = work.filter(|_| rested) {
        let at = work.len() - 2;
        work.insert(at, Token::word("in"));
    }
}

/// `14 x 100 m, 14 s on / 46 s off`: beside a counted way the first is how long it takes, and the second its rest.
pub(super) fn on_and_off_behind_a_way(pieces: &mut Vec<Piece>) {
    let Some(dose) = pieces.iter().position(|piece| {
        let counted = |at: usize| piece.get(at - 1) == Some(&Token::Times) && is_way(piece, at);
        (1..piece.len()).any(counted)
    }) else {
        return;
    };
    // In one piece, or in two.
    let parted = pieces.get(dose + 1).is_some_and(|piece| piece.len() == 3);
    let many = 1 + usize::from(parted);
    let pair: Piece = (pieces.iter().skip(dose + 1).take(many).flatten().cloned()).collect();
    let [taken, taken_unit, on, rest, rest_unit, off] = pair.as_slice() else {
        return;
    };
    let timed = seconds(&pair, 0).is_some() && seconds(&pair, 3).is_some();
    if !timed || on.lower() != "on" || off.lower() != "off" {
        return;
    }
    let rest = vec![Token::word("rest"), rest.clone(), rest_unit.clone()];
    let taken = [Token::word("in"), taken.clone(), taken_unit.clone()];
    pieces.splice(dose + 1..=dose + many, [rest]);
    if let Some(dose) = pieces.get_mut(dose) {
        dose.extend(taken);
    }
}

/// `3 x 8 at 70 kg 2 min rest`: the weight ends what is lifted.
pub(super) fn rest_behind_a_weight(pieces: &mut Vec<Piece>) {
    let seam = pieces.iter().enumerate().find_map(|(index, piece)| {
        let weight = |at: &usize| {
            is_one_of(&lower(piece, at - 1), "kg, kgs, kilo, kilos, lb, lbs")
                && (seconds(piece, *at).is_some() || is_rest(&lower(piece, *at)))
        };
        Some((index, (1..piece.len()).find(weight)?))
    });
    if let Some((index, at)) = seam
        && let Some(piece) = pieces.get_mut(index)
    {
        let rest = piece.split_off(at);
        pieces.insert(index + 1, rest);
    }
}

/// `4 x 4 min 1 min R`: where there are no sets to lie between, a coach's letter is the rest between reps.
pub(super) fn rest_by_a_letter(pieces: &mut Vec<Piece>) {
    let times = |piece: &Piece| piece.iter().filter(|token| **token == Token::Times).count();
    let sets = |piece: &Piece| {
        times(piece) > 1 || (1..piece.len()).any(|at| unit(piece, at) == Some("sets"))
    };
    let lettered: Vec<usize> = (pieces.iter().enumerate())
        .filter(|(_, piece)| {
            let at = piece.len().checked_sub(3);
            at.is_some_and(|at| lower(piece, at + 2) == "r" && seconds(piece, at).is_some())
        })
        .map(|(index, _)| index)
        .collect();
    let [index] = lettered.as_slice() else {
        return;
    };
    if pieces.iter().any(sets) || !pieces.iter().any(|piece| times(piece) == 1) {
        return;
    }
    let Some(piece) = pieces.get_mut(*index) else {
        return;
    };
    let mut rest = piece.split_off(piece.len() - 3);
    if let Some(letter) = rest.last_mut() {
        *letter = Token::word("rest");
    }
    let behind = index + usize::from(!piece.is_empty());
    pieces.insert(behind, rest);
    pieces.retain(|piece| !piece.is_empty());
}
