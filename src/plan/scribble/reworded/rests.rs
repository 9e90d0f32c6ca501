//! Rests in the notation's words: as long as the work, by a ratio, by other names, and between which reps or sets.

use super::{Doubt, Reworded};
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::scribble::free_rest::Asked;
use crate::plan::scribble::token::{Piece, Token, lower, phrase_at, seconds, value};
use crate::plan::scribble::{free_rest, gait, timed_rest};

/// Puts rests in the notation's words.
pub(super) fn rests(pieces: &mut Vec<Piece>, out: &mut Reworded) {
    for piece in pieces.iter_mut() {
        as_long_as_the_work(piece);
        phrases(piece);
    }
    ratio(pieces);
    between(pieces);
    if let Some((written, timed, free)) = free_rest::after_a_time(pieces) {
        out.doubt = Some(Doubt {
            message: format!("`{written}` says two rests; the reps of a set have one"),
            written,
            others: vec![(timed, free)],
        });
    }
    if let Some(written) = timed_rest::put(pieces, &mut out.remarks) {
        let message = format!("`{written}` is no rest by itself; work stands on a line of its own");
        out.ask(written, message);
    }
    if let Some(Asked { written, open }) = free_rest::put(pieces, &mut out.remarks) {
        let message = if open {
            format!("`{written}` may be how the rest is taken, or the work is done")
        } else {
            format!("`{written}` is not read")
        };
        let none = [", rest walk back", ", rest jog back"];
        let others = none.map(|rest| (rest.to_owned(), String::new()));
        out.doubt = Some(Doubt {
            message,
            written,
            others: if open { others.to_vec() } else { Vec::new() },
        });
    }
}

/// `1:1 rest`
fn as_long_as_the_work(piece: &mut Piece) {
    let one = |token: &Token| matches!(token, Token::Number(text) if text == "1:1");
    let words = |token: &Token| is_one_of(&token.lower(), "work, to, rest, recovery, ratio, equal");
    if piece.len() > 1 && piece.iter().any(one) && piece.iter().all(|t| one(t) || words(t)) {
        *piece = vec![Token::word("rest"), Token::word("=work")];
    }
}

/// `10 x 20 s, 1:3`, `work:rest 1:2`: so many times the work, where that is timed.
fn ratio(pieces: &mut Vec<Piece>) {
    let parts = |token: &Token| -> Option<(f64, f64)> {
        let Token::Number(text) = token else {
            return None;
        };
        let (work, rest) = text.split_once(':')?;
        let plain = |text: &str| text.len() == 1 && text != "0";
        (plain(work) && plain(rest)).then(|| Some((work.parse().ok()?, rest.parse().ok()?)))?
    };
    let words = |token: &Token| {
        matches!(
            token.lower().as_str(),
            "work" | "to" | "rest" | "recovery" | "ratio"
        )
    };
    let Some((at, (work, rest))) = pieces.iter().enumerate().find_map(|(at, piece)| {
        let alone = piece.iter().all(|t| parts(t).is_some() || words(t));
        Some((at, piece.iter().find_map(parts).filter(|_| alone)?))
    }) else {
        return;
    };
    let timed = (pieces.iter()).find_map(|piece| {
        let behind = |at: &usize| piece.get(at - 1) == Some(&Token::Times);
        let mut works = (1..piece.len()).filter(behind);
        works.find_map(|at| seconds(piece, at))
    });
    let Some(work_s) = timed else { return };
    let rest_s = (work_s * rest / work).round();
    if let Some(piece) = pieces.get_mut(at) {
        *piece = vec![
            Token::word("rest"),
            Token::Number(rest_s.to_string()),
            Token::word("s"),
        ];
    }
    // `work:rest` in front of it.
    if let Some(before) = at.checked_sub(1)
        && pieces
            .get(before)
            .is_some_and(|piece| piece.iter().all(words))
    {
        pieces.remove(before);
    }
}

/// Single phrases by other names.
fn phrases(piece: &mut Piece) {
    const OTHERS: [(&str, &str); 11] = [
        (
            "each side",
            "each foot, per foot, each arm, per arm, each hand, each way, per way, each direction, per direction, \
          on each side, from each side",
        ),
        ("zigzag", "zig zag"),
        (
            "every minute",
            "every minute on the minute, on the minute, emom",
        ),
        ("rest", "half time, halftime, rest between them"),
        ("rest between sets", "set rest, set recovery, set break"),
        ("rest between reps", "rep rest"),
        (
            "walk back",
            "walk back down, walk back between, walk back each time, walk back every time, walk back each rep, \
             walk back each, all walk back, walk it back, walk in, walk it in",
        ),
        ("full recovery", "full recovery between"),
        (
            "jog back",
            "jog back between, jog back down, jog back each time, jog back each, all jog back",
        ),
        ("kickabout", "kick about"),
        ("box-to-box", "box to box"),
    ];
    for at in 0..piece.len() {
        // `walk back between sets` is another rest.
        let ends = |others: &str, count: usize| {
            !others.ends_with(" between") || piece.get(at + count).is_none()
        };
        let found = OTHERS.iter().find_map(|(put, phrases)| {
            let mut others = phrases.split(", ");
            let found = |words| phrase_at(piece, at, words).filter(|count| ends(words, *count));
            Some((others.find_map(found)?, put))
        });
        if let Some((count, put)) = found {
            let put: Vec<Token> = put.split(' ').map(Token::word).collect();
            piece.splice(at..at + count, put);
            return;
        }
    }
    // A mile is 1,760 yards.
    for at in 1..piece.len() {
        let miles = piece
            .get(at)
            .is_some_and(|token| matches!(token.lower().as_str(), "mi" | "mile" | "miles"));
        if let (true, Some(Token::Number(text))) = (miles, piece.get(at - 1))
            && let Some(number) = value(text)
        {
            let yards = Token::Number((number * 1760.0).round().to_string());
            piece.splice(at - 1..=at, [yards, Token::word("yd")]);
        }
    }
}

/// `1 min between`, `90 s rest between each`: what it lies between is told by what else the line says.
fn between(pieces: &mut [Piece]) {
    let rests = |piece: &Piece| {
        piece.iter().any(|token| {
            let word = token.lower();
            gait::is_gait(&word)
                || matches!(
                    word.as_str(),
                    "rest" | "recovery" | "rec" | "off" | "every" | "walkback"
                )
        })
    };
    let sets = pieces.iter().any(|piece| {
        piece
            .iter()
            .any(|token| unit_of(&token.lower()) == Some("sets"))
            || piece.iter().filter(|token| **token == Token::Times).count() > 1
    });
    for at in 0..pieces.len() {
        let Some(piece) = pieces.get(at) else {
            continue;
        };
        let end = piece.len();
        let each = end > 1 && matches!(lower(piece, end - 1).as_str(), "each" | "them" | "every");
        let Some(word) = end.checked_sub(1 + usize::from(each)) else {
            continue;
        };
        if lower(piece, word) != "between" || !piece.iter().any(Token::is_number) {
            continue;
        }
        let rested = (pieces.iter().enumerate()).any(|(other, piece)| other != at && rests(piece));
        let said = rests(piece);
        // `walk 30 s between` on a line of its own has no other word that it is a rest.
        let alone = pieces.len() == 1 && end < 6 && gait::is_gait(&lower(piece, 0));
        let put: &[&str] = match (sets && rested, said) {
            (true, _) => &["between", "sets"],
            (false, true) if !alone => &[],
            (false, _) => &["rest"],
        };
        if let Some(piece) = pieces.get_mut(at) {
            piece.truncate(word);
            if piece.last().is_some_and(|token| token.lower() == "in") {
                piece.pop();
            }
            piece.extend(put.iter().map(|word| Token::word(word)));
        }
    }
}
