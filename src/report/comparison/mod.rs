//! Sessions held beside each other, for people and for programs.

pub mod json;
pub mod text;
