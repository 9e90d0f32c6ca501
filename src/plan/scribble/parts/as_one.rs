//! What is said of all parts of a line: a rest behind them, a name in front, that they are one bout, or rounds.

use super::{LONG_M, Part};
use crate::plan::scribble::strict::strict;
use crate::plan::{Block, Category, Dose, Rest, Work};

/// Whether words are a rest of free length: `walk back`, `full rest`.
pub(super) fn is_free_rest(words: &str) -> bool {
    strict(&format!("resistance 6 x 30 m, {words}"))
        .is_ok_and(|(block, _)| block.rest == Rest::WalkBack)
}

/// Gives a rest behind all parts to the last, and to those before it where none has its own.
pub(super) fn rested(parts: &mut [Part], rest: &str) {
    let with = |line: &str| {
        let (plain, remark) = line
            .split_once("  # ")
            .map_or((line, None), |(plain, remark)| (plain, Some(remark)));
        let (block, _) = strict(&format!("{plain}, {rest}")).ok()?;
        Some((block, remark.map(str::to_owned)))
    };
    let alone =
        (parts.iter()).all(|part| part.block.rest == Rest::RunOn && part.block.then_s.is_none());
    let from = if alone { 0 } else { parts.len() - 1 };
    for part in parts.iter_mut().skip(from) {
        if let Some((block, _)) = with(&part.block.line_text(true)) {
            part.block = block;
        }
        for other in &mut part.others {
            if let Some((block, remark)) = with(other) {
                let tidy = block.line_text(true);
                *other = remark.map_or(tidy.clone(), |remark| format!("{tidy}  # {remark}"));
            }
        }
    }
}

/// `Sprints: 10 m x 6 / 20 m x 4`: what stands ahead is the name of all that have none, where none has one; else it is told.
pub(super) fn label(parts: &mut [Part], ahead: &str) {
    let named = parts
        .iter()
        .any(|part| part.block.name.is_some() || !part.others.is_empty());
    if named {
        if let Some(first) = parts.first_mut() {
            first.note(Some(ahead.to_owned()));
        }
        return;
    }
    for part in parts {
        part.block.name = Some(ahead.replace('"', ""));
    }
}

/// `15 m sprint, 5 m walk x 6`: one rep after the other, and counted together.
pub(super) fn is_one_row(parts: &[Part]) -> bool {
    let single = |part: &Part| {
        part.block.reps() * part.block.sets() == 1
            && matches!(part.block.dose, Dose::Reps { work: Work::Distance(m), .. } if m < LONG_M)
    };
    let counted = |part: &Part| part.written.contains(" x ");
    let behind = parts.split_last().is_some_and(|(last, others)| {
        let count = last.written.rsplit(" x ").next().unwrap_or_default();
        let ends = counted(last) && count.bytes().all(|b| b.is_ascii_digit());
        let timed = |part: &Part| matches!(part.block.dose, Dose::Continuous { .. });
        ends && !others.iter().all(|part| timed(part) || counted(part))
    });
    behind || parts.iter().any(single)
}

/// Parts that go on without a break, as one block of their whole time.
pub(super) fn in_one(parts: &[Part]) -> Option<String> {
    let first = parts.first()?;
    let category = first.block.category;
    let whole = matches!(
        category,
        Category::WarmUp | Category::CoolDown | Category::Technical
    );
    let mut sum_s = 0.0;
    for part in parts {
        let Dose::Continuous { duration_s } = part.block.dose else {
            return None;
        };
        if part.block.category != category || part.block.then_s.is_some() {
            return None;
        }
        sum_s += duration_s;
    }
    let name: Vec<&str> = parts.iter().map(|part| part.written.as_str()).collect();
    let block = Block {
        name: Some(name.join(" ").replace('"', "")),
        dose: Dose::Continuous { duration_s: sum_s },
        ..Block::new(category, first.block.dose)
    };
    whole.then(|| block.line_text(true))
}

/// `3 x 12 squats, 12 lunges each leg`: the sets of the first may be those of all.
pub(super) fn in_rounds(parts: &[Part]) -> Option<String> {
    let (first, others) = parts.split_first()?;
    let sets = |part: &Part| match part.block.dose {
        Dose::Reps {
            sets,
            work: Work::Count,
            ..
        } => Some(sets),
        _ => None,
    };
    let times = sets(first).filter(|sets| *sets > 1)?;
    let plain = |part: &Part| part.block.rest == Rest::RunOn && part.block.between_sets_s.is_none();
    if !parts.iter().all(plain) || others.iter().any(|part| sets(part) != Some(1)) {
        return None;
    }
    let mut out = format!("{times} rounds of");
    for part in parts {
        let mut block = part.block.clone();
        if let Dose::Reps { sets, .. } = &mut block.dose {
            *sets = 1;
        }
        out.push_str("\n  ");
        out.push_str(&block.line_text(true));
    }
    Some(out)
}
