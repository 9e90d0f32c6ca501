//! Several sessions beside each other: heatmaps on one scale, where the time went otherwise, and the reps of shared drills.
//!
//! All maps lie on one ground (`ground`) and one grid. `heat` draws them beside each other, `difference` what changed from the first
//! to each other, and `drills` the reps of the drills that both did, over each other.

mod difference;
mod drills;
mod ground;
mod heat;
mod maps;

use super::{Error, Picture};
use crate::comparison::Comparison;
use crate::session::Session;

use maps::Maps;

/// A session by the name it is called by.
#[derive(Clone, Copy, Debug)]
pub struct Named<'a> {
    /// Such as `A, monday.gpx`.
    pub name: &'a str,
    /// The session.
    pub session: &'a Session,
}

/// The pictures that the sessions have something for, and notes on those they have not. The sessions are those of the comparison, in
/// its order.
///
/// # Errors
/// Where a chart could not be drawn.
pub fn compared(
    sessions: &[Named<'_>],
    comparison: &Comparison,
) -> Result<(Vec<Picture>, Vec<String>), Error> {
    let (mut pictures, mut notes) = (Vec::new(), Vec::new());
    match Maps::of(sessions) {
        Ok(maps) => {
            pictures.push(Picture {
                name: "heatmaps",
                svg: heat::draw(&maps)?,
            });
            pictures.push(Picture {
                name: "difference",
                svg: difference::draw(&maps)?,
            });
            notes.extend(maps.ground.note().map(ToOwned::to_owned));
        }
        Err(apart) => notes.push(apart.in_words().to_owned()),
    }
    if let Some(svg) = drills::draw(sessions, comparison)? {
        pictures.push(Picture {
            name: "drills",
            svg,
        });
    }
    Ok((pictures, notes))
}

/// A, B, C; numbers after Z.
fn letter(index: usize) -> String {
    u8::try_from(index).ok().filter(|k| *k < 26).map_or_else(
        || (index + 1).to_string(),
        |k| char::from(b'A' + k).to_string(),
    )
}
