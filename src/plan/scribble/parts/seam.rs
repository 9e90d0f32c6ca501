//! Where a line is cut again into parts: in front of `then`, and where the word of another move or a thing that is counted begins one.

use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::scribble::kind::explicit_at;
use crate::plan::scribble::token::{Piece, Token, is_rest, lower, seconds};
use crate::plan::scribble::{gait, kind};

/// The category that the line begins with, and the pieces without it.
pub(super) fn without_category(pieces: &[Piece]) -> (Option<Category>, Vec<Piece>) {
    let mut pieces = pieces.to_vec();
    let found = pieces.first().and_then(|first| explicit_at(first, 0));
    if let (Some((words, _)), Some(first)) = (found, pieces.first_mut()) {
        first.drain(..words);
    }
    pieces.retain(|piece| !piece.is_empty());
    (found.map(|(_, category)| category), pieces)
}

/// The pieces, cut again where one part follows another without a comma: at `then`, `and` or `with` before a number, and
/// where the word of another move stands behind a dose.
pub(in crate::plan::scribble) fn cut(pieces: &[Piece]) -> Vec<Piece> {
    let mut out = Vec::new();
    for piece in pieces {
        let mut rest = piece.clone();
        while let Some((end, begin)) = seam(&rest) {
            let tail = rest.split_off(begin);
            rest.truncate(end);
            out.push(std::mem::replace(&mut rest, tail));
        }
        out.push(rest);
    }
    // `finish with 3 x 30 m`
    for piece in &mut out {
        let leads = |token: &Token| {
            is_one_of(
                &token.lower(),
                "finish, start, with, w, w/, then, and, plus, inc, incl, including",
            )
        };
        let lead = piece.iter().take_while(|token| leads(token)).count();
        // `then 3 min rest` lies behind what was done.
        let rests = lead > 0
            && lower(piece, lead - 1) == "then"
            && seconds(piece, lead).is_some()
            && (piece.len() == lead + 2
                || piece.len() == lead + 3 && is_rest(&lower(piece, lead + 2)));
        if rests {
            piece.truncate(lead + 2);
        }
        piece.drain(..lead - usize::from(rests));
    }
    out.retain(|piece| !piece.is_empty());
    out
}

/// `jog 10 then sprint 6 x 20`: whether a piece goes on to other work, which has a word and numbers of its own.
pub(in crate::plan::scribble) fn says_then(pieces: &[Piece]) -> bool {
    let number = |tokens: &[Token]| tokens.iter().any(Token::is_number);
    pieces.iter().any(|piece| {
        (1..piece.len()).any(|at| {
            let next = lower(piece, at + 1);
            let (ahead, behind) = piece.split_at(at);
            lower(piece, at) == "then"
                && kind::is_known(&next)
                && !gait::is_gait(&next)
                && number(ahead)
                && number(behind)
        })
    })
}

/// Where a part ends, and the next begins.
fn seam(piece: &[Token]) -> Option<(usize, usize)> {
    let word = |at: usize| lower(piece, at);
    let number = |at: usize| piece.get(at).is_some_and(Token::is_number);
    // `10 min rondo 8 min finishing`: each time leads the words behind it.
    let time = |at: usize| number(at) && matches!(unit_of(&word(at + 1)), Some("s" | "min"));
    let known = |from: usize, to: usize| (from..to).any(|at| kind::is_known(&word(at)));
    if time(0) && !piece.contains(&Token::Times) {
        let next = (3..piece.len()).find(|at| time(*at));
        return next
            .filter(|at| known(2, *at) && known(at + 2, piece.len()))
            .map(|at| {
                let joins = is_one_of(&word(at - 1), "then, and, plus");
                (at - usize::from(joins), at)
            })
            .or_else(|| joint(piece));
    }
    joint(piece)
}

/// Where a word joins two parts, or that of another move begins the second.
fn joint(piece: &[Token]) -> Option<(usize, usize)> {
    let word = |at: usize| lower(piece, at);
    let number = |at: usize| piece.get(at).is_some_and(Token::is_number);
    let numbers = |from: usize, to: usize| (from..to).any(number);
    // `10 squats 20 lunges`, `squats 10 lunges 10`
    let counts = |at: usize| {
        let up = usize::from(word(at).starts_with("up"));
        kind::is_counted(&word(at.saturating_sub(up)))
    };
    let two_counts = |at: usize| {
        let leads = number(at) && counts(at - 1) && (at + 1..at + 3).any(counts);
        leads && numbers(0, at)
            || at > 1 && number(at - 1) && counts(at - 2) && counts(at) && number(at + 1)
    };
    let seam = (2..piece.len()).find(|at| two_counts(*at));
    if let Some(at) = seam.filter(|_| !piece.contains(&Token::Times)) {
        return Some((at, at));
    }
    (2..piece.len()).find_map(|at| {
        if !numbers(0, at) || !numbers(at + 1, piece.len()) {
            return None;
        }
        let joins = matches!(
            word(at).as_str(),
            "then" | "and" | "plus" | "inc" | "incl" | "including"
        );
        if joins {
            return Some((at, at + 1));
        }
        // `jog 5 min walk 5 min`
        let behind = unit_of(&word(at - 1)).is_some() && number(at - 2);
        let moves = kind::is_known(&word(at)) && number(at + 1);
        // `plank 3 x 30 s side plank 2 x 20 s`
        let next = (at + 2..piece.len()).find(|at| number(*at));
        let counts = next.is_some_and(|next| {
            let times = |at: usize| piece.get(at) == Some(&Token::Times);
            times(next + 1)
                && piece.iter().take(at).any(|token| *token == Token::Times)
                && kind::is_counted(&word(next - 1))
        });
        let rests = gait::is_gait(&word(at)) && piece.contains(&Token::Times);
        (behind && (moves || counts) && !rests).then_some((at, at))
    })
}
