//! Ways beside a count: `sprints x 8 20 m`; and how far a ball flies, which nobody runs: `long passing 30 yd 20 reps`.

use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::scribble::kind::{is_counted, kind_of};
use crate::plan::scribble::token::{
    Piece, Token, has_no_amount, is_way, lower, text_of, unit, whole,
};

/// `chase sprints x 8 20 m`: so many of that way.
pub(super) fn count_ahead_of_its_way(piece: &mut Piece) {
    let Some(times) = piece.iter().position(|token| *token == Token::Times) else {
        return;
    };
    let words = piece.get(..times).unwrap_or_default();
    let named = times > 0 && has_no_amount(words) && lower(piece, times - 1) != "sets";
    if named && whole(piece, times + 1).is_some() && is_way(piece, times + 2) {
        piece.swap(times, times + 1);
    }
}

/// `sprint 30 m 6 reps 3 sets`: the counts in front of their way.
pub(super) fn counts_behind_their_way(piece: &mut Piece) {
    let Some(at) = piece.len().checked_sub(6).filter(|at| is_way(piece, *at)) else {
        return;
    };
    let count =
        |at: usize, what: &str| whole(piece, at).is_some() && unit(piece, at + 1) == Some(what);
    let counted = count(at + 2, "reps") && count(at + 4, "sets");
    if !counted || !has_no_amount(piece.get(..at).unwrap_or_default()) {
        return;
    }
    let counts: Piece = piece.drain(at + 2..).collect();
    if let [reps, _, sets, _] = counts.as_slice() {
        let put = [sets.clone(), Token::Times, reps.clone(), Token::Times];
        piece.splice(at..at, put);
    }
}

/// `long passing 30 yd 20 reps`, `shooting 18 yd 15 shots each foot`: how far the ball flies is part of the name.
pub(super) fn flight_of_a_ball(piece: &mut Piece) {
    const FLIES: &str = "passing, passes, shooting, shots, crossing, crosses, kicks, volleys, headers, throws, finishing";
    let flies = piece.iter().any(|token| is_one_of(&token.lower(), FLIES));
    if !flies || !kind_of(piece).is(Category::Technical) || piece.contains(&Token::Times) {
        return;
    }
    let counted = |at: usize| {
        let noun = lower(piece, at + 1);
        whole(piece, at).is_some() && (unit(piece, at + 1) == Some("reps") || is_counted(&noun))
    };
    let count = (0..piece.len()).find(|at| counted(*at));
    let way = (0..piece.len()).find(|at| is_way(piece, *at));
    if let (Some(_), Some(way)) = (count, way) {
        let taken: Vec<Token> = piece.drain(way..way + 2).collect();
        piece.insert(way, Token::word(&text_of(&taken)));
    }
}
