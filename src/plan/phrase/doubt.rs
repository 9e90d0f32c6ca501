//! What may be meant otherwise than it is written: a rest that is too long for reps, a share of top speed that nobody keeps up.

use crate::plan::timetable::{self, Assumptions, LONGEST_S};
use crate::plan::{Block, Category, Dose, Rest, Target, Work};

/// Rests between counted reps up to this length draw no question, s.
const SHORT_REST_S: f64 = 30.0;
/// A rest longer than so many times the work of a counted rep is more likely one between sets.
const WORK_TIMES: f64 = 6.0;
/// The share of top speed that the fittest keep up for long.
const LASTING: f64 = 0.6;
/// How fast what can be kept up falls to it, 1/s.
const FALLS_A_SECOND: f64 = 0.013;
/// Shorter work draws no question, s.
const SHORTEST_LONG_S: f64 = 60.0;

impl Block {
    /// Whether a rest written without a word of what it lies between would more likely be one between sets: it is asked
    /// about, and the tidy form says `between reps`.
    pub(in crate::plan) fn rest_is_doubtful(&self) -> bool {
        let (true, Rest::Timed(seconds)) = (self.rest_is_open(), self.rest) else {
            return false;
        };
        let counted = matches!(
            self.dose,
            Dose::Reps {
                work: Work::Count,
                ..
            }
        );
        let usual = Assumptions::default();
        let most_s = (WORK_TIMES * timetable::rep_s(self, &usual)).max(SHORT_REST_S);
        let long = counted && self.category != Category::Speed && seconds > most_s;
        let lifts = counted && self.category == Category::Gym;
        lifts || long || timetable::block_s(self, &usual) > LONGEST_S
    }

    /// Whether nobody can run at the share of top speed that is asked for as long as a rep takes, so that it is rather of a heart
    /// rate: it is asked about, and the tidy form says `of top speed`.
    ///
    /// What can be kept up falls from top speed to some [`LASTING`] of it as exp(-0.013 t), t in s (Bundle, Hoyt, Weyand
    /// 2003, J Appl Physiol 95:1955).
    pub(in crate::plan) fn share_is_doubtful(&self) -> bool {
        let (Some(Target::ShareOfTop(share)), false) =
            (self.target, self.category == Category::Gym)
        else {
            return false;
        };
        let usual = Assumptions::default();
        let rep_s = match self.dose {
            Dose::Continuous { duration_s } => duration_s,
            Dose::Reps {
                work: Work::Duration(seconds),
                ..
            } => seconds,
            Dose::Reps {
                work: Work::Distance(metres),
                ..
            } => metres / (share * usual.top_speed_m_s),
            Dose::Reps {
                work: Work::Count, ..
            } => return false,
        };
        let most = LASTING + (1.0 - LASTING) * (-FALLS_A_SECOND * rep_s).exp();
        rep_s >= SHORTEST_LONG_S && share > most
    }

    /// Whether a rest could lie between reps or between sets.
    pub(in crate::plan) fn rest_is_open(&self) -> bool {
        let alone = self.every_s.is_none() && self.between_sets_s.is_none();
        alone && matches!(self.rest, Rest::Timed(_)) && self.sets() > 1 && self.reps() > 1
    }

    /// The block with its rest between sets, and between reps.
    pub(in crate::plan) fn both_rests(&self) -> [Self; 2] {
        let mut between_sets = self.clone();
        if let Rest::Timed(seconds) = self.rest {
            between_sets.rest = Rest::RunOn;
            between_sets.between_sets_s = Some(seconds);
        }
        [between_sets, self.clone()]
    }

    /// Lets a rep start every so many seconds, so that the rest is what is expected to be left. Whether anything is left.
    pub fn start_every(&mut self, every_s: f64) -> bool {
        let rep_s = timetable::rep_s(self, &Assumptions::default());
        let left_s = ((every_s - rep_s) * 10.0).round() / 10.0;
        if left_s <= 0.0 {
            return false;
        }
        self.every_s = Some(every_s);
        self.rest = Rest::Timed(left_s);
        true
    }
}
