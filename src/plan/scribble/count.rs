//! Counts and numbers where people put them: behind the dose, in words, as a list with commas.

use super::gait;
use super::kind;
use super::phrase::counts;
use super::token::{Piece, Token, is_rest, lower, number, seconds, text_of, unit, whole};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

/// Longest work that is counted in `reps` behind it, s: what lasts longer is rather so many reps within that time.
const LONGEST_REP_S: f64 = 60.0;

/// Puts the numbers of a line in the notation's order.
pub(super) fn put(pieces: &mut Vec<Piece>) {
    join_pieces(pieces);
    rest_between_times(pieces);
    off_a_time(pieces);
    capital_rest(pieces);
    with_a_rest(pieces);
    count_behind_a_rest(pieces);
    words_behind(pieces);
    for piece in pieces.iter_mut() {
        each_side_first(piece);
        lots(piece);
        each_half(piece);
        fractions(piece);
        lists(piece);
        sets_and_reps(piece);
        of_that_length(piece);
        reps_of_a_way(piece);
        either(piece);
        flying(piece);
        times_behind(piece);
    }
    sides(pieces);
    uncounted_turns(pieces);
    rounds_of_work(pieces);
    behind(pieces);
}

/// `10, 20, 30 m` and `10 m, 20 m, 30 m`: a rep each.
fn join_pieces(pieces: &mut Vec<Piece>) {
    let ends_in_figure = |piece: &Piece| {
        piece.len().checked_sub(1).is_some_and(|last| {
            number(piece, last).is_some()
                && !piece.contains(&Token::Times)
                && piece.iter().filter(|token| token.is_number()).count() == 1
        })
    };
    let lone = |piece: &Piece| piece.len() == 1 && number(piece, 0).is_some();
    let Some(first) = pieces.iter().position(ends_in_figure) else {
        return join_lengths(pieces);
    };
    let more = pieces
        .iter()
        .skip(first + 1)
        .take_while(|p| lone(p))
        .count();
    let last = first + 1 + more;
    let ends = pieces.get(last).is_some_and(|piece| {
        number(piece, 0).is_some() && matches!(unit(piece, 1), Some("m" | "yd" | "s" | "min"))
    });
    if more > 0 && ends {
        join(pieces, first, last);
    }
}

fn join_lengths(pieces: &mut Vec<Piece>) {
    let length = |piece: &Piece| {
        let at = piece.len().checked_sub(2)?;
        let alone = piece.iter().filter(|token| token.is_number()).count() == 1;
        let unit = unit(piece, at + 1).filter(|unit| matches!(*unit, "m" | "yd"))?;
        (alone && number(piece, at).is_some() && !piece.contains(&Token::Times)).then_some(unit)
    };
    let Some((first, unit)) =
        (pieces.iter().enumerate()).find_map(|(at, p)| Some((at, length(p)?)))
    else {
        return;
    };
    let over = (pieces.get(first)).is_some_and(|piece| {
        piece
            .iter()
            .any(|token| token.lower() == "over" || gait::is_gait(&token.lower()))
    });
    let same = |piece: &&Piece| piece.len() == 2 && length(piece) == Some(unit);
    let last = first + pieces.iter().skip(first + 1).take_while(same).count();
    if last < first + 2 || over {
        return;
    }
    for piece in pieces.iter_mut().take(last).skip(first) {
        piece.pop();
    }
    join(pieces, first, last);
}

/// Joins the numbers at the ends of pieces to a list.
fn join(pieces: &mut Vec<Piece>, first: usize, last: usize) {
    let tail: Vec<Piece> = pieces.drain(first + 1..=last).collect();
    let Some(piece) = pieces.get_mut(first) else {
        return;
    };
    let Some(Token::Number(head)) = piece.pop() else {
        return;
    };
    let mut list = head;
    for mut part in tail {
        if let Some(Token::Number(next)) = part.first().cloned() {
            list = format!("{list}-{next}");
            part.remove(0);
        }
        if !part.is_empty() {
            piece.push(Token::Number(std::mem::take(&mut list)));
            piece.extend(part);
        }
    }
    if !list.is_empty() {
        piece.push(Token::Number(list));
    }
}

/// `1 1/2 min`, `half a minute`, `a minute and a half`
fn fractions(piece: &mut Piece) {
    let half = |text: &str| match text {
        "1/2" => Some(0.5),
        "1/4" => Some(0.25),
        "3/4" => Some(0.75),
        _ => None,
    };
    let mut at = 0;
    while at < piece.len() {
        if let Some(Token::Number(text)) = piece.get(at)
            && let Some(part) = half(text)
            && unit(piece, at + 1) == Some("min")
        {
            let before = at.checked_sub(1).and_then(|at| number(piece, at));
            let ahead = before.filter(|n| n.fract() == 0.0);
            let from = if ahead.is_some() { at - 1 } else { at };
            let value = ahead.unwrap_or(0.0) + part;
            piece.splice(from..=at, [Token::Number(value.to_string())]);
            at = from;
        }
        let is =
            |words: &[&str]| (words.iter().enumerate()).all(|(i, w)| lower(piece, at + i) == *w);
        let minute = |at: usize| matches!(lower(piece, at).as_str(), "minute" | "min");
        let (words, seconds) = if is(&["a", "minute", "and", "a", "half"]) {
            (5, "90")
        } else if is(&["half", "a"]) && minute(at + 2) {
            (3, "30")
        } else if is(&["half"]) && minute(at + 1) {
            (2, "30")
        } else if is(&["a", "minute"]) {
            (2, "60")
        } else {
            (0, "")
        };
        if words > 0 {
            piece.splice(
                at..at + words,
                [Token::Number(seconds.to_owned()), Token::word("s")],
            );
        }
        at += 1;
    }
}

/// `10,20,30 m` and `10 20 30 m` are lists.
fn lists(piece: &mut Piece) {
    for token in piece.iter_mut() {
        if let Token::Number(text) = token
            && text.matches(',').count() > 1
            && !text.contains(['-', '/', ':', '.'])
        {
            *text = text.replace(',', "-");
        }
    }
    let plain = |token: &Token| matches!(token, Token::Number(text) if text.parse::<f64>().is_ok());
    let Some(from) = piece.iter().position(plain) else {
        return;
    };
    let more = piece.iter().skip(from).take_while(|t| plain(t)).count();
    // `sprint ladder 10 20 30`: its unit is asked about.
    let bare = from > 0 && from + more == piece.len();
    if more < 3 || !bare && !matches!(unit(piece, from + more), Some("m" | "yd" | "s" | "min")) {
        return;
    }
    let numbers: Vec<String> = (piece.drain(from..from + more))
        .filter_map(|token| match token {
            Token::Number(text) => Some(text),
            _ => None,
        })
        .collect();
    piece.insert(from, Token::Number(numbers.join("-")));
}

/// `6 sprints 20 m each`: what is counted has that length.
fn of_that_length(piece: &mut Piece) {
    let noun = (1..piece.len())
        .find(|at| whole(piece, at - 1).is_some() && kind::is_counted(&lower(piece, *at)));
    let Some(noun) = noun else { return };
    let each = (noun + 3..piece.len()).find(|at| {
        lower(piece, *at) == "each"
            && number(piece, at - 2).is_some()
            && matches!(unit(piece, at - 1), Some("m" | "yd" | "s" | "min"))
    });
    if let Some(each) =
        each.filter(|each| !matches!(lower(piece, each + 1).as_str(), "side" | "leg"))
    {
        piece.remove(each);
    }
}

/// `8 reps 30 m`
fn reps_of_a_way(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        whole(piece, *at).is_some()
            && unit(piece, at + 1) == Some("reps")
            && number(piece, at + 2).is_some()
            && matches!(unit(piece, at + 3), Some("m" | "yd"))
            && !gait::is_gait(&lower(piece, at + 4))
    });
    if let Some(at) = at {
        piece.splice(at + 1..at + 2, [Token::Times]);
    }
}

/// `3 sets 4 reps 20 m`, and `2 sets of 10 s on, 20 s rest, 8 times` without its commas.
fn sets_and_reps(piece: &mut Piece) {
    let Some(at) = (0..piece.len())
        .find(|at| whole(piece, *at).is_some() && unit(piece, at + 1) == Some("sets"))
    else {
        return;
    };
    let of = usize::from(lower(piece, at + 2) == "of");
    let reps = at + 2 + of;
    if whole(piece, reps).is_some() && unit(piece, reps + 1) == Some("reps") {
        let of = usize::from(lower(piece, reps + 2) == "of");
        let work = reps + 2 + of;
        if number(piece, work).is_some()
            && matches!(unit(piece, work + 1), Some("m" | "yd" | "s" | "min"))
        {
            piece.splice(reps + 1..work, [Token::Times]);
            piece.splice(at + 1..reps, [Token::Times]);
        }
        return;
    }
    // So many times in each of the sets.
    let end = piece.len();
    if number(piece, reps).is_some()
        && matches!(unit(piece, reps + 1), Some("s" | "min"))
        && lower(piece, reps + 2) == "on"
        && lower(piece, end - 1) == "times"
        && let Some(count) = whole(piece, end - 2)
    {
        piece.truncate(end - 2);
        piece.splice(
            at + 1..reps,
            [Token::Times, Token::Number(count.to_string()), Token::Times],
        );
    }
}

/// `6 x 20 m, 1 min rest x 3 sets`: the sets in front of the dose, and the rest, which may be one between reps or between sets, as a
/// piece of its own. Gives that rest as it was written.
pub(super) fn sets_behind_a_rest(pieces: &mut Vec<Piece>) -> Option<String> {
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

/// `3 x 800 m 2 min`, `120 s x 5 1:1`: the time or the ratio behind a dose is a piece of its own, which is asked about.
pub(super) fn time_behind(pieces: &mut Vec<Piece>) {
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
                !(unit_of(&word.lower()) == Some("min") && unit(piece, at + 1) == Some("s"))
                    && unit_of(&word.lower()).is_some()
            }
            Some([.., Token::Times, Token::Number(_)] | [.., Token::Number(_), Token::Percent]) => {
                true
            }
            // `3 x 12 each leg 60 s`
            Some([.., Token::Times, Token::Number(_), each, side]) => {
                matches!(each.lower().as_str(), "each" | "per")
                    && matches!(side.lower().as_str(), "leg" | "side")
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

/// `5 x 20 m x 3`, `30 s on 30 s off x 10 x 2 sets`: the sets as a piece of their own. Gives them as they were written, where no
/// word says that they are sets.
pub(super) fn sets_behind(pieces: &mut Vec<Piece>) -> Option<String> {
    let (index, at, named) = pieces.iter().enumerate().find_map(|(index, piece)| {
        let named = unit(piece, piece.len().checked_sub(1)?) == Some("sets");
        let at = piece.len().checked_sub(2 + usize::from(named))?;
        let behind = piece.get(at) == Some(&Token::Times) && number(piece, at + 1).is_some();
        let own = piece.get(..at)?;
        let ahead = pieces.iter().take(index).map(Vec::as_slice).chain([own]);
        let counted = ahead
            .flatten()
            .filter(|token| **token == Token::Times)
            .count();
        let lone = at > 0 && !own.last().is_some_and(Token::is_number);
        (behind && counted == 1 && (lone || named && at > 0)).then_some((index, at, named))
    })?;
    let written = text_of(pieces.get(index)?.get(at..)?);
    part(pieces, index, at);
    let sets = pieces.get_mut(index + 1)?;
    sets.remove(0);
    if !named {
        sets.push(Token::word("sets"));
    }
    (!named).then_some(written)
}

/// Whether a time stands at a place.
fn is_time(piece: &[Token], at: usize) -> bool {
    seconds(piece, at).is_some()
}

/// Whether a piece from a place on is a time and the word of a rest.
fn is_timed_rest(piece: &[Token], at: usize) -> bool {
    is_time(piece, at)
        && matches!(
            lower(piece, at + 2).as_str(),
            "rest" | "recovery" | "off" | "break"
        )
}

/// `rest 30 s` at a place: the word before its time.
fn begins_rest(piece: &[Token], at: usize) -> bool {
    let word = lower(piece, at);
    (is_rest(&word) || word == "rec") && is_time(piece, at + 1)
}

/// Makes what stands from a place of a piece on a piece of its own, behind it.
fn part(pieces: &mut Vec<Piece>, index: usize, at: usize) {
    if let Some(piece) = pieces.get_mut(index) {
        let tail = piece.split_off(at);
        pieces.insert(index + 1, tail);
    }
}

/// `5 x 3 min off 2 min`, as swimmers say it: a rest of that time.
fn off_a_time(pieces: &mut Vec<Piece>) {
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
fn capital_rest(pieces: &mut Vec<Piece>) {
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

/// `10 s rest 50 s`: the word belongs to the time behind it, so it begins a piece.
fn rest_between_times(pieces: &mut Vec<Piece>) {
    for index in 0..pieces.len() {
        let Some(piece) = pieces.get_mut(index) else {
            return;
        };
        let ahead = |at: usize| piece.get(..at).unwrap_or_default();
        // `4 x 4 rest 2 min`
        let bare = |at: usize| matches!(ahead(at), [.., Token::Times, Token::Number(_)]);
        let timed = |at: usize| is_time(piece, at - 2) && !ahead(at).contains(&Token::Times);
        let at = (2..piece.len()).find(|at| begins_rest(piece, *at) && (timed(*at) || bare(*at)));
        if let Some(at) = at {
            part(pieces, index, at);
        }
    }
}

/// `30 s flat out, 4 min rest x 6`: what is done so often is both, so the count stands in front of the work where that has none.
fn count_behind_a_rest(pieces: &mut [Piece]) {
    let Some(index) = pieces.len().checked_sub(1).filter(|index| *index > 0) else {
        return;
    };
    let counted =
        (pieces.iter().take(index)).any(|piece| counts(piece) || piece.contains(&Token::Times));
    let Some(last) = pieces.get(index).filter(|_| !counted) else {
        return;
    };
    let rest = is_timed_rest(last, 0) || begins_rest(last, 0);
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

/// `2 min on, 1 min off for 20 min`: as many times as fill the time, a rest behind the last or not. What is asked about, as it
/// was written, where that is no whole number.
pub(super) fn for_a_time(pieces: &mut Vec<Piece>) -> Option<String> {
    let find = |word: &str| {
        (pieces.iter().enumerate()).find_map(|(index, piece)| {
            let at = (2..piece.len()).find(|at| lower(piece, *at) == word)? - 2;
            Some((index, at, seconds(piece, at)?))
        })
    };
    let (on, on_at, work_s) = find("on")?;
    let (_, _, rest_s) = find("off")?;
    let (total, from, to, total_s) = pieces.iter().enumerate().find_map(|(index, piece)| {
        (0..piece.len()).find_map(|at| {
            if lower(piece, at) == "for" {
                return Some((index, at, at + 3, seconds(piece, at + 1)?));
            }
            if lower(piece, at + 2) == "of" {
                return Some((index, at, at + 3, seconds(piece, at)?));
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
pub(super) fn every_for(pieces: &mut [Piece]) -> Option<String> {
    let [piece] = pieces else { return None };
    let way = (0..piece.len()).find(|at| {
        number(piece, *at).is_some() && matches!(unit(piece, at + 1), Some("m" | "yd"))
    })?;
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

/// `3 x 5 x 20 m 15 s/2 min/4 min`: the rests between reps, between sets, and behind the block, which are asked about. Gives them as
/// they were written.
pub(super) fn rests_in_a_row(pieces: &mut Vec<Piece>) -> Option<String> {
    let alone =
        |piece: Option<&Piece>| piece.is_some_and(|piece| piece.len() == 2 && is_time(piece, 0));
    let dosed = |piece: &Piece| {
        let counts = |token: &&Token| **token == Token::Times || token.is_list();
        piece.iter().filter(counts).count() == 2
    };
    // `2 x 10 x 15 s/15 s r: 3 min`
    for index in 1..pieces.len() {
        let Some(piece) = pieces.get_mut(index).filter(|piece| is_time(piece, 0)) else {
            continue;
        };
        let r = usize::from(matches!(lower(piece, 2).as_str(), "r" | "rest" | "between"));
        if is_time(piece, 2 + r) && piece.len() == 4 + r {
            piece.drain(2..2 + r);
            part(pieces, index, 2);
            break;
        }
    }
    // `3 x 5 x 20 m rest 30 s/3 min`, `3 sets of 5 reps 20 m`
    for index in 0..pieces.len() {
        let next = pieces.get(index + 1);
        let slashed = next.is_some_and(|next| next.len() == 2 && is_time(next, 0));
        let Some(piece) = pieces.get_mut(index).filter(|_| slashed) else {
            continue;
        };
        let rest = (piece.len().checked_sub(3)).filter(|at| begins_rest(piece, *at));
        if let Some(at) = rest {
            let mut time = piece.split_off(at);
            time.remove(0);
            if piece.is_empty() {
                *piece = time;
            } else {
                sets_and_reps(piece);
                pieces.insert(index + 1, time);
            }
            break;
        }
    }
    let at = (pieces.iter()).position(|piece| {
        let measured =
            (0..piece.len()).any(|at| number(piece, at).is_some() && unit(piece, at + 1).is_some());
        dosed(piece) && (measured || piece.iter().any(Token::is_list))
    })?;
    let numbers = |piece: &Piece| piece.iter().filter(|token| token.is_number()).count();
    let times = |piece: &Piece| piece.iter().filter(|token| **token == Token::Times).count();
    if alone(pieces.get(at + 1))
        && let Some(piece) = pieces
            .get_mut(at)
            .filter(|piece| numbers(piece) == times(piece) + 2)
        && let Some(from) = piece
            .len()
            .checked_sub(2)
            .filter(|from| is_time(piece, *from))
    {
        let first = piece.split_off(from);
        pieces.insert(at + 1, first);
    }
    if !alone(pieces.get(at + 1)) || !alone(pieces.get(at + 2)) {
        return None;
    }
    let last = at + 2 + usize::from(alone(pieces.get(at + 3)));
    let rests = pieces.get(at + 1..=last)?.iter();
    let written: Vec<String> = rests.map(|piece| text_of(piece)).collect();
    for (index, lead) in [(at + 1, "rest"), (at + 3, "then")] {
        if let Some(piece) = pieces.get_mut(index).filter(|_| index <= last) {
            piece.insert(0, Token::word(lead));
        }
    }
    if let Some(piece) = pieces.get_mut(at + 2) {
        piece.extend(["between", "sets"].map(Token::word));
    }
    Some(written.join("/"))
}

/// `10 m x 8 from a standing start`, `100 m x 10 strides`: where a rep begins and what it is are told behind its count.
fn words_behind(pieces: &mut Vec<Piece>) {
    for index in 0..pieces.len() {
        let Some(piece) = pieces.get_mut(index) else {
            return;
        };
        let at = (3..piece.len()).find(|at| {
            let word = lower(piece, *at);
            let leads = matches!(
                word.as_str(),
                "from" | "through" | "into" | "towards" | "different"
            );
            (leads || kind::is_counted(&word))
                && piece.get(at - 1).is_some_and(Token::is_number)
                && piece.get(at - 2) == Some(&Token::Times)
                && unit(piece, at - 3).is_some()
                && !piece.iter().skip(*at).any(Token::is_number)
        });
        if let Some(at) = at {
            part(pieces, index, at);
            return;
        }
    }
}

/// `4 each side 25 m`
fn each_side_first(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        whole(piece, *at).is_some()
            && matches!(lower(piece, at + 1).as_str(), "each" | "per")
            && matches!(lower(piece, at + 2).as_str(), "side" | "leg")
            && number(piece, at + 3).is_some()
            && matches!(unit(piece, at + 4), Some("m" | "yd" | "s" | "min"))
            && piece.len() == at + 5
    });
    if let Some(at) = at {
        let each: Vec<Token> = piece.drain(at + 1..at + 3).collect();
        piece.insert(at + 1, Token::Times);
        piece.extend(each);
    }
}

/// `45 min each half`
fn each_half(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        number(piece, *at).is_some()
            && unit(piece, at + 1) == Some("min")
            && matches!(lower(piece, at + 2).as_str(), "each" | "per")
            && lower(piece, at + 3) == "half"
    });
    if let Some(at) = at.filter(|_| !piece.contains(&Token::Times)) {
        piece.drain(at + 2..at + 4);
        piece.splice(at..at, [Token::Number("2".to_owned()), Token::Times]);
    }
}

/// `6 lots of 20 yards`
fn lots(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        whole(piece, *at).is_some() && matches!(lower(piece, at + 1).as_str(), "lot" | "lots")
    });
    let Some(at) = at else { return };
    let of = usize::from(lower(piece, at + 2) == "of");
    if number(piece, at + 2 + of).is_some() {
        piece.splice(at + 1..at + 2 + of, [Token::Times]);
    } else if at + 2 == piece.len() {
        piece.splice(at + 1.., [Token::word("times")]);
    }
}

/// `4 x 1000 m with 2 min jog`: a rest behind `with` is a phrase of its own.
fn with_a_rest(pieces: &mut Vec<Piece>) {
    let rests = |word: &str| {
        gait::is_gait(word) || matches!(word, "rest" | "recovery" | "rec" | "break" | "pause")
    };
    for index in 0..pieces.len() {
        let Some(piece) = pieces.get_mut(index) else {
            return;
        };
        let at = (1..piece.len()).find(|at| {
            let way = number(piece, at + 1).is_some()
                && matches!(unit(piece, at + 2), Some("m" | "yd"))
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

/// `5 or 6 x 30 m`, `rest 1 to 2 min`: a range, which is asked about.
fn either(piece: &mut Piece) {
    let open = (0..piece.len()).find(|at| {
        whole(piece, *at).is_some()
            && matches!(lower(piece, at + 1).as_str(), "or" | "to")
            && (piece.get(at + 3) == Some(&Token::Times) || unit(piece, at + 3).is_some())
            && whole(piece, at + 2).is_some()
    });
    if let Some(at) = open
        && let (Some(low), Some(high)) = (whole(piece, at), whole(piece, at + 2))
    {
        piece.splice(at..at + 3, [Token::Number(format!("{low}-{high}"))]);
    }
}

/// `6 flying 20s` are so many of them.
fn flying(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        whole(piece, *at).is_some()
            && lower(piece, at + 1) == "flying"
            && number(piece, at + 2).is_some()
    });
    if let Some(at) = at {
        piece.insert(at + 1, Token::Times);
    }
    // `flying 30 x 4` and `400 x 6` are so many over that way.
    let least = if piece.iter().any(|token| token.lower() == "flying") {
        10.0
    } else {
        100.0
    };
    let at = (0..piece.len()).find(|at| {
        number(piece, *at).is_some_and(|metres| metres >= least)
            && piece.get(at + 1) == Some(&Token::Times)
            && whole(piece, at + 2).is_some_and(|count| count < 30 && f64::from(count) < least)
            && unit(piece, at + 3).is_none()
            && piece.get(at + 3) != Some(&Token::Times)
    });
    if let Some(at) = at {
        piece.swap(at, at + 2);
        piece.insert(at + 3, Token::word("m"));
    }
}

/// A count without anything behind its `x`, and `twice`, as an `8 times`.
fn times_behind(piece: &mut Piece) {
    if let [Token::Number(_), Token::Times] = piece.as_slice() {
        piece.pop();
        piece.push(Token::word("times"));
    }
    if piece.last().is_some_and(|last| last.lower() == "twice") {
        piece.pop();
        piece.extend([Token::Number("2".to_owned()), Token::word("times")]);
    }
}

/// `game 4x4, 3 x 5 min`: players on each side, where the dose stands behind it.
fn sides(pieces: &mut [Piece]) {
    let game = kind::kind_of(&pieces.concat()).is(Category::Game);
    let Some((first, rest)) = pieces.split_first_mut().filter(|_| game) else {
        return;
    };
    let [.., Token::Number(one), Token::Times, Token::Number(other)] = first.as_slice() else {
        return;
    };
    if one == other && rest.iter().any(|piece| counts(piece)) {
        let word = Token::word(&format!("{one}v{other}"));
        first.truncate(first.len() - 3);
        first.push(word);
    }
}

/// `stairs 10x`, `4v4 4 x`: so many times what the words say; beside a category alone nothing says what.
pub(super) fn times_at_the_end(pieces: &mut [Piece]) {
    for piece in pieces {
        let numbers = piece.iter().filter(|token| token.is_number()).count();
        let bare = match kind::explicit_at(piece, 0) {
            Some((_, Category::Game)) | None => false,
            Some((words, _)) => piece.len() == words + 2,
        };
        let words = matches!(piece.first(), Some(Token::Word { .. } | Token::Name(_)));
        if let [.., Token::Number(_), end @ Token::Times] = piece.as_mut_slice()
            && words
            && !bare
            && numbers == 1
        {
            *end = Token::word("times");
        }
    }
}

/// `2 x 5 up and back over 10 m`: reps, whose way stands behind them.
fn uncounted_turns(pieces: &mut [Piece]) {
    for piece in pieces {
        let turns = |at: usize| {
            matches!(lower(piece, at).as_str(), "up" | "out" | "there" | "down")
                && lower(piece, at + 1) == "and"
                && lower(piece, at + 2) == "back"
                && lower(piece, at + 3) == "over"
        };
        let at = (2..piece.len()).find(|at| {
            turns(*at)
                && number(piece, at - 1).is_some()
                && piece.get(at - 2) == Some(&Token::Times)
        });
        if let Some(at) = at {
            piece.insert(at, Token::word("reps"));
        }
    }
}

/// `3 rounds of 10 s sprint, 20 s rest` is one block; `work 40 s, rest 20 s, 6 rounds` is done so many times.
fn rounds_of_work(pieces: &mut Vec<Piece>) {
    let is_rounds = |word: &str| matches!(word, "round" | "rounds" | "rds" | "rnds");
    // `1 min off 5 rounds`
    for index in 0..pieces.len() {
        let Some(piece) = pieces.get(index) else {
            return;
        };
        let at = piece.len().checked_sub(2).filter(|at| *at > 2);
        if let Some(at) = at
            && is_time(piece, at - 3)
            && lower(piece, at - 1) == "off"
            && whole(piece, at).is_some()
            && is_rounds(&lower(piece, at + 1))
        {
            part(pieces, index, at);
        }
    }
    for piece in pieces.iter_mut() {
        let at = (0..piece.len()).find(|at| {
            whole(piece, *at).is_some() && is_rounds(&lower(piece, at + 1)) && {
                let work = at + 2 + usize::from(lower(piece, at + 2) == "of");
                number(piece, work).is_some()
                    && matches!(unit(piece, work + 1), Some("m" | "yd" | "s" | "min"))
            }
        });
        if let Some(at) = at {
            let of = usize::from(lower(piece, at + 2) == "of");
            piece.splice(at + 1..at + 2 + of, [Token::Times]);
        }
    }
    let works = |piece: &Piece| {
        let work = piece
            .iter()
            .any(|token| matches!(token.lower().as_str(), "work" | "on"));
        work && piece.iter().any(Token::is_number)
    };
    let worked = pieces.iter().any(works);
    for piece in pieces.iter_mut() {
        let count = piece.len() == 2 && whole(piece, 0).is_some() && is_rounds(&lower(piece, 1));
        if worked && count {
            piece.pop();
            piece.push(Token::word("times"));
        }
    }
}

/// A number of sets, where one is said, and of reps.
type Count = (Option<u32>, u32);

/// `30 m, 8 times`, `9 m there and back x 6`, `10 m up and back, one set of 6`: the count in front of the work.
fn behind(pieces: &mut Vec<Piece>) {
    let rounds = |piece: &Piece| piece.iter().any(|token| token.lower().starts_with("round"));
    let Some((at, from)) =
        (pieces.iter().enumerate()).find_map(|(at, piece)| Some((at, work(piece)?)))
    else {
        return;
    };
    let dosed = |piece: &Piece| piece.len() > 2 && counts(piece) && piece.contains(&Token::Times);
    if pieces.iter().any(|piece| rounds(piece) || dosed(piece)) {
        let own = pieces
            .get(at)
            .is_some_and(|piece| tail_count(piece, from).is_some());
        if !own || pieces.iter().any(rounds) {
            return;
        }
    }
    let work_s = pieces.get(at).and_then(|piece| seconds(piece, from));
    let fits = |in_reps: bool| !in_reps || work_s.is_none_or(|s| s <= LONGEST_REP_S);
    let own = pieces.get(at).and_then(|piece| tail_count(piece, from));
    if let Some((start, count, in_reps)) = own {
        if fits(in_reps)
            && let Some(piece) = pieces.get_mut(at)
        {
            piece.truncate(start);
            in_front(piece, from, count);
        }
        return;
    }
    let other = (pieces.iter().enumerate().skip(at + 1)).find_map(|(index, piece)| {
        let (start, count, in_reps) = count_at_end(piece)?;
        (start == 0).then_some((index, count, in_reps))
    });
    if let Some((index, count, in_reps)) = other
        && fits(in_reps)
    {
        pieces.remove(index);
        if let Some(piece) = pieces.get_mut(at) {
            in_front(piece, from, count);
        }
    }
}

fn in_front(piece: &mut Piece, from: usize, (sets, reps): Count) {
    let figure = |count: u32| Token::Number(count.to_string());
    let mut put = Vec::new();
    if let Some(sets) = sets.filter(|sets| *sets > 1) {
        put.extend([figure(sets), Token::Times]);
    }
    put.extend([figure(reps), Token::Times]);
    piece.splice(from..from, put);
}

/// Where the work of a rep stands in a piece that does not count it.
fn work(piece: &Piece) -> Option<usize> {
    let at = piece.iter().position(Token::is_number)?;
    let before = at
        .checked_sub(1)
        .map(|at| lower(piece, at))
        .unwrap_or_default();
    let led = is_one_of(
        &before,
        "rest, recovery, over, every, then, between, at, work, of",
    ) || gait::is_gait(&before);
    let behind = lower(piece, at + 2);
    let rests = is_one_of(
        &behind,
        "on, off, rest, recovery, between, break, pause, work, after",
    ) || gait::walks(&behind);
    number(piece, at)?;
    let measured = matches!(unit(piece, at + 1), Some("m" | "yd" | "s" | "min"));
    (measured && !led && !rests).then_some(at)
}

/// The count at the end of the piece in which the work stands: where it begins, how many, and whether it counts `reps`.
fn tail_count(piece: &Piece, work: usize) -> Option<(usize, Count, bool)> {
    let (start, count, in_reps) = count_at_end(piece)?;
    (start >= work + 2).then_some((start, count, in_reps))
}

fn count_at_end(piece: &Piece) -> Option<(usize, Count, bool)> {
    let end = piece.len();
    let at = |back: usize| end.checked_sub(back);
    let word = |back: usize| at(back).map(|at| lower(piece, at)).unwrap_or_default();
    let figure = |back: usize| whole(piece, at(back)?).filter(|count| *count > 0);
    if word(1) == "times" {
        return Some((at(2)?, (None, figure(2)?), false));
    }
    if piece.get(at(2)?) == Some(&Token::Times) {
        return Some((at(2)?, (None, figure(1)?), false));
    }
    let reps = usize::from(unit_of(&word(1)) == Some("reps"));
    if word(reps + 2) == "of" && unit_of(&word(reps + 3)) == Some("sets") {
        return Some((at(reps + 4)?, (figure(reps + 4), figure(reps + 1)?), true));
    }
    (reps == 1)
        .then(|| Some((at(2)?, (None, figure(2)?), true)))
        .flatten()
}
