//! What several tests share.

pub mod cli;
pub mod made;
pub mod outcome;
pub mod script;
