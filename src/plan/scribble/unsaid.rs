//! Amounts that a line says and leaves open: `at 8%` of a hill, `a few 30 m sprints`, `less than 6 x 30 m`.

use super::aside::{STEEPEST_PERCENT, gradient, is_measure};
use super::kind::kind_of;
use super::open::{Open, find, with};
use super::token::{Piece, Token, is_way, lower, number, text_of, whole};
use crate::plan::Category;
use crate::plan::near::is_one_of;

/// `hill sprints 6 x 40 m at 8%`: how steep, or a share of top speed.
pub(super) fn low_share(pieces: &[Piece]) -> Option<Open> {
    let words = pieces.concat();
    // Of what one can lift, or of a heart rate.
    if kind_of(&words).is(Category::Gym) || words.iter().any(|word| is_measure(&word.lower())) {
        return None;
    }
    let (index, at, ()) = find(pieces, |piece, at| {
        let low = number(piece, at).is_some_and(|percent| percent < STEEPEST_PERCENT);
        let percent = piece.get(at + 1) == Some(&Token::Percent);
        (low && percent && gradient(piece).is_none()).then_some(())
    })?;
    let written = text_of(pieces.get(index)?.get(at..at + 2)?);
    let steep = with(pieces, index, at + 2..at + 2, &[Token::word("gradient")]);
    let message = format!("`{written}` may be how steep it is, or a share of top speed");
    Some(Open::new(message, written, vec![steep, pieces.to_vec()]))
}

/// `a few 30 m sprints`, `several sprints of 30 m`: more than one, and nobody says how many.
pub(super) fn a_few(pieces: &[Piece]) -> Option<Open> {
    let (index, at, (end, way)) = find(pieces, |piece, at| {
        if !is_one_of(&lower(piece, at), "few, several, couple") || piece.contains(&Token::Times) {
            return None;
        }
        let end = at + 1 + usize::from(lower(piece, at + 1) == "of");
        let way = (end..piece.len().min(end + 4)).find(|way| is_way(piece, *way))?;
        let words = piece.get(end..way)?;
        words
            .iter()
            .all(|word| matches!(word, Token::Word { .. }))
            .then_some((end, way))
    })?;
    let piece = pieces.get(index)?;
    let from = at - usize::from(at > 0 && lower(piece, at - 1) == "a");
    let written = text_of(piece.get(from..end)?);
    let counts = if lower(piece, at) == "couple" {
        [2, 3]
    } else {
        [4, 6]
    };
    let between: Vec<Token> = (piece.get(end..way)?.iter())
        .filter(|word| !is_one_of(&word.lower(), "of, over"))
        .cloned()
        .collect();
    let meant = counts.map(|count| {
        let dose = [Token::Number(count.to_string()), Token::Times];
        with(
            pieces,
            index,
            from..way,
            &[between.as_slice(), &dose].concat(),
        )
    });
    let message = format!("`{written}` does not say how many");
    Some(Open::new(message, written, meant.to_vec()))
}

/// `10x10 sprints`, `4x4 intervals`: sets of so many, or so far or so long each.
pub(super) fn of_what(pieces: &[Piece]) -> Option<Open> {
    // Nobody sprints over less, m.
    const SHORTEST_M: f64 = 10.0;
    // From here on an interval is rather in seconds, min.
    const LONGEST_MIN: f64 = 10.0;
    let (index, at, units) = find(pieces, |piece, at| {
        let counted = whole(piece, at).is_some() && piece.get(at + 1) == Some(&Token::Times);
        let work = number(piece, at + 2).filter(|_| counted)?;
        let noun = lower(piece, at + 3);
        let units: &[&str] = match () {
            () if is_one_of(&noun, "sprint, sprints, dashes, accels, accelerations") => {
                if work < SHORTEST_M { &[] } else { &["m"] }
            }
            () if is_one_of(&noun, "interval, intervals") => {
                if work < LONGEST_MIN {
                    &["min"]
                } else {
                    &["s", "m"]
                }
            }
            () => &[],
        };
        let alone = piece.iter().filter(|token| token.is_number()).count() == 2;
        (!units.is_empty() && alone).then_some(units)
    })?;
    let measured = (pieces.iter().flatten()).any(|token| {
        matches!(
            token.lower().as_str(),
            "over" | "m" | "yd" | "metres" | "yards"
        )
    });
    if measured {
        return None;
    }
    let written = text_of(pieces.get(index)?.get(at..at + 4)?);
    let mut meant: Vec<Vec<Piece>> = (units.iter())
        .map(|unit| with(pieces, index, at + 3..at + 3, &[Token::word(unit)]))
        .collect();
    meant.push(pieces.to_vec());
    let message = format!("`{written}` may be how long each is, or sets of so many");
    Some(Open::new(message, written, meant))
}

/// `less than 6 x 30 m`: how many, is open.
pub(super) fn compared(pieces: &[Piece]) -> Option<Open> {
    let (index, at, count) = find(pieces, |piece, at| {
        let compares =
            is_one_of(&lower(piece, at), "less, fewer, more") && lower(piece, at + 1) == "than";
        let counted = piece.get(at + 3) == Some(&Token::Times);
        (compares && counted).then(|| whole(piece, at + 2))?
    })?;
    let piece = pieces.get(index)?;
    let more = lower(piece, at) == "more";
    let written = text_of(piece.get(at..at + 3)?);
    let next = if more {
        count.saturating_add(1)
    } else {
        count.saturating_sub(1).max(1)
    };
    let meant = [next, count].map(|count| {
        with(
            pieces,
            index,
            at..at + 3,
            &[Token::Number(count.to_string())],
        )
    });
    let message = format!("`{written}` does not say how many");
    Some(Open::new(message, written, meant.to_vec()))
}
