//! Counts within the dose: sets and reps in words, a length or a side for each.

use super::place::{is_measured, is_time, part};
use crate::plan::Category;
use crate::plan::scribble::phrase::counts;
use crate::plan::scribble::token::{
    Piece, Token, is_each_side, is_way, lower, number, unit, whole,
};
use crate::plan::scribble::{gait, kind};

/// `6 sprints 20 m each`: what is counted has that length.
pub(super) fn of_that_length(piece: &mut Piece) {
    let noun = (1..piece.len())
        .find(|at| whole(piece, at - 1).is_some() && kind::is_counted(&lower(piece, *at)));
    let Some(noun) = noun else { return };
    let each = (noun + 3..piece.len())
        .find(|at| lower(piece, *at) == "each" && is_measured(piece, at - 2));
    if let Some(each) =
        each.filter(|each| !matches!(lower(piece, each + 1).as_str(), "side" | "leg"))
    {
        piece.remove(each);
    }
}

/// `8 reps 30 m`
pub(super) fn reps_of_a_way(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        whole(piece, *at).is_some()
            && unit(piece, at + 1) == Some("reps")
            && is_way(piece, at + 2)
            && !gait::is_gait(&lower(piece, at + 4))
    });
    if let Some(at) = at {
        piece.splice(at + 1..at + 2, [Token::Times]);
    }
}

/// `3 sets 4 reps 20 m`, and `2 sets of 10 s on, 20 s rest, 8 times` without its commas.
pub(super) fn sets_and_reps(piece: &mut Piece) {
    let Some(at) = (0..piece.len())
        .find(|at| whole(piece, *at).is_some() && unit(piece, at + 1) == Some("sets"))
    else {
        return;
    };
    let of = usize::from(lower(piece, at + 2) == "of");
    let reps = at + 2 + of;
    if whole(piece, reps).is_some() && unit(piece, reps + 1) == Some("reps") {
        let of = usize::from(lower(piece, reps + 2) == "of");
        let work = reps + 2 + of;
        if is_measured(piece, work) {
            piece.splice(reps + 1..work, [Token::Times]);
            piece.splice(at + 1..reps, [Token::Times]);
        }
        return;
    }
    // So many times in each of the sets.
    let end = piece.len();
    if number(piece, reps).is_some()
        && matches!(unit(piece, reps + 1), Some("s" | "min"))
        && lower(piece, reps + 2) == "on"
        && lower(piece, end - 1) == "times"
        && let Some(count) = whole(piece, end - 2)
    {
        piece.truncate(end - 2);
        piece.splice(
            at + 1..reps,
            [Token::Times, Token::Number(count.to_string()), Token::Times],
        );
    }
}

/// `4 each side 25 m`
pub(super) fn each_side_first(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        whole(piece, *at).is_some()
            && is_each_side(piece, at + 1)
            && is_measured(piece, at + 3)
            && piece.len() == at + 5
    });
    if let Some(at) = at {
        let each: Vec<Token> = piece.drain(at + 1..at + 3).collect();
        piece.insert(at + 1, Token::Times);
        piece.extend(each);
    }
}

/// `45 min each half`
pub(super) fn each_half(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        number(piece, *at).is_some()
            && unit(piece, at + 1) == Some("min")
            && matches!(lower(piece, at + 2).as_str(), "each" | "per")
            && lower(piece, at + 3) == "half"
    });
    if let Some(at) = at.filter(|_| !piece.contains(&Token::Times)) {
        piece.drain(at + 2..at + 4);
        piece.splice(at..at, [Token::Number("2".to_owned()), Token::Times]);
    }
}

/// `6 lots of 20 yards`
pub(super) fn lots(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        whole(piece, *at).is_some() && matches!(lower(piece, at + 1).as_str(), "lot" | "lots")
    });
    let Some(at) = at else { return };
    let of = usize::from(lower(piece, at + 2) == "of");
    if number(piece, at + 2 + of).is_some() {
        piece.splice(at + 1..at + 2 + of, [Token::Times]);
    } else if at + 2 == piece.len() {
        piece.splice(at + 1.., [Token::word("times")]);
    }
}

/// `5 or 6 x 30 m`, `rest 1 to 2 min`: a range, which is asked about.
pub(super) fn either(piece: &mut Piece) {
    let open = (0..piece.len()).find(|at| {
        whole(piece, *at).is_some()
            && matches!(lower(piece, at + 1).as_str(), "or" | "to")
            && (piece.get(at + 3) == Some(&Token::Times) || unit(piece, at + 3).is_some())
            && whole(piece, at + 2).is_some()
    });
    if let Some(at) = open
        && let (Some(low), Some(high)) = (whole(piece, at), whole(piece, at + 2))
    {
        piece.splice(at..at + 3, [Token::Number(format!("{low}-{high}"))]);
    }
}

/// `6 flying 20s` are so many of them.
pub(super) fn flying(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        whole(piece, *at).is_some()
            && kind::is_flying(&lower(piece, at + 1))
            && number(piece, at + 2).is_some()
    });
    if let Some(at) = at {
        piece.insert(at + 1, Token::Times);
    }
    // `flying 30 x 4` and `400 x 6` are so many over that way.
    let least = if piece.iter().any(|token| kind::is_flying(&token.lower())) {
        10.0
    } else {
        100.0
    };
    let at = (0..piece.len()).find(|at| {
        number(piece, *at).is_some_and(|metres| metres >= least)
            && piece.get(at + 1) == Some(&Token::Times)
            && whole(piece, at + 2).is_some_and(|count| count < 30 && f64::from(count) < least)
            && unit(piece, at + 3).is_none()
            && piece.get(at + 3) != Some(&Token::Times)
    });
    if let Some(at) = at {
        piece.swap(at, at + 2);
        piece.insert(at + 3, Token::word("m"));
    }
}

/// `game 4x4, 3 x 5 min`: players on each side, where the dose stands behind it.
pub(super) fn sides(pieces: &mut [Piece]) {
    let game = kind::kind_of(&pieces.concat()).is(Category::Game);
    let Some((first, rest)) = pieces.split_first_mut().filter(|_| game) else {
        return;
    };
    let [.., Token::Number(one), Token::Times, Token::Number(other)] = first.as_slice() else {
        return;
    };
    if one == other && rest.iter().any(|piece| counts(piece)) {
        let word = Token::word(&format!("{one}v{other}"));
        first.truncate(first.len() - 3);
        first.push(word);
    }
}

/// `2 x 5 up and back over 10 m`: reps, whose way stands behind them.
pub(super) fn uncounted_turns(pieces: &mut [Piece]) {
    for piece in pieces {
        let turns = |at: usize| {
            matches!(lower(piece, at).as_str(), "up" | "out" | "there" | "down")
                && lower(piece, at + 1) == "and"
                && lower(piece, at + 2) == "back"
                && lower(piece, at + 3) == "over"
        };
        let at = (2..piece.len()).find(|at| {
            turns(*at)
                && number(piece, at - 1).is_some()
                && piece.get(at - 2) == Some(&Token::Times)
        });
        if let Some(at) = at {
            piece.insert(at, Token::word("reps"));
        }
    }
}

/// `3 rounds of 10 s sprint, 20 s rest` is one block; `work 40 s, rest 20 s, 6 rounds` is done so many times.
pub(super) fn rounds_of_work(pieces: &mut Vec<Piece>) {
    let is_rounds = |word: &str| matches!(word, "round" | "rounds" | "rds" | "rnds");
    // `1 min off 5 rounds`
    for index in 0..pieces.len() {
        let Some(piece) = pieces.get(index) else {
            return;
        };
        let at = piece.len().checked_sub(2).filter(|at| *at > 2);
        if let Some(at) = at
            && is_time(piece, at - 3)
            && lower(piece, at - 1) == "off"
            && whole(piece, at).is_some()
            && is_rounds(&lower(piece, at + 1))
        {
            part(pieces, index, at);
        }
    }
    for piece in pieces.iter_mut() {
        let at = (0..piece.len()).find(|at| {
            whole(piece, *at).is_some() && is_rounds(&lower(piece, at + 1)) && {
                let work = at + 2 + usize::from(lower(piece, at + 2) == "of");
                is_measured(piece, work)
            }
        });
        if let Some(at) = at {
            let of = usize::from(lower(piece, at + 2) == "of");
            piece.splice(at + 1..at + 2 + of, [Token::Times]);
        }
    }
    let works = |piece: &Piece| {
        let work = piece
            .iter()
            .any(|token| matches!(token.lower().as_str(), "work" | "on"));
        work && piece.iter().any(Token::is_number)
    };
    let worked = pieces.iter().any(works);
    for piece in pieces.iter_mut() {
        let count = piece.len() == 2 && whole(piece, 0).is_some() && is_rounds(&lower(piece, 1));
        if worked && count {
            piece.pop();
            piece.push(Token::word("times"));
        }
    }
}
