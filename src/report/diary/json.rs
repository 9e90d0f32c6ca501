//! The diary as JSON: `repledger/diary/1`, the entries in order of their day; and `repledger/entry/1`, one in full.
//!
//! As in the review, `null` is "not known", names say their units, and a measured quantity has its 95 % interval.

use schemars::JsonSchema;
use serde::Serialize;

use crate::diary::{self, Activity, Recorded};
use crate::measured::Measured;
use crate::plan::Category;
use crate::report::kept::Kept;
use crate::report::parts::{
    Band, Counts, Interval, QUANTITY_DECIMALS, Split, TopSpeed, maybe, pretty, quantity, time,
};
use crate::report::rep::Found;
use crate::report::{schema, words};

/// The name and version of the list's shape.
pub const LIST: &str = "repledger/diary/1";
/// The name and version of one entry's shape.
pub const ENTRY: &str = "repledger/entry/1";

/// The JSON Schema of the list.
///
/// # Errors
/// Only where the writer itself fails.
pub fn list_schema() -> Result<String, serde_json::Error> {
    schema::of::<List<'_>>(LIST)
}

/// The JSON Schema of an entry in full.
///
/// # Errors
/// Only where the writer itself fails.
pub fn entry_schema() -> Result<String, serde_json::Error> {
    schema::of::<Full<'_>>(ENTRY)
}

/// Writes the entries.
///
/// # Errors
/// Only where the writer itself fails.
pub fn list(entries: &[diary::Entry]) -> Result<String, serde_json::Error> {
    let entries: Vec<Entry<'_>> = entries.iter().map(Entry::of).collect();
    pretty(&List {
        schema: LIST,
        entries,
    })
}

/// Writes one entry in full.
///
/// # Errors
/// Only where the writer itself fails.
pub fn entry(
    entry: &diary::Entry,
    recording: Option<&diary::Recording>,
    trace_kept: bool,
) -> Result<String, serde_json::Error> {
    pretty(&Full {
        schema: ENTRY,
        entry: Entry::of(entry),
        source: recording.map(|r| Source {
            path: r.source.path.as_deref(),
            sha256: r.source.sha256_text(),
            start: r.source.start.as_deref(),
            trace_kept,
            version: &r.version,
            settings: &r.settings,
            plan: r.plan.as_deref(),
        }),
        top_speed: recording
            .and_then(|r| Kept::of(r).top_speed())
            .map(TopSpeed::of),
        efforts: recording.map_or_else(Vec::new, |r| r.efforts.iter().map(Effort::of).collect()),
        blocks: recording.map_or_else(Vec::new, |r| r.blocks.iter().map(Block::of).collect()),
    })
}

/// The entries of a diary in the order of their days. null is 'not known', never 0.
#[derive(Serialize, JsonSchema)]
struct List<'a> {
    /// Name and version of this shape.
    #[schemars(extend("const" = LIST))]
    schema: &'static str,
    /// The entries, in the order of their days.
    entries: Vec<Entry<'a>>,
}

/// One entry of a diary, with what is kept of its recording. null is 'not known', never 0.
#[derive(Serialize, JsonSchema)]
struct Full<'a> {
    /// Name and version of this shape.
    #[schemars(extend("const" = ENTRY))]
    schema: &'static str,
    /// The entry, as the list has it.
    entry: Entry<'a>,
    /// Where its numbers come from; null for an entry without a recording.
    source: Option<Source<'a>>,
    /// The top speed that its reps, or its sprints, were held against; null when none was known.
    top_speed: Option<TopSpeed>,
    /// What was found in the motion, in order of start.
    efforts: Vec<Effort>,
    /// The blocks of its plan, in order.
    blocks: Vec<Block<'a>>,
}

/// Where the numbers of an entry come from.
#[derive(Serialize, JsonSchema)]
struct Source<'a> {
    /// The file of the recording, as it was named; null where it came on standard input.
    path: Option<&'a str>,
    /// SHA-256 of the recording.
    #[schemars(regex(pattern = "^[0-9a-f]{64}$"))]
    sha256: String,
    /// First usable fix, RFC 3339; without a zone when the file gives none, null when it gives only elapsed time.
    start: Option<&'a str>,
    /// Whether the diary holds the recording itself.
    trace_kept: bool,
    /// The version of repledger that reviewed it.
    version: &'a str,
    /// The settings that it was reviewed with, as TOML.
    settings: &'a str,
    /// The text of the plan it was held against; null without one.
    plan: Option<&'a str>,
}

/// A session, or a note of one.
#[derive(Serialize, JsonSchema)]
struct Entry<'a> {
    /// Its number in the diary.
    #[schemars(range(min = 1))]
    id: i64,
    /// Whose it is; empty where nobody is named.
    athlete: &'a str,
    /// The day, as `2026-05-12`.
    date: String,
    /// What it was.
    #[schemars(extend("enum" = Activity::ALL.map(Activity::word)))]
    activity: &'static str,
    /// Its title.
    title: Option<&'a str>,
    /// How long it lasted, s.
    #[schemars(with = "f64", range(min = 0))]
    duration_s: Option<f64>,
    /// Rating of perceived exertion, from 0 to 10.
    #[schemars(range(min = 0, max = 10))]
    rpe: Option<f64>,
    /// What was noted.
    note: Option<&'a str>,
    /// The sums of its recording; null where nothing was recorded.
    recorded: Option<Sums<'a>>,
}

/// Sums of a recording.
#[derive(Serialize, JsonSchema)]
struct Sums<'a> {
    /// Usual rate of the fixes, 1/s.
    #[schemars(range(min = 0))]
    rate_hz: Option<f64>,
    /// Distance moved, m.
    distance_m: Option<Interval>,
    /// Highest speed, m/s.
    top_speed_m_s: Option<Interval>,
    /// Where high-speed running began, m/s.
    high_speed_from_m_s: Option<f64>,
    /// Distance run from there on, m.
    #[schemars(range(min = 0))]
    high_speed_distance_m: Option<f64>,
    /// Where sprinting began, m/s.
    sprint_from_m_s: Option<f64>,
    /// Distance sprinted, m.
    #[schemars(range(min = 0))]
    sprint_distance_m: Option<f64>,
    /// How many sprints were found.
    sprints: usize,
    /// The highest speed of each sprint and high-speed run, m/s, in order of time.
    peaks_m_s: Vec<Option<Interval>>,
    /// Time and distance by speed; lower edges belong to a band, upper edges do not.
    bands: Vec<Band<'a>>,
    /// What became of the planned reps; null without a plan.
    counts: Option<Counts>,
    /// Rests that were kept.
    rests_kept: usize,
    /// Rests that could be judged.
    rests_judged: usize,
    /// The top speed that the curve of a sprint tends to, m/s.
    curve_top_speed_m_s: Option<Interval>,
    /// Times of the best sprint over distances from the first movement.
    splits: Vec<Split>,
}

/// One effort.
#[derive(Serialize, JsonSchema)]
struct Effort {
    /// What it is.
    #[schemars(extend("enum" = words::KINDS))]
    kind: &'static str,
    /// Start, s from the session's start.
    #[schemars(with = "f64")]
    start_s: Option<f64>,
    /// Length in time, s.
    #[schemars(with = "f64", range(min = 0))]
    duration_s: Option<f64>,
    /// Distance covered, m.
    #[schemars(with = "f64", range(min = 0))]
    distance_m: Option<f64>,
    /// Highest speed inside, m/s.
    peak_speed_m_s: Option<Interval>,
    /// Largest acceleration inside, m/s2, negative for a deceleration; null below 5 Hz.
    peak_acceleration_m_s2: Option<Interval>,
    /// Change of course, degrees, left positive; null for other kinds.
    turn_deg: Option<f64>,
}

/// One block of the plan, as it was done.
#[derive(Serialize, JsonSchema)]
struct Block<'a> {
    /// Its place in the plan, from 1.
    #[schemars(range(min = 1))]
    index: usize,
    /// Category of the plan.
    #[schemars(extend("enum" = Category::ALL.map(Category::word)))]
    category: &'static str,
    /// Name in the plan.
    name: Option<&'a str>,
    /// With the ball at the foot.
    with_ball: bool,
    /// The verdict on the block.
    #[schemars(extend("enum" = words::BLOCK_VERDICTS))]
    verdict: &'static str,
    /// Start of its first rep, s from the session's start.
    start_s: Option<f64>,
    /// End of its last rep, s from the session's start.
    end_s: Option<f64>,
    /// The reps of all its sets, in order.
    reps: Vec<Rep<'a>>,
    /// The rests of all its sets, in order.
    rests: Vec<RestRow>,
}

/// One rep.
#[derive(Serialize, JsonSchema)]
struct Rep<'a> {
    /// Its set, from 1.
    #[schemars(range(min = 1))]
    set: usize,
    /// Its place in the set, from 1.
    #[schemars(range(min = 1))]
    index: usize,
    /// The verdict on the rep.
    #[schemars(extend("enum" = words::VERDICTS))]
    verdict: &'static str,
    /// Why it cannot be told, or what else there is to say.
    why: Option<&'a str>,
    /// Start, s from the session's start.
    start_s: Option<f64>,
    /// End, s from the session's start.
    end_s: Option<f64>,
    /// How long the work lasted, s.
    work_s: Option<Interval>,
    #[serde(flatten)]
    found: Found,
}

/// One rest.
#[derive(Serialize, JsonSchema)]
struct RestRow {
    /// Its set, from 1.
    #[schemars(range(min = 1))]
    set: usize,
    /// The rep before it, from 1; null for the rest after the set.
    #[schemars(range(min = 1))]
    after_rep: Option<usize>,
    /// How long it lasted, s.
    rest_s: Option<f64>,
    /// Lower end of its 95 % interval, s.
    low_s: Option<f64>,
    /// Upper end of its 95 % interval, s.
    high_s: Option<f64>,
    /// How long it should have lasted, s.
    planned_s: Option<f64>,
    /// Whether it was kept; null where that is not judged.
    #[schemars(extend("enum" = words::REST_VERDICTS))]
    verdict: Option<&'static str>,
}

fn measured(measured: Option<Measured>) -> Option<Interval> {
    maybe(measured, QUANTITY_DECIMALS)
}

impl<'a> Entry<'a> {
    fn of(entry: &'a diary::Entry) -> Self {
        Self {
            id: entry.id,
            athlete: &entry.athlete,
            date: entry.date.to_string(),
            activity: entry.activity.word(),
            title: entry.title.as_deref(),
            duration_s: time(entry.duration_s),
            rpe: entry.rpe.and_then(quantity),
            note: entry.note.as_deref(),
            recorded: entry.recorded.as_ref().map(Sums::of),
        }
    }
}

impl<'a> Sums<'a> {
    fn of(sums: &'a Recorded) -> Self {
        Self {
            rate_hz: quantity(sums.rate_hz),
            distance_m: measured(Some(sums.distance_m)),
            top_speed_m_s: measured(sums.top_speed_m_s),
            high_speed_from_m_s: quantity(sums.thresholds_m_s[0]),
            high_speed_distance_m: quantity(sums.fast_m[0]),
            sprint_from_m_s: quantity(sums.thresholds_m_s[1]),
            sprint_distance_m: quantity(sums.fast_m[1]),
            sprints: sums.sprints,
            peaks_m_s: sums.peaks_m_s.iter().map(|p| measured(Some(*p))).collect(),
            bands: sums.bands.iter().map(Band::of).collect(),
            counts: sums.counts.map(Counts::of),
            rests_kept: sums.rests[0],
            rests_judged: sums.rests[1],
            curve_top_speed_m_s: measured(sums.curve_top_m_s),
            splits: sums.splits.iter().map(Split::of).collect(),
        }
    }
}

impl Effort {
    fn of(effort: &diary::Effort) -> Self {
        Self {
            kind: words::kind(effort.kind),
            start_s: time(effort.start_s),
            duration_s: time(effort.duration_s),
            distance_m: quantity(effort.distance_m),
            peak_speed_m_s: measured(Some(effort.peak_speed_m_s)),
            peak_acceleration_m_s2: measured(effort.peak_acceleration_m_s2),
            turn_deg: effort.turn_deg.and_then(quantity),
        }
    }
}

impl<'a> Block<'a> {
    fn of(block: &'a diary::Block) -> Self {
        Self {
            index: block.review.index,
            category: block.review.category.word(),
            name: block.review.name.as_deref(),
            with_ball: block.review.with_ball,
            verdict: words::block_verdict(block.review.verdict),
            start_s: block.review.start_s.and_then(time),
            end_s: block.review.end_s.and_then(time),
            reps: block.reps.iter().map(Rep::of).collect(),
            rests: block.rests.iter().map(RestRow::of).collect(),
        }
    }
}

impl<'a> Rep<'a> {
    fn of(diary::Rep { set, why, review }: &'a diary::Rep) -> Self {
        Self {
            set: *set,
            index: review.index,
            verdict: words::verdict(review.verdict),
            why: why.as_deref(),
            start_s: review.start_s.and_then(time),
            end_s: review.end_s.and_then(time),
            work_s: measured(review.work_s),
            found: Found::of(review),
        }
    }
}

impl RestRow {
    fn of(rest: &diary::Rest) -> Self {
        Self {
            set: rest.set,
            after_rep: rest.after_rep,
            rest_s: rest.rest_s.and_then(time),
            low_s: rest.interval_s.and_then(|[low, _]| time(low)),
            high_s: rest.interval_s.and_then(|[_, high]| time(high)),
            planned_s: rest.planned_s.and_then(time),
            verdict: rest.verdict.map(words::rest_verdict),
        }
    }
}
