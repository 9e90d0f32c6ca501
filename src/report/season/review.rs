//! The review of a session as `review --out` writes it, with its pictures, on the way back to the session.

use super::super::day_words::session;
use super::super::layout::safe;
use super::super::page::{self, Drawing};
use super::frame::who;
use super::{FIRST, Page, Season, names};
use crate::diary::Entry;
use crate::figure;
use crate::session::Session;
use crate::settings::Setting;

/// Writes the page.
pub(super) fn page(
    season: &Season<'_>,
    name: String,
    entry: &Entry,
    mut reviewed: Session,
    settings: &[Setting],
) -> Result<Page, figure::Error> {
    let title = session(entry);
    reviewed.title = Some(title.clone());
    let athlete = safe(&entry.athlete);
    reviewed.athlete = (!athlete.is_empty()).then_some(athlete);
    let wide = figure::all(&reviewed)?;
    let narrow = figure::narrow(&reviewed)?;
    let drawings: Vec<Drawing<'_>> = (wide.iter())
        .map(|picture| Drawing {
            name: picture.name,
            svg: &picture.svg,
            narrow: (narrow.iter())
                .find(|other| other.name == picture.name)
                .map(|other| &*other.svg),
        })
        .collect();
    let squad = (!season.alone).then(|| ("Squad".to_owned(), FIRST.to_owned()));
    let own = (who(&entry.athlete), season.of_athlete(&entry.athlete));
    let kept = (format!("{title}, as kept"), names::session(entry));
    let way: Vec<(String, String)> = squad.into_iter().chain([own, kept]).collect();
    Ok(Page {
        name,
        html: page::render_among(&reviewed, &drawings, settings, &way),
    })
}
