//! How well receivers could judge a plan, for people and for programs.

pub mod json;
pub mod text;
