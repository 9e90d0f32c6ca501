//! Distils a reviewed session into what the diary keeps of it.

use jiff::civil::Date;
use jiff::tz::Offset;

use crate::diary::{
    Activity, Block, BlockHeart, Effort, Heart, NewEntry, Reading, Recorded, Recording, Rep, Rest,
    Source,
};
use crate::efforts::{Efforts, Kind};
use crate::plan::Category;
use crate::review::{BlockReview, PlanReview, Reason, RestVerdict};
use crate::session::Session;
use crate::trace::{Clock, DateOrder};

/// What a session does not know of itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Circumstances {
    /// Whose it is; empty where nobody is named.
    pub athlete: String,
    /// The day.
    pub date: Date,
    /// Rating of perceived exertion, 0 to 10.
    pub rpe: Option<f64>,
    /// What was written beside it.
    pub note: Option<String>,
    /// What was done.
    pub activity: Activity,
    /// Where the recording came from.
    pub source: Source,
    /// The plan's text, where there was a plan.
    pub plan: Option<String>,
    /// The settings that differ from the defaults, a line each.
    pub settings: String,
    /// The plan of the diary that it did.
    pub planned: Option<i64>,
}

impl NewEntry {
    /// What the diary keeps of a session; `words` says why a rep was not done, which stays as it was said then.
    #[must_use]
    pub fn of(
        session: &Session,
        circumstances: Circumstances,
        words: fn(&Reason) -> String,
    ) -> Self {
        let Circumstances {
            athlete,
            date,
            rpe,
            note,
            activity,
            source,
            plan,
            settings,
            planned,
        } = circumstances;
        Self {
            athlete,
            date,
            activity,
            title: session.title.clone(),
            duration_s: duration_s(session),
            rpe,
            note,
            planned,
            match_day: session.plan.as_ref().and_then(|p| p.header.match_day),
            recording: Some(Recording {
                summary: Recorded::of(session),
                source: Source {
                    start: session.track.start.text(),
                    ..source
                },
                efforts: efforts(&session.efforts),
                blocks: session.review.plan.as_ref().map_or_else(Vec::new, |plan| {
                    let blocks = plan.blocks.iter();
                    blocks.map(|of| block(session, of, words)).collect()
                }),
                plan,
                settings,
                reading: Reading {
                    columns: session.settings.trace.columns.clone(),
                    day_first: session
                        .settings
                        .trace
                        .dates
                        .map(|order| order == DateOrder::DayMonthYear),
                },
                version: env!("CARGO_PKG_VERSION").to_owned(),
                device: session.device.clone(),
                witness: Some(session.motion.doubts.witness.clone()),
                fits: session.review.plan.as_ref().map(|plan| plan.fits),
                earlier_top: session.settings.review.earlier_top,
            }),
        }
    }
}

impl Recorded {
    /// The sums of a session.
    ///
    /// # Definition
    /// Fast distances are those of the bands from the threshold on. A peak belongs to each run at high speed, and to each sprint
    /// that lies in none: with the usual thresholds every sprint lies in one and has no second peak.
    #[must_use]
    pub fn of(session: &Session) -> Self {
        let totals = &session.review.totals;
        let edges = &session.settings.efforts.bands;
        let thresholds_m_s = [edges.high_speed_m_s, edges.sprint_m_s];
        let best = session.profile.best().map(|(_, fit)| fit);
        Self {
            distance_m: totals.distance_m,
            top_speed_m_s: totals.top_speed_m_s,
            bands: totals.bands.clone(),
            thresholds_m_s,
            fast_m: thresholds_m_s.map(|from_m_s| {
                totals
                    .bands
                    .iter()
                    .filter(|band| band.from_m_s >= from_m_s)
                    .map(|band| band.distance_m)
                    .sum()
            }),
            peaks_m_s: session
                .efforts
                .list
                .iter()
                .filter(|effort| match effort.kind {
                    Kind::HighSpeedRun => true,
                    Kind::Sprint => !session
                        .efforts
                        .of_kind(Kind::HighSpeedRun)
                        .any(|run| run.start_s < effort.end_s && effort.start_s < run.end_s),
                    _ => false,
                })
                .map(|effort| effort.peak_speed_m_s)
                .collect(),
            sprints: session.efforts.of_kind(Kind::Sprint).count(),
            counts: session.review.plan.as_ref().map(|plan| plan.counts),
            rests: session.review.plan.as_ref().map_or([0, 0], rests),
            curve_top_m_s: best.map(|fit| fit.vmax_m_s),
            splits: best.map_or_else(Vec::new, |fit| fit.splits.clone()),
            rate_hz: session.track.rate.hz,
            speed_planned: (session.plan.iter().flat_map(|plan| &plan.blocks))
                .any(|block| block.category == Category::Speed),
            heart: Heart::of(session),
        }
    }
}

/// From the first to the last fix, s.
#[must_use]
pub(crate) fn duration_s(session: &Session) -> f64 {
    session
        .track
        .points
        .last()
        .map_or(0.0, |point| point.time_s)
}

/// The day of a moment of a recording by a clock that is `offset` before universal time; `None` where no clock was recorded.
///
/// A file without a zone is taken to go by the athlete's own clock.
#[must_use]
pub fn local_date(clock: Clock, offset: Offset) -> Option<Date> {
    match clock {
        Clock::Utc(start) => Some(offset.to_datetime(start).date()),
        Clock::ZoneUnknown(start) => Some(start.date()),
        Clock::Elapsed => None,
    }
}

fn efforts(efforts: &Efforts) -> Vec<Effort> {
    efforts
        .list
        .iter()
        .map(|effort| Effort {
            kind: effort.kind,
            start_s: effort.start_s,
            duration_s: effort.duration_s(),
            distance_m: effort.distance_m,
            peak_speed_m_s: effort.peak_speed_m_s,
            peak_acceleration_m_s2: effort.peak_acceleration_m_s2,
            turn_deg: effort.turn_deg,
            probability: Some(effort.probability),
        })
        .collect()
}

/// Rests that were kept, and those that were judged: self-paced ones and those not seen are not.
fn rests(plan: &PlanReview) -> [usize; 2] {
    let sets = || plan.blocks.iter().flat_map(|block| &block.sets);
    let verdicts = || {
        sets()
            .flat_map(|set| &set.reps)
            .map(|rep| rep.rest_verdict)
            .chain(sets().map(|set| set.rest_after_verdict))
            .flatten()
            .filter(|verdict| *verdict != RestVerdict::Free)
    };
    let kept = verdicts().filter(|v| *v == RestVerdict::Kept).count();
    [kept, verdicts().count()]
}

fn block(session: &Session, block: &BlockReview, words: fn(&Reason) -> String) -> Block {
    let mut reps = Vec::new();
    let mut rests = Vec::new();
    for set in &block.sets {
        for rep in &set.reps {
            reps.push(Rep::of(set.index, rep, words));
            let (rest_s, planned_s) = (rep.rest_s, rep.rest_planned_s);
            let after = (set.index, Some(rep.index));
            rests.extend(Rest::of(after, rest_s, planned_s, rep.rest_verdict));
        }
        let (rest_s, planned_s) = (set.rest_after_s, set.rest_after_planned_s);
        let after = (set.index, None);
        rests.extend(Rest::of(after, rest_s, planned_s, set.rest_after_verdict));
    }
    Block {
        review: BlockReview {
            name: block.name.clone(),
            sets: Vec::new(),
            reps_done: None,
            ..*block
        },
        reps,
        rests,
        heart: BlockHeart::of(session, block),
    }
}
