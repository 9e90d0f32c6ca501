//! A week around its match, for people and for programs.

pub mod json;
pub mod text;
