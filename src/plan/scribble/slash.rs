//! Two numbers with a slash between them: `8 x 30/30`, `8 mins of 15/15`.

use super::token::{Piece, Token, lower};
use crate::plan::phrase::unit_of;

/// The pieces with the pair as work and rest, and the pair as it was written. `None` where there is none that can be.
pub(super) fn work_and_rest(pieces: &[Piece]) -> Option<(Vec<Piece>, String)> {
    let (index, at) = (pieces.iter().enumerate()).find_map(|(index, piece)| {
        let at = piece.iter().position(|token| pair(token).is_some())?;
        Some((index, at))
    })?;
    let piece = pieces.get(index)?;
    let written = match piece.get(at)? {
        Token::Number(text) => text.clone(),
        _ => return None,
    };
    let (work, rest) = pair(piece.get(at)?)?;
    let word = |at: usize| lower(piece, at);
    let (unit, unit_s) = match unit_of(&word(at + 1)) {
        Some("s") | None => ("s", 1.0),
        Some("min") => ("min", 60.0),
        Some(_) => return None,
    };
    let behind = at + 1 + usize::from(unit_of(&word(at + 1)).is_some());
    let number = |at: usize| match piece.get(at)? {
        Token::Number(text) => text.parse::<f64>().ok(),
        _ => None,
    };
    let time_s = |at: usize| -> Option<f64> {
        match unit_of(&word(at + 1))? {
            "s" => number(at),
            "min" => Some(60.0 * number(at)?),
            _ => None,
        }
    };
    // How often: `8 x 30/30`, `30/30 x 8`, `8 times 30/30`, or for how long: `8 mins of 15/15`, `15/15 x 8 mins`.
    let leads = |at: usize| {
        piece.get(at) == Some(&Token::Times)
            || matches!(
                word(at).as_str(),
                "times" | "of" | "for" | "by" | "sets" | "reps"
            )
    };
    let in_time = |seconds: f64| (seconds / ((work + rest) * unit_s)).floor();
    let (count, taken) =
        if let Some(count) = at.checked_sub(2).and_then(number).filter(|_| leads(at - 1)) {
            (count, at - 2..behind)
        } else if let Some(seconds) = at.checked_sub(3).and_then(time_s).filter(|_| leads(at - 1)) {
            (in_time(seconds), at - 3..behind)
        } else if let Some(seconds) = at.checked_sub(2).and_then(time_s) {
            (in_time(seconds), at - 2..behind)
        } else if let Some(seconds) = time_s(behind + 1).filter(|_| leads(behind)) {
            (in_time(seconds), at..behind + 3)
        } else if let Some(count) = number(behind + 1).filter(|_| leads(behind)) {
            (count, at..behind + 2)
        } else if let Some(count) = number(behind).filter(|_| word(behind + 1) == "times") {
            (count, at..behind + 2)
        } else {
            return None;
        };
    if count < 1.0 || count.fract() != 0.0 {
        return None;
    }
    let mut out = pieces.to_vec();
    let put = [
        Token::Number(count.to_string()),
        Token::Times,
        Token::Number(work.to_string()),
        Token::word(unit),
    ];
    out.get_mut(index)?.splice(taken, put);
    let rest = vec![
        Token::word("rest"),
        Token::Number(rest.to_string()),
        Token::word(unit),
        Token::word("between"),
        Token::word("reps"),
    ];
    out.insert(index + 1, rest);
    Some((out, written))
}

fn pair(token: &Token) -> Option<(f64, f64)> {
    let Token::Number(text) = token else {
        return None;
    };
    let (work, rest) = text.split_once('/')?;
    let (work, rest): (f64, f64) = (work.parse().ok()?, rest.parse().ok()?);
    // `1/2` is a half, and `9/10` a mark.
    (work >= 5.0 && rest >= 5.0 || work > 1.0 && rest < work).then_some((work, rest))
}
