//! Where the time was spent: a smoothed density on the pitch, or on a metric grid with north up.

use std::fmt::Write as _;
use std::ops::Range;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use plotters::prelude::*;

use super::axis::{self, Axis, round_step};
use super::canvas::{Canvas, Heading};
use super::contour::contours;
use super::density::{Density, MOST_CELLS, Stay, laid};
use super::field::Field;
use super::key;
use super::panel::{self, Panel};
use super::style::{self, Anchor, Sheet, Theme};
use super::svg::Svg;
use super::{Error, Scene, ramp, raster};
use crate::estimation::quantile::of_rank;

/// Left edge of the map: room for the numbers.
pub(super) const LEFT: f64 = 76.0;
/// Room on the right for the colour bar.
pub(super) const RIGHT: f64 = 196.0;
/// Place of the colour bar.
pub(super) const BAR_LEFT: f64 = style::WIDTH - RIGHT + 36.0;
pub(super) const BAR_WIDTH: f64 = 16.0;
/// Upper edge of the map.
pub(super) const TOP: f64 = style::HEADING + 30.0;
/// From the heading to the map: room for the name of the axis up.
pub(super) const ABOVE: f64 = 30.0;
/// Greatest height of the map, on a wide sheet and a narrow one.
const TALLEST: (f64, f64) = (760.0, 480.0);
/// Room below the map for numbers and scale bar; a narrow sheet has the bar below the numbers and the colours below that.
const FOOT: f64 = 66.0;
const NARROW_FOOT: f64 = 84.0;
/// Height of the colours, on a wide sheet and a narrow one, and what they take on the latter with their notes.
const BAR_HEIGHT: (f64, f64) = (200.0, 110.0);
pub(super) const NARROW_BAR: f64 = 214.0;
/// Share of the lit area that is drawn below the darkest colour; a spot where somebody stood would pale all else.
const BELOW_DARKEST: f64 = 0.99;

/// Where the time was spent.
///
/// # Errors
/// Where the chart could not be drawn.
pub fn heatmap(scene: &Scene<'_>) -> Result<Option<Svg>, Error> {
    let field = Field::of(scene);
    let found = Stay::of(scene.motion, |place| field.place(place))
        .and_then(|stay| laid(&[stay], field.extent_m(), MOST_CELLS)?.pop());
    let Some(found) = found else {
        return Ok(None);
    };
    let sheet = scene.sheet;
    let heading = Heading::new(
        sheet,
        "Where the time was spent",
        &scene.subtitle(&uncertainty(&found)),
    );
    let top = heading.height + ABOVE;
    let map = place(sheet, top, &found);
    let entries = entries(&found);
    let bar = if sheet.narrow {
        (sheet.margin, map.bottom() + NARROW_FOOT)
    } else {
        (BAR_LEFT, top)
    };
    let key_top = if sheet.narrow {
        bar.1 + NARROW_BAR
    } else {
        map.bottom().max(top + 300.0) + FOOT
    };
    let note = key::note(sheet, &field.in_words());
    let note_top = key_top + key::lines(sheet, &entries) as f64 * key::LINE;
    let height = note_top + note.len() as f64 * key::LINE + sheet.margin;
    let mut page = Canvas::on(sheet, height, heading);
    let darkest = darkest(&found);
    page.raw(&image(&found, &map, darkest)?);
    field.draw(&mut page, &map);
    page.raw(&lines(&found, &map)?);
    surround(&mut page, &map, field);
    let below = colour_bar(&mut page, bar, found.highest(), darkest);
    field.north(&mut page, beside(sheet, bar, below));
    key::draw(&mut page, key_top, &entries);
    key::draw_note(&mut page, note_top, &note);
    Ok(Some(page.finish()))
}

/// The map on the page, equal in scale both ways.
fn place(sheet: Sheet, top: f64, found: &Density) -> Panel {
    let across = found.west_m..found.west_m + found.columns as f64 * found.cell_m;
    let up = found.south_m..found.south_m + found.rows as f64 * found.cell_m;
    framed(sheet, top, across, up)
}

/// A map of this extent as large as the page allows, equal in scale both ways.
pub(super) fn framed(sheet: Sheet, top: f64, across: Range<f64>, up: Range<f64>) -> Panel {
    let left = sheet.either(LEFT, 42.0);
    let room = sheet.width - left - sheet.either(RIGHT, sheet.margin);
    let (width_m, height_m) = (across.end - across.start, up.end - up.start);
    let tallest = sheet.either(TALLEST.0, TALLEST.1);
    let scale = (room / width_m).min(tallest / height_m);
    let step_m = round_step(sheet.either(70.0, 45.0) / scale);
    Panel {
        left,
        top,
        width: width_m * scale,
        height: height_m * scale,
        across: Axis::stepped(across, step_m),
        up: Axis::stepped(up, step_m),
    }
}

/// The edge of a map with its numbers and the scale bar; gives how far to the right they reach.
pub(super) fn surround(page: &mut Canvas, map: &Panel, field: Field<'_>) -> f64 {
    page.outline(
        (map.left, map.top),
        (map.width, map.height),
        style::FRAME,
        1.0,
    );
    field.numbers(page, map);
    if page.sheet.narrow {
        let right = map.right().max(map.left + 120.0);
        scale_bar(page, map, right, map.bottom() + 56.0);
        return right;
    }
    // A narrow map leaves no room below it for the bar and the name of the axis.
    let right = map.right().max(map.left + field.caption_width() + 160.0);
    scale_bar(page, map, right, map.bottom() + 30.0);
    right
}

/// What is said about uncertainty below the title.
pub(super) fn uncertainty(found: &Density) -> String {
    let shown = if found.shown < 1.0 {
        // Rounded down, so that a part left out is never called all.
        let percent = (found.shown * 1000.0).floor() / 10.0;
        format!(", {percent:.1} % of the time shown, the rest lies far out")
    } else {
        String::new()
    };
    format!(
        "smoothed with a standard deviation of {:.1} m, at least what a place may be off{shown}",
        found.bandwidth_m
    )
}

/// The density from which on the colour is darkest.
pub(super) fn darkest(found: &Density) -> f64 {
    let lit = found.level(0.98);
    let mut cells: Vec<f64> = found.cells.iter().copied().filter(|c| *c >= lit).collect();
    let last = cells.len().saturating_sub(1);
    let value = of_rank(&mut cells, (last as f64 * BELOW_DARKEST) as usize);
    value.filter(|value| *value > 0.0).unwrap_or(1.0)
}

/// The density as one embedded picture, a pixel a cell.
pub(super) fn image(found: &Density, map: &Panel, darkest: f64) -> Result<Svg, Error> {
    let level = |k: usize| {
        let cell = found.cells.get(k).copied().unwrap_or(0.0);
        (strength(cell / darkest).min(1.0) * 255.0).round() as u8
    };
    picture(found, map, level, |level, theme| {
        ramp::shade(f64::from(level) / 255.0, theme)
    })
}

/// The grid as one embedded picture: `level` gives the number of a cell's colour by its index, `colour` what that number
/// stands for in each theme.
pub(super) fn picture(
    found: &Density,
    map: &Panel,
    level: impl Fn(usize) -> u8,
    colour: impl Fn(u8, Theme) -> style::Rgb,
) -> Result<Svg, Error> {
    let levels: Vec<u8> = (0..found.rows)
        .rev()
        .flat_map(|row| row * found.columns..(row + 1) * found.columns)
        .map(level)
        .collect();
    let file = |theme: Theme| {
        let palette: Vec<u8> = (0..=255)
            .flat_map(|level| {
                let (r, g, b) = colour(level, theme);
                [r, g, b]
            })
            .collect();
        let (width, height) = (found.columns as u32, found.rows as u32);
        raster::encode(&levels, width, height, Some(&palette)).map(|file| STANDARD.encode(file))
    };
    let mut svg = Svg::default();
    svg.raster(
        (map.left, map.top),
        (map.width, map.height),
        (&file(Theme::Light)?, &file(Theme::Dark)?),
    );
    Ok(svg)
}

/// Grid and the lines around half and nine tenths of the time, drawn by plotters.
pub(super) fn lines(found: &Density, map: &Panel) -> Result<Svg, Error> {
    map.draw(|chart| {
        for (share, width) in [(0.5, 1.6), (0.9, 0.9)] {
            for line in contours(&found.cells, found.columns, found.level(share)) {
                let line = line.into_iter().map(|(column, row)| {
                    (
                        found.west_m + (column + 0.5) * found.cell_m,
                        found.south_m + (row + 0.5) * found.cell_m,
                    )
                });
                let path =
                    PathElement::new(line.collect::<Vec<_>>(), panel::stroke(style::INK, width));
                chart.draw_series([path]).map_err(Error::drawing)?;
            }
        }
        Ok(())
    })
}

/// The signs used, with their meaning.
fn entries(found: &Density) -> Vec<(key::Sample, String)> {
    let around = |share: f64| {
        let area = found.area_m2(found.level(share));
        format!("{area:.0} m²")
    };
    vec![
        (
            key::Sample::Line(style::INK, 1.6, ""),
            format!("half of the time was spent inside, on {}", around(0.5)),
        ),
        (
            key::Sample::Line(style::INK, 0.9, ""),
            format!(
                "nine tenths of the time was spent inside, on {}",
                around(0.9)
            ),
        ),
    ]
}

/// A bar of a round length that ends at `right`, its words before it.
pub(super) fn scale_bar(page: &mut Canvas, map: &Panel, right: f64, y: f64) {
    let metre = map.width / (map.across.range.end - map.across.range.start);
    let length_m = round_step(60.0 / metre);
    let left = right - length_m * metre;
    page.line((left, y), (right, y), style::INK, 2.0, "");
    for x in [left, right] {
        page.line((x, y - 4.0), (x, y + 4.0), style::INK, 1.2, "");
    }
    let text = format!("{} m", axis::whole(length_m));
    page.text(left - 8.0, y + 4.0, &text, style::PLAIN, Anchor::End);
}

/// Where the arrow to the north stands: below the colours and their notes, on a narrow sheet beside them.
pub(super) fn beside(sheet: Sheet, (left, top): (f64, f64), below: f64) -> (f64, f64) {
    sheet.either((left - 8.0, below + 12.0), (left + 160.0, top + 18.0))
}

/// The colours with their seconds per square metre; gives the first free y below.
pub(super) fn colour_bar(
    page: &mut Canvas,
    (left, begin): (f64, f64),
    highest: f64,
    darkest: f64,
) -> f64 {
    let (width, height) = (BAR_WIDTH, page.sheet.either(BAR_HEIGHT.0, BAR_HEIGHT.1));
    let top = begin + 18.0;
    page.text(
        left,
        begin + 4.0,
        "time spent, s/m²",
        style::PLAIN,
        Anchor::Start,
    );
    let mut gradient = Svg::default();
    gradient.push("<defs><linearGradient id=\"ramp\" x1=\"0\" y1=\"1\" x2=\"0\" y2=\"0\">");
    for i in 0..=20 {
        let share = f64::from(i) / 20.0;
        let _ = write!(gradient, "<stop offset=\"{share:.2}\"");
        gradient.colour("stop-color", ramp::colour(share));
        gradient.push("/>");
    }
    let _ = writeln!(
        gradient,
        "</linearGradient></defs><rect x=\"{left}\" y=\"{top}\" width=\"{width}\" height=\"{height}\" fill=\"url(#ramp)\"/>"
    );
    page.raw(&gradient);
    page.outline((left, top), (width, height), style::FRAME, style::HAIR);
    let mut free = f64::INFINITY;
    for tick in ticks(darkest) {
        let y = top + height * (1.0 - strength(tick / darkest));
        // A short bar has no room for all of them.
        if free < y {
            continue;
        }
        free = y - style::TICK.size - 2.0;
        bar_tick(page, left + width, y, &tick.to_string());
    }
    let decimals =
        usize::from(darkest < 5.0) + usize::from(darkest < 0.5) + usize::from(darkest < 0.05);
    let mut notes = vec!["colour by square root".to_owned()];
    if highest > 1.01 * darkest {
        notes.push(format!("scale ends at {darkest:.decimals$}"));
    }
    notes.push(format!("highest: {highest:.decimals$} s/m²"));
    let mut below = top + height + 18.0;
    for note in &notes {
        page.text(left, below, note, style::TICK, Anchor::Start);
        below += 16.0;
    }
    below
}

/// A mark beside the bar with its number.
pub(super) fn bar_tick(page: &mut Canvas, right: f64, y: f64, text: &str) {
    page.line((right, y), (right + 4.0, y), style::FRAME, 1.0, "");
    page.text(right + 9.0, y + 4.0, text, style::TICK, Anchor::Start);
}

/// How strongly a share of the darkest density is coloured: by its square root, so that paths stay visible beside the
/// spots where somebody stood.
pub(super) fn strength(share: f64) -> f64 {
    share.max(0.0).sqrt()
}

/// Zero and the steps 1, 2, 5 below the darkest density that stand well apart on the bar.
fn ticks(darkest: f64) -> Vec<f64> {
    let power = darkest.log10().floor() as i32;
    let steps = (power - 2..=power).flat_map(|p| {
        // Divided by a whole power of ten, so that a step below one prints without a tail of digits.
        [1.0, 2.0, 5.0].map(|m| {
            if p < 0 {
                m / 10f64.powi(-p)
            } else {
                m * 10f64.powi(p)
            }
        })
    });
    std::iter::once(0.0)
        .chain(steps.filter(|t| 0.2 <= strength(t / darkest) && *t <= darkest))
        .collect()
}
