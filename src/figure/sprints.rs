//! Where the sprints were run: an arrow each, at its place, along its way, darker and wider the faster.

use std::ops::Range;

use super::canvas::{Canvas, Heading};
use super::density::place_sd_m;
use super::field::Field;
use super::heatmap::{ABOVE, framed, surround};
use super::panel::Panel;
use super::style::{self, Anchor, Colour, Sheet};
use super::svg::Svg;
use super::{Error, Scene, key, lettering, ramp};
use crate::efforts::{Effort, Kind};
use crate::measured::Z95;
use crate::units::SpeedUnit;

/// Points of a way lie at least so far apart on the page.
const APART: f64 = 3.0;
/// Size of an arrow's head.
const HEAD: f64 = 9.0;
/// Around the ways, and the least extent of a map without a pitch, across and up, m: few sprints need no square.
const AROUND_M: f64 = 4.0;
const LEAST_M: (f64, f64) = (30.0, 16.0);
/// Below the map: numbers, name of the axis, on a narrow sheet the bar and the arrow to the north, then the list.
const FOOT: (f64, f64) = (62.0, 100.0);
/// The list: columns, on a wide sheet and a narrow one, height of a line, most sprints told one by one.
const COLUMNS: (usize, usize) = (3, 1);
const LINE: f64 = 17.0;
/// Room beside a narrow map from which on the list stands there, and what the arrow to the north takes of it.
const BESIDE: f64 = 230.0;
const NORTH: f64 = 56.0;
const MOST_TOLD: usize = 90;

/// A sprint with its way on the page.
struct Arrow<'a> {
    number: usize,
    effort: &'a Effort,
    way: Vec<(f64, f64)>,
}

/// Where the sprints were run.
///
/// # Errors
/// Where the chart could not be drawn.
pub fn sprints(scene: &Scene<'_>) -> Result<Option<Svg>, Error> {
    let field = Field::of(scene);
    let found = ways(scene, field);
    let places = found.iter().flat_map(|(_, way)| way).copied();
    let Some((across, up)) = extent(field, places) else {
        return Ok(None);
    };
    let sheet = scene.sheet;
    let peaks = || found.iter().map(|(effort, _)| effort.peak_speed_m_s.value);
    let slowest = peaks().fold(f64::INFINITY, f64::min);
    let fastest = peaks().fold(f64::NEG_INFINITY, f64::max);
    let from = scene.thresholds.bands.sprint_m_s;
    let heading = Heading::new(
        sheet,
        &title(found.len(), &scene.speeds.text(fastest, 1)),
        &scene.subtitle(&format!(
            "sprints from {}, peaks with 95 % intervals",
            scene.speeds.text(from, 1)
        )),
    );
    let top = heading.height + ABOVE;
    let map = framed(sheet, top, across, up);
    let arrows: Vec<Arrow<'_>> = (1..)
        .zip(&found)
        .map(|(number, (effort, way))| Arrow {
            number,
            effort,
            way: thinned(&map, way),
        })
        .collect();
    let entries = entries(slowest, fastest, scene.speeds);
    let told = arrows.len().min(MOST_TOLD);
    let place = beside(sheet, &map, field, &arrows);
    let lines = match place {
        Some(_) => 0,
        None => told.div_ceil(columns(sheet)) + usize::from(told < arrows.len()),
    };
    let open = (arrows.iter().take(told)).any(|arrow| arrow.effort.near_threshold);
    let note = key::note(sheet, &words(scene, field, open));
    let key_top = map.bottom().max(top + 80.0) + sheet.either(FOOT.0, FOOT.1);
    let note_top = key_top + key::lines(sheet, &entries) as f64 * key::LINE;
    let list_top = note_top + note.len() as f64 * key::LINE + 8.0;
    let height = list_top + lines as f64 * LINE + sheet.margin - 8.0;
    let mut page = Canvas::on(sheet, height, heading);
    page.raw(&map.draw(|_| Ok(()))?);
    field.draw(&mut page, &map);
    let right = surround(&mut page, &map, field);
    let arrow = sheet.either((right + 24.0, map.top), (map.left, map.bottom() + 44.0));
    field.north(&mut page, arrow);
    let strength = |effort: &Effort| {
        let share = (effort.peak_speed_m_s.value - slowest) / (fastest - slowest).max(0.05);
        share.clamp(0.0, 1.0)
    };
    for arrow in &arrows {
        draw(&mut page, &arrow.way, strength(arrow.effort));
    }
    number(&mut page, &map, &arrows);
    key::draw(&mut page, key_top, &entries);
    key::draw_note(&mut page, note_top, &note);
    let place = place.unwrap_or(Place {
        left: sheet.margin,
        top: list_top,
        width: sheet.room(),
        columns: columns(sheet),
    });
    list(&mut page, &arrows, told, place, scene.speeds);
    Ok(Some(page.finish()))
}

/// The sprints with the places of their ways on the map.
fn ways<'a>(scene: &Scene<'a>, field: Field<'_>) -> Vec<(&'a Effort, Vec<[f64; 2]>)> {
    if !scene.motion.has_position {
        return Vec::new();
    }
    let way = |effort: &Effort| -> Vec<[f64; 2]> {
        let samples = scene.motion.samples.get(effort.window.clone());
        samples
            .unwrap_or_default()
            .iter()
            .filter(|s| s.x_m.is_finite() && s.y_m.is_finite())
            .map(|s| field.place([s.x_m, s.y_m]))
            .collect()
    };
    scene
        .efforts
        .of_kind(Kind::Sprint)
        .filter(|effort| effort.peak_speed_m_s.value.is_finite())
        .map(|effort| (effort, way(effort)))
        .filter(|(_, way)| way.len() > 1)
        .collect()
}

/// What the map shows, m; `None` without a place.
fn extent(
    field: Field<'_>,
    places: impl Iterator<Item = [f64; 2]>,
) -> Option<(Range<f64>, Range<f64>)> {
    let none = [f64::INFINITY, f64::NEG_INFINITY];
    let [x, y] = places.fold([none, none], |[x, y], [a, b]| {
        [[x[0].min(a), x[1].max(a)], [y[0].min(b), y[1].max(b)]]
    });
    if !(x[0] <= x[1] && y[0] <= y[1]) {
        return None;
    }
    let wide = |[least, most]: [f64; 2], at_least_m: f64| {
        let short = ((at_least_m - (most - least)) / 2.0).max(AROUND_M);
        [least - short, most + short]
    };
    let (x, y) = match field.extent_m() {
        Some([left, right, low, high]) => (
            [left.min(x[0] - AROUND_M), right.max(x[1] + AROUND_M)],
            [low.min(y[0] - AROUND_M), high.max(y[1] + AROUND_M)],
        ),
        None => (wide(x, LEAST_M.0), wide(y, LEAST_M.1)),
    };
    Some((x[0]..x[1], y[0]..y[1]))
}

/// A way on the page, without points that lie on each other; first and last stay.
fn thinned(map: &Panel, way: &[[f64; 2]]) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    let last = way.len().saturating_sub(1);
    for (i, [x_m, y_m]) in way.iter().enumerate() {
        let at = (map.x(*x_m), map.y(*y_m));
        let far = kept
            .last()
            .is_none_or(|before| distance(*before, at) >= APART);
        if i == last && !far && kept.len() > 1 {
            kept.pop();
        }
        if far || i == last {
            kept.push(at);
        }
    }
    kept
}

fn distance(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// What is seen.
fn title(sprints: usize, fastest: &str) -> String {
    match sprints {
        1 => format!("Where the one sprint was run, at up to {fastest}"),
        n => format!("Where the {n} sprints were run, the fastest at {fastest}"),
    }
}

/// What is said about uncertainty and ground below the map.
fn words(scene: &Scene<'_>, field: Field<'_>, open: bool) -> String {
    let place_m = Z95 * place_sd_m(scene.motion);
    let open = if open {
        " ?: a sprint only within the uncertainty of its speed."
    } else {
        ""
    };
    format!(
        "{} Each place may be off by {place_m:.1} m (95 %) along either axis, much of it the same for all arrows of a few minutes.{open}",
        field.in_words()
    )
}

/// Width and colour of an arrow: from `0` for the slowest to `1` for the fastest.
fn look(strength: f64) -> (f64, Colour) {
    (1.4 + 1.6 * strength, ramp::colour(0.42 + 0.53 * strength))
}

/// A way with a head at its end.
fn draw(page: &mut Canvas, way: &[(f64, f64)], strength: f64) {
    let (width, colour) = look(strength);
    let Some(&tip) = way.last() else { return };
    // The head points as the last metres went, not as the last wobble did.
    let Some(&from) = way
        .iter()
        .rev()
        .find(|p| distance(**p, tip) >= HEAD)
        .or(way.first())
    else {
        return;
    };
    let length = distance(from, tip).max(1e-6);
    let (ux, uy) = ((tip.0 - from.0) / length, (tip.1 - from.1) / length);
    let back = (tip.0 - HEAD * ux, tip.1 - HEAD * uy);
    let mut shaft: Vec<(f64, f64)> = way
        .iter()
        .copied()
        .filter(|p| distance(*p, tip) >= HEAD)
        .collect();
    shaft.push(back);
    if shaft.len() > 1 {
        page.polyline(&shaft, colour, width);
    }
    let half = 0.42 * HEAD;
    let shape = format!(
        "path d=\"M{:.1} {:.1}L{:.1} {:.1}L{:.1} {:.1}z\"",
        tip.0,
        tip.1,
        back.0 - half * uy,
        back.1 + half * ux,
        back.0 + half * uy,
        back.1 - half * ux
    );
    page.filled(&shape, colour);
}

/// The number of each sprint where there is room for it: beside its start, its head or its middle, clear of all ways where it can be;
/// fastest first.
fn number(page: &mut Canvas, map: &Panel, arrows: &[Arrow<'_>]) {
    const HEIGHT: f64 = 14.0;
    let mut order: Vec<&Arrow<'_>> = arrows.iter().collect();
    let peak = |a: &Arrow<'_>| a.effort.peak_speed_m_s.value;
    order.sort_by(|a, b| peak(b).total_cmp(&peak(a)));
    let mut taken: Vec<[f64; 4]> = Vec::new();
    for arrow in order {
        let text = arrow.number.to_string();
        let width = lettering::width(&text, style::VALUE) + 6.0;
        let spots = [
            arrow.way.first(),
            arrow.way.last(),
            arrow.way.get(arrow.way.len() / 2),
        ];
        let boxes = spots.into_iter().flatten().flat_map(|&(x, y)| {
            [(0.0, -10.0), (0.0, 18.0), (-12.0, 4.0), (12.0, 4.0)]
                .into_iter()
                .map(move |(dx, dy)| {
                    [
                        x + dx - width / 2.0,
                        y + dy - HEIGHT + 3.0,
                        x + dx + width / 2.0,
                        y + dy + 3.0,
                    ]
                })
        });
        let free: Vec<[f64; 4]> = boxes
            .filter(|b| {
                let inside =
                    map.left < b[0] && b[2] < map.right() && map.top < b[1] && b[3] < map.bottom();
                let alone = |t: &[f64; 4]| b[2] < t[0] || t[2] < b[0] || b[3] < t[1] || t[3] < b[1];
                inside && taken.iter().all(alone)
            })
            .collect();
        let clear = |b: &&[f64; 4]| {
            let mut points = arrows.iter().flat_map(|arrow| &arrow.way);
            points.all(|(x, y)| *x < b[0] || b[2] < *x || *y < b[1] || b[3] < *y)
        };
        if let Some(&b) = free.iter().find(clear).or(free.first()) {
            page.rimmed(b[0] + 3.0, b[3] - 3.0, &[(&text, style::VALUE)]);
            taken.push(b);
        }
    }
}

/// How speed is drawn.
fn entries(slowest: f64, fastest: f64, speeds: SpeedUnit) -> Vec<(key::Sample, String)> {
    let sample = |strength: f64| {
        let (width, colour) = look(strength);
        let m_s = slowest + strength * (fastest - slowest);
        (
            key::Sample::Line(colour, width, ""),
            format!("peak {}", speeds.text(m_s, 1)),
        )
    };
    let mut entries = if fastest - slowest < 0.05 {
        vec![sample(1.0)]
    } else {
        vec![sample(0.0), sample(0.5), sample(1.0)]
    };
    entries.push((
        key::Sample::Arrow(look(0.5).1),
        "the head is where the sprint ended; numbers where there is room".to_owned(),
    ));
    entries
}

fn columns(sheet: Sheet) -> usize {
    sheet.either(COLUMNS.0, COLUMNS.1)
}

/// Where the list stands.
#[derive(Clone, Copy)]
struct Place {
    left: f64,
    top: f64,
    width: f64,
    columns: usize,
}

/// The place beside a map that leaves room for the whole list.
fn beside(sheet: Sheet, map: &Panel, field: Field<'_>, arrows: &[Arrow<'_>]) -> Option<Place> {
    let left = map.right().max(map.left + field.caption_width() + 160.0) + 24.0;
    let width = sheet.width - sheet.margin - left;
    let fits = NORTH + arrows.len() as f64 * LINE <= map.height;
    (!sheet.narrow && width >= BESIDE && fits).then_some(Place {
        left,
        top: map.top + NORTH,
        width,
        columns: 1,
    })
}

/// Each sprint with its peak, interval and distance, down the columns.
fn list(page: &mut Canvas, arrows: &[Arrow<'_>], told: usize, place: Place, speeds: SpeedUnit) {
    let Place {
        left: begin,
        top,
        width,
        columns,
    } = place;
    let rows = told.div_ceil(columns).max(1);
    let width = width / columns as f64;
    for (i, arrow) in arrows.iter().take(told).enumerate() {
        let left = begin + (i / rows) as f64 * width;
        let y = top + 12.0 + (i % rows) as f64 * LINE;
        let peak = arrow.effort.peak_speed_m_s;
        let number = arrow.number.to_string();
        page.text(left + 22.0, y, &number, style::VALUE, Anchor::End);
        let near = if arrow.effort.near_threshold {
            " ?"
        } else {
            ""
        };
        let text = format!(
            "{} ({}), {:.0} m{near}",
            speeds.text(peak.value, 2),
            speeds.ends(peak),
            arrow.effort.distance_m
        );
        page.fitted(left + 30.0, y, &text, style::TICK, width - 30.0);
    }
    if told < arrows.len() {
        let y = top + 12.0 + rows as f64 * LINE;
        let text = format!("{} more are drawn and not told", arrows.len() - told);
        page.text(begin, y, &text, style::TICK, Anchor::Start);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_keeps_both_ends_and_loses_what_lies_on_itself() {
        let map = framed(Sheet::WIDE, 0.0, 0.0..100.0, 0.0..60.0);
        let way: Vec<[f64; 2]> = (0..=400).map(|i| [f64::from(i) * 0.1, 30.0]).collect();
        let kept = thinned(&map, &way);
        assert!(kept.len() < 160, "{}", kept.len());
        assert_eq!(kept.first(), Some(&(map.x(0.0), map.y(30.0))));
        assert_eq!(kept.last(), Some(&(map.x(40.0), map.y(30.0))));
    }
}
