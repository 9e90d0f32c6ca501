//! Counts behind the work, put in front of it, and what is told behind a count.

use super::place::{is_measured, part};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::scribble::phrase::counts;
use crate::plan::scribble::token::{Piece, Token, lower, number, seconds, text_of, unit, whole};
use crate::plan::scribble::{gait, kind};

/// Longest work that is counted in `reps` behind it, s: what lasts longer is rather so many reps within that time.
const LONGEST_REP_S: f64 = 60.0;

/// A number of sets, where one is said, and of reps.
type Count = (Option<u32>, u32);

/// `30 m, 8 times`, `9 m there and back x 6`, `10 m up and back, one set of 6`: the count in front of the work.
pub(super) fn behind(pieces: &mut Vec<Piece>) {
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
pub(super) fn work(piece: &Piece) -> Option<usize> {
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
    (is_measured(piece, at) && !led && !rests).then_some(at)
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

/// A count without anything behind its `x`, and `twice` or `thrice`, as an `8 times`.
pub(super) fn times_behind(piece: &mut Piece) {
    if let [Token::Number(_), Token::Times] = piece.as_slice() {
        piece.pop();
        piece.push(Token::word("times"));
    }
    let count = match piece.last().map(Token::lower).as_deref() {
        Some("twice") => "2",
        Some("thrice") => "3",
        _ => return,
    };
    piece.pop();
    piece.extend([Token::Number(count.to_owned()), Token::word("times")]);
}

/// `10 m x 8 from a standing start`, `100 m x 10 strides`: where a rep begins and what it is are told behind its count.
pub(super) fn words_behind(pieces: &mut Vec<Piece>) {
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

/// `stairs 10x`, `4v4 4 x`: so many times what the words say; beside a category alone nothing says what.
pub(in crate::plan::scribble) fn times_at_the_end(pieces: &mut [Piece]) {
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

/// `5 x 20 m x 3`, `30 s on 30 s off x 10 x 2 sets`: the sets as a piece of their own. Gives them as they were written, where no
/// word says that they are sets.
pub(in crate::plan::scribble) fn sets_behind(pieces: &mut Vec<Piece>) -> Option<String> {
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
