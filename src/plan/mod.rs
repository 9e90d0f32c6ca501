//! What was meant to be done: [`parse()`] turns a written plan into blocks of sets of reps, with work and rest.
//!
//! The notation is a player's, typed on a phone: one block a line, a category, an optional name in double quotes, then
//! phrases. Layout and typography are read as meant (`x` or `×`, `10s` or `10 s`, `90"`, smart quotes, decimal commas);
//! what can mean one thing only is read (`10 mins`, `30 s on, 30 s off`), and nothing is guessed: a word that is nearly right
//! is a [`Mistake`] with its place, a suggestion and the line as it probably was meant; what can mean two things is one with
//! both.
//!
//! A line (`line`) is cut into words with their places (`word`) and read as a header (`heading`) or as the phrases of a
//! block (`phrase`); what neither reads is tried as a scribble (`scribble`), and how it was then read is said ([`ReadAs`]).
//! `rounds` are blocks done several times over; `tidy` writes a plan back. What follows from a plan alone is its
//! [`timetable`] and the [`remarks`] on it.
//!
//! ```
//! let plan = repledger::plan::parse("speed \"to halfway\", 5×40m at 95 %, rest walk back").unwrap();
//! assert_eq!(
//!     plan.to_string(),
//!     "speed \"to halfway\", 5 x 40 m at 95%, rest walk back\n"
//! );
//!
//! let mistakes = repledger::plan::parse("speeed 5 x 40 m").unwrap_err();
//! assert_eq!(mistakes[0].suggestion.as_deref(), Some("speed"));
//! ```

// What comes from outside is taken by `get`, never by an index that may not be there.
#![warn(clippy::indexing_slicing, clippy::string_slice)]

mod amount;
mod block;
pub mod cues;
mod date;
mod dose;
mod header;
mod heading;
mod line;
mod minutes;
pub mod mistake;
mod near;
mod parse;
mod phrase;
mod read_as;
pub mod remarks;
mod rounds;
mod scribble;
mod tidy;
pub mod timetable;
mod word;

pub(crate) use amount::{length_text, time_text};
pub use block::{Block, Category, Each, Effort, FreeRest, Rest, Round, Target};
pub use date::Reading;
pub use dose::{Dose, Work};
pub use header::{Header, PitchSize};
pub use mistake::Mistake;
pub use parse::{decode, looks_like_one, parse, parse_with, read_with};
pub use phrase::seconds;
pub use read_as::ReadAs;
pub use tidy::{tidy, tidy_with};

/// A training plan.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Plan {
    /// The lines before the first block.
    pub header: Header,
    /// The blocks in order.
    pub blocks: Vec<Block>,
}
