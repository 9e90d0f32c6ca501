//! Opens what the command line names and reads it whole, within bounds.

use std::fs::{File, Metadata};
use std::io::{self, Read};
use std::path::Path;

use anyhow::{Context, bail};
use repledger::limits;
use repledger::trace::{self, Trace};

use crate::args::Input;
use crate::exit_status::WrongUsage;

/// A recording.
pub const RECORDING: Bound = Bound::of("a recording", limits::RECORDING_BYTES);
/// A plan.
pub const PLAN: Bound = Bound::of("a plan", limits::PLAN_BYTES);
/// A file with the corners of a pitch.
pub const PITCH: Bound = Bound::of("a pitch", limits::PITCH_BYTES);
/// A spreadsheet.
pub const SHEET: Bound = Bound::of("a spreadsheet", limits::SHEET_BYTES);
/// A settings file.
pub const SETTINGS: Bound = Bound::of("a settings file", limits::SETTINGS_BYTES);

/// Shorter recordings are read whole, bytes: they need little memory.
const LONG: u64 = 1 << 20;

/// How much is read of a kind of file. No file may take all the memory there is.
#[derive(Clone, Copy, Debug)]
pub struct Bound {
    /// Such as "a plan".
    what: &'static str,
    /// Most bytes.
    bytes: u64,
}

impl Bound {
    const fn of(what: &'static str, bytes: u64) -> Self {
        Self { what, bytes }
    }
}

impl Input {
    /// The name to call it by in messages.
    pub fn name(&self) -> String {
        match self {
            Self::Stdin => "standard input".to_owned(),
            Self::File(path) => path.display().to_string(),
        }
    }

    /// Whether it is the file at `path`, whatever both are called.
    pub fn is(&self, path: &Path) -> bool {
        let Self::File(own) = self else { return false };
        match (own.canonicalize(), path.canonicalize()) {
            (Ok(own), Ok(other)) => own == other,
            _ => false,
        }
    }

    /// Its bytes.
    pub fn read(&self, bound: Bound) -> anyhow::Result<Vec<u8>> {
        let bytes = match self {
            Self::Stdin => read_bounded(&mut io::stdin().lock(), 0, bound)
                .context("cannot read standard input"),
            Self::File(path) => {
                read_file(path, bound).with_context(|| format!("cannot read '{}'", path.display()))
            }
        }?;
        if bound.what == RECORDING.what && is_plan(&bytes) {
            bail!(
                "{}: this is a plan, not a recording; name the recording, and the plan behind --plan",
                self.name()
            );
        }
        Ok(bytes)
    }

    /// The recording in it, where it is an ordinary one that is worth to be read piece by piece. `None` says nothing of it.
    pub fn recording_in_pieces(&self) -> Option<Trace> {
        let Self::File(path) = self else { return None };
        // What is no file by its own, such as a pipe, can be read once only.
        let known = path.metadata().ok().filter(Metadata::is_file)?;
        if !(LONG..=RECORDING.bytes).contains(&known.len()) {
            return None;
        }
        let bytes = usize::try_from(known.len()).ok()?;
        trace::read_in_pieces(File::open(path).ok()?.take(RECORDING.bytes), bytes)
    }

    /// Its text.
    pub fn read_text(&self, bound: Bound) -> anyhow::Result<String> {
        decode(&self.read(bound)?).with_context(|| format!("cannot read '{}'", self.name()))
    }
}

/// Refuses inputs of which several are standard input.
pub fn once<'a>(inputs: impl Iterator<Item = &'a Input>) -> anyhow::Result<()> {
    if inputs.filter(|input| **input == Input::Stdin).count() > 1 {
        bail!(WrongUsage(
            "standard input can be read once only; name files for the others".to_owned()
        ));
    }
    Ok(())
}

/// Whether the bytes are those of a plan, which is small and no XML.
fn is_plan(bytes: &[u8]) -> bool {
    let small = bytes.len() as u64 <= limits::PLAN_BYTES;
    let text = bytes.trim_ascii_start();
    small
        && !text.starts_with(b"<")
        && std::str::from_utf8(text).is_ok_and(repledger::plan::looks_like_one)
}

/// The text of a file, or nothing if there is no such file.
pub fn read_text_if_there(path: &Path, bound: Bound) -> anyhow::Result<Option<String>> {
    match path.try_exists() {
        Ok(false) => Ok(None),
        _ => Input::File(path.to_owned()).read_text(bound).map(Some),
    }
}

fn read_file(path: &Path, bound: Bound) -> anyhow::Result<Vec<u8>> {
    let mut file = match File::open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == io::ErrorKind::NotFound => bail!("there is no such file"),
        Err(error) => return Err(error.into()),
    };
    let metadata = file.metadata()?;
    if metadata.is_dir() {
        bail!("it is a folder; name the file inside it");
    }
    read_bounded(&mut file, metadata.len(), bound)
}

/// Reads to the end; `expected` bytes are reserved, and more than the bound are refused before they are read.
fn read_bounded(reader: &mut impl Read, expected: u64, bound: Bound) -> anyhow::Result<Vec<u8>> {
    let too_large = || {
        format!(
            "it is larger than {} MB, the most that is read of {}",
            bound.bytes >> 20,
            bound.what
        )
    };
    if expected > bound.bytes {
        bail!(too_large());
    }
    let mut bytes = Vec::with_capacity(usize::try_from(expected).unwrap_or(0) + 1);
    reader.take(bound.bytes + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > bound.bytes {
        bail!(too_large());
    }
    Ok(bytes)
}

/// UTF-8, or UTF-16 where a byte order mark says so, as some editors save it.
fn decode(bytes: &[u8]) -> anyhow::Result<String> {
    let (encoding, mark) = encoding_rs::Encoding::for_bom(bytes).unwrap_or((encoding_rs::UTF_8, 0));
    let body = bytes.get(mark..).unwrap_or_default();
    match encoding.decode_without_bom_handling_and_without_replacement(body) {
        Some(text) => Ok(text.into_owned()),
        None => bail!(
            "line {} is not UTF-8 text; save the file as UTF-8",
            bad_line(body)
        ),
    }
}

/// The line, from 1, where the bytes stop being UTF-8.
fn bad_line(bytes: &[u8]) -> usize {
    let good = std::str::from_utf8(bytes).map_or_else(|e| e.valid_up_to(), str::len);
    let before = bytes.get(..good).unwrap_or_default();
    before.split(|&b| b == b'\n').count()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SMALL: Bound = Bound::of("a note", 3);

    #[test]
    fn what_is_too_large_is_refused() {
        let read = |bytes: &[u8], expected| {
            read_bounded(&mut &bytes[..], expected, SMALL).map_err(|e| e.to_string())
        };
        assert_eq!(read(b"abc", 3), Ok(b"abc".to_vec()));
        let refused = Err("it is larger than 0 MB, the most that is read of a note".to_owned());
        assert_eq!(read(b"abcd", 0), refused);
        assert_eq!(read(b"", 4), refused);
    }

    #[test]
    fn text_may_be_utf_8_or_marked_utf_16() {
        let text = |bytes: &[u8]| decode(bytes).map_err(|e| e.to_string());
        assert_eq!(text(b"\xef\xbb\xbfspeed"), Ok("speed".to_owned()));
        assert_eq!(text(b"\xff\xfes\0p\0"), Ok("sp".to_owned()));
        assert_eq!(
            text(b"one\ntwo \xe9\n"),
            Err("line 2 is not UTF-8 text; save the file as UTF-8".to_owned())
        );
    }
}
