//! Writes a session for people and for programs.
//!
//! A folder a subject, and in it a file a form: `text` for a terminal of 80 columns, `json` for programs, `card` for the pitch. Of one
//! session there is most: the account for a terminal ([`terminal`]), the page for a browser ([`page`]), JSON and one line of many
//! ([`review`]). Before it stand its plan ([`plan`]) and how well receivers could judge that ([`simulation`]); beside it other sessions
//! ([`comparison`]). Over many there are the diary ([`diary`]), weeks ([`week`], [`weeks`]), a squad ([`squad`], [`grid`]), bests
//! ([`best`]) and drills ([`drill`]), as a season of linked pages ([`season`]) and as rows of a table ([`table`]).
//!
//! What several of them need stands beside the folders: words and columns for people (`words`, `day_words`, `marks`, [`note`],
//! [`reason`], `left_open`, `layout`), parts and schemas of documents (`parts`, `rep`, `schema`), the head of a page (`head`), and the
//! diary's memory of a review (`kept`). All are pure functions from a value to text; what is done with the text is the caller's
//! business.

mod day_words;
mod head;
mod kept;
mod layout;
mod left_open;
mod marks;
mod parts;
mod rep;
mod schema;
mod shortfall;
mod words;

pub mod best;
pub mod comparison;
pub mod diary;
pub mod drill;
pub mod grid;
pub mod note;
pub mod page;
pub mod plan;
pub mod reason;
pub mod review;
pub mod season;
pub mod simulation;
pub mod squad;
pub mod table;
pub mod terminal;
pub mod week;
pub mod weeks;

pub use layout::safe;
