//! Parts of a line that are done so often together: `4 x (20 m sprint, 20 m jog back, 40 m sprint)`, `4 hurdle hops + 10 m sprint x 5`.

use super::seam::cut;
use super::{InTurn, MOST, is_lap, one_after_the_other, read_part};
use crate::plan::near::is_one_of;
use crate::plan::scribble::gait;
use crate::plan::scribble::meaning::{Around, Scribble};
use crate::plan::scribble::strict::{rest_s, strict};
use crate::plan::scribble::token::{Piece, Token, has_no_amount, is_way, seconds, text_of};
use crate::plan::{Block, Category, Rest};

/// Most reps of one part of a row that is done several times.
const MOST_IN_A_ROW: u32 = 30;

/// `4 hurdle hops + 10 m sprint x 5`: rounds of all, or so many times the last.
pub(in crate::plan::scribble) fn several_times(
    pieces: &[Piece],
    around: Around<'_>,
) -> Option<InTurn> {
    if around.part || around.inside {
        return None;
    }
    // `contrast: 3 x (3 squats + 20 m sprint)`
    let label = (pieces.first()).filter(|first| pieces.len() > 1 && has_no_amount(first));
    let (times, behind, row) = counted(pieces.get(usize::from(label.is_some())..)?)?;
    if label.is_some() && behind {
        return None;
    }
    let done = done_in_turn(&row, around)?;
    let mut lines = vec![rounds_of(times, label, &done)];
    if behind
        && let Some(InTurn {
            asked: Scribble::Ask { lines: one, .. },
            ..
        }) = one_after_the_other(pieces, around, false)
    {
        lines.extend(one);
    }
    Some(InTurn {
        asked: Scribble::Ask {
            message: format!(
                "this line says {} things to do, or rounds of them",
                row.len()
            ),
            written: None,
            lines,
        },
        named: true,
    })
}

/// The parts of a row without its count, how often, and whether that stands behind the last of them.
fn counted(pieces: &[Piece]) -> Option<(u32, bool, Vec<Piece>)> {
    let mut row = pieces.to_vec();
    let (times, behind) = match (
        row.first().map(Vec::as_slice),
        row.last().map(Vec::as_slice),
    ) {
        (Some([Token::Number(times), Token::Times, next, ..]), _) if next.is_number() => {
            let times = times.clone();
            row.first_mut()?.drain(..2);
            (times, false)
        }
        // `15 m sprint, 5 push-ups, 15 m sprint, x 5`
        (_, Some([Token::Times, Token::Number(times)])) => {
            let times = times.clone();
            row.pop();
            (times, false)
        }
        (_, Some([.., before, Token::Times, Token::Number(times)])) if !before.is_number() => {
            let times = times.clone();
            let last = row.last_mut()?;
            last.truncate(last.len() - 2);
            (times, true)
        }
        _ => return None,
    };
    let dosed = row.iter().any(|piece| piece.contains(&Token::Times));
    let row = cut(&row);
    if dosed || !(2..=MOST).contains(&row.len()) {
        return None;
    }
    Some((times.parse().ok()?, behind, row))
}

/// What is done in a round, each with the way on behind it.
fn done_in_turn(row: &[Piece], around: Around<'_>) -> Option<Vec<(Block, Option<String>)>> {
    let timed = row.iter().all(|piece| seconds(piece, 0).is_some());
    let mut done: Vec<(Block, Option<String>)> = Vec::new();
    for piece in row {
        // `20 m jog back`, of no time of its own: it is told behind what was run.
        if let Some((_, remark @ None)) = done.last_mut()
            && is_the_way_on(piece)
        {
            *remark = Some(text_of(piece));
            continue;
        }
        let alone = Around {
            part: true,
            pitch: around.pitch,
            ..Around::default()
        };
        let laps = piece.iter().any(is_lap);
        let block = match (read_part(&text_of(piece), alone)?, done.last_mut()) {
            // Its own word says what it is.
            (
                Scribble::Block {
                    block,
                    remark: None,
                    ..
                },
                _,
            ) => *block,
            // A lap has the length of a usual pitch, and in a row it is a run.
            (Scribble::Ask { lines, .. }, _) if laps => Block {
                category: Category::Resistance,
                ..strict(lines.first()?).ok()?.0
            },
            (Scribble::Rest { said, .. }, Some((last, _))) if last.then_s.is_none() => {
                last.then_s = Some(rest_s(&said)?);
                continue;
            }
            // `5 x (30 s easy, 20 s moderate, 10 s sprint)` is run.
            (Scribble::Ask { lines, .. }, _) if timed => Block {
                category: Category::Resistance,
                ..strict(lines.first()?).ok()?.0
            },
            _ => return None,
        };
        if block.name.is_none() && block.effort.is_none()
            || block.rest != Rest::RunOn
            || block.reps() * block.sets() > MOST_IN_A_ROW
        {
            return None;
        }
        done.push((block, None));
    }
    Some(done)
}

/// The rounds as lines of a plan.
fn rounds_of(times: u32, label: Option<&Piece>, done: &[(Block, Option<String>)]) -> String {
    let mut lines = format!("{times} rounds of");
    if let Some(label) = label {
        lines.push_str("  # ");
        lines.push_str(&text_of(label));
    }
    for (block, remark) in done {
        lines.push_str("\n  ");
        lines.push_str(&block.line_text(true));
        if let Some(remark) = remark {
            lines.push_str("  # ");
            lines.push_str(remark);
        }
    }
    lines
}

/// `20 m jog back`, `jog back`, `walk 20 m`: a way that is gone gently.
fn is_the_way_on(piece: &Piece) -> bool {
    let way = |at: usize| is_way(piece, at);
    let gait = piece.iter().any(|token| gait::is_gait(&token.lower()));
    let plain = (piece.iter().enumerate()).all(|(at, token)| {
        let word = token.lower();
        gait::is_gait(&word)
            || is_one_of(&word, "back, on, easy")
            || way(at)
            || at > 0 && way(at - 1)
    });
    let once = piece.iter().filter(|token| token.is_number()).count() <= 1;
    gait && plain && once
}
