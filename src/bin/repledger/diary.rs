//! Finds the diary: the one that was named, else the one in the user's data folder.

use std::fs::DirBuilder;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use etcetera::BaseStrategy;
use repledger::diary::Diary;

use crate::args::DiaryFrom;

/// Where the diary is when nobody names another, below the data folder.
const FILE: &str = "repledger/diary.db";

/// A place below the user's data folder, where the system names one.
pub fn in_data_folder(place: &str) -> Option<PathBuf> {
    let strategy = etcetera::choose_base_strategy().ok()?;
    Some(strategy.data_dir().join(place))
}

impl DiaryFrom {
    /// Where the diary is or will be.
    pub fn path(&self) -> anyhow::Result<PathBuf> {
        if let Some(path) = &self.diary {
            return Ok(path.clone());
        }
        in_data_folder(FILE).context(
            "the system names no home folder for the diary; say where it is with --diary FILE",
        )
    }

    /// Whether it is there.
    ///
    /// Where the folder of one that was named is not there either, it cannot be made.
    pub fn is_there(&self) -> anyhow::Result<bool> {
        let path = self.path()?;
        if self.diary.is_some()
            && let Some(folder) = path.parent()
            && !folder.as_os_str().is_empty()
            && !folder.is_dir()
        {
            bail!(
                "{}: there is no folder '{}' to make it in",
                named(&path),
                folder.display()
            );
        }
        Ok(path.symlink_metadata().is_ok())
    }

    /// Opens a diary that is there, to read it or to change it.
    pub fn open(&self) -> anyhow::Result<Diary> {
        let path = self.path()?;
        Diary::open(&path).with_context(|| named(&path))
    }

    /// The same, where it is not there only if `change`, done to an empty one in memory, is not refused: a first change that is leaves
    /// no file behind.
    pub fn create_for(
        &self,
        change: impl FnOnce(&mut Diary) -> anyhow::Result<()>,
    ) -> anyhow::Result<Diary> {
        if !self.is_there()? {
            change(&mut Diary::in_memory()?)?;
        }
        self.create()
    }

    /// Opens the diary, or makes it; the folder of the usual place too, for its owner only.
    pub fn create(&self) -> anyhow::Result<Diary> {
        let path = self.path()?;
        if self.diary.is_none()
            && let Some(folder) = path.parent()
        {
            make_folder(folder)
                .with_context(|| format!("cannot make the folder '{}'", folder.display()))?;
        }
        Diary::create(&path).with_context(|| named(&path))
    }
}

fn named(path: &Path) -> String {
    format!("the diary '{}'", path.display())
}

/// Makes a folder, and those it lies in, for its owner only.
pub fn make_folder(folder: &Path) -> std::io::Result<()> {
    let mut builder = DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::DirBuilderExt;
        builder.mode(0o700);
    }
    builder.create(folder)
}
