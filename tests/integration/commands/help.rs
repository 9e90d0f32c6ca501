//! Help, and mistakes in the command line.

use crate::support::cli::Bench;
use crate::support::outcome::Outcome;

#[test]
fn help_has_examples_and_names_the_exit_statuses() -> Outcome {
    let bench = Bench::new()?;
    for line in ["--help", "-h"] {
        bench
            .run(line)?
            .done(&["Usage: repledger", "Examples:", "Exit status: 0 done"]);
    }
    for command in [
        "review",
        "plan",
        "simulate",
        "diary",
        "week",
        "weeks",
        "best",
        "drill",
        "settings",
        "table",
        "schema",
        "completions",
        "manual",
    ] {
        let long = bench.run(&format!("{command} --help"))?;
        long.done(&["Usage: repledger", "Examples:"]);
        let short = bench.run(&format!("{command} -h"))?;
        short.done(&["Usage: repledger", "Examples:"]);
        assert!(short.out.lines().count() < long.out.lines().count());
    }
    Ok(())
}

#[test]
fn the_version_is_printed() -> Outcome {
    let ran = Bench::new()?.run("--version")?;
    ran.done(&[]);
    assert_eq!(
        ran.out,
        format!("repledger {}\n", env!("CARGO_PKG_VERSION"))
    );
    Ok(())
}

#[test]
fn a_mistyped_command_or_option_is_met_with_a_suggestion() -> Outcome {
    let bench = Bench::new()?;
    bench
        .run("reveiw a.gpx")?
        .wrong_usage(&["similar", "'review'"]);
    bench
        .run("review a.gpx --jsn")?
        .wrong_usage(&["similar", "'--json'"]);
    bench
        .run("review a.gpx --color purple")?
        .wrong_usage(&["auto", "always", "never"]);
    Ok(())
}

#[test]
fn what_is_missing_is_named() -> Outcome {
    let bench = Bench::new()?;
    bench.run("")?.wrong_usage(&["Usage: repledger"]);
    bench.run("review")?.wrong_usage(&["<TRACE>"]);
    bench.run("review a.gpx --force")?.wrong_usage(&["--out"]);
    bench.run("review a.gpx --strict")?.wrong_usage(&["--plan"]);
    Ok(())
}

#[test]
fn recording_and_plan_cannot_share_standard_input() -> Outcome {
    let ran = Bench::new()?.run("review - --plan -")?;
    ran.wrong_usage(&["standard input", "name a file"]);
    Ok(())
}
