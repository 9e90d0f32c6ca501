//! What is said of a command line that makes no sense, beyond what its reader says itself.

use std::path::Path;

use clap::error::{ContextKind, ContextValue, ErrorKind};

/// Ends the program as the error says; a recording in the place of a command is met with the command that was perhaps meant.
pub fn exit(error: &clap::Error) -> ! {
    if let Some(hint) = hint(error) {
        let mut command = <crate::args::Typed as clap::CommandFactory>::command();
        command.error(error.kind(), hint).exit();
    }
    error.exit()
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
}
