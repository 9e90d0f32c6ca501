//! A panel of values over time with an interval each, as the weeks and the bests are drawn.

use super::axis::{Axis, round_step, whole};
use super::canvas::{Canvas, Mark};
use super::panel::Panel;
use super::style::{self, Anchor, Colour};
use crate::measured::Measured;
use crate::progress::Outcome;

/// Room for the numbers of the axis up, and for the caption, of a panel over days.
pub(super) const AXIS: f64 = 48.0;
pub(super) const CAPTION: f64 = 40.0;

/// The end of an axis: a round number at or above what must be shown, from 0.
pub(super) fn from_zero(values: impl Iterator<Item = f64>) -> Axis {
    let most = values.filter(|v| v.is_finite()).fold(0.0, f64::max);
    let end = if most > 0.0 { 1.12 * most } else { 1.0 };
    // Whole numbers stand at the ticks, so a step below one would write the same number twice.
    Axis::stepped(0.0..end, round_step(end / 4.0).max(1.0))
}

/// An axis that holds all values with some air.
pub(super) fn around(values: impl Iterator<Item = f64>) -> Axis {
    let (low, high) = values
        .filter(|v| v.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
            (low.min(v), high.max(v))
        });
    if low > high {
        return Axis {
            range: 0.0..1.0,
            ticks: Vec::new(),
            per: 1.0,
        };
    }
    let air = (0.12 * (high - low)).max(0.05);
    Axis::numbers((low - air).max(0.0)..high + air, 5)
}

/// A panel over so many days, with this share of them free at either end.
pub(super) fn over_days(days: f64, free: f64, height: f64, up: Axis) -> Panel {
    let edge = (days * free).max(0.5);
    Panel {
        left: style::MARGIN + AXIS,
        top: style::HEADING + CAPTION,
        width: style::WIDTH - 2.0 * style::MARGIN - AXIS,
        height,
        across: Axis {
            range: -edge..days + edge,
            ticks: Vec::new(),
            per: 1.0,
        },
        up,
    }
}

/// Grid lines and numbers of the axis up, its caption above, and the line below.
pub(super) fn frame(page: &mut Canvas, panel: &Panel, caption: &str, decimals: usize) {
    page.text(
        panel.left,
        panel.top - 12.0,
        caption,
        style::LABEL,
        Anchor::Start,
    );
    let step = (panel.up.ticks.windows(2).next()).map(|pair| panel.up.per * (pair[1] - pair[0]));
    let fine = step.is_some_and(|step| step < 0.099);
    let decimals = if decimals > 0 && fine { 2 } else { decimals };
    for &tick in &panel.up.ticks {
        let y = panel.y(tick);
        panel.level(page, y, style::RULE, style::HAIR, "");
        let text = if decimals == 0 {
            thousands(tick)
        } else {
            format!("{:.decimals$}", tick * panel.up.per)
        };
        page.text(panel.left - 8.0, y + 4.0, &text, style::TICK, Anchor::End);
    }
    page.line(
        (panel.left, panel.bottom()),
        (panel.right(), panel.bottom()),
        style::FRAME,
        style::LINE,
        "",
    );
}

/// A whisker with short feet over the interval.
pub(super) fn whisker(page: &mut Canvas, panel: &Panel, x: f64, value: Measured, colour: Colour) {
    const FOOT: f64 = 3.0;
    let (low, high) = (
        panel.y(value.low.max(panel.up.range.start)),
        panel.y(value.high.min(panel.up.range.end)),
    );
    page.line((x, low), (x, high), colour, style::LINE, "");
    for y in [low, high] {
        page.line((x - FOOT, y), (x + FOOT, y), colour, style::LINE, "");
    }
}

/// A value that stands, or moves, the mark that later ones are held against.
pub(super) fn is_mark(outcome: Outcome) -> bool {
    matches!(outcome, Outcome::First | Outcome::Gain { .. })
}

/// A value with its interval, by what it is against the mark.
pub(super) fn mark(page: &mut Canvas, panel: &Panel, x: f64, value: Measured, outcome: Outcome) {
    let colour = match outcome {
        Outcome::Gain { .. } => style::PICKED,
        Outcome::First | Outcome::WithinError => style::MEASURED,
        Outcome::Below | Outcome::NotTried | Outcome::NoMaximalSprint => style::SOFT_INK,
    };
    whisker(page, panel, x, value, colour);
    let (mark, size) = if is_mark(outcome) {
        (Mark::Disc, 9.0)
    } else {
        (Mark::Ring, 7.0)
    };
    page.mark(mark, (x, panel.y(value.value)), size, colour);
}

/// A whole number with a comma between thousands.
pub(super) fn thousands(value: f64) -> String {
    let digits = whole(value);
    let (sign, digits) = match digits.strip_prefix('−') {
        Some(rest) => ("−", rest),
        None => ("", digits.as_str()),
    };
    let mut out = sign.to_owned();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(c);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_commas_and_a_true_minus() {
        assert_eq!(thousands(-12_345.4), "−12,345");
        assert_eq!(thousands(999.0), "999");
    }

    #[test]
    fn axes_hold_what_they_show() {
        assert_eq!(from_zero([f64::NAN].into_iter()).range, 0.0..1.0);
        assert_eq!(from_zero([1.7].into_iter()).ticks, [0.0, 1.0]);
        assert!(around([].into_iter()).ticks.is_empty());
        let axis = around([8.2, 8.6].into_iter());
        assert!(axis.range.start < 8.2 && 8.6 < axis.range.end && axis.ticks.len() >= 2);
    }
}
