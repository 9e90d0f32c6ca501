//! The recordings that a command line names: files, and those inside folders.

use std::collections::HashSet;
use std::fs;
use std::path::Path;

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
        bail!(
            "the folder '{}' holds no file that ends in .gpx, .csv or .tsv, plain or .gz; name the files themselves",
            folder.display()
        );
    }
    files.sort();
    Ok(files.into_iter().map(Input::File).collect())
}
