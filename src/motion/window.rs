//! What a stretch of motion says, with its interval.

use std::ops::Range;

use crate::measured::{Measured, Z95};
use crate::motion::accuracy::{Accuracy, BandAccuracy};
use crate::motion::{FAST_HZ, Motion, Sample, SpeedFrom, unseen};

/// A smoothed speed that changes faster than this was not run: fast starts reach it for a moment, at 10 Hz only.
const MOST_CHANGE_M_S2: f64 = 4.5;
/// Nobody ran faster: 100 m in 9.58 s had a highest speed of 12.3 m/s.
const FASTEST_M_S: f64 = 12.5;
/// Nobody starts or brakes like this even for a moment, and where a fix a second or less is written, no moment is seen: such a change is
/// that of a position that moved by itself.
const IMPOSSIBLE_CHANGE_M_S2: f64 = 6.0;
/// How near the peak such a change casts doubt on it, s.
const CHANGE_WITHIN_S: f64 = 1.6;

/// How far from a peak it is looked for under another lag, s.
const OTHERWISE_WITHIN_S: f64 = 1.0;

/// A peak lasts as long as the speed stays above this share of it.
const NEAR: f64 = 0.8;
/// What fades by a factor e over some time has faded to less than a last bit after this many times as long.
const FADED: f64 = 40.0;
/// How near a peak a turn robs a filtered velocity of speed, s.
const TURN_WITHIN_S: f64 = 4.0;
/// A path is straight when its ends lie at least this share of its length apart.
const STRAIGHT: f64 = 0.9;

/// Standard deviation of a way over which no fix was written, as a share of it: how far the truth lies below and above. Where
/// fixes are as rare as that everywhere, what lies between them bends more.
const BRIDGED_SHARE: (f64, f64) = (0.3, 0.3);
const BRIDGED_SHARE_SPARSE: (f64, f64) = (0.3, 0.5);
/// Standard deviation of what bends add that no fix shows, as a share of that, below and above: who turns much turns more than
/// any fix shows.
const BENT_SHARE: (f64, f64) = (0.5, 1.5);
/// What remains in a way of what another lag of one standard deviation would make of it: below 1 where a fix a second is written
/// without fail, which tells the lag better than the deviation says.
const LAG_SHARE: f64 = 0.4;
const LAG_SHARE_LOSING: f64 = 1.0;
/// Standard deviation of a way near leaps of the positions, as a share of it: leaps make ways longer, never shorter.
const LEAPT_SHARE: f64 = 0.4;
/// What is moved while a device pauses by itself, m each: until it falls asleep, and before it wakes.
const PAUSE_HIDES_M: f64 = 2.0;
/// Standard deviation of a way that was gone slowly, as a share of it.
const SLOW_SHARE: f64 = 0.055;
/// The way by a fast receiver's positions is this much shorter than one by its speed, as a share of it, where a filter cuts
/// corners...
const USUAL_SHORTER: f64 = 0.06;
/// ... and this much longer, by noise; beyond that the speed has lost so many times as much where it was filtered as a vector,
/// since the positions were cut as well.
const USUAL_LONGER: f64 = 0.004;
const LOST_TIMES: f64 = 2.5;
/// No top speed is taken this near to a leap of the positions, s.
const LEAP_WITHIN_S: f64 = 3.0;

/// Mean and standard deviation of the highest speeds that are run, m/s: players reach 7 to 9.5, the best of sprinters 12.4.
const PEAKS_M_S: (f64, f64) = (7.5, 1.6);
/// What lies above a 95 % interval, as a share of all.
const ABOVE: f64 = 0.025;

/// The upper end of a peak's interval, given what people run: as wide as the measurement where that is narrow, and no
/// 16 m/s where it is not.
///
/// The product of the measurement's normal distribution and that of [`PEAKS_M_S`]; never below the value measured.
fn no_faster_than_life(value: f64, high: f64) -> f64 {
    let (mean, spread) = PEAKS_M_S;
    let sd = (high - value) / Z95;
    if value <= mean || sd <= 0.0 {
        let far = mean + 3.0 * spread;
        return high.min(far.max(value));
    }
    let weight = sd * sd / (sd * sd + spread * spread);
    let (middle, sd) = (value + (mean - value) * weight, sd * (1.0 - weight).sqrt());
    (middle + Z95 * sd).clamp(value, high)
}

impl Motion {
    /// The samples from `start_s` to `end_s`, both in seconds from the session's start; empty where there are none.
    #[must_use]
    pub fn window(&self, start_s: f64, end_s: f64) -> Range<usize> {
        let slack_s = self.step_s * 0.01;
        let from = self
            .samples
            .partition_point(|s| s.time_s < start_s - slack_s);
        let to = self
            .samples
            .partition_point(|s| s.time_s <= end_s + slack_s);
        from..to.max(from)
    }

    /// How many samples a time takes, s.
    pub(crate) fn samples_in(&self, time_s: f64) -> usize {
        (time_s / self.step_s.max(1e-3)).round() as usize
    }

    /// The highest speed of a window, m/s; 0 for an empty one.
    ///
    /// Where no fix lies near a share of the window, the peak lies there with that probability, and is then anything from the peak that was
    /// seen to what a player may have reached (`unseen`): the upper end is no lower than that distribution's.
    #[must_use]
    pub fn peak_speed(&self, window: Range<usize>) -> Measured {
        let seen = self.peak_seen(window.clone());
        let limit_m_s = PEAKS_M_S.0 + PEAKS_M_S.1;
        let Some(unseen) = unseen::of(self, window, limit_m_s) else {
            return seen;
        };
        let share = (1.0 - ABOVE / unseen.share).max(0.0);
        let hidden = seen.value + share * (unseen.reach_m_s - seen.value).max(0.0);
        let high = no_faster_than_life(seen.value, hidden).min(FASTEST_M_S);
        Measured::within(seen.value, seen.low, seen.high.max(high))
    }

    /// The highest speed of what was seen of a window, and drawn where nothing was, m/s; 0 for an empty one.
    #[must_use]
    pub(crate) fn peak_seen(&self, window: Range<usize>) -> Measured {
        let speed = |k: &usize| self.samples[*k].speed_m_s;
        let window = window.start..window.end.min(self.samples.len());
        let highest = |window: Range<usize>, taken: &dyn Fn(usize) -> bool| {
            let taken = window.filter(|k| taken(*k));
            taken.max_by(|a, b| speed(a).total_cmp(&speed(b)))
        };
        let Some(mut at) = highest(window.clone(), &|_| true) else {
            return Measured::normal(0.0, 0.0);
        };
        if !self.may_be_real(at..at + 1) {
            // A leap of the positions, not a run: the peak is that of the rest; where there is none, no more is known than what people run.
            match highest(window, &|k| self.believable(k)) {
                Some(rest) => at = rest,
                None => return Measured::within(PEAKS_M_S.0, 0.0, FASTEST_M_S),
            }
        }
        let Sample {
            speed_m_s: value,
            speed_sd_m_s: sd,
            ..
        } = self.samples[at];
        let accuracy = Accuracy::of(self);
        let brief = (-self.time_near_s(at, FADED * accuracy.brief_s) / accuracy.brief_s).exp();
        let (less, more) = self.device_spread(at);
        let half = |times: f64, device: f64| {
            Z95 * (times * sd)
                .hypot(accuracy.peak_share * value)
                .hypot(accuracy.device_share * device)
        };
        let below = half(accuracy.peak_below, less) + accuracy.brief_below * brief * value;
        let mut above = half(accuracy.peak_above, more) + accuracy.brief_above * brief * value;
        if accuracy.turned_above > 0.0 && self.turns_near(at) {
            above += accuracy.turned_above * value;
        }
        let high = no_faster_than_life(value, value + above);
        Measured::within(value, value - below, high).at_least(0.0)
    }

    /// How much lower and higher the peak at a sample would be if the device's lag were one standard deviation shorter and
    /// longer, m/s. What was undone less also comes later, so each is looked for nearby.
    fn device_spread(&self, at: usize) -> (f64, f64) {
        let value = self.samples[at].speed_m_s;
        let reach = (OTHERWISE_WITHIN_S / self.step_s) as usize;
        let nearby = |speeds: &Vec<f64>| {
            let to = (at + reach + 1).min(speeds.len());
            let around = speeds.get(at.saturating_sub(reach)..to)?;
            around.iter().copied().reduce(f64::max)
        };
        match self.doubts.otherwise_m_s.each_ref().map(nearby) {
            [Some(a), Some(b)] => ((value - a.min(b)).max(0.0), (a.max(b) - value).max(0.0)),
            _ => (0.0, 0.0),
        }
    }

    /// How long the speed around a sample stays above [`NEAR`] of its own, s; no farther than `most_s` to each side.
    fn time_near_s(&self, at: usize, most_s: f64) -> f64 {
        let level = NEAR * self.samples[at].speed_m_s;
        let reach = (most_s / self.step_s) as usize;
        let fast = |s: &&Sample| s.speed_m_s > level;
        let before = self.samples[..at].iter().rev().take(reach);
        let after = self.samples[at + 1..].iter().take(reach);
        let count = before.take_while(fast).count() + after.take_while(fast).count();
        count as f64 * self.step_s
    }

    /// Whether the path within [`TURN_WITHIN_S`] of a sample is no straight line.
    fn turns_near(&self, at: usize) -> bool {
        let reach = (TURN_WITHIN_S / self.step_s) as usize;
        let around = &self.samples[at.saturating_sub(reach)..(at + reach).min(self.samples.len())];
        let (Some(first), Some(last)) = (around.first(), around.last()) else {
            return false;
        };
        let straight_m = (last.x_m - first.x_m).hypot(last.y_m - first.y_m);
        straight_m < STRAIGHT * (last.travel_m - first.travel_m)
    }

    /// The top speed of the whole motion, m/s; `None` where nothing was measured.
    ///
    /// Where speed comes from positions a second or more apart, the highest of many thousand values is the likeliest to be
    /// wrong; there the peak is taken where the speed less its standard deviation is highest, and no jump lies near. What may have been
    /// reached where no fix was written is left out: of a whole session it is hardly ever the fastest.
    #[must_use]
    pub fn top_speed(&self) -> Option<Measured> {
        // One measured sample is no motion.
        self.samples.iter().filter(|s| !s.bridged).nth(1)?;
        if self.trusted() {
            return Some(self.peak_seen(0..self.samples.len()));
        }
        let supported = |s: &Sample| s.speed_m_s - s.speed_sd_m_s;
        let best = |believed: &dyn Fn(usize) -> bool| {
            let samples = self.samples.iter().enumerate();
            samples
                .filter(|(k, s)| !s.bridged && believed(*k))
                .max_by(|a, b| supported(a.1).total_cmp(&supported(b.1)))
        };
        // Where every second has its leap, all are taken as they are.
        let (at, _) = best(&|k| self.believable(k) && !self.leaps_near(k))
            .or_else(|| best(&|k| self.believable(k)))?;
        Some(self.peak_seen(at..at + 1))
    }

    /// Whether the speed of a window may be one that was moved at: where it is told from positions a second or more apart, what is faster
    /// than anyone runs is a leap of theirs.
    #[must_use]
    pub(crate) fn may_be_real(&self, window: Range<usize>) -> bool {
        let samples = self.samples.get(window).unwrap_or_default();
        self.trusted() || samples.iter().all(|s| s.speed_m_s <= FASTEST_M_S)
    }

    /// Whether the highest speed of a window may be that of a runner. Where it is told from positions a second or more apart, it is not
    /// where the speed changes as nobody's does, nor where a position leapt and the speed hardly changes as a runner's. Fixes far
    /// apart leap with every turn, which says nothing.
    #[must_use]
    pub(crate) fn may_be_run(&self, window: Range<usize>) -> bool {
        let speed = |k: &usize| self.samples[*k].speed_m_s;
        let inside = window.start..window.end.min(self.samples.len());
        let top = inside.max_by(|a, b| speed(a).total_cmp(&speed(b)));
        let Some(at) = top.filter(|_| !self.trusted()) else {
            return true;
        };
        let change = self.change_near(at);
        let leapt = !self.irregular && self.leaps_near(at) && change > MOST_CHANGE_M_S2;
        self.may_be_real(window) && change <= IMPOSSIBLE_CHANGE_M_S2 && !leapt
    }

    /// Whether a position leapt near a sample.
    fn leaps_near(&self, at: usize) -> bool {
        let time_s = self.samples[at].time_s;
        self.leaps_within(time_s - LEAP_WITHIN_S, time_s + LEAP_WITHIN_S)
    }

    /// Whether a position leapt between two times, s.
    pub(crate) fn leaps_within(&self, from_s: f64, to_s: f64) -> bool {
        let leaps_s = &self.doubts.leaps_s;
        let next = leaps_s.partition_point(|&leap_s| leap_s < from_s);
        leaps_s.get(next).is_some_and(|&leap_s| leap_s <= to_s)
    }

    /// Whether single wild fixes cannot make a peak: many a second outvote them, and the receiver's speed has none.
    fn trusted(&self) -> bool {
        self.rate_hz >= 4.0 || self.speed_from == SpeedFrom::Receiver
    }

    /// Whether the speed around a sample changes no faster than a runner's can; a jump of positions does.
    fn believable(&self, at: usize) -> bool {
        let around = self.around(at);
        self.change_near(at) <= MOST_CHANGE_M_S2
            && around.iter().all(|s| s.speed_m_s <= FASTEST_M_S)
    }

    /// How fast the speed changes at most around a sample, m/s2.
    fn change_near(&self, at: usize) -> f64 {
        let changes = self.around(at).iter().map(|s| s.acceleration_m_s2.abs());
        changes.fold(0.0, f64::max)
    }

    /// The samples within [`CHANGE_WITHIN_S`] of one.
    fn around(&self, at: usize) -> &[Sample] {
        let reach = (CHANGE_WITHIN_S / self.step_s) as usize;
        &self.samples[at.saturating_sub(reach)..(at + reach).min(self.samples.len())]
    }

    /// The largest acceleration of a window, m/s2.
    #[must_use]
    pub(crate) fn peak_acceleration(&self, window: Range<usize>) -> Measured {
        self.highest(window, |s| s.acceleration_m_s2)
            .map_or(Measured::normal(0.0, 0.0), |s| {
                Measured::normal(s.acceleration_m_s2, s.acceleration_sd_m_s2)
            })
    }

    /// The hardest braking of a window: its most negative acceleration, m/s2.
    #[must_use]
    pub(crate) fn peak_deceleration(&self, window: Range<usize>) -> Measured {
        self.highest(window, |s| -s.acceleration_m_s2)
            .map_or(Measured::normal(0.0, 0.0), |s| {
                Measured::normal(s.acceleration_m_s2, s.acceleration_sd_m_s2)
            })
    }

    /// The distance moved within a window, m.
    #[must_use]
    pub fn distance(&self, window: Range<usize>) -> Measured {
        let (Some(first), Some(last)) = (
            self.samples.get(window.start),
            self.samples.get(window.end.wrapping_sub(1)),
        ) else {
            return Measured::normal(0.0, 0.0);
        };
        let distance_m = (last.travel_m - first.travel_m).max(0.0);
        let accuracy = Accuracy::of(self);
        let ends_m = accuracy.distance_end_m * std::f64::consts::SQRT_2;
        let change = |ways_m: &[f64]| {
            let until = |at: usize| ways_m.get(at).copied().unwrap_or(0.0);
            until(window.end.wrapping_sub(1)) - until(window.start)
        };
        let within = |ways_m: &[f64]| change(ways_m).max(0.0);
        let bridged_share = if self.irregular && self.rate_hz < FAST_HZ {
            BRIDGED_SHARE_SPARSE
        } else {
            BRIDGED_SHARE
        };
        let both = |shares: (f64, f64), way_m: f64| (shares.0 * way_m, shares.1 * way_m);
        let bridged_m = both(bridged_share, within(&self.doubts.bridged_way_m));
        let bent_m = both(BENT_SHARE, within(&self.doubts.bent_way_m));
        let lag_share = if self.doubts.loses_fixes {
            LAG_SHARE_LOSING
        } else {
            LAG_SHARE
        };
        let lag_m = lag_share * change(&self.doubts.lag_way_m);
        let leapt_m = LEAPT_SHARE * within(&self.doubts.leapt_way_m);
        let slow_m = SLOW_SHARE * within(&self.doubts.slow_way_m);
        let (shorter, longer) = match self.doubts.scale {
            Some(scale) => scale.open(),
            None => self.disagreement(),
        };
        let across_m = self.across_gaps_m(&window);
        let half = |share: f64, apart: f64, bridged_m: f64, bent_m: f64, leapt_m: f64| {
            let parts_m = [
                share * distance_m,
                ends_m,
                bridged_m,
                bent_m,
                lag_m,
                leapt_m,
                slow_m,
            ];
            let sd = parts_m.into_iter().fold(0.0, f64::hypot);
            (Z95 * sd).hypot(apart * distance_m)
        };
        let below_m = half(
            accuracy.distance_share,
            shorter,
            bridged_m.0,
            bent_m.0,
            leapt_m,
        );
        let above_m = half(
            accuracy.distance_share_above,
            longer,
            bridged_m.1,
            bent_m.1,
            0.0,
        );
        Measured::within(
            distance_m,
            distance_m - below_m,
            distance_m + above_m + across_m + self.hidden_m(&window),
        )
        .at_least(0.0)
    }

    /// What a device that pauses by itself may have hidden within a window, m.
    fn hidden_m(&self, window: &Range<usize>) -> f64 {
        let before = |sample: usize| self.doubts.pauses.partition_point(|&at| at < sample);
        let pauses = before(window.end).saturating_sub(before(window.start));
        PAUSE_HIDES_M * f64::from(u32::try_from(pauses).unwrap_or(u32::MAX))
    }

    /// The straight ways across the gaps inside of a window, m.
    fn across_gaps_m(&self, window: &Range<usize>) -> f64 {
        let ways_m = &self.doubts.across_gaps_m;
        if ways_m.is_empty() {
            return 0.0;
        }
        let until = |sample: usize| {
            let run = self.runs.partition_point(|run| run.end <= sample);
            ways_m.get(run).copied().unwrap_or(0.0)
        };
        until(window.end.saturating_sub(1)) - until(window.start)
    }

    /// How far the time and the way in a band of speed may be off.
    pub(crate) fn band_accuracy(&self) -> BandAccuracy {
        Accuracy::of(self).bands
    }

    /// By what share the truth may lie below and above the way of a fast receiver's speed, beyond what filters and noise
    /// explain, since its positions say otherwise.
    fn disagreement(&self) -> (f64, f64) {
        let apart = self.doubts.agreement.map_or(0.0, |share| share - 1.0);
        (
            (-apart - USUAL_SHORTER).max(0.0),
            LOST_TIMES * (apart - USUAL_LONGER).max(0.0),
        )
    }

    fn highest(&self, window: Range<usize>, value: impl Fn(&Sample) -> f64) -> Option<&Sample> {
        self.samples
            .get(window)?
            .iter()
            .max_by(|a, b| value(a).total_cmp(&value(b)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::Doubts;

    /// So many seconds at these speeds, straight east, positions of a fix a second.
    fn walked(speeds: &[f64]) -> Motion {
        let mut x_m = 0.0;
        let samples = (0_u32..)
            .zip(speeds)
            .map(|(k, &speed_m_s)| {
                x_m += speed_m_s;
                Sample {
                    time_s: f64::from(k),
                    x_m,
                    vx_m_s: speed_m_s,
                    speed_m_s,
                    travel_m: x_m,
                    ..Sample::default()
                }
            })
            .collect();
        Motion::of_run(samples, 1.0, SpeedFrom::Position)
    }

    #[test]
    fn a_gap_lifts_the_upper_end_by_the_straight_way_and_nothing_else() {
        let mut motion = walked(&[2.0; 100]);
        let whole = motion.distance(0..100);
        motion.runs = vec![0..50, 50..100];
        motion.doubts.across_gaps_m = vec![0.0, 30.0];
        let gapped = motion.distance(0..100);
        assert!((gapped.high - whole.high - 30.0).abs() < 1e-9);
        assert!((gapped.low - whole.low).abs() < 1e-9 && (gapped.value - whole.value).abs() < 1e-9);
        // One that lies in a run has no gap.
        let inside = motion.distance(50..100);
        motion.doubts = Doubts::default();
        assert_eq!(inside, motion.distance(50..100));
    }

    /// A step of 28 m in a second is none of a player's: the peak is that of the rest, and no sprint.
    #[test]
    fn a_leap_is_no_peak() {
        let mut speeds = [5.0; 30];
        speeds[15] = 28.0;
        let motion = walked(&speeds);
        assert!((motion.peak_speed(0..30).value - 5.0).abs() < 1e-9);
        assert!(motion.may_be_real(0..15) && !motion.may_be_real(0..30));
        // Beside the leap nothing else is there to go by.
        let beside = motion.peak_speed(15..16);
        assert_eq!((beside.low, beside.high), (0.0, FASTEST_M_S));
    }

    /// Where nothing was seen of a third of the window, the upper end is what may have been reached there but for the 2.5 % above an
    /// interval: 1 - 0.025 / (1 / 3) of the way to it.
    #[test]
    fn what_was_not_seen_raises_the_upper_end_and_nothing_else() {
        let mut motion = walked(&[2.0; 30]);
        let seen = motion.peak_speed(0..12);
        for sample in &mut motion.samples[6..10] {
            sample.bridged = true;
        }
        let unseen = motion.peak_speed(0..12);
        assert_eq!((unseen.value, unseen.low), (seen.value, seen.low));
        let reach = unseen::of(&motion, 0..12, 9.1).unwrap().reach_m_s;
        assert!(reach > 4.0 && reach < 9.1, "{reach}");
        assert!((unseen.high - (2.0 + (1.0 - 0.075) * (reach - 2.0))).abs() < 1e-9);
        // Beside it, and where it is a little of much, all stays as it was.
        assert_eq!(motion.peak_speed(11..30), motion.peak_seen(11..30));
        let mut long = walked(&[2.0; 300]);
        for sample in &mut long.samples[6..10] {
            sample.bridged = true;
        }
        assert_eq!(long.peak_speed(0..300), long.peak_seen(0..300));
        // Nobody reaches more than anybody did, and the fastest of the session is that of what was seen.
        motion.samples[5].speed_m_s = 20.0;
        assert!(motion.peak_speed(0..12).high <= FASTEST_M_S);
        assert_eq!(long.top_speed(), Some(long.peak_seen(0..1)));
    }

    /// Two signs of a leap together, or a change that is nobody's, are no run; a fast receiver's speed is taken as it is.
    #[test]
    fn what_changes_like_no_runner_is_no_run() {
        let mut speeds = [5.0; 30];
        speeds[15] = 8.0;
        let mut motion = walked(&speeds);
        assert!(motion.may_be_run(10..20));
        motion.samples[14].acceleration_m_s2 = 5.0;
        assert!(motion.may_be_run(10..20));
        motion.doubts.leaps_s = vec![14.5];
        assert!(!motion.may_be_run(10..20) && motion.may_be_run(0..10));
        // Fixes far apart leap with every turn.
        motion.irregular = true;
        assert!(motion.may_be_run(10..20));
        motion.samples[14].acceleration_m_s2 = -6.5;
        assert!(!motion.may_be_run(10..20));
        motion.speed_from = SpeedFrom::Receiver;
        assert!(motion.may_be_run(10..20) && motion.may_be_run(0..0));
    }

    #[test]
    fn bends_that_no_fix_shows_are_in_doubt_by_a_share_of_what_they_add() {
        let mut motion = walked(&[2.0; 100]);
        let above_m = |distance: Measured| distance.high - distance.value;
        let straight = above_m(motion.distance(0..100));
        motion.doubts.bent_way_m = (0..100_u32).map(|k| 0.2 * f64::from(k)).collect();
        let sd_m = |half_m: f64| half_m / Z95;
        let added = sd_m(above_m(motion.distance(0..100))).powi(2) - sd_m(straight).powi(2);
        assert!(
            (added.sqrt() - BENT_SHARE.1 * 0.2 * 99.0).abs() < 1e-6,
            "{added}"
        );
    }

    #[test]
    fn what_a_pause_hides_makes_a_way_longer_and_what_leapt_makes_it_shorter() {
        let mut motion = walked(&[2.0; 100]);
        let plain = motion.distance(0..100);
        motion.doubts.pauses = vec![10, 20, 99];
        let paused = motion.distance(0..99);
        let without = walked(&[2.0; 100]).distance(0..99);
        assert!((paused.high - without.high - 2.0 * PAUSE_HIDES_M).abs() < 1e-9);
        assert!((paused.low - without.low).abs() < 1e-9);
        motion.doubts.pauses = Vec::new();
        motion.doubts.leapt_way_m = (0..100_u32).map(|k| 0.5 * f64::from(k)).collect();
        let leapt = motion.distance(0..100);
        assert!(leapt.low < plain.low - 10.0, "{leapt:?}");
        assert!((leapt.high - plain.high).abs() < 1e-9 && leapt.value == plain.value);
    }

    #[test]
    fn a_way_that_hangs_on_the_lag_is_in_doubt_by_what_another_lag_would_make_of_it() {
        let mut motion = walked(&[2.0; 100]);
        let plain = motion.distance(0..100);
        motion.doubts.lag_way_m = (0..100_u32).map(|k| 0.3 * f64::from(k)).collect();
        let doubted = motion.distance(0..100);
        let sd = |distance: Measured| (distance.high - distance.value) / Z95;
        let added = (sd(doubted).powi(2) - sd(plain).powi(2)).sqrt();
        assert!((added - LAG_SHARE * 0.3 * 99.0).abs() < 1e-6, "{added}");
    }

    #[test]
    fn a_jump_is_no_top_speed() {
        let mut speeds = [3.0; 60];
        speeds[10] = 6.0;
        speeds[40] = 15.0;
        let top = walked(&speeds).top_speed().map(|top| top.value);
        assert_eq!(top, Some(6.0));
    }

    #[test]
    fn an_upper_end_is_no_faster_than_life_and_a_sure_peak_stays_as_wide() {
        // Nobody runs 16 m/s, however little was seen.
        assert!(no_faster_than_life(8.0, 16.0) < 11.0);
        assert!(no_faster_than_life(6.0, 16.0) < 12.5);
        // The fastest that was measured, 12.4 m/s, stays inside of its interval.
        assert!(no_faster_than_life(12.2, 12.6) > 12.5);
        assert!(no_faster_than_life(11.9, 13.0) > 12.4);
        // The product of N(9, 1) and N(7.5, 1.6) has the mean 8.5787 and the standard deviation 0.848.
        let high = no_faster_than_life(9.0, 9.0 + Z95);
        assert!((high - (8.5787 + Z95 * 0.848)).abs() < 1e-3, "{high}");
        assert!((no_faster_than_life(8.0, 8.2) - 8.2).abs() < 0.01);
    }
}
