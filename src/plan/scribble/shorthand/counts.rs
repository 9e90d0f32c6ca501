//! Counts of reps and sets where players put them: `30 m 5x`, `3 sets: 5 x 20 m`, `10 squats x 3`.

use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::scribble::gait;
use crate::plan::scribble::kind::{self, kind_of};
use crate::plan::scribble::token::{
    Piece, Token, count_in_front, has_no_amount, is_each_side, lower, seconds, unit, whole,
};

/// `30 m 5x`, `1 min on 1 min off 10x`: the sign in front of its number.
pub(super) fn count_last(piece: &mut Piece) {
    let end = piece.len();
    let counts = matches!(piece.as_slice(), [.., Token::Number(_), Token::Times]);
    let figures = piece.iter().filter(|token| token.is_number()).count();
    let ahead = end
        .checked_sub(3)
        .map(|at| lower(piece, at))
        .unwrap_or_default();
    let behind = end
        .checked_sub(3)
        .is_some_and(|at| unit(piece, at).is_some());
    if counts
        && figures > 1
        && (behind || kind::is_counted(&ahead) || is_one_of(&ahead, "on, off, rest, recovery"))
    {
        piece.swap(end - 2, end - 1);
    }
}

/// `30 m x 4 x 2`, `10 m there and back x 5 x 3`: the reps in front of the work, so that what is behind may be the sets.
pub(super) fn counts_in_a_row(piece: &mut Piece) {
    let [work @ .., Token::Times, reps, Token::Times, sets] = piece.as_slice() else {
        return;
    };
    let counted = [reps, sets].iter().all(|count| count.is_number());
    let times = work.len();
    if let Some(way) = work.iter().position(Token::is_number)
        && counted
        && work.get(way + 1).is_some_and(Token::is_unit)
        && has_no_amount(work.get(way + 1..).unwrap_or_default())
    {
        let count: Piece = piece.drain(times..times + 2).rev().collect();
        piece.splice(way..way, count);
    }
}

/// `30 m x 6 reps x 2 sets`, `8 reps x 20 m`
pub(super) fn reps_in_a_row(piece: &mut Piece) {
    let at = (1..piece.len()).find(|at| {
        unit(piece, *at) == Some("reps")
            && whole(piece, at - 1).is_some()
            && piece.get(at + 1) == Some(&Token::Times)
            && piece.get(at + 2).is_some_and(Token::is_number)
    });
    if let Some(at) = at {
        piece.remove(at);
    }
}

/// `10 s on 50 s off 2 x 6`: sets and reps in front of the work.
pub(super) fn sets_last(piece: &mut Piece) {
    let once = piece.iter().filter(|token| **token == Token::Times).count() == 1;
    let Some(at) = piece.len().checked_sub(3).filter(|at| *at > 0 && once) else {
        return;
    };
    let behind = is_one_of(&lower(piece, at - 1), "off, rest, recovery");
    let counted = whole(piece, at).is_some() && whole(piece, at + 2).is_some();
    let from = (0..at).find(|from| seconds(piece, *from).is_some());
    if let Some(from) =
        from.filter(|_| behind && counted && piece.get(at + 1) == Some(&Token::Times))
    {
        let count: Vec<Token> = piece.drain(at..).chain([Token::Times]).collect();
        piece.splice(from..from, count);
    }
}

/// `3 sets 6 x 20 m`, `3 sets of 6 x 20 m`
pub(super) fn sets_of(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        let of = usize::from(lower(piece, at + 2) == "of");
        let dose = at + 2 + of;
        whole(piece, *at).is_some()
            && unit(piece, at + 1) == Some("sets")
            && whole(piece, dose).is_some()
            && piece.get(dose + 1) == Some(&Token::Times)
            && piece.get(dose + 2).is_some_and(Token::is_number)
            && piece.get(dose + 3) != Some(&Token::Times)
    });
    if let Some(at) = at {
        let of = usize::from(lower(piece, at + 2) == "of");
        piece.splice(at + 1..at + 2 + of, [Token::Times]);
    }
}

/// `3 sets: 5 x 20 m`
pub(super) fn sets_ahead(pieces: &mut Vec<Piece>) {
    let at = pieces.windows(2).position(|two| match two {
        [sets, dose] => {
            sets.len() == 2
                && whole(sets, 0).is_some()
                && unit(sets, 1) == Some("sets")
                && whole(dose, 0).is_some()
                && dose.get(1) == Some(&Token::Times)
                && dose.get(2).is_some_and(Token::is_number)
                && dose.get(3) != Some(&Token::Times)
        }
        _ => false,
    });
    if let Some(at) = at {
        let mut sets = pieces.remove(at);
        sets.truncate(1);
        sets.push(Token::Times);
        if let Some(dose) = pieces.get_mut(at) {
            dose.splice(0..0, sets);
        }
    }
}

/// `long passes 20 each foot x 2`: so many sets of what is counted on each side.
pub(super) fn sets_behind_a_side(piece: &mut Piece) {
    let [ahead @ .., reps, _, _, Token::Times, sets] = piece.as_slice() else {
        return;
    };
    let at = ahead.len();
    if has_no_amount(ahead) && is_each_side(piece, at + 1) && reps.is_number() && sets.is_number() {
        count_in_front(piece, at);
        piece.insert(at + 3, Token::word("reps"));
    }
}

/// `15 s on 15 s off x 2 sets of 8 min`: so many times as fill it.
pub(super) fn sets_of_a_time(pieces: &mut [Piece]) {
    let found = (pieces.iter().enumerate()).find_map(|(index, piece)| {
        let sets = (1..piece.len()).find(|at| {
            whole(piece, at - 1).is_some()
                && unit(piece, *at) == Some("sets")
                && matches!(lower(piece, at + 1).as_str(), "of" | "x")
                && seconds(piece, at + 2).is_some()
                && at + 4 == piece.len()
        })?;
        let ahead = piece.get(..sets - 1)?;
        let on = (2..ahead.len()).find(|at| lower(ahead, *at) == "on")?;
        let both = seconds(ahead, on - 2)? + seconds(ahead, on + 1)?;
        let times = seconds(piece, sets + 2)? / both;
        let fills = times >= 1.0 && times.fract() == 0.0 && lower(ahead, on + 3) == "off";
        fills.then_some((index, on - 2, sets, times))
    });
    let Some((index, work, sets, times)) = found else {
        return;
    };
    if let Some(piece) = pieces.get_mut(index)
        && let Some(count) = piece.get(sets - 1).cloned()
    {
        piece.truncate(sets - 1);
        if piece.last() == Some(&Token::Times) {
            piece.pop();
        }
        let times = Token::Number(times.to_string());
        piece.splice(work..work, [count, Token::Times, times, Token::Times]);
    }
}

/// `shooting 5 balls x 4`, `10 press-ups x 3`: so many sets of what is counted; of runs it would be a length.
pub(super) fn sets_behind_what_is_counted(piece: &mut Piece) {
    let Some(at) = piece.iter().position(Token::is_number) else {
        return;
    };
    let [
        Token::Number(_),
        words @ ..,
        Token::Times,
        Token::Number(sets),
    ] = piece.get(at..).unwrap_or_default()
    else {
        return;
    };
    let plain = words.iter().all(|word| matches!(word, Token::Word { .. }));
    let unit = words
        .first()
        .is_none_or(|first| unit_of(&first.lower()).is_some());
    let counted = words.iter().any(|word| {
        let word = word.lower();
        let alone = [Token::word(&word)];
        let lifted = kind_of(&alone).is(Category::Gym) || kind_of(&alone).is(Category::Technical);
        word == "balls"
            || kind::is_counted(&word)
                && (lifted || matches!(word.as_str(), "press" | "push" | "sit" | "pull" | "step"))
    });
    let few = sets
        .parse::<u32>()
        .is_ok_and(|sets| (2..=12).contains(&sets));
    if plain && !unit && counted && few && words.len() < 4 {
        count_in_front(piece, at);
    }
}

/// `5v5 x 4 games of 6 min`, `4 games of 6 min`, `3 periods 12 min`: so many of that time.
pub(super) fn games_of(piece: &mut Piece) {
    // What is said of each may follow at once.
    let bare = (1..piece.len()).find(|at| {
        let noun = is_one_of(&lower(piece, *at), "games, matches, periods");
        whole(piece, at - 1).is_some() && noun && seconds(piece, at + 1).is_some()
    });
    if let Some(at) = bare {
        piece.insert(at + 1, Token::word("of"));
    }
    let at = (1..piece.len()).find(|at| {
        whole(piece, at - 1).is_some()
            && is_one_of(
                &lower(piece, *at),
                "games, matches, periods, bouts, stations",
            )
            && (lower(piece, at + 1) == "of" || piece.get(at + 1) == Some(&Token::Times))
            && seconds(piece, at + 2).is_some()
    });
    if let Some(at) = at {
        let what = piece.get(at).cloned();
        piece.splice(at..at + 2, [Token::Times]);
        let times = at
            .checked_sub(2)
            .filter(|at| piece.get(*at) == Some(&Token::Times));
        if let Some(times) = times {
            piece.remove(times);
        }
        // The games say what it is, where nothing else does.
        if let Some(what) = what.filter(|what| what.lower() == "games") {
            piece.insert(0, what);
        }
    }
}

/// `game 45 min + 45 min`, `rondo 8 min + 8 min + 8 min`: halves, or so many of them.
pub(super) fn the_same_time_again(pieces: &mut Vec<Piece>) {
    let Some((first, again)) = pieces.split_first() else {
        return;
    };
    let at = first.len().saturating_sub(2);
    let time = first.get(at..).filter(|_| seconds(first, at).is_some());
    let same = !again.is_empty() && again.iter().all(|piece| Some(piece.as_slice()) == time);
    let kind = kind_of(first);
    // Of other things two times are rather the work and its rest.
    let plays = kind.is(Category::Game) || kind.is(Category::Technical) && again.len() > 1;
    if same && plays && has_no_amount(first.get(..at).unwrap_or_default()) {
        let count = Token::Number(pieces.len().to_string());
        pieces.truncate(1);
        if let Some(first) = pieces.first_mut() {
            first.splice(at..at, [count, Token::Times]);
        }
    }
}

/// `10 m run - stop x 8`: how each ends, and the count, which belongs to the run.
pub(super) fn count_behind_a_stop(pieces: &mut Vec<Piece>) {
    const ENDS: &str = "stop, brake, turn, freeze, hold, decelerate, decel";
    let at = pieces.windows(2).position(|two| match two {
        [work, end] => {
            let measured = (1..work.len()).any(|at| {
                work.get(at - 1).is_some_and(Token::is_number)
                    && matches!(unit(work, at), Some("m" | "yd"))
            });
            let plain = !work.contains(&Token::Times);
            let counted = matches!(end.as_slice(), [word, Token::Times, Token::Number(_)]
                if is_one_of(&word.lower(), ENDS));
            measured && plain && counted
        }
        _ => false,
    });
    if let Some(at) = at {
        let end = pieces.remove(at + 1);
        if let Some(work) = pieces.get_mut(at) {
            work.extend(end);
        }
    }
}

/// `sprint 30 m walk back x 6`: the count in front of the work.
pub(super) fn count_behind_the_way_back(piece: &mut Piece) {
    let once = piece.iter().filter(|token| **token == Token::Times).count() == 1;
    let from = piece.iter().position(Token::is_number);
    let [.., moves, back, Token::Times, Token::Number(_)] = piece.as_slice() else {
        return;
    };
    if let Some(from) =
        from.filter(|_| once && gait::is_gait(&moves.lower()) && back.lower() == "back")
        && piece.get(from + 1).is_some_and(Token::is_unit)
    {
        count_in_front(piece, from);
    }
}

/// `20 m sprints on 1 min x 6`: the count in front of the work.
pub(super) fn count_behind_a_start(piece: &mut Piece) {
    let [
        work @ ..,
        on,
        Token::Number(_),
        _,
        Token::Times,
        Token::Number(_),
    ] = piece.as_slice()
    else {
        return;
    };
    let starts = on.lower() == "on" && seconds(piece, work.len() + 1).is_some();
    let plain = !work.contains(&Token::Times);
    if let Some(from) = work.iter().position(Token::is_number)
        && starts
        && plain
        && matches!(unit(piece, from + 1), Some("m" | "yd"))
    {
        count_in_front(piece, from);
    }
}

/// `sprints x 5 at 90%`: the share is a piece of its own, so that the count stands at the end of its own.
pub(super) fn share_behind_a_count(pieces: &mut Vec<Piece>) {
    let Some([ahead @ .., at, Token::Number(_), Token::Percent]) =
        pieces.first().map(Vec::as_slice)
    else {
        return;
    };
    let counted = matches!(ahead, [words @ .., Token::Times, Token::Number(_)] if has_no_amount(words) && !words.is_empty());
    let from = ahead.len();
    if at.lower() == "at"
        && counted
        && let Some(first) = pieces.first_mut()
    {
        let share = first.split_off(from);
        pieces.insert(1, share);
    }
}

/// `sprint 30 m | 6 reps | 2 min`: so many of that way.
pub(super) fn way_in_front_of_its_reps(pieces: &mut Vec<Piece>) {
    let at = pieces.windows(2).position(|two| match two {
        [way, reps] => {
            let [ahead @ .., _, unit] = way.as_slice() else {
                return false;
            };
            let measured = has_no_amount(ahead) && matches!(unit_of(&unit.lower()), Some("m" | "yd"));
            let bare = ahead.iter().all(|token| unit_of(&token.lower()).is_none());
            let counted = matches!(reps.as_slice(), [Token::Number(_), word] if unit_of(&word.lower()) == Some("reps"));
            measured && bare && way.get(ahead.len()).is_some_and(Token::is_number) && counted
        }
        _ => false,
    });
    if let Some(at) = at {
        let count = pieces.remove(at + 1).swap_remove(0);
        if let Some(way) = pieces.get_mut(at) {
            let place = way.len() - 2;
            way.splice(place..place, [count, Token::Times]);
        }
    }
}

/// `sprints x 6 @ 20 m`: so many of that length.
pub(super) fn of_a_length(piece: &mut Piece) {
    let at = (2..piece.len()).find(|at| {
        lower(piece, *at) == "at"
            && piece.get(at - 2) == Some(&Token::Times)
            && whole(piece, at - 1).is_some()
            && piece.get(at + 1).is_some_and(Token::is_number)
            && matches!(unit(piece, at + 2), Some("m" | "yd"))
    });
    if let Some(at) = at {
        piece.remove(at);
        piece.swap(at - 2, at - 1);
    }
}

/// `bench 5-5-5`, `12-10-8-6 squats`: so many of each set. Where they differ the plan has but their sum, and the name says how.
pub(super) fn lifts_of_each_set(piece: &mut Piece, lifts: bool) {
    let Some(at) = piece.iter().position(Token::is_list).filter(|_| lifts) else {
        return;
    };
    let Some(Token::Number(text)) = piece.get(at) else {
        return;
    };
    let reps: Option<Vec<u32>> = (text.split(['-', '/', '\u{2013}']))
        .map(|part| part.parse().ok().filter(|reps| (1..=100).contains(reps)))
        .collect();
    let behind = piece.get(at + 1);
    let amount = behind.is_some_and(|next| {
        matches!(next, Token::Times | Token::Percent)
            || unit_of(&next.lower()).is_some_and(|unit| unit != "reps")
    });
    let (Some(reps), false) = (reps, amount) else {
        return;
    };
    let Some(first) = reps.first().copied() else {
        return;
    };
    let named = usize::from(behind.is_some_and(|next| unit_of(&next.lower()) == Some("reps")));
    let figure = |number: u32| Token::Number(number.to_string());
    let count = Token::word("reps");
    let put = if reps.iter().all(|own| *own == first) {
        let sets = u32::try_from(reps.len()).unwrap_or(u32::MAX);
        vec![figure(sets), Token::Times, figure(first), count]
    } else {
        vec![Token::word(text), figure(reps.iter().sum()), count]
    };
    // The name stands in front of the dose.
    let mut words: Piece = piece.drain(at + 1 + named..).collect();
    piece.truncate(at);
    let rest = words
        .iter()
        .position(|word| is_one_of(&word.lower(), "rest, at, with, then"))
        .unwrap_or(words.len());
    let behind = words.split_off(rest);
    piece.extend(words);
    piece.extend(put);
    piece.extend(behind);
}
