//! What the recording can carry: how well edges, ways and peaks are known, and what it may not show at all.

use super::legs::expected_legs;
use crate::bouts::Bout;
use crate::motion::{Motion, SpeedFrom};
use crate::plan::Category;
use crate::review::items::Item;

/// A pace quicker than expected by more standard deviations than this is not looked for.
const QUICKEST: f64 = 1.5;
/// A way shorter than so many standard deviations of a length is lost in them.
const SHORTEST_WAY: f64 = 3.0;
/// A single rep that takes less than so many fixes is lost between them.
const SHORTEST_WORK: f64 = 2.0;
/// Work of fewer fixes than this may be smoothed away.
const HIDING_FIXES: f64 = 4.0;
/// Legs of fewer fixes than this leave hardly more than a trace of walking about.
const HIDING_TURNS: f64 = 3.5;
/// How often such a receiver, where it writes no speed, shows only a part of work that turns about for a planned time: counted over
/// simulated sessions of three worlds whose truth is known, by even and by uneven spacing. Of a hundred such reps four are cut short.
const IN_PART: [f64; 2] = [0.2, 0.5];
/// How vague an edge, s, a length, m, and a peak, m/s, are by each second that was not seen.
const VAGUE: f64 = 0.3;

/// What the recording can carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::review) struct Quality {
    /// Standard deviation of a start or an end, s.
    pub edge_sd_s: f64,
    /// Standard deviation of a length on the ground between two moments of a bout, m.
    pub length_sd_m: f64,
    /// Standard deviation of the drift of a place between two reps, m.
    pub place_sd_m: f64,
    /// Standard deviation of a peak speed, m/s.
    pub peak_sd_m_s: f64,
    /// Work shorter than this may lie between two fixes and not be seen, s.
    pub hides_s: f64,
    /// Turns closer to each other than this, one after another, may be smoothed away, s.
    pub hides_turns_s: f64,
    /// A single rep shorter than this may be lost between two fixes, s.
    hides_rep_s: f64,
    /// How often work that turns about for a planned time is shown only in part.
    turning_in_part: f64,
    /// Whether positions are known.
    pub has_position: bool,
    /// Whether the way that was covered is known by the receiver's own speed.
    pub has_speed: bool,
}

impl Quality {
    /// How long work such as an item's may go on and not be seen, s: it is short, or a set of turns close to each other;
    /// `None` where it is never so quick.
    pub(crate) fn hides_for_s(&self, item: &Item) -> Option<f64> {
        let turns_s = self.hides_turns_for_s(item);
        let longest_s = turns_s.max(self.hides_s * item.reps as f64);
        let quickest_s = item.work.value * (-QUICKEST * item.work.sd).exp();
        (quickest_s < longest_s).then_some(longest_s)
    }

    /// How quick the turns of an item have to be, one after another, to be smoothed away: the time of all of them, s.
    pub(crate) fn hides_turns_for_s(&self, item: &Item) -> f64 {
        let Some(shuttle) = item.shuttle else {
            return 0.0;
        };
        let legs = if shuttle.legs.is_some() && item.reps == 1 {
            0.0
        } else {
            expected_legs(item, shuttle)
        };
        self.hides_turns_s * legs
    }

    /// What is known of a bout of which a part was not seen: if that is most of it, its edges, its length and its peak are as vague as the
    /// part is long.
    pub(super) fn of(&self, bout: &Bout) -> Self {
        let vague = VAGUE * bout.bridged * bout.bridged * bout.stop_run_s();
        Self {
            edge_sd_s: self.edge_sd_s.hypot(vague),
            length_sd_m: self.length_sd_m.hypot(vague),
            peak_sd_m_s: self.peak_sd_m_s.hypot(vague),
            ..*self
        }
    }

    /// How often a rep of an item that was run in full is shown only in part.
    pub(crate) fn shows_in_part(&self, item: &Item) -> f64 {
        let turns = item.shuttle.is_some() || item.category == Category::Strength;
        if turns && item.timed && item.reps == 1 {
            self.turning_in_part
        } else {
            0.0
        }
    }

    /// Whether turns close to each other may be lost at all.
    pub(crate) fn loses_turns(&self) -> bool {
        self.hides_turns_s > 0.0
    }

    /// Whether a single rep is so short, by its way or between two fixes, that this receiver hardly tells it from standing about.
    pub(crate) fn hides_way(&self, item: &Item) -> bool {
        let leg_m = item.shuttle.map_or(f64::INFINITY, |s| s.leg_m);
        let way = leg_m < SHORTEST_WAY * self.length_sd_m;
        let time = item.work.value < self.hides_rep_s;
        item.reps == 1 && self.loses_turns() && (way || time)
    }
}

/// What a motion can carry, by its rate.
pub(in crate::review) fn quality(motion: &Motion) -> Quality {
    let (edge_sd_s, length_sd_m, place_sd_m, peak_sd_m_s) = if motion.irregular {
        (1.2, 3.0, 5.0, 0.8)
    } else if motion.rate_hz < 2.0 {
        (0.5, 1.5, 4.0, 0.4)
    } else if motion.rate_hz < 7.0 {
        (0.25, 0.8, 3.0, 0.15)
    } else {
        (0.2, 0.8, 3.0, 0.15)
    };
    // Fewer fixes than one a second, or at any time; about one a second, or fewer.
    let sparse = motion.irregular || motion.rate_hz < 0.8;
    let slow = motion.irregular || motion.rate_hz < 2.0;
    let has_speed = motion.speed_from != SpeedFrom::Position;
    Quality {
        edge_sd_s,
        length_sd_m,
        place_sd_m,
        peak_sd_m_s,
        hides_s: if sparse {
            HIDING_FIXES / motion.rate_hz.max(0.01)
        } else {
            0.0
        },
        hides_turns_s: if slow {
            HIDING_TURNS / motion.rate_hz.max(0.01)
        } else {
            0.0
        },
        hides_rep_s: if slow {
            SHORTEST_WORK / motion.rate_hz.max(0.01)
        } else {
            0.0
        },
        turning_in_part: match (has_speed, sparse, slow) {
            (false, true, _) => IN_PART[1],
            (false, _, true) => IN_PART[0],
            _ => 0.0,
        },
        has_position: motion.has_position,
        has_speed,
    }
}
