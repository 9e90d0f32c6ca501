//! The account of a session on one screen of 80 columns.
//!
//! The text carries ANSI styles; strip them for a file or a pipe. No meaning rests on them. With a plan the verdict on
//! it comes first, then whether the speeds asked for were reached, since that is what the player wants to know; without one,
//! the totals do.

mod efforts;
mod ground;
mod marks;
mod plan;
mod recording;
mod sprints;
mod style;
mod totals;

pub(super) use marks::of as marks;
#[cfg(test)]
pub(super) use plan::made;
pub(super) use plan::{SPEED_OPEN, mark_of};

use crate::note::Note;
use crate::review::Fits;
use crate::session::Session;

use super::layout::{hanging, safe};
use super::note;
use style::{QUIET, STRONG, paint};

/// Columns of the account.
const COLUMNS: usize = 80;

/// Writes the account of a session, styled for a terminal.
#[must_use]
pub fn render(session: &Session) -> String {
    let mut out = recording::heading(session);
    let plan = session.review.plan.as_ref();
    let fits = plan.map_or(Fits::Yes, |review| review.fits);
    out += &(fits.doubt()).map_or_else(String::new, |doubt| marks::doubt(&note::text(&doubt)));
    // Of a plan that is another session's nothing is said, and least of all what was not done of it.
    if let Some(review) = plan.filter(|_| fits != Fits::No) {
        out += &plan::headline(review);
        out += &marks::answer(session);
        out.push('\n');
        out += &plan::table(session.plan.as_ref(), review, session.settings.speeds);
        out += &plan::fell_short(review);
        out += &plan::rests(review);
        out += &plan::unplanned(review, session.settings.speeds);
        let (fades, speeds) = (&session.profile.fades, session.settings.speeds);
        out += &plan::counts(review, fades, speeds, super::marks::day(session));
        out.push('\n');
        out += &recording::quality(session);
        out += &totals::lines(session);
        out += &totals::bands_in_brief(&session.review.totals);
        out += &efforts::in_brief(session);
        out += &sprints::best(session);
        out += &sprints::model(session);
        out += &ground::lines(session);
    } else {
        out += &recording::quality(session);
        out += &marks::answer(session);
        out.push('\n');
        out += &totals::lines(session);
        out.push('\n');
        out += &totals::bands(&session.review.totals, session.settings.speeds);
        out.push('\n');
        out += &efforts::sprints(session);
        out += &efforts::others(session);
        out += &sprints::best(session);
        out += &sprints::model(session);
        out += &ground::lines(session);
    }
    let said = |note: &&Note| fits.doubt().as_ref() == Some(*note);
    let rest = session.review.notes.iter().filter(|note| !said(note));
    out += &notes(rest);
    out
}

/// The notes, each wrapped under its dash.
fn notes<'a>(notes: impl Iterator<Item = &'a Note>) -> String {
    let mut notes = notes.peekable();
    if notes.peek().is_none() {
        return String::new();
    }
    let mut out = format!("\n{}\n", paint(STRONG, "Notes"));
    for note in notes {
        out += &hanging("- ", &safe(&note::text(note)), COLUMNS);
    }
    out
}

/// A caption that recedes, on its own line.
fn caption(text: &str) -> String {
    hanging("", text, COLUMNS)
        .lines()
        .fold(String::new(), |out, line| out + &paint(QUIET, line) + "\n")
}

/// The names of the columns below, spaced as they stand.
fn columns(text: &str) -> String {
    paint(QUIET, text) + "\n"
}
