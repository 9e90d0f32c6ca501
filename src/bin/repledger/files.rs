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
