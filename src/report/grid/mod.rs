//! A squad by week, for people and for programs.

pub mod json;
pub mod text;
