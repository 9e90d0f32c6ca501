//! Writes a session for people and for programs.
//!
//! Each form is a file: of a session the account for a terminal ([`terminal`]), the review as JSON ([`json`]) and one line of many
//! ([`summary`]); of a plan
//! the text ([`plan_text`]), JSON ([`plan_json`]) and the card for the pitch ([`plan_card`]); of how well receivers could judge
//! it the text ([`simulation_text`]) and JSON ([`simulation_json`]); of sessions held beside each other the text
//! ([`comparison_text`]) and JSON ([`comparison_json`]); of the diary its text ([`diary_text`]) and JSON
//! ([`diary_json`]); of its weeks and bests the texts and JSON of [`week_text`], [`weeks_text`], [`squad_text`] and
//! [`best_text`]. All are pure functions from a value to text; what is done
//! with the text is the caller's business.

mod day_words;
mod head;
mod kept;
mod layout;
mod left_open;
mod marks;
mod parts;
mod pitch_json;
mod profile_json;
mod rep;
mod schema;
mod totals_json;
mod words;

pub mod best_json;
pub mod best_text;
pub mod comparison_json;
pub mod comparison_text;
pub mod diary_json;
pub mod diary_text;
pub mod drill_json;
pub mod drill_text;
pub mod grid_json;
pub mod grid_text;
pub mod json;
pub mod note;
pub mod page;
pub mod plan_card;
pub mod plan_json;
pub mod plan_text;
pub mod reason;
pub mod season;
pub mod simulation_json;
pub mod simulation_text;
pub mod squad_text;
pub mod summary;
pub mod table;
pub mod terminal;
pub mod week_json;
pub mod week_text;
pub mod weeks_json;
pub mod weeks_text;

pub use layout::safe;
