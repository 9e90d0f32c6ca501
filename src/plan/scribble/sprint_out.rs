//! Counted work that ends in a run: `quick feet ladder x 6, 10m sprint out`. The run is part of each rep, and no length of it.

use super::kind::{Kind, kind_of};
use super::open::Open;
use super::token::{Piece, Token, has_no_amount, is_way, lower, text_of};
use crate::plan::Category;
use crate::plan::near::is_one_of;

/// Asks about it: so many reps of both, or the runs alone, which have a length.
pub(super) fn behind_a_count(pieces: &[Piece]) -> Option<Open> {
    let [work, out, behind @ ..] = pieces else {
        return None;
    };
    let [what @ .., Token::Times, count] = work.as_slice() else {
        return None;
    };
    let words: Vec<Token> = out.iter().skip(2).cloned().collect();
    let runs = is_one_of(
        &lower(out, 2),
        "sprint, run, dash, burst, acceleration, accel",
    );
    let leaves = is_one_of(
        &lower(out, out.len() - 1),
        "out, off, away, through, after, finish",
    );
    let named = !what.is_empty() && has_no_amount(what) && has_no_amount(&words);
    // `ladder x 10 + 5 m burst`: over so little nobody runs but at its end.
    let feet = what.iter().any(|token| {
        is_one_of(
            &token.lower(),
            "ladder, ladders, hurdles, poles, hops, feet",
        )
    });
    if !named || !count.is_number() || !is_way(out, 0) || !runs || !(leaves || feet) {
        return None;
    }
    let category = match kind_of(what) {
        Kind::One { category, .. } => category,
        _ => Category::Strength,
    };
    let written = text_of(out);
    let name = Token::Name(format!("{} + {written}", text_of(what)));
    let line = |category: Category, dose: &[Token]| {
        let head = [Token::word(category.word()), name.clone(), count.clone()];
        let own = [head.as_slice(), dose].concat();
        std::iter::once(own).chain(behind.iter().cloned()).collect()
    };
    let whole = line(category, &[Token::word("reps")]);
    let way = [vec![Token::Times], out.get(..2)?.to_vec()].concat();
    let runs = line(Category::Speed, &way);
    let message = format!("`{written}` may be the end of each, or what is counted");
    Some(Open::new(message, written, vec![whole, runs]))
}
