//! Lines as they are scribbled: no category, a list, a rest on a line of its own, words for the player himself.
//!
//! Only what the notation itself (`strict`) cannot read comes here, so nothing that is written in it changes its meaning. In order:
//!
//! 1. Work that is crossed out (`not_done`), and one dose or another (`either`), is asked about. Signs that mean something only together (a place around the match of its
//!    `opening`, a `nested` bracket) are put in words, and what is `jotted` in a way of its own as others write it. The line is cut into pieces (`cutter`) of `token`s, `shorthand` is put in words, what only `lead`s on is dropped, numbers that are no
//!    amounts are made words (`labels`), and spellings and little pictures were put in ours before (`respelt`). What is left `open` or `unsaid` then, a rest without a unit or `a few`, is asked about at once, as are names that say how much (`protocol`), reps of several moves (`floats`), ways that are
//!    `turned`, `several_ways` with one count, `lists_in_sets`, `stations`, `paces` in turn, `landmarks` as the ways of a rep, and a
//!    `sprint_out` of counted work.
//! 2. It is taken `apart`: reworded first (`reworded`: words for the player `aside`, a `count` behind its work, numbers with a word
//!    each (`keyed`), `moves` in turn, `ways` of the pitch, a `free_rest`), then the words of the notation are told from the others
//!    (`phrase`), and the `kind` of work by its words, or by what is `likely`.
//! 3. It is `one` thing: rounds, a rest, words, or a `block`, of which the notation reads every one of its `readings`.
//! 4. What can mean several things is asked about (`ask`) with each of them ready to copy; a line that is understood but for its end
//!    is offered `as_far` as it goes, one with a `slip` as it was probably meant.

mod again;
mod apart;
mod as_far;
mod aside;
mod ask;
mod block;
mod brackets;
mod clock;
mod count;
mod cutter;
mod either;
mod figures;
mod floats;
mod free_rest;
mod gait;
mod jotted;
mod keyed;
mod kind;
mod labels;
mod landmarks;
mod lead;
mod likely;
mod list_mark;
mod lists_in_sets;
mod meaning;
mod moves;
mod nested;
mod not_done;
mod one;
mod open;
mod opening;
mod paces;
mod pair;
mod parts;
mod phrase;
mod protocol;
mod readings;
mod respelt;
mod rest_each;
mod reworded;
mod several;
mod several_ways;
mod shorthand;
mod shuttles;
mod slash;
mod slip;
mod sprint_out;
mod stations;
mod strict;
mod timed_rest;
mod token;
mod tongues;
mod turned;
mod unsaid;
mod ways;

use crate::plan::Mistake;
use crate::plan::near::is_one_of;

use apart::Scribbled;
use block::NO_REST;
use brackets::{brackets_aside, is_times_at_the_end};
use cutter::cut;
use landmarks::Landmarks;
use one::one_thing;

pub(super) use again::Again;
pub(super) use as_far::{AsFar, as_far_as_it_goes};
pub(super) use clock::{Clock, says_how_much, timetable as clocks};
pub(super) use kind::{moves, says_a_kind};
pub(super) use list_mark::list_mark;
pub(super) use meaning::{Around, NOT_UNDERSTOOD, Scribble};
pub(super) use open::NO_UNIT;
pub(super) use opening::{is_keyed, is_title, opening};
pub(super) use strict::{rest_s, strict, tidied};

/// The longest line that is looked at, bytes: nobody scribbles a longer one.
const LONGEST: usize = 400;

/// Reads the content of a line, without its comment. `None` where it is not understood.
pub(super) fn read(content: &str, around: Around<'_>) -> Option<Scribble> {
    let content = content.get(list_mark(content).unwrap_or(0)..)?;
    if content.len() > LONGEST {
        return None;
    }
    if let Some(plain) = put_plainly(content) {
        return read(&plain, around);
    }
    if let Some((both, written)) = open::hundredths(content) {
        let message = format!("`{written}` may be minutes and seconds, or hundredths of a minute");
        return asked_as(&both, message, written, around);
    }
    if let Some((both, written)) = open::on_the_clock(content) {
        let message = format!("`{written}` may be every so many seconds, or once a minute");
        return asked_as(&both, message, written, around);
    }
    if let Some(told) = as_written(content, around) {
        return Some(told);
    }
    let (pieces, comment) = cut(content)?;
    if let Some(again) = again::read(&pieces) {
        return Some(Scribble::Again(again));
    }
    let pieces = shorthand::put(figures::put(tongues::put(pieces)));
    let pieces = turned::way_back_joined(pieces);
    let mut pieces = labels::joined(lead::recovery_named(lead::without_label(pieces)));
    if around.pitch.is_some() {
        ways::sides_of_moves(&mut pieces, around.pitch);
    }
    if let Some(asked) = paces::asked(&pieces, around) {
        return Some(asked);
    }
    if let Some(Landmarks {
        pieces: named,
        counted,
    }) = landmarks::named(&pieces)
    {
        if !counted {
            let lines = slip::lines_of(named, content, around);
            return ask::question("this does not say how many times".to_owned(), None, lines);
        }
        pieces = named;
    }
    if let Some(asked) = slash::asked(&pieces, around) {
        return Some(asked);
    }
    if let Some(asked) = shuttles::asked(&pieces, around) {
        return Some(asked);
    }
    if let Some(asked) = lists_in_sets::asked(&pieces, content, around) {
        return Some(asked);
    }
    if let Some(asked) = open::asked(&pieces, content, around) {
        return Some(asked);
    }
    if parts::are_numbered(&pieces)
        && let Some(asked) = parts::in_turn_openly(&pieces, around)
    {
        return Some(asked);
    }
    if let Some(asked) = parts::rest_between(&pieces, around) {
        return Some(asked);
    }
    let slip = match slip::corrected(&pieces) {
        Some(slip) if slip.counts => return slip::offered(slip, content, around),
        slip => slip,
    };
    // A bracket tells of what stands in front of it, or holds what is done so often.
    let turns = match content.split_once(['(', '[']) {
        None => parts::in_turn(&pieces, around),
        Some((ahead, _)) if is_times_at_the_end(ahead) => parts::several_times(&pieces, around),
        Some(_) => None,
    };
    let line = Scribbled::new(pieces.clone(), comment, around.pitch);
    match (one_thing(&line, content, around), turns) {
        (Some(Scribble::Ask { .. }), Some(turns)) if content.contains('(') => Some(turns.asked),
        // A part was taken for a rest, or for more of the same.
        (Some(Scribble::Ask { message, lines, .. }), Some(turns))
            if matches!(message.as_str(), NOT_UNDERSTOOD | NO_REST)
                || drops_a_part(&lines)
                || turns.named
                    && (message.ends_with(several::DOSES)
                        || message == block::NO_KIND && is_of_several_kinds(&pieces)) =>
        {
            Some(turns.asked)
        }
        // `2 x 4 min 3v3, 2 x 4 min 5v5`: the name of one is not that of all.
        (Some(Scribble::Ask { message, .. }), turns)
            if message.ends_with(several::DOSES) && names_differ(&parts::cut(&pieces)) =>
        {
            turns
                .map(|turns| turns.asked)
                .or_else(|| parts::in_turn_openly(&pieces, around))
        }
        // `jog 10 then sprint 6 x 20`: nor is the number of one a count of the other.
        (Some(read @ Scribble::Ask { .. }), None) if parts::says_then(&pieces) => {
            parts::in_turn_openly(&pieces, around).or(Some(read))
        }
        (Some(read), _) => Some(read),
        (None, Some(turns)) => Some(turns.asked),
        (None, None) => brackets_aside(content, around)
            .or_else(|| slip::offered(slip?, content, around))
            .or_else(|| parts::in_turn_openly(&pieces, around)),
    }
}

/// What is told by the line as it is written, before it is cut: words for the player, rounds, and what is asked about.
fn as_written(content: &str, around: Around<'_>) -> Option<Scribble> {
    if let Some((counted, written)) = open::count_in_brackets(content) {
        let message = format!("`{written}` may be how often");
        if let Some(asked) = asked_as(&[counted], message, written, around) {
            return Some(asked);
        }
    }
    if let Some(asked) = not_done::asked(content, around) {
        return Some(asked);
    }
    if let Some(asked) = either::asked(content, around) {
        return Some(asked);
    }
    if let Some(asked) = opening::a_match_to_come(content, around) {
        return Some(asked);
    }
    if opening::is_before_a_match(content)
        || opening::asks_for_nothing(content)
        || opening::tells_of_the_whole(content)
        || opening::is_a_label(content)
    {
        return Some(Scribble::Remark);
    }
    if let Some(rounds) = several::rounds_alone(content, around) {
        return Some(rounds);
    }
    several::rounds_in_a_line(content, around)
}

/// The line with signs that mean something only together in words. `None` where it has none.
fn put_plainly(content: &str) -> Option<String> {
    jotted::put(content)
        .or_else(|| figures::without_brackets(content))
        .or_else(|| respelt::put(content))
        .or_else(|| opening::place_around_the_match(content))
        .or_else(|| nested::counted_twice(content))
        .or_else(|| several::list_behind_its_rounds(content))
        .or_else(|| figures::seconds_of_a_watch(content))
}

/// Whether a token says what is done.
fn names_work(token: &token::Token) -> bool {
    kind::is_known(&token.lower()) || matches!(token, token::Token::Name(_))
}

/// Whether doses of a line have words of their own that say what is done.
fn names_differ(pieces: &[token::Piece]) -> bool {
    let dosed = || {
        pieces
            .iter()
            .filter(|piece| piece.contains(&token::Token::Times))
    };
    let differ = |words: Vec<Vec<String>>| {
        let first = words.first().cloned().unwrap_or_default();
        words.iter().any(|other| *other != first)
    };
    let said = |piece: &token::Piece| -> Vec<String> {
        let words = piece.iter().map(token::Token::lower);
        let says = |word: &String| kind::is_known(word) || kind::is_sides(word);
        words.filter(says).collect()
    };
    // `6 x 20 m resisted + 4 x 20 m free`: each has words of its own, of no kind that is known.
    let own = |piece: &token::Piece| -> Vec<String> {
        let loose = phrase::split(piece).loose;
        loose.iter().map(token::Token::lower).collect()
    };
    let known: Vec<Vec<String>> = dosed()
        .map(said)
        .filter(|words| !words.is_empty())
        .collect();
    let all: Vec<Vec<String>> = dosed().map(own).collect();
    differ(known) || all.iter().all(|words| !words.is_empty()) && differ(all)
}

/// Whether what is offered has work of the line among the words for the player, or as the time of a rest: `1 km`, `stretch`.
fn drops_a_part(lines: &[String]) -> bool {
    (lines.iter()).any(|line| {
        line.split_once("  # ").is_some_and(|(plain, remark)| {
            let words = remark
                .split([' ', ';', ','])
                .filter(|word| !word.is_empty());
            let work = words.clone().any(|word| {
                let word = word.to_lowercase();
                !gait::is_gait(&word) && kind::is_known(&word)
                    || is_one_of(&word, "km, mile, miles")
            });
            work && (plain.contains(", then ") || remark.contains(|c: char| c.is_ascii_digit()))
        })
    })
}

fn is_of_several_kinds(pieces: &[token::Piece]) -> bool {
    matches!(kind::kind_of(&pieces.concat()), kind::Kind::Several(_))
}

/// Whether words say of how many of the reps something is so, or how often, and so are no name: `alternate`, `half`, `twice`.
pub(super) fn says_how_many(words: &str) -> bool {
    let some =
        |word: &str| phrase::turns(word) || is_one_of(word, "half, some, only, twice, thrice");
    words.to_lowercase().split_whitespace().any(some)
}

/// Whether the notation reads a line of which it is open what is meant.
pub(super) fn is_open(content: &str) -> bool {
    open::hundredths(content).is_some()
}

/// Whether a line is a time and nothing else.
pub(super) fn is_a_time(content: &str) -> bool {
    matches!(cut(content), Some((pieces, _)) if matches!(pieces.as_slice(),
        [piece] if piece.len() == 2 && token::seconds(piece, 0).is_some()))
}

/// Asks about a line as it may be meant.
fn asked_as(
    meant: &[String],
    message: String,
    written: String,
    around: Around<'_>,
) -> Option<Scribble> {
    let mut lines = Vec::new();
    for content in meant {
        lines.extend(lines_meant(content, around)?);
    }
    ask::question(message, Some(written), lines)
}

/// The lines as which a line is read; none where it is no block and no question. `None` where it is not understood.
fn lines_meant(content: &str, around: Around<'_>) -> Option<Vec<String>> {
    match tidied(content) {
        Some(tidy) => Some(vec![tidy]),
        None => Some(read(content, around)?.lines_with("").unwrap_or_default()),
    }
}

/// What is wrong with a phrase behind a dose, its place in the phrase; `None` where it can be read.
pub(super) fn cause(phrase: &str) -> Option<Mistake> {
    let lead = "resistance 3 x 4 x 12 s, ";
    let whole = format!("{lead}{phrase}");
    let wrong = strict(&whole).err()?;
    if !matches!(
        read(&whole, Around::default()),
        None | Some(Scribble::Ask { .. })
    ) {
        return None;
    }
    // What clashes with that dose is no mistake of the phrase.
    let clashes = |mistake: &Mistake| mistake.message.starts_with("this block has");
    let mut first = wrong.into_iter().next().filter(|first| !clashes(first))?;
    let start = first.span.start.checked_sub(lead.len())?;
    first.span = start..first.span.end.saturating_sub(lead.len());
    first.lines.clear();
    Some(first)
}

/// Whether nothing but the mark of a list keeps the notation from reading a line.
pub(super) fn is_listed(content: &str) -> bool {
    list_mark(content)
        .and_then(|at| content.get(at..))
        .is_some_and(|words| strict(words).is_ok())
}
