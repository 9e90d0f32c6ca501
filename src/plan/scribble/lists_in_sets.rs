//! Reps that differ, so often, and sets of these: `30-20-10 x 5, 3 sets` are rounds.

use super::ask::question;
use super::meaning::{Around, Scribble};
use super::slip::lines_of;
use super::token::{Piece, Token, lower, seconds, text_of, unit, whole};
use crate::plan::rounds::Rounds;

/// Asks about such sets. `None` where the line has none.
pub(super) fn asked(pieces: &[Piece], content: &str, around: Around<'_>) -> Option<Scribble> {
    if around.inside || around.part {
        return None;
    }
    let repeated = |piece: &Piece| {
        let list = piece.iter().any(Token::is_list);
        list && piece.contains(&Token::Times)
    };
    let list = pieces.iter().position(repeated)?;
    let sets = pieces.iter().position(|piece| {
        piece.len() == 2 && whole(piece, 0).is_some() && unit(piece, 1) == Some("sets")
    })?;
    let times = whole(pieces.get(sets)?, 0)?;
    // `2 min between sets` lies between the rounds; another rest stays with the list.
    let between = pieces.iter().position(|piece| {
        let time = usize::from(lower(piece, 0) == "rest");
        let at = time + 2 + usize::from(lower(piece, time + 2) == "rest");
        seconds(piece, time).is_some()
            && lower(piece, at) == "between"
            && unit(piece, at + 1) == Some("sets")
    });
    let rest_s = between.and_then(|at| {
        let piece = pieces.get(at)?;
        seconds(piece, usize::from(lower(piece, 0) == "rest"))
    });
    let kept: Vec<Piece> = (pieces.iter().enumerate())
        .filter(|(at, _)| *at != sets && Some(*at) != between)
        .map(|(_, piece)| piece.clone())
        .collect();
    let rounds = Rounds {
        times,
        between_s: rest_s,
        then_s: None,
    };
    let lines = lines_of(kept, content, around).into_iter();
    let lines = lines.map(|line| format!("{rounds}\n  {line}"));
    let written = text_of(pieces.get(sets)?);
    let message = format!(
        "`{written}` of `{}` are rounds of it",
        text_of(pieces.get(list)?)
    );
    question(message, Some(written), lines)
}
