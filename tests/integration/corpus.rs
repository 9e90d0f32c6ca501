//! What the fuzzer starts from and what it found, through the checks that it makes.

use std::fs;
use std::panic;
use std::path::Path;

use crate::support::outcome::Outcome;

#[path = "../../fuzz/src/checks/mod.rs"]
mod checks;

/// Every file of a target's corpus and, where it has some, of its findings.
fn hold(target: &str, check: fn(&[u8])) -> Outcome {
    let folder = |kind: &str| Path::new("fuzz").join(kind).join(target);
    let mut files: Vec<_> = fs::read_dir(folder("corpus"))?.collect::<Result<_, _>>()?;
    assert!(!files.is_empty(), "the corpus of {target} is empty");
    if folder("findings").exists() {
        files.extend(fs::read_dir(folder("findings"))?.collect::<Result<Vec<_>, _>>()?);
    }
    for file in files {
        let bytes = fs::read(file.path())?;
        let held = panic::catch_unwind(|| check(&bytes)).is_ok();
        assert!(held, "{} does not hold", file.path().display());
    }
    Ok(())
}

#[test]
fn gpx() -> Outcome {
    hold("gpx", checks::gpx)
}

#[test]
fn csv() -> Outcome {
    hold("csv", checks::csv)
}

#[test]
fn plan() -> Outcome {
    hold("plan", checks::plan)
}

#[test]
fn settings() -> Outcome {
    hold("settings", checks::settings)
}

#[test]
fn pitch() -> Outcome {
    hold("pitch", checks::pitch)
}

#[test]
fn diary() -> Outcome {
    hold("diary", checks::diary)
}

#[test]
fn diary_file() -> Outcome {
    hold("diary_file", checks::diary_file)
}

#[test]
fn review() -> Outcome {
    hold("review", checks::review)
}

/// A target that is missing above, or whose findings lie in a folder of another name, would go unchecked.
#[test]
fn every_target_is_here() -> Outcome {
    let mut known = [
        "gpx",
        "csv",
        "plan",
        "settings",
        "pitch",
        "diary",
        "diary_file",
        "review",
    ];
    known.sort_unstable();
    let names = |folder: &str| -> Outcome<Vec<String>> {
        let mut names = Vec::new();
        for entry in fs::read_dir(folder)? {
            let path = entry?.path();
            names.extend(
                path.file_stem()
                    .map(|name| name.to_string_lossy().into_owned()),
            );
        }
        names.sort_unstable();
        Ok(names)
    };
    assert_eq!(names("fuzz/targets")?, known);
    assert_eq!(names("fuzz/corpus")?, known);
    assert!(
        !Path::new("fuzz/findings").exists()
            || names("fuzz/findings")?
                .iter()
                .all(|name| known.contains(&name.as_str()))
    );
    Ok(())
}
