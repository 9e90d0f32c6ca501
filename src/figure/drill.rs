//! One drill: each time an athlete did it, and everybody's best beside each other.

use jiff::civil::Date;

use super::Error;
use super::axis::Axis;
use super::canvas::{Canvas, Mark};
use super::key;
use super::lettering;
use super::panel::Panel;
use super::style::{self, Anchor, Sheet};
use super::svg::Svg;
use super::time_panel::{CAPTION, around, frame, is_mark, mark, over_days};
use crate::progress::{Drill, Gauge, Outcome, Standing};

const HEIGHT: f64 = 300.0;
/// Height of an athlete's line.
const LINE: f64 = 24.0;
/// Most athletes that are drawn.
const MOST: usize = 120;

/// Draws each time that an athlete did a drill; `None` where no value is known.
///
/// # Errors
/// Where it could not be drawn.
pub fn drill_over_time(drill: &Drill, athlete: &str) -> Result<Option<Svg>, Error> {
    let against = drill.over_time(athlete);
    let (Some(first), Some(last)) = (against.first(), against.last()) else {
        return Ok(None);
    };
    let gains = (against.iter())
        .filter(|a| matches!(a.outcome, Outcome::Gain { .. }))
        .count();
    // As the account counts them; of some nothing may be known.
    let times = drill.times.iter().filter(|time| time.athlete == athlete);
    let told = match (times.count(), gains) {
        (1, _) => "once".to_owned(),
        (n, 0) => format!("{n} times, no clear gain"),
        (n, 1) => format!("{n} times, 1 clear gain"),
        (n, gains) => format!("{n} times, {gains} clear gains"),
    };
    let name = if athlete.trim().is_empty() {
        String::new()
    } else {
        format!("{athlete}: ")
    };
    let note = key::note(
        Sheet::WIDE,
        "Filled: the first time and each clear gain over the mark, which the two 95 % intervals cannot explain; dashed: the mark. Grey: \
         clearly less well. One in forty would look so by chance.",
    );
    let mut page = Canvas::new(
        style::HEADING + CAPTION + HEIGHT + 48.0 + note.len() as f64 * key::LINE + 10.0,
        &format!("{name}{}, {told}", title(drill)),
        &format!("{}; whiskers are 95 % intervals.", meaning(drill.gauge())),
    );
    let days = span(first.time.date, last.time.date);
    let ends = against.iter().flat_map(|a| [a.value.low, a.value.high]);
    let panel = over_days(days, 0.03, HEIGHT, told_of(around(ends), drill, 5));
    frame(&mut page, &panel, &caption(drill), 1);
    let x = |day: Date| panel.x(span(first.time.date, day));
    let marks: Vec<_> = against.iter().filter(|a| is_mark(a.outcome)).collect();
    for (at, mark) in marks.iter().enumerate() {
        let until = marks
            .get(at + 1)
            .map_or(panel.right(), |next| x(next.time.date));
        let y = panel.y(mark.value.value);
        page.line(
            (x(mark.time.date), y),
            (until, y),
            style::MEASURED,
            style::LINE,
            "6 4",
        );
    }
    let mut free = style::MARGIN;
    for a in &against {
        let at = x(a.time.date);
        mark(&mut page, &panel, at, a.value, a.outcome);
        let text = a.time.date.strftime("%-d %b").to_string();
        let half = lettering::width(&text, style::TICK) / 2.0;
        let at = at.clamp(style::MARGIN + half, style::WIDTH - style::MARGIN - half);
        if free <= at - half {
            page.text(
                at,
                panel.bottom() + 17.0,
                &text,
                style::TICK,
                Anchor::Middle,
            );
            free = at + half + 10.0;
        }
    }
    key::draw_note(&mut page, panel.bottom() + 46.0, &note);
    Ok(Some(page.finish()))
}

/// Draws the best of everybody who did a drill, in the order given; `None` where no value is known.
///
/// # Errors
/// Where it could not be drawn.
pub fn drill_of_squad(drill: &Drill, standings: &[Standing<'_>]) -> Result<Option<Svg>, Error> {
    let known = || standings.iter().filter_map(|s| Some((s, s.best?.1)));
    if known().next().is_none() {
        return Ok(None);
    }
    let drawn = standings.get(..MOST).unwrap_or(standings);
    let clear: usize = standings.iter().map(|s| s.clearly_above.len()).sum();
    let note = key::note(
        Sheet::WIDE,
        "In alphabetical order. A dot is an athlete's surest best, the line its 95 % interval. Clearly better: beyond both intervals, all \
         pairs of the squad judged together (Bonferroni). Who did it more often had more tries.",
    );
    let names: f64 = drawn
        .iter()
        .map(|s| lettering::width(name(s.athlete), style::PLAIN))
        .fold(60.0, f64::max)
        .min(220.0);
    let widest = 330.0;
    let height = drawn.len() as f64 * LINE;
    let more = match standings.len() - drawn.len() {
        0 => String::new(),
        n => format!(" {n} more are not shown."),
    };
    let told = match clear {
        0 => "no two clearly apart".to_owned(),
        1 => "1 pair clearly apart".to_owned(),
        n => format!("{n} pairs clearly apart"),
    };
    let mut page = Canvas::new(
        style::HEADING + CAPTION + height + 56.0 + note.len() as f64 * key::LINE,
        &format!("{}: {told}", title(drill)),
        &format!("{}.{more}", meaning(drill.gauge())),
    );
    let across = around(known().flat_map(|(_, value)| [value.low, value.high]));
    let panel = Panel {
        left: style::MARGIN + names + 70.0,
        top: style::HEADING + CAPTION,
        width: style::WIDTH - 2.0 * style::MARGIN - names - 70.0 - widest - 24.0,
        height,
        across: told_of(Axis::numbers(across.range, 6), drill, 6),
        up: Axis {
            range: 0.0..drawn.len() as f64,
            ticks: Vec::new(),
            per: 1.0,
        },
    };
    scale(&mut page, &panel, drill);
    for (at, standing) in drawn.iter().enumerate() {
        one(&mut page, &panel, at, standing, (names, widest));
    }
    key::draw_note(&mut page, panel.bottom() + 46.0, &note);
    Ok(Some(page.finish()))
}

/// What stands above the lines, and the numbers below.
fn scale(page: &mut Canvas, panel: &Panel, drill: &Drill) {
    page.text(
        panel.left,
        panel.top - 12.0,
        &caption(drill),
        style::LABEL,
        Anchor::Start,
    );
    let aside = panel.right() + 24.0;
    page.text(
        aside,
        panel.top - 12.0,
        "clearly better than",
        style::LABEL,
        Anchor::Start,
    );
    page.text(
        panel.left - 16.0,
        panel.top - 12.0,
        "times",
        style::TICK,
        Anchor::End,
    );
    for &tick in &panel.across.ticks {
        let at = panel.x(tick);
        page.line(
            (at, panel.top),
            (at, panel.bottom()),
            style::RULE,
            style::HAIR,
            "",
        );
        let text = if drill.gauge() == Gauge::Distance {
            format!("{tick:.0}")
        } else {
            format!("{:.1}", tick * panel.across.per)
        };
        page.text(
            at,
            panel.bottom() + 16.0,
            &text,
            style::TICK,
            Anchor::Middle,
        );
    }
}

/// The line of an athlete: his name, how often, his best with its interval, and whom it is clearly better than.
fn one(
    page: &mut Canvas,
    panel: &Panel,
    at: usize,
    standing: &Standing<'_>,
    (names, widest): (f64, f64),
) {
    let aside = panel.right() + 24.0;
    let y = panel.top + (at as f64 + 0.5) * LINE;
    page.fitted(
        style::MARGIN,
        y + 4.0,
        name(standing.athlete),
        style::PLAIN,
        names,
    );
    page.text(
        panel.left - 16.0,
        y + 4.0,
        &standing.times.to_string(),
        style::TICK,
        Anchor::End,
    );
    let Some((_, value)) = standing.best else {
        page.text(
            panel.left + 6.0,
            y + 4.0,
            "not known",
            style::TICK,
            Anchor::Start,
        );
        return;
    };
    let ends = (panel.x(value.low), panel.x(value.high));
    page.line((ends.0, y), (ends.1, y), style::MEASURED, style::LINE, "");
    for end in [ends.0, ends.1] {
        page.line(
            (end, y - 3.0),
            (end, y + 3.0),
            style::MEASURED,
            style::LINE,
            "",
        );
    }
    page.mark(Mark::Disc, (panel.x(value.value), y), 8.0, style::MEASURED);
    if !standing.clearly_above.is_empty() {
        let above: Vec<&str> = standing.clearly_above.iter().map(|s| name(s)).collect();
        page.fitted(aside, y + 4.0, &above.join(", "), style::TICK, widest);
    }
}

fn name(athlete: &str) -> &str {
    match athlete.trim() {
        "" => "(no name)",
        name => name,
    }
}

fn title(drill: &Drill) -> String {
    let ball = if drill.with_ball { ", with ball" } else { "" };
    match &drill.name {
        Some(name) => format!("{name} ({}{ball})", drill.rep()),
        None => format!("{} {}{ball}", drill.category.word(), drill.rep()),
    }
}

fn caption(drill: &Drill) -> String {
    match drill.gauge() {
        Gauge::Peak => format!("best peak speed, {}", drill.speeds.sign()),
        Gauge::Time => "mean time of a rep, s".to_owned(),
        Gauge::Distance => "mean distance of a rep, m".to_owned(),
    }
}

/// An axis of the drill's gauge.
fn told_of(axis: Axis, drill: &Drill, most: usize) -> Axis {
    match drill.gauge() {
        Gauge::Peak => axis.told_in(drill.speeds, most),
        Gauge::Time | Gauge::Distance => axis,
    }
}

fn meaning(gauge: Gauge) -> &'static str {
    match gauge {
        Gauge::Peak => "The best peak speed of a rep",
        Gauge::Time => "The mean time of a rep run in full; less is better",
        Gauge::Distance => "The mean distance of a rep run in full",
    }
}

fn span(from: Date, to: Date) -> f64 {
    from.until(to)
        .map_or(0.0, |span| f64::from(span.get_days()))
}
