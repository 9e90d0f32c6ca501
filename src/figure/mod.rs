//! Pictures of a session, as SVG with real text, and as PNG.
//!
//! Each chart is a pure function from a [`Scene`] to an SVG document. plotters draws grids, series and bands; words,
//! marks and keys are set around them by a small page module, where their widths are known, so that no text lies over
//! another. A chart that has nothing to show is absent. What is drawn knows where its colours stand ([`Svg`]), so that one drawing is had
//! light, dark, or as its reader is set.

mod axis;
mod backend;
mod best;
mod canvas;
mod colour_space;
mod compared;
mod contour;
mod density;
mod drill;
mod error;
mod fade;
mod field;
mod font;
mod grid;
mod heatmap;
mod heatmap_blocks;
mod key;
mod lettering;
mod panel;
mod ramp;
mod raster;
mod reps;
mod scene;
mod schedule;
mod speed;
mod sprints;
mod style;
mod svg;
mod thin;
mod time_panel;
mod timeline;
mod verdict;
mod weeks;

use rayon::prelude::*;

use crate::session::Session;

pub use best::best;
pub use compared::{Named, compared};
pub use drill::{drill_of_squad, drill_over_time};
pub use error::Error;
pub use fade::fade;
pub use grid::grid;
pub(crate) use grid::title as quantity_title;
pub use heatmap::heatmap;
pub use heatmap_blocks::heatmap_blocks;
pub use raster::{png, tree};
pub use reps::reps;
pub use scene::Scene;
pub use speed::speed;
pub use sprints::sprints;
pub use style::{Sheet, Theme};
pub use svg::Svg;
pub use timeline::timeline;
pub(crate) use verdict::VERDICTS;
pub use weeks::weeks;

/// A picture with the name of its file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// The file's name without its extension.
    pub name: &'static str,
    /// The document, which follows its reader or is settled on a theme.
    pub svg: Svg,
}

/// A chart: `None` when the session has nothing for it to show.
type Draw = fn(&Scene<'_>) -> Result<Option<Svg>, Error>;

/// All charts with the names of their files.
const CHARTS: [(&str, Draw); 7] = [
    ("speed", speed),
    ("heatmap", heatmap),
    ("heatmap_blocks", heatmap_blocks),
    ("sprints", sprints),
    ("timeline", timeline),
    ("reps", reps),
    ("fade", fade),
];

/// All pictures that the session has something for, in a fixed order.
///
/// # Errors
/// Where a chart could not be drawn.
pub fn all(session: &Session) -> Result<Vec<Picture>, Error> {
    pictures(&Scene::of(session))
}

/// The same, each laid out for a phone held upright.
///
/// # Errors
/// Where a chart could not be drawn.
pub fn narrow(session: &Session) -> Result<Vec<Picture>, Error> {
    pictures(&Scene::of(session).on(Sheet::NARROW))
}

/// The same from the parts of a session.
///
/// # Errors
/// Where a chart could not be drawn.
pub fn pictures(scene: &Scene<'_>) -> Result<Vec<Picture>, Error> {
    let drawn: Vec<Option<Picture>> = CHARTS
        .par_iter()
        .map(|(name, draw)| Ok(draw(scene)?.map(|svg| Picture { name, svg })))
        .collect::<Result<_, Error>>()?;
    Ok(drawn.into_iter().flatten().collect())
}
