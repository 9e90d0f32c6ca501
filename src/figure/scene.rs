//! What the pictures are drawn from: the parts of a session that they read.

use crate::efforts::{Efforts, Thresholds};
use crate::motion::{Motion, Sample, SpeedFrom};
use crate::pitch::Pitch;
use crate::plan::Plan;
use crate::profile::Fade;
use crate::review::PlanReview;
use crate::session::Session;
use crate::track::{Gap, LeftOut};
use crate::units::SpeedUnit;

use super::style::{self, Sheet};
use super::{axis, lettering};

/// The parts of a session that the pictures read.
#[derive(Clone, Copy, Debug)]
pub struct Scene<'a> {
    /// From the plan or the recording.
    pub title: Option<&'a str>,
    /// The smoothed motion.
    pub motion: &'a Motion,
    /// Where nothing was recorded.
    pub gaps: &'a [Gap],
    /// What is no part of the session.
    pub left_out: &'a [LeftOut],
    /// Whether the axes of the positions are east and north.
    pub north_up: bool,
    /// The pitch under the session, where it is known.
    pub pitch: Option<&'a Pitch>,
    /// What was found in the motion.
    pub efforts: &'a Efforts,
    /// What counted as an effort.
    pub thresholds: &'a Thresholds,
    /// The plan, if one was given.
    pub plan: Option<&'a Plan>,
    /// The plan held against the motion, if there was a plan.
    pub review: Option<&'a PlanReview>,
    /// How the sets of the plan faded.
    pub fades: &'a [Fade],
    /// What the pictures are laid out on.
    pub sheet: Sheet,
    /// In which unit speeds are told.
    pub speeds: SpeedUnit,
}

impl<'a> Scene<'a> {
    /// The parts of `session`.
    #[must_use]
    pub fn of(session: &'a Session) -> Self {
        Self {
            title: session.title.as_deref(),
            motion: &session.motion,
            gaps: &session.track.gaps,
            left_out: &session.track.left_out,
            north_up: session.track.north_up,
            pitch: session.pitch.as_ref(),
            efforts: &session.efforts,
            thresholds: &session.settings.efforts,
            plan: session.plan.as_ref(),
            review: session.review.plan.as_ref(),
            fades: &session.profile.fades,
            sheet: Sheet::WIDE,
            speeds: session.settings.speeds,
        }
    }

    /// The same on another sheet.
    #[must_use]
    pub fn on(self, sheet: Sheet) -> Self {
        Self { sheet, ..self }
    }

    /// When the last sample was taken, s; `None` without a sample at a finite time.
    pub(super) fn end_s(&self) -> Option<f64> {
        let end_s = self
            .motion
            .samples
            .iter()
            .map(|s| s.time_s)
            .filter(|t| t.is_finite())
            .fold(f64::NEG_INFINITY, f64::max);
        end_s.is_finite().then_some(end_s)
    }

    /// The stretches that show nothing: gaps, and what is left out between two parts of the session.
    pub(super) fn blank(&self) -> impl Iterator<Item = (f64, f64)> + use<'a> {
        let gaps = self.gaps.iter().map(|g| (g.start_s, g.end_s));
        gaps.chain(self.left_out_within())
    }

    /// What is left out between two parts of the session.
    pub(super) fn left_out_within(&self) -> impl Iterator<Item = (f64, f64)> + use<'a> {
        let end_s = self.end_s().unwrap_or(0.0);
        let spans = self.left_out.iter().map(|l| (l.start_s, l.end_s));
        spans.filter(move |&(from_s, to_s)| 0.0 < from_s && to_s < end_s)
    }

    /// The samples of each run between two times.
    pub(super) fn runs(
        &self,
        from_s: f64,
        to_s: f64,
    ) -> impl Iterator<Item = &'a [Sample]> + use<'a> {
        let motion = self.motion;
        motion.runs.iter().filter_map(move |run| {
            let samples = motion.samples.get(run.clone())?;
            let first = samples.partition_point(|s| s.time_s < from_s);
            let last = samples.partition_point(|s| s.time_s <= to_s);
            samples.get(first..last).filter(|s| !s.is_empty())
        })
    }

    /// The line below a title: the session, its length and the receiver.
    pub(super) fn subtitle(&self, last: &str) -> String {
        let rate = self.motion.rate_hz;
        let receiver = if self.motion.irregular {
            format!("receiver about {} Hz, irregular", trimmed(rate))
        } else {
            format!("receiver {} Hz", trimmed(rate))
        };
        let source = match self.motion.speed_from {
            SpeedFrom::Receiver => "receiver's own speed",
            SpeedFrom::Position => "speed from positions",
            SpeedFrom::Both => "speed from receiver and positions",
        };
        let length = axis::spell(self.end_s().unwrap_or(0.0));
        let facts = format!("{length} · {receiver}, {source} · {last}");
        // The session's own title gives way, not what must be known of the numbers.
        // Where lines are broken, it has one of its own.
        let taken = lettering::width(&facts, style::SUBTITLE);
        let room = self.sheet.room() - self.sheet.either(taken, 0.0);
        self.title
            .and_then(|title| lettering::fit(title, style::SUBTITLE, room - 20.0))
            .map_or(facts.clone(), |title| format!("{title} · {facts}"))
    }
}

/// A rate without needless decimals: 10, 5, 0.25.
fn trimmed(rate_hz: f64) -> String {
    let text = format!("{rate_hz:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
