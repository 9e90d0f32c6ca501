//! Sets of turning work that are told from nothing else, and yet may have been done: the same way, over and over, from line to line.
//!
//! A player who goes on without a pause from a game into his shuttles, or runs two sets in one, leaves no rest by which a bout could be
//! told. His turns lie as far apart as the plan's lines, all the same.

use crate::bouts::Bout;
use crate::review::items::Kind;
use crate::review::plan_review::desk::Desk;

/// A way is as long as the plan's when it differs by no more than this share.
const AS_LONG: f64 = 0.2;
/// From one way to the next it takes no longer than this, s.
const TURN_S: f64 = 1.2;
/// So many ways in a row are no chance.
const LEAST_WAYS: usize = 3;
/// Ways that go on for this share of an item's time may be all of it.
const OF_ITS_TIME: f64 = 0.5;

impl Desk<'_> {
    /// Whether nothing of an item's block was found, and ways as long as its own follow on each other for half of its time. They are looked
    /// for between what was found of the plan before and after: under calm work, too, which is found wherever it has room, and in the end
    /// of a stretch before it, which nobody knows so well.
    pub(crate) fn shuttled(&self, item: usize) -> bool {
        let own = &self.matching.items[item];
        let Some(shuttle) = own.shuttle.filter(|_| own.reps > 1 || own.timed) else {
            return false;
        };
        if !self.none_found(item) {
            return false;
        }
        let (from_s, to_s) = self.room_with_calm_work_s(item);
        let from_s = match self.found_before(item) {
            Some(k) if self.matching.items[k].kind == Kind::Stretch => {
                from_s - self.work_of_block_s(item)
            }
            _ => from_s,
        };
        let ways = (self.evidence.bouts.stopping_within((from_s, to_s + 1.0)))
            .filter(|c| (c.path_m / shuttle.leg_m - 1.0).abs() <= AS_LONG);
        longest_series_s(ways) >= OF_ITS_TIME * own.work.value
    }
}

/// How long the longest series of ways takes of which each begins where the one before ended, s; ways in order of their end.
fn longest_series_s<'b>(ways: impl Iterator<Item = &'b Bout>) -> f64 {
    let mut longest_s: f64 = 0.0;
    let mut series: Option<(f64, f64, usize)> = None;
    for way in ways {
        series = match series {
            // One of the same way, seen a little longer.
            Some((_, end_s, _)) if way.start_s < end_s - TURN_S => continue,
            Some((start_s, end_s, count)) if way.start_s <= end_s + TURN_S => {
                Some((start_s, way.stop_s, count + 1))
            }
            _ => Some((way.start_s, way.stop_s, 1)),
        };
        if let Some((start_s, end_s, count)) = series
            && count >= LEAST_WAYS
        {
            longest_s = longest_s.max(end_s - start_s);
        }
    }
    longest_s
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Five ways of three seconds with half a second to turn, of which the fourth comes late.
    #[test]
    fn ways_that_follow_on_each_other_are_a_series() {
        let starts_s = [0.0, 3.5, 7.0, 16.0, 19.5];
        let ways: Vec<Bout> = starts_s
            .iter()
            .map(|&start_s| Bout::run(start_s, (2.5, 9.0), (3.0, 10.0), 4.5))
            .collect();
        assert!((longest_series_s(ways.iter()) - 10.0).abs() < 1e-9);
        assert!(longest_series_s(ways[2..].iter()).abs() < 1e-9);
    }
}
