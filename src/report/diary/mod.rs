//! The diary, its list and one entry in full, for people and for programs.

pub mod json;
pub mod text;
