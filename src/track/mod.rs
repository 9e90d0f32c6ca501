//! Cleans a trace: ordered, spikes and duplicates set aside, in local metres.
//!
//! [`clean`] works in seven steps, each in its file or folder: places become local metres (`place`), times become strictly
//! increasing (`order`), the way by car or bicycle and a watch forgotten on a shelf are left out (`left_out`), displaced stretches
//! lose their positions (`outlier`), a receiver's speed that contradicts its positions is dropped (`agreement`), and silences become
//! gaps (`gap`), those of a device that stops by itself while its wearer stands become pauses (`pause`). What a step cannot use it
//! counts with its reason, so that `used + set aside = fixes` holds at the end.

mod agreement;
mod error;
mod gap;
mod left_out;
mod order;
mod outlier;
mod pause;
mod place;
mod point;
mod tally;

use std::borrow::Cow;

pub use error::Error;
pub use point::Point;

use crate::estimation::length;
use crate::geodesy::LocalFrame;
use crate::limits::RECORDED_H;
use crate::note::Note;
use crate::trace::{Clock, Fix, Position, SetAside, Trace};

use tally::Tally;

/// A cleaned recording.
#[derive(Clone, Debug)]
pub struct Track {
    /// Points in strictly increasing time.
    pub points: Vec<Point>,
    /// What `time_s` counts from: the session's start, which is the first usable fix.
    pub start: Clock,
    /// Every fix of the file, used or not.
    pub fixes: usize,
    /// Fixes not used, by reason, those of the reading included: `points.len()` plus these is `fixes`.
    pub set_aside: Vec<SetAside>,
    /// Stretches with no usable fix that are too long to bridge, or breaks that the file itself marks.
    pub gaps: Vec<Gap>,
    /// Stretches without fixes through which the player surely stood, since the device pauses whenever he does; none of
    /// them is a gap.
    pub pauses: Vec<Pause>,
    /// Stretches that are no part of the session, in order of time. Their fixes are set aside; the session begins after one
    /// at the start, ends before one at the end, and nothing joins both sides of one between.
    pub left_out: Vec<LeftOut>,
    /// The usual rate of fixes.
    pub rate: Rate,
    /// Whether the axes of the positions are east and north; those of a local system may be anything.
    pub north_up: bool,
    /// Where on earth the local metres lie, where that was recorded.
    pub frame: Option<LocalFrame>,
    /// Notes for the reader of the account.
    pub notes: Vec<Note>,
}

impl Track {
    /// When the last point was recorded, s from the session's start: how long the session is.
    #[must_use]
    pub fn end_s(&self) -> Option<f64> {
        self.points.last().map(|point| point.time_s)
    }
}

/// A stretch without usable fixes, seconds from the session's start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Time of the last fix before.
    pub start_s: f64,
    /// Time of the first fix after.
    pub end_s: f64,
    /// How likely he stood at one place throughout, 0 to 1; where that is sure, it is a [`Pause`] and no gap.
    pub standing: f64,
}

/// A stretch without fixes through which the player stood, seconds from the session's start.
///
/// A device that pauses by itself writes nothing between; nothing of its length was run, unless it came back to the place it
/// left. It stops writing a little after he does and begins again when he is under way, so that he moved at both ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pause {
    /// Time of the last fix before.
    pub start_s: f64,
    /// Time of the first fix after.
    pub end_s: f64,
    /// Where he stood: from when...
    pub still_from_s: f64,
    /// ... to when he most likely set off.
    pub still_to_s: f64,
    /// Standard deviation of that, s: what the late waking leaves open.
    pub still_to_sd_s: f64,
    /// How likely he stood, 0 to 1.
    pub standing: f64,
}

/// A stretch that is no part of the session, seconds from the session's start: negative before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeftOut {
    /// What it is.
    pub reason: Reason,
    /// Time of its first fix.
    pub start_s: f64,
    /// Time of the first fix after it, or of its last.
    pub end_s: f64,
    /// The way covered, m.
    pub distance_m: f64,
    /// Highest speed over some seconds, m/s.
    pub top_speed_m_s: f64,
}

/// Why a stretch is left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reason {
    /// By car or bicycle, with the watch running.
    OnTheWay,
    /// The watch was forgotten and lay still.
    LyingStill,
}

impl Reason {
    /// In plain words, as the fixes are counted.
    #[must_use]
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::OnTheWay => "on the way",
            Self::LyingStill => "lying still",
        }
    }
}

/// How often the receiver wrote.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Fixes a second: 1 over the median interval.
    pub hz: f64,
    /// Whether intervals vary by more than a dropped fix now and then explains.
    pub irregular: bool,
}

/// When a fix is set aside and when a silence is a gap.
#[derive(Clone, Debug, PartialEq)]
pub struct Rules {
    /// Longest silence that is bridged, s.
    pub bridge_s: f64,
    /// Fastest believable speed, m/s.
    pub max_speed_m_s: f64,
    /// Whether what is no session is left out: the way by car or bicycle, a watch forgotten on a shelf.
    pub leave_out: bool,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            bridge_s: 10.0,
            max_speed_m_s: 12.5,
            leave_out: true,
        }
    }
}

/// A fix on its way to become a point.
#[derive(Clone, Copy, Debug, Default)]
struct Draft {
    /// Seconds from the origin of the trace's clock.
    time_s: f64,
    position_m: Option<[f64; 2]>,
    speed_m_s: Option<f64>,
    heart_rate_bpm: Option<f64>,
    segment: u32,
    fix: u32,
    line: u64,
}

#[cfg(test)]
impl Draft {
    /// A fix with a place east of the origin and nothing else.
    fn east(time_s: f64, x_m: f64) -> Self {
        Self {
            time_s,
            position_m: Some([x_m, 0.0]),
            speed_m_s: None,
            heart_rate_bpm: None,
            segment: 0,
            fix: 0,
            line: 1,
        }
    }
}

/// How far two places lie apart, m.
pub(crate) fn apart_m(a: [f64; 2], b: [f64; 2]) -> f64 {
    length(b[0] - a[0], b[1] - a[1])
}

/// Cleans a trace.
///
/// # Errors
/// When fewer than two fixes remain, or all of them at one instant: there is no motion in that. When more was recorded than
/// [`RECORDED_H`] without the gaps.
pub fn clean(trace: &Trace, rules: &Rules) -> Result<Track, Error> {
    clean_fixes(trace, Cow::Borrowed(&trace.fixes), rules)
}

/// The same of a trace of which nobody needs the fixes any more: they go as soon as the track holds all that is needed of them.
pub(crate) fn clean_taking(trace: &mut Trace, rules: &Rules) -> Result<Track, Error> {
    let fixes = std::mem::take(&mut trace.fixes);
    clean_fixes(trace, Cow::Owned(fixes), rules)
}

/// Cleans the fixes that are, or were, those of a trace.
fn clean_fixes(trace: &Trace, fixes: Cow<'_, [Fix]>, rules: &Rules) -> Result<Track, Error> {
    let mut tally = Tally::new(&trace.set_aside);
    let mut notes = Vec::new();
    let in_file = fixes.len() + trace.set_aside.iter().map(|s| s.count).sum::<usize>();
    let is_local = |fix: &Fix| matches!(fix.position, Some(Position::Local { .. }));
    let north_up = !fixes.iter().any(is_local);
    let (drafts, frame) = place::locate(&fixes, &mut tally);
    let mut drafts = order::arrange(drafts, &mut tally, &mut notes);
    let (frame, left_out) = if rules.leave_out {
        session_alone(&fixes, &mut drafts, frame, &mut tally)
    } else {
        (frame, Vec::new())
    };
    drop(fixes);
    let mut drafts = outlier::set_aside(drafts, rules, &mut tally, &mut notes);
    agreement::check(&mut drafts, &mut notes);
    let (Some(first), Some(last)) = (drafts.first().copied(), drafts.last()) else {
        return Err(Error::NoUsableFix {
            set_aside: tally.finish(),
        });
    };
    if last.time_s <= first.time_s {
        return Err(Error::OneInstant {
            fixes: drafts.len(),
        });
    }
    let rate = gap::rate(&drafts);
    let (mut points, gaps) = gap::split(&drafts, first.time_s, rate, rules);
    let (mut gaps, pauses) = pause::part(&mut points, gaps, 1.0 / rate.hz.max(1e-3));
    // Where he was on the way nothing is unknown.
    gaps.retain(|gap| {
        let covers = |l: &LeftOut| gap.start_s <= l.start_s && l.end_s <= gap.end_s;
        !left_out.iter().any(covers)
    });
    notes.extend(pause::note(&pauses));
    let silent_s: f64 = gaps.iter().map(|gap| gap.end_s - gap.start_s).sum();
    let recorded_h = (last.time_s - first.time_s - silent_s) / 3600.0;
    if recorded_h > RECORDED_H {
        return Err(Error::TooLong { recorded_h });
    }
    Ok(Track {
        points,
        start: start(trace.clock, first.time_s),
        fixes: in_file,
        set_aside: tally.finish(),
        gaps,
        pauses,
        left_out,
        rate,
        north_up,
        frame,
        notes,
    })
}

/// Takes from the drafts those that are left out, and puts what stays in metres about its own middle: where that lies, and what is left
/// out.
fn session_alone(
    fixes: &[Fix],
    drafts: &mut Vec<Draft>,
    frame: Option<LocalFrame>,
    tally: &mut Tally,
) -> (Option<LocalFrame>, Vec<LeftOut>) {
    let found = left_out::find(drafts);
    if found.is_empty() {
        return (frame, Vec::new());
    }
    let mut ranges = found.iter().peekable();
    let mut k = 0;
    drafts.retain(|draft| {
        while ranges.next_if(|(range, _)| range.end <= k).is_some() {}
        let left_out = ranges.peek().filter(|(range, _)| range.contains(&k));
        if let Some((_, left_out)) = left_out {
            tally.add(left_out.reason.words(), draft.line);
        }
        k += 1;
        left_out.is_none()
    });
    // As if the recording had held nothing else.
    let frame = frame.and_then(|_| place::relocate(fixes, drafts));
    (
        frame,
        found.into_iter().map(|(_, left_out)| left_out).collect(),
    )
}

/// The clock moved to the session's start; the origin stays where the sum leaves the calendar.
fn start(clock: Clock, first_s: f64) -> Clock {
    let Ok(later) = jiff::SignedDuration::try_from_secs_f64(first_s) else {
        return clock;
    };
    match clock {
        Clock::Utc(origin) => Clock::Utc(origin.checked_add(later).unwrap_or(origin)),
        Clock::ZoneUnknown(origin) => {
            Clock::ZoneUnknown(origin.checked_add(later).unwrap_or(origin))
        }
        Clock::Elapsed => Clock::Elapsed,
    }
}
