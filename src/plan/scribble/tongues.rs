//! Units, counts and rests in the words of other languages and by other English names, put in ours before a line is looked at.

use super::token::{Piece, Token, lower, seconds};
use crate::plan::near::is_one_of;

/// What sets are called, behind a number or `between`.
const SETS: &str = "serie, series, serien, séries, block, blocks, bloques, blöcke";
/// Behind a number.
const UNITS: [(&str, &str); 9] = [
    ("min", "minuti, minuto, minuten, minutos"),
    ("s", "secondi, sek, sekunden, seg, segs, segundos, secondes"),
    ("m", "metri, metros, metern, mètres"),
    ("yd", "y"),
    ("sets", SETS),
    (
        "reps",
        "ripetizioni, wdh, wiederholungen, repeticiones, répétitions",
    ),
    ("times", "volte, mal, veces, fois"),
    (
        "rest",
        "p, pause, pausa, récup, recup, descanso, recuperación, ht",
    ),
    ("between", "entre, zwischen, tra"),
];
/// Before a number.
const RESTS: &str = "recupero, pausa, pause, break, p, récup, récupération, recup, descanso, recuperación, erholung";
/// Behind `between`.
const PARTS: [(&str, &str); 3] = [
    ("sets", SETS),
    ("sets", "blöcken, lots"),
    (
        "reps",
        "repetitions, wiederholungen, repeticiones, répétitions",
    ),
];

/// The pieces with what is said in other words in ours.
pub(super) fn put(mut pieces: Vec<Piece>) -> Vec<Piece> {
    for piece in &mut pieces {
        for at in 0..piece.len() {
            if let Some(word) = ours(piece, at)
                && let Some(token) = piece.get_mut(at)
            {
                *token = Token::word(word);
            }
        }
    }
    pieces
}

fn ours(piece: &[Token], at: usize) -> Option<&'static str> {
    let word = lower(piece, at);
    let among = |words: &[(&'static str, &str)]| {
        let mut found = words.iter().filter(|(_, others)| is_one_of(&word, others));
        found.next().map(|(ours, _)| *ours)
    };
    let figure = |at: Option<usize>| {
        at.and_then(|at| piece.get(at))
            .is_some_and(Token::is_number)
    };
    let timed = at
        .checked_sub(2)
        .is_some_and(|at| seconds(piece, at).is_some());
    if word.is_empty() {
        None
    } else if figure(at.checked_sub(1)) {
        // `3 Min P`: those need their unit.
        among(&UNITS).filter(|ours| !matches!(*ours, "rest" | "between"))
    } else if timed {
        among(&UNITS).filter(|ours| matches!(*ours, "rest" | "between"))
    } else if is_one_of(&word, RESTS)
        && (figure(Some(at + 1)) || lower(piece, at + 1) == "of" && figure(Some(at + 2)))
    {
        Some("rest")
    } else if at > 0 && lower(piece, at - 1) == "between" {
        among(&PARTS)
    } else {
        None
    }
}
