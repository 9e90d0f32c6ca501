//! `repledger settings`.

use crate::support::cli::Bench;
use crate::support::outcome::Outcome;

#[test]
fn what_is_printed_can_be_passed_back() -> Outcome {
    let bench = Bench::new()?;
    let ran = bench.run("settings --set sprint.from=7.2m/s")?;
    ran.done(&["sprint.from = \"7.2 m/s\""]);
    assert_eq!(ran.err, "");
    bench.file("mine.toml", &ran.out)?;
    let again = bench.run("settings --settings mine.toml")?;
    again.done(&["sprint.from = \"7.2 m/s\"  # file mine.toml"]);
    Ok(())
}

#[test]
fn the_file_in_the_configuration_folder_is_found() -> Outcome {
    let bench = Bench::with(
        "config/repledger/settings.toml",
        "sprint.from = \"6.4 m/s\"\n",
    )?;
    bench
        .run("settings")?
        .done(&["sprint.from = \"6.4 m/s\"", "settings.toml"]);
    bench.file("other.toml", "")?;
    bench
        .run("settings --settings other.toml")?
        .done(&["sprint.from = \"7 m/s\""]);
    Ok(())
}

#[test]
fn a_mistake_on_the_command_line_is_wrong_usage() -> Outcome {
    let bench = Bench::new()?;
    bench
        .run("settings --set sprint.form=7m/s")?
        .wrong_usage(&["--set", "`sprint.from`"]);
    bench
        .run("settings --set sprint.from=fast")?
        .wrong_usage(&["--set", "sprint.from", "fast"]);
    bench
        .run("settings --set sprint.from")?
        .wrong_usage(&["name=value"]);
    bench
        .run("settings --set sprint.from=3m/s")?
        .wrong_usage(&["must increase"]);
    Ok(())
}

#[test]
fn a_mistake_in_the_file_names_file_and_line() -> Outcome {
    let bench = Bench::with("mine.toml", "# mine\nsprint.form = \"7 m/s\"\n")?;
    bench.run("settings --settings mine.toml")?.could_not(&[
        "mine.toml",
        "line 2",
        "`sprint.from`",
    ]);
    bench.file("mine.toml", "sprint.from = \n")?;
    bench
        .run("settings --settings mine.toml")?
        .could_not(&["mine.toml", "line 1"]);
    bench
        .run("settings --settings nowhere.toml")?
        .could_not(&["'nowhere.toml'", "no such file"]);
    Ok(())
}
