//! Where the time was spent, session beside session, in the same colours.

use super::ground::Ground;
use super::maps::Maps;
use crate::figure::canvas::Canvas;
use crate::figure::field::north;
use crate::figure::heatmap::{self, BAR_LEFT, TOP, colour_bar, darkest, image};
use crate::figure::svg::Svg;
use crate::figure::{Error, key, style};

/// Draws the maps.
pub(super) fn draw(maps: &Maps) -> Result<Svg, Error> {
    let (panels, below) = maps.places(maps.densities.len());
    let entries = vec![
        (
            key::Sample::Line(style::INK, 1.6, ""),
            "half of the time was spent inside".to_owned(),
        ),
        (
            key::Sample::Line(style::INK, 0.9, ""),
            "nine tenths of the time was spent inside".to_owned(),
        ),
    ];
    let key_top = below + 12.0;
    let height =
        key_top + key::lines(style::Sheet::WIDE, &entries) as f64 * key::LINE + style::MARGIN;
    let bandwidth_m = maps.grid().map_or(0.0, |grid| grid.bandwidth_m);
    let mut page = Canvas::new(
        height,
        "Where the time was spent, session beside session",
        &format!(
            "{} · the same colours for all · smoothed with a standard deviation of {bandwidth_m:.1} m, what a place may be off",
            maps.axes()
        ),
    );
    let strongest = maps
        .densities
        .iter()
        .max_by(|a, b| darkest(a).total_cmp(&darkest(b)));
    let Some(strongest) = strongest else {
        return Ok(page.finish());
    };
    let scale = darkest(strongest);
    for ((found, map), name) in maps.densities.iter().zip(&panels).zip(&maps.names) {
        page.raw(&image(found, map, scale)?);
        page.raw(&heatmap::lines(found, map)?);
        Maps::frame(&mut page, map, name);
    }
    let foot = colour_bar(&mut page, (BAR_LEFT, TOP), strongest.highest(), scale);
    if maps.ground == Ground::Earth {
        north(&mut page, (BAR_LEFT - 8.0, foot + 12.0), 0.0);
    }
    key::draw(&mut page, key_top, &entries);
    Ok(page.finish())
}
