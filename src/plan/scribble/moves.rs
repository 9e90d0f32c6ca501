//! A row of moves over lengths, of which the first is fast and the others are the way on: `sprint 20 m, jog 20 m, walk 20 m x 10`.
//!
//! What is counted is the whole row, so the count goes to the first move. The others are its rest, whose length is free.

use super::token::{Piece, Token, text_of};
use crate::plan::phrase::unit_of;

const FAST: [&str; 5] = ["sprint", "sprints", "run", "fast", "hard"];
const GENTLE: [&str; 5] = ["walk", "walking", "jog", "jogging", "stroll"];

/// Puts such a row in the notation's words.
pub(super) fn put(pieces: &mut Vec<Piece>, remarks: &mut Vec<String>) {
    let word = |piece: &Piece, at: usize| piece.get(at).map(Token::lower).unwrap_or_default();
    let length = |piece: &Piece, at: usize| {
        let plain =
            matches!(piece.get(at), Some(Token::Number(text)) if text.parse::<f64>().is_ok());
        plain && matches!(unit_of(&word(piece, at + 1)), Some("m" | "yd"))
    };
    let Some(first) = pieces.iter().position(|piece| {
        piece.len() == 3 && FAST.contains(&word(piece, 0).as_str()) && length(piece, 1)
    }) else {
        return;
    };
    let gentle = |piece: &&Piece| GENTLE.contains(&word(piece, 0).as_str()) && length(piece, 1);
    let row = pieces.iter().skip(first + 1).take_while(gentle).count();
    // Only the last may have the count behind it.
    let last = first + row;
    let short = |piece: &Piece| piece.len() == 3;
    if row == 0 || !pieces.iter().take(last).skip(first + 1).all(short) {
        return;
    }
    let count = match pieces.get(last).map(|piece| piece.get(3..)) {
        Some(Some([Token::Times, count @ Token::Number(_)])) => count.clone(),
        Some(Some([])) => {
            let next = pieces.get(last + 1).map(Vec::as_slice);
            let count = match next {
                Some([Token::Times, count @ Token::Number(_)]) => count.clone(),
                Some([count @ Token::Number(_), times]) if times.lower() == "times" => {
                    count.clone()
                }
                Some([repeat, count @ Token::Number(_), ..])
                    if repeat.lower() == "repeat" && next.is_some_and(|next| {
                        next.len() == 2
                            || matches!(next.get(2..), Some([times]) if times.lower() == "times")
                    }) =>
                {
                    count.clone()
                }
                _ => return,
            };
            pieces.remove(last + 1);
            count
        }
        _ => return,
    };
    let others: Vec<Piece> = pieces.drain(first + 1..=last).collect();
    let texts: Vec<String> = (others.iter())
        .map(|piece| text_of(piece.get(..3).unwrap_or_default()))
        .collect();
    let jogs = others
        .last()
        .is_some_and(|piece| word(piece, 0).starts_with("jog"));
    remarks.push(texts.join(", "));
    if let Some(piece) = pieces.get_mut(first) {
        piece.splice(1..1, [count, Token::Times]);
    }
    let back = if jogs { "jog" } else { "walk" };
    pieces.insert(first + 1, vec![Token::word(back), Token::word("back")]);
}
