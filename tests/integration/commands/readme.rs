//! The README's examples, held to the program.

use repledger::plan;

use crate::support::cli::Bench;
use crate::support::outcome::Outcome;

const README: &str = include_str!("../../../README.md");

/// The lines of all fenced blocks of one language.
fn blocks(language: &str) -> Vec<String> {
    let fence = format!("```{language}");
    let mut blocks = Vec::new();
    let mut inside: Option<Vec<&str>> = None;
    for line in README.lines() {
        match &mut inside {
            None if line == fence => inside = Some(Vec::new()),
            Some(_) if line == "```" => blocks.extend(inside.take().map(|lines| lines.join("\n"))),
            Some(lines) => lines.push(line),
            None => {}
        }
    }
    blocks
}

#[test]
fn its_plan_is_read() -> Outcome {
    let plans = blocks("text");
    assert!(!plans.is_empty());
    for text in plans {
        let plan = plan::parse(&text).map_err(|mistakes| format!("{mistakes:?}"))?;
        assert_eq!(plan.blocks.len(), 7);
    }
    Ok(())
}

#[test]
fn its_commands_and_options_exist() -> Outcome {
    let bench = Bench::new()?;
    let mut tried = 0;
    for line in blocks("sh").iter().flat_map(|b| b.lines()) {
        let Some(typed) = line.strip_prefix("repledger ") else {
            continue;
        };
        // Without comment, pipe and redirection; the help is printed only once everything before it was understood.
        let typed = typed.split(['#', '|', '>']).next().unwrap_or_default();
        bench.run(&format!("{typed} --help"))?.done(&["Usage:"]);
        tried += 1;
    }
    assert!(tried > 10, "{tried}");
    Ok(())
}
