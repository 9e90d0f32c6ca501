//! Opens a diary file, or makes it.

use std::fs::{File, OpenOptions};
use std::io::{self, Read};
use std::path::Path;
use std::thread;
use std::time::Duration;

use rusqlite::{Connection, OpenFlags};

use crate::diary::error::PATIENCE;
use crate::diary::{Diary, Error, schema};

/// How often the change to a write-ahead log is tried, which does not wait by itself.
const TRIES: u32 = 200;
const BETWEEN_TRIES: Duration = Duration::from_millis(25);
/// Bytes of an `SQLite` file's header (sqlite.org/fileformat.html, 1.3).
const HEADER: usize = 100;

impl Diary {
    /// Opens a diary that is there.
    ///
    /// # Errors
    /// When there is none, it is none, a newer repledger wrote it, or it cannot be read and written.
    pub fn open(path: &Path) -> Result<Self, Error> {
        look_before(path)?;
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        Self::prepare(Connection::open_with_flags(path, flags)?).map_err(|error| match error {
            // What `SQLite` cannot lay beside a diary that may not be written.
            Error::CannotOpen(_) => may_write(path).err().unwrap_or(error),
            error => error,
        })
    }

    /// Opens a diary, or makes it where there is none: only its owner may read it.
    ///
    /// # Errors
    /// When the file is there and is no diary, a newer repledger wrote it, or it cannot be written.
    pub fn create(path: &Path) -> Result<Self, Error> {
        let mut options = OpenOptions::new();
        options.write(true).create_new(true);
        #[cfg(unix)]
        {
            use std::os::unix::fs::OpenOptionsExt;
            // The log and its index take their permissions from the file.
            options.mode(0o600);
        }
        match options.open(path) {
            Ok(_) => {}
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(from_io(&error)),
        }
        Self::open(path)
    }

    /// A diary that lasts as long as the value.
    ///
    /// # Errors
    /// When there is no memory for it.
    pub fn in_memory() -> Result<Self, Error> {
        Self::prepare(Connection::open_in_memory()?)
    }

    fn prepare(mut connection: Connection) -> Result<Self, Error> {
        connection.busy_timeout(PATIENCE)?;
        // Nothing is changed before it is known to be a diary that this program understands.
        let found = schema::version(&connection)?;
        if found < schema::known() && connection.is_readonly("main")? {
            return Err(Error::ReadOnly);
        }
        if !connection.is_readonly("main")? {
            write_ahead(&connection)?;
        }
        // What was told as done stays done even when the power fails right after.
        connection.pragma_update(None, "synchronous", "FULL")?;
        connection.pragma_update(None, "foreign_keys", true)?;
        schema::migrate(&mut connection)?;
        Ok(Self { connection })
    }
}

/// Refuses, without `SQLite` touching them, files that are no diary or a newer one.
fn look_before(path: &Path) -> Result<(), Error> {
    let mut header = [0; HEADER];
    let mut file = File::open(path).map_err(|error| from_io(&error))?;
    if file.metadata().is_ok_and(|m| m.is_dir()) {
        return Err(Error::CannotOpen(
            "it is a folder; name a file in it".to_owned(),
        ));
    }
    let read = file.read(&mut header).map_err(|error| from_io(&error))?;
    // Made a moment ago by a program that was then stopped, or by one that is about to write.
    if read == 0 {
        return Ok(());
    }
    if read < HEADER || !header.starts_with(b"SQLite format 3\0") {
        return Err(Error::NotADiary);
    }
    let number = |at: usize| {
        let bytes = header.get(at..at + 4).and_then(|b| b.try_into().ok());
        i64::from(bytes.map_or(0, u32::from_be_bytes))
    };
    let (found, application) = (number(60), number(68));
    if application == schema::APPLICATION_ID && found > schema::known() {
        return Err(Error::Newer {
            found,
            known: schema::known(),
        });
    }
    if application != schema::APPLICATION_ID && (application != 0 || found != 0) {
        return Err(Error::NotADiary);
    }
    Ok(())
}

/// Writers then do not stop readers, and a program that is stopped leaves whole transactions only.
fn write_ahead(connection: &Connection) -> Result<(), Error> {
    let mode = |sql| connection.query_row(sql, [], |row| row.get::<_, String>(0));
    for _ in 0..TRIES {
        match mode("PRAGMA journal_mode") {
            Ok(mode) if mode == "wal" || mode == "memory" => return Ok(()),
            _ => {}
        }
        match mode("PRAGMA journal_mode = wal").map_err(Error::from) {
            Err(Error::Locked) => thread::sleep(BETWEEN_TRIES),
            Err(error) => return Err(error),
            // A file system that cannot have it keeps its journal, which is as whole, only slower.
            Ok(_) => return Ok(()),
        }
    }
    Err(Error::Locked)
}

fn may_write(path: &Path) -> Result<(), Error> {
    let opened = OpenOptions::new().write(true).open(path);
    opened.map(drop).map_err(|error| from_io(&error))
}

fn from_io(error: &io::Error) -> Error {
    match error.kind() {
        io::ErrorKind::NotFound => Error::NotThere,
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => Error::ReadOnly,
        io::ErrorKind::StorageFull => Error::Full,
        _ => Error::CannotOpen(error.to_string()),
    }
}
