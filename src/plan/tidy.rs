//! Writes a plan in its one canonical form.

use std::fmt::{self, Write as _};

use crate::plan::amount::{length_text, share_text, speed_text, time_text};
use crate::plan::heading::Heading;
use crate::plan::parse::{Content, entries};
use crate::plan::word::{self, is_double_quote};
use crate::plan::{Block, Category, Dose, Mistake, Plan, Rest, Target, Work};

/// The text with every header line and block in its canonical form, on the line where it stood.
///
/// Comments stay, those behind a block two spaces after it. Blank lines stay. So the plan read from the result equals
/// the plan read from `text`, line numbers included.
///
/// # Errors
///
/// The mistakes that [`parse()`](crate::plan::parse()) finds.
pub fn tidy(text: &str) -> Result<String, Vec<Mistake>> {
    let mut out = String::with_capacity(text.len());
    let entries = entries(text)?;
    let written = entries.iter().map(|entry| {
        let content = match &entry.content {
            Content::Nothing => String::new(),
            Content::Heading(heading) => heading.to_string(),
            Content::Block(block) => block.to_string(),
        };
        match entry.comment {
            Some(comment) if content.is_empty() => comment.to_owned(),
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
        for block in &self.blocks {
            writeln!(f, "{block}")?;
        }
        Ok(())
    }
}

impl fmt::Display for Block {
    /// The block as one line of a plan.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.category)?;
        let name = self
            .name
            .as_deref()
            .map(|name| word::clean(&name.replace(is_double_quote, "'")));
        match name {
            Some(name) if !name.is_empty() => write!(f, " \"{name}\", ")?,
            _ => f.write_char(' ')?,
        }
        f.write_str(&self.phrases())
    }
}

impl Block {
    /// What follows category and name: the dose and all that qualifies it, in the canonical form.
    #[must_use]
    pub fn phrases(&self) -> String {
        let mut out = String::new();
        if self.with_ball {
            out.push_str("with ball, ");
        }
        let _ = write!(out, "{}", self.dose);
        if let Some(over) = self.over_m {
            let _ = write!(out, " over {}", length_text(over));
        }
        if self.there_and_back {
            out.push_str(" there and back");
        }
        if let Some(target) = self.target {
            let _ = write!(out, " at {target}");
        }
        match self.rest {
            Rest::RunOn => {}
            Rest::Timed(seconds) => {
                let _ = write!(out, ", rest {}", time_text(seconds));
            }
            Rest::WalkBack => out.push_str(", rest walk back"),
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
