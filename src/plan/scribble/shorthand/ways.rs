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
