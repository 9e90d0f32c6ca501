//! Play that stands under no rep of a game: who rests as he likes has his games read at the wrong places, and what is there is no game.

use crate::plan::Category;
use crate::review::doubt::WORK_M_S;
use crate::review::items::Kind;
use crate::review::plan_review::desk::Desk;

/// Half as much play as is missing of a game, by its bursts, may be what is missing; fewer than so many are none.
const MUCH: f64 = 0.5;
const LEAST_BURSTS: f64 = 3.0;
/// Who goes on at this share of the pace of a game, for this share of what is missing of it, may go on with it.
const GOES_ON: f64 = 0.6;
const GOES_ON_FOR: f64 = 0.75;
/// Where nothing of a game was found, a burst in so long is expected of it, s.
const BURST_EVERY_S: f64 = 60.0;

impl Desk<'_> {
    /// Whether so much of a game, s, may be among what the plan does not explain between the blocks before and after it.
    pub(crate) fn play_elsewhere(&self, item: usize, missing_s: f64) -> bool {
        let own = &self.matching.items[item];
        if own.category != Category::Game || own.kind != Kind::Stretch || missing_s <= 0.0 {
            return false;
        }
        let (before, after) = self.around_block(item);
        let room_s = (
            before.unwrap_or(self.span_s.0),
            after.unwrap_or(self.span_s.1),
        );
        let found: Vec<(f64, f64)> = (self.block_of(item))
            .filter_map(|k| self.place(k))
            .collect();
        let needed = LEAST_BURSTS.max(MUCH * missing_s / self.burst_every_s(&found));
        let starts_s: Vec<f64> = (self.left.work())
            .map(|b| b.start_s)
            .filter(|s| room_s.0 <= *s && *s <= room_s.1)
            .collect();
        most_within(&starts_s, missing_s) as f64 >= needed
    }

    /// Whether he moved about as he did in a game right before and after it, together for most of what is missing of it, s.
    pub(crate) fn goes_on(
        &self,
        item: usize,
        (start_s, end_s): (f64, f64),
        missing_s: f64,
    ) -> bool {
        if self.matching.items[item].category != Category::Game {
            return false;
        }
        let pace_m_s = |from_s: f64, to_s: f64| self.way_m(from_s, to_s) / (to_s - from_s).max(1.0);
        let pace = GOES_ON * pace_m_s(start_s, end_s);
        let (before, after) = self.around[item];
        let from_s = before.unwrap_or(self.span_s.0).max(start_s - missing_s);
        let to_s = after.unwrap_or(self.span_s.1).min(end_s + missing_s);
        let on_s: f64 = [(from_s, start_s), (end_s, to_s)]
            .into_iter()
            .filter(|(from_s, to_s)| from_s < to_s && pace_m_s(*from_s, *to_s) >= pace)
            .map(|(from_s, to_s)| to_s - from_s)
            .sum();
        on_s >= GOES_ON_FOR * missing_s
    }

    /// How long it is from one burst to the next in some times, s.
    fn burst_every_s(&self, times_s: &[(f64, f64)]) -> f64 {
        let bursts = |within_s: &(f64, f64)| {
            (self.evidence.bouts.starting_within(*within_s))
                .filter(|b| b.peak_m_s >= WORK_M_S)
                .count()
        };
        let count: usize = times_s.iter().map(bursts).sum();
        let time_s: f64 = times_s.iter().map(|(from_s, to_s)| to_s - from_s).sum();
        if count == 0 {
            BURST_EVERY_S
        } else {
            time_s / count as f64
        }
    }
}

/// How many of some times, in order, lie within so long of each other at most.
fn most_within(times_s: &[f64], long_s: f64) -> usize {
    let mut first = 0;
    let mut most = 0;
    for (k, time_s) in times_s.iter().enumerate() {
        while times_s[first] < time_s - long_s {
            first += 1;
        }
        most = most.max(k + 1 - first);
    }
    most
}

#[cfg(test)]
mod tests {
    use super::most_within;

    #[test]
    fn the_thickest_stretch_is_found() {
        let times_s = [0.0, 100.0, 110.0, 125.0, 300.0];
        assert_eq!(most_within(&times_s, 30.0), 3);
        assert_eq!(most_within(&times_s, 5.0), 1);
        assert_eq!(most_within(&times_s, 400.0), 5);
        assert_eq!(most_within(&[], 30.0), 0);
    }
}
