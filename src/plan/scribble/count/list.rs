//! Numbers in a row: lists with commas, and a half that is told in words.

use super::place::is_measured;
use crate::plan::scribble::token::{Piece, Token, lower, number, phrase_at, unit};
use crate::plan::scribble::{gait, kind};

/// `10, 20, 30 m` and `10 m, 20 m, 30 m`: a rep each.
pub(super) fn join_pieces(pieces: &mut Vec<Piece>) {
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
    let ends = pieces.get(last).is_some_and(|piece| is_measured(piece, 0));
    if more > 0 && ends {
        join(pieces, first, last);
    }
}

/// `10 m, 20 m, 30 m`, each a piece of its own, and `5 m, 10 m, 15 m x 3`.
pub(in crate::plan::scribble) fn join_lengths(pieces: &mut Vec<Piece>) {
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
    let mut last = first + pieces.iter().skip(first + 1).take_while(same).count();
    // `10 m, 20 m, 30 m sprints`
    let named = pieces.get(last + 1).is_some_and(|piece| {
        let own = piece.get(..2).is_some_and(|own| same(&&own.to_vec()));
        // `5 m, 10 m, 15 m x 3 reps`
        let times = matches!(piece.get(2..), Some([Token::Times, Token::Number(_), end @ ..])
            if end.len() < 2 && end.iter().all(|end| matches!(end.lower().as_str(), "reps" | "sets")));
        if own && times {
            return true;
        }
        let words = piece
            .iter()
            .skip(2)
            .all(|token| kind::is_counted(&token.lower()));
        own && piece.len() > 2 && words
    });
    last += usize::from(named);
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

/// Parts of an hour in words, the longer first, s.
const HOURS: [(&str, &str); 7] = [
    ("an hour and a half", "5400"),
    ("three quarters of an hour", "2700"),
    ("a quarter of an hour", "900"),
    ("quarter of an hour", "900"),
    ("half an hour", "1800"),
    ("half hour", "1800"),
    ("an hour", "3600"),
];

/// `1 1/2 min`, `half a minute`, `a minute and a half`
pub(super) fn fractions(piece: &mut Piece) {
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
        let is = |words| phrase_at(piece, at, words).is_some();
        let minute = |at: usize| matches!(lower(piece, at).as_str(), "minute" | "min");
        let (words, seconds) = if is("a minute and a half") {
            (5, "90")
        } else if is("half a") && minute(at + 2) {
            (3, "30")
        } else if let Some((words, seconds)) = HOURS
            .iter()
            .find_map(|(hours, seconds)| Some((phrase_at(piece, at, hours)?, *seconds)))
        {
            (words, seconds)
        } else if is("half") && minute(at + 1) {
            (2, "30")
        } else if is("a minute") {
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
pub(super) fn lists(piece: &mut Piece) {
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
    if more < 3 || !bare && !piece.get(from + more).is_some_and(Token::is_unit) {
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
