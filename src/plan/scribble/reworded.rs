//! Puts a player's words for counts, rests and what is no part of the plan in those of the notation.

use super::free_rest::Asked;
use super::kind::kind_of;
use super::pair::{self, Pair};
use super::token::{Piece, Token, lower, phrase_at, seconds, text_of, value};
use super::ways::Way;
use super::{aside, count, free_rest, gait, keyed, moves, timed_rest, ways};
use crate::plan::near::{is_one_of, nearest};
use crate::plan::phrase::unit_of;
use crate::plan::{Category, PitchSize};

/// Something in a line that is asked about, with the line as it probably was meant.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Doubt {
    pub message: String,
    /// The words it is about.
    pub written: String,
    /// What was read, and what may be meant in its place.
    pub others: Vec<(String, String)>,
}

/// The pieces in the notation's words.
#[derive(Debug, Default)]
pub(super) struct Reworded {
    pub pieces: Vec<Piece>,
    /// What is for the player.
    pub remarks: Vec<String>,
    pub doubt: Option<Doubt>,
    /// The kind of work that a pair of times says.
    pub paired: Option<Category>,
    /// A rest with the sets behind it, which may lie between them or between the reps: `1 min rest x 3 sets`.
    pub open_rest: Option<String>,
}

impl Reworded {
    /// Asks about the words `written`; of several that are asked about the last counts.
    fn ask(&mut self, written: String, message: String) {
        self.doubt = Some(Doubt {
            message,
            written,
            others: Vec::new(),
        });
    }
}

/// Other words for doses and rests: `pause of 1 min`, `water 2 min`, `SR 3 min`.
fn in_our_words(piece: &mut Piece) {
    // `pause of 1 min`
    let leads = |token: &Token| is_one_of(&token.lower(), "rest, pauses, breaks");
    let of = (1..piece.len()).find(|at| {
        lower(piece, *at) == "of"
            && piece.get(at - 1).is_some_and(leads)
            && piece.get(at + 1).is_some_and(Token::is_number)
    });
    if let Some(at) = of {
        piece.remove(at);
    }
    // `1 min rests`, `breaks 2 min`
    let plural = (1..piece.len()).find(|at| {
        let beside = piece.get(at + 1).is_some_and(Token::is_number)
            || unit_of(&lower(piece, at - 1)).is_some();
        is_one_of(&lower(piece, *at), "rests, breaks, pauses") && beside
    });
    if let Some(token) = plural.and_then(|at| piece.get_mut(at)) {
        *token = Token::word("rest");
    }
    // `water 2 min`
    if let [word, Token::Number(_), _] = piece.as_slice()
        && matches!(
            word.lower().as_str(),
            "water" | "drink" | "drinks" | "trinkpause" | "halftime"
        )
    {
        piece.insert(1, Token::word("rest"));
    }
    // `SR 3 min`, `SP 3 min`: the rest between sets.
    if let [sr, Token::Number(_), _] = piece.as_slice()
        && matches!(sr.lower().as_str(), "sr" | "sp")
    {
        piece.remove(0);
        piece.extend(["between", "sets"].map(Token::word));
    }
    // `3 x 6 over 5 m`: in front of the length of a way it is reps that are counted.
    let over = (1..piece.len()).find(|at| {
        let numbers = [at - 1, at + 1].map(|at| piece.get(at).is_some_and(Token::is_number));
        lower(piece, *at) == "over" && numbers == [true; 2]
    });
    if let Some(at) = over {
        piece.insert(at, Token::word("reps"));
    }
}

/// Rewords the pieces of a line.
pub(super) fn reworded(mut pieces: Vec<Piece>, pitch: Option<PitchSize>) -> Reworded {
    let mut out = Reworded::default();
    words(&mut pieces, &mut out);
    counts(&mut pieces, &mut out);
    if tabata(&mut pieces) {
        let message = "a `tabata` is usually 8 x 20 s of work, 10 s of rest".to_owned();
        out.ask("tabata".to_owned(), message);
    }
    if moves::put(&mut pieces, &mut out.remarks) {
        out.paired = Some(Category::Resistance);
    }
    way(&mut pieces, pitch, &mut out);
    count::put(&mut pieces);
    rests(&mut pieces, &mut out);
    out.pieces = pieces;
    out
}

/// Takes out what is for the player, and puts other words for ours in ours.
fn words(pieces: &mut Vec<Piece>, out: &mut Reworded) {
    let all = pieces.concat();
    let lifts = kind_of(&all).is(Category::Gym);
    // `MAS 15/15 at 110%` is a share of that speed.
    let aerobic = all.iter().any(|token| aside::is_measure(&token.lower()));
    aside::run_ups(pieces, &mut out.remarks);
    keyed::put(pieces);
    count::times_at_the_end(pieces);
    for piece in pieces.iter_mut() {
        if lifts {
            aside::take_share(piece, &mut out.remarks);
        }
        aside::take(piece, &mut out.remarks);
        if aerobic {
            aside::take_share(piece, &mut out.remarks);
        }
        for token in piece.iter_mut() {
            if matches!(token.lower().as_str(), "w/") {
                *token = Token::word("with");
            }
        }
        in_our_words(piece);
        if let Some(written) = ball(piece) {
            let message = format!("`{written}` is not read");
            out.ask(written, message);
        }
    }
    pieces.retain(|piece| !piece.is_empty());
}

/// Puts sets, work and rest beside each other and times behind a dose in order.
fn counts(pieces: &mut Vec<Piece>, out: &mut Reworded) {
    // `10 x 20 m - 40 s - x 2 sets`
    for piece in pieces.iter_mut() {
        if let [Token::Times, Token::Number(_), sets] = piece.as_slice()
            && unit_of(&sets.lower()) == Some("sets")
        {
            piece.remove(0);
        }
    }
    out.open_rest = count::sets_behind_a_rest(pieces).or_else(|| count::rest_behind_sets(pieces));
    if let Some(written) = count::sets_behind(pieces) {
        let message = format!("`{written}` behind a counted dose may be sets");
        out.ask(written, message);
    }
    let Pair {
        category,
        remark,
        bare,
    } = pair::put(pieces);
    out.paired = category;
    out.remarks.extend(remark);
    if let Some((written, unit)) = bare {
        let usual = if unit == "min" { "minutes" } else { "seconds" };
        let message = format!("`{written}` has no unit; {usual} are usual");
        out.ask(written, message);
    }
    if let Some(written) = count::rests_in_a_row(pieces) {
        let behind = match written.matches('/').count() {
            1 => "between reps and between sets",
            _ => "between reps, between sets and behind the block",
        };
        let message = format!("`{written}` may be the rests {behind}");
        out.ask(written, message);
    }
    count::time_behind(pieces);
    if let Some(written) = count::for_a_time(pieces).or_else(|| count::every_for(pieces)) {
        let message = format!("work and rest fill `{written}` no whole number of times");
        out.ask(written, message);
    }
}

/// Gives a way of the pitch its length.
fn way(pieces: &mut [Piece], pitch: Option<PitchSize>, out: &mut Reworded) {
    if let Some(Way {
        written,
        usual_m: Some(usual_m),
        track_m,
    }) = ways::put(pieces, pitch)
    {
        let (message, others) = match track_m {
            Some(track_m) => (
                format!(
                    "`{written}` may be {usual_m} m, around the pitch, or {track_m} m, on a track"
                ),
                vec![(format!("{usual_m} m"), format!("{track_m} m"))],
            ),
            None => (
                format!("`{written}` has no length here; {usual_m} m are usual"),
                Vec::new(),
            ),
        };
        out.doubt = Some(Doubt {
            message,
            written,
            others,
        });
    }
}

/// Puts rests in the notation's words.
fn rests(pieces: &mut Vec<Piece>, out: &mut Reworded) {
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

/// Puts `with bal` and `with balls` right; the words, where they are a slip.
fn ball(piece: &mut Piece) -> Option<String> {
    const PLAIN: [&str; 8] = [
        "wall", "all", "call", "bell", "bands", "hall", "small", "fall",
    ];
    let at = (0..piece.len()).find_map(|at| {
        let lower = |at: usize| lower(piece, at);
        let article = usize::from(matches!(lower(at + 1).as_str(), "a" | "the"));
        let word = lower(at + 1 + article);
        let slip = word != "ball"
            && !PLAIN.contains(&word.as_str())
            && nearest(&word, &["ball"]).is_some();
        (lower(at) == "with" && slip).then_some(at..at + 2 + article)
    })?;
    let written = text_of(piece.get(at.clone()).unwrap_or_default());
    piece.splice(at, [Token::word("with"), Token::word("ball")]);
    (!written.to_lowercase().ends_with("balls")).then_some(written)
}

/// `tabata x 2`, `2 tabatas`: so many sets of the protocol, where the line says no other time. Whether it does.
///
/// Tabata I et al. (1996), Med Sci Sports Exerc 28(10), 1327-1330: bouts of 20 s, 10 s of rest between them; eight are usual.
fn tabata(pieces: &mut Vec<Piece>) -> bool {
    let timed = |piece: &Piece| (1..piece.len()).any(|at| unit_of(&lower(piece, at)).is_some());
    let named = |piece: &Piece| {
        let name = |token: &Token| matches!(token.lower().as_str(), "tabata" | "tabatas");
        piece.iter().position(name)
    };
    let Some((index, at)) =
        (pieces.iter().enumerate()).find_map(|(index, piece)| Some((index, named(piece)?)))
    else {
        return false;
    };
    let Some(piece) = pieces.get_mut(index).filter(|piece| !timed(piece)) else {
        return false;
    };
    let (from, to) = match (piece.get(..at), piece.get(at + 1..)) {
        (Some([.., Token::Number(_), Token::Times]), _) => (at - 2, at + 1),
        (Some([.., Token::Number(_)]), _) => (at - 1, at + 1),
        (_, Some([Token::Times, Token::Number(_), ..])) => (at, at + 3),
        _ => (at, at + 1),
    };
    let number = |token: &Token| token.is_number();
    let mut dose: Piece = (piece.drain(from..to).filter(number))
        .flat_map(|sets| [sets, Token::Times])
        .collect();
    if piece.iter().any(number) {
        dose.clear();
    }
    dose.splice(0..0, [Token::word("tabata")]);
    dose.extend([Token::Number("8".to_owned()), Token::Times]);
    dose.extend([Token::Number("20".to_owned()), Token::word("s")]);
    piece.splice(from..from, dose);
    let rest = vec![
        Token::word("rest"),
        Token::Number("10".to_owned()),
        Token::word("s"),
        Token::word("between"),
        Token::word("reps"),
    ];
    pieces.insert(index + 1, rest);
    true
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
            .is_some_and(|token| matches!(token.lower().as_str(), "mile" | "miles"));
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
