//! The key below a picture: a sample of each sign and what it means.

use super::canvas::{Canvas, Mark};
use super::lettering;
use super::scene::Scene;
use super::style::{self, Anchor, Colour, Sheet};

/// A sample of a sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Sample {
    /// A line: colour, width, dashes as in SVG.
    Line(Colour, f64, &'static str),
    /// A filled box of that opacity.
    Box(Colour, f64),
    /// A sign.
    Mark(Mark, Colour),
    /// A line with a head.
    Arrow(Colour),
    /// The hatching of gaps.
    Hatch,
}

/// Height of a line of the key.
pub(super) const LINE: f64 = 20.0;
/// Width of a sample.
const SAMPLE: f64 = 18.0;
/// Between a sample and its word, and between entries.
const SPACE: f64 = 7.0;

/// The entry of what is hatched, if anything is.
pub(super) fn blank(scene: &Scene<'_>) -> Option<(Sample, String)> {
    let left_out = scene.left_out_within().next().is_some();
    let word = match (scene.gaps.is_empty(), left_out) {
        (true, false) => return None,
        (true, true) => "left out: no part of the session",
        (false, false) => "gap: nothing recorded",
        (false, true) => "gap, or left out: no part of the session",
    };
    Some((Sample::Hatch, word.to_owned()))
}

/// How many lines the key takes.
pub(super) fn lines(sheet: Sheet, entries: &[(Sample, String)]) -> usize {
    let places = places(sheet, entries);
    places.last().map_or(0, |p| p.line + p.words.len().max(1))
}

/// Draws the key with its first line's baseline at `y`.
pub(super) fn draw(page: &mut Canvas, y: f64, entries: &[(Sample, String)]) {
    for ((sample, _), Place { x, line, words }) in entries.iter().zip(places(page.sheet, entries)) {
        let baseline = y + line as f64 * LINE;
        let middle = baseline - 4.0;
        match *sample {
            Sample::Line(colour, width, dash) => {
                page.line((x, middle), (x + SAMPLE, middle), colour, width, dash);
            }
            Sample::Box(colour, opacity) => {
                page.rect((x, middle - 5.0), (SAMPLE, 10.0), colour, opacity);
            }
            Sample::Arrow(colour) => {
                page.line((x, middle), (x + SAMPLE - 7.0, middle), colour, 2.0, "");
                let tip = (x + SAMPLE, middle);
                let corners = [
                    tip,
                    (tip.0 - 8.0, middle - 3.5),
                    (tip.0 - 8.0, middle + 3.5),
                ];
                page.polygon(&corners, colour, 1.0);
            }
            Sample::Mark(mark, colour) => page.mark(mark, (x + SAMPLE / 2.0, middle), 9.0, colour),
            Sample::Hatch => {
                page.hatched((x, middle - 6.0), (SAMPLE, 12.0));
                page.outline((x, middle - 6.0), (SAMPLE, 12.0), style::FRAME, style::HAIR);
            }
        }
        for (i, word) in words.iter().enumerate() {
            let baseline = baseline + i as f64 * LINE;
            page.text(
                x + SAMPLE + SPACE,
                baseline,
                word,
                style::TICK,
                Anchor::Start,
            );
        }
    }
}

/// A sentence below the key, in as many lines as it takes.
pub(super) fn note(sheet: Sheet, text: &str) -> Vec<String> {
    let words: Vec<String> = text.split(' ').map(str::to_owned).collect();
    lettering::wrap(&words, " ", style::TICK, sheet.room())
}

/// Draws a note with its first line's baseline at `y`.
pub(super) fn draw_note(page: &mut Canvas, y: f64, lines: &[String]) {
    for (i, line) in lines.iter().enumerate() {
        let y = y + i as f64 * LINE;
        page.text(page.sheet.margin, y, line, style::TICK, Anchor::Start);
    }
}

/// Where an entry stands: its left edge, its first line, and its words, broken where one line is too short for them.
struct Place {
    x: f64,
    line: usize,
    words: Vec<String>,
}

fn places(sheet: Sheet, entries: &[(Sample, String)]) -> Vec<Place> {
    let (mut x, mut line) = (sheet.margin, 0);
    let mut places: Vec<Place> = Vec::with_capacity(entries.len());
    for (_, word) in entries {
        let width = SAMPLE + SPACE + lettering::width(word, style::TICK);
        if x > sheet.margin && x + width > sheet.width - sheet.margin {
            x = sheet.margin;
            line += 1;
        }
        let room = sheet.width - sheet.margin - x - SAMPLE - SPACE;
        let words = lettering::broken(word, style::TICK, room, usize::MAX);
        // What takes several lines leaves no place beside it.
        let more = words.len().saturating_sub(1);
        places.push(Place { x, line, words });
        x += width + 3.0 * SPACE;
        line += more;
    }
    places
}
