//! How well receivers could judge a plan, as one JSON document, `repledger/simulation/1`.
//!
//! The shape is defined here and nowhere else. Every field is described in [`SCHEMA`]. `null` is "there was nothing to
//! count or measure", never 0.

use serde::Serialize;

use super::parts::{pretty, to_thousandth};
use super::words;
use crate::plan;
use crate::simulation::outlook::{self, Intervals, Outlook, ReceiverOutlook, Shares};
use crate::simulation::{Rep, Simulated};

/// The name and version of the shape.
pub const NAME: &str = "repledger/simulation/1";

/// The JSON Schema (draft 2020-12) of the document, with a description of every field.
pub const SCHEMA: &str = include_str!("simulation.schema.json");

/// Writes the outlook, pretty-printed and ended by a line feed; `kept` is the recording that was kept, if one was.
///
/// # Errors
/// Only where the writer itself fails; no outlook is refused.
pub fn render(outlook: &Outlook, kept: Option<&Simulated>) -> Result<String, serde_json::Error> {
    pretty(&Document::of(outlook, kept))
}

#[derive(Serialize)]
struct Document {
    schema: &'static str,
    title: Option<String>,
    top_speed_m_s: Option<f64>,
    sessions: u32,
    seed: u64,
    thresholds: Thresholds,
    receivers: Vec<Receiver>,
    kept: Option<Kept>,
}

#[derive(Serialize)]
struct Thresholds {
    resolved: f64,
    right: f64,
    seen: f64,
}

#[derive(Serialize)]
struct Receiver {
    name: &'static str,
    description: &'static str,
    sessions_failed: usize,
    blocks: Vec<Block>,
    all: Counted,
}

#[derive(Serialize)]
struct Block {
    index: usize,
    category: &'static str,
    name: Option<String>,
    tidy: String,
    judged: &'static str,
    counts: Counted,
}

#[derive(Serialize)]
struct Counted {
    planned: usize,
    resolved: usize,
    right: usize,
    not_done: usize,
    named: usize,
    sets: usize,
    seen: usize,
    with_mark: usize,
    reached_answered: usize,
    reached_right: usize,
    work_s: Option<Interval>,
    peak_speed_m_s: Option<Interval>,
    distance_m: Option<Interval>,
    rest_s: Option<Interval>,
}

#[derive(Serialize)]
struct Interval {
    width: f64,
    count: usize,
    held: usize,
}

#[derive(Serialize)]
struct Kept {
    receiver: &'static str,
    format: &'static str,
    start: String,
    duration_s: f64,
    distance_m: f64,
    top_speed_m_s: f64,
    not_done: Vec<NotDone>,
    unplanned: Vec<Unplanned>,
}

#[derive(Serialize)]
struct NotDone {
    block: usize,
    set: usize,
    rep: usize,
    truth: &'static str,
    start_s: Option<f64>,
    end_s: Option<f64>,
}

#[derive(Serialize)]
struct Unplanned {
    kind: &'static str,
    start_s: f64,
    end_s: f64,
}

impl Document {
    fn of(outlook: &Outlook, kept: Option<&Simulated>) -> Self {
        Self {
            schema: NAME,
            title: outlook.plan.header.title.clone(),
            top_speed_m_s: outlook.plan.header.top_speed_m_s,
            sessions: outlook.study.sessions,
            seed: outlook.study.seed,
            thresholds: Thresholds {
                resolved: outlook::RESOLVED,
                right: outlook::RIGHT,
                seen: outlook::SEEN,
            },
            receivers: (outlook.receivers.iter())
                .map(|receiver| Receiver::of(receiver, &outlook.plan.blocks))
                .collect(),
            kept: kept.map(Kept::of),
        }
    }
}

impl Receiver {
    fn of(receiver: &ReceiverOutlook, blocks: &[plan::Block]) -> Self {
        let block = |(told, block): (&outlook::BlockOutlook, &plan::Block)| Block {
            index: told.index,
            category: block.category.word(),
            name: block.name.clone(),
            tidy: block.to_string(),
            judged: words::judged(told.judged),
            counts: Counted::of(&told.shares),
        };
        Self {
            name: receiver.kind.word(),
            description: receiver.kind.description(),
            sessions_failed: receiver.failed,
            blocks: receiver.blocks.iter().zip(blocks).map(block).collect(),
            all: Counted::of(&receiver.all),
        }
    }
}

impl Counted {
    fn of(shares: &Shares) -> Self {
        Self {
            planned: shares.planned,
            resolved: shares.resolved,
            right: shares.right,
            not_done: shares.not_done,
            named: shares.named,
            sets: shares.sets,
            seen: shares.seen,
            with_mark: shares.marked,
            reached_answered: shares.answered,
            reached_right: shares.answered_right,
            work_s: shares.work_s.map(Interval::of),
            peak_speed_m_s: shares.peak_speed_m_s.map(Interval::of),
            distance_m: shares.distance_m.map(Interval::of),
            rest_s: shares.rest_s.map(Interval::of),
        }
    }
}

impl Interval {
    fn of(intervals: Intervals) -> Self {
        Self {
            width: to_thousandth(intervals.width),
            count: intervals.count,
            held: intervals.held,
        }
    }
}

impl Kept {
    fn of(simulated: &Simulated) -> Self {
        let truth = &simulated.truth;
        Self {
            receiver: simulated.receiver.kind.word(),
            format: words::recorded_as(simulated.recording.format),
            start: truth.start.to_string(),
            duration_s: to_thousandth(truth.duration_s()),
            distance_m: to_thousandth(truth.distance_m),
            top_speed_m_s: to_thousandth(truth.top_speed_m_s),
            not_done: truth.reps.iter().filter_map(NotDone::of).collect(),
            unplanned: (truth.unplanned.iter())
                .map(|u| Unplanned {
                    kind: words::unplanned(u.kind),
                    start_s: to_thousandth(u.run.start_s),
                    end_s: to_thousandth(u.run.end_s),
                })
                .collect(),
        }
    }
}

impl NotDone {
    fn of(rep: &Rep) -> Option<Self> {
        Some(Self {
            block: rep.block,
            set: rep.set,
            rep: rep.rep,
            truth: words::not_done(rep.outcome)?,
            start_s: rep.run.map(|r| to_thousandth(r.start_s)),
            end_s: rep.run.map(|r| to_thousandth(r.end_s)),
        })
    }
}
