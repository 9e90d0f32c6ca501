//! Plans.

use repledger::plan::timetable::Assumptions;
use repledger::plan::{self, Mistake, Plan, ReadAs, Reading, mistake};
use repledger::report;

use super::output;

/// A plan's bytes.
pub fn plan(bytes: &[u8]) {
    let text = plan::decode(bytes);
    match plan::read_with(&text, Reading::default()) {
        Ok((plan, read_as)) => holds(&text, &plan, &read_as),
        Err(mistakes) => told(&text, &mistakes),
    }
}

/// Its tidy form is the same plan and tidy; what is written of it has numbers only.
fn holds(text: &str, plan: &Plan, read_as: &[ReadAs]) {
    let tidy = plan::tidy(text).expect("a plan can be tidied");
    assert_eq!(plan::parse(&tidy).as_ref(), Ok(plan), "{tidy}");
    assert_eq!(plan::tidy(&tidy).as_ref(), Ok(&tidy));

    // What was read as it can be meant is in the notation then.
    let (_, again) = plan::read_with(&tidy, Reading::default()).expect("it was read before");
    assert_eq!(again, [], "{tidy}");

    let mut written = plan::parse(&plan.to_string()).expect("a written plan is one");
    // It has no comments and no blank lines, so its lines have other numbers.
    for (block, other) in written.blocks.iter_mut().zip(&plan.blocks) {
        block.line = other.line;
    }
    assert_eq!(&written, plan);

    let usual = Assumptions::default();
    output::text(
        &report::plan::text::render(plan, &usual, read_as),
        text.as_bytes(),
    );
    output::json(&report::plan::json::render(plan, &usual, read_as).expect("it can be written"));
    assert!(!report::plan::card::render(plan, &usual).is_empty());
}

/// Mistakes have their places in the text, in order.
fn told(text: &str, mistakes: &[Mistake]) {
    assert!(!mistakes.is_empty());
    assert!(mistakes.is_sorted_by_key(|m| (m.line, m.span.start)));
    for mistake in mistakes {
        assert!(mistake.line > 0 && mistake.column > 0);
        assert!(text.get(mistake.span.clone()).is_some(), "{mistake:?}");
        assert!(!mistake.message.is_empty());
        // A rounds line is none of its own.
        for line in mistake
            .lines
            .iter()
            .filter(|line| !line.contains(" rounds of"))
        {
            assert!(plan::parse(line).is_ok() || line.contains(": "), "{line}");
        }
    }
    assert!(!mistake::render("a.plan", text, mistakes, false).is_empty());
}
