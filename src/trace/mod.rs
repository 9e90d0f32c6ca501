//! Reads a recording: `read(bytes)` turns the bytes of a file into a [`Trace`].
//!
//! The bytes are unpacked (gzip), turned into text (UTF-8, UTF-16 or Windows-1252), recognised by content, and read as GPX or
//! as columns. Both readers hand every fix they meet to one collector, which judges it: a fix with a time and a position
//! or a speed is kept, any other is set aside with its reason. So `fixes.len()` and the counts in `set_aside` always add up
//! to the fixes of the file.
//!
//! Nothing here knows a file name, a clock or the environment, and no input makes it panic or use memory out of
//! proportion to the bytes it was given; what it may expand to is bounded.
//!
//! ```
//! use repledger::trace::{self, Options};
//!
//! let csv = b"time (s);speed (km/h)\n0,0;18,0\n0,1;18,9\n";
//! let trace = trace::read(csv, &Options::default())?;
//! assert_eq!(trace.fixes.len(), 2);
//! assert_eq!(trace.fixes[0].speed_m_s, Some(5.0));
//! # Ok::<(), trace::Error>(())
//! ```

// What comes from outside is taken by `get`, never by an index that may not be there.
#![warn(clippy::indexing_slicing, clippy::string_slice)]

mod candidate;
mod collect;
mod csv;
mod defect;
mod encoding;
mod error;
mod fix;
mod format;
pub mod gpx;
mod gzip;
mod join;
mod lines;
mod month;
mod number;
mod time;
mod xml;

use std::borrow::Cow;
use std::io::Read;

pub use defect::{Defect, SetAside};
pub use error::Error;
pub use fix::{Clock, Fix, Position, Trace};
pub use format::Format;
pub use join::{JoinError, Joined, join};

/// What the reader is told beside the bytes.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Options {
    /// Columns of a CSV without a header, such as `time,lat,lon,speed:km/h,-`.
    pub columns: Option<String>,
    /// The order of day and month in dates that do not tell.
    pub dates: Option<DateOrder>,
}

impl Options {
    /// Whether what is said of the columns can be true of a table, before any file is opened: a GPX file needs none of it.
    ///
    /// # Errors
    /// [`Error::Columns`] or [`Error::Unit`], which names the word.
    pub fn check(&self) -> Result<(), Error> {
        self.columns.as_deref().map_or(Ok(()), csv::check)
    }
}

/// Order of day and month in a numeric date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// 31/12/2026
    DayMonthYear,
    /// 12/31/2026
    MonthDayYear,
}

/// The content of a recording, unpacked where it came as gzip.
#[derive(Clone, Debug, PartialEq)]
pub struct Unpacked<'a> {
    bytes: Cow<'a, [u8]>,
    defects: Vec<Defect>,
}

/// Unpacks the bytes of a recording where they are gzip, else takes them as they are.
///
/// # Errors
/// When they are gzip and nothing can be unpacked, or more than the reader takes.
pub fn unpack(bytes: &[u8]) -> Result<Unpacked<'_>, Error> {
    let mut defects = Vec::new();
    let bytes = gzip::unpack(bytes, &mut defects)?;
    Ok(Unpacked { bytes, defects })
}

impl Unpacked<'_> {
    /// The content: what tells two copies of a recording to be the same.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Reads the recording.
    ///
    /// # Errors
    /// As [`read`].
    pub fn read(&self, options: &Options) -> Result<Trace, Error> {
        let mut defects = self.defects.clone();
        format::refuse_binary(&self.bytes)?;
        let text = encoding::decode(&self.bytes, &mut defects)?;
        let mut trace = match format::detect(&text)? {
            format::Kind::Xml => gpx::read(&text)?,
            format::Kind::Columns => csv::read(&text, options)?,
        };
        defects.append(&mut trace.defects);
        trace.defects = defects;
        Ok(trace)
    }
}

/// Reads a recording from the bytes of a file, whatever its name.
///
/// # Errors
/// When nothing in the bytes can be used: see [`Error`], whose cases say what was found and what to do about it. A file
/// that is damaged after its first fixes is no error; it gives what was read and a [`Defect`].
pub fn read(bytes: &[u8], options: &Options) -> Result<Trace, Error> {
    unpack(bytes)?.read(options)
}

/// Reads an ordinary GPX recording of about `bytes` bytes as it comes, without ever having the whole of it in memory.
///
/// It gives what [`read`] gives, or `None`: for whatever is not ordinary, is no GPX, cannot be read or is so short that it is not worth
/// it. That says nothing of the recording; [`read`] does.
///
/// # Examples
/// ```
/// use repledger::trace;
///
/// let table = b"time,lat,lon\n2026-05-12T17:30:00Z,48.1,11.5\n";
/// assert!(trace::read_in_pieces(table.as_slice(), table.len()).is_none());
/// ```
pub fn read_in_pieces(input: impl Read, bytes: usize) -> Option<Trace> {
    gpx::read_in_pieces(input, bytes)
}
