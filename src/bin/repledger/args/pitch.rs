//! What was typed after `pitch`, and what is typed elsewhere about pitches.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::Input;

const EXAMPLES: &str = "\
Examples:
  repledger pitch fit monday.gpx --size 100x64 --keep riverside
  repledger pitch fit monday.gpx thursday.gpx --size 105x68 --keep riverside
  repledger pitch fit --corners riverside.txt --keep riverside
  repledger pitch list
  repledger review friday.gpx --pitch riverside --out friday";

/// Find a pitch under recordings and keep it for later sessions.
///
/// A pitch of a size that is known is laid where it fits the motion best: laps around the lines tell it well, a session in one
/// corner does not, and then it is not kept. Which goal is which is never told. A kept pitch lies under every later review of
/// a recording made there.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Pitch {
    /// What to do
    #[command(subcommand)]
    pub command: PitchCommand,
}

/// The commands on pitches.
#[derive(Debug, Subcommand)]
pub enum PitchCommand {
    /// Lay a pitch under recordings, or take it from its corners
    Fit(PitchFit),
    /// Name the pitches that are kept
    List(PitchesFrom),
    /// Show one that is kept
    Show(PitchNamed),
    /// Keep one no longer
    Forget(PitchNamed),
}

/// Lay a pitch under recordings, or take it from its corners.
#[derive(Debug, Args)]
pub struct PitchFit {
    /// Recordings that were made on it; many tell it better
    #[arg(value_name = "TRACE", required_unless_present = "corners")]
    pub traces: Vec<Input>,

    /// Its length and width, as in 105x68, in metres; without it, laps around the lines must tell
    #[arg(long, value_name = "SIZE", value_parser = size)]
    pub size: Option<repledger::pitch::Size>,

    /// A file with its corners: `latitude,longitude` a line, or a GeoJSON polygon
    #[arg(long, value_name = "FILE", conflicts_with_all = ["traces", "size"])]
    pub corners: Option<Input>,

    /// Keep it by this name; if one is kept by it, what is new makes it surer
    #[arg(long, value_name = "NAME")]
    pub keep: Option<String>,

    #[command(flatten)]
    pub pitches: PitchesFrom,
}

/// One pitch by its name.
#[derive(Debug, Args)]
pub struct PitchNamed {
    /// Its name
    #[arg(value_name = "NAME")]
    pub name: String,

    #[command(flatten)]
    pub pitches: PitchesFrom,
}

/// Where pitches are kept.
#[derive(Clone, Debug, Args)]
pub struct PitchesFrom {
    /// Keep pitches in this folder, not in the user's data folder
    #[arg(long, value_name = "DIR")]
    pub pitches: Option<PathBuf>,
}

/// A size such as `105x68`, in metres.
fn size(text: &str) -> Result<repledger::pitch::Size, String> {
    let wrong = || "length and width in metres are wanted, such as 105x68".to_owned();
    let (length, width) = text
        .trim_end_matches(" m")
        .split_once(['x', 'X', '×'])
        .ok_or_else(wrong)?;
    let number = |text: &str| text.trim().parse::<f64>().map_err(|_| wrong());
    let (a, b) = (number(length)?, number(width)?);
    let fits = |m: f64| (5.0..=200.0).contains(&m);
    if fits(a) && fits(b) {
        Ok(repledger::pitch::Size {
            length_m: a.max(b),
            width_m: a.min(b),
        })
    } else {
        Err("a pitch measures between 5 and 200 m".to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::size;

    #[test]
    fn a_size_is_two_lengths() {
        let found = size("64 x 100").map(|s| (s.length_m, s.width_m));
        assert_eq!(found, Ok((100.0, 64.0)));
        assert!(size("105").is_err());
        assert!(size("105x680").is_err_and(|e| e.contains("200")));
        assert!(size("NaNx68").is_err());
    }
}
