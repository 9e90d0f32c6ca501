//! `repledger pitch`: finds pitches under recordings and keeps them.

mod fit;

use std::fmt::Write as _;

use anyhow::bail;
use repledger::measured::Z95;
use repledger::pitch::Kept;
use repledger::report::safe;

use crate::args::pitch::{Pitch, PitchCommand, PitchNamed, PitchesFrom};
use crate::exit_status::ExitStatus;
use crate::printer::Printer;

/// Runs the command.
pub fn run(typed: &Pitch, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    match &typed.command {
        PitchCommand::Fit(typed) => fit::run(typed, printer),
        PitchCommand::List(from) => list(from, printer),
        PitchCommand::Show(typed) => show(typed, printer),
        PitchCommand::Forget(typed) => forget(typed, printer),
    }
}

fn list(from: &PitchesFrom, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let all = from.all()?;
    if all.is_empty() {
        printer.talk("no pitch is kept; `repledger pitch fit` finds one".to_owned());
    }
    let mut lines = String::new();
    for kept in &all {
        let _ = writeln!(
            lines,
            "{}  {:.0} x {:.0} m, place ±{:.1} m, direction ±{:.1}°",
            safe(&kept.name),
            kept.size.length_m,
            kept.size.width_m,
            Z95 * kept.centre_sd_m,
            Z95 * kept.turn_sd_rad.to_degrees()
        );
    }
    printer.data(&lines)?;
    Ok(ExitStatus::Done)
}

fn show(typed: &PitchNamed, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let Some(kept) = typed.pitches.named(&typed.name)? else {
        bail!(
            "no pitch '{}' is kept; `repledger pitch list` names those that are",
            safe(&typed.name)
        );
    };
    printer.data(&described(&kept))?;
    Ok(ExitStatus::Done)
}

fn forget(typed: &PitchNamed, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    if !typed.pitches.forget(&typed.name)? {
        bail!(
            "no pitch '{}' is kept; `repledger pitch list` names those that are",
            safe(&typed.name)
        );
    }
    printer.talk(format!("'{}' is kept no longer", safe(&typed.name)));
    Ok(ExitStatus::Done)
}

fn described(kept: &Kept) -> String {
    let mut out = String::new();
    if !kept.name.is_empty() {
        let _ = writeln!(out, "{}", safe(&kept.name));
    }
    let _ = writeln!(
        out,
        "size        {:.1} x {:.1} m",
        kept.size.length_m, kept.size.width_m
    );
    let _ = writeln!(
        out,
        "centre      {:.6}, {:.6} (±{:.1} m)",
        kept.centre.latitude_deg,
        kept.centre.longitude_deg,
        Z95 * kept.centre_sd_m
    );
    let _ = writeln!(
        out,
        "touchlines  {:.1}° north of east (±{:.1}°); which goal is which is not known",
        kept.turn_rad.to_degrees(),
        Z95 * kept.turn_sd_rad.to_degrees()
    );
    let told = if kept.traces == 1 {
        "one recording or file".to_owned()
    } else {
        format!("{} recordings", kept.traces)
    };
    let _ = writeln!(out, "told by     {told}");
    out
}
