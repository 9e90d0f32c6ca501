//! A row of moves of which one is fast and the others are the way on, or the pause: `sprint 20 m, jog 20 m, walk 20 m x 10`,
//! `run 3 min walk 1 min x 5`.
//!
//! What is counted is the whole row, so the count goes to the fast move. The others are its rest: of free length where they
//! are ways, of their time where they have one.

use super::gait;
use super::token::{Piece, Token, lower, text_of};
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

const FAST: [&str; 8] = [
    "sprint", "sprints", "run", "fast", "hard", "stride", "strides", "dash",
];

/// Most pieces that a row is looked for in.
const MOST: usize = 8;

/// One move of the row.
struct Move {
    word: Token,
    number: Token,
    unit: Token,
    text: String,
}

impl Move {
    fn is_timed(&self) -> bool {
        matches!(unit_of(&self.unit.lower()), Some("s" | "min"))
    }
}

/// A row in the notation's words.
struct Row {
    pieces: Vec<Piece>,
    /// How the rest is taken.
    how: String,
    /// Nothing in it is faster than a jog.
    jogs: bool,
}

/// Puts such a row in the notation's words. Whether it is one of jogging.
pub(super) fn put(pieces: &mut Vec<Piece>, remarks: &mut Vec<String>) -> bool {
    each_so_far(pieces);
    for first in 0..pieces.len() {
        for last in (first..pieces.len().min(first + MOST)).rev() {
            let tokens: Vec<Token> = (pieces.iter().take(last + 1).skip(first))
                .flatten()
                .cloned()
                .collect();
            if let Some(row) = row(&tokens) {
                remarks.push(row.how);
                pieces.splice(first..=last, row.pieces);
                return row.jogs;
            }
        }
    }
    false
}

/// `sprint, jog, walk 20 m each x 8`: the way of the last is that of all.
fn each_so_far(pieces: &mut [Piece]) {
    let is_move = |piece: &Piece| matches!(piece.as_slice(), [one] if is_a_move(&one.lower()));
    let place = (1..pieces.len()).find(|at| {
        let last = pieces.get(*at).map(Vec::as_slice).unwrap_or_default();
        let led = pieces.get(at - 1).is_some_and(is_move);
        let each = is_one_of(&lower(last, 3), "each");
        led && each && is_a_move(&lower(last, 0)) && last.get(2).is_some_and(Token::is_unit)
    });
    let Some(place) = place else { return };
    let way = match pieces.get_mut(place) {
        Some(piece) => {
            piece.remove(3);
            piece.get(1..3).unwrap_or_default().to_vec()
        }
        None => return,
    };
    let ahead = pieces.iter_mut().take(place).rev();
    for piece in ahead.take_while(|piece| is_move(piece)) {
        piece.extend(way.iter().cloned());
    }
}

fn is_a_move(word: &str) -> bool {
    FAST.contains(&word) || gait::is_gait(word)
}

/// The fast move with the count, and the rest, of tokens that are such a row and nothing else.
fn row(tokens: &[Token]) -> Option<Row> {
    let (front, mut at) = match tokens {
        [count @ Token::Number(_), Token::Times, ..] => (Some(count.clone()), 2),
        _ => (None, 0),
    };
    let mut moves = Vec::new();
    while let Some((one, length)) = one_move(tokens, at) {
        moves.push(one);
        at += length;
    }
    let behind = match tokens.get(at..)? {
        [] => None,
        [Token::Times, count @ Token::Number(_)] => Some(count.clone()),
        // `jog 5 min walk 2 min x 3 sets`
        [Token::Times, count @ Token::Number(_), sets]
            if matches!(unit_of(&sets.lower()), Some("sets" | "reps"))
                || sets.lower() == "rounds" =>
        {
            Some(count.clone())
        }
        [count @ Token::Number(_), times] if times.lower() == "times" => Some(count.clone()),
        [repeat, count @ Token::Number(_)] if repeat.lower() == "repeat" => Some(count.clone()),
        [repeat, count @ Token::Number(_), times]
            if repeat.lower() == "repeat" && times.lower() == "times" =>
        {
            Some(count.clone())
        }
        _ => return None,
    };
    let ((Some(count), None) | (None, Some(count))) = (front, behind) else {
        return None;
    };
    let runs = |one: &Move| FAST.contains(&one.word.lower().as_str());
    // `walk 1 min jog 1 min x 10`, the way back to running: beside a walk the jog is the work.
    let comes_back = !moves.iter().any(runs) && moves.iter().all(Move::is_timed);
    let (fast, gentle): (Vec<Move>, Vec<Move>) = (moves.into_iter())
        .partition(|one| runs(one) || comes_back && gait::jogs(&one.word.lower()));
    let [fast] = fast.as_slice() else { return None };
    let last = gentle.last()?;
    let timed = last.is_timed();
    if gentle.iter().any(|one| one.is_timed() != timed) || timed && gentle.len() > 1 {
        return None;
    }
    let work = vec![
        fast.word.clone(),
        count,
        Token::Times,
        fast.number.clone(),
        fast.unit.clone(),
    ];
    let texts: Vec<&str> = gentle.iter().map(|one| one.text.as_str()).collect();
    let rest = if timed {
        vec![Token::word("rest"), last.number.clone(), last.unit.clone()]
    } else if gait::jogs(&last.word.lower()) {
        ["jog", "back"].map(Token::word).to_vec()
    } else {
        ["walk", "back"].map(Token::word).to_vec()
    };
    let how = if timed {
        last.word.lower()
    } else {
        texts.join(", ")
    };
    Some(Row {
        pieces: vec![work, rest],
        how,
        jogs: comes_back,
    })
}

/// `sprint 20 m` or `20 m sprint` at a place, and how many tokens it takes.
fn one_move(tokens: &[Token], at: usize) -> Option<(Move, usize)> {
    let is_move = |token: &Token| {
        let word = token.lower();
        FAST.contains(&word.as_str()) || gait::is_gait(&word)
    };
    let is_plain =
        |token: &Token| matches!(token, Token::Number(text) if text.parse::<f64>().is_ok());
    // `jog for 1 min`, `walk back 20 m`
    let leads = |at: usize| {
        let word = lower(tokens, at);
        usize::from(matches!(word.as_str(), "for" | "back" | "over"))
    };
    let and =
        usize::from((tokens.get(at)).is_some_and(|t| matches!(t.lower().as_str(), "and" | "then")));
    let from = at + and;
    let one = |word: &Token, number: &Token, unit: &Token| Move {
        word: word.clone(),
        number: number.clone(),
        unit: unit.clone(),
        text: text_of(&[word.clone(), number.clone(), unit.clone()]),
    };
    let first = tokens.get(from)?;
    if is_move(first) {
        let number = from + 1 + leads(from + 1);
        let (figure, unit) = (tokens.get(number)?, tokens.get(number + 1)?);
        return (is_plain(figure) && unit.is_unit())
            .then(|| (one(first, figure, unit), number + 2 - at));
    }
    let (unit, word) = (tokens.get(from + 1)?, tokens.get(from + 2)?);
    (is_plain(first) && unit.is_unit() && is_move(word))
        .then(|| (one(word, first, unit), from + 3 - at))
}
