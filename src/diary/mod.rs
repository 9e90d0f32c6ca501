//! The store of reviewed sessions.

mod entry;

pub use entry::{Activity, Entry, MatchDay, Planned, Recorded};
