//! The pitches that are kept: a file each in a folder for their owner only.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use anyhow::{Context, anyhow, bail};
use repledger::geodesy::LocalFrame;
use repledger::limits::PITCH_NAME_CHARS;
use repledger::pitch::{self, Ground, Kept};

use crate::args::pitch::PitchesFrom;
use crate::diary::in_data_folder;
use crate::input::PITCH;
use crate::part::{Part, Readers};

/// Where pitches are kept when nobody names another folder, below the data folder.
const FOLDER: &str = "repledger/pitches";
const EXTENSION: &str = "toml";
/// A file of a pitch is shorter than this, bytes.
const MOST_BYTES: u64 = 10_000;

impl PitchesFrom {
    /// The folder, which may not be there yet.
    pub fn folder(&self) -> anyhow::Result<PathBuf> {
        if let Some(folder) = &self.pitches {
            return Ok(folder.clone());
        }
        in_data_folder(FOLDER).context(
            "the system names no home folder for pitches; say where they are with --pitches DIR",
        )
    }

    /// All that are kept, by name. A file that is none is an error: it may be what the user is after.
    pub fn all(&self) -> anyhow::Result<Vec<Kept>> {
        let folder = self.folder()?;
        let entries = match fs::read_dir(&folder) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            entries => entries.with_context(|| format!("cannot read '{}'", folder.display()))?,
        };
        let mut all = Vec::new();
        for entry in entries {
            let path = entry?.path();
            if path.extension().is_some_and(|e| e == EXTENSION) {
                all.push(read(&path)?);
            }
        }
        all.sort_by(|a, b| a.name.cmp(&b.name));
        Ok(all)
    }

    /// The one of this name, if it is kept.
    pub fn named(&self, name: &str) -> anyhow::Result<Option<Kept>> {
        let path = self.path(name)?;
        if path.exists() {
            read(&path).map(Some)
        } else {
            Ok(None)
        }
    }

    /// Keeps a pitch, in place of one of the same name.
    pub fn keep(&self, kept: &Kept) -> anyhow::Result<()> {
        let path = self.path(&kept.name)?;
        let folder = self.folder()?;
        crate::diary::make_folder(&folder)
            .with_context(|| format!("cannot make the folder '{}'", folder.display()))?;
        let text = kept.render()?;
        Part::begin(&path, Readers::Owner)
            .and_then(|part| part.write(text.as_bytes())?.finish())
            .with_context(|| format!("cannot write '{}'", path.display()))
    }

    /// Keeps it no longer; whether it was kept.
    pub fn forget(&self, name: &str) -> anyhow::Result<bool> {
        let path = self.path(name)?;
        match fs::remove_file(&path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
            done => done
                .map(|()| true)
                .with_context(|| format!("cannot remove '{}'", path.display())),
        }
    }

    /// A name is a name, never a path.
    fn path(&self, name: &str) -> anyhow::Result<PathBuf> {
        let odd = |c: char| c.is_control() || "/\\:*?\"<>|".contains(c);
        if name.is_empty() || name.starts_with('.') || name.chars().any(odd) {
            bail!(
                "{name:?} is no name for a pitch: it must not start with a dot nor hold control characters or any of \
                 / \\ : * ? \" < > |"
            );
        }
        if name.chars().count() > PITCH_NAME_CHARS {
            bail!("a name for a pitch has {PITCH_NAME_CHARS} characters at most");
        }
        Ok(self.folder()?.join(format!("{name}.{EXTENSION}")))
    }

    /// The ground of a review: what `--pitch` asks for, else all that is kept.
    pub fn ground(&self, asked: Option<&str>) -> anyhow::Result<Ground> {
        let Some(asked) = asked else {
            return Ok(Ground {
                kept: self.all()?,
                ..Ground::default()
            });
        };
        if asked == "off" {
            return Ok(Ground {
                off: true,
                ..Ground::default()
            });
        }
        let kept = if Path::new(asked).is_file() {
            corners(&crate::args::Input::File(asked.into()))?
        } else {
            self.named(asked)?.ok_or_else(|| {
                anyhow!(
                    "no pitch '{asked}' is kept, and there is no file of that name; `repledger pitch list` names those kept"
                )
            })?
        };
        Ok(Ground {
            asked: Some(kept),
            ..Ground::default()
        })
    }
}

/// A pitch from a file with its corners; it has no name yet.
pub fn corners(file: &crate::args::Input) -> anyhow::Result<Kept> {
    let bytes = file.read(PITCH)?;
    let corners = pitch::read_corners(&bytes).with_context(|| file.name())?;
    let frame = LocalFrame::new(corners[0]);
    let pitch = pitch::from_corners(&corners, &frame).with_context(|| file.name())?;
    Ok(Kept::of(String::new(), &pitch, &frame))
}

fn read(path: &Path) -> anyhow::Result<Kept> {
    let long = fs::metadata(path).is_ok_and(|m| m.len() > MOST_BYTES);
    let text = if long {
        Err(io::Error::other("it is too long to be a pitch"))
    } else {
        fs::read_to_string(path)
    };
    let text = text.with_context(|| format!("cannot read '{}'", path.display()))?;
    Kept::parse(&text).map_err(|why| {
        anyhow!(
            "'{}' is no pitch of repledger: {why}. Mend it, or remove it with `repledger pitch forget`",
            path.display()
        )
    })
}
