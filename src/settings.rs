//! All settings of a session in one value, with the named sets and the file form.

use crate::{efforts, motion, review, trace, track};

/// The settings of every stage.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Settings {
    /// For the reader.
    pub trace: trace::Options,
    /// For the cleaning.
    pub track: track::Rules,
    /// For the smoothing.
    pub motion: motion::Settings,
    /// What counts as an effort.
    pub efforts: efforts::Thresholds,
    /// How far from the plan still counts.
    pub review: review::Tolerances,
}
