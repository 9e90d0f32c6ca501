//! `repledger pitch fit`: lays a pitch under recordings, or takes it from its corners.

use anyhow::{Context, bail};
use repledger::measured::Z95;
use repledger::pitch::{Fit, Kept, Size, fit, laps};
use repledger::report::safe;
use repledger::session;
use repledger::settings::Settings;
use repledger::trace;

use super::described;
use crate::args::pitch::PitchFit;
use crate::exit_status::ExitStatus;
use crate::input::RECORDING;
use crate::pitches;
use crate::printer::Printer;
use crate::recording;

/// Runs the command.
pub fn run(typed: &PitchFit, printer: &mut Printer) -> anyhow::Result<ExitStatus> {
    let earlier = match &typed.keep {
        Some(name) => typed.pitches.named(name)?,
        None => None,
    };
    let mut found = match &typed.corners {
        Some(file) => pitches::corners(file)?,
        None => of_traces(typed, earlier.as_ref(), printer)?,
    };
    let Some(name) = &typed.keep else {
        printer.data(&described(&found))?;
        printer.talk("not kept; --keep NAME keeps it for later sessions".to_owned());
        return Ok(ExitStatus::Done);
    };
    if let Some(earlier) = earlier {
        // Corners are as good as they get; traces add to what is known.
        if typed.corners.is_none() {
            if other_size(earlier.size, found.size) {
                bail!(
                    "'{}' is kept as {:.0} x {:.0} m; forget it first, or give this one another name",
                    safe(name),
                    earlier.size.length_m,
                    earlier.size.width_m
                );
            }
            found = together(earlier, &found)?;
        }
    }
    found.name.clone_from(name);
    typed.pitches.keep(&found)?;
    printer.data(&described(&found))?;
    printer.talk(format!("kept as '{}'", safe(name)));
    Ok(ExitStatus::Done)
}

/// What all recordings together tell; one that is not sure tells nothing.
fn of_traces(
    typed: &PitchFit,
    earlier: Option<&Kept>,
    printer: &mut Printer,
) -> anyhow::Result<Kept> {
    let mut all: Option<Kept> = None;
    for trace in &typed.traces {
        let bytes = trace.read(RECORDING)?;
        let mark = mark(&bytes).with_context(|| trace.name())?;
        let before = earlier.into_iter().chain(all.as_ref());
        if before.flat_map(|k| &k.known_by).any(|known| *known == mark) {
            printer.talk(format!(
                "{}: told it before; not counted twice",
                trace.name()
            ));
            continue;
        }
        let session =
            session::analyse(&bytes, None, &Settings::default()).with_context(|| trace.name())?;
        let Some(frame) = &session.track.frame else {
            bail!(
                "{}: a recording in metres does not say where on earth it is, so its pitch cannot be kept",
                trace.name()
            );
        };
        // Laps of one session tell the size for those after it.
        let known = typed
            .size
            .or(earlier.or(all.as_ref()).map(|kept: &Kept| kept.size));
        let found = match known {
            Some(size) => fit(&session.motion, size),
            None => laps(&session.motion).map_or(Fit::TooLittle, Fit::Sure),
        };
        match found {
            Fit::Sure(pitch) => {
                let mut one = Kept::of(String::new(), &pitch, frame);
                one.known_by.push(mark);
                all = Some(match all {
                    Some(all) => together(all, &one).with_context(|| trace.name())?,
                    None => one,
                });
            }
            Fit::Unsure(pitch) => printer.talk(format!(
                "{}: leaves open where the pitch lies, by ±{:.0} m and ±{:.0}°; not used",
                trace.name(),
                Z95 * pitch.centre_sd_m,
                Z95 * pitch.turn_sd_rad.to_degrees()
            )),
            Fit::TooSmall { outside } => printer.talk(format!(
                "{}: {:.0} % of the time would be outside a pitch of that size; not used",
                trace.name(),
                100.0 * outside
            )),
            Fit::TooLittle => {
                let why = if known.is_some() {
                    "too little motion"
                } else {
                    "no laps around a pitch in its first 20 minutes, and no --size"
                };
                printer.talk(format!("{}: {why}; not used", trace.name()));
            }
        }
    }
    all.context(
        "no new recording tells where the pitch lies. Laps around the lines do, or its corners in a file (--corners FILE)",
    )
}

/// Both as one pitch, if they can be one.
fn together(earlier: Kept, found: &Kept) -> anyhow::Result<Kept> {
    if let Some(apart_m) = earlier.apart_m(found) {
        bail!(
            "this recording was made on another pitch: the two lie {apart_m:.0} m apart or turned against each other, by more \
             than they are uncertain. Give it another name"
        );
    }
    Ok(earlier.with(found))
}

/// Whether two sizes are of two pitches; laps tell one to a few metres.
fn other_size(a: Size, b: Size) -> bool {
    (a.length_m - b.length_m).abs() > 3.0 || (a.width_m - b.width_m).abs() > 3.0
}

/// By what a recording is known again: the first half of a hash.
fn mark(bytes: &[u8]) -> Result<String, trace::Error> {
    let hash = recording::hash(trace::unpack(bytes)?.bytes());
    let digits = hash.iter().take(12).map(|byte| format!("{byte:02x}"));
    Ok(digits.collect())
}
