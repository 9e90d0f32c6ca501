//! When a rep starts: `EMOM 10 min`, `going every 45 s`, `on 30`.

use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::scribble::token::{Piece, Token, lower, seconds, unit, whole};

/// `15 x 40 m on 30`: the seconds of a start, as `on 30 s`.
pub(super) fn on_bare_seconds(piece: &mut Piece) {
    let [ahead @ .., on, Token::Number(seconds)] = piece.as_slice() else {
        return;
    };
    let timed = matches!(
        seconds.as_str(),
        "15" | "20" | "25" | "30" | "40" | "45" | "50" | "60" | "90"
    );
    let way = ahead
        .last()
        .is_some_and(|unit| matches!(unit_of(&unit.lower()), Some("m" | "yd")));
    if on.lower() == "on" && timed && way && ahead.contains(&Token::Times) {
        piece.push(Token::word("s"));
    }
}

/// `going every 45 s`, `1 every 30 s`
pub(super) fn going_every(piece: &mut Piece) {
    let at = (1..piece.len()).find(|at| {
        let ahead = piece.get(at - 1);
        let one = matches!(ahead, Some(Token::Number(text)) if text == "1") && *at == 1;
        let goes = is_one_of(&lower(piece, at - 1), "going, go, leaving, starting, off");
        lower(piece, *at) == "every" && seconds(piece, at + 1).is_some() && (one || goes)
    });
    if let Some(at) = at {
        piece.remove(at - 1);
    }
}

/// `EMOM 10 min: 5 press-ups`, `EMOM 8: 40 m sprint`: so many sets or reps, one each minute.
pub(super) fn each_minute(pieces: &mut Vec<Piece>) {
    if pieces.iter().any(|piece| piece.contains(&Token::Times)) {
        return;
    }
    // `EMOM 10 min 5 squats`
    if let Some(first) = pieces.first_mut()
        && lower(first, 0) == "emom"
        && unit(first, 2) == Some("min")
        && first.len() > 4
        && whole(first, 3).is_some()
    {
        let dose = first.split_off(3);
        pieces.insert(1, dose);
    }
    let [emom, dose, ..] = pieces.as_slice() else {
        return;
    };
    let (Some(minutes), Some(_)) = (whole(emom, 1), whole(dose, 0)) else {
        return;
    };
    let alone = emom.len() == 2 || emom.len() == 3 && unit(emom, 2) == Some("min");
    // Work that fills the minute leaves none to begin in.
    let fits = seconds(dose, 0).is_none_or(|work_s| work_s < 60.0);
    if lower(emom, 0) != "emom" || !alone || !fits {
        return;
    }
    pieces.remove(0);
    if let Some(dose) = pieces.first_mut() {
        dose.splice(0..0, [Token::Number(minutes.to_string()), Token::Times]);
    }
    pieces.push(["every", "minute"].map(Token::word).to_vec());
}
