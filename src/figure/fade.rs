//! Whether the reps of a set became slower: peak speeds with their intervals, and the slope through them.

use super::axis::Axis;
use super::canvas::{Canvas, Heading, Mark};
use super::key;
use super::panel::Panel;
use super::style::{self, Anchor};
use super::svg::Svg;
use super::time_panel::{frame, whisker};
use super::{Error, Scene, lettering, verdict};
use crate::measured::{Measured, Z95};
use crate::profile::Fade;
use crate::review::{BlockReview, RepReview, SetReview, Verdict};
use crate::units::SpeedUnit;

/// Panels beside each other, and the space between two.
const COLUMNS: usize = 3;
const BETWEEN: f64 = 36.0;
/// Room above a panel for its name, the words and the name of its axis; its height; room below.
const CAPTION: f64 = 70.0;
const HEIGHT: f64 = 170.0;
const BELOW: f64 = 46.0;
/// Room for the numbers of the axis up.
const AXIS: f64 = 34.0;
/// Most sets that are drawn.
const MOST_SETS: usize = 24;
/// Least standard deviation of a peak, m/s, as in the fit.
const LEAST_SD: f64 = 1e-6;

/// A set with the slope through its peaks.
struct Sloped<'a> {
    fade: &'a Fade,
    block: &'a BlockReview,
    set: &'a SetReview,
}

/// Whether the reps of a set became slower.
///
/// # Errors
/// Where the chart could not be drawn.
pub fn fade(scene: &Scene<'_>) -> Result<Option<Svg>, Error> {
    let blocks = scene.review.map_or(&[][..], |review| &review.blocks);
    let mut sets: Vec<Sloped<'_>> = scene
        .fades
        .iter()
        .filter_map(|fade| {
            let block = blocks.iter().find(|b| b.index == fade.block)?;
            let set = block.sets.iter().find(|s| s.index == fade.set)?;
            Some(Sloped { fade, block, set })
        })
        .collect();
    let left_out = sets.len().saturating_sub(MOST_SETS);
    sets.truncate(MOST_SETS);
    if sets.is_empty() {
        return Ok(None);
    }
    let sheet = scene.sheet;
    let columns = sheet.either(COLUMNS.min(sets.len()).max(2), 1);
    let each = CAPTION + HEIGHT + BELOW;
    let more = match left_out {
        0 => String::new(),
        n => format!(" · {n} more sets are not shown"),
    };
    let heading = Heading::new(
        sheet,
        &title(&sets),
        &scene.subtitle(&format!(
            "whiskers: 95 % interval of a peak; band: slopes within theirs{more}"
        )),
    );
    let begin = heading.height;
    let foot = begin + sets.len().div_ceil(columns) as f64 * each;
    let entries = entries(&sets);
    let height = foot + 16.0 + key::lines(sheet, &entries) as f64 * key::LINE + sheet.margin - 8.0;
    let mut page = Canvas::on(sheet, height, heading);
    let room = sheet.room() - (columns - 1) as f64 * BETWEEN;
    let width = room / columns as f64;
    for (i, sloped) in sets.iter().enumerate() {
        let left = sheet.margin + (i % columns) as f64 * (width + BETWEEN);
        let top = begin + (i / columns) as f64 * each;
        draw(
            &mut page,
            sloped,
            range(&sets, sloped.block.index, scene.speeds),
            (left, top, width),
            scene.speeds,
        );
    }
    key::draw(&mut page, foot + 16.0, &entries);
    Ok(Some(page.finish()))
}

/// What is seen, in words.
fn title(sets: &[Sloped<'_>]) -> String {
    let count = |f: fn(&Fade) -> bool| sets.iter().filter(|s| f(s.fade)).count();
    let slower = count(|f| f.slope_m_s.high < 0.0);
    let faster = count(|f| f.slope_m_s.low > 0.0);
    let of = |n: usize| format!("{n} of {} sets", sets.len());
    match (slower, faster, sets.len()) {
        (0, 0, 1) => "Peak speed over the reps: no clear fade".to_owned(),
        (0, 0, _) => "Peak speed over the reps: no clear fade in any set".to_owned(),
        (1, 0, 1) => "Peak speed over the reps: slower from rep to rep".to_owned(),
        (0, 1, 1) => "Peak speed over the reps: faster from rep to rep".to_owned(),
        (_, 0, _) => format!("Peak speed over the reps: slower in {}", of(slower)),
        (0, _, _) => format!("Peak speed over the reps: faster in {}", of(faster)),
        _ => format!(
            "Peak speed over the reps: slower in {}, faster in {faster}",
            of(slower)
        ),
    }
}

/// A finite peak of a rep.
fn peak(rep: &RepReview) -> Option<Measured> {
    rep.peak_speed_m_s.filter(Measured::is_finite)
}

/// Whether the slope rests on a rep.
fn counts(rep: &RepReview) -> bool {
    matches!(rep.verdict, Verdict::Done | Verdict::Slow) && peak(rep).is_some()
}

/// The ends of the axis up, the same for all sets of a block.
fn range(sets: &[Sloped<'_>], block: usize, speeds: SpeedUnit) -> Axis {
    let ends = || {
        sets.iter()
            .filter(|s| s.block.index == block)
            .flat_map(|s| s.set.reps.iter().filter_map(peak))
            .flat_map(|p| [p.low, p.high])
    };
    let low = ends().fold(f64::INFINITY, f64::min);
    let high = ends().fold(f64::NEG_INFINITY, f64::max);
    let air = (0.08 * (high - low)).max(0.2);
    Axis::numbers((low - air).max(0.0)..high + air, 5).told_in(speeds, 5)
}

/// The weighted middle of the reps that the slope rests on: every line of the fit goes through it.
fn middle(set: &SetReview) -> Option<(f64, f64)> {
    let weighted = || {
        set.reps.iter().filter(|r| counts(r)).filter_map(|r| {
            let p = peak(r)?;
            let weight = (p.width() / (2.0 * Z95)).max(LEAST_SD).powi(-2);
            Some((r.index as f64, p.value, weight))
        })
    };
    let total: f64 = weighted().map(|(_, _, w)| w).sum();
    let x = weighted().map(|(x, _, w)| w * x).sum::<f64>() / total;
    let y = weighted().map(|(_, y, w)| w * y).sum::<f64>() / total;
    (x.is_finite() && y.is_finite()).then_some((x, y))
}

/// One set.
fn draw(
    page: &mut Canvas,
    sloped: &Sloped<'_>,
    up: Axis,
    (left, top, width): (f64, f64, f64),
    speeds: SpeedUnit,
) {
    let Sloped { fade, block, set } = sloped;
    let name = verdict::set_title(block, set, width);
    page.text(left, top + 14.0, &name, style::LABEL, Anchor::Start);
    let slope = fade.slope_m_s;
    let words = format!(
        "{}: {} {} a rep ({} to {})",
        fade.in_words(),
        signed(speeds.of(slope.value)),
        speeds.sign(),
        signed(speeds.of(slope.low)),
        signed(speeds.of(slope.high))
    );
    page.fitted(left, top + 31.0, &words, style::TICK, width);
    let last = set.reps.iter().map(|r| r.index).max().unwrap_or(1) as f64;
    let decimals = usize::from(up.numbers_told().any(|t| (t - t.round()).abs() > 1e-9));
    let panel = Panel {
        left: left + AXIS,
        top: top + CAPTION,
        width: width - AXIS,
        height: HEIGHT,
        across: Axis {
            range: 0.4..last + 0.6,
            ticks: Vec::new(),
            per: 1.0,
        },
        up,
    };
    line(page, sloped, &panel);
    frame(page, &panel, "", decimals);
    page.text(
        left,
        panel.top - 12.0,
        &format!("peak speed, {}", speeds.sign()),
        style::TICK,
        Anchor::Start,
    );
    let mut free = f64::NEG_INFINITY;
    for rep in &set.reps {
        let x = panel.x(rep.index as f64);
        let colour = if counts(rep) {
            style::MEASURED
        } else {
            style::SOFT_INK
        };
        let mut sign = panel.bottom() - 8.0;
        if let Some(value) = peak(rep) {
            whisker(page, &panel, x, value, colour);
            page.mark(Mark::Disc, (x, panel.y(value.value)), 7.0, colour);
            // Below its whisker, where no line runs through it; above, where the axis lies close below.
            let below = panel.y(value.low) + 10.0;
            sign = if below + 8.0 < panel.bottom() {
                below
            } else {
                panel.y(value.high) - 10.0
            };
        }
        if rep.verdict != Verdict::Done {
            page.mark(verdict::mark(rep.verdict), (x, sign), 8.0, style::INK);
        }
        let text = rep.index.to_string();
        let half = lettering::width(&text, style::TICK) / 2.0;
        if free < x - half {
            page.text(x, panel.bottom() + 15.0, &text, style::TICK, Anchor::Middle);
            free = x + half + 4.0;
        }
    }
    let y = panel.bottom() + 30.0;
    page.text(panel.right(), y, "rep", style::TICK, Anchor::End);
}

/// The slope through the middle of its reps, and the slopes within its interval.
fn line(page: &mut Canvas, sloped: &Sloped<'_>, panel: &Panel) {
    let Some((x, y)) = middle(sloped.set) else {
        return;
    };
    let counted = || {
        sloped
            .set
            .reps
            .iter()
            .filter(|r| counts(r))
            .map(|r| r.index as f64)
    };
    let first = counted().fold(f64::INFINITY, f64::min);
    let last = counted().fold(f64::NEG_INFINITY, f64::max);
    let slope = sloped.fade.slope_m_s;
    let at = |to: f64, slope: f64| {
        let value = (y + slope * (to - x)).clamp(panel.up.range.start, panel.up.range.end);
        (panel.x(to), panel.y(value))
    };
    let corners = [
        at(first, slope.low),
        (panel.x(x), panel.y(y)),
        at(last, slope.low),
        at(last, slope.high),
        (panel.x(x), panel.y(y)),
        at(first, slope.high),
    ];
    page.polygon(&corners, style::MEASURED, style::BAND_OPACITY);
    let dash = if sloped.fade.is_clear() { "" } else { "5 4" };
    page.line(
        at(first, slope.value),
        at(last, slope.value),
        style::INK,
        style::LINE,
        dash,
    );
}

/// A number with its sign, a true minus.
fn signed(value: f64) -> String {
    let sign = if value < -0.005 {
        "−"
    } else if value > 0.005 {
        "+"
    } else {
        ""
    };
    format!("{sign}{:.2}", value.abs())
}

/// The signs used, with their meaning.
fn entries(sets: &[Sloped<'_>]) -> Vec<(key::Sample, String)> {
    let mut entries = vec![(
        key::Sample::Mark(Mark::Disc, style::MEASURED),
        "rep done".to_owned(),
    )];
    let seen = |v: Verdict| {
        sets.iter()
            .flat_map(|s| &s.set.reps)
            .any(|r| r.verdict == v)
    };
    for verdict in verdict::VERDICTS {
        if verdict != Verdict::Done && seen(verdict) {
            let left_out = if verdict == Verdict::Slow {
                ""
            } else {
                ", not in the slope"
            };
            entries.push((
                key::Sample::Mark(verdict::mark(verdict), style::INK),
                format!("rep {}{left_out}", verdict::word(verdict)),
            ));
        }
    }
    if sets.iter().any(|s| s.fade.is_clear()) {
        entries.push((
            key::Sample::Line(style::INK, style::LINE, ""),
            "slope that is clear".to_owned(),
        ));
    }
    if sets.iter().any(|s| !s.fade.is_clear()) {
        entries.push((
            key::Sample::Line(style::INK, style::LINE, "5 4"),
            "slope that is not clear: its interval holds 0".to_owned(),
        ));
    }
    entries.push((
        key::Sample::Box(style::MEASURED, style::BAND_OPACITY),
        "slopes within its 95 % interval".to_owned(),
    ));
    entries
}
