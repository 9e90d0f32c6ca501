//! "Did I hit top speed?" in words, the same in the account and on the page.

use super::layout::{clock, count, short};
use crate::motion::SpeedFrom;
use crate::review::mark::{self, Marks, Run};
use crate::review::{Fits, Reached};
use crate::session::Session;
use crate::units::SpeedUnit;

/// Receivers slower than this leave more open than their runs do, Hz.
const FAST_HZ: f64 = 8.0;

/// The marks of a session: of the blocks of its plan, else of its sprints.
pub(super) fn of(session: &Session) -> Vec<Marks> {
    let marks = match (&session.plan, &session.review.plan) {
        (Some(plan), Some(review)) if review.fits != Fits::No => mark::asked(plan, review),
        _ => mark::sprints(&session.efforts, &session.settings.review)
            .into_iter()
            .collect(),
    };
    let found = |m: &Marks| !m.runs.is_empty();
    marks.into_iter().filter(found).collect()
}

/// The question that they answer.
pub(super) fn question(marks: &[Marks]) -> &'static str {
    if marks.iter().any(|m| m.share.is_some()) {
        "Did I hit top speed?"
    } else {
        "Did I hit the speed asked for?"
    }
}

/// The mark: `at 95 % of top speed, 8.17 m/s`.
pub(super) fn asked(marks: &Marks, speeds: SpeedUnit) -> String {
    let share = marks.share.map_or_else(String::new, |share| {
        format!("{} % of top speed, ", short(100.0 * share, 1))
    });
    format!("{share}{}", speeds.text(marks.mark_m_s, 2))
}

/// How many reached it, one by one and together.
pub(super) fn tally(marks: &Marks) -> String {
    let [yes, no, open] = [Reached::Yes, Reached::No, Reached::Unclear].map(|r| marks.count(r));
    let of = marks.planned;
    let mut parts = vec![format!("{yes} of {of} surely")];
    if no > 0 {
        parts.push(format!("{no} surely not"));
    }
    if open > 0 {
        parts.push(format!("of {open} this receiver cannot tell"));
    }
    let unseen = of.saturating_sub(marks.runs.len());
    if unseen > 0 {
        parts.push(format!("{unseen} not found"));
    }
    let together = if open == 0 {
        String::new()
    } else if marks.at_least > 0 {
        format!(". Together: at least {} of {of} (95 %)", marks.at_least)
    } else {
        format!(". That at least one did: {}", percent(marks.one))
    };
    parts.join(", ") + &together
}

/// One run: its peak, interval and probability.
pub(super) fn run(marks: &Marks, run: &Run, speeds: SpeedUnit) -> String {
    let peak = run.peak_m_s;
    format!(
        "{} {} ({}), {}",
        name(marks, run),
        speeds.text(peak.value, 2),
        speeds.ends(peak),
        percent(run.probability)
    )
}

/// The best as a share of top speed.
pub(super) fn best(marks: &Marks) -> Option<String> {
    let best = marks.best()?;
    let share = best.of_top_speed?;
    Some(format!(
        "{}, {:.0} % of top speed ({:.0} to {:.0})",
        name(marks, best),
        100.0 * share.value,
        100.0 * share.low,
        100.0 * share.high
    ))
}

/// What would settle those that are open, for all marks together.
pub(super) fn settle(session: &Session, marks: &[Marks]) -> Option<&'static str> {
    let open: usize = marks.iter().map(|m| m.count(Reached::Unclear)).sum();
    let slow = session.track.rate.hz < FAST_HZ || session.motion.speed_from == SpeedFrom::Position;
    match (open, slow) {
        (0, _) => None,
        (_, true) => Some("a receiver that writes speed 10 times a second, or longer runs"),
        (_, false) => Some("longer runs, which hold their top speed for longer"),
    }
}

/// How many runs are not listed.
pub(super) fn more(runs: usize) -> String {
    format!("and {} more, all with --json", count(runs, "run", "runs"))
}

fn name(marks: &Marks, run: &Run) -> String {
    match run.set {
        None => format!("at {}", clock(run.start_s)),
        Some(set) if marks.runs.iter().any(|r| r.set != Some(set)) => {
            format!("rep {set}.{}", run.index)
        }
        Some(_) => format!("rep {}", run.index),
    }
}

/// A probability in whole per cent; none is ever certain.
fn percent(probability: f64) -> String {
    match 100.0 * probability {
        p if p < 1.0 => "<1 %".to_owned(),
        p if p > 99.0 => ">99 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}
