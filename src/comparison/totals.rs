//! The totals of the sessions.

use super::fair::{same_smoothing, same_sprints, same_thresholds};
use super::{Quantity, Row, Side, Value};

/// Distances of splits that are compared, m.
const SPLITS_M: [u32; 5] = [5, 10, 20, 30, 40];

/// A row a quantity that any session knows.
pub(super) fn rows(sides: &[Side]) -> Vec<Row> {
    let row = |quantity: Quantity,
               value: &dyn Fn(&Side) -> Option<Value>,
               fair: &dyn Fn(&Side, &Side) -> bool| {
        let values = sides.iter().map(value).collect();
        Row::new(quantity, values, |k| match (sides.first(), sides.get(k)) {
            (Some(base), Some(other)) => fair(base, other),
            _ => false,
        })
    };
    let always = |_: &Side, _: &Side| true;
    let mut rows = vec![
        row(
            Quantity::Duration,
            &|s| Some(Value::Summed(s.duration_s)),
            &always,
        ),
        row(
            Quantity::Distance,
            &|s| Some(Value::Measured(s.recorded.distance_m)),
            &same_smoothing,
        ),
        row(
            Quantity::TopSpeed,
            &|s| s.recorded.top_speed_m_s.map(Value::Measured),
            &same_smoothing,
        ),
        row(
            Quantity::HighSpeedDistance,
            &|s| Some(Value::Summed(s.recorded.fast_m[0])),
            &same_thresholds,
        ),
        row(
            Quantity::SprintDistance,
            &|s| Some(Value::Summed(s.recorded.fast_m[1])),
            &same_thresholds,
        ),
        row(
            Quantity::Sprints,
            &|s| Some(Value::Counted(s.recorded.sprints)),
            &same_sprints,
        ),
        row(
            Quantity::CurveTopSpeed,
            &|s| s.recorded.curve_top_m_s.map(Value::Measured),
            &same_smoothing,
        ),
        row(
            Quantity::TimeConstant,
            &|s| s.time_constant_s.map(Value::Measured),
            &same_smoothing,
        ),
    ];
    rows.extend(SPLITS_M.map(|split_m| {
        row(
            Quantity::Split(split_m),
            &|s| split(s, split_m),
            &same_smoothing,
        )
    }));
    rows.push(row(Quantity::RepsDone, &reps_done, &always));
    rows.push(row(
        Quantity::RestsKept,
        &|s| {
            let [part, of] = s.recorded.rests;
            (of > 0).then_some(Value::Share { part, of, open: 0 })
        },
        &always,
    ));
    rows.into_iter().flatten().collect()
}

fn split(side: &Side, split_m: u32) -> Option<Value> {
    side.recorded
        .splits
        .iter()
        .find(|split| (split.distance_m - f64::from(split_m)).abs() < 1e-6)
        .map(|split| Value::Measured(split.time_s))
}

fn reps_done(side: &Side) -> Option<Value> {
    let counts = side.recorded.counts?;
    Some(Value::Share {
        part: counts.done,
        of: counts.planned,
        open: counts.unresolved,
    })
}
