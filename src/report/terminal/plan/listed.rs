//! What fell short of the plan or lies beside it, as far as there is room: reps that are not done, rests that were not kept,
//! unplanned work.

use crate::report::layout::{count, cut, hanging};
use crate::report::left_open;
use crate::report::shortfall;
use crate::report::terminal::style::{STRONG, paint};
use crate::report::terminal::{COLUMNS, caption};
use crate::review::{BlockReview, PlanReview, Verdict};
use crate::units::SpeedUnit;

use super::{NAME, colour, mark, name};

/// Most lines on reps that fell short, on rests that were not kept, and on unplanned work; more are counted.
const LISTED: usize = 10;
const LISTED_RESTS: usize = 4;
const LISTED_UNPLANNED: usize = 4;

/// A block as it is called in a sentence.
fn called(block: &BlockReview) -> String {
    cut(&name(block), NAME)
}

/// The reps that are not done, named, with why; neighbours with one story share a line.
pub(in crate::report::terminal) fn fell_short(review: &PlanReview) -> String {
    let (once, each) = shortfall::not_done(review);
    if once.is_empty() && each.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}\n", paint(STRONG, left_open::heading(review)));
    let mut say = |verdict: Verdict, text: &str| {
        for line in hanging(&format!("{} ", mark(verdict)), text, COLUMNS).lines() {
            out += &paint(colour(verdict), line);
            out.push('\n');
        }
    };
    for (block, sentence) in once {
        let text = format!("{} {}: {sentence}", block.index, called(block));
        say(Verdict::Unresolved, &text);
    }
    for fell in each.iter().take(LISTED) {
        say(fell.first.verdict, &fell.text(&called(fell.place.block)));
    }
    let more: usize = each.iter().skip(LISTED).map(|fell| fell.reps).sum();
    out + &and_more(more, &count(more, "rep", "reps"))
}

/// The rests that were not kept; the farthest from the plan are listed.
pub(in crate::report::terminal) fn rests(review: &PlanReview) -> String {
    let broken = shortfall::broken_rests(review);
    if broken.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}\n", paint(STRONG, &shortfall::rests_heading(&broken)));
    for rest in shortfall::farthest(&broken, LISTED_RESTS) {
        out += &hanging("- ", &rest.text(&called(rest.place.block)), COLUMNS);
    }
    let more = broken.len().saturating_sub(LISTED_RESTS);
    out + &and_more(more, &more.to_string())
}

/// Work that the plan does not explain.
pub(in crate::report::terminal) fn unplanned(review: &PlanReview, speeds: SpeedUnit) -> String {
    if review.unplanned.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{}\n", paint(STRONG, "Not in the plan"));
    for work in review.unplanned.iter().take(LISTED_UNPLANNED) {
        out += &hanging("- ", &shortfall::unplanned(work, speeds), COLUMNS);
    }
    let more = review.unplanned.len().saturating_sub(LISTED_UNPLANNED);
    out + &and_more(more, &more.to_string())
}

/// What is not listed for want of room.
fn and_more(more: usize, what: &str) -> String {
    if more == 0 {
        String::new()
    } else {
        caption(&format!("and {what} more, all with --out or --json"))
    }
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
