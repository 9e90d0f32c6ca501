//! Circuits of stations: `circuit: 8 stations 40 s/20 s x 2`, `6 stations, 45 s on 15 s off, 3 rounds`.

use super::kind::{Kind, kind_of};
use super::open::{Open, find};
use super::token::{Piece, Token, lower, seconds, text_of, whole};
use crate::plan::near::is_one_of;

/// Asks about stations with work and rest at each, done so many times over: a set of the block is once round them.
pub(super) fn counted(pieces: &[Piece]) -> Option<Open> {
    let (index, at, count) = find(pieces, |piece, at| {
        let count = whole(piece, at).filter(|count| (2..=30).contains(count))?;
        is_one_of(&lower(piece, at + 1), "stations, exercises").then_some(count)
    })?;
    let written = text_of(pieces.get(index)?.get(at..at + 2)?);
    let mut ahead: Vec<Piece> = pieces.get(..index)?.to_vec();
    ahead.push(pieces.get(index)?.get(..at)?.to_vec());
    let behind = pieces.get(index)?.get(at + 2..)?;
    let tail: Vec<Token> = std::iter::once(behind.to_vec())
        .chain(pieces.get(index + 1..)?.iter().cloned())
        .flatten()
        .filter(|token| {
            !is_one_of(
                &token.lower(),
                "on, off, work, rest, each, of, at, per, with",
            )
        })
        .collect();
    // The work and the rest at each, and how often.
    seconds(&tail, 0)?;
    let rested = seconds(&tail, 2).is_some();
    let end = if rested { 4 } else { 2 };
    let rounds = match tail.get(end..)? {
        [] => 1,
        [Token::Times, Token::Number(rounds)] => rounds.parse().ok()?,
        [Token::Number(rounds), word]
            if is_one_of(&word.lower(), "rounds, rds, sets, times, laps, round") =>
        {
            rounds.parse().ok()?
        }
        _ => return None,
    };
    if rounds == 0 {
        return None;
    }
    let mut dose = Vec::new();
    for many in [rounds, count].into_iter().filter(|many: &u32| *many > 1) {
        dose.extend([Token::Number(many.to_string()), Token::Times]);
    }
    dose.extend(tail.get(..2)?.iter().cloned());
    let mut meant = ahead;
    meant.push(dose);
    if rested {
        let between = ["between", "reps"].map(Token::word).to_vec();
        let rest = vec![Token::word("rest")];
        meant.push([rest, tail.get(2..4)?.to_vec(), between].concat());
    }
    meant.retain(|piece| !piece.is_empty());
    let message = format!("`{written}` may be so many reps of a set");
    let mut both = vec![meant];
    // Where the words do not say the kind, stations are of the gym or of runs.
    if let (Kind::Nothing, [meant]) = (kind_of(&pieces.concat()), both.as_slice()) {
        both = ["gym", "resistance"]
            .map(|kind| [vec![vec![Token::word(kind)]], meant.clone()].concat())
            .to_vec();
    }
    Some(Open::new(message, written, both))
}
