//! What the recording hides: gaps, stretches left out, pauses of the device, fixes too far apart.

use crate::bouts::Bout;
use crate::measured::Z95;
use crate::review::items::Item;
use crate::review::plan_review::desk::Desk;
use crate::review::plan_review::on_line::stands_on_line;
use crate::review::{cost, verdict};
use crate::track::Gap;

/// With fixes further apart than this, nothing is said against work of fewer fixes than can show it, s.
const SPARSE_S: f64 = 2.5;
/// A bout ends at a gap when it stops so near to it, s.
const GAP_EDGE_S: f64 = 1.5;
/// Who has gone so much of a run of so long, s, in its time has run on.
const GOES_ON: f64 = 0.85;
const LONG_S: f64 = 10.0;
/// What was not recorded hides work of which it is this share.
const UNSEEN: f64 = 0.5;
/// Where nothing of a block was found, this share of its reps must have room in what was not recorded.
const ROOM_OF_BLOCK: f64 = 0.5;

/// A silence that the smoother bridged is as good as a gap when it is so long, s.
const SILENCE_S: f64 = 2.5;

impl Desk<'_> {
    /// The gaps that touch a stretch of time.
    pub(crate) fn gaps(&self, (from_s, to_s): (f64, f64)) -> &[Gap] {
        let gaps = &self.evidence.track.gaps;
        let first = gaps.partition_point(|gap| gap.end_s < from_s);
        let last = gaps.partition_point(|gap| gap.start_s <= to_s);
        gaps.get(first..last).unwrap_or_default()
    }

    /// The silences within a stretch of time that the smoother bridged: no fix lies near, s.
    pub(crate) fn bridged_s(&self, (from_s, to_s): (f64, f64)) -> Vec<(f64, f64)> {
        let motion = self.evidence.motion;
        let samples = &motion.samples[motion.window(from_s, to_s)];
        (samples.chunk_by(|a, b| a.bridged == b.bridged))
            .filter(|run| run[0].bridged)
            .map(|run| (run[0].time_s, run[run.len() - 1].time_s))
            .collect()
    }

    /// Whether a gap, or a stretch left out, cuts work off: what lies there may be more of it.
    pub(crate) fn at_gap(&self, (start_s, end_s): (f64, f64)) -> bool {
        let near = |from_s: f64, to_s: f64| {
            (from_s - end_s).abs() <= GAP_EDGE_S || (start_s - to_s).abs() <= GAP_EDGE_S
        };
        let around = (start_s - GAP_EDGE_S, end_s + GAP_EDGE_S);
        let silent = || {
            let mut before = self.bridged_s((around.0 - SILENCE_S, start_s + SILENCE_S));
            before.extend(self.bridged_s((end_s - SILENCE_S, around.1 + SILENCE_S)));
            (before.iter()).any(|&(from_s, to_s)| to_s - from_s >= SILENCE_S && near(from_s, to_s))
        };
        self.gaps(around).iter().any(|g| near(g.start_s, g.end_s))
            || silent()
            || (self.evidence.track.left_out.iter()).any(|l| near(l.start_s, l.end_s))
    }

    /// Whether a device that pauses by itself paused at the beginning or the end of a stretch: it may have gone on standing.
    pub(crate) fn at_pause(&self, (start_s, end_s): (f64, f64)) -> bool {
        self.evidence.track.pauses.iter().any(|p| {
            let touches = |t: f64| p.start_s - GAP_EDGE_S <= t && t <= p.end_s + GAP_EDGE_S;
            touches(start_s) || touches(end_s)
        })
    }

    /// The time between fixes, s, where an item's reps are too short to be shown by them.
    pub(crate) fn too_sparse(&self, item: usize) -> Option<f64> {
        let interval_s = 1.0 / self.evidence.motion.rate_hz.max(0.01);
        let item = self.matching.items.get(item)?;
        let rep_s = item.work.value / item.reps.max(1) as f64;
        (interval_s > SPARSE_S && rep_s < self.quality.hides_s).then_some(interval_s)
    }

    /// Whether nothing was recorded for so long between two times that an item's work may lie there. Where none of its block was found,
    /// half of the block must have room there: hardly anyone does one rep of many, and that while nothing is recorded.
    ///
    /// Before the first work and after the last it takes room for half of the set, too: much else is not recorded there.
    pub(crate) fn hides(&self, item: usize, (before, after): (Option<f64>, Option<f64>)) -> bool {
        let (from_s, to_s) = (
            before.unwrap_or(self.span_s.0),
            after.unwrap_or(self.span_s.1),
        );
        let Item {
            work, rest_after, ..
        } = &self.matching.items[item];
        let (from_s, to_s) = (from_s - 1.0, to_s + 1.0);
        let gaps = self.gaps((from_s, to_s)).iter();
        let elsewhere = self.evidence.track.left_out.iter();
        let unseen_s = (gaps.map(|g| (g.start_s, g.end_s)))
            .chain(elsewhere.map(|l| (l.start_s, l.end_s)))
            .filter(|(start_s, end_s)| from_s <= *start_s && *end_s <= to_s)
            .chain(self.bridged_s((from_s, to_s)))
            .map(|(start_s, end_s)| end_s - start_s);
        let room = room(unseen_s, work.value, rest_after.value);
        let is_open = before.is_none() || after.is_none();
        let missing = |k: &usize| is_open && self.matching.fates[*k].is_left_out();
        let of_set = self.set_of(item).filter(missing).count();
        let least = self.absent_with(item).max(of_set);
        room >= 1.0 && room >= ROOM_OF_BLOCK * least as f64
    }

    /// How many items the block of one has, if none of them was found; else 0.
    fn absent_with(&self, item: usize) -> usize {
        let all_out = (self.block_of(item)).all(|k| self.matching.fates[k].is_left_out());
        if all_out {
            self.block_of(item).count()
        } else {
            0
        }
    }

    /// How likely a bout was run in full, whatever is held against it: by a device that woke late, or as its way was measured.
    pub(crate) fn full_after_all(&self, item: usize, bout: &Bout) -> f64 {
        self.full_if_woken_late(item, bout)
            .max(self.full_as_measured(item, bout))
    }

    /// How likely a bout was run in full, as well as this recording measured its way; and for all that is known where he braked for
    /// the last of the way only: if the others of its block were run beyond it, where he stood on the line.
    fn full_as_measured(&self, item: usize, bout: &Bout) -> f64 {
        let item = &self.matching.items[item];
        let Some(planned_m) = item.straight_m() else {
            return 0.0;
        };
        if stands_on_line(item, bout) {
            return 1.0;
        }
        let motion = self.evidence.motion;
        // A long run may be broken by what the receiver makes of a turn, and go on.
        let in_time_m = self.way_m(bout.start_s, bout.start_s + item.work.value);
        if item.work.value >= LONG_S && in_time_m >= GOES_ON * planned_m {
            return 1.0;
        }
        let end_s = cost::end_s(item, bout);
        let way_m = motion.distance(motion.window(bout.start_s, end_s));
        let (share, sd) = cost::work_share(item, bout, end_s - bout.start_s, &self.quality);
        let sd = sd.hypot((way_m.high - way_m.value) / Z95 / planned_m);
        verdict::full(share, sd, f64::INFINITY, self.tolerances)
    }

    /// How likely a bout was run in full, when the device that paused before it may have woken late.
    fn full_if_woken_late(&self, item: usize, bout: &Bout) -> f64 {
        let Some(late_s) = (self.evidence.track.pauses.iter())
            .filter(|p| {
                p.start_s <= bout.start_s + GAP_EDGE_S && bout.start_s <= p.end_s + GAP_EDGE_S
            })
            .map(|p| p.still_to_sd_s)
            .reduce(f64::max)
        else {
            return 0.0;
        };
        let item = &self.matching.items[item];
        let time_s = cost::end_s(item, bout) - bout.start_s;
        let (share, sd) = cost::work_share(item, bout, time_s, &self.quality);
        let sd = sd.hypot(late_s / time_s.max(0.5));
        let otherwise = cost::otherwise_full(item, bout, share, &self.quality);
        verdict::full(share, sd, otherwise, self.tolerances)
    }
}

/// How many reps of a time, s, have room in stretches that were not recorded, s, with rests between them, s.
fn room(unseen_s: impl Iterator<Item = f64>, work_s: f64, rest_s: f64) -> f64 {
    unseen_s
        .filter(|unseen_s| *unseen_s >= UNSEEN * work_s)
        .map(|unseen_s| ((unseen_s + rest_s) / (work_s + rest_s)).floor().max(1.0))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rep has room where half of it was not recorded, others where they and the rests between them were not.
    #[test]
    fn reps_have_room_in_what_was_not_recorded() {
        let room = |unseen_s: &[f64]| room(unseen_s.iter().copied(), 20.0, 15.0);
        assert!(room(&[9.0, 3.0]) < 1.0);
        assert!((room(&[10.0]) - 1.0).abs() < 1e-9);
        assert!((room(&[54.0]) - 1.0).abs() < 1e-9 && (room(&[55.0]) - 2.0).abs() < 1e-9);
        assert!((room(&[12.0, 90.0, 9.0]) - 4.0).abs() < 1e-9);
    }
}
