//! A file under way: it has another name until it is whole, and then its own in one step.
//!
//! However the program ends, no half file has a name that anybody looks for. Where it ends by itself, or is asked to, its parts go
//! as well; those of a program that was killed go when the next file is written into their folder. A part is locked while its
//! program lives, which tells the two apart whatever machine or container the program runs on.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// How the name of a part begins and ends.
const BEGIN: &str = ".repledger.";
const END: &str = ".part";

/// The parts of this process: a signal ends all of it, whoever writes.
static UNDER_WAY: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// Who may read a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Readers {
    /// As the user's mask says.
    Usual,
    /// Its owner alone: it holds places.
    Owner,
}

/// A file that is being written. It is gone when it is dropped before it was finished.
pub struct Part {
    file: File,
    /// Where it is.
    path: PathBuf,
    /// Where it will be.
    place: PathBuf,
}

impl Part {
    /// Begins a file that will be at `place`.
    pub fn begin(place: &Path, readers: Readers) -> io::Result<Self> {
        let folder = match place.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        clear(folder);
        Self::begin_another(place, readers)
    }

    /// The same beside others in a folder that this program has begun to write into, which is not searched again.
    pub fn begin_another(place: &Path, readers: Readers) -> io::Result<Self> {
        let folder = match place.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let mut options = OpenOptions::new();
        options.write(true).create_new(true);
        #[cfg(unix)]
        if readers == Readers::Owner {
            use std::os::unix::fs::OpenOptionsExt;
            options.mode(0o600);
        }
        let mut under_way = under_way();
        let (path, file) = create(folder, &options)?;
        under_way.insert(path.clone());
        Ok(Self {
            file,
            path,
            place: place.to_owned(),
        })
    }

    /// Writes all of the content.
    pub fn write(mut self, bytes: &[u8]) -> io::Result<Self> {
        self.file.write_all(bytes)?;
        Ok(self)
    }

    /// Where another writer finds it, and may lock it itself.
    pub fn hand_over(&self) -> io::Result<&Path> {
        self.file.unlock()?;
        Ok(&self.path)
    }

    /// Gives the file its name, in the place of what has it.
    pub fn finish(self) -> io::Result<()> {
        // Otherwise the name may outlive a power cut and the content not.
        self.file.sync_all()?;
        let mut under_way = under_way();
        fs::rename(&self.path, &self.place)?;
        under_way.remove(&self.path);
        Ok(())
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        let mut under_way = under_way();
        if under_way.remove(&self.path) {
            remove(&self.path);
        }
    }
}

/// Removes every part of this process, which ends now: nobody writes any more.
pub fn remove_all() {
    let under_way = under_way();
    for path in under_way.iter() {
        remove(path);
    }
    // Held until the process is no more.
    std::mem::forget(under_way);
}

fn under_way() -> MutexGuard<'static, BTreeSet<PathBuf>> {
    UNDER_WAY.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A new file, locked. Between its making and its locking another program may take it for a dead one's.
fn create(folder: &Path, options: &OpenOptions) -> io::Result<(PathBuf, File)> {
    let mut number = 0_u32;
    loop {
        let path = folder.join(format!("{BEGIN}{}-{number}{END}", process::id()));
        number += 1;
        let file = match options.open(&path) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => continue,
            file => file?,
        };
        // A file system without locks has parts that stay.
        let _ = file.lock();
        if path.try_exists()? {
            return Ok((path, file));
        }
    }
}

/// Removes the parts of dead programs. What cannot be seen, opened, locked or removed stays.
fn clear(folder: &Path) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if is_part(&entry.file_name())
            && let Ok(file) = File::options().write(true).open(&path)
            && file.try_lock().is_ok()
        {
            remove(&path);
        }
    }
}

/// Removes a part, and before it the journal that `SQLite` may have laid beside it. That something of use to nobody cannot be removed
/// adds nothing to what is told.
fn remove(part: &Path) {
    let mut journal = part.as_os_str().to_owned();
    journal.push("-journal");
    let _ = fs::remove_file(journal);
    let _ = fs::remove_file(part);
}

fn is_part(name: &OsStr) -> bool {
    let middle = name
        .to_str()
        .and_then(|name| name.strip_prefix(BEGIN)?.strip_suffix(END));
    middle.is_some_and(|m| m.starts_with(|c: char| c.is_ascii_digit()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> io::Result<Vec<String>> {
        let mut names = fs::read_dir(folder)?
            .map(|e| Ok(e?.file_name().to_string_lossy().into_owned()))
            .collect::<io::Result<Vec<_>>>()?;
        names.sort();
        Ok(names)
    }

    #[test]
    fn a_part_has_its_name_when_it_is_whole_and_is_gone_when_not() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        let place = dir.path().join("a.txt");
        fs::write(&place, "old")?;
        let part = Part::begin(&place, Readers::Usual)?.write(b"new")?;
        assert_eq!(fs::read_to_string(&place)?, "old");
        drop(part);
        assert_eq!(names(dir.path())?, ["a.txt"]);
        Part::begin(&place, Readers::Usual)?
            .write(b"new")?
            .finish()?;
        assert_eq!(fs::read_to_string(&place)?, "new");
        assert_eq!(names(dir.path())?, ["a.txt"]);
        Ok(())
    }

    #[test]
    fn parts_of_the_dead_go_and_those_of_the_living_and_of_others_stay() -> io::Result<()> {
        let dir = tempfile::tempdir()?;
        for name in [
            ".repledger.17-0.part",
            ".repledger.17-0.part-journal",
            ".repledger.notes.part",
            ".a.17.part",
        ] {
            fs::write(dir.path().join(name), "half")?;
        }
        let living = Part::begin(&dir.path().join("a.txt"), Readers::Usual)?;
        let other = Part::begin(&dir.path().join("b.txt"), Readers::Usual)?;
        let own = format!(".repledger.{}-0.part", process::id());
        let second = format!(".repledger.{}-1.part", process::id());
        let mut there = vec![
            ".a.17.part".to_owned(),
            ".repledger.notes.part".to_owned(),
            own,
            second,
        ];
        there.sort();
        assert_eq!(names(dir.path())?, there);
        living.write(b"a")?.finish()?;
        other.write(b"b")?.finish()?;
        assert_eq!(
            names(dir.path())?,
            [".a.17.part", ".repledger.notes.part", "a.txt", "b.txt"]
        );
        Ok(())
    }

    #[cfg(unix)]
    #[test]
    fn what_holds_places_is_for_its_owner() -> io::Result<()> {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir()?;
        let place = dir.path().join("a.toml");
        Part::begin(&place, Readers::Owner)?.finish()?;
        assert_eq!(fs::metadata(&place)?.permissions().mode() & 0o777, 0o600);
        Ok(())
    }
}
