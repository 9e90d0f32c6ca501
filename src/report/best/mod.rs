//! The bests of an athlete, for people and for programs.

pub mod json;
pub mod text;
