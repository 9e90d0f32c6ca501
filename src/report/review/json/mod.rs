//! The review as one JSON document, `repledger/review/1`.
//!
//! The shape is defined here and nowhere else, so that renaming a field of a stage breaks nobody's script. Every field
//! is described in [`schema()`]. `null` is "not known", never 0; numbers that are not finite are not known either.

mod pitch;
mod profile;

use schemars::JsonSchema;
use serde::Serialize;

use crate::measured::Measured;
use crate::plan::Category;
use crate::report::parts::{
    Band, Counts, Interval, QUANTITY_DECIMALS, SHARE_DECIMALS, TIME_DECIMALS, TopSpeed, interval,
    maybe, pretty, quantity, rounded, time,
};
use crate::report::rep::Found;
use crate::report::{marks, note, reason, schema, words};
use crate::review::{
    BlockReview, Fits, PlanReview, Reached, RepReview, SetReview, Unplanned, mark,
};
use crate::session::Session;
use crate::{efforts, motion, plan, review, track};
use pitch::Pitch;
use profile::Profile;

/// Decimals of counts: a sum of probabilities.
const COUNT_DECIMALS: i32 = 2;

/// The name and version of the shape.
pub const NAME: &str = "repledger/review/1";

/// The JSON Schema of the document, with a description of every field.
///
/// # Errors
/// Only where the writer itself fails.
pub fn schema() -> Result<String, serde_json::Error> {
    schema::of::<Document<'_>>(NAME)
}

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

#[derive(Serialize, JsonSchema)]
struct Line<'a> {
    name: &'a str,
    review: Option<Document<'a>>,
    error: Option<&'a str>,
}

/// The review of one recorded session. Times named `_s` are seconds from `session.start`. null is 'not known', never
/// 0.
#[derive(Serialize, JsonSchema)]
struct Document<'a> {
    /// Name and version of this shape.
    #[schemars(extend("const" = NAME))]
    schema: &'static str,
    /// Which session it is.
    session: SessionPart<'a>,
    /// What was recorded and how good it is.
    recording: Recording<'a>,
    /// Totals of the whole recording.
    totals: Totals<'a>,
    /// What was found in the motion, in order of start.
    efforts: Vec<Effort>,
    /// How many efforts of each kind there were, those near a threshold counted by their probability, on either side
    /// of it; null where a kind was not counted.
    efforts_counts: EffortsCounts,
    /// Why accelerations, decelerations and turns were not counted; null when they were.
    efforts_not_counted: Option<String>,
    /// Sprints that follow each other closely.
    sequences: Vec<Sequence>,
    /// The plan held against the recording; null without a plan.
    plan: Option<Plan<'a>>,
    /// What the sprints say of the player, null when there is nothing to say: no sprint fitted, no set with a slope,
    /// no model asked for.
    profile: Option<Profile>,
    /// The pitch under the session; null where none is known.
    pitch: Option<Pitch<'a>>,
    /// What the reader must know to trust the numbers.
    notes: Vec<String>,
    /// The sprints of the session held against the top speed of the settings; null with a plan that fits, or without
    /// such a top speed.
    sprints_reached: Option<Asked>,
    /// The kind of each of `notes`, in their order: it stays when a sentence is reworded.
    #[schemars(extend("items" = serde_json::json!({"type": "string", "enum": note::CODES})))]
    note_codes: Vec<&'static str>,
}

/// Which session it is.
#[derive(Serialize, JsonSchema)]
struct SessionPart<'a> {
    /// First usable fix, RFC 3339: with `Z` when universal time is known, without a zone when the file gives none,
    /// null when it gives only elapsed time.
    start: Option<String>,
    /// From the first usable fix to the last, s.
    #[schemars(range(min = 0))]
    duration_s: Option<f64>,
    /// From the plan's header, else the recording.
    title: Option<&'a str>,
    /// From the plan's header.
    athlete: Option<&'a str>,
}

/// What was recorded, and how good it is.
#[derive(Serialize, JsonSchema)]
struct Recording<'a> {
    /// Every fix of the file, used or not.
    fixes: usize,
    /// Fixes used; with the counts of `set_aside` they make `fixes`.
    used: usize,
    /// Usual rate of the fixes, 1/s.
    #[schemars(range(min = 0))]
    rate_hz: Option<f64>,
    /// Where the speed comes from: the receiver's own, differences of positions, or both.
    #[schemars(extend("enum" = words::SPEED_FROM))]
    speed_from: &'static str,
    /// Fixes not used, by reason.
    set_aside: Vec<SetAside<'a>>,
    /// Stretches without usable fixes that are not bridged.
    gaps: Vec<Gap>,
    /// Stretches without fixes that are no gaps: the device pauses by itself while its wearer stands, and he is taken
    /// to have stood.
    pauses: Vec<Gap>,
    /// Stretches that are no part of the session and stand in no total; their fixes are among `set_aside`. Set
    /// `recording.leave_out=off` to count all.
    left_out: Vec<LeftOut>,
    /// Whether the intervals between fixes vary by more than a dropped fix now and then.
    irregular: bool,
    /// Format of the recording, found by content.
    #[schemars(extend("enum" = words::FORMATS))]
    format: &'static str,
    /// What a receiver of few fixes a second did to positions and speed before it wrote them, as far as the recording
    /// tells; null for receivers of 4 Hz and more and of uneven rate.
    device: Option<Device>,
    /// What recorded it, as it was named or as the file says; null where neither.
    device_name: Option<&'a str>,
    /// Earlier recordings of the same device in the diary that were asked what it does.
    device_recordings: usize,
}

/// One reason.
#[derive(Serialize, JsonSchema)]
struct SetAside<'a> {
    /// Why, in plain words.
    reason: &'a str,
    /// How many fixes.
    count: usize,
    /// Line of the file with the first of them, from 1; null when it has no place.
    #[schemars(range(min = 1))]
    first_line: Option<u64>,
}

/// A stretch without fixes.
#[derive(Serialize, JsonSchema)]
struct Gap {
    /// Last fix before, s from the session's start.
    #[schemars(with = "f64")]
    start_s: Option<f64>,
    /// First fix after, s from the session's start.
    #[schemars(with = "f64")]
    end_s: Option<f64>,
}

/// One stretch.
#[derive(Serialize, JsonSchema)]
struct LeftOut {
    /// By car or bicycle, or a watch that was forgotten and lay still.
    #[schemars(extend("enum" = words::LEFT_OUT))]
    reason: &'static str,
    /// Its first fix, s from the session's start: negative before the session.
    #[schemars(with = "f64")]
    start_s: Option<f64>,
    /// The first fix after it, or its last, s from the session's start.
    #[schemars(with = "f64")]
    end_s: Option<f64>,
    /// The way covered, m.
    #[schemars(with = "f64", range(min = 0))]
    distance_m: Option<f64>,
    /// Highest speed over some seconds, m/s.
    #[schemars(with = "f64", range(min = 0))]
    top_speed_m_s: Option<f64>,
}

/// Sums over the whole recording.
#[derive(Serialize, JsonSchema)]
struct Totals<'a> {
    /// Distance moved, m.
    distance_m: Option<Interval>,
    /// Highest speed, m/s.
    top_speed_m_s: Option<Interval>,
    /// Time and distance by speed; lower edges belong to a band, upper edges do not.
    bands: Vec<BandWithin<'a>>,
}

/// Time and distance between two speeds, with their intervals.
#[derive(Serialize, JsonSchema)]
struct BandWithin<'a> {
    #[serde(flatten)]
    band: Band<'a>,
    /// The time with its interval, s.
    time_interval_s: Option<Interval>,
    /// The distance with its interval, m.
    distance_interval_m: Option<Interval>,
}

impl<'a> BandWithin<'a> {
    fn of(band: &'a efforts::Band) -> Self {
        let within = band.within;
        Self {
            band: Band::of(band),
            time_interval_s: maybe(within.map(|w| w.time_s), TIME_DECIMALS),
            distance_interval_m: maybe(within.map(|w| w.distance_m), QUANTITY_DECIMALS),
        }
    }
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
    /// End, s from the session's start.
    #[schemars(with = "f64")]
    end_s: Option<f64>,
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
    /// Whether the uncertainty of the motion decides if this counts: moved by its 95 % interval towards the
    /// threshold, it would not have been found.
    near_threshold: bool,
    /// Probability that it counts, given the errors of the motion; below 0.45 an effort is not listed.
    #[schemars(range(min = 0, max = 1))]
    probability: Option<f64>,
    /// Probability that a sprint reached the mark of `sprints_reached`; null for others and where there is none.
    #[schemars(range(min = 0, max = 1))]
    reached_probability: Option<f64>,
}

/// How many efforts there were, by kind: the sum of the probabilities of all that may have been one; null where they were not
/// counted.
#[derive(Serialize, JsonSchema)]
struct EffortsCounts {
    /// Sprints.
    sprint: Option<Interval>,
    /// High-speed runs.
    high_speed_run: Option<Interval>,
    /// Accelerations.
    acceleration: Option<Interval>,
    /// Decelerations.
    deceleration: Option<Interval>,
    /// Turns.
    turn: Option<Interval>,
}

/// What a receiver did to its fixes before it wrote them.
#[derive(Serialize, JsonSchema)]
struct Device {
    /// Time constant of its filter of positions, s; null where there are none.
    position_lag_s: Option<Interval>,
    /// Probability that positions are not filtered.
    #[schemars(range(min = 0, max = 1))]
    position_unfiltered: Option<f64>,
    /// Time constant of its filter of speed, s; null where it writes none.
    speed_lag_s: Option<Interval>,
    /// Probability that the speed is not filtered.
    #[schemars(range(min = 0, max = 1))]
    speed_unfiltered: Option<f64>,
    /// The same in a line.
    words: String,
}

/// One sequence.
#[derive(Serialize, JsonSchema)]
struct Sequence {
    /// Start of its first sprint, s from the session's start.
    #[schemars(with = "f64")]
    start_s: Option<f64>,
    /// End of its last sprint, s from the session's start.
    #[schemars(with = "f64")]
    end_s: Option<f64>,
    /// How many sprints.
    sprints: usize,
    /// Mean time from the end of one to the start of the next, s.
    #[schemars(with = "f64")]
    mean_recovery_s: Option<f64>,
}

/// The plan held against the motion.
#[derive(Serialize, JsonSchema)]
struct Plan<'a> {
    /// The blocks in the order of the plan.
    blocks: Vec<Block<'a>>,
    /// Work that the plan does not explain.
    unplanned: Vec<UnplannedWork>,
    /// Whether the plan explains the recording better than no plan does; `partly`: most of it is probably not in it;
    /// `no`: nothing is said of its reps.
    #[schemars(extend("enum" = words::FITS))]
    fits: &'static str,
    /// Reps by verdict; `planned` is the sum of the others.
    counts: Counts,
    /// The top speed that shares are taken of; null when none is known.
    top_speed: Option<TopSpeed>,
}

/// One block of the plan.
#[derive(Serialize, JsonSchema)]
struct Block<'a> {
    /// Position in the plan, from 1.
    #[schemars(range(min = 1))]
    index: usize,
    /// Category of the block.
    #[schemars(extend("enum" = Category::ALL.map(Category::word)))]
    category: &'static str,
    /// Name of the block.
    name: Option<&'a str>,
    /// Whether it was planned with the ball.
    with_ball: bool,
    /// `done`: every rep done; `short`: begun, not all of it done; `missed`: not in the recording; `unresolved`: the
    /// recording cannot tell; null: work in the gym, which no recording shows, without sets.
    #[schemars(extend("enum" = words::BLOCK_VERDICTS))]
    verdict: Option<&'static str>,
    /// Start of its first work, s from the session's start.
    start_s: Option<f64>,
    /// End of its last work, s from the session's start.
    end_s: Option<f64>,
    /// The sets in order.
    sets: Vec<Set>,
    /// How many reps of all its sets were done, also where it is open of which set; null where the plan does not fit.
    reps_done: Option<Interval>,
    /// How many of its reps reached the speed that the plan asked for; null when it asked for none.
    reached: Option<Asked>,
}

/// What the runs of a block, or the sprints of a session, say of one mark, each and together; null where no speed was
/// asked for.
#[derive(Serialize, JsonSchema)]
struct Asked {
    /// The speed asked for, m/s.
    #[schemars(range(min = 0))]
    mark_m_s: Option<f64>,
    /// That as a share of top speed, where it was asked for so.
    #[schemars(range(min = 0))]
    of_top_speed: Option<f64>,
    /// Runs that owed it, found or not.
    planned: usize,
    /// Runs whose whole interval lies at or above the mark.
    yes: usize,
    /// Runs whose whole interval lies below it.
    no: usize,
    /// Runs whose interval lies across it.
    unclear: usize,
    /// So many runs at least reached it, with a probability of 95 %, from all of them together, each independent of
    /// the others.
    at_least: usize,
    /// Probability that at least one did.
    #[schemars(range(min = 0, max = 1))]
    one_probability: Option<f64>,
    /// The top speed that the mark is a share of; null where it is none.
    top_speed: Option<TopSpeed>,
}

/// One set.
#[derive(Serialize, JsonSchema)]
struct Set {
    /// Position in the block, from 1.
    #[schemars(range(min = 1))]
    index: usize,
    /// Rest from the end of this set's work to the next set or block, s.
    rest_after_s: Option<f64>,
    /// Rest that the plan asked for there, s.
    rest_after_planned_s: Option<f64>,
    /// The reps in order.
    reps: Vec<Rep>,
    /// Verdict on that rest; null when there is none to judge.
    #[schemars(extend("enum" = words::REST_VERDICTS))]
    rest_after_verdict: Option<&'static str>,
    /// `rest_after_s` with its interval, s.
    rest_after_interval_s: Option<Interval>,
    /// Fading over the set: 100 (1 - mean of the peak speeds / best of them), from three like-for-like reps on; of speed,
    /// resistance and strength, else null.
    decrement_percent: Option<f64>,
    /// How many reps of the set were done, also where it is open which; null where the plan does not fit.
    reps_done: Option<Interval>,
}

/// One rep; a continuous block is one rep.
#[derive(Serialize, JsonSchema)]
struct Rep {
    /// Position in the set, from 1.
    #[schemars(range(min = 1))]
    index: usize,
    /// `done`: work within tolerance of the plan; `short`: started and cut off; `slow`: run in full below the speed
    /// asked for; `missed`: not in the recording; `unresolved`: the recording cannot tell.
    #[schemars(extend("enum" = words::VERDICTS))]
    verdict: &'static str,
    /// Probability that the verdict is right, 0 to 1; null where the rep is unresolved or nothing is known of it.
    #[schemars(range(min = 0, max = 1))]
    probability: Option<f64>,
    /// Start of work, s from the session's start.
    start_s: Option<f64>,
    /// End of work, s from the session's start.
    end_s: Option<f64>,
    /// Time of work, s.
    work_s: Option<f64>,
    #[serde(flatten)]
    found: Found,
    /// Rest from the end of this work to the start of the next of the set, s; null after the last.
    rest_s: Option<f64>,
    /// Rest that the plan asked for, s; null when it left it free.
    rest_planned_s: Option<f64>,
    /// `kept`: within tolerance of the plan; `long`; `short`; `free`: self-paced, not judged; null when there is no
    /// rest to judge.
    #[schemars(extend("enum" = words::REST_VERDICTS))]
    rest_verdict: Option<&'static str>,
    /// Why, in plain words, where the rep is not simply done.
    why: Option<String>,
    /// `work_s` with its interval, s.
    work_interval_s: Option<Interval>,
    /// `rest_s` with its interval, s.
    rest_interval_s: Option<Interval>,
    /// Heart rate at the end of work, beats a minute; null when none was recorded.
    heart_rate_end_bpm: Option<f64>,
    /// Drop of the heart rate from the end of work to the start of the next, beats a minute.
    heart_rate_drop_bpm: Option<f64>,
    /// Probability that its peak was at or above the speed asked for; null when none was asked for or the rep was not
    /// found.
    #[schemars(range(min = 0, max = 1))]
    reached_probability: Option<f64>,
}

/// One stretch of it.
#[derive(Serialize, JsonSchema)]
struct UnplannedWork {
    /// Start, s from the session's start.
    #[schemars(with = "f64")]
    start_s: Option<f64>,
    /// End, s from the session's start.
    #[schemars(with = "f64")]
    end_s: Option<f64>,
    /// Distance, m.
    distance_m: Option<Interval>,
    /// Highest speed, m/s.
    peak_speed_m_s: Option<Interval>,
}

impl<'a> Document<'a> {
    fn of(session: &'a Session) -> Self {
        let planned = session.review.plan.as_ref();
        let sprints =
            marks::sprints(session).filter(|_| planned.is_none_or(|p| p.fits == Fits::No));
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
            efforts_not_counted: session.efforts.not_counted.as_ref().map(note::text),
            sequences: session.efforts.sequences.iter().map(Sequence::of).collect(),
            plan: planned.map(|review| Plan::of(session.plan.as_ref(), review)),
            profile: Profile::of(&session.profile),
            pitch: Pitch::of(session),
            notes: session.review.notes.iter().map(note::text).collect(),
            sprints_reached: sprints.as_ref().map(Asked::of),
            note_codes: session.review.notes.iter().map(note::code).collect(),
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
            format: words::format(&session.format),
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
        let count = |kind| maybe(efforts.count(kind), COUNT_DECIMALS);
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
            bands: totals.bands.iter().map(BandWithin::of).collect(),
        }
    }
}

impl Effort {
    fn of(effort: &efforts::Effort, sprint_mark_m_s: Option<Measured>) -> Self {
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
            probability: rounded(effort.probability, 3),
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
            top_speed: plan.top_speed.map(TopSpeed::of),
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
            reps_done: block.reps_done.and_then(|m| interval(m, 0)),
            sets: (block.sets.iter())
                .map(|set| Set::of(set, mark_m_s, can_fade(block.category)))
                .collect(),
            reached: asked.map(Asked::of),
        }
    }
}

impl Asked {
    fn of(marks: &mark::Marks) -> Self {
        Self {
            mark_m_s: quantity(marks.mark_m_s.value),
            of_top_speed: marks.share.and_then(|s| rounded(s, SHARE_DECIMALS)),
            planned: marks.planned,
            yes: marks.count(Reached::Yes),
            no: marks.count(Reached::No),
            unclear: marks.count(Reached::Unclear),
            at_least: marks.at_least,
            one_probability: rounded(marks.one, SHARE_DECIMALS),
            top_speed: marks.top_speed.map(TopSpeed::of),
        }
    }
}

/// Whether what falls from rep to rep is fading: the peak of a game, or of work with the ball, is whatever its run of the day was.
fn can_fade(category: Category) -> bool {
    matches!(
        category,
        Category::Speed | Category::Resistance | Category::Strength
    )
}

impl Set {
    fn of(set: &SetReview, mark_m_s: Option<Measured>, fades: bool) -> Self {
        Self {
            index: set.index,
            rest_after_s: set.rest_after_s.and_then(|r| time(r.value)),
            rest_after_planned_s: set.rest_after_planned_s.and_then(time),
            reps: (set.reps.iter())
                .map(|rep| Rep::of(rep, mark_m_s))
                .collect(),
            rest_after_verdict: set.rest_after_verdict.map(words::rest_verdict),
            rest_after_interval_s: maybe(set.rest_after_s, TIME_DECIMALS),
            decrement_percent: set
                .decrement_percent
                .filter(|_| fades)
                .and_then(|p| rounded(p, SHARE_DECIMALS)),
            reps_done: set.reps_done.and_then(|m| interval(m, 0)),
        }
    }
}

impl Rep {
    fn of(rep: &RepReview, mark_m_s: Option<Measured>) -> Self {
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
            found: Found::of(rep),
            rest_s: rep.rest_s.and_then(|r| time(r.value)),
            rest_planned_s: rep.rest_planned_s.and_then(time),
            rest_verdict: rep.rest_verdict.map(words::rest_verdict),
            why: rep.why.as_ref().map(reason::text),
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
