//! Words that leave open what is meant, each meaning of which is offered: an `amount`, a `rest`, figures as they are `written`, and
//! here a side of the pitch, of the body, `w/b`.

mod amount;
mod rest;
mod written;

use super::ask::question;
use super::meaning::{Around, Scribble};
use super::phrase::counts;
use super::slip::lines_of;
use super::token::{Piece, Token, lower, text_of};
use super::{floats, protocol, several_ways, sprint_out, stations, turned, unsaid, ways};
use crate::plan::near::is_one_of;
use amount::{
    a_speed_each, far, four_levels, sets_behind_a_way, time_for_all, to_the_utmost,
    ways_without_a_unit,
};
use rest::{on_a_time, rests_without_a_unit, time_at_the_end, time_behind_a_count};

pub(super) use written::{count_in_brackets, hundredths, on_the_clock};

/// Said of a rest without a unit.
pub(in crate::plan) const NO_UNIT: &str = "has no unit";

/// What is open in a line, and the pieces as they may be meant, the likelier first.
pub(super) struct Open {
    pub message: String,
    pub written: String,
    pub meant: Vec<Vec<Piece>>,
    /// So many rounds of what is meant first are offered as well.
    rounds: Option<u32>,
    /// All that is meant is done one after the other.
    in_turn: bool,
    /// What is kept of the words behind each line.
    remark: Option<String>,
    /// What else all of it may be, in one.
    or_else: Option<Vec<Piece>>,
}

impl Open {
    pub(super) fn new(message: String, written: String, meant: Vec<Vec<Piece>>) -> Self {
        Self {
            message,
            written,
            meant,
            rounds: None,
            in_turn: false,
            remark: None,
            or_else: None,
        }
    }

    /// The same, with words that are kept behind each line.
    pub(super) fn with_remark(self, remark: String) -> Self {
        Self {
            remark: Some(remark),
            ..self
        }
    }

    /// The same, which may be this as well.
    pub(super) fn or(self, or_else: Option<Vec<Piece>>) -> Self {
        Self { or_else, ..self }
    }

    /// All that is meant is done one after the other.
    pub(super) fn in_turn(message: String, written: String, meant: Vec<Vec<Piece>>) -> Self {
        Self {
            in_turn: true,
            ..Self::new(message, written, meant)
        }
    }
}

/// Asks about the first thing that is open. `None` where nothing is, or no meaning of it makes a line.
pub(super) fn asked(pieces: &[Piece], content: &str, around: Around<'_>) -> Option<Scribble> {
    let open = to_the_utmost(pieces)
        .or_else(|| far(pieces))
        .or_else(|| four_levels(pieces))
        .or_else(|| protocol::tabata_in_a_time(pieces))
        .or_else(|| protocol::shuttle_by_its_ways(pieces))
        .or_else(|| protocol::half_on_each_side(pieces))
        .or_else(|| protocol::shuttle_run_test(pieces))
        .or_else(|| floats::in_one_rep(pieces))
        .or_else(|| floats::in_turn(pieces))
        .or_else(|| floats::out_and_back(pieces))
        .or_else(|| floats::ways_of_a_rep(pieces))
        .or_else(|| sprint_out::behind_a_count(pieces))
        .or_else(|| sets_behind_a_way(pieces))
        .or_else(|| ways_without_a_unit(pieces))
        .or_else(|| a_speed_each(pieces))
        .or_else(|| unsaid::low_share(pieces))
        .or_else(|| unsaid::a_few(pieces))
        .or_else(|| unsaid::compared(pieces))
        .or_else(|| unsaid::of_what(pieces))
        .or_else(|| walk_or_ball(pieces))
        .or_else(|| with_and_without_ball(pieces))
        .or_else(|| time_behind_a_count(pieces))
        .or_else(|| on_a_time(pieces))
        .or_else(|| turned::ways_of_one_rep(pieces))
        .or_else(|| turned::there_in_brackets(pieces))
        .or_else(|| stations::counted(pieces))
        .or_else(|| several_ways::with_one_count(pieces))
        .or_else(|| time_for_all(pieces))
        .or_else(|| sides_without_a_length(pieces, around))
        .or_else(|| left_and_right(pieces))
        .or_else(|| time_at_the_end(pieces))
        .or_else(|| rests_without_a_unit(pieces))?;
    let mut each = (open.meant.into_iter()).map(|pieces| lines_of(pieces, content, around));
    let mut lines = Vec::new();
    if open.in_turn {
        let each: Vec<Vec<String>> = each.collect();
        let least = each.iter().map(Vec::len).min()?;
        for index in 0..least {
            let row: Vec<&str> = (each.iter())
                .filter_map(|lines| Some(lines.get(index)?.as_str()))
                .collect();
            lines.push(row.join("\n"));
        }
    } else {
        if let Some(rounds) = open.rounds {
            let rows = each.next()?.into_iter().filter(|_| !around.inside);
            lines.extend(rows.map(|line| format!("{rounds} rounds of\n  {line}")));
        }
        lines.extend(each.flatten());
    }
    let other = open.or_else.map(|pieces| lines_of(pieces, content, around));
    lines.extend(other.into_iter().flatten());
    if let Some(remark) = &open.remark {
        let plain = lines.iter_mut().filter(|line| !line.contains("  # "));
        plain.for_each(|line| *line = format!("{line}  # {remark}"));
    }
    question(open.message, Some(open.written), lines)
}

/// The pieces with what stands at a place of one of them replaced.
pub(super) fn with(
    pieces: &[Piece],
    index: usize,
    at: std::ops::Range<usize>,
    put: &[Token],
) -> Vec<Piece> {
    let mut out = pieces.to_vec();
    if let Some(piece) = out.get_mut(index) {
        piece.splice(at, put.iter().cloned());
    }
    out.retain(|piece| !piece.is_empty());
    out
}

/// The first place of the pieces where something stands.
pub(super) fn find<T>(
    pieces: &[Piece],
    at: impl Fn(&[Token], usize) -> Option<T>,
) -> Option<(usize, usize, T)> {
    (pieces.iter().enumerate()).find_map(|(index, piece)| {
        (0..piece.len()).find_map(|place| Some((index, place, at(piece, place)?)))
    })
}

/// `sprint length jog width x 6`, where the plan has no pitch.
fn sides_without_a_length(pieces: &[Piece], around: Around<'_>) -> Option<Open> {
    let mut meant = pieces.to_vec();
    let written = ways::sides_of_moves(&mut meant, around.pitch)?;
    let message = format!("`{written}` has no length here; that of a usual pitch is put");
    Some(Open::new(message, written, vec![meant]))
}

/// `2 x 10 passes L/R`: so many on each side, or in turn.
fn left_and_right(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ()) = find(pieces, |piece, at| {
        let both = [lower(piece, at), lower(piece, at + 1)].join("/");
        is_one_of(&both, "l/r, r/l, left/right, right/left").then_some(())
    })?;
    if !pieces.iter().any(|piece| counts(piece)) {
        return None;
    }
    let written = text_of(pieces.get(index)?.get(at..at + 2)?).replace(' ', "/");
    let without = with(pieces, index, at..at + 2, &[]);
    let mut each = without.clone();
    let dose = (each.iter_mut()).find(|piece| counts(piece))?;
    dose.extend(["each", "side"].map(Token::word));
    let message = format!("`{written}` may be so many on each side, or in all");
    Some(Open::new(message, written, vec![each, without]))
}

/// `6 x 30 m with and without ball`: so many with it, and as many without.
fn with_and_without_ball(pieces: &[Piece]) -> Option<Open> {
    let (index, at, length) = find(pieces, |piece, at| {
        let both = [lower(piece, at), lower(piece, at + 2)].join("/");
        let joined =
            lower(piece, at + 1) == "and" && is_one_of(&both, "with/without, without/with");
        let ball = at + 3 + usize::from(is_one_of(&lower(piece, at + 3), "a, the"));
        (joined && lower(piece, ball) == "ball").then_some(ball + 1 - at)
    })?;
    let written = text_of(pieces.get(index)?.get(at..at + length)?);
    let with_ball = ["with", "ball"].map(Token::word);
    let meant = [with_ball.as_slice(), &[]].map(|put| with(pieces, index, at..at + length, put));
    let message = format!("`{written}` may be so many of each");
    Some(Open::in_turn(message, written, meant.to_vec()))
}

/// `8 x 15 m, w/b`
fn walk_or_ball(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ()) = find(pieces, |piece, at| {
        (lower(piece, at) == "w/b").then_some(())
    })?;
    let meant = [["walk", "back"], ["with", "ball"]].map(|words| {
        let mut out = with(pieces, index, at..at + 1, &[]);
        // Where it stood alone, its piece is gone.
        let behind = (index + 1).min(out.len());
        out.insert(behind, words.map(Token::word).to_vec());
        out
    });
    let message = "`w/b` may be `walk back` or `with ball`".to_owned();
    Some(Open::new(message, "w/b".to_owned(), meant.to_vec()))
}
