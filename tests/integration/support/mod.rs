//! What several tests share.

pub mod account;
pub mod alike;
pub mod any;
pub mod cli;
pub mod made;
pub mod outcome;
pub mod script;
pub mod season;
pub mod sound;
