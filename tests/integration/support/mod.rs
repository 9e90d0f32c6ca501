//! What several tests share.

pub mod account;
pub mod cli;
pub mod made;
pub mod outcome;
pub mod script;
pub mod season;
