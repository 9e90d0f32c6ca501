//! The plan: on a screen before going out, for programs, and as a card for the pitch.

pub mod card;
pub mod json;
pub mod text;
