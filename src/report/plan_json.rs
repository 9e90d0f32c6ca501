//! The plan as one JSON document, `repledger/plan/1`.
//!
//! The shape is defined here and nowhere else. Every field is described in [`SCHEMA`]. `null` is "not written" or "not
//! known", never 0.

use serde::Serialize;

use super::parts::{pretty, to_thousandth};
use crate::plan::remarks::remarks;
use crate::plan::timetable::{self, Slot, timetable};
use crate::plan::{self, Dose, Each, FreeRest, Plan, Rest, Target, Work};

/// The name and version of the shape.
pub const NAME: &str = "repledger/plan/1";

/// The JSON Schema (draft 2020-12) of the document, with a description of every field.
pub const SCHEMA: &str = include_str!("plan.schema.json");

/// Writes the plan with its timetable and remarks, pretty-printed and ended by a line feed.
///
/// # Errors
/// Only where the writer itself fails; no content of a plan is refused.
pub fn render(
    plan: &Plan,
    assumptions: &timetable::Assumptions,
    read_as: &[plan::ReadAs],
) -> Result<String, serde_json::Error> {
    pretty(&Document::of(plan, assumptions, read_as))
}

#[derive(Serialize)]
struct Document {
    schema: &'static str,
    title: Option<String>,
    athlete: Option<String>,
    date: Option<String>,
    match_day: Option<String>,
    pitch: Option<Pitch>,
    top_speed_m_s: Option<f64>,
    paced_by_cues: bool,
    blocks: Vec<Block>,
    totals: Totals,
    assumptions: Assumptions,
    remarks: Vec<Remark>,
    read_as: Vec<ReadAs>,
    tidy: String,
}

#[derive(Serialize)]
struct ReadAs {
    line: u32,
    written: String,
    tidy: Option<String>,
}

#[derive(Serialize)]
struct Pitch {
    length_m: f64,
    width_m: f64,
}

// Each is a word of the notation that is written or not.
#[allow(clippy::struct_excessive_bools)]
#[derive(Serialize)]
struct Block {
    index: usize,
    line: u32,
    category: &'static str,
    name: Option<String>,
    with_ball: bool,
    continuous: bool,
    sets: u32,
    reps: u32,
    rep_work_s: Option<f64>,
    rep_distance_m: Option<f64>,
    over_m: Option<f64>,
    there_and_back: bool,
    at_share_of_top_speed: Option<f64>,
    at_m_s: Option<f64>,
    rest: &'static str,
    rest_s: Option<f64>,
    between_sets_s: Option<f64>,
    then_s: Option<f64>,
    mixed: Option<Vec<Rep>>,
    every_s: Option<f64>,
    effort: Option<String>,
    build_up: bool,
    each: Option<&'static str>,
    round: Option<Round>,
    recorded: bool,
    tidy: String,
    expected: Expected,
}

/// One rep of a set whose reps differ.
#[derive(Serialize)]
struct Rep {
    work_s: Option<f64>,
    distance_m: Option<f64>,
}

#[derive(Serialize)]
struct Round {
    number: u32,
    of: u32,
}

#[derive(Serialize)]
struct Expected {
    start_s: f64,
    end_s: f64,
    work_s: f64,
    rest_s: f64,
    rep_s: f64,
    work_estimated: bool,
    rest_estimated: bool,
    distance_m: Option<f64>,
    high_speed_m: Option<f64>,
}

#[derive(Serialize)]
struct Totals {
    duration_s: f64,
    work_s: f64,
    rest_s: f64,
    work_to_rest: Option<f64>,
    estimated: bool,
    reps: u64,
    reps_with_distance: u64,
    distance_m: f64,
    high_speed_m: f64,
}

#[derive(Serialize)]
struct Assumptions {
    top_speed_m_s: f64,
    tau_s: f64,
    walk_m_s: f64,
    high_speed_from_m_s: f64,
    shuttle_m_s: f64,
    shuttle_m_s2: f64,
    counted_rep_s: f64,
}

#[derive(Serialize)]
struct Remark {
    blocks: Vec<usize>,
    text: String,
    reason: String,
    source: &'static str,
}

impl Document {
    fn of(plan: &Plan, assumptions: &timetable::Assumptions, read_as: &[plan::ReadAs]) -> Self {
        let table = timetable(plan, assumptions);
        let header = &plan.header;
        Self {
            schema: NAME,
            title: header.title.clone(),
            athlete: header.athlete.clone(),
            date: header.date.map(|date| date.to_string()),
            match_day: header.match_day.map(|date| date.to_string()),
            pitch: header.pitch.map(|size| Pitch {
                length_m: size.length_m,
                width_m: size.width_m,
            }),
            top_speed_m_s: header.top_speed_m_s,
            paced_by_cues: header.paced_by_cues,
            blocks: plan
                .blocks
                .iter()
                .zip(&table.slots)
                .enumerate()
                .map(|(index, (block, slot))| Block::of(index + 1, block, slot))
                .collect(),
            totals: Totals {
                duration_s: to_thousandth(table.total_s),
                work_s: to_thousandth(table.work_s),
                rest_s: to_thousandth(table.rest_s),
                work_to_rest: table.work_to_rest().map(to_thousandth),
                estimated: table.estimated,
                reps: table.reps,
                reps_with_distance: table.reps_with_distance,
                distance_m: to_thousandth(table.distance_m),
                high_speed_m: to_thousandth(table.high_speed_m),
            },
            assumptions: Assumptions {
                top_speed_m_s: table.top_speed_m_s,
                tau_s: assumptions.tau_s,
                walk_m_s: assumptions.walk_m_s,
                high_speed_from_m_s: assumptions.high_speed_m_s,
                shuttle_m_s: assumptions.shuttle_m_s,
                shuttle_m_s2: assumptions.shuttle_m_s2,
                counted_rep_s: assumptions.counted_rep_s,
            },
            remarks: remarks(plan, &table)
                .into_iter()
                .map(|remark| Remark {
                    blocks: remark.blocks,
                    text: remark.text,
                    reason: remark.reason,
                    source: remark.source,
                })
                .collect(),
            read_as: read_as
                .iter()
                .map(|one| ReadAs {
                    line: one.line,
                    written: one.written.clone(),
                    tidy: one.tidy.clone(),
                })
                .collect(),
            tidy: plan.to_string(),
        }
    }
}

impl Block {
    fn of(index: usize, block: &plan::Block, slot: &Slot) -> Self {
        let (share, speed) = match block.target {
            None => (None, None),
            Some(Target::ShareOfTop(share)) => (Some(share), None),
            Some(Target::Speed(speed)) => (None, Some(speed)),
        };
        let (rest, rest_s) = match block.rest {
            Rest::RunOn => ("none", None),
            Rest::Timed(seconds) => ("timed", Some(seconds)),
            Rest::WalkBack => match block.free_rest {
                FreeRest::Walk => ("walk_back", None),
                FreeRest::Jog => ("jog_back", None),
                FreeRest::Full => ("full", None),
            },
        };
        Self {
            index,
            line: block.line,
            category: block.category.word(),
            name: block.name.clone(),
            with_ball: block.with_ball,
            continuous: matches!(block.dose, Dose::Continuous { .. }),
            sets: block.sets(),
            reps: block.reps(),
            rep_work_s: block.work_s(),
            rep_distance_m: written_distance_m(block),
            over_m: block.over_m,
            there_and_back: block.there_and_back,
            at_share_of_top_speed: share,
            at_m_s: speed,
            rest,
            rest_s,
            between_sets_s: block.between_sets_s,
            then_s: block.then_s,
            mixed: (!block.mixed.is_empty()).then(|| {
                let reps = (0..block.mixed.len()).map(|rep| block.of_rep(1, rep));
                reps.map(|own| Rep {
                    work_s: own.work_s(),
                    distance_m: written_distance_m(&own),
                })
                .collect()
            }),
            every_s: block.every_s,
            effort: block.effort.map(|effort| effort.to_string()),
            build_up: block.build_up,
            each: block.each.map(|each| match each {
                Each::Side => "side",
                Each::Leg => "leg",
            }),
            round: block.round.map(|round| Round {
                number: round.number,
                of: round.of,
            }),
            recorded: block.is_recorded(),
            tidy: block.to_string(),
            expected: Expected {
                start_s: to_thousandth(slot.start_s),
                end_s: to_thousandth(slot.end_s),
                work_s: to_thousandth(slot.work_s),
                rest_s: to_thousandth(slot.rest_s),
                rep_s: to_thousandth(slot.rep_s),
                work_estimated: slot.work_estimated,
                rest_estimated: slot.rest_estimated,
                distance_m: slot.distance_m.map(to_thousandth),
                high_speed_m: slot.high_speed_m.map(to_thousandth),
            },
        }
    }
}

/// The length of a rep's path, unless its work is a time.
fn written_distance_m(block: &plan::Block) -> Option<f64> {
    match block.dose {
        Dose::Reps {
            work: Work::Distance(_) | Work::Count,
            ..
        } => block.rep_distance_m(),
        _ => None,
    }
}
