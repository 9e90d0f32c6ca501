//! The diary as JSON: `repledger/diary/1`, the entries in order of their day; and `repledger/entry/1`, one in full.
//!
//! As in the review, `null` is "not known", names say their units, and a measured quantity has its 95 % interval.

use serde::Serialize;

use super::parts::{
    Band, Counts, Interval, QUANTITY_DECIMALS, SHARE_DECIMALS, Split, maybe, pretty, quantity, time,
};
use super::words;
use crate::diary::{self, Recorded};
use crate::measured::Measured;

/// The name and version of the list's shape.
pub const LIST: &str = "repledger/diary/1";
/// The name and version of one entry's shape.
pub const ENTRY: &str = "repledger/entry/1";

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
        efforts: recording.map_or_else(Vec::new, |r| r.efforts.iter().map(Effort::of).collect()),
        blocks: recording.map_or_else(Vec::new, |r| r.blocks.iter().map(Block::of).collect()),
    })
}

#[derive(Serialize)]
struct List<'a> {
    schema: &'static str,
    entries: Vec<Entry<'a>>,
}

#[derive(Serialize)]
struct Full<'a> {
    schema: &'static str,
    entry: Entry<'a>,
    source: Option<Source<'a>>,
    efforts: Vec<Effort>,
    blocks: Vec<Block<'a>>,
}

#[derive(Serialize)]
struct Source<'a> {
    path: Option<&'a str>,
    sha256: String,
    start: Option<&'a str>,
    trace_kept: bool,
    version: &'a str,
    settings: &'a str,
    plan: Option<&'a str>,
}

#[derive(Serialize)]
struct Entry<'a> {
    id: i64,
    athlete: &'a str,
    date: String,
    activity: &'static str,
    title: Option<&'a str>,
    duration_s: Option<f64>,
    rpe: Option<f64>,
    note: Option<&'a str>,
    recorded: Option<Sums<'a>>,
}

#[derive(Serialize)]
struct Sums<'a> {
    rate_hz: Option<f64>,
    distance_m: Option<Interval>,
    top_speed_m_s: Option<Interval>,
    high_speed_from_m_s: Option<f64>,
    high_speed_distance_m: Option<f64>,
    sprint_from_m_s: Option<f64>,
    sprint_distance_m: Option<f64>,
    sprints: usize,
    peaks_m_s: Vec<Option<Interval>>,
    bands: Vec<Band<'a>>,
    counts: Option<Counts>,
    rests_kept: usize,
    rests_judged: usize,
    curve_top_speed_m_s: Option<Interval>,
    splits: Vec<Split>,
}

#[derive(Serialize)]
struct Effort {
    kind: &'static str,
    start_s: Option<f64>,
    duration_s: Option<f64>,
    distance_m: Option<f64>,
    peak_speed_m_s: Option<Interval>,
    peak_acceleration_m_s2: Option<Interval>,
    turn_deg: Option<f64>,
}

#[derive(Serialize)]
struct Block<'a> {
    index: usize,
    category: &'static str,
    name: Option<&'a str>,
    with_ball: bool,
    verdict: &'static str,
    start_s: Option<f64>,
    end_s: Option<f64>,
    reps: Vec<Rep<'a>>,
    rests: Vec<RestRow>,
}

#[derive(Serialize)]
struct Rep<'a> {
    set: usize,
    index: usize,
    verdict: &'static str,
    why: Option<&'a str>,
    start_s: Option<f64>,
    end_s: Option<f64>,
    work_s: Option<Interval>,
    work_planned_s: Option<f64>,
    distance_m: Option<Interval>,
    distance_planned_m: Option<f64>,
    peak_speed_m_s: Option<Interval>,
    of_top_speed: Option<Interval>,
    reached: Option<&'static str>,
}

#[derive(Serialize)]
struct RestRow {
    set: usize,
    after_rep: Option<usize>,
    rest_s: Option<f64>,
    low_s: Option<f64>,
    high_s: Option<f64>,
    planned_s: Option<f64>,
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
            index: block.index,
            category: block.category.word(),
            name: block.name.as_deref(),
            with_ball: block.with_ball,
            verdict: words::block_verdict(block.verdict),
            start_s: block.start_s.and_then(time),
            end_s: block.end_s.and_then(time),
            reps: block.reps.iter().map(Rep::of).collect(),
            rests: block.rests.iter().map(RestRow::of).collect(),
        }
    }
}

impl<'a> Rep<'a> {
    fn of(rep: &'a diary::Rep) -> Self {
        Self {
            set: rep.set,
            index: rep.index,
            verdict: words::verdict(rep.verdict),
            why: rep.why.as_deref(),
            start_s: rep.start_s.and_then(time),
            end_s: rep.end_s.and_then(time),
            work_s: measured(rep.work_s),
            work_planned_s: rep.work_planned_s.and_then(time),
            distance_m: measured(rep.distance_m),
            distance_planned_m: rep.distance_planned_m.and_then(quantity),
            peak_speed_m_s: measured(rep.peak_speed_m_s),
            of_top_speed: maybe(rep.of_top_speed, SHARE_DECIMALS),
            reached: rep.reached.map(words::reached),
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
