//! Puts a player's words for counts, rests and what is no part of the plan in those of the notation.

mod rests;

use super::kind::kind_of;
use super::pair::{self, Pair};
use super::token::{Piece, Token, lower, text_of};
use super::ways::Way;
use super::{aside, count, keyed, moves, protocol, ways};
use crate::plan::near::{is_one_of, nearest};
use crate::plan::phrase::unit_of;
use crate::plan::{Category, PitchSize};
use rests::rests;

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
    if protocol::tabata(&mut pieces) {
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
