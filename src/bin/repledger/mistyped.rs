//! What is said of a command line that makes no sense, beyond what its reader says itself.

use std::path::Path;

use clap::builder::StyledStr;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Command, CommandFactory};

use crate::args::Typed;

/// Ends the program as the error says; a recording in the place of a command is met with the command that was perhaps meant, and who
/// left something out with an example.
pub fn exit(mut error: clap::Error) -> ! {
    if let Some(hint) = hint(&error) {
        Typed::command().error(error.kind(), hint).exit();
    }
    let tips: Vec<StyledStr> = tips(&error).into_iter().map(StyledStr::from).collect();
    if !tips.is_empty() {
        error.insert(ContextKind::Suggested, ContextValue::StyledStrs(tips));
    }
    error.exit()
}

/// What helps who left out an argument: what there is to choose from, and the first example of the command.
fn tips(error: &clap::Error) -> Vec<String> {
    if error.kind() != ErrorKind::MissingRequiredArgument {
        return Vec::new();
    }
    let (Some(ContextValue::Strings(missing)), Some(ContextValue::StyledStr(usage))) = (
        error.get(ContextKind::InvalidArg),
        error.get(ContextKind::Usage),
    ) else {
        return Vec::new();
    };
    let Some(command) = command_of(&usage.to_string()) else {
        return Vec::new();
    };
    let mut tips = Vec::new();
    if missing.iter().any(|argument| argument == "<ID>") {
        tips.push("`repledger diary list` shows the entries with their numbers".to_owned());
    }
    let named = |argument: &&clap::Arg| missing.contains(&argument.to_string());
    for argument in command.get_arguments().filter(named) {
        let values = argument.get_possible_values();
        let values: Vec<&str> = values
            .iter()
            .map(clap::builder::PossibleValue::get_name)
            .collect();
        if !values.is_empty() {
            tips.push(format!("{argument} is one of {}", values.join(", ")));
        }
    }
    if let Some(example) = example(&command) {
        tips.push(format!("for example `{example}`"));
    }
    tips
}

/// The command that a line of usage is of: `Usage: repledger diary show <ID>`.
fn command_of(usage: &str) -> Option<Command> {
    let mut command = Typed::command();
    command.build();
    let words = usage
        .split_whitespace()
        .skip_while(|word| *word == "Usage:");
    for word in words.skip(1) {
        match command.find_subcommand(word) {
            Some(inner) => command = inner.clone(),
            None => break,
        }
    }
    (!command.has_subcommands()).then_some(command)
}

/// The first example of a command's help, without what it says of it.
fn example(command: &Command) -> Option<String> {
    let help = command.get_after_help()?.to_string();
    let line = help
        .lines()
        .find(|line| line.trim_start().starts_with("repledger"))?;
    let example = line.split("  #").next()?;
    Some(example.trim().to_owned())
}

fn hint(error: &clap::Error) -> Option<String> {
    if error.kind() != ErrorKind::InvalidSubcommand {
        return None;
    }
    let Some(ContextValue::String(word)) = error.get(ContextKind::InvalidSubcommand) else {
        return None;
    };
    let command = command_for(word)?;
    Some(format!(
        "'{word}' is a file, not a command; perhaps you meant `repledger {command} {word}`"
    ))
}

/// The command that reads a file of this name.
fn command_for(word: &str) -> Option<&'static str> {
    let name = word.strip_suffix(".gz").unwrap_or(word).to_lowercase();
    let ending = Path::new(&name).extension()?.to_str()?;
    match ending {
        "gpx" | "csv" | "tsv" => Some("review"),
        "plan" => Some("plan"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_are_known_by_their_endings() {
        assert_eq!(command_for("monday.gpx"), Some("review"));
        assert_eq!(command_for("Monday.CSV.gz"), Some("review"));
        assert_eq!(command_for("monday.plan"), Some("plan"));
        assert_eq!(command_for("reveiw"), None);
    }

    #[test]
    fn who_leaves_something_out_is_told_what_there_is() {
        let tips = |line: &[&str]| {
            let typed = ["repledger"].iter().chain(line);
            <Typed as clap::Parser>::try_parse_from(typed)
                .map_err(|error| tips(&error))
                .err()
        };
        let told = |tips: &[&str]| Some(tips.iter().map(ToString::to_string).collect());
        assert_eq!(
            tips(&["diary", "show"]),
            told(&[
                "`repledger diary list` shows the entries with their numbers",
                "for example `repledger diary show 12`"
            ])
        );
        assert_eq!(
            tips(&["diary", "note"]),
            told(&[
                "<WHAT> is one of training, team, match, gym, rest, other",
                "for example `repledger diary note team --minutes 90 --rpe 6`"
            ])
        );
        assert_eq!(
            tips(&["review"]),
            told(&["for example `repledger review monday.gpx`"])
        );
    }
}
