//! What several tests share.

pub mod account;
pub mod alike;
pub mod any;
pub mod chance;
pub mod cli;
pub mod made;
pub mod outcome;
#[cfg(target_os = "linux")]
pub mod process;
pub mod schema;
pub mod scribbles;
pub mod script;
pub mod season;
pub mod sessions;
pub mod sound;
