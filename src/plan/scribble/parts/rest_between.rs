//! A time alone between two doses: `2 x 4 min 3v3, 2 min, 2 x 4 min 5v5`. It lies between them, or between all reps.

use super::one_after_the_other;
use crate::plan::scribble::ask::question;
use crate::plan::scribble::meaning::{Around, Scribble};
use crate::plan::scribble::token::{Piece, Token, seconds};

/// Asks about the doses with the time as a rest between them, and as one between the reps of each. `None` where no such time stands.
pub(in crate::plan::scribble) fn rest_between(
    pieces: &[Piece],
    around: Around<'_>,
) -> Option<Scribble> {
    if around.part || around.inside {
        return None;
    }
    let dosed = |piece: &Piece| piece.contains(&Token::Times);
    let at = pieces.windows(3).position(|three| match three {
        [one, time, other] => {
            dosed(one) && dosed(other) && time.len() == 2 && seconds(time, 0).is_some()
        }
        _ => false,
    })?;
    let time = pieces.get(at + 1)?;
    let led = |word: &str| [vec![Token::word(word)], time.clone()].concat();
    let mut behind = pieces.to_vec();
    *behind.get_mut(at + 1)? = led("then");
    let mut between = pieces.to_vec();
    *between.get_mut(at + 1)? = led("rest");
    between.push(led("rest"));
    let mut lines = Vec::new();
    let mut asked = None;
    for pieces in [behind, between] {
        let Some(turns) = one_after_the_other(&pieces, around, false) else {
            continue;
        };
        if let Scribble::Ask {
            message,
            lines: own,
            ..
        } = turns.asked
        {
            asked.get_or_insert(message);
            lines.extend(own);
        }
    }
    question(asked?, None, lines)
}
