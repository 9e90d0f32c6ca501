//! What fell short of the plan or lies beside it: reps that are not done, rests that were not kept, unplanned work.

use crate::measured::Measured;
use crate::report::layout::{clock, count, cut, hanging, short, thousands};
use crate::report::left_open;
use crate::report::reason;
use crate::report::terminal::style::{STRONG, paint};
use crate::report::terminal::{COLUMNS, caption};
use crate::report::words;
use crate::review::{PlanReview, RepReview, RestVerdict, Unplanned, Verdict};
use crate::units::SpeedUnit;

use super::{NAME, colour, mark, name, place};

/// Most lines on reps that fell short, on rests that were not kept, and on unplanned work; more are counted.
const LISTED: usize = 10;
const LISTED_RESTS: usize = 4;
const LISTED_UNPLANNED: usize = 4;

/// Why a rep is not simply done.
fn said(rep: &RepReview) -> Option<String> {
    rep.why.as_ref().map(reason::text)
}

/// The reps that are not done, named, with why; neighbours with one story share a line.
pub(in crate::report::terminal) fn fell_short(review: &PlanReview) -> String {
    let mut items = Vec::new();
    let mut open = String::new();
    for block in &review.blocks {
        let told = left_open::told(block);
        for sentence in &told.sentences {
            let text = format!("{} {}: {sentence}", block.index, cut(&name(block), NAME));
            for line in hanging("? ", &text, COLUMNS).lines() {
                open += &paint(colour(Verdict::Unresolved), line);
                open.push('\n');
            }
        }
        for (set, told_once) in block.sets.iter().zip(told.sets) {
            for run in set
                .reps
                .chunk_by(|a, b| a.verdict == b.verdict && said(a) == said(b))
            {
                if let (Some(first), Some(last)) = (run.first(), run.last())
                    && first.verdict != Verdict::Done
                    && !(first.verdict == Verdict::Unresolved && told_once)
                {
                    items.push((block, set, first, last, run.len()));
                }
            }
        }
    }
    if items.is_empty() && open.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}\n{open}", paint(STRONG, left_open::heading(review)));
    for (block, set, first, last, _) in items.iter().take(LISTED) {
        let reps = if set.reps.len() == 1 {
            String::new()
        } else if first.index == last.index {
            format!(", rep {}", first.index)
        } else {
            format!(", reps {} to {}", first.index, last.index)
        };
        let why = match said(first) {
            Some(why) => format!(": {why}"),
            None => String::new(),
        };
        let text = format!(
            "{}{reps}: {}{why}",
            place(block, set),
            words::verdict(first.verdict)
        );
        let lines = hanging(&format!("{} ", mark(first.verdict)), &text, COLUMNS);
        for line in lines.lines() {
            out += &paint(colour(first.verdict), line);
            out.push('\n');
        }
    }
    let more: usize = items.iter().skip(LISTED).map(|(.., n)| n).sum();
    if more > 0 {
        out += &caption(&format!(
            "and {} more, all with --out or --json",
            count(more, "rep", "reps")
        ));
    }
    out
}

/// A rest that was not kept.
struct Broken {
    place: String,
    was_s: Measured,
    planned_s: f64,
}

impl Broken {
    /// How far from the plan, the same for half and for double.
    fn distance(&self) -> f64 {
        (self.was_s.value.max(1.0) / self.planned_s.max(1.0))
            .ln()
            .abs()
    }
}

/// The rests that were not kept: between reps, after sets and after blocks.
pub(in crate::report::terminal) fn rests(review: &PlanReview) -> String {
    let broken = broken_rests(review);
    if broken.is_empty() {
        return String::new();
    }
    let long = broken
        .iter()
        .filter(|b| b.was_s.value > b.planned_s)
        .count();
    let title = format!(
        "Rests not kept: {long} too long, {} too short",
        broken.len() - long
    );
    let mut out = format!("\n{}\n", paint(STRONG, &title));
    // The farthest from the plan are listed, in the order of the plan.
    let mut order: Vec<(usize, &Broken)> = broken.iter().enumerate().collect();
    order.sort_by(|(_, a), (_, b)| b.distance().total_cmp(&a.distance()));
    order.truncate(LISTED_RESTS);
    order.sort_by_key(|(i, _)| *i);
    for (_, rest) in order {
        let text = format!(
            "{}: {:.0} s ({:.0} to {:.0}) for {} s",
            rest.place,
            rest.was_s.value,
            rest.was_s.low,
            rest.was_s.high,
            short(rest.planned_s, 0)
        );
        out += &hanging("- ", &text, COLUMNS);
    }
    if broken.len() > LISTED_RESTS {
        out += &caption(&format!(
            "and {} more, all with --out or --json",
            broken.len() - LISTED_RESTS
        ));
    }
    out
}

fn broken_rests(review: &PlanReview) -> Vec<Broken> {
    let is_broken = |verdict| matches!(verdict, Some(RestVerdict::Long | RestVerdict::Short));
    let mut broken = Vec::new();
    for (block, set) in review
        .blocks
        .iter()
        .flat_map(|b| b.sets.iter().map(move |s| (b, s)))
    {
        for rep in set.reps.iter().filter(|r| is_broken(r.rest_verdict)) {
            if let (Some(was), Some(planned_s)) = (rep.rest_s, rep.rest_planned_s) {
                broken.push(Broken {
                    place: format!("{}, after rep {}", place(block, set), rep.index),
                    was_s: was,
                    planned_s,
                });
            }
        }
        if is_broken(set.rest_after_verdict)
            && let (Some(was_s), Some(planned_s)) = (set.rest_after_s, set.rest_after_planned_s)
        {
            let last = set.index == block.sets.len();
            let what = if last { "block" } else { "set" };
            broken.push(Broken {
                place: format!("{}, after the {what}", place(block, set)),
                was_s,
                planned_s,
            });
        }
    }
    broken
}

/// Work that the plan does not explain.
pub(in crate::report::terminal) fn unplanned(review: &PlanReview, speeds: SpeedUnit) -> String {
    if review.unplanned.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}\n", paint(STRONG, "Not in the plan"));
    for work in review.unplanned.iter().take(LISTED_UNPLANNED) {
        out += &unplanned_line(work, speeds);
    }
    if review.unplanned.len() > LISTED_UNPLANNED {
        let more = review.unplanned.len() - LISTED_UNPLANNED;
        out += &caption(&format!("and {more} more, all with --out or --json"));
    }
    out
}

fn unplanned_line(work: &Unplanned, speeds: SpeedUnit) -> String {
    format!(
        "- at {} for {}: {} m ({} to {}), peak {} ({})\n",
        clock(work.start_s),
        clock(work.end_s - work.start_s),
        thousands(work.distance_m.value),
        thousands(work.distance_m.low),
        thousands(work.distance_m.high),
        speeds.text(work.peak_speed_m_s.value, 2),
        speeds.ends(work.peak_speed_m_s)
    )
}

#[cfg(test)]
mod tests {
    use super::fell_short;
    use crate::report::terminal::plan::made::{plain, review};
    use crate::review::Verdict;

    #[test]
    fn neighbours_with_one_story_share_a_line() {
        use Verdict::{Done, Missed, Slow};
        let text = plain(&fell_short(&review(&[Done, Missed, Missed, Slow])));
        assert_eq!(
            text,
            "\nNot done\n✗ 1 halfway, reps 2 to 3: missed\n↓ 1 halfway, rep 4: slow\n"
        );
        assert_eq!(fell_short(&review(&[Done])), "");
    }
}
