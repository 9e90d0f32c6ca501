//! Whether the plan explains the recording: by what the matching gains, then by what was said of its reps.

use crate::review::items::Kind;
use crate::review::matching::Matching;
use crate::review::{Counts, Fits};

/// A plan that explains less than this of the recording, in nats a planned item, fits it weakly; where most of it is missing
/// as well it is another session's. Plans of other sessions reach 4 in the middle with two thirds missing, the right ones 9
/// with hardly anything.
const WEAK: f64 = 3.5;
const MOST_MISSING: f64 = 0.6;
/// With more than this share missing a plan fits only in part.
const MUCH_MISSING: f64 = 0.45;
/// Of a session that ended early at least this share of its time was begun, and hardly anything of it left out.
const LEAST_BEGUN: f64 = 0.15;
const LITTLE_MISSING: f64 = 0.3;
/// A plan of which fewer reps than this share were done, and more than the other left out or cut short, is hardly this session's, even
/// where slower work stands in its place.
const FEW_DONE: f64 = 1.0 / 3.0;
const SOME_MISSING: f64 = 1.0 / 6.0;

/// Whether the plan explains the recording better than no plan does.
pub(super) fn fits(matching: &Matching) -> Fits {
    let planned = |k: &usize| matching.items[*k].kind != Kind::Extra;
    let items: Vec<usize> = (0..matching.items.len()).filter(planned).collect();
    let missing = |items: &[usize]| {
        let sum: f64 = items.iter().map(|&k| matching.odds[k].missing).sum();
        sum / items.len().max(1) as f64
    };
    let gain = |items: &[usize]| matching.gain / items.len().max(1) as f64;
    if items.is_empty() {
        return Fits::Yes;
    }
    if gain(&items) < WEAK && missing(&items) > MOST_MISSING {
        // Who stopped early did as planned up to there.
        let begun = before_the_end(matching, &items);
        let planned_s = |items: &[usize]| -> f64 {
            let of =
                |k: &usize| matching.items[*k].work.value + matching.items[*k].rest_after.value;
            items.iter().map(of).sum()
        };
        let is_begun = planned_s(begun) >= LEAST_BEGUN * planned_s(&items)
            && gain(begun) >= WEAK
            && missing(begun) < LITTLE_MISSING;
        return if is_begun { Fits::Partly } else { Fits::No };
    }
    if missing(&items) > MUCH_MISSING {
        Fits::Partly
    } else {
        Fits::Yes
    }
}

/// The items up to the last one of which anything was found.
fn before_the_end<'a>(matching: &Matching, items: &'a [usize]) -> &'a [usize] {
    let found = |k: &usize| matching.fates[*k].is_found();
    let end = items.iter().rposition(found).map_or(0, |last| last + 1);
    &items[..end]
}

/// The same by what was said of its reps.
pub(super) fn fits_by(counts: &Counts) -> Fits {
    let planned = counts.planned.max(1) as f64;
    let done = (counts.done + counts.unresolved) as f64 / planned;
    let gone = (counts.missed + counts.short) as f64 / planned;
    if done < FEW_DONE && gone > SOME_MISSING {
        Fits::Partly
    } else {
        Fits::Yes
    }
}
