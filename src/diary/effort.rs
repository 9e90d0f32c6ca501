//! What the diary keeps of an effort, with its columns.

use crate::diary::columns::{Field, Table, field};
use crate::diary::thousandths;
use crate::efforts::Kind;
use crate::measured::Measured;

/// One effort.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    /// What it is.
    pub kind: Kind,
    /// From the session's start, s.
    pub start_s: f64,
    /// s.
    pub duration_s: f64,
    /// m.
    pub distance_m: f64,
    /// m/s.
    pub peak_speed_m_s: Measured,
    /// m/s2.
    pub peak_acceleration_m_s2: Option<Measured>,
    /// Degrees, left positive.
    pub turn_deg: Option<f64>,
    /// That it counts, given the errors of the motion; `None` of turns, and of entries that did not keep it.
    pub probability: Option<f64>,
}

/// The table of efforts, which are numbered from 1.
pub(super) const EFFORTS: Table<Effort> = Table {
    name: "effort",
    keys: &["session_id", "n"],
    order: "n",
    fields: &[
        field!(kind in "kind"; or "effort"),
        field!(start_s in "start_ms"),
        field!(duration_s in "duration_ms"),
        field!(distance_m in "distance_mm"),
        field!(peak_speed_m_s in "peak_mm_s", "peak_low_mm_s", "peak_high_mm_s"; or "effort"),
        field!(peak_acceleration_m_s2 in "acceleration_mm_s2", "acceleration_low_mm_s2", "acceleration_high_mm_s2"),
        Field {
            columns: &["turn_tenths_deg"],
            bind: |effort, statement, at| {
                Ok(statement.raw_bind_parameter(at, effort.turn_deg.map(thousandths::tenths))?)
            },
            read: |effort, row, at, _| {
                effort.turn_deg = row.get::<_, Option<i64>>(at)?.map(thousandths::of_tenths);
                Ok(())
            },
        },
        field!(probability in "probability_thousandths"),
    ],
    blank: || Effort {
        kind: Kind::Sprint,
        start_s: 0.0,
        duration_s: 0.0,
        distance_m: 0.0,
        peak_speed_m_s: Measured::within(0.0, 0.0, 0.0),
        peak_acceleration_m_s2: None,
        turn_deg: None,
        probability: None,
    },
};
