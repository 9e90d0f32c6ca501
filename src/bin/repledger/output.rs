//! Writes files: each is complete or not there, and nobody else's file is overwritten.
//!
//! Beside the files lies a list of what was written, `.repledger`, a line a file with the hash of its content. A file
//! that is not in the list, or whose content has changed since, belongs to somebody else. The list is written before
//! the files: should the program be stopped between the two, what is there is still known as ours.

use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsStr;
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf, is_separator};

use anyhow::{Context, bail};
use rayon::prelude::*;
use repledger::report::season::Page;

use crate::exit_status::WrongUsage;
use crate::part::{Part, Readers};

/// Name of the list of what was written.
const LIST: &str = ".repledger";
/// First line of the list.
const LIST_HEAD: &str =
    "# Written by repledger; it overwrites only what is listed here and unchanged.";
/// What stands in the list for the end of a line in a name, where it cannot be.
const LINE_END: &str = "\0";
/// Most bytes of a list that are read.
const LIST_BYTES: u64 = 1 << 24;

/// A file to be written.
pub struct Output {
    /// Name inside the folder.
    pub name: String,
    /// Content.
    pub bytes: Vec<u8>,
}

impl From<Page> for Output {
    fn from(page: Page) -> Self {
        Self::text(page.name, page.html)
    }
}

impl Output {
    /// A file of text.
    pub fn text(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            bytes: text.into().into_bytes(),
        }
    }
}

/// A folder that files are written into.
pub struct Folder {
    path: PathBuf,
    /// Write over anything.
    force: bool,
    /// `(hash, name)` of what was written before.
    listed: BTreeSet<(u64, String)>,
}

impl Folder {
    /// Makes the folder where it is not there yet, and looks whether it can be written into.
    pub fn open(path: &Path, force: bool) -> anyhow::Result<Self> {
        refuse_name_of_a_file(path)?;
        let named = || format!("cannot write into '{}'", path.display());
        fs::create_dir_all(path)
            .map_err(|error| match error.kind() {
                io::ErrorKind::AlreadyExists => anyhow::anyhow!("it is a file; name a folder"),
                _ => error.into(),
            })
            .with_context(named)?;
        read_list(&path.join(LIST)).with_context(named)?;
        Ok(Self {
            path: path.to_owned(),
            force,
            listed: BTreeSet::new(),
        })
    }

    /// Writes the files, all of them or, where one of them is not ours, none.
    pub fn write(mut self, outputs: &[Output]) -> anyhow::Result<()> {
        // One program after the other, each with the list that the one before left. Where folders cannot be locked they take
        // their chance: a file of the one may be unknown to the list of the other, and then stands.
        let folder = File::open(&self.path);
        let _locked = folder.as_ref().map(File::lock);
        self.listed = read_list(&self.path.join(LIST))?;
        self.refuse_foreign(outputs)?;
        self.listed
            .extend(outputs.iter().map(|o| (hash(&o.bytes), o.name.clone())));
        self.write_list()?;
        for output in outputs {
            let path = self.path.join(&output.name);
            replace(&path, &output.bytes)
                .with_context(|| format!("cannot write '{}'", path.display()))?;
        }
        self.remove_stale(outputs);
        // What the new files replaced is there no more.
        self.listed.retain(|(h, name)| {
            outputs
                .iter()
                .all(|o| o.name != *name || hash(&o.bytes) == *h)
        });
        self.write_list()
    }

    fn refuse_foreign(&self, outputs: &[Output]) -> anyhow::Result<()> {
        if self.force {
            return Ok(());
        }
        let mut foreign = Vec::new();
        for output in outputs {
            let path = self.path.join(&output.name);
            let there = match fs::read(&path) {
                Err(error) if error.kind() == io::ErrorKind::NotFound => continue,
                there => there.with_context(|| format!("cannot write '{}'", path.display()))?,
            };
            if there != output.bytes && !self.listed.contains(&(hash(&there), output.name.clone()))
            {
                foreign.push(format!("'{}'", path.display()));
            }
        }
        if foreign.is_empty() {
            return Ok(());
        }
        bail!(
            "not overwritten, since repledger did not write it or it was changed since: {}; nothing was written. Name \
             another place, or overwrite with --force",
            foreign.join(", ")
        );
    }

    /// Removes pictures of an earlier review that this one did not draw: beside a new account they would mislead.
    ///
    /// Only what is still as repledger wrote it goes, and only where new pictures were written. One that cannot be removed
    /// stays, which is no reason to fail.
    fn remove_stale(&mut self, outputs: &[Output]) {
        let extension = |name: &str| Path::new(name).extension().map(OsStr::to_owned);
        let picture = |name: &str| extension(name).is_some_and(|e| e == "svg" || e == "png");
        let written = |name: &str| outputs.iter().any(|o| o.name == name);
        if !outputs.iter().any(|o| picture(&o.name)) {
            return;
        }
        self.listed.retain(|(h, name)| {
            let path = self.path.join(name);
            let stale = picture(name) && !written(name);
            let ours = stale && fs::read(&path).is_ok_and(|there| hash(&there) == *h);
            !(ours && fs::remove_file(&path).is_ok())
        });
    }

    fn write_list(&self) -> anyhow::Result<()> {
        let mut lines = vec![LIST_HEAD.to_owned()];
        lines.extend(
            self.listed
                .iter()
                .map(|(hash, name)| format!("{hash:016x} {}", name.replace('\n', LINE_END))),
        );
        let text = lines.join("\n") + "\n";
        let path = self.path.join(LIST);
        replace(&path, text.as_bytes())
            .with_context(|| format!("cannot write '{}'", path.display()))
    }
}

/// A folder that grows: it is written into batch by batch, only what differs from what is there, and in the end what is no more goes.
///
/// Each batch is in the list before it is in the folder, so that whenever the program ends all of it is known as ours. Another program
/// that writes into the folder waits until it is done.
pub struct Growing {
    folder: Folder,
    /// The folder itself, locked where it can be.
    _lock: Option<File>,
    /// The hash of each file that is there.
    there: BTreeMap<String, u64>,
    /// What came of it so far.
    grown: Grown,
}

/// What came of a folder that grew.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Grown {
    /// Files that were written.
    pub written: usize,
    /// Files that were the same already.
    pub same: usize,
    /// Files that went.
    pub removed: usize,
}

impl Folder {
    /// Begins to write files of these names, where none of them is somebody else's.
    pub fn grow(mut self, names: &BTreeSet<String>) -> anyhow::Result<Growing> {
        let lock = File::open(&self.path).ok();
        if let Some(lock) = &lock {
            // Where folders cannot be locked two programs take their chance.
            let _ = lock.lock();
        }
        self.listed = read_list(&self.path.join(LIST))?;
        let listed = self.listed.iter().map(|(_, name)| name);
        let looked_at: BTreeSet<&String> = names.iter().chain(listed).collect();
        let found = |name: &String| {
            let path = self.path.join(name);
            match fs::read(&path) {
                Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
                bytes => bytes
                    .map(|bytes| Some((name.clone(), hash(&bytes))))
                    .with_context(|| format!("cannot write '{}'", path.display())),
            }
        };
        let there: BTreeMap<String, u64> = (looked_at.into_par_iter())
            .filter_map(|name| found(name).transpose())
            .collect::<anyhow::Result<_>>()?;
        let is_foreign = |(name, hash): &(&String, &u64)| {
            names.contains(*name) && !self.listed.contains(&(**hash, (*name).clone()))
        };
        let mut foreign: Vec<String> = (there.iter())
            .filter(|found| !self.force && is_foreign(found))
            .map(|(name, _)| format!("'{}'", self.path.join(name).display()))
            .collect();
        if !foreign.is_empty() {
            foreign.truncate(8);
            bail!(
                "not overwritten, since repledger did not write it or it was changed since: {}; nothing was written. Name \
                 another place, or overwrite with --force",
                foreign.join(", ")
            );
        }
        // Parts of a program that was killed are looked for once, not before each of many files.
        Part::begin(&self.path.join(LIST), Readers::Usual)
            .with_context(|| format!("cannot write into '{}'", self.path.display()))?;
        Ok(Growing {
            folder: self,
            _lock: lock,
            there,
            grown: Grown::default(),
        })
    }
}

impl Growing {
    /// Whether a file of this name is there, and as it was written.
    pub fn has(&self, name: &str) -> bool {
        let hash = self.there.get(name).copied();
        hash.is_some_and(|hash| self.folder.listed.contains(&(hash, name.to_owned())))
    }

    /// Counts a file that was not made again, since it is there.
    pub fn stands(&mut self) {
        self.grown.same += 1;
    }

    /// Writes those files that differ from what is there.
    pub fn put(&mut self, outputs: &[Output]) -> anyhow::Result<()> {
        let changed: Vec<(u64, &Output)> = (outputs.iter())
            .map(|output| (hash(&output.bytes), output))
            .filter(|(hash, output)| self.there.get(&output.name) != Some(hash))
            .collect();
        self.grown.same += outputs.len() - changed.len();
        if changed.is_empty() {
            return Ok(());
        }
        let new = changed
            .iter()
            .map(|(hash, output)| (*hash, output.name.clone()));
        self.folder.listed.extend(new);
        self.folder.write_list()?;
        for (hash, output) in changed {
            let path = self.folder.path.join(&output.name);
            Part::begin_another(&path, Readers::Usual)
                .and_then(|part| part.write(&output.bytes)?.finish())
                .with_context(|| format!("cannot write '{}'", path.display()))?;
            self.there.insert(output.name.clone(), hash);
            self.grown.written += 1;
        }
        Ok(())
    }

    /// Takes away what `ours` knows, was listed and unchanged, and is not to be kept.
    pub fn end(
        mut self,
        keep: &BTreeSet<String>,
        ours: impl Fn(&str) -> bool,
    ) -> anyhow::Result<Grown> {
        let stale: Vec<(u64, String)> = (self.folder.listed.iter())
            .filter(|(_, name)| ours(name) && !keep.contains(name))
            .cloned()
            .collect();
        for (hash, name) in stale {
            let is_as_written = self.there.get(&name) == Some(&hash);
            if is_as_written && fs::remove_file(self.folder.path.join(&name)).is_ok() {
                self.grown.removed += 1;
                self.there.remove(&name);
            }
        }
        // What is there no more, or in another form, need not be known.
        let there = &self.there;
        let listed = self.folder.listed.clone();
        (self.folder.listed).retain(|(hash, name)| there.get(name) == Some(hash));
        if listed != self.folder.listed || self.grown.written > 0 {
            self.folder.write_list()?;
        }
        Ok(self.grown)
    }
}

/// A folder that is made anew is not named like a file: `--json --out x.json` means one.
fn refuse_name_of_a_file(path: &Path) -> anyhow::Result<()> {
    const ENDINGS: [&str; 14] = [
        "json", "ndjson", "html", "htm", "txt", "md", "svg", "png", "pdf", "csv", "tsv", "xlsx",
        "gpx", "plan",
    ];
    let ending = path.extension().and_then(OsStr::to_str).unwrap_or_default();
    let ending = ending.to_lowercase();
    let named = path.display().to_string();
    // `x.json/` is clear.
    if !ENDINGS.contains(&ending.as_str()) || named.ends_with(is_separator) || path.exists() {
        return Ok(());
    }
    let instead = match ending.as_str() {
        "json" | "ndjson" => format!("; JSON alone goes into a file by `--json > '{named}'`"),
        "csv" | "tsv" | "xlsx" => {
            format!("; rows are written by `repledger table … --to '{named}'`")
        }
        _ => String::new(),
    };
    bail!(WrongUsage(format!(
        "'{named}' is the name of a file, and a folder is meant, into which files are written: name one without `.{ending}`{instead}"
    )))
}

/// Writes one file beside whatever else its folder holds.
pub fn write_file(path: &Path, bytes: Vec<u8>, force: bool) -> anyhow::Result<()> {
    let Some(name) = path.file_name() else {
        bail!("cannot write '{}': it is no name of a file", path.display());
    };
    let Some(name) = name.to_str() else {
        bail!(
            "cannot write '{}': the name is not UTF-8 text; choose another",
            path.display()
        );
    };
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let name = name.to_owned();
    Folder::open(folder, force)?.write(&[Output { name, bytes }])
}

fn read_list(path: &Path) -> anyhow::Result<BTreeSet<(u64, String)>> {
    match fs::metadata(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(BTreeSet::new()),
        there => {
            let there = there?;
            if !there.is_file() || there.len() > LIST_BYTES {
                bail!(
                    "'{}' is not the list that repledger keeps there",
                    path.display()
                );
            }
        }
    }
    let text = String::from_utf8_lossy(&fs::read(path)?).into_owned();
    let entry = |line: &str| {
        let (hash, name) = line.split_once(' ')?;
        Some((
            u64::from_str_radix(hash, 16).ok()?,
            name.replace(LINE_END, "\n"),
        ))
    };
    Ok(text.split('\n').filter_map(entry).collect())
}

/// Puts the content where `path` says in one step.
fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    Part::begin(path, Readers::Usual)?.write(bytes)?.finish()
}

/// FNV-1a of 64 bits: tells changed files from unchanged ones, and is no protection from malice.
///
/// # References
/// Fowler, Noll, Vo, Eastlake, Hansen: The FNV non-cryptographic hash algorithm, RFC 9923.
fn hash(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, &byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn output(name: &str, text: &str) -> Output {
        Output {
            name: name.to_owned(),
            bytes: text.into(),
        }
    }

    fn write(folder: &Path, force: bool, outputs: &[Output]) -> anyhow::Result<()> {
        Folder::open(folder, force)?.write(outputs)
    }

    #[test]
    fn the_hash_is_the_published_one() {
        // Test vectors of the algorithm's authors.
        assert_eq!(hash(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(hash(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(hash(b"foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn our_own_files_are_overwritten_and_leave_nothing_behind() -> anyhow::Result<()> {
        let dir = tempfile::tempdir()?;
        write(
            dir.path(),
            false,
            &[output("a.txt", "one"), output("b.txt", "b")],
        )?;
        write(dir.path(), false, &[output("a.txt", "two")])?;
        assert_eq!(fs::read_to_string(dir.path().join("a.txt"))?, "two");
        let mut names: Vec<_> = fs::read_dir(dir.path())?
            .map(|e| e.map(|e| e.file_name()))
            .collect::<Result<_, _>>()?;
        names.sort();
        assert_eq!(names, [LIST, "a.txt", "b.txt"]);
        // The other file is still known as ours.
        write(dir.path(), false, &[output("b.txt", "c")])
    }

    #[test]
    fn foreign_and_changed_files_stand_and_nothing_is_written() -> anyhow::Result<()> {
        let dir = tempfile::tempdir()?;
        fs::write(dir.path().join("b.txt"), "mine")?;
        let refused = write(
            dir.path(),
            false,
            &[output("a.txt", "a"), output("b.txt", "b")],
        );
        assert!(refused.is_err_and(|e| e.to_string().contains("b.txt")));
        assert!(!dir.path().join("a.txt").exists());
        write(dir.path(), true, &[output("b.txt", "b")])?;
        fs::write(dir.path().join("b.txt"), "changed by hand")?;
        assert!(write(dir.path(), false, &[output("b.txt", "b2")]).is_err());
        Ok(())
    }

    #[test]
    fn a_file_with_the_same_content_is_in_nobodys_way() -> anyhow::Result<()> {
        let dir = tempfile::tempdir()?;
        fs::write(dir.path().join("a.txt"), "same")?;
        write(dir.path(), false, &[output("a.txt", "same")])
    }

    #[test]
    fn a_folder_in_the_place_of_a_file_is_an_error() -> anyhow::Result<()> {
        let dir = tempfile::tempdir()?;
        fs::create_dir(dir.path().join("a.txt"))?;
        assert!(write(dir.path(), false, &[output("a.txt", "a")]).is_err());
        assert!(write(dir.path(), true, &[output("a.txt", "a")]).is_err());
        Ok(())
    }

    #[test]
    fn a_folder_is_not_named_like_a_file() -> anyhow::Result<()> {
        let dir = tempfile::tempdir()?;
        let refused = |name: &str| {
            let opened = Folder::open(&dir.path().join(name), false);
            opened.err().is_some_and(|error| error.is::<WrongUsage>())
        };
        assert!(refused("x.json") && refused("Report.HTML"));
        assert!(!refused("x.json/") && !refused("12.5") && !refused("v1.monday"));
        // It is there by now.
        assert!(!refused("x.json"));
        Ok(())
    }

    #[test]
    fn a_single_file_follows_the_same_rules() -> anyhow::Result<()> {
        let dir = tempfile::tempdir()?;
        let card = dir.path().join("card.html");
        write_file(&card, b"1".to_vec(), false)?;
        write_file(&card, b"2".to_vec(), false)?;
        fs::write(&card, "mine")?;
        assert!(write_file(&card, b"3".to_vec(), false).is_err());
        Ok(())
    }
}
