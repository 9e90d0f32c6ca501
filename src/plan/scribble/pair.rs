//! Work and rest beside each other that have no word for which is which: `1 min hard, 1 min easy x 10`, `20 on 10 off`.

use super::gait;
use super::token::{Piece, Token, lower, number, text_of};
use crate::plan::Category;
use crate::plan::phrase::unit_of;

/// What is done in the work, and what kind of work that says.
const WORK: [(&str, Category); 7] = [
    ("hard", Category::Resistance),
    ("fast", Category::Resistance),
    ("quick", Category::Resistance),
    ("strong", Category::Resistance),
    ("sprint", Category::Speed),
    ("sprinting", Category::Speed),
    ("flat-out", Category::Speed),
];

/// Fewer than so many are minutes where no unit says it.
const LEAST_S: f64 = 5.0;

/// What a pair says beside its times.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Pair {
    /// The kind of work, where no other word says it.
    pub category: Option<Category>,
    /// `hard and easy`, for the player.
    pub remark: Option<String>,
    /// Times without a unit, as they were written, and the unit that is usual.
    pub bare: Option<(String, &'static str)>,
}

/// Puts a pair in the notation's words: `1 min on, 1 min off`.
pub(super) fn put(pieces: &mut [Piece]) -> Pair {
    times_first(pieces);
    pieces.iter_mut().for_each(numbers_first);
    let pair = words(pieces)
        .or_else(|| pieces.iter_mut().find_map(hard_and_easy_without_units))
        .or_else(|| pieces.iter_mut().find_map(without_units))
        .or_else(|| pieces.iter_mut().find_map(words_without_units))
        .or_else(|| pieces.iter_mut().find_map(moves_without_units))
        .unwrap_or_default();
    count_first(pieces);
    pair
}

/// `15 s on/15 s off x 12, 2 sets`: where sets are said as well, the count stands in front of the work.
fn count_first(pieces: &mut [Piece]) {
    let sets = |piece: &Piece| {
        (1..piece.len()).any(|at| {
            unit_of(&lower(piece, at)) == Some("sets")
                && piece.get(at - 1).is_some_and(Token::is_number)
        })
    };
    if !pieces.iter().any(sets) {
        return;
    }
    let off = pieces.iter().position(|piece| {
        let end = piece.len();
        end >= 5
            && time(piece, end - 5)
            && lower(piece, end - 3) == "off"
            && piece.get(end - 2) == Some(&Token::Times)
            && piece.get(end - 1).is_some_and(Token::is_number)
    });
    let on = pieces.iter().enumerate().find_map(|(index, piece)| {
        let at = (2..piece.len()).find(|at| lower(piece, *at) == "on" && time(piece, at - 2))?;
        let counted = at > 2 && piece.get(at - 3) == Some(&Token::Times);
        (!counted).then_some((index, at - 2))
    });
    if let (Some(off), Some((on, at))) = (off, on)
        && let Some(piece) = pieces.get_mut(off)
        && let (Some(count), Some(Token::Times)) = (piece.pop(), piece.pop())
        && let Some(piece) = pieces.get_mut(on)
    {
        piece.splice(at..at, [count, Token::Times]);
    }
}

/// Whether a time stands at a place of a piece.
fn time(piece: &[Token], at: usize) -> bool {
    piece.get(at).is_some_and(Token::is_number)
        && matches!(unit_of(&lower(piece, at + 1)), Some("s" | "min"))
}

/// `hard 1 min easy 1 min`, `easy 2 min hard 1 min`: the times in front of their words, and the work in front of its rest.
fn times_first(pieces: &mut [Piece]) {
    let led = |piece: &[Token], at: usize| {
        let word = lower(piece, at);
        let work = is_work(&word);
        ((work || gait::is_gently(&word)) && time(piece, at + 1)).then_some(work)
    };
    let place = pieces.iter().enumerate().find_map(|(index, piece)| {
        let at = (0..piece.len()).find(|at| led(piece, *at).is_some())?;
        let first = led(piece, at).filter(|_| at < 2 || !time(piece, at - 2))?;
        let then = at + 3 + usize::from(matches!(lower(piece, at + 3).as_str(), "and" | "then"));
        let next = pieces.get(index + 1).filter(|_| at + 3 == piece.len());
        let (other, second) = match (led(piece, then), next.and_then(|next| led(next, 0))) {
            (Some(second), _) => ((index, then), second),
            (None, Some(second)) => ((index + 1, 0), second),
            (None, None) => return None,
        };
        (first != second).then_some(((index, at), other, first))
    });
    let Some((one, other, work_first)) = place else {
        return;
    };
    let take = |pieces: &mut [Piece], (index, at): (usize, usize)| -> Option<Vec<Token>> {
        let three = pieces.get_mut(index)?.get_mut(at..at + 3)?;
        three.rotate_left(1);
        Some(three.to_vec())
    };
    let (Some(first), Some(second)) = (take(pieces, one), take(pieces, other)) else {
        return;
    };
    if !work_first {
        for ((index, at), put) in [(one, second), (other, first)] {
            if let Some(three) = pieces
                .get_mut(index)
                .and_then(|piece| piece.get_mut(at..at + 3))
            {
                three.clone_from_slice(&put);
            }
        }
    }
}

/// `hard 2 easy 1 x 6`, without units: as `2 hard 1 easy x 6`.
fn numbers_first(piece: &mut Piece) {
    let is = |at: usize, is: fn(&str) -> bool| {
        is(&lower(piece, at)) && piece.get(at + 1).is_some_and(Token::is_number)
    };
    let at = (0..piece.len()).find(|at| {
        let counted = piece.get(at + 4) == Some(&Token::Times) || lower(piece, at + 5) == "times";
        is(*at, is_work) && is(at + 2, gait::is_gently) && counted
    });
    if let Some(four) = at.and_then(|at| piece.get_mut(at..at + 4)) {
        four.swap(0, 1);
        four.swap(2, 3);
    }
}

/// Whether a word says that it is the work.
fn is_work(word: &str) -> bool {
    WORK.iter().any(|(work, _)| *work == word)
}

/// `30 hard 30 easy x 8`
fn hard_and_easy_without_units(piece: &mut Piece) -> Option<Pair> {
    let figure = |at: usize| piece.get(at).is_some_and(Token::is_number);
    let at = (0..piece.len()).find(|at| {
        let easy = lower(piece, at + 3);
        figure(*at)
            && is_work(&lower(piece, at + 1))
            && figure(at + 2)
            && (gait::is_gently(&easy) || gait::is_gait(&easy))
    })?;
    let counted = |token: &Token| *token == Token::Times || token.lower() == "times";
    if !piece.iter().any(counted) {
        return None;
    }
    let bare = piece.get(at..at + 4).map(text_of)?;
    let unit = usual_unit(piece, [at, at + 2]);
    let (hard, easy) = (lower(piece, at + 1), lower(piece, at + 3));
    let category = WORK.iter().find(|(work, _)| *work == hard)?.1;
    for (at, put) in [(at + 3, "off"), (at + 1, "on")] {
        piece.splice(at..=at, [Token::word(unit), Token::word(put)]);
    }
    Some(Pair {
        category: Some(category),
        remark: Some(format!("{hard} and {easy}")),
        bare: Some((bare, unit)),
    })
}

fn words(pieces: &mut [Piece]) -> Option<Pair> {
    // The place of the work's word, and of the other's.
    let (work, rest) = pieces.iter().enumerate().find_map(|(index, piece)| {
        let at = (2..piece.len()).find(|at| {
            let known = WORK.iter().any(|(word, _)| *word == lower(piece, *at));
            known && time(piece, at - 2)
        })?;
        let here = (time(piece, at + 1)).then_some((index, at + 3));
        let next = pieces.get(index + 1).filter(|next| time(next, 0));
        let place = here.or(next
            .filter(|_| at + 1 == piece.len())
            .map(|_| (index + 1, 2)))?;
        let word = lower(pieces.get(place.0)?, place.1);
        (gait::is_gait(&word) || gait::is_gently(&word)).then_some(((index, at), place))
    })?;
    let word = |(index, at): (usize, usize)| {
        pieces
            .get(index)
            .map(|piece| lower(piece, at))
            .unwrap_or_default()
    };
    let (hard, easy) = (word(work), word(rest));
    let category = WORK.iter().find(|(word, _)| *word == hard)?.1;
    for ((index, at), put) in [(work, "on"), (rest, "off")] {
        if let Some(token) = pieces.get_mut(index).and_then(|piece| piece.get_mut(at)) {
            *token = Token::word(put);
        }
    }
    Some(Pair {
        category: Some(category),
        remark: Some(format!("{hard} and {easy}")),
        bare: None,
    })
}

/// The unit that is usual for two numbers at these places.
fn usual_unit(piece: &[Token], places: [usize; 2]) -> &'static str {
    let few = |at: usize| number(piece, at).is_some_and(|number| number < LEAST_S);
    if places.into_iter().all(few) {
        "min"
    } else {
        "s"
    }
}

/// `work 40 rest 20`, `40 work 20 rest`
fn words_without_units(piece: &mut Piece) -> Option<Pair> {
    let is = |at: usize, word: &str| lower(piece, at) == word;
    let figure = |at: usize| piece.get(at).is_some_and(Token::is_number);
    let (at, work, rest) = (0..piece.len()).find_map(|at| {
        let first = is(at, "work") && figure(at + 1) && is(at + 2, "rest") && figure(at + 3);
        let last = figure(at) && is(at + 1, "work") && figure(at + 2) && is(at + 3, "rest");
        (first || last).then_some(if first {
            (at, at + 1, at + 3)
        } else {
            (at, at, at + 2)
        })
    })?;
    if unit_of(&lower(piece, at + 4)).is_some() {
        return None;
    }
    let bare = piece.get(at..at + 4).map(text_of);
    let unit = usual_unit(piece, [work, rest]);
    let times = [work, rest].map(|at| piece.get(at).cloned());
    let [Some(work), Some(rest)] = times else {
        return None;
    };
    let put = [
        work,
        Token::word(unit),
        Token::word("on"),
        rest,
        Token::word(unit),
        Token::word("off"),
    ];
    piece.splice(at..at + 4, put);
    Some(Pair {
        bare: bare.map(|bare| (bare, unit)),
        ..Pair::default()
    })
}

/// `jog 2 walk 1 x 10`: in minutes.
fn moves_without_units(piece: &mut Piece) -> Option<Pair> {
    let moves = |at: usize| {
        let word = lower(piece, at);
        gait::is_gait(&word) || word == "run"
    };
    let few = |at: usize| number(piece, at).is_some_and(|number| number <= 10.0);
    let at = (0..piece.len()).find(|at| {
        moves(*at)
            && few(at + 1)
            && moves(at + 2)
            && few(at + 3)
            && piece.get(at + 4) == Some(&Token::Times)
    })?;
    let bare = piece.get(at..at + 4).map(text_of)?;
    piece.insert(at + 4, Token::word("min"));
    piece.insert(at + 2, Token::word("min"));
    Some(Pair {
        bare: Some((bare, "min")),
        ..Pair::default()
    })
}

/// `20 on 10 off`
fn without_units(piece: &mut Piece) -> Option<Pair> {
    let at = (0..piece.len()).find(|at| {
        piece.get(*at).is_some_and(Token::is_number)
            && lower(piece, at + 1) == "on"
            && piece.get(at + 2).is_some_and(Token::is_number)
            && lower(piece, at + 3) == "off"
    })?;
    let bare = piece.get(at..at + 4).map(text_of);
    let unit = usual_unit(piece, [at, at + 2]);
    piece.insert(at + 3, Token::word(unit));
    piece.insert(at + 1, Token::word(unit));
    Some(Pair {
        bare: bare.map(|bare| (bare, unit)),
        ..Pair::default()
    })
}
