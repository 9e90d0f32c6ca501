//! Where one session spent more or less of its time than the first, as far as the positions let one tell.

use plotters::prelude::*;

use super::ground::Ground;
use super::letter;
use super::maps::Maps;
use crate::figure::canvas::Canvas;
use crate::figure::contour::contours;
use crate::figure::density::Density;
use crate::figure::field::north;
use crate::figure::heatmap::{BAR_LEFT, BAR_WIDTH, TOP, bar_tick, picture, strength};
use crate::figure::panel::{self, Panel};
use crate::figure::style::{self, Anchor, Colour, Rgb, Theme};
use crate::figure::svg::Svg;
use crate::figure::{Error, key};

/// A position lies within so many standard deviations of an axis of its true place in 95 cases of 100: sqrt(-2 ln 0.05).
const RADIUS_95: f64 = 2.447_746_830_680_816;
/// The number of the colour of no difference.
const MIDDLE: u8 = 127;
/// Where less than this share of the largest difference is left, none is drawn.
const LEAST_SHARE: f64 = 1e-3;

/// The clear part of a difference.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Clear {
    /// Seconds per square metre an hour more than the first session; 0 where nothing can be told.
    pub(super) cells: Vec<f64>,
    /// How far each map could be moved, m.
    pub(super) radii_m: [f64; 2],
}

/// What can be told of the difference of two maps.
///
/// # Definition
/// Both are taken as seconds per square metre in an hour of their session. All positions of a session may share an error, so each map
/// may truly lie anywhere within the radius that holds 95 % of its positions' errors, 2.448 standard deviations of an axis. A cell is
/// clear where no such move of either undoes the difference: the least that the one map has within its radius is more than the most
/// that the other has within its own.
///
/// # References
/// The radius: the 95 % point of the Rayleigh distribution (Rayleigh 1880, Phil Mag 10:73).
pub(super) fn clear(
    base: &Density,
    other: &Density,
    hours: [f64; 2],
    position_sd_m: [f64; 2],
) -> Clear {
    let radii_m = position_sd_m.map(|sd| RADIUS_95 * sd);
    let reach = |radius_m: f64| radius_m / base.cell_m;
    let hourly = |found: &Density, hours: f64| -> Vec<f64> {
        found.cells.iter().map(|cell| cell / hours).collect()
    };
    let (a, b) = (hourly(base, hours[0]), hourly(other, hours[1]));
    let [a_low, a_high] = around(&a, base.columns, reach(radii_m[0]));
    let [b_low, b_high] = around(&b, base.columns, reach(radii_m[1]));
    let cells = (0..a.len())
        .map(|k| {
            if b_low[k] > a_high[k] || b_high[k] < a_low[k] {
                b[k] - a[k]
            } else {
                0.0
            }
        })
        .collect();
    Clear { cells, radii_m }
}

/// The least and the most within `reach` cells of each cell; beyond the edge there is nothing.
fn around(cells: &[f64], columns: usize, reach: f64) -> [Vec<f64>; 2] {
    let rows = (cells.len() / columns.max(1)).cast_signed();
    let columns = columns.cast_signed();
    let whole = reach.floor() as isize;
    let half_widths: Vec<(isize, isize)> = (-whole..=whole)
        .map(|dy| {
            (
                dy,
                (reach * reach - (dy * dy) as f64).max(0.0).sqrt() as isize,
            )
        })
        .collect();
    let mut low = vec![0.0; cells.len()];
    let mut high = vec![0.0; cells.len()];
    for row in 0..rows {
        for column in 0..columns {
            let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
            for (dy, half) in &half_widths {
                let y = row + dy;
                if y < 0 || y >= rows {
                    least = 0.0;
                    continue;
                }
                let (from, to) = (column - half, column + half);
                if from < 0 || to >= columns {
                    least = 0.0;
                }
                let start = (y * columns) as usize;
                let from = from.max(0) as usize;
                let to = (to + 1).clamp(0, columns) as usize;
                for value in &cells[start + from..start + to] {
                    least = least.min(*value);
                    most = most.max(*value);
                }
            }
            let at = (row * columns + column) as usize;
            low[at] = least.min(most);
            high[at] = most;
        }
    }
    [low, high]
}

/// Draws a map for each session but the first.
pub(super) fn draw(maps: &Maps) -> Result<Svg, Error> {
    let hours: Vec<f64> = maps
        .stays
        .iter()
        .map(|s| (s.time_s() / 3600.0).max(f64::MIN_POSITIVE))
        .collect();
    let Some(base) = maps.grid() else {
        return Ok(Canvas::new(TOP, "Where the time went otherwise", "").finish());
    };
    let clears: Vec<Clear> = (1..maps.densities.len())
        .map(|k| {
            let sd = [maps.stays[0].position_sd_m, maps.stays[k].position_sd_m];
            clear(base, &maps.densities[k], [hours[0], hours[k]], sd)
        })
        .collect();
    let strongest = clears
        .iter()
        .flat_map(|c| &c.cells)
        .fold(0.0_f64, |most, cell| most.max(cell.abs()));
    let (panels, below) = maps.places(clears.len());
    let entries = entries();
    let key_top = below + 12.0;
    let height =
        key_top + key::lines(style::Sheet::WIDE, &entries) as f64 * key::LINE + style::MARGIN;
    let widest_m = clears.iter().flat_map(|c| c.radii_m).fold(0.0, f64::max);
    let mut page = Canvas::new(
        height,
        "Where more or less of the time was spent than in A",
        &format!(
            "{} · coloured only where no shift of either map by its 95 % error of place, up to {widest_m:.1} m, undoes it",
            maps.axes()
        ),
    );
    for (k, (clear, map)) in clears.iter().zip(&panels).enumerate() {
        let level = |cell: usize| {
            let difference = clear.cells.get(cell).copied().unwrap_or(0.0);
            level(difference, strongest)
        };
        page.raw(&picture(base, map, level, colour)?);
        page.raw(&outlines(base, &clear.cells, map, strongest)?);
        let mut name = format!("{} less A", letter(k + 1));
        if let Some(own) = maps.names.get(k + 1) {
            name = format!("{name}: {}", own.trim_start_matches(&letter(k + 1)).trim());
        }
        if clear.cells.iter().all(|c| *c == 0.0) {
            name = format!("{} less A: no clear difference", letter(k + 1));
        }
        Maps::frame(&mut page, map, &name);
    }
    let foot = bar(&mut page, strongest);
    if maps.ground == Ground::Earth {
        north(&mut page, (BAR_LEFT - 8.0, foot + 12.0), 0.0);
    }
    key::draw(&mut page, key_top, &entries);
    Ok(page.finish())
}

/// The number of a difference's colour: 127 for none, up for more and down for less, by the square root.
fn level(difference: f64, strongest: f64) -> u8 {
    if strongest <= 0.0 {
        return MIDDLE;
    }
    let part = strength((difference.abs() / strongest).min(1.0)).copysign(difference);
    (f64::from(MIDDLE) * (1.0 + part)).round() as u8
}

/// The ground for no difference, orange for more and blue for less; the outlines tell them apart by their dashes too.
fn colour(level: u8, theme: Theme) -> Rgb {
    let part = (f64::from(level) - f64::from(MIDDLE)) / f64::from(MIDDLE);
    let (ground, end) = (style::PAPER.of(theme), end(part).of(theme));
    let mix = |from: u8, to: u8| {
        (f64::from(from) + (f64::from(to) - f64::from(from)) * part.abs().min(1.0)).round() as u8
    };
    (
        mix(ground.0, end.0),
        mix(ground.1, end.1),
        mix(ground.2, end.2),
    )
}

/// The colour of much more and of much less.
fn end(part: f64) -> Colour {
    if part > 0.0 {
        style::PICKED
    } else {
        style::MEASURED
    }
}

/// A line around what is more, and a dashed one around what is less.
fn outlines(grid: &Density, cells: &[f64], map: &Panel, strongest: f64) -> Result<Svg, Error> {
    let level = LEAST_SHARE * strongest;
    map.draw(|chart| {
        if strongest <= 0.0 {
            return Ok(());
        }
        for sign in [1.0, -1.0] {
            let signed: Vec<f64> = cells.iter().map(|c| (sign * c).max(0.0)).collect();
            for line in contours(&signed, grid.columns, level) {
                let line: Vec<(f64, f64)> = line
                    .into_iter()
                    .map(|(column, row)| {
                        (
                            grid.west_m + (column + 0.5) * grid.cell_m,
                            grid.south_m + (row + 0.5) * grid.cell_m,
                        )
                    })
                    .collect();
                let stroke = panel::stroke(style::INK, 0.9);
                if sign > 0.0 {
                    chart
                        .draw_series([PathElement::new(line, stroke)])
                        .map_err(Error::drawing)?;
                } else {
                    chart
                        .draw_series(DashedLineSeries::new(line, 24, 24, stroke))
                        .map_err(Error::drawing)?;
                }
            }
        }
        Ok(())
    })
}

fn entries() -> Vec<(key::Sample, String)> {
    vec![
        (
            key::Sample::Line(style::INK, 0.9, ""),
            "clearly more time inside".to_owned(),
        ),
        (
            key::Sample::Line(style::INK, 0.9, "3 3"),
            "clearly less time inside".to_owned(),
        ),
        (
            key::Sample::Box(style::PICKED, 0.8),
            "more than in A".to_owned(),
        ),
        (
            key::Sample::Box(style::MEASURED, 0.8),
            "less than in A".to_owned(),
        ),
    ]
}

/// The colours with their seconds per square metre an hour; gives the first free y below.
fn bar(page: &mut Canvas, strongest: f64) -> f64 {
    let (left, width, height) = (BAR_LEFT, BAR_WIDTH, 200.0);
    let top = TOP + 18.0;
    page.text(left, TOP + 4.0, "s/m² an hour", style::PLAIN, Anchor::Start);
    let steps = 40;
    for i in 0..steps {
        let value = 1.0 - (f64::from(i) + 0.5) / f64::from(steps) * 2.0;
        let y = top + height * f64::from(i) / f64::from(steps);
        // Laid over the ground as strongly as the map's colours are mixed with it, so that it follows the theme.
        page.rect(
            (left, y),
            (width, height / f64::from(steps)),
            end(value),
            value.abs(),
        );
    }
    page.outline((left, top), (width, height), style::FRAME, style::HAIR);
    let decimals = if strongest < 1.0 { 2 } else { 1 };
    for (share, word) in [
        (0.0, format!("+{strongest:.decimals$}")),
        (0.25, format!("+{:.decimals$}", strongest / 4.0)),
        (0.5, "0, or not told".to_owned()),
        (0.75, format!("−{:.decimals$}", strongest / 4.0)),
        (1.0, format!("−{strongest:.decimals$}")),
    ] {
        let y = top + height * share;
        bar_tick(page, left + width, y, &word);
    }
    let below = top + height + 18.0;
    page.text(
        left,
        below,
        "colour by square root",
        style::TICK,
        Anchor::Start,
    );
    below + 16.0
}

#[cfg(test)]
mod tests {
    use super::{around, clear};
    use crate::figure::compared::Named;
    use crate::figure::compared::maps::Maps;
    use crate::figure::density::{Density, MOST_CELLS, Stay, laid};
    use crate::motion::{Motion, Sample, SpeedFrom};
    use crate::session;
    use crate::settings::Settings;
    use crate::simulation::{Kind, Mess, plain_session as simulate};

    fn stay(x_m: f64, sd_m: f64) -> Stay {
        let samples: Vec<Sample> = (0..600)
            .map(|i| Sample {
                time_s: f64::from(i) * 0.1,
                x_m,
                position_sd_m: sd_m,
                ..Sample::default()
            })
            .collect();
        let motion = Motion::of_run(samples, 10.0, SpeedFrom::Both);
        Stay::of(&motion, |place| place).expect("positions")
    }

    fn found(apart_m: f64, sd_m: f64) -> (Vec<Density>, Vec<f64>) {
        let stays = [stay(0.0, sd_m), stay(apart_m, sd_m)];
        let maps = laid(&stays, None, MOST_CELLS).expect("positions");
        let cells = clear(&maps[0], &maps[1], [1.0 / 60.0; 2], [sd_m; 2]).cells;
        (maps, cells)
    }

    #[test]
    fn two_spots_are_told_apart_beyond_the_error_of_place_only() {
        // One minute at each of two spots, whose places are good to 0.5 m: 20 m apart they are two.
        let (maps, cells) = found(20.0, 0.5);
        let at = |x_m: f64| {
            let column = ((x_m - maps[0].west_m) / maps[0].cell_m) as usize;
            let row = (-maps[0].south_m / maps[0].cell_m) as usize;
            cells[row * maps[0].columns + column]
        };
        assert!(at(0.0) < 0.0 && at(20.0) > 0.0, "{} {}", at(0.0), at(20.0));
        // One metre apart, each may be where the other is.
        let (_, cells) = found(1.0, 0.5);
        assert!(cells.iter().all(|c| *c == 0.0));
        // So they may 20 m apart with a receiver good to 10 m.
        let (_, cells) = found(20.0, 10.0);
        assert!(cells.iter().all(|c| *c == 0.0));
    }

    /// The same evening by two receivers, each with its own drift: what is coloured there is wrong. Of these three evenings it is
    /// 0.00, 0.00 and 0.38 % of the area where time was spent.
    #[test]
    fn one_session_by_two_receivers_shows_next_to_nothing() {
        for seed in [7, 11, 23] {
            let of = |kind| {
                let simulated = simulate(seed, kind, Mess::Clean);
                let settings = Settings::default();
                session::account(simulated.trace(), None, &settings).expect("a session")
            };
            let (unit, watch) = (of(Kind::Unit10), of(Kind::Watch1));
            let sessions = [&unit, &watch].map(|session| Named { name: "", session });
            let maps = Maps::of(&sessions).unwrap_or_else(|apart| panic!("{apart:?}"));
            let [a, b] = maps.densities.as_slice() else {
                panic!("two maps")
            };
            let sd = [0, 1].map(|k| maps.stays[k].position_sd_m);
            let hours = [0, 1].map(|k| maps.stays[k].time_s() / 3600.0);
            let cells = clear(a, b, hours, sd).cells;
            let lit = a.level(0.98);
            let area = a.cells.iter().filter(|c| **c >= lit).count() as f64;
            let wrong = cells.iter().filter(|c| **c != 0.0).count() as f64 / area;
            assert!(wrong < 0.01, "seed {seed}: {:.2} %", 100.0 * wrong);
        }
    }

    #[test]
    fn the_same_map_differs_nowhere() {
        let (_, cells) = found(0.0, 0.0);
        assert!(cells.iter().all(|c| *c == 0.0));
    }

    #[test]
    fn least_and_most_are_taken_from_a_disc() {
        let mut cells = vec![1.0; 49];
        cells[24] = 5.0;
        cells[0] = 3.0;
        let [low, high] = around(&cells, 7, 1.5);
        // (3, 3) is the middle; diagonal neighbours lie within 1.5 cells, (3, 5) does not.
        assert_eq!((high[16], high[25], high[26]), (5.0, 5.0, 1.0));
        assert_eq!(low[24], 1.0);
        // Beyond the edge there is nothing.
        assert_eq!(low[3], 0.0);
    }
}
