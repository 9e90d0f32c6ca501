//! Writes a session for people and for programs.
//!
//! Each form is a file: of a session the account for a terminal ([`terminal`]) and the review as JSON ([`json`]); of a plan
//! the text ([`plan_text`]), JSON ([`plan_json`]) and the card for the pitch ([`plan_card`]); of how well receivers could judge
//! it the text ([`simulation_text`]) and JSON ([`simulation_json`]); of the diary its text ([`diary_text`]) and JSON
//! ([`diary_json`]). All are pure functions from a value to text; what is done
//! with the text is the caller's business.

mod layout;
mod profile_json;
mod words;

pub mod diary_json;
pub mod diary_text;
pub mod json;
pub mod plan_card;
pub mod plan_json;
pub mod plan_text;
pub mod simulation_json;
pub mod simulation_text;
pub mod terminal;
