//! Reps with hardly a breath between them: what lies between two of a set at their own pace is more of it.

use crate::bouts::Bout;
use crate::review::plan_review::desk::Desk;

/// Who rests between two reps is slower than these shares of their pace and of their peak.
const PACE: f64 = 0.6;
const PEAK: f64 = 0.8;

impl Desk<'_> {
    /// Whether he went on as in his reps between two of the set of an item, for at least as long as one takes.
    pub(crate) fn worked_between(&self, item: usize) -> bool {
        let long_s = self.matching.items[item].work.value;
        let found: Vec<&Bout> = (self.set_of(item)).filter_map(|k| self.bout(k)).collect();
        found.windows(2).any(|pair| {
            pair[1].start_s - pair[0].stop_s >= long_s && self.goes_on_between(pair[0], pair[1])
        })
    }

    fn goes_on_between(&self, a: &Bout, b: &Bout) -> bool {
        let motion = self.evidence.motion;
        let pace = |from_s: f64, to_s: f64| self.way_m(from_s, to_s) / (to_s - from_s).max(0.1);
        let usual = f64::midpoint(pace(a.start_s, a.end_s), pace(b.start_s, b.end_s));
        let between = motion.window(a.stop_s, b.start_s);
        pace(a.stop_s, b.start_s) >= PACE * usual
            && motion.peak_speed(between).value >= PEAK * a.peak_m_s.min(b.peak_m_s)
    }
}
