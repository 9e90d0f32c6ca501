//! Written plans: how they are read, written back, and refused.

use std::fs;
use std::path::{Path, PathBuf};

use repledger::plan::{self, Plan, mistake};

fn fixtures(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("fixtures/plans")
        .join(folder);
    let mut paths: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "plan")
        })
        .collect();
    paths.sort();
    assert!(!paths.is_empty());
    paths
}

fn stem(path: &Path) -> String {
    path.file_stem().unwrap().to_string_lossy().into_owned()
}

/// A plan without the line numbers of its blocks, which the canonical form of a whole plan does not keep.
fn without_lines(mut plan: Plan) -> Plan {
    for block in &mut plan.blocks {
        block.line = 0;
    }
    plan
}

#[test]
fn written_plans_are_read_as_meant() {
    for path in fixtures("read") {
        let bytes = fs::read(&path).unwrap();
        let text = plan::decode(&bytes);
        let plan = plan::parse(&text).unwrap_or_else(|mistakes| {
            panic!("{}", mistake::render(&stem(&path), &text, &mistakes, false));
        });
        let tidy = plan::tidy(&text).unwrap();
        insta::assert_snapshot!(
            format!("read-{}", stem(&path)),
            format!("{tidy}\n{plan:#?}")
        );
        assert_eq!(
            plan::parse(&tidy).as_ref(),
            Ok(&plan),
            "tidy form of {}",
            path.display()
        );
        assert_eq!(plan::tidy(&tidy).as_ref(), Ok(&tidy));
        assert_eq!(
            without_lines(plan::parse(&plan.to_string()).unwrap()),
            without_lines(plan)
        );
    }
}

#[test]
fn every_mistake_is_shown_with_its_place() {
    for path in fixtures("mistaken") {
        let bytes = fs::read(&path).unwrap();
        let text = plan::decode(&bytes);
        let mistakes = plan::parse(&text).unwrap_err();
        let name = format!("{}.plan", stem(&path));
        let shown = mistake::render(&name, &text, &mistakes, false);
        assert!(
            shown
                .lines()
                .skip(1)
                .all(|line| unicode_width::UnicodeWidthStr::width(line) <= 80
                    || line.starts_with("mistake")),
            "{shown}"
        );
        insta::assert_snapshot!(format!("mistaken-{}", stem(&path)), shown);
    }
}
