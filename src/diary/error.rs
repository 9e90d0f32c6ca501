//! Why the diary could not do something.

use std::fmt;
use std::time::Duration;

use rusqlite::{ErrorCode, ffi};

/// How long another program's write is waited for before that is an error.
pub(super) const PATIENCE: Duration = Duration::from_secs(5);

/// Why the diary could not do something. Nothing was changed.
#[derive(Debug)]
#[non_exhaustive]
pub enum Error {
    /// The file is there and is no diary.
    NotADiary,
    /// The file was written by a newer repledger.
    Newer {
        /// Its version.
        found: i64,
        /// The newest that is known here.
        known: i64,
    },
    /// There is no such diary.
    NotThere,
    /// Another program writes into it and does not end.
    Locked,
    /// It may not be written.
    ReadOnly,
    /// The disk is full.
    Full,
    /// The file cannot be opened.
    CannotOpen(String),
    /// The file is damaged.
    Damaged(String),
    /// There is no entry of this number.
    NoEntry(i64),
    /// There is no plan of this number.
    NoPlan(i64),
    /// A value that no entry can have.
    Value {
        /// Which.
        field: &'static str,
        /// What is allowed.
        expected: &'static str,
    },
    /// Something is in the diary that repledger did not put there.
    Unreadable {
        /// Of which entry.
        id: i64,
        /// Which field.
        field: &'static str,
    },
    /// Anything else that the database says.
    Database(String),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotADiary => f.write_str(
                "it is no diary of repledger; name another file with --diary, it was left as it is",
            ),
            Self::Newer { found, known } => write!(
                f,
                "it was written by a newer repledger (its version is {found}, this program knows up to {known}); \
                 update repledger, the file was left as it is"
            ),
            Self::NotThere => {
                f.write_str("there is no such diary yet; `repledger diary add` or `diary note` makes it")
            }
            Self::Locked => write!(
                f,
                "another program was writing into it and did not end within {} s; nothing was changed. See what has it open \
                 (another repledger, a browser of databases, a backup or sync of its folder), then try again",
                PATIENCE.as_secs()
            ),
            Self::ReadOnly => f.write_str(
                "it, or the folder it lies in, may not be written; nothing was changed. Change the permissions or name \
                 another file with --diary",
            ),
            Self::Full => f.write_str("the disk is full; nothing was changed. Make room and try again"),
            Self::CannotOpen(why) => write!(f, "it cannot be opened: {why}"),
            Self::Damaged(why) => write!(
                f,
                "it is damaged ({why}); keep a copy of it, then go back to your last `repledger diary backup`"
            ),
            Self::NoEntry(id) => {
                write!(f, "there is no entry {id}; `repledger diary list` shows what there is")
            }
            Self::NoPlan(id) => write!(f, "there is no plan {id}; `repledger diary plan` shows what there is"),
            Self::Value { field, expected } => write!(f, "{field} must be {expected}"),
            Self::Unreadable { id, field } => write!(
                f,
                "entry {id} has a {field} that repledger did not write; `repledger diary check` looks at all of them"
            ),
            Self::Database(why) => write!(f, "the database says: {why}"),
        }
    }
}

impl std::error::Error for Error {}

impl From<rusqlite::Error> for Error {
    fn from(error: rusqlite::Error) -> Self {
        let why = error.to_string();
        if error.sqlite_error().map(|e| e.extended_code) == Some(ffi::SQLITE_IOERR_SHMSIZE) {
            // No room for the index of the log.
            return Self::Full;
        }
        match error.sqlite_error_code() {
            Some(ErrorCode::NotADatabase) => Self::NotADiary,
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Locked,
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => Self::ReadOnly,
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::CannotOpen) => Self::CannotOpen(why),
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged(why),
            _ => Self::Database(why),
        }
    }
}
