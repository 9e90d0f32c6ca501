//! A rest of free length in a player's own words: `walk down`, `stroll back`, `when ready`, `rest as needed`.

use super::gait;
use super::kind::{Kind, kind_of};
use super::phrase::counts;
use super::token::{Piece, Token, is_rest, lower, text_of};
use crate::plan::Category;
use crate::plan::near::{is_one_of, nearest};
use crate::plan::phrase::unit_of;

/// How sure it is that words are a rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sure {
    /// They can mean nothing else.
    Read,
    /// There is a slip in them.
    Slip,
    /// They may be how the work is done.
    Open,
}

/// A rest that is asked about.
pub(super) struct Asked {
    /// As it was written.
    pub written: String,
    /// Whether it may be no rest at all.
    pub open: bool,
}

/// What stands behind a walk or a jog that leads to the next start.
const WAYS: &str = "between, down, back, back down, down back, home, back home, to start, to the \
     start, back to start, back to the start, to the line, back to the line, to line, \
     down hill, down the hill, back down the hill, back up, return, back slowly, \
     slowly back, to the beginning, back to the beginning";
/// Until one is fresh: `rest` may stand beside all of them.
const FULL: &str = "when ready, go when ready, again when ready, go again when ready, when you are \
     ready, when you're ready, when im ready, when i'm ready, as needed, as required, \
     when needed, until fresh, till fresh, til fresh, until ready, till ready, until \
     recovered, till recovered, until fully recovered, as long as needed, as long as \
     you need, as you need, as much as needed, as much as you need, in your own time, \
     in own time";
/// They mean it only beside `rest`.
const FULL_REST: &str = "plenty of, plenty, lots of, complete, full, long as needed, to full";

/// Puts a rest of free length behind counted work in the notation's words. What may be one is told, and put so.
pub(super) fn put(pieces: &mut Vec<Piece>, remarks: &mut Vec<String>) -> Option<Asked> {
    cut_off(pieces);
    for piece in pieces.iter_mut() {
        way_behind(piece);
        // `easy jog back`: it is not the work that is easy.
        let easy = piece
            .first()
            .is_some_and(|first| gait::is_gently(&first.lower()));
        if easy && is_plain(piece) {
            let how = piece.remove(0);
            remarks.push(text_of(&[how]));
        }
    }
    let dosed = pieces.iter().position(|piece| counts(piece))?;
    for piece in pieces.iter_mut().skip(dosed + 1) {
        way_first(piece);
    }
    let timed = pieces.iter().any(is_timed_rest);
    let mut asked = None;
    let mut at = dosed + 1;
    while let Some(piece) = pieces.get(at) {
        let Some((put, sure)) = rest(piece, true).filter(|_| !is_plain(piece)) else {
            at += 1;
            continue;
        };
        let written = text_of(piece);
        let free =
            |piece: &Piece| matches!(rest(piece, false), Some((_, Sure::Read))) || is_plain(piece);
        let other = (pieces.iter().enumerate()).any(|(index, piece)| index != at && free(piece));
        if timed || other {
            // How a rest is taken whose length stands beside it.
            remarks.push(written);
            pieces.remove(at);
            continue;
        }
        let sure = match sure {
            Sure::Open if is_short(piece) && sprints(pieces, at) => Sure::Read,
            sure => sure,
        };
        if sure != Sure::Read && asked.is_none() {
            asked = Some(Asked {
                written: written.clone(),
                open: sure == Sure::Open,
            });
        }
        if let Some(piece) = pieces.get_mut(at) {
            *piece = put.iter().map(|word| Token::word(word)).collect();
        }
        // Where it leads is kept: `walk 30 m back`.
        if written.chars().any(|c| c.is_ascii_digit()) {
            remarks.push(written);
        }
        at += 1;
    }
    asked
}

/// `rest 90 s then jog back`: a time and a way behind it, of which only one can be the rest. Puts the time; gives the words, and
/// both rests in those of the notation.
pub(super) fn after_a_time(pieces: &mut [Piece]) -> Option<(String, String, String)> {
    pieces.iter_mut().find_map(|piece| {
        let word = |at: usize| lower(piece, at);
        let then = piece
            .iter()
            .position(|token| matches!(token.lower().as_str(), "then" | "and"))?;
        let led = usize::from(is_rest(&word(0)));
        let timed = piece.get(led).is_some_and(Token::is_number)
            && matches!(unit_of(&word(led + 1)), Some("s" | "min"));
        let behind = usize::from(is_rest(&word(led + 2)));
        if !timed || led + behind == 0 || then != led + 2 + behind {
            return None;
        }
        let (free, Sure::Read) = rest(piece.get(then + 1..)?, false)? else {
            return None;
        };
        let written = text_of(piece);
        let time = piece.get(led..led + 2)?.to_vec();
        *piece = std::iter::once(Token::word("rest")).chain(time).collect();
        let free = free.join(" ");
        Some((written, text_of(piece), free))
    })
}

/// `200 m jog recovery`: the way behind its move, `jog 200 m recovery`, where words say that it is a rest.
fn way_behind(piece: &mut Piece) {
    let word = |at: usize| lower(piece, at);
    let way = piece.first().is_some_and(Token::is_number)
        && matches!(unit_of(&word(1)), Some("m" | "yd"));
    let moves = gait::is_gait(&word(2));
    let rests = matches!(word(3).as_str(), "rest" | "recovery" | "between" | "back");
    if way && moves && rests && piece.len() == 4 {
        piece.swap(0, 2);
        piece.swap(1, 2);
    }
}

/// `8 x 100 m, 100 m walk`: as `walk 100 m`.
fn way_first(piece: &mut Piece) {
    if let [Token::Number(_), way, moves] = piece.as_slice()
        && matches!(unit_of(&way.lower()), Some("m" | "yd"))
        && gait::is_gait(&moves.lower())
    {
        piece.rotate_right(1);
    }
}

/// Gives a rest that stands behind a dose without a comma a piece of its own.
fn cut_off(pieces: &mut Vec<Piece>) {
    for at in 0..pieces.len() {
        let Some(piece) = pieces.get(at).filter(|piece| counts(piece)) else {
            continue;
        };
        let figure = piece.iter().rposition(Token::is_number).unwrap_or(0);
        let whole = piece.len();
        let Some(from) = (figure + 1..whole).find(|from| {
            let tail = piece.get(*from..).unwrap_or_default();
            matches!(rest(tail, false), Some((_, Sure::Read | Sure::Slip)))
        }) else {
            continue;
        };
        if let Some(piece) = pieces.get_mut(at) {
            let tail = piece.split_off(from);
            pieces.insert(at + 1, tail);
        }
        return;
    }
}

/// The notation's words for a piece that is such a rest and nothing else. `apart` where it stands behind a comma.
fn rest(piece: &[Token], apart: bool) -> Option<(&'static [&'static str], Sure)> {
    let words = without_way(piece)?;
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let is_rest = |word: &&str| matches!(*word, "rest" | "rests" | "recovery" | "recoveries");
    let said = words.iter().any(is_rest);
    let mut words: Vec<&str> = words.into_iter().filter(|word| !is_rest(word)).collect();
    let leads =
        |word: &&str| matches!(*word, "then" | "and" | "with" | "a") || gait::is_gently(word);
    while words.first().is_some_and(leads) && words.len() > 1 {
        words.remove(0);
    }
    let joined = words.join(" ");
    if is_one_of(&joined, FULL) || said && is_one_of(&joined, FULL_REST) {
        // `full rest` is the notation's own.
        return Some((&["full", "rest"], Sure::Read));
    }
    let (first, way) = words.split_first()?;
    // `jog, run, sprint`: what is done, one after the other.
    if way
        .iter()
        .any(|word| is_one_of(word, "run, running, sprint, sprints, hard, fast"))
    {
        return None;
    }
    let put: &[&str] = if gait::walks(first) {
        &["rest", "walk", "back"]
    } else if gait::jogs(first) {
        &["rest", "jog", "back"]
    } else {
        return None;
    };
    let way_text = way.join(" ");
    if is_one_of(&way_text, WAYS) || said && way.is_empty() {
        return Some((put, Sure::Read));
    }
    let slip = |word: &&str| *word != "back" && nearest(word, &["back"]).is_some();
    if let [only] = way
        && slip(only)
    {
        return Some((put, Sure::Slip));
    }
    apart.then_some((put, Sure::Open))
}

/// The words of a piece, without the length of a way: `walk 30 m back`. `None` where there is another number in it.
fn without_way(piece: &[Token]) -> Option<Vec<String>> {
    let mut words = Vec::new();
    let mut at = 0;
    while let Some(token) = piece.get(at) {
        match token {
            Token::Word { .. } => words.push(token.lower()),
            Token::Number(_) => {
                let unit = lower(piece, at + 1);
                let leads = at > 0 && matches!(unit_of(&unit), Some("m" | "yd"));
                if !leads {
                    return None;
                }
                at += 1;
            }
            _ => return None,
        }
        at += 1;
    }
    Some(words)
}

/// One word, or one that leads nowhere.
fn is_short(piece: &[Token]) -> bool {
    piece.len() == 1
}

/// `walk back` and such, as the notation has them.
fn is_plain(piece: &Piece) -> bool {
    let text = format!("{} ", text_of(piece).to_lowercase());
    [
        "walk back",
        "walking back",
        "walkback",
        "jog back",
        "full rest",
        "full recovery",
    ]
    .iter()
    .any(|rest| text.contains(&format!("{rest} ")))
}

/// Whether a piece gives a rest between reps in figures.
fn is_timed_rest(piece: &Piece) -> bool {
    let after = |token: &Token| {
        matches!(
            token.lower().as_str(),
            "then" | "set" | "sets" | "round" | "rounds"
        )
    };
    if piece.iter().any(after) && !counts(piece) {
        return false;
    }
    let rests = |token: &Token| {
        is_one_of(
            &token.lower(),
            "rest, recovery, recover, off, break, pause, every, between, minute, \
             =work",
        )
    };
    let times = |pair: &[Token]| match pair {
        [Token::Number(_), unit] => matches!(unit_of(&unit.lower()), Some("s" | "min")),
        _ => false,
    };
    let equal = piece.iter().any(|token| token.lower() == "=work");
    equal || piece.iter().any(rests) && piece.windows(2).any(times)
}

/// Whether the work is sprints or turns, between which nobody's work is a walk or a jog.
fn sprints(pieces: &[Piece], but: usize) -> bool {
    let others: Vec<Token> = (pieces.iter().enumerate())
        .filter(|(at, _)| *at != but)
        .flat_map(|(_, piece)| piece.clone())
        .collect();
    matches!(
        kind_of(&others),
        Kind::One {
            category: Category::Speed | Category::Strength,
            ..
        }
    )
}
