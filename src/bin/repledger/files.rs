//! The recordings that a command line names: files, and those inside folders.

use std::collections::HashSet;
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};

use crate::args::Input;

/// Names of files that are taken out of a folder; the content is what counts in the end.
const ENDINGS: [&str; 6] = ["gpx", "csv", "tsv", "gpx.gz", "csv.gz", "tsv.gz"];

/// The files that were named, and those in the folders that were named, each once.
pub fn named(named: &[Input]) -> anyhow::Result<Vec<Input>> {
    let mut files = Vec::new();
    for input in named {
        match input {
            Input::File(folder) if folder.is_dir() => files.extend(inside(folder)?),
            _ => files.push(input.clone()),
        }
    }
    let mut seen = HashSet::new();
    files.retain(|file| seen.insert(file.clone()));
    Ok(files)
}

/// The plan of the same name beside a recording, `monday.plan` beside `monday.gpx`, where the recording came out of a folder that was
/// named.
pub fn plan_beside(file: &Input, named: &[Input]) -> Option<Input> {
    let Input::File(path) = file else {
        return None;
    };
    let folder = path.parent()?;
    let of_folder = |input: &Input| matches!(input, Input::File(named) if named == folder);
    if !named.iter().any(of_folder) {
        return None;
    }
    let name = path.file_name()?.to_str()?;
    let stem = ENDINGS.iter().find_map(|ending| {
        let at = name.len().checked_sub(ending.len())?;
        let fits = name.get(at..)?.eq_ignore_ascii_case(ending);
        name.get(..at)?.strip_suffix('.').filter(|_| fits)
    })?;
    let plan = folder.join(format!("{stem}.plan"));
    plan.is_file().then_some(Input::File(plan))
}

/// What of the folders that were named is not looked at, in one line: a folder inside may be another athlete's.
pub fn not_looked_at(named: &[Input]) -> Option<String> {
    let inner: Vec<PathBuf> = named
        .iter()
        .filter_map(|input| match input {
            Input::File(path) if path.is_dir() => Some(folders_inside(path)),
            _ => None,
        })
        .flatten()
        .collect();
    let first = inner.first()?.display();
    Some(match inner.len() {
        1 => format!("not looked into: the folder '{first}'; name it to have it read"),
        n => format!(
            "not looked into: the folders '{first}' and {} more; name them to have them read",
            n - 1
        ),
    })
}

/// The folders inside a folder, by name, but for hidden ones.
fn folders_inside(folder: &Path) -> Vec<PathBuf> {
    let hidden = |path: &Path| {
        let name = path
            .file_name()
            .map(|name| name.to_string_lossy().into_owned());
        name.is_none_or(|name| name.starts_with('.'))
    };
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut inner: Vec<PathBuf> = entries
        .map(|entry| entry.path())
        .filter(|path| path.is_dir() && !hidden(path))
        .collect();
    inner.sort();
    inner
}

/// The recordings inside a folder, by name.
fn inside(folder: &Path) -> anyhow::Result<Vec<Input>> {
    let mut files = Vec::new();
    let entries = fs::read_dir(folder)
        .with_context(|| format!("cannot read the folder '{}'", folder.display()))?;
    for entry in entries {
        let path = entry?.path();
        let name = path.to_string_lossy().to_lowercase();
        let fits = |ending: &str| name.strip_suffix(ending).is_some_and(|n| n.ends_with('.'));
        if path.is_file() && ENDINGS.iter().any(|ending| fits(ending)) {
            files.push(path);
        }
    }
    if files.is_empty() {
        let inner = match folders_inside(folder).as_slice() {
            [] => String::new(),
            [first, ..] => format!(
                "; it is not looked into the folders inside it, such as '{}': name them",
                first.display()
            ),
        };
        bail!(
            "the folder '{}' holds no file that ends in .gpx, .csv or .tsv, plain or .gz{}",
            folder.display(),
            if inner.is_empty() {
                "; name the files themselves"
            } else {
                &inner
            }
        );
    }
    files.sort();
    Ok(files.into_iter().map(Input::File).collect())
}
