//! Shorthand that can mean one thing only, in words that all who look at a line know: `30 m 5x`, `3 sets: 5 x 20 m`, `EMOM 10 min`.

mod counts;
mod rests;
mod sides;
mod starts;
mod ways;

use super::kind::{self, Kind, kind_of};
use super::token::{Piece, Token, lower, seconds, unit};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use counts::{
    count_behind_a_start, count_behind_a_stop, count_behind_the_way_back, count_last,
    counts_in_a_row, games_of, lifts_of_each_set, of_a_length, reps_in_a_row, sets_ahead,
    sets_behind_a_side, sets_behind_what_is_counted, sets_last, sets_of, sets_of_a_time,
    share_behind_a_count, the_same_time_again, way_in_front_of_its_reps,
};
use rests::{
    on_and_off_behind_a_way, ratio_behind_its_work, rest_behind_a_count, rest_behind_a_weight,
    rest_by_a_letter, rests_behind_each_other, sets_behind_a_time, sets_between_rests, taken_still,
    time_of_a_way, two_rests,
};
use sides::{both_sides, right_and_left};
use starts::{each_minute, going_every, on_bare_seconds};
use ways::{count_ahead_of_its_way, counts_behind_their_way, flight_of_a_ball};

/// Puts the shorthand of a line in words.
pub(super) fn put(mut pieces: Vec<Piece>) -> Vec<Piece> {
    let words = pieces.concat();
    let kind = kind_of(&words);
    let lifts = kind.is(Category::Gym) && !kind::holds(&words);
    let runs = match kind {
        Kind::Moving { .. } => true,
        // `full pitch x 6`
        Kind::Nothing => pieces.iter().any(|piece| piece.contains(&Token::Times)),
        kind => kind.is(Category::Speed),
    };
    rest_behind_a_weight(&mut pieces);
    rest_by_a_letter(&mut pieces);
    for piece in &mut pieces {
        count_ahead_of_its_way(piece);
        flight_of_a_ball(piece);
        counts_behind_their_way(piece);
        count_behind_the_way_back(piece);
        count_behind_a_start(piece);
        reps_in_a_row(piece);
        sets_last(piece);
        count_last(piece);
        counts_in_a_row(piece);
        sets_behind_a_side(piece);
        games_of(piece);
        sets_behind_what_is_counted(piece);
        lifts_of_each_set(piece, lifts);
        of_a_length(piece);
        on_bare_seconds(piece);
        parts_of_the_pitch(piece, runs);
        going_every(piece);
        sets_of(piece);
        led_by_w(piece);
        out_of_ten(piece);
    }
    the_same_time_again(&mut pieces);
    share_behind_a_count(&mut pieces);
    two_rests(&mut pieces);
    rests_behind_each_other(&mut pieces);
    ratio_behind_its_work(&mut pieces);
    taken_still(&mut pieces);
    way_in_front_of_its_reps(&mut pieces);
    time_of_a_way(&mut pieces);
    on_and_off_behind_a_way(&mut pieces);
    both_sides(&mut pieces);
    sets_ahead(&mut pieces);
    sets_behind_a_time(&mut pieces);
    sets_between_rests(&mut pieces);
    sets_of_a_time(&mut pieces);
    count_behind_a_stop(&mut pieces);
    each_minute(&mut pieces);
    rest_behind_a_count(&mut pieces);
    right_and_left(&mut pieces);
    pieces
}

/// `1/2 pitch`, `3/4 of the pitch`; for runs also `full pitch`.
fn parts_of_the_pitch(piece: &mut Piece, runs: bool) {
    let pitch = |piece: &[Token], at: usize| is_one_of(&lower(piece, at), "pitch, field");
    for at in 0..piece.len() {
        let of = usize::from(lower(piece, at + 1) == "of");
        let the = usize::from(of == 1 && lower(piece, at + 2) == "the");
        let part = match piece.get(at) {
            Some(Token::Number(text)) => match text.as_str() {
                "1/2" | "½" => "half",
                "1/4" | "¼" => "quarter",
                "3/4" | "¾" => "three-quarter",
                _ => continue,
            },
            _ if runs && matches!(lower(piece, at).as_str(), "full" | "whole") => "full",
            _ => continue,
        };
        if pitch(piece, at + 1 + of + the) {
            piece.splice(at..at + 1 + of + the, [Token::word(part)]);
            return;
        }
    }
}

/// `w 45 s`
fn led_by_w(piece: &mut Piece) {
    for at in 0..piece.len() {
        if lower(piece, at) == "w"
            && seconds(piece, at + 1).is_some()
            && let Some(token) = piece.get_mut(at)
        {
            *token = Token::word("with");
        }
    }
}

/// `at 9/10 effort`: how hard it felt, kept as `RPE 9/10` is.
fn out_of_ten(piece: &mut Piece) {
    let at = (0..piece.len()).find(|at| {
        let tenths = match piece.get(*at) {
            Some(Token::Number(text)) => text.strip_suffix("/10"),
            _ => None,
        };
        let scale = tenths.and_then(|text| text.parse::<f64>().ok());
        let said = *at > 0 && lower(piece, at - 1) == "at"
            || is_one_of(&lower(piece, at + 1), "effort, intensity, exertion")
            // `jog 20 min 6/10`
            || at + 1 == piece.len() && *at > 0 && unit(piece, at - 1).is_some();
        scale.is_some_and(|scale| scale <= 10.0) && said
    });
    if let Some(at) = at {
        if is_one_of(&lower(piece, at + 1), "effort, intensity, exertion") {
            piece.remove(at + 1);
        }
        piece.insert(at, Token::word("RPE"));
    }
}
