//! Writes a plan in its one canonical form.

use std::fmt::{self, Write as _};

use crate::plan::amount::{length_text, share_text, speed_text, time_text};
use crate::plan::date::Reading;
use crate::plan::heading::Heading;
use crate::plan::parse::{Content, entries, parse_with};
use crate::plan::rounds::Rounds;
use crate::plan::timetable::rests_are_asked;
use crate::plan::word::{self, is_double_quote};
use crate::plan::{
    Block, Category, Dose, Each, Effort, FreeRest, Mistake, Plan, Rest, Target, Work,
};

/// The text with every header line and block in its canonical form, on the line where it stood.
///
/// Comments stay, those behind a block two spaces after it. Blank lines stay. So the plan read from the result equals
/// the plan read from `text`, line numbers included.
///
/// # Errors
///
/// The mistakes that [`parse()`](crate::plan::parse()) finds.
pub fn tidy(text: &str) -> Result<String, Vec<Mistake>> {
    tidy_with(text, Reading::default())
}

/// The tidy form of a text that is read with what is known beside it.
///
/// # Errors
///
/// As [`tidy()`].
pub fn tidy_with(text: &str, reading: Reading) -> Result<String, Vec<Mistake>> {
    let mut out = String::with_capacity(text.len());
    let asked = rests_are_asked(&parse_with(text, reading)?);
    let entries = entries(text, reading)?;
    let written = entries.iter().map(|entry| {
        let content = match &entry.content {
            Content::Nothing => String::new(),
            Content::Heading(heading) => heading.to_string(),
            Content::Block(block) if entry.inside => format!("  {}", block.line_text(asked)),
            Content::Block(block) => block.line_text(asked),
            Content::Rounds(rounds) => rounds.to_string(),
        };
        match &entry.comment {
            Some(comment) if content.is_empty() => comment.to_string(),
            Some(comment) => format!("{content}  {comment}"),
            None => content,
        }
    });
    for line in written {
        out.push_str(&line);
        out.push('\n');
    }
    // A text that ends with a line end has one empty line behind it, which is no line.
    while out.ends_with("\n\n") {
        out.pop();
    }
    Ok(out)
}

impl fmt::Display for Plan {
    /// The canonical form: the header, an empty line, then a line a block.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let headings = Heading::all(&self.header);
        for heading in &headings {
            writeln!(f, "{heading}")?;
        }
        if !headings.is_empty() {
            f.write_char('\n')?;
        }
        let asked = rests_are_asked(self);
        let mut blocks = self.blocks.as_slice();
        while let Some((block, rest)) = blocks.split_first() {
            let Some((rounds, length)) = Rounds::at(blocks) else {
                writeln!(f, "{}", block.line_text(asked))?;
                blocks = rest;
                continue;
            };
            writeln!(f, "{rounds}")?;
            for (index, block) in blocks.iter().take(length).enumerate() {
                let mut block = block.clone();
                if index + 1 == length {
                    block.then_s = None;
                }
                writeln!(f, "  {}", block.line_text(asked))?;
            }
            blocks = blocks
                .get(length * rounds.times as usize..)
                .unwrap_or_default();
        }
        Ok(())
    }
}

impl fmt::Display for Block {
    /// The block as one line of a plan.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.line_text(false))
    }
}

impl Block {
    /// What follows category and name: the dose and all that qualifies it, in the canonical form.
    #[must_use]
    pub(crate) fn phrases(&self) -> String {
        self.phrases_in(false)
    }

    /// The block as one line of a plan, in which a rest that is asked about says what it lies between.
    pub(super) fn line_text(&self, asked: bool) -> String {
        let mut out = self.category.to_string();
        let name = self
            .name
            .as_deref()
            .map(|name| word::clean(&name.replace(is_double_quote, "'")));
        match name {
            Some(name) if !name.is_empty() => {
                let _ = write!(out, " \"{name}\", ");
            }
            _ => out.push(' '),
        }
        out + &self.phrases_in(asked)
    }

    fn phrases_in(&self, asked: bool) -> String {
        let mut out = String::new();
        if self.with_ball {
            out.push_str("with ball, ");
        }
        out.push_str(&self.dose_text());
        if let Some(each) = self.each {
            let _ = write!(out, " {each}");
        }
        if let Some(over) = self.over_m {
            let _ = write!(out, " over {}", length_text(over));
        }
        if self.there_and_back {
            out.push_str(" there and back");
        }
        if let Some(target) = self.target {
            let _ = write!(out, " at {target}");
            if self.share_is_doubtful() {
                out.push_str(" of top speed");
            }
        }
        if let Some(effort) = self.effort {
            let _ = write!(out, ", {effort}");
        }
        if self.build_up {
            out.push_str(", build up");
        }
        match (self.rest, self.every_s) {
            (Rest::RunOn, _) => {}
            (_, Some(seconds)) => {
                let _ = write!(out, ", every {}", time_text(seconds));
            }
            (Rest::Timed(seconds), None) => {
                let _ = write!(out, ", rest {}", time_text(seconds));
                if self.rest_is_doubtful() || asked && self.rest_is_open() {
                    out.push_str(" between reps");
                }
            }
            (Rest::WalkBack, None) => {
                let _ = write!(out, ", rest {}", self.free_rest);
            }
        }
        if let Some(seconds) = self.between_sets_s {
            let _ = write!(out, ", {} between sets", time_text(seconds));
        }
        if let Some(seconds) = self.then_s {
            let _ = write!(out, ", then {}", time_text(seconds));
        }
        out
    }
}

impl Block {
    /// Sets, reps and work as they are written: the work of each rep where they differ, the reps of one side where they are
    /// for each.
    #[must_use]
    pub(crate) fn dose_text(&self) -> String {
        let mut dose = self.dose;
        if self.each.is_some()
            && let Dose::Reps { reps, .. } = &mut dose
        {
            *reps /= 2;
        }
        if self.mixed.is_empty() {
            return dose.to_string();
        }
        let list = mixed_text(&self.mixed);
        match self.sets() {
            1 => list,
            sets => format!("{sets} x {list}"),
        }
    }
}

/// `10-20-30-20-10 m`: all in the unit in which they come out even.
fn mixed_text(works: &[Work]) -> String {
    let joined = |values: &[f64], unit: &str| {
        let values: Vec<String> = values.iter().map(ToString::to_string).collect();
        format!("{} {unit}", values.join("-"))
    };
    let seconds: Vec<f64> = works.iter().filter_map(Work::seconds).collect();
    if !seconds.is_empty() {
        let minutes: Vec<f64> = seconds.iter().map(|s| s / 60.0).collect();
        return if minutes.iter().all(|m| m.fract() == 0.0) {
            joined(&minutes, "min")
        } else {
            joined(&seconds, "s")
        };
    }
    let lengths: Vec<f64> = works.iter().filter_map(Work::metres).collect();
    let texts: Vec<String> = lengths.iter().map(|m| length_text(*m)).collect();
    let yards: Option<Vec<f64>> = texts
        .iter()
        .map(|text| text.strip_suffix(" yd")?.parse().ok())
        .collect();
    match yards {
        Some(yards) => joined(&yards, "yd"),
        None => joined(&lengths, "m"),
    }
}

impl fmt::Display for FreeRest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Walk => "walk back",
            Self::Jog => "jog back",
            Self::Full => "full",
        })
    }
}

impl fmt::Display for Effort {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::FlatOut => "flat out",
            Self::Easy => "easy",
        })
    }
}

impl fmt::Display for Each {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Side => "each side",
            Self::Leg => "each leg",
        })
    }
}

impl fmt::Display for Dose {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Continuous { duration_s } => f.write_str(&time_text(duration_s)),
            Self::Reps {
                sets,
                reps,
                work: Work::Count,
            } => write!(f, "{sets} x {reps} reps"),
            Self::Reps {
                sets: 1,
                reps,
                work,
            } => write!(f, "{reps} x {work}"),
            Self::Reps { sets, reps, work } => write!(f, "{sets} x {reps} x {work}"),
        }
    }
}

impl fmt::Display for Work {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Duration(seconds) => f.write_str(&time_text(seconds)),
            Self::Distance(metres) => f.write_str(&length_text(metres)),
            Self::Count => f.write_str("reps"),
        }
    }
}

impl fmt::Display for Target {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::ShareOfTop(share) => f.write_str(&share_text(share)),
            Self::Speed(speed) => f.write_str(&speed_text(speed)),
        }
    }
}

impl fmt::Display for Category {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}
