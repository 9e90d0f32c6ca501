//! Finds work and rest in the motion, without the plan.

/// The bouts of a session; candidates may overlap, the matching chooses among them.
#[derive(Clone, Debug, Default)]
pub struct Bouts {
    /// In order of start.
    pub list: Vec<Bout>,
}

/// A stretch of work between two stretches of rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Bout {
    /// Start of work, seconds from the session's start.
    pub start_s: f64,
    /// End of work, seconds from the session's start.
    pub end_s: f64,
}
