//! What must hold of any input: a function from bytes a target, which panics where something does not hold.
//!
//! The fuzzer runs them on what it makes up, and `cargo test` on all that is kept in `fuzz/corpus` and `fuzz/findings`.

mod diary;
mod output;
mod pitch;
mod plan;
mod review;
mod settings;
mod trace;

pub use diary::{diary, diary_file};
pub use pitch::pitch;
pub use plan::plan;
pub use review::review;
pub use settings::settings;
pub use trace::{csv, gpx};
