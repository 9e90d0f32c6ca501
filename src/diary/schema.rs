//! The tables of the diary, as an append-only list of steps that `user_version` counts, and the views for SQL.
//!
//! Tables hold speeds, distances and times in thousandths as whole numbers: a millimetre and a millisecond are finer than any
//! receiver, and such a number takes a third of the room of a real one. The views give them in the units of their names; views
//! are what others may rely on, tables may change with a later version.

use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::diary::{Error, thousandths};

/// What tells a diary from other `SQLite` files: "RPLD".
pub(super) const APPLICATION_ID: i64 = 0x5250_4c44;

/// Each step turns a diary of the version of its index into the next. Steps are added at the end and never changed.
pub(super) const MIGRATIONS: &[&str] = &[
    include_str!("schema_1.sql"),
    include_str!("schema_2.sql"),
    include_str!("schema_3.sql"),
    include_str!("schema_4.sql"),
];

/// The version that this program writes.
pub(super) fn known() -> i64 {
    thousandths::count(MIGRATIONS.len())
}

/// The diary's version; refuses what is none, and what is newer than this program.
pub(super) fn version(connection: &Connection) -> Result<i64, Error> {
    // One statement sees one moment: another program may be making the diary right now.
    let (application, found, things): (i64, i64, i64) = connection.query_row(
        "SELECT (SELECT application_id FROM pragma_application_id), (SELECT user_version FROM pragma_user_version), count(*)
         FROM sqlite_schema",
        [],
        |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
    )?;
    if application != APPLICATION_ID && (things > 0 || found != 0) {
        return Err(Error::NotADiary);
    }
    if found > known() {
        return Err(Error::Newer {
            found,
            known: known(),
        });
    }
    Ok(found)
}

/// Brings the diary to the version of this program, in one transaction.
pub(super) fn migrate(connection: &mut Connection) -> Result<(), Error> {
    if version(connection)? == known() {
        return Ok(());
    }
    let transaction = Transaction::new_unchecked(connection, TransactionBehavior::Immediate)?;
    // Another program may have done it while this one waited.
    let found = version(&transaction)?;
    for step in MIGRATIONS.iter().skip(usize::try_from(found).unwrap_or(0)) {
        transaction.execute_batch(step)?;
    }
    transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
    transaction.pragma_update(None, "user_version", known())?;
    transaction.commit()?;
    Ok(())
}
