//! Counts and numbers where people put them: behind the dose, in words, as a list with commas.
//!
//! Each step looks for one way of writing: in a `list`, within the `dose`, `behind` the work or beside a `rest`; what it moves
//! is told by what stands at a `place`. What is left open by a way of writing, rests `in_a_row` or a time that reps are `within`, is
//! given back as it was written, so that it can be asked about.

mod behind;
mod dose;
mod in_a_row;
mod list;
mod place;
mod rest;
mod within;

use super::token::Piece;
use behind::{behind, times_behind, words_behind};
use dose::{
    each_half, each_side_first, either, flying, lots, of_that_length, reps_of_a_way,
    rounds_of_work, sets_and_reps, sides, uncounted_turns,
};
use list::{fractions, join_pieces, lists};
use rest::{capital_rest, count_behind_a_rest, off_a_time, rest_between_times, with_a_rest};

pub(super) use behind::{sets_behind, times_at_the_end};
pub(super) use in_a_row::rests_in_a_row;
pub(super) use list::join_lengths as lengths_of_a_list;
pub(super) use rest::{rest_behind_sets, sets_behind_a_rest, time_behind};
pub(super) use within::{every_for, for_a_time};

/// Puts the numbers of a line in the notation's order.
pub(super) fn put(pieces: &mut Vec<Piece>) {
    join_pieces(pieces);
    rest_between_times(pieces);
    off_a_time(pieces);
    capital_rest(pieces);
    with_a_rest(pieces);
    count_behind_a_rest(pieces);
    words_behind(pieces);
    for piece in pieces.iter_mut() {
        each_side_first(piece);
        lots(piece);
        each_half(piece);
        fractions(piece);
        lists(piece);
        sets_and_reps(piece);
        of_that_length(piece);
        reps_of_a_way(piece);
        either(piece);
        flying(piece);
        times_behind(piece);
    }
    sides(pieces);
    uncounted_turns(pieces);
    rounds_of_work(pieces);
    behind(pieces);
}
