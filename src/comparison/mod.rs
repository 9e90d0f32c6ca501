//! Holds sessions beside each other: what is clearly more, clearly less, and what the recordings leave open.
//!
//! A session, or an entry of the diary, becomes a [`Side`] (`side`). [`compare`] takes the first side as the base, and holds every
//! other against it: the totals (`totals`) and the drills that both did (`drill`). A quantity with an interval gets a verdict from
//! [`change`](crate::profile::change()); sums and counts have none, so their difference stands there without one. What was counted by
//! different rules is shown and not compared, and a note says why (`fair`).
//!
//! ```
//! use repledger::comparison::{Side, Verdict, compare};
//! use repledger::session;
//! use repledger::settings::Settings;
//! use repledger::simulation::{Kind, Mess, session as simulate};
//!
//! let one = simulate(7, Kind::Unit10, Mess::Clean);
//! let session = session::account(one.trace(), Some(&one.plan), &Settings::default())?;
//! let same = compare(vec![Side::of("a", &session), Side::of("b", &session)]);
//! assert!(same.rows.iter().all(|row| row.verdict(1).is_none_or(|v| v == Verdict::NoClearChange)));
//! # Ok::<(), session::Error>(())
//! ```

mod drill;
mod fair;
mod quantity;
mod side;
mod totals;

use crate::measured::Measured;
use crate::profile::{Change, Direction, change};
use crate::units::SpeedUnit;

pub use drill::{Drill, RepRow};
pub use quantity::Quantity;
pub use side::{Drilled, Receiver, Rules, Side, When};

/// Sessions held beside each other.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// The sessions; the first is the base that the others are held against.
    pub sides: Vec<Side>,
    /// The totals.
    pub rows: Vec<Row>,
    /// The drills that the base and at least one other session did, in the order of the base's plan.
    pub drills: Vec<Drill>,
    /// What the reader must know to trust the comparison.
    pub notes: Vec<String>,
    /// In which unit people are told speeds.
    pub speeds: SpeedUnit,
}

/// One quantity over all sessions.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What it is.
    pub quantity: Quantity,
    /// Its value in each session; `None` where it is not known.
    pub values: Vec<Option<Value>>,
    /// The difference from the base; `None` for the base itself, and where the two cannot be compared.
    pub differences: Vec<Option<Difference>>,
}

/// A value by how well it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// With a 95 % interval.
    Measured(Measured),
    /// A sum without an interval.
    Summed(f64),
    /// A count.
    Counted(usize),
    /// So many of so many.
    Share {
        /// How many.
        part: usize,
        /// Of how many.
        of: usize,
        /// How many of the others may be so too: the recording cannot tell.
        open: usize,
    },
}

/// How a session differs from the base: its value less the base's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Difference {
    /// Of values with intervals, so that it can be judged.
    Judged(Change),
    /// Of values without; it gets no verdict.
    Plain(f64),
}

/// What can be said of a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// The interval of the difference lies above 0.
    More,
    /// It lies below 0.
    Less,
    /// It holds 0.
    NoClearChange,
}

impl Verdict {
    /// The verdict in words.
    #[must_use]
    pub(crate) fn in_words(self) -> &'static str {
        match self {
            Self::More => "clearly more",
            Self::Less => "clearly less",
            Self::NoClearChange => "no clear change",
        }
    }
}

impl Difference {
    /// The difference itself.
    #[must_use]
    pub fn value(&self) -> f64 {
        match self {
            Self::Judged(change) => change.difference.value,
            Self::Plain(value) => *value,
        }
    }

    /// What can be said of it; `None` without intervals.
    #[must_use]
    pub fn verdict(&self) -> Option<Verdict> {
        let Self::Judged(change) = self else {
            return None;
        };
        Some(match change.direction {
            Direction::Up => Verdict::More,
            Direction::Down => Verdict::Less,
            Direction::Unclear => Verdict::NoClearChange,
        })
    }
}

impl Row {
    /// A row whose sessions are compared with the first where `fair` lets them; `None` where nobody has a value.
    fn new(
        quantity: Quantity,
        values: Vec<Option<Value>>,
        fair: impl Fn(usize) -> bool,
    ) -> Option<Self> {
        values.iter().any(Option::is_some).then(|| {
            let base = values.first().copied().flatten();
            let differences = (0..)
                .zip(&values)
                .map(|(k, value)| {
                    if k == 0 || !fair(k) {
                        return None;
                    }
                    difference(base?, (*value)?)
                })
                .collect();
            Self {
                quantity,
                values,
                differences,
            }
        })
    }

    /// What can be said of the session at `index` against the base.
    #[must_use]
    pub fn verdict(&self, index: usize) -> Option<Verdict> {
        self.differences.get(index)?.as_ref()?.verdict()
    }
}

/// The later value less the base's, where both are of one kind.
fn difference(base: Value, other: Value) -> Option<Difference> {
    match (base, other) {
        (Value::Measured(base), Value::Measured(other)) => {
            let finite = |m: Measured| m.low.is_finite() && m.high.is_finite();
            (finite(base) && finite(other)).then(|| Difference::Judged(change(base, other)))
        }
        (Value::Summed(base), Value::Summed(other)) => Some(Difference::Plain(other - base)),
        (Value::Counted(base), Value::Counted(other)) => {
            Some(Difference::Plain(other as f64 - base as f64))
        }
        // What a recording cannot tell was not left out by the player.
        (Value::Share { open: 0, .. }, Value::Share { open: 0, .. }) => {
            Some(Difference::Plain(other.share()? - base.share()?))
        }
        _ => None,
    }
}

impl Value {
    /// The part of the whole, 0 to 1; `None` for what is no share, and of nothing.
    #[must_use]
    pub(crate) fn share(&self) -> Option<f64> {
        match self {
            Self::Share { part, of, .. } if *of > 0 => Some(*part as f64 / *of as f64),
            _ => None,
        }
    }
}

/// Holds every session against the first.
///
/// The verdicts are about measurement: whether two values differ by more than the recordings leave open. Whether a player has
/// changed is another question, since he differs from day to day as well.
#[must_use]
pub fn compare(sides: Vec<Side>) -> Comparison {
    let rows = totals::rows(&sides);
    let drills = drill::drills(&sides);
    let notes = fair::notes(&sides, &rows);
    Comparison {
        sides,
        rows,
        drills,
        notes,
        speeds: SpeedUnit::default(),
    }
}
