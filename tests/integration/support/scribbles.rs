//! Lines that are not in the notation, and what is made of them.

use repledger::plan::{self, Block};

/// The block of a plan that has one.
#[track_caller]
pub fn only_block(text: &str) -> Block {
    let plan = plan::parse(text).unwrap_or_else(|mistakes| panic!("{text}: {mistakes:#?}"));
    assert_eq!(plan.blocks.len(), 1, "{text}");
    plan.blocks.into_iter().next().unwrap()
}

/// A line is read as its tidy form is.
#[track_caller]
pub fn means(scribbled: &str, tidy: &str) {
    assert_eq!(only_block(scribbled).to_string(), tidy, "{scribbled}");
    assert_eq!(
        Block {
            line: 1,
            ..only_block(tidy)
        },
        only_block(scribbled),
        "{scribbled}"
    );
}

/// Each line with the one thing that it means.
#[track_caller]
pub fn read(lines: &[(&str, &str)]) {
    for (written, tidy) in lines {
        means(written, tidy);
    }
}

/// The readings that are offered for the one mistake of a text.
#[track_caller]
pub fn offered(text: &str) -> Vec<String> {
    let mistakes = plan::parse(text).expect_err(text);
    assert_eq!(mistakes.len(), 1, "{text}: {mistakes:#?}");
    let lines = mistakes[0].lines.clone();
    for line in &lines {
        assert!(plan::parse(line).is_ok(), "{text}: {line}");
    }
    lines
}

/// Each line with what is offered in its place.
#[track_caller]
pub fn asked(lines: &[(&str, &[&str])]) {
    for (written, lines) in lines {
        assert_eq!(offered(written), *lines, "{written}");
    }
}
