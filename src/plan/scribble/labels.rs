//! Numbers that are no amounts: a line of the pitch, the size of an area, how many play or stand there, a place in the season.
//!
//! `18 yard box` is no run of 18 yards and `2 touch` no two sets, so such words are made one that the notation does not read.

use super::kind::{self, kind_of};
use super::token::{Piece, Token, is_way, lower, number_in_words, text_of, value};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

/// Sides of areas that are played in, m or yd.
const AREA: std::ops::RangeInclusive<f64> = 3.0..=120.0;

/// Makes each such number and what belongs to it one word.
pub(super) fn joined(mut pieces: Vec<Piece>) -> Vec<Piece> {
    let plays = plays(&pieces);
    for piece in &mut pieces {
        let mut at = 0;
        while at < piece.len() {
            let length = landmark(piece, at)
                .or_else(|| apart(piece, at))
                .or_else(|| line_of_a_box(piece, at))
                .or_else(|| angle(piece, at))
                .or_else(|| figure_of_eight(piece, at))
                .or_else(|| test(piece, at))
                .or_else(|| share_of_a_pace(piece, at))
                .or_else(|| one_two(piece, at))
                .or_else(|| from_a_place(piece, at))
                .or_else(|| recovery_session(piece, at))
                .or_else(|| area(piece, at, plays))
                .or_else(|| stance(piece, at))
                .or_else(|| players(piece, at))
                .or_else(|| things(piece, at))
                .or_else(|| place_in_the_season(piece, at));
            if let Some(length) = length {
                let taken: Vec<Token> = piece.drain(at..at + length).collect();
                piece.insert(at, Token::word(&text_of(&taken)));
            }
            at += 1;
        }
    }
    pieces
}

fn is_number(piece: &[Token], at: usize) -> bool {
    piece.get(at).is_some_and(Token::is_number)
}

fn before(piece: &[Token], at: usize) -> Option<&Token> {
    at.checked_sub(1).and_then(|at| piece.get(at))
}

fn is_length(word: &str) -> bool {
    matches!(unit_of(word), Some("m" | "yd"))
}

/// A whole number, in figures or in words.
fn is_whole(piece: &[Token], at: usize) -> bool {
    match piece.get(at) {
        Some(Token::Number(text)) => text.bytes().all(|b| b.is_ascii_digit()),
        Some(word @ Token::Word { .. }) => number_in_words(&word.lower()).is_some(),
        _ => false,
    }
}

/// `18 yard box`, `6-yard line`: where to, and not how far.
fn landmark(piece: &[Token], at: usize) -> Option<usize> {
    let line = matches!(
        lower(piece, at + 2).as_str(),
        "box" | "boxes" | "area" | "line"
    );
    let counted = before(piece, at) == Some(&Token::Times);
    (is_number(piece, at) && is_length(&lower(piece, at + 1)) && line && !counted).then_some(3)
}

/// `4 cones 10 m apart`: how they stand, and not how far one runs.
fn apart(piece: &[Token], at: usize) -> Option<usize> {
    let length = is_number(piece, at) && is_length(&lower(piece, at + 1));
    (length && lower(piece, at + 2) == "apart").then_some(3)
}

/// `sprint to the 18`, `goal line to 6`: the line of a box, which has no other number.
fn line_of_a_box(piece: &[Token], at: usize) -> Option<usize> {
    let line =
        matches!(piece.get(at), Some(Token::Number(text)) if matches!(text.as_str(), "6" | "18"));
    let to = at.checked_sub(1).map(|at| lower(piece, at))?;
    let back = at.checked_sub(2).map(|at| lower(piece, at));
    let article = to == "the" && matches!(back.as_deref(), Some("to" | "from"));
    // `5 to 6 x 30 m` and `rest up to 6 min` are amounts.
    let range = at > 1 && is_number(piece, at - 2) || back.as_deref() == Some("up");
    let ends = match piece.get(at + 1) {
        None => true,
        Some(Token::Word { text, .. }) => matches!(text.as_str(), "and" | "then" | "line"),
        Some(_) => piece.get(at + 1) == Some(&Token::Times) && article,
    };
    (line && (to == "to" && !range || article) && ends).then_some(1)
}

/// `45 deg`, `180 degree`
fn angle(piece: &[Token], at: usize) -> Option<usize> {
    let degrees = is_one_of(&lower(piece, at + 1), "deg, degs, degree, degrees");
    (is_number(piece, at) && degrees).then_some(2)
}

/// `figure 8`, `figure of eight`: a way with a shape.
fn figure_of_eight(piece: &[Token], at: usize) -> Option<usize> {
    let of = usize::from(lower(piece, at + 1) == "of");
    let eight = match piece.get(at + 1 + of) {
        Some(Token::Number(text)) => text == "8",
        _ => matches!(
            lower(piece, at + 1 + of).as_str(),
            "eight" | "eights" | "8s"
        ),
    };
    let figure = matches!(lower(piece, at).as_str(), "figure" | "fig");
    let plural = usize::from(lower(piece, at + 2 + of) == "s");
    (figure && eight).then_some(2 + of + plural)
}

/// `505 test`, `5-10-5 agility`, `30-15 IFT`: a test that is named by numbers.
fn test(piece: &[Token], at: usize) -> Option<usize> {
    let Token::Number(text) = piece.get(at)? else {
        return None;
    };
    let behind = lower(piece, at + 1);
    let ahead = before(piece, at).map(Token::lower).unwrap_or_default();
    let named = match text.as_str() {
        "505" | "5-0-5" => unit_of(&behind).is_none() && piece.get(at + 1) != Some(&Token::Percent),
        // `pro agility 5-10-5`
        "5-10-5" => {
            is_one_of(&behind, "pro, agility, test, drill, cod")
                || is_one_of(&ahead, "agility, pro, drill") && unit_of(&behind).is_none()
        }
        "30-15" => is_one_of(&behind, "ift, intermittent, fitness, test"),
        _ => false,
    };
    named.then_some(1)
}

/// `10 shots from 18 yards`: where from, and not how far.
fn from_a_place(piece: &[Token], at: usize) -> Option<usize> {
    let led = at
        .checked_sub(1)
        .is_some_and(|at| lower(piece, at) == "from");
    let counted = (0..at).any(|at| is_number(piece, at));
    (led && counted && is_number(piece, at) && is_length(&lower(piece, at + 1))).then_some(2)
}

/// `1-2s 8 min`: passes there and back between two.
fn one_two(piece: &[Token], at: usize) -> Option<usize> {
    let pass = matches!(piece.get(at)?, Token::Number(text) if text == "1-2");
    let more = (at + 1..piece.len()).any(|at| is_number(piece, at));
    (pass && more && lower(piece, at + 1) == "s").then_some(2)
}

/// `3/4 pace runs`, `half speed`: how hard it feels, of which nobody knows the speed.
fn share_of_a_pace(piece: &[Token], at: usize) -> Option<usize> {
    let share = match piece.get(at)? {
        Token::Number(text) => is_one_of(text, "1/2, 3/4, 2/3, 1/4, ½, ¾, ¼"),
        word => is_one_of(&word.lower(), "half, three-quarter"),
    };
    (share && is_one_of(&lower(piece, at + 1), "pace, speed, effort")).then_some(2)
}

/// `pool recovery session`: no rest.
fn recovery_session(piece: &[Token], at: usize) -> Option<usize> {
    (lower(piece, at) == "recovery" && lower(piece, at + 1) == "session").then_some(2)
}

/// Whether a game is played for a time, so that two lengths are those of its pitch.
fn plays(pieces: &[Piece]) -> bool {
    let game = kind_of(&pieces.concat()).is(Category::Game);
    let rests = |word: &str| is_one_of(word, "rest, recovery, break, off, between, r, rec, half");
    let timed = |piece: &Piece| {
        (0..piece.len()).any(|at| {
            let lead = at.checked_sub(1).map(|at| lower(piece, at));
            is_number(piece, at)
                && matches!(unit_of(&lower(piece, at + 1)), Some("s" | "min"))
                && !lead.is_some_and(|lead| rests(&lead))
                && !(2..4).any(|ahead| rests(&lower(piece, at + ahead)))
        })
    };
    game && pieces.iter().any(timed)
}

/// `10x10m`, `30 x 20 yd grid`, `in a 15 x 15 square`: an area, where a word says so or a game is played in it.
fn area(piece: &[Token], at: usize, plays: bool) -> Option<usize> {
    let side = |at: usize| match piece.get(at) {
        Some(Token::Number(text)) => value(text).is_some_and(|side| AREA.contains(&side)),
        _ => false,
    };
    let unit = |at: usize| usize::from(is_length(&lower(piece, at)));
    let times = at + 1 + unit(at + 1);
    let other = times + 1;
    let by = piece.get(times) == Some(&Token::Times) || lower(piece, times) == "by";
    if !side(at) || !by || !side(other) {
        return None;
    }
    let behind = other + 1 + unit(other + 1);
    let timed = unit_of(&lower(piece, behind)).is_some();
    let more = piece.get(behind) == Some(&Token::Times);
    if timed || more || before(piece, at) == Some(&Token::Times) {
        return None;
    }
    // `3 x 8 box jumps` are lifted, and not in a box.
    let named = is_one_of(
        &lower(piece, behind),
        "grid, box, square, area, pitch, zone, rectangle, field",
    ) && !(lower(piece, behind) == "box"
        && kind::is_counted(&lower(piece, behind + 1)));
    let lead = |back: usize| {
        at.checked_sub(back)
            .map(|at| lower(piece, at))
            .unwrap_or_default()
    };
    let inside = |word: &str| matches!(word, "in" | "on" | "inside" | "within");
    let led = inside(&lead(1)) || matches!(lead(1).as_str(), "a" | "an") && inside(&lead(2));
    // `7 v 7 (60x40)`
    let alone = at == 0 && behind == piece.len();
    // `20 m sprint in 3 x 6`: so often, where a way is run.
    let led = led && (plays || !(0..at).any(|at| is_way(piece, at)));
    let measured = behind > other + 1 || times > at + 1 || alone;
    (named || led || plays && measured).then(|| behind + usize::from(named) - at)
}

/// `3 point start`, `two-touch`
fn stance(piece: &[Token], at: usize) -> Option<usize> {
    if !is_whole(piece, at) {
        return None;
    }
    match (lower(piece, at + 1).as_str(), lower(piece, at + 2).as_str()) {
        ("point" | "pt" | "points", "start" | "starts" | "stance") => Some(3),
        // `3 man weave`
        ("touch" | "man" | "player", _) => Some(2),
        _ => None,
    }
}

/// `3 teams of 5`, `groups of four`
fn players(piece: &[Token], at: usize) -> Option<usize> {
    let counted = usize::from(is_whole(piece, at));
    let group = is_one_of(
        &lower(piece, at + counted),
        "teams, team, groups, group, pairs, lines",
    );
    let of = at + counted + 1;
    let many = lower(piece, of) == "of"
        && is_whole(piece, of + 1)
        && unit_of(&lower(piece, of + 2)).is_none();
    (group && many).then_some(counted + 3)
}

/// `5 hurdles`, `4 corners`, `6 teams`: what stands on the pitch is no work.
fn things(piece: &[Token], at: usize) -> Option<usize> {
    // `4 corner run`, but not `4 hurdle hops`.
    let one = matches!(
        lower(piece, at + 1).as_str(),
        "cone" | "gate" | "goal" | "hurdle" | "corner"
    ) && (kind::is_known(&lower(piece, at + 2))
        && !kind::is_counted(&lower(piece, at + 2))
        || matches!(lower(piece, at + 2).as_str(), "run" | "game" | "drill"));
    let there = one
        || is_one_of(
            &lower(piece, at + 1),
            "cones, hurdles, poles, gates, goals, mannequins, hoops, corners, \
             players, teams, groups, defenders, attackers, keepers, goalkeepers, \
             servers, neutrals, jokers",
        );
    (is_whole(piece, at) && there).then_some(2)
}

/// `week 3`, `day 2`, `session 4`, `pitch 2`
fn place_in_the_season(piece: &[Token], at: usize) -> Option<usize> {
    let place = matches!(
        lower(piece, at).as_str(),
        "week" | "wk" | "day" | "session" | "microcycle"
    );
    let next = piece.get(at + 2);
    let amount = next.is_some_and(|next| {
        *next == Token::Times
            || *next == Token::Percent
            || unit_of(&next.lower()).is_some()
            || kind::is_counted(&next.lower()) && !kind::is_known(&next.lower())
    });
    let ground = at == 0 && is_one_of(&lower(piece, at), "pitch, field, group");
    ((place || ground) && is_whole(piece, at + 1) && !amount).then_some(2)
}
