//! Shorthand that can mean one thing only, in words that all who look at a line know: `30 m 5x`, `3 sets: 5 x 20 m`, `EMOM 10 min`.

use super::gait;
use super::kind::{self, Kind, kind_of};
use super::token::{Piece, Token, lower, seconds, unit, whole};
use crate::plan::Category;
use crate::plan::near::is_one_of;

/// Puts the shorthand of a line in words.
pub(super) fn put(mut pieces: Vec<Piece>) -> Vec<Piece> {
    let runs = match kind_of(&pieces.concat()) {
        Kind::Moving { .. } => true,
        kind => kind.is(Category::Speed),
    };
    for piece in &mut pieces {
        count_behind_the_way_back(piece);
        reps_in_a_row(piece);
        sets_last(piece);
        count_last(piece);
        parts_of_the_pitch(piece, runs);
        going_every(piece);
        sets_of(piece);
        led_by_w(piece);
        out_of_ten(piece);
    }
    both_sides(&mut pieces);
    sets_ahead(&mut pieces);
    sets_behind_a_time(&mut pieces);
    sets_between_rests(&mut pieces);
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

/// `EMOM 10 min: 5 press-ups`: so many sets, one each minute.
fn each_minute(pieces: &mut Vec<Piece>) {
    let counted = pieces.iter().any(|piece| piece.contains(&Token::Times));
    let [emom, dose, ..] = pieces.as_slice() else {
        return;
    };
    let (Some(minutes), Some(_)) = (whole(emom, 1), whole(dose, 0)) else {
        return;
    };
    let named = lower(emom, 0) == "emom" && emom.len() == 3 && unit(emom, 2) == Some("min");
    if !named || counted {
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
            let counted = piece.get(at - 2) == Some(&Token::Times)
                && whole(piece, at - 1).is_some()
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
