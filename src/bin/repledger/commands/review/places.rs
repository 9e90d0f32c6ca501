//! The folder that each of many recordings gets.

use std::collections::HashSet;
use std::path::Path;

use crate::args::Input;

/// Longest name of a recording's folder, bytes: most file systems take 255, and a number may follow.
const LONGEST: usize = 200;

/// The folder of each recording: its name without endings, told apart by numbers where several have one; or numbers alone.
pub fn places(files: &[Input], hidden: bool) -> Vec<String> {
    if hidden {
        return (1..=files.len())
            .map(|n| format!("recording-{n}"))
            .collect();
    }
    let mut taken = HashSet::new();
    files
        .iter()
        .map(|file| {
            let stem = match file {
                Input::Stdin => "standard-input".to_owned(),
                Input::File(path) => stem(path),
            };
            let numbered = (2..).map(|n| format!("{stem}-{n}"));
            std::iter::once(stem.clone())
                .chain(numbered)
                // Some file systems hold A and a for one name.
                .find(|place| taken.insert(place.to_lowercase()))
                .unwrap_or(stem)
        })
        .collect()
}

fn stem(path: &Path) -> String {
    let packed = path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("gz"));
    let path = if packed {
        path.with_extension("")
    } else {
        path.to_owned()
    };
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    // A name of dots alone is another folder than one inside.
    if stem.chars().all(|c| c == '.') {
        return "recording".to_owned();
    }
    let longest = stem.floor_char_boundary(LONGEST);
    stem.get(..longest).unwrap_or_default().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_recording_has_a_folder_of_its_own() {
        let files = [
            "a/mon.gpx",
            "b/mon.csv.gz",
            "b/Mon.gpx",
            "tue.GPX.GZ",
            "mon-2.gpx",
        ]
        .map(|name| Input::File(name.into()));
        assert_eq!(
            places(&files, false),
            ["mon", "mon-2", "Mon-3", "tue", "mon-2-2"]
        );
        assert_eq!(places(&files, true)[3], "recording-4");
    }

    #[test]
    fn a_folder_lies_inside_whatever_the_file_is_called() {
        let long = "ü".repeat(120) + ".gpx";
        let files =
            ["..gpx", "...gpx", "....gz", "x/..", &long].map(|name| Input::File(name.into()));
        let places = places(&files, false);
        assert_eq!(
            places[..4],
            ["recording", "recording-2", "recording-3", "recording-4"]
        );
        assert_eq!(places[4], "ü".repeat(100));
    }
}
