//! The review as one JSON document, `repledger/review/1`.
//!
//! The shape is defined here and nowhere else, so that renaming a field of a stage breaks nobody's script. Every field
//! is described in [`SCHEMA`]. `null` is "not known", never 0; numbers that are not finite are not known either.

use serde::Serialize;

use super::parts::{
    Band, Counts, Interval, QUANTITY_DECIMALS, SHARE_DECIMALS, TIME_DECIMALS, interval, maybe,
    pretty, quantity, rounded, time,
};
use super::pitch_json::Pitch;
use super::profile_json::Profile;
use super::words;
use crate::plan::Category;
use crate::review::{
    BlockReview, Fits, PlanReview, Reached, RepReview, SetReview, Unplanned, mark,
};
use crate::session::Session;
use crate::trace::Format;
use crate::{efforts, motion, plan, review, track};

/// The name and version of the shape.
pub const NAME: &str = "repledger/review/1";

/// The JSON Schema (draft 2020-12) of the document, with a description of every field.
pub const SCHEMA: &str = include_str!("review.schema.json");

/// Writes the review of a session, pretty-printed and ended by a line feed.
///
/// # Errors
/// Only where the writer itself fails; no content of a session is refused.
pub fn render(session: &Session) -> Result<String, serde_json::Error> {
    pretty(&Document::of(session))
}

/// The review of a session on one line with the name of its recording, for many of them after each other.
///
/// # Errors
/// Only where the writer itself fails.
pub fn line(name: &str, session: &Session) -> Result<String, serde_json::Error> {
    ended(serde_json::to_string(&Line {
        name,
        review: Some(Document::of(session)),
        error: None,
    }))
}

/// The line of a recording that could not be reviewed.
///
/// # Errors
/// Only where the writer itself fails.
pub fn error_line(name: &str, error: &str) -> Result<String, serde_json::Error> {
    ended(serde_json::to_string(&Line {
        name,
        review: None,
        error: Some(error),
    }))
}

fn ended(text: Result<String, serde_json::Error>) -> Result<String, serde_json::Error> {
    text.map(|text| text + "\n")
}

#[derive(Serialize)]
struct Line<'a> {
    name: &'a str,
    review: Option<Document<'a>>,
    error: Option<&'a str>,
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    session: SessionPart<'a>,
    recording: Recording<'a>,
    totals: Totals<'a>,
    efforts: Vec<Effort>,
    efforts_counts: EffortsCounts,
    efforts_not_counted: Option<&'a str>,
    sequences: Vec<Sequence>,
    plan: Option<Plan<'a>>,
    profile: Option<Profile>,
    pitch: Option<Pitch<'a>>,
    notes: &'a [String],
    sprints_reached: Option<Asked>,
}

#[derive(Serialize)]
struct SessionPart<'a> {
    start: Option<String>,
    duration_s: Option<f64>,
    title: Option<&'a str>,
    athlete: Option<&'a str>,
}

#[derive(Serialize)]
struct Recording<'a> {
    fixes: usize,
    used: usize,
    rate_hz: Option<f64>,
    speed_from: &'static str,
    set_aside: Vec<SetAside<'a>>,
    gaps: Vec<Gap>,
    pauses: Vec<Gap>,
    left_out: Vec<LeftOut>,
    irregular: bool,
    format: &'static str,
    device: Option<Device>,
    device_name: Option<&'a str>,
    device_recordings: usize,
}

#[derive(Serialize)]
struct SetAside<'a> {
    reason: &'a str,
    count: usize,
    first_line: Option<u64>,
}

#[derive(Serialize)]
struct Gap {
    start_s: Option<f64>,
    end_s: Option<f64>,
}

#[derive(Serialize)]
struct LeftOut {
    reason: &'static str,
    start_s: Option<f64>,
    end_s: Option<f64>,
    distance_m: Option<f64>,
    top_speed_m_s: Option<f64>,
}

#[derive(Serialize)]
struct Totals<'a> {
    distance_m: Option<Interval>,
    top_speed_m_s: Option<Interval>,
    bands: Vec<Band<'a>>,
}

#[derive(Serialize)]
struct Effort {
    kind: &'static str,
    start_s: Option<f64>,
    end_s: Option<f64>,
    duration_s: Option<f64>,
    distance_m: Option<f64>,
    peak_speed_m_s: Option<Interval>,
    peak_acceleration_m_s2: Option<Interval>,
    turn_deg: Option<f64>,
    near_threshold: bool,
    probability: Option<f64>,
    reached_probability: Option<f64>,
}

#[derive(Serialize)]
struct EffortsCounts {
    sprint: Option<Count>,
    high_speed_run: Option<Count>,
    acceleration: Option<Count>,
    deceleration: Option<Count>,
    turn: Option<Count>,
}

#[derive(Serialize)]
struct Count {
    value: f64,
    low: Option<f64>,
    high: Option<f64>,
}

#[derive(Serialize)]
struct Device {
    position_lag_s: Option<Interval>,
    position_unfiltered: Option<f64>,
    speed_lag_s: Option<Interval>,
    speed_unfiltered: Option<f64>,
    words: String,
}

#[derive(Serialize)]
struct Sequence {
    start_s: Option<f64>,
    end_s: Option<f64>,
    sprints: usize,
    mean_recovery_s: Option<f64>,
}

#[derive(Serialize)]
struct Plan<'a> {
    blocks: Vec<Block<'a>>,
    unplanned: Vec<UnplannedWork>,
    fits: &'static str,
    counts: Counts,
    top_speed: Option<TopSpeed>,
}

#[derive(Serialize)]
struct Block<'a> {
    index: usize,
    category: &'static str,
    name: Option<&'a str>,
    with_ball: bool,
    verdict: Option<&'static str>,
    start_s: Option<f64>,
    end_s: Option<f64>,
    sets: Vec<Set<'a>>,
    reached: Option<Asked>,
}

#[derive(Serialize)]
struct Asked {
    mark_m_s: Option<f64>,
    of_top_speed: Option<f64>,
    planned: usize,
    yes: usize,
    no: usize,
    unclear: usize,
    at_least: usize,
    one_probability: Option<f64>,
}

#[derive(Serialize)]
struct Set<'a> {
    index: usize,
    rest_after_s: Option<f64>,
    rest_after_planned_s: Option<f64>,
    reps: Vec<Rep<'a>>,
    rest_after_verdict: Option<&'static str>,
    decrement_percent: Option<f64>,
    reps_done: Option<Interval>,
}

#[derive(Serialize)]
struct Rep<'a> {
    index: usize,
    verdict: &'static str,
    probability: Option<f64>,
    start_s: Option<f64>,
    end_s: Option<f64>,
    work_s: Option<f64>,
    work_planned_s: Option<f64>,
    distance_m: Option<Interval>,
    distance_planned_m: Option<f64>,
    peak_speed_m_s: Option<Interval>,
    of_top_speed: Option<Interval>,
    reached: Option<&'static str>,
    rest_s: Option<f64>,
    rest_planned_s: Option<f64>,
    rest_verdict: Option<&'static str>,
    why: Option<&'a str>,
    work_interval_s: Option<Interval>,
    rest_interval_s: Option<Interval>,
    heart_rate_end_bpm: Option<f64>,
    heart_rate_drop_bpm: Option<f64>,
    reached_probability: Option<f64>,
}

#[derive(Serialize)]
struct UnplannedWork {
    start_s: Option<f64>,
    end_s: Option<f64>,
    distance_m: Option<Interval>,
    peak_speed_m_s: Option<Interval>,
}

#[derive(Serialize)]
struct TopSpeed {
    speed_m_s: Option<Interval>,
    source: &'static str,
}

impl<'a> Document<'a> {
    fn of(session: &'a Session) -> Self {
        let planned = session.review.plan.as_ref();
        let sprints = mark::sprints(&session.efforts, &session.settings.review)
            .filter(|_| planned.is_none_or(|p| p.fits == Fits::No));
        let sprint_mark = sprints.as_ref().map(|s| s.mark_m_s);
        Self {
            schema: NAME,
            session: SessionPart {
                start: session.track.start.text(),
                duration_s: session.track.end_s().and_then(time),
                title: session.title.as_deref(),
                athlete: session.athlete.as_deref(),
            },
            recording: Recording::of(session),
            totals: Totals::of(&session.review.totals),
            efforts: (session.efforts.list.iter())
                .map(|effort| Effort::of(effort, sprint_mark))
                .collect(),
            efforts_counts: EffortsCounts::of(&session.efforts),
            efforts_not_counted: session.efforts.not_counted.as_deref(),
            sequences: session.efforts.sequences.iter().map(Sequence::of).collect(),
            plan: planned.map(|review| Plan::of(session.plan.as_ref(), review)),
            profile: Profile::of(&session.profile),
            pitch: Pitch::of(session),
            notes: &session.review.notes,
            sprints_reached: sprints.as_ref().map(Asked::of),
        }
    }
}

impl<'a> Recording<'a> {
    fn of(session: &'a Session) -> Self {
        let track = &session.track;
        Self {
            fixes: track.fixes,
            used: track.points.len(),
            rate_hz: quantity(track.rate.hz),
            speed_from: words::speed_from(session.motion.speed_from),
            set_aside: track
                .set_aside
                .iter()
                .map(|s| SetAside {
                    reason: &s.reason,
                    count: s.count,
                    first_line: s.first_line,
                })
                .collect(),
            gaps: track
                .gaps
                .iter()
                .map(|g| Gap::between(g.start_s, g.end_s))
                .collect(),
            pauses: track
                .pauses
                .iter()
                .map(|p| Gap::between(p.start_s, p.end_s))
                .collect(),
            left_out: track.left_out.iter().map(LeftOut::of).collect(),
            irregular: track.rate.irregular,
            format: match session.format {
                Format::Gpx { .. } => "gpx",
                Format::Csv { .. } => "csv",
            },
            device: session.motion.doubts.device.map(Device::of),
            device_name: session.device.as_deref(),
            device_recordings: session.motion.doubts.known,
        }
    }
}

impl Device {
    fn of(device: motion::Device) -> Self {
        let lag = |lag: Option<motion::Lag>| {
            lag.and_then(|l| interval(l.interval_s(), QUANTITY_DECIMALS))
        };
        let none = |lag: Option<motion::Lag>| lag.and_then(|l| rounded(l.none, 3));
        Self {
            position_lag_s: lag(device.position),
            position_unfiltered: none(device.position),
            speed_lag_s: lag(device.speed),
            speed_unfiltered: none(device.speed),
            words: words::device(device),
        }
    }
}

impl EffortsCounts {
    fn of(efforts: &efforts::Efforts) -> Self {
        let count = |kind| {
            efforts.count(kind).map(|count| match count {
                efforts::Count::Likely(count) => Count {
                    value: rounded(count.value, 2).unwrap_or(0.0),
                    low: rounded(count.low, 2),
                    high: rounded(count.high, 2),
                },
                efforts::Count::Found(found) => Count {
                    value: found as f64,
                    low: None,
                    high: None,
                },
            })
        };
        Self {
            sprint: count(efforts::Kind::Sprint),
            high_speed_run: count(efforts::Kind::HighSpeedRun),
            acceleration: count(efforts::Kind::Acceleration),
            deceleration: count(efforts::Kind::Deceleration),
            turn: count(efforts::Kind::Turn),
        }
    }
}

impl Gap {
    fn between(start_s: f64, end_s: f64) -> Self {
        Self {
            start_s: time(start_s),
            end_s: time(end_s),
        }
    }
}

impl LeftOut {
    fn of(left_out: &track::LeftOut) -> Self {
        Self {
            reason: words::left_out(left_out.reason),
            start_s: time(left_out.start_s),
            end_s: time(left_out.end_s),
            distance_m: quantity(left_out.distance_m),
            top_speed_m_s: quantity(left_out.top_speed_m_s),
        }
    }
}

impl<'a> Totals<'a> {
    fn of(totals: &'a review::Totals) -> Self {
        Self {
            distance_m: interval(totals.distance_m, QUANTITY_DECIMALS),
            top_speed_m_s: maybe(totals.top_speed_m_s, QUANTITY_DECIMALS),
            bands: totals.bands.iter().map(Band::of).collect(),
        }
    }
}

impl Effort {
    fn of(effort: &efforts::Effort, sprint_mark_m_s: Option<f64>) -> Self {
        let mark = sprint_mark_m_s.filter(|_| effort.kind == efforts::Kind::Sprint);
        Self {
            kind: words::kind(effort.kind),
            start_s: time(effort.start_s),
            end_s: time(effort.end_s),
            duration_s: time(effort.end_s - effort.start_s),
            distance_m: quantity(effort.distance_m),
            peak_speed_m_s: interval(effort.peak_speed_m_s, QUANTITY_DECIMALS),
            peak_acceleration_m_s2: maybe(effort.peak_acceleration_m_s2, QUANTITY_DECIMALS),
            turn_deg: effort.turn_deg.and_then(|d| rounded(d, 1)),
            near_threshold: effort.near_threshold,
            probability: effort.probability.and_then(|p| rounded(p, 3)),
            reached_probability: mark
                .and_then(|m| rounded(mark::probability(effort.peak_speed_m_s, m), SHARE_DECIMALS)),
        }
    }
}

impl Sequence {
    fn of(sequence: &efforts::Sequence) -> Self {
        Self {
            start_s: time(sequence.start_s),
            end_s: time(sequence.end_s),
            sprints: sequence.sprints,
            mean_recovery_s: time(sequence.mean_recovery_s),
        }
    }
}

impl<'a> Plan<'a> {
    fn of(written: Option<&plan::Plan>, plan: &'a PlanReview) -> Self {
        let asked = written.map_or_else(Vec::new, |written| mark::asked(written, plan));
        let of = |block: &BlockReview| asked.iter().find(|a| a.block == Some(block.index));
        Self {
            blocks: (plan.blocks.iter())
                .map(|block| Block::of(block, of(block)))
                .collect(),
            unplanned: plan.unplanned.iter().map(UnplannedWork::of).collect(),
            fits: words::fits(plan.fits),
            counts: Counts::of(plan.counts),
            top_speed: plan.top_speed.map(|t| TopSpeed {
                speed_m_s: interval(t.speed_m_s, QUANTITY_DECIMALS),
                source: words::top_speed_source(t.source),
            }),
        }
    }
}

impl<'a> Block<'a> {
    fn of(block: &'a BlockReview, asked: Option<&mark::Marks>) -> Self {
        let mark_m_s = asked.map(|a| a.mark_m_s);
        Self {
            index: block.index,
            category: block.category.word(),
            name: block.name.as_deref(),
            with_ball: block.with_ball,
            // What no recording shows is never judged.
            verdict: (block.category != Category::Gym).then(|| words::block_verdict(block.verdict)),
            start_s: block.start_s.and_then(time),
            end_s: block.end_s.and_then(time),
            sets: (block.sets.iter())
                .map(|set| Set::of(set, mark_m_s))
                .collect(),
            reached: asked.map(Asked::of),
        }
    }
}

impl Asked {
    fn of(marks: &mark::Marks) -> Self {
        Self {
            mark_m_s: quantity(marks.mark_m_s),
            of_top_speed: marks.share.and_then(|s| rounded(s, SHARE_DECIMALS)),
            planned: marks.planned,
            yes: marks.count(Reached::Yes),
            no: marks.count(Reached::No),
            unclear: marks.count(Reached::Unclear),
            at_least: marks.at_least,
            one_probability: rounded(marks.one, SHARE_DECIMALS),
        }
    }
}

impl<'a> Set<'a> {
    fn of(set: &'a SetReview, mark_m_s: Option<f64>) -> Self {
        Self {
            index: set.index,
            rest_after_s: set.rest_after_s.and_then(time),
            rest_after_planned_s: set.rest_after_planned_s.and_then(time),
            reps: (set.reps.iter())
                .map(|rep| Rep::of(rep, mark_m_s))
                .collect(),
            rest_after_verdict: set.rest_after_verdict.map(words::rest_verdict),
            decrement_percent: set
                .decrement_percent
                .and_then(|p| rounded(p, SHARE_DECIMALS)),
            reps_done: set.reps_done.and_then(|m| interval(m, 0)),
        }
    }
}

impl<'a> Rep<'a> {
    fn of(rep: &'a RepReview, mark_m_s: Option<f64>) -> Self {
        let held = rep
            .peak_speed_m_s
            .zip(mark_m_s)
            .filter(|_| rep.reached.is_some());
        Self {
            index: rep.index,
            verdict: words::verdict(rep.verdict),
            probability: rep.probability.and_then(|p| rounded(p, SHARE_DECIMALS)),
            start_s: rep.start_s.and_then(time),
            end_s: rep.end_s.and_then(time),
            work_s: rep.work_s.and_then(|w| time(w.value)),
            work_planned_s: rep.work_planned_s.and_then(time),
            distance_m: maybe(rep.distance_m, QUANTITY_DECIMALS),
            distance_planned_m: rep.distance_planned_m.and_then(quantity),
            peak_speed_m_s: maybe(rep.peak_speed_m_s, QUANTITY_DECIMALS),
            of_top_speed: maybe(rep.of_top_speed, SHARE_DECIMALS),
            reached: rep.reached.map(words::reached),
            rest_s: rep.rest_s.and_then(|r| time(r.value)),
            rest_planned_s: rep.rest_planned_s.and_then(time),
            rest_verdict: rep.rest_verdict.map(words::rest_verdict),
            why: rep.why.as_deref(),
            work_interval_s: maybe(rep.work_s, TIME_DECIMALS),
            rest_interval_s: maybe(rep.rest_s, TIME_DECIMALS),
            heart_rate_end_bpm: rep.heart_rate_end_bpm.and_then(|h| rounded(h, 1)),
            heart_rate_drop_bpm: rep.heart_rate_drop_bpm.and_then(|h| rounded(h, 1)),
            reached_probability: held
                .and_then(|(peak, mark)| rounded(mark::probability(peak, mark), SHARE_DECIMALS)),
        }
    }
}

impl UnplannedWork {
    fn of(work: &Unplanned) -> Self {
        Self {
            start_s: time(work.start_s),
            end_s: time(work.end_s),
            distance_m: interval(work.distance_m, QUANTITY_DECIMALS),
            peak_speed_m_s: interval(work.peak_speed_m_s, QUANTITY_DECIMALS),
        }
    }
}
