//! Sessions held beside each other as one JSON document, `repledger/comparison/1`.
//!
//! The shape is defined here and nowhere else; every field is described in [`schema()`].

use schemars::JsonSchema;
use serde::Serialize;

use crate::comparison::{Comparison, Difference, Drill, RepRow, Row, Side, Value, Verdict, When};
use crate::plan::Category;
use crate::report::parts::{
    Interval, QUANTITY_DECIMALS, SHARE_DECIMALS, TIME_DECIMALS, maybe, pretty, quantity, rounded,
    time,
};
use crate::report::schema;
use crate::report::words::{self, word_for};
use crate::review::RepReview;

/// The name and version of the shape.
pub const NAME: &str = "repledger/comparison/1";

/// The JSON Schema of the document, with a description of every field.
///
/// # Errors
/// Only where the writer itself fails.
pub fn schema() -> Result<String, serde_json::Error> {
    schema::of::<Document<'_>>(NAME)
}

/// Writes the comparison, pretty-printed and ended by a line feed.
///
/// # Errors
/// Only where the writer itself fails.
pub fn render(comparison: &Comparison) -> Result<String, serde_json::Error> {
    pretty(&Document::of(comparison))
}

/// Two or more sessions held beside each other; the first is the base. null is 'not known', never 0.
#[derive(Serialize, JsonSchema)]
struct Document<'a> {
    /// Name and version of this shape.
    #[schemars(extend("const" = NAME))]
    schema: &'static str,
    /// The sessions in the order they were named; the first is the base.
    #[schemars(length(min = 2))]
    sessions: Vec<SessionPart<'a>>,
    /// The totals.
    quantities: Vec<RowPart>,
    /// Drills that the base and at least one other session did, in the order of the base's plan.
    drills: Vec<DrillPart<'a>>,
    /// What must be known to trust the comparison.
    notes: &'a [String],
}

/// A session.
#[derive(Serialize, JsonSchema)]
struct SessionPart<'a> {
    /// The file, or `diary:` and the number of the entry.
    name: &'a str,
    /// RFC 3339, without a zone where the file gave none; null where it gave no date, and for entries of the diary.
    start: Option<String>,
    /// The day of an entry of the diary.
    date: Option<String>,
    /// From the plan or the recording.
    title: Option<&'a str>,
    /// From the plan, or the diary.
    athlete: Option<&'a str>,
    /// From the first to the last fix, s.
    duration_s: Option<f64>,
    /// The receiver's usual rate, Hz.
    rate_hz: Option<f64>,
    /// Where the speed comes from; null where the diary kept the sums alone.
    #[schemars(extend("enum" = words::SPEED_FROM))]
    speed_from: Option<&'static str>,
    /// Where high-speed running began, m/s.
    high_speed_from_m_s: Option<f64>,
    /// Where sprinting began, m/s.
    sprint_from_m_s: Option<f64>,
    /// Whether only the sums were kept, so that no drill can be compared.
    sums_only: bool,
}

/// One quantity over all sessions.
#[derive(Serialize, JsonSchema)]
struct RowPart {
    /// Its name with its unit, such as `distance_m`.
    name: String,
    /// Its unit; null for counts.
    unit: Option<&'static str>,
    /// A value a session, in the order of `sessions`; null where it is not known.
    values: Vec<Option<ValuePart>>,
    /// A difference a session; null for the base (the first), and where the two cannot be compared.
    differences: Vec<Option<DifferencePart>>,
}

/// A value by how well it is known.
#[derive(Serialize, JsonSchema)]
struct ValuePart {
    /// `measured`: with a 95 % interval; `summed`: a sum without one; `counted`: a count, or a share of counts.
    #[schemars(extend("enum" = ["measured", "summed", "counted"]))]
    known: &'static str,
    /// In the unit of the quantity; of `part` and `of` the share from 0 to 1.
    value: Option<f64>,
    /// Lower end of the 95 % interval; null without one.
    low: Option<f64>,
    /// Upper end of the 95 % interval; null without one.
    high: Option<f64>,
    /// How many, of a share.
    part: Option<usize>,
    /// Of how many, of a share.
    of: Option<usize>,
    /// How many of the others may be so too, of a share: the recording cannot tell. With any there is no difference.
    open: Option<usize>,
}

/// The session's value less the base's.
#[derive(Serialize, JsonSchema)]
struct DifferencePart {
    /// The difference, in the unit of the quantity; of shares from -1 to 1.
    value: Option<f64>,
    /// Lower end of its 95 % interval; null where the values have none.
    low: Option<f64>,
    /// Upper end of its 95 % interval; null where the values have none.
    high: Option<f64>,
    /// The smallest difference that the two intervals would let one tell; null where they have none.
    smallest: Option<f64>,
    /// `more` and `less`: the interval of the difference lies to one side of 0; `no_clear_change`: it holds 0; null
    /// without intervals.
    #[schemars(extend("enum" = VERDICTS))]
    verdict: Option<&'static str>,
}

/// A drill that the base and another session did.
#[derive(Serialize, JsonSchema)]
struct DrillPart<'a> {
    /// Category of the block.
    #[schemars(extend("enum" = Category::ALL.map(Category::word)))]
    category: &'static str,
    /// Name of the block.
    name: Option<&'a str>,
    /// With the ball at the foot.
    with_ball: bool,
    /// Which block of each session's plan it is, from 1; null where a session has none.
    #[schemars(inner(range(min = 1)))]
    blocks: &'a [Option<usize>],
    /// Whether each session ran the same distance or time a rep as the base; only then are they compared.
    like_for_like: &'a [bool],
    /// Counts, and means over the reps run in full.
    quantities: Vec<RowPart>,
    /// The reps, set by set.
    reps: Vec<RepRowPart>,
}

/// The rep of one number in each session.
#[derive(Serialize, JsonSchema)]
struct RepRowPart {
    /// From 1.
    #[schemars(range(min = 1))]
    set: usize,
    /// From 1.
    #[schemars(range(min = 1))]
    rep: usize,
    /// What each session did; null where its plan has no such rep.
    sessions: Vec<Option<RepPart>>,
    /// Peak speed less the base's, m/s, of reps run in full.
    peak_speed_differences: Vec<Option<DifferencePart>>,
}

/// What was done of a rep; times are seconds from that session's start.
#[derive(Serialize, JsonSchema)]
struct RepPart {
    /// As in `repledger/review/1`.
    #[schemars(extend("enum" = words::VERDICTS))]
    verdict: &'static str,
    /// Start of work, s.
    start_s: Option<f64>,
    /// How long its work lasted, s.
    work_s: Option<Interval>,
    /// Its highest speed, m/s.
    peak_speed_m_s: Option<Interval>,
    /// The rest after it, s.
    rest_s: Option<Interval>,
    /// As in `repledger/review/1`.
    #[schemars(extend("enum" = words::REST_VERDICTS))]
    rest_verdict: Option<&'static str>,
}

impl<'a> Document<'a> {
    fn of(comparison: &'a Comparison) -> Self {
        Self {
            schema: NAME,
            sessions: comparison.sides.iter().map(SessionPart::of).collect(),
            quantities: comparison.rows.iter().map(RowPart::of).collect(),
            drills: comparison.drills.iter().map(DrillPart::of).collect(),
            notes: &comparison.notes,
        }
    }
}

impl<'a> SessionPart<'a> {
    fn of(side: &'a Side) -> Self {
        let (start, date) = match side.when {
            When::Start(clock) => (clock.text(), None),
            When::Day(date) => (None, Some(date.to_string())),
        };
        let [high, sprint] = side.recorded.thresholds_m_s;
        Self {
            name: &side.name,
            start,
            date,
            title: side.title.as_deref(),
            athlete: side.athlete.as_deref(),
            duration_s: time(side.duration_s),
            rate_hz: quantity(side.receiver.rate_hz),
            speed_from: side.receiver.speed_from.map(words::speed_from),
            high_speed_from_m_s: quantity(high),
            sprint_from_m_s: quantity(sprint),
            sums_only: side.rules.is_none(),
        }
    }
}

impl RowPart {
    fn of(row: &Row) -> Self {
        let unit = row.quantity.unit();
        Self {
            name: row.quantity.name(),
            unit: (!unit.is_empty()).then_some(unit),
            values: row.values.iter().map(|v| v.map(ValuePart::of)).collect(),
            differences: differences(&row.differences),
        }
    }
}

impl ValuePart {
    fn of(value: Value) -> Self {
        let plain = |known, value| Self {
            known,
            value,
            low: None,
            high: None,
            part: None,
            of: None,
            open: None,
        };
        match value {
            Value::Measured(m) => Self {
                low: rounded(m.low, SHARE_DECIMALS),
                high: rounded(m.high, SHARE_DECIMALS),
                ..plain("measured", rounded(m.value, SHARE_DECIMALS))
            },
            Value::Summed(sum) => plain("summed", quantity(sum)),
            Value::Counted(n) => plain("counted", Some(n as f64)),
            Value::Share { part, of, open } => Self {
                part: Some(part),
                of: Some(of),
                open: Some(open),
                ..plain(
                    "counted",
                    value.share().and_then(|s| rounded(s, SHARE_DECIMALS)),
                )
            },
        }
    }
}

fn differences(list: &[Option<Difference>]) -> Vec<Option<DifferencePart>> {
    list.iter()
        .map(|d| d.as_ref().map(DifferencePart::of))
        .collect()
}

impl DifferencePart {
    fn of(difference: &Difference) -> Self {
        let round = |value| rounded(value, SHARE_DECIMALS);
        let (low, high, smallest) = match difference {
            Difference::Judged(change) => (
                round(change.difference.low),
                round(change.difference.high),
                round(change.smallest),
            ),
            Difference::Plain(_) => (None, None, None),
        };
        Self {
            value: round(difference.value()),
            low,
            high,
            smallest,
            verdict: difference.verdict().map(verdict),
        }
    }
}

impl<'a> DrillPart<'a> {
    fn of(drill: &'a Drill) -> Self {
        Self {
            category: drill.category.word(),
            name: drill.name.as_deref(),
            with_ball: drill.with_ball,
            blocks: &drill.blocks,
            like_for_like: &drill.like_for_like,
            quantities: drill.rows.iter().map(RowPart::of).collect(),
            reps: drill.reps.iter().map(RepRowPart::of).collect(),
        }
    }
}

impl RepRowPart {
    fn of(row: &RepRow) -> Self {
        Self {
            set: row.set,
            rep: row.rep,
            sessions: row
                .reps
                .iter()
                .map(|r| r.as_ref().map(RepPart::of))
                .collect(),
            peak_speed_differences: differences(&row.peak_differences),
        }
    }
}

impl RepPart {
    fn of(rep: &RepReview) -> Self {
        Self {
            verdict: words::verdict(rep.verdict),
            start_s: rep.start_s.and_then(time),
            work_s: maybe(rep.work_s, TIME_DECIMALS),
            peak_speed_m_s: maybe(rep.peak_speed_m_s, QUANTITY_DECIMALS),
            rest_s: maybe(rep.rest_s, TIME_DECIMALS),
            rest_verdict: rep.rest_verdict.map(words::rest_verdict),
        }
    }
}

word_for! {
    /// The word for what a difference says.
    verdict(Verdict) in VERDICTS {
        Verdict::More => "more",
        Verdict::Less => "less",
        Verdict::NoClearChange => "no_clear_change",
    }
}
