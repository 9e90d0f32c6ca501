//! The store of reviewed sessions: one `SQLite` file.
//!
//! A session is distilled (`distil`) into a [`NewEntry`], [`Diary::add`] keeps it in one transaction (`store`), and queries
//! (`query`) give back what weeks, bests and lists need: the sums of all entries in one pass over one row each. The tables and
//! the views that other programs may rely on are in `schema`, which also brings older files up to date; `open` opens and makes
//! files, and refuses untouched what is none of ours or newer; `upkeep` copies and checks;
//! what recordings show of their devices is asked for before the next one is reviewed (`witness`), and so is the athlete's best of an
//! earlier day (`top`).
//!
//! This is the one module of the library that opens a file, as its caller names it: `SQLite` must.
//!
//! ```
//! use jiff::civil::date;
//! use repledger::diary::{Activity, Diary, Filter, NewEntry};
//!
//! let mut diary = Diary::in_memory()?;
//! let mut team = NewEntry::note("Mika", date(2026, 5, 12), Activity::Team, 90.0 * 60.0);
//! team.rpe = Some(6.0);
//! let added = diary.add(&team)?;
//! let entries = diary.entries(&Filter::default())?;
//! assert_eq!((entries[0].id, entries[0].rpe), (added.id, Some(6.0)));
//! # Ok::<(), repledger::diary::Error>(())
//! ```

// What comes from outside is taken by `get`, never by an index that may not be there.
#![warn(clippy::indexing_slicing, clippy::string_slice)]

mod block;
mod columns;
mod distil;
mod drilled;
mod effort;
mod entry;
mod error;
mod heart;
mod open;
mod query;
mod recording;
mod rep;
mod schema;
pub mod sheet;
mod store;
mod sums;
mod thousandths;
mod top;
mod upkeep;
mod witness;
mod words;

use rusqlite::Connection;

pub use block::Block;
pub(crate) use distil::duration_s;
pub use distil::{Circumstances, local_date};
pub use drilled::{Drilled, DrilledRep};
pub use effort::Effort;
pub use entry::{Activity, Entry, MatchDay, Planned, Recorded};
pub use error::Error;
pub use heart::{BlockHeart, CLASS_BPM, Heart, HeartLoad, HeartNumbers, HeartOf, Recovery};
pub use query::Filter;
pub use recording::{NewEntry, Reading, Recording, Source};
pub use rep::{Rep, Rest};
use store::written;
pub use store::{Added, Change};
pub use upkeep::Health;

/// A diary that is open.
#[derive(Debug)]
pub struct Diary {
    connection: Connection,
}

impl Diary {
    /// From now on everything that is read is of this moment, whatever others write, until the diary is closed; nothing can be written.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn hold(&self) -> Result<(), Error> {
        self.connection.execute_batch("BEGIN")?;
        // A transaction begins with its first reading.
        schema::version(&self.connection)?;
        Ok(())
    }
}
