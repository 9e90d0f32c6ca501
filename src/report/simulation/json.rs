//! How well receivers could judge a plan, as one JSON document, `repledger/simulation/1`.
//!
//! The shape is defined here and nowhere else. Every field is described in [`schema()`]. `null` is "there was nothing to
//! count or measure", never 0.

use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::{self, Category};
use crate::report::parts::{pretty, to_thousandth};
use crate::report::{schema, words};
use crate::simulation::outlook::{self, Intervals, Outlook, ReceiverOutlook, Shares};
use crate::simulation::{Kind, Rep, Simulated};

/// The name and version of the shape.
pub const NAME: &str = "repledger/simulation/1";

/// The JSON Schema of the document, with a description of every field.
///
/// # Errors
/// Only where the writer itself fails.
pub fn schema() -> Result<String, serde_json::Error> {
    schema::of::<Document>(NAME)
}

/// Writes the outlook, pretty-printed and ended by a line feed; `kept` is the recording that was kept, if one was.
///
/// # Errors
/// Only where the writer itself fails; no outlook is refused.
pub fn render(outlook: &Outlook, kept: Option<&Simulated>) -> Result<String, serde_json::Error> {
    pretty(&Document::of(outlook, kept))
}

/// How well receivers could judge a plan, counted over simulated sessions: half keep to the plan, half depart from
/// it. null is 'there was nothing to count or measure', never 0.
#[derive(Serialize, JsonSchema)]
struct Document {
    /// Name and version of this shape.
    #[schemars(extend("const" = NAME))]
    schema: &'static str,
    /// From the plan's header.
    title: Option<String>,
    /// The athlete's top speed, m/s: the plan's, else the settings'; null when each session has an athlete drawn from
    /// the range of footballers.
    top_speed_m_s: Option<f64>,
    /// Simulated sessions a receiver.
    #[schemars(range(min = 1))]
    sessions: u32,
    /// The same plan, settings and seed give the same numbers.
    seed: u64,
    /// What `judged` goes by, shares from 0 to 1.
    thresholds: Thresholds,
    /// In the order asked.
    #[schemars(length(min = 1))]
    receivers: Vec<Receiver>,
    /// The recording that was kept (--trace), with what truly happened in it; null when none was. Times are seconds
    /// from its first fix.
    kept: Option<Kept>,
}

/// What share of reps is enough.
#[derive(Serialize, JsonSchema)]
struct Thresholds {
    /// Least share of reps with a verdict for `rep_by_rep`.
    #[schemars(range(min = 0, max = 1))]
    resolved: f64,
    /// Least share of right verdicts for `rep_by_rep`.
    #[schemars(range(min = 0, max = 1))]
    right: f64,
    /// Least share of sets found for `bout`.
    #[schemars(range(min = 0, max = 1))]
    seen: f64,
}

/// One kind of receiver.
#[derive(Serialize, JsonSchema)]
struct Receiver {
    /// The word that --receiver takes.
    #[schemars(extend("enum" = Kind::ALL.map(Kind::word)))]
    name: &'static str,
    /// What it is, in plain words.
    description: &'static str,
    /// Sessions whose recording gave no account; their reps count as planned and not resolved.
    sessions_failed: usize,
    /// The blocks of the plan, in its order.
    blocks: Vec<Block>,
    /// All blocks together.
    all: Counted,
}

/// One block of the plan.
#[derive(Serialize, JsonSchema)]
struct Block {
    /// From 1, in the order of the plan.
    #[schemars(range(min = 1))]
    index: usize,
    /// The category's word in a plan.
    #[schemars(extend("enum" = Category::ALL.map(Category::word)))]
    category: &'static str,
    /// The name in quotes.
    name: Option<String>,
    /// The block as a plan writes it.
    tidy: String,
    /// How well it could be judged: `rep_by_rep` when at least `thresholds.resolved` of its reps get a verdict and
    /// `thresholds.right` of those are right; `bout` when at least `thresholds.seen` of its sets are found where they
    /// were; else `no`. A continuous block is one bout, so `bout` is its best.
    #[schemars(extend("enum" = words::JUDGED))]
    judged: &'static str,
    /// The block's reps.
    counts: Counted,
}

/// Counts over all simulated sessions.
#[derive(Serialize, JsonSchema)]
struct Counted {
    /// Reps planned; a continuous block is one rep.
    planned: usize,
    /// Of those, reps that got a verdict other than unresolved.
    resolved: usize,
    /// Of those, reps whose verdict was the true one.
    right: usize,
    /// Reps that were truly not done: left out, cut off or too slow.
    not_done: usize,
    /// Of those, reps that were named as not done.
    named: usize,
    /// Sets that were run, whole or in part.
    sets: usize,
    /// Of those, sets whose stretch from first to last rep was found where it was.
    seen: usize,
    /// Reps that were found and had a speed to reach.
    with_mark: usize,
    /// Of those, reps with a clear answer on whether it was reached.
    reached_answered: usize,
    /// Of those, answers that were right.
    reached_right: usize,
    /// Intervals of the time of work of reps that were found, s.
    work_s: Option<Interval>,
    /// Intervals of their highest speed, m/s.
    peak_speed_m_s: Option<Interval>,
    /// Intervals of their distance, m.
    distance_m: Option<Interval>,
    /// Intervals of the rest after them, s.
    rest_s: Option<Interval>,
}

/// The 95 % intervals to expect of one quantity.
#[derive(Serialize, JsonSchema)]
struct Interval {
    /// Median width, upper end less lower end; half of it is the ± of a value.
    #[schemars(range(min = 0))]
    width: f64,
    /// How many intervals there were.
    count: usize,
    /// How many of them held the truth.
    held: usize,
}

/// The recording that was kept, and its truth.
#[derive(Serialize, JsonSchema)]
struct Kept {
    /// The receiver that recorded it.
    #[schemars(extend("enum" = Kind::ALL.map(Kind::word)))]
    receiver: &'static str,
    /// The form of the file.
    #[schemars(extend("enum" = words::RECORDED_AS))]
    format: &'static str,
    /// The moment of time 0, RFC 3339; a table in local metres does not hold it.
    start: String,
    /// Length of the recording, s.
    #[schemars(range(min = 0))]
    duration_s: f64,
    /// True distance, m.
    #[schemars(range(min = 0))]
    distance_m: f64,
    /// True top speed, m/s.
    #[schemars(range(min = 0))]
    top_speed_m_s: f64,
    /// Reps that were not done; all others were.
    not_done: Vec<NotDone>,
    /// Work that the plan does not know.
    unplanned: Vec<Unplanned>,
}

/// One rep.
#[derive(Serialize, JsonSchema)]
struct NotDone {
    /// From 1.
    #[schemars(range(min = 1))]
    block: usize,
    /// From 1.
    #[schemars(range(min = 1))]
    set: usize,
    /// From 1.
    #[schemars(range(min = 1))]
    rep: usize,
    /// What became of it.
    #[schemars(extend("enum" = ["short", "slow", "missed"]))]
    truth: &'static str,
    /// Start of its work, s; null when missed.
    start_s: Option<f64>,
    /// End of its work, s; null when missed.
    end_s: Option<f64>,
}

/// One stretch.
#[derive(Serialize, JsonSchema)]
struct Unplanned {
    /// Why it was done.
    #[schemars(extend("enum" = words::UNPLANNED))]
    kind: &'static str,
    /// Start, s.
    start_s: f64,
    /// End, s.
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
