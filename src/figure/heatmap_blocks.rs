//! Where the time of each block was spent: a small map a block, all on one ground and one scale.

use std::ops::Range;

use super::axis::{Axis, spell};
use super::canvas::{Canvas, Heading};
use super::density::{Density, Stay, laid};
use super::field::Field;
use super::heatmap::{
    ABOVE, BAR_LEFT, NARROW_BAR, RIGHT, beside, colour_bar, darkest, image, scale_bar, uncertainty,
};
use super::panel::Panel;
use super::style::{self, Anchor, Sheet};
use super::svg::Svg;
use super::{Error, Scene, key, lettering, verdict};
use crate::review::BlockReview;

/// Maps beside each other, on a wide sheet and a narrow one, and the space between two.
const COLUMNS: (usize, usize) = (3, 2);
const BETWEEN: f64 = 20.0;
/// Greatest height of a map.
const TALLEST: f64 = 320.0;
/// Room above a map for the block's name and its time; a narrow sheet breaks the name into two lines.
const CAPTION: (f64, f64) = (36.0, 50.0);
/// Most blocks that are drawn, and most cells of a side of each.
const MOST_BLOCKS: usize = 24;
const MOST_CELLS: f64 = 160.0;
/// Least height of the colour bar with its notes and the arrow to the north.
const BAR_HEIGHT: f64 = 350.0;

/// Where the time of each block was spent.
///
/// # Errors
/// Where the chart could not be drawn.
pub fn heatmap_blocks(scene: &Scene<'_>) -> Result<Option<Svg>, Error> {
    let field = Field::of(scene);
    let blocks = scene.review.map_or(&[][..], |review| &review.blocks);
    let done: Vec<(&BlockReview, Range<f64>)> = blocks
        .iter()
        .filter_map(|block| Some((block, block.start_s?..block.end_s?)))
        .collect();
    let spans_s = done.iter().map(|(_, span_s)| span_s.clone());
    let stays = Stay::each(scene.motion, spans_s, |place| field.place(place));
    let mut seen: Vec<(&BlockReview, Stay)> = done
        .iter()
        .zip(stays)
        .filter_map(|((block, _), stay)| Some((*block, stay?)))
        .collect();
    let left_out = seen.len().saturating_sub(MOST_BLOCKS);
    seen.truncate(MOST_BLOCKS);
    if seen.len() < 2 {
        return Ok(None);
    }
    let stays: Vec<Stay> = seen.iter().map(|(_, stay)| stay.clone()).collect();
    let Some(found) = laid(&stays, field.extent_m(), MOST_CELLS) else {
        return Ok(None);
    };
    let Some(first) = found.first() else {
        return Ok(None);
    };
    let most = found.iter().map(darkest).fold(0.0, f64::max);
    let sheet = scene.sheet;
    let columns = sheet.either(COLUMNS.0, COLUMNS.1);
    let (size, scale) = size(sheet, first);
    let rows = found.len().div_ceil(columns);
    let each = sheet.either(CAPTION.0, CAPTION.1) + size.1 + BETWEEN;
    let heading = Heading::new(
        sheet,
        "Where the time of each block was spent",
        &scene.subtitle(&uncertainty(first)),
    );
    let top = heading.height + sheet.either(ABOVE, 8.0);
    let maps = rows as f64 * each;
    let (bar, foot) = if sheet.narrow {
        let bar = (sheet.margin, top + maps + 8.0);
        (bar, bar.1 + NARROW_BAR)
    } else {
        ((BAR_LEFT, top), top + maps.max(BAR_HEIGHT) + 16.0)
    };
    let more = match left_out {
        0 => String::new(),
        n => format!(" The last {n} blocks are not shown."),
    };
    let note = key::note(
        sheet,
        &format!(
            "{} A block is shown from its first rep to its last, with the rests between.{more}",
            field.in_words()
        ),
    );
    let mut page = Canvas::on(
        sheet,
        foot + 26.0 + note.len() as f64 * key::LINE + sheet.margin - key::LINE,
        heading,
    );
    for (i, ((block, stay), found)) in seen.iter().zip(&found).enumerate() {
        let corner = (
            sheet.margin + (i % columns) as f64 * (size.0 + BETWEEN),
            top + (i / columns) as f64 * each,
        );
        draw(&mut page, field, block, stay, found, corner, scale, most)?;
    }
    let highest = found.iter().map(Density::highest).fold(0.0, f64::max);
    let below = colour_bar(&mut page, bar, highest, most);
    field.north(&mut page, beside(sheet, bar, below));
    let map = place(first, (sheet.margin, foot), scale);
    scale_bar(&mut page, &map, sheet.margin + 200.0, foot);
    key::draw_note(&mut page, foot + 26.0, &note);
    Ok(Some(page.finish()))
}

/// Width and height of a map, pixels, and pixels a metre.
fn size(sheet: Sheet, grid: &Density) -> ((f64, f64), f64) {
    let columns = sheet.either(COLUMNS.0, COLUMNS.1);
    let room = sheet.width - sheet.margin - sheet.either(RIGHT, sheet.margin);
    let width = (room - (columns - 1) as f64 * BETWEEN) / columns as f64;
    let (width_m, height_m) = (
        grid.columns as f64 * grid.cell_m,
        grid.rows as f64 * grid.cell_m,
    );
    let scale = (width / width_m).min(TALLEST / height_m);
    ((width, height_m * scale), scale)
}

/// A map on the page with its upper left corner at `corner`.
fn place(grid: &Density, (left, top): (f64, f64), scale: f64) -> Panel {
    let axis = |from: f64, cells: usize| Axis {
        range: from..from + cells as f64 * grid.cell_m,
        ticks: Vec::new(),
        per: 1.0,
    };
    let (across, up) = (
        axis(grid.west_m, grid.columns),
        axis(grid.south_m, grid.rows),
    );
    Panel {
        left,
        top,
        width: (across.range.end - across.range.start) * scale,
        height: (up.range.end - up.range.start) * scale,
        across,
        up,
    }
}

/// One block.
#[expect(
    clippy::too_many_arguments,
    reason = "all of them differ from block to block or are the page's"
)]
fn draw(
    page: &mut Canvas,
    field: Field<'_>,
    block: &BlockReview,
    stay: &Stay,
    found: &Density,
    corner: (f64, f64),
    scale: f64,
    darkest: f64,
) -> Result<(), Error> {
    let sheet = page.sheet;
    let caption = sheet.either(CAPTION.0, CAPTION.1);
    let map = place(found, (corner.0, corner.1 + caption), scale);
    let room = size(sheet, found).0.0;
    let name = format!("{} {}", block.index, verdict::name(block));
    if sheet.narrow {
        for (i, line) in (0..).zip(lettering::broken(&name, style::LABEL, room, 2)) {
            let y = corner.1 + 12.0 + 15.0 * f64::from(i);
            page.text(corner.0, y, &line, style::LABEL, Anchor::Start);
        }
    } else {
        page.fitted(corner.0, corner.1 + 12.0, &name, style::LABEL, room);
    }
    let time = spell(stay.time_s());
    let y = corner.1 + caption - 8.0;
    page.text(corner.0, y, &time, style::TICK, Anchor::Start);
    page.raw(&image(found, &map, darkest)?);
    field.draw(page, &map);
    page.outline(
        (map.left, map.top),
        (map.width, map.height),
        style::FRAME,
        style::HAIR,
    );
    Ok(())
}
