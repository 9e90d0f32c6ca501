//! Shorthand that can mean one thing only, in words that all who look at a line know: `30 m 5x`, `3 sets: 5 x 20 m`, `EMOM 10 min`.

use super::gait;
use super::kind::{self, Kind, kind_of};
use super::token::{
    Piece, Token, has_no_amount, is_each_side, is_rest, lower, seconds, unit, whole,
};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

/// Puts the shorthand of a line in words.
pub(super) fn put(mut pieces: Vec<Piece>) -> Vec<Piece> {
    let lifts = kind_of(&pieces.concat()).is(Category::Gym) && !kind::holds(&pieces.concat());
    let runs = match kind_of(&pieces.concat()) {
        Kind::Moving { .. } => true,
        // `full pitch x 6`
        Kind::Nothing => pieces.iter().any(|piece| piece.contains(&Token::Times)),
        kind => kind.is(Category::Speed),
    };
    for piece in &mut pieces {
        count_behind_the_way_back(piece);
        count_behind_a_start(piece);
        reps_in_a_row(piece);
        sets_last(piece);
        count_last(piece);
        counts_in_a_row(piece);
        sets_behind_a_side(piece);
        games_of(piece);
        sets_behind_what_is_counted(piece);
        lifts_of_each_set(piece, lifts);
        of_a_length(piece);
        on_bare_seconds(piece);
        parts_of_the_pitch(piece, runs);
        going_every(piece);
        sets_of(piece);
        led_by_w(piece);
        out_of_ten(piece);
    }
    the_same_time_again(&mut pieces);
    share_behind_a_count(&mut pieces);
    two_rests(&mut pieces);
    rests_behind_each_other(&mut pieces);
    ratio_behind_its_work(&mut pieces);
    taken_still(&mut pieces);
    way_in_front_of_its_reps(&mut pieces);
    time_of_a_way(&mut pieces);
    both_sides(&mut pieces);
    sets_ahead(&mut pieces);
    sets_behind_a_time(&mut pieces);
    sets_between_rests(&mut pieces);
    sets_of_a_time(&mut pieces);
    count_behind_a_stop(&mut pieces);
    each_minute(&mut pieces);
    rest_behind_a_count(&mut pieces);
    right_and_left(&mut pieces);
    pieces
}

/// `30 m 5x`, `1 min on 1 min off 10x`: the sign in front of its number.
fn count_last(piece: &mut Piece) {
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
fn counts_in_a_row(piece: &mut Piece) {
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

/// `long passes 20 each foot x 2`: so many sets of what is counted on each side.
fn sets_behind_a_side(piece: &mut Piece) {
    let [ahead @ .., reps, _, _, Token::Times, sets] = piece.as_slice() else {
        return;
    };
    let at = ahead.len();
    if has_no_amount(ahead) && is_each_side(piece, at + 1) && reps.is_number() && sets.is_number() {
        let count: Piece = piece.drain(at + 3..).rev().collect();
        piece.insert(at + 1, Token::word("reps"));
        piece.splice(at..at, count);
    }
}

/// `5v5 x 4 games of 6 min`, `4 games of 6 min`: so many of that time.
fn games_of(piece: &mut Piece) {
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

/// `shooting 5 balls x 4`, `10 press-ups x 3`: so many sets of what is counted; of runs it would be a length.
fn sets_behind_what_is_counted(piece: &mut Piece) {
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
        let count: Piece = piece.drain(piece.len() - 2..).rev().collect();
        piece.splice(at..at, count);
    }
}

/// `bench 5-5-5`, `12-10-8-6 squats`: so many of each set. Where they differ the plan has but their sum, and the name says how.
fn lifts_of_each_set(piece: &mut Piece, lifts: bool) {
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

/// `20 s passive`, `25 s active` behind a dose: a rest, and how it is taken. `30 s active, 20 s passive x 10`: work and rest.
fn taken_still(pieces: &mut [Piece]) {
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
fn two_rests(pieces: &mut Vec<Piece>) {
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
fn rests_behind_each_other(pieces: &mut Vec<Piece>) {
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
fn ratio_behind_its_work(pieces: &mut Vec<Piece>) {
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

/// `game 45 min + 45 min`: two halves.
fn the_same_time_again(pieces: &mut Vec<Piece>) {
    let [first, second] = pieces.as_slice() else {
        return;
    };
    let at = first.len().saturating_sub(2);
    let same = seconds(first, at).is_some() && first.get(at..) == Some(second.as_slice());
    let plays =
        kind_of(first).is(Category::Game) && has_no_amount(first.get(..at).unwrap_or_default());
    if same && plays {
        pieces.pop();
        if let Some(first) = pieces.first_mut() {
            first.splice(at..at, [Token::Number("2".to_owned()), Token::Times]);
        }
    }
}

/// `sprints x 5 at 90%`: the share is a piece of its own, so that the count stands at the end of its own.
fn share_behind_a_count(pieces: &mut Vec<Piece>) {
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
fn way_in_front_of_its_reps(pieces: &mut Vec<Piece>) {
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

/// `8 x 200 m 38 s, 60 s rest`: where the rest is said, the other time is that of the way.
fn time_of_a_way(pieces: &mut [Piece]) {
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

/// `sprints x 6 @ 20 m`: so many of that length.
fn of_a_length(piece: &mut Piece) {
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

/// `15 x 40 m on 30`: the seconds of a start, as `on 30 s`.
fn on_bare_seconds(piece: &mut Piece) {
    let [ahead @ .., on, Token::Number(seconds)] = piece.as_slice() else {
        return;
    };
    let timed = matches!(
        seconds.as_str(),
        "15" | "20" | "25" | "30" | "40" | "45" | "50" | "60" | "90"
    );
    let way = ahead
        .last()
        .is_some_and(|unit| matches!(unit_of(&unit.lower()), Some("m" | "yd")));
    if on.lower() == "on" && timed && way && ahead.contains(&Token::Times) {
        piece.push(Token::word("s"));
    }
}

/// `15 s on 15 s off x 2 sets of 8 min`: so many times as fill it.
fn sets_of_a_time(pieces: &mut [Piece]) {
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

/// `10 m run - stop x 8`: how each ends, and the count, which belongs to the run.
fn count_behind_a_stop(pieces: &mut Vec<Piece>) {
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
fn count_behind_the_way_back(piece: &mut Piece) {
    let once = piece.iter().filter(|token| **token == Token::Times).count() == 1;
    let from = piece.iter().position(Token::is_number);
    let [.., moves, back, Token::Times, Token::Number(_)] = piece.as_slice() else {
        return;
    };
    if let Some(from) =
        from.filter(|_| once && gait::is_gait(&moves.lower()) && back.lower() == "back")
        && piece.get(from + 1).is_some_and(Token::is_unit)
    {
        let count: Piece = piece.drain(piece.len() - 2..).rev().collect();
        piece.splice(from..from, count);
    }
}

/// `20 m sprints on 1 min x 6`: the count in front of the work.
fn count_behind_a_start(piece: &mut Piece) {
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
        let count: Piece = piece.drain(piece.len() - 2..).rev().collect();
        piece.splice(from..from, count);
    }
}

/// `30 m x 6 reps x 2 sets`, `8 reps x 20 m`
fn reps_in_a_row(piece: &mut Piece) {
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
fn sets_last(piece: &mut Piece) {
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

/// `1/2 pitch`, `3/4 of the pitch`; for runs also `full pitch`.
fn parts_of_the_pitch(piece: &mut Piece, runs: bool) {
    let pitch = |piece: &[Token], at: usize| is_one_of(&lower(piece, at), "pitch, field");
    for at in 0..piece.len() {
        let of = usize::from(lower(piece, at + 1) == "of");
        let the = usize::from(of == 1 && lower(piece, at + 2) == "the");
        let part = match piece.get(at) {
            Some(Token::Number(text)) => match text.as_str() {
                "1/2" | "½" => "half",
                "1/4" | "¼" => "quarter",
                "3/4" | "¾" => "three-quarter",
                _ => continue,
            },
            _ if runs && matches!(lower(piece, at).as_str(), "full" | "whole") => "full",
            _ => continue,
        };
        if pitch(piece, at + 1 + of + the) {
            piece.splice(at..at + 1 + of + the, [Token::word(part)]);
            return;
        }
    }
}

/// `going every 45 s`, `1 every 30 s`
fn going_every(piece: &mut Piece) {
    let at = (1..piece.len()).find(|at| {
        let ahead = piece.get(at - 1);
        let one = matches!(ahead, Some(Token::Number(text)) if text == "1") && *at == 1;
        let goes = is_one_of(&lower(piece, at - 1), "going, go, leaving, starting, off");
        lower(piece, *at) == "every" && seconds(piece, at + 1).is_some() && (one || goes)
    });
    if let Some(at) = at {
        piece.remove(at - 1);
    }
}

/// `3 sets 6 x 20 m`, `3 sets of 6 x 20 m`
fn sets_of(piece: &mut Piece) {
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

/// `10 squats L + R`: beside each other, as `L/R`.
fn both_sides(pieces: &mut Vec<Piece>) {
    let at = pieces.windows(2).position(|two| match two {
        [ahead, other] => {
            let last = ahead.last().map(Token::lower).unwrap_or_default();
            let both = format!("{last}{}", lower(other, 0));
            other.len() == 1 && matches!(both.as_str(), "lr" | "rl")
        }
        _ => false,
    });
    if let Some(at) = at {
        let other = pieces.remove(at + 1);
        if let Some(piece) = pieces.get_mut(at) {
            piece.extend(other);
        }
    }
}

/// `3 sets: 5 x 20 m`
fn sets_ahead(pieces: &mut Vec<Piece>) {
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

/// `6 x 30 m/20 s x 2 sets 4 min`: the rest, the sets and what lies between them, a piece each.
fn sets_behind_a_time(pieces: &mut Vec<Piece>) {
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
fn sets_between_rests(pieces: &mut [Piece]) {
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

/// `w 45 s`
fn led_by_w(piece: &mut Piece) {
    for at in 0..piece.len() {
        if lower(piece, at) == "w"
            && seconds(piece, at + 1).is_some()
            && let Some(token) = piece.get_mut(at)
        {
            *token = Token::word("with");
        }
    }
}

/// `at 9/10 effort`: how hard it felt, kept as `RPE 9/10` is.
fn out_of_ten(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        let tenths = match piece.get(*at) {
            Some(Token::Number(text)) => text.strip_suffix("/10"),
            _ => None,
        };
        let scale = tenths.and_then(|text| text.parse::<f64>().ok());
        let said = *at > 0 && lower(piece, at - 1) == "at"
            || is_one_of(&lower(piece, at + 1), "effort, intensity, exertion")
            // `jog 20 min 6/10`
            || at + 1 == piece.len() && *at > 0 && unit(piece, at - 1).is_some();
        scale.is_some_and(|scale| scale <= 10.0) && said
    });
    if let Some(at) = at {
        if is_one_of(&lower(piece, at + 1), "effort, intensity, exertion") {
            piece.remove(at + 1);
        }
        piece.insert(at, Token::word("RPE"));
    }
}

/// `EMOM 10 min: 5 press-ups`, `EMOM 8: 40 m sprint`: so many sets or reps, one each minute.
fn each_minute(pieces: &mut Vec<Piece>) {
    if pieces.iter().any(|piece| piece.contains(&Token::Times)) {
        return;
    }
    // `EMOM 10 min 5 squats`
    if let Some(first) = pieces.first_mut()
        && lower(first, 0) == "emom"
        && unit(first, 2) == Some("min")
        && first.len() > 4
        && whole(first, 3).is_some()
    {
        let dose = first.split_off(3);
        pieces.insert(1, dose);
    }
    let [emom, dose, ..] = pieces.as_slice() else {
        return;
    };
    let (Some(minutes), Some(_)) = (whole(emom, 1), whole(dose, 0)) else {
        return;
    };
    let alone = emom.len() == 2 || emom.len() == 3 && unit(emom, 2) == Some("min");
    // Work that fills the minute leaves none to begin in.
    let fits = seconds(dose, 0).is_none_or(|work_s| work_s < 60.0);
    if lower(emom, 0) != "emom" || !alone || !fits {
        return;
    }
    pieces.remove(0);
    if let Some(dose) = pieces.first_mut() {
        dose.splice(0..0, [Token::Number(minutes.to_string()), Token::Times]);
    }
    pieces.push(["every", "minute"].map(Token::word).to_vec());
}

/// `runs x 8 30 s rest`, `agility 3 x with 3 min rest`: the rest behind a count is a piece of its own.
fn rest_behind_a_count(pieces: &mut Vec<Piece>) {
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

/// `10 shots R 10 shots L`, `2 x 20 left, 2 x 20 right`: so much on each side.
fn right_and_left(pieces: &mut Vec<Piece>) {
    let side = |token: &Token| match token.lower().as_str() {
        "r" | "right" => Some(true),
        "l" | "left" => Some(false),
        _ => None,
    };
    let Some(index) = pieces
        .iter()
        .position(|piece| piece.iter().any(Token::is_number))
    else {
        return;
    };
    let tokens: Piece = pieces.iter().skip(index).flatten().cloned().collect();
    let Some(from) = tokens.iter().position(Token::is_number) else {
        return;
    };
    let foot = |at: usize| usize::from(is_one_of(&lower(&tokens, at), "foot, leg, side, hand"));
    let Some(first) = (from..tokens.len()).find(|at| tokens.get(*at).and_then(side).is_some())
    else {
        return;
    };
    let next = first + 1 + foot(first + 1);
    let dose = tokens.get(from..first).unwrap_or_default();
    let second = next + dose.len();
    let same = !dose.is_empty() && tokens.get(next..second) == Some(dose);
    let sides = [first, second].map(|at| tokens.get(at).and_then(side));
    let ends = second + 1 + foot(second + 1) == tokens.len();
    if !same || !ends || sides[1].is_none() || sides[0] == sides[1] {
        return;
    }
    let mut put: Piece = tokens.iter().take(first).cloned().collect();
    put.extend(["each", "side"].map(Token::word));
    pieces.truncate(index);
    pieces.push(put);
}
