//! The plan as one JSON document, `repledger/plan/1`.
//!
//! The shape is defined here and nowhere else. Every field is described in [`schema()`]. `null` is "not written" or "not
//! known", never 0.

use schemars::JsonSchema;
use serde::Serialize;

use crate::plan::remarks::remarks;
use crate::plan::timetable::{self, Slot, timetable};
use crate::plan::{self, Category, Dose, Each, FreeRest, Plan, Rest, Target, Work};
use crate::report::parts::{pretty, to_thousandth};
use crate::report::schema;
use crate::report::words::word_for;

/// The name and version of the shape.
pub const NAME: &str = "repledger/plan/1";

/// The JSON Schema of the document, with a description of every field.
///
/// # Errors
/// Only where the writer itself fails.
pub fn schema() -> Result<String, serde_json::Error> {
    schema::of::<Document>(NAME)
}

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

/// A training plan as read by repledger, on the clock, with remarks.
#[derive(Serialize, JsonSchema)]
struct Document {
    /// Name and version of this shape.
    #[schemars(extend("const" = NAME))]
    schema: &'static str,
    /// From the header.
    title: Option<String>,
    /// From the header.
    athlete: Option<String>,
    /// From the header, year-month-day.
    #[schemars(extend("format" = "date"))]
    date: Option<String>,
    /// From the header, year-month-day.
    #[schemars(extend("format" = "date"))]
    match_day: Option<String>,
    /// From the header.
    pitch: Option<Pitch>,
    /// From the header, m/s.
    top_speed_m_s: Option<f64>,
    /// Whether `paced: cues` is written: the sound track of the plan was played.
    paced_by_cues: bool,
    /// In the order of the plan.
    blocks: Vec<Block>,
    /// The whole plan.
    totals: Totals,
    /// What is assumed of running where the plan does not say.
    assumptions: Assumptions,
    /// Advice from common practice; it forbids nothing.
    remarks: Vec<Remark>,
    /// How the lines were read that are not in the notation.
    read_as: Vec<ReadAs>,
    /// The plan in its canonical form, without comments.
    tidy: String,
}

/// A line that is not in the notation.
#[derive(Serialize, JsonSchema)]
struct ReadAs {
    /// Line in the file, from 1.
    #[schemars(range(min = 1))]
    line: u32,
    /// What is written there.
    written: String,
    /// The line of the notation that says the same; null for words that ask for nothing.
    tidy: Option<String>,
}

/// Outer edges of the lines.
#[derive(Serialize, JsonSchema)]
struct Pitch {
    /// Along the touchline, m.
    length_m: f64,
    /// Along the goal line, m.
    width_m: f64,
}

// Each is a word of the notation that is written or not.
#[allow(clippy::struct_excessive_bools)]
#[derive(Serialize, JsonSchema)]
struct Block {
    /// From 1.
    #[schemars(range(min = 1))]
    index: usize,
    /// Line in the file, from 1.
    line: u32,
    /// What kind of work.
    #[schemars(extend("enum" = Category::ALL.map(Category::word)))]
    category: &'static str,
    /// The name in quotes.
    name: Option<String>,
    /// Whether `with ball` is written.
    with_ball: bool,
    /// Whether the block is one unbroken bout, such as `12 min`.
    continuous: bool,
    /// Number of sets; 1 for a continuous bout.
    #[schemars(range(min = 1))]
    sets: u32,
    /// Reps in a set; 1 for a continuous bout.
    #[schemars(range(min = 1))]
    reps: u32,
    /// Written time of one rep, s.
    rep_work_s: Option<f64>,
    /// Written length of one rep's path, m: out and home again where the plan says so.
    rep_distance_m: Option<f64>,
    /// Length of one way, m, from `over 9 m`.
    over_m: Option<f64>,
    /// Whether a rep goes out and home again.
    there_and_back: bool,
    /// The speed that a rep must reach as a share of top speed: 0.95 for `at 95%`.
    at_share_of_top_speed: Option<f64>,
    /// The speed that a rep must reach, m/s, where it is written as a speed.
    at_m_s: Option<f64>,
    /// Rest between the reps of a set; with none they run on.
    #[schemars(extend("enum" = RESTS))]
    rest: &'static str,
    /// Written rest between reps, s.
    rest_s: Option<f64>,
    /// Written rest between sets, s.
    between_sets_s: Option<f64>,
    /// Written rest behind the block, s.
    then_s: Option<f64>,
    /// The reps of a set that differ, in their order; `rep_work_s` and `rep_distance_m` are then their mean. null
    /// where all are alike.
    mixed: Option<Vec<Rep>>,
    /// From the start of a rep to the start of the next, s; `rest_s` is then what is expected to be left.
    every_s: Option<f64>,
    /// How hard, in words; no speed is owed for it.
    #[schemars(extend("enum" = ["flat out", "easy"]))]
    effort: Option<String>,
    /// Whether the first rep works up to speed and owes none.
    build_up: bool,
    /// What half of the reps is for.
    #[schemars(extend("enum" = SIDES))]
    each: Option<&'static str>,
    /// The place in rounds of several blocks.
    round: Option<Round>,
    /// Whether a recording can show the work; what it cannot show is never judged.
    recorded: bool,
    /// The block in its canonical form.
    tidy: String,
    /// What the block takes on the clock; seconds from the start of the first block.
    expected: Expected,
}

/// One rep of a set whose reps differ.
#[derive(Serialize, JsonSchema)]
struct Rep {
    /// Planned work, s.
    work_s: Option<f64>,
    /// Planned length of its path, m.
    distance_m: Option<f64>,
}

/// A round.
#[derive(Serialize, JsonSchema)]
struct Round {
    /// From 1.
    #[schemars(range(min = 1))]
    number: u32,
    /// How many there are.
    #[schemars(range(min = 2))]
    of: u32,
}

/// When the block is expected, and what it comes to.
#[derive(Serialize, JsonSchema)]
struct Expected {
    /// Start of the block, s.
    start_s: f64,
    /// End of the block, without the rest behind it, s.
    end_s: f64,
    /// Work of all reps, s.
    work_s: f64,
    /// Rest between reps and between sets, s; the rest behind the block is `then_s`.
    rest_s: f64,
    /// Work of one rep, s.
    rep_s: f64,
    /// Whether `work_s` rests on the assumptions instead of times written in the plan.
    work_estimated: bool,
    /// Whether `rest_s` rests on the assumptions instead of times written in the plan.
    rest_estimated: bool,
    /// Metres of all reps; null where the length of a rep is not known.
    distance_m: Option<f64>,
    /// Metres of all reps at or above `assumptions.high_speed_from_m_s`, if the reps reach their speed; null where the
    /// plan asks for no speed or the reps have turns.
    high_speed_m: Option<f64>,
}

/// What the plan comes to.
#[derive(Serialize, JsonSchema)]
struct Totals {
    /// From the start of the first block to the end of the last, the rest behind it included, s.
    duration_s: f64,
    /// All work, s.
    work_s: f64,
    /// All rest, s.
    rest_s: f64,
    /// Work over rest; null without rest.
    work_to_rest: Option<f64>,
    /// Whether any time rests on the assumptions.
    estimated: bool,
    /// Reps of the plan; a continuous block counts as one.
    reps: u64,
    /// Reps whose length is known.
    reps_with_distance: u64,
    /// Metres of the reps whose length is known.
    distance_m: f64,
    /// Metres at or above `assumptions.high_speed_from_m_s`, if the reps reach their speed.
    high_speed_m: f64,
}

/// What the timetable takes for granted.
#[derive(Serialize, JsonSchema)]
struct Assumptions {
    /// The plan's top speed, else an assumed one, m/s.
    top_speed_m_s: f64,
    /// Time constant of a standing start, s.
    tau_s: f64,
    /// Speed of walking back, m/s.
    walk_m_s: f64,
    /// Speed from which metres are high-speed metres, m/s.
    high_speed_from_m_s: f64,
    /// Fastest speed between two turns, m/s.
    shuttle_m_s: f64,
    /// Speeding up and braking between two turns, m/s2.
    shuttle_m_s2: f64,
    /// Time of a counted rep of unknown length, s.
    counted_rep_s: f64,
}

/// One remark.
#[derive(Serialize, JsonSchema)]
struct Remark {
    /// The blocks that it is about, from 1; empty for the whole plan.
    #[schemars(inner(range(min = 1)))]
    blocks: Vec<usize>,
    /// What is seen.
    text: String,
    /// Why it may matter, and what could be done.
    reason: String,
    /// Who says so, or 'common practice'.
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
        let rest_s = match block.rest {
            Rest::Timed(seconds) => Some(seconds),
            Rest::RunOn | Rest::WalkBack => None,
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
            rest: rest((block.rest, block.free_rest)),
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
            each: block.each.map(each),
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

word_for! {
    /// The word for how a block rests.
    rest((Rest, FreeRest)) in RESTS {
        (Rest::RunOn, _) => "none",
        (Rest::Timed(_), _) => "timed",
        (Rest::WalkBack, FreeRest::Walk) => "walk_back",
        (Rest::WalkBack, FreeRest::Jog) => "jog_back",
        (Rest::WalkBack, FreeRest::Full) => "full",
    }
}

word_for! {
    /// The word for what each half of a count is for.
    each(Each) in SIDES {
        Each::Side => "side",
        Each::Leg => "leg",
    }
}
