//! Drills as text of 80 columns: the list, one over time, and one over a squad.

use std::fmt::Write as _;

use crate::measured::Measured;
use crate::progress::{Against, Drill, Gauge, Outcome, Standing, Tendency, Time};
use crate::report::day_words::{UNKNOWN, athlete, full_day, speed_interval};
use crate::report::layout::{count, cut, hanging, left, right, safe, signed, width};
use crate::units::SpeedUnit;

/// Columns of a terminal that we may use.
const WIDTH: usize = 80;
const DATE: usize = 13;
const NAME: usize = 18;
const VALUE: usize = 20;

/// Writes the list of drills: how often each was done, and by whom.
#[must_use]
pub fn list(drills: &[Drill]) -> String {
    if drills.is_empty() {
        return "The diary holds no drill: no recording in it was held against a plan with reps.\n"
            .to_owned();
    }
    let mut out = format!(
        "{} in the diary, the most done first.\n\n",
        count(drills.len(), "drill", "drills")
    );
    for drill in drills {
        let who: Vec<String> = drill.athletes().into_iter().map(athlete).collect();
        out += &hanging("", &title(drill), WIDTH);
        let text = format!(
            "{}, last on {}: {}",
            count(drill.times.len(), "time", "times"),
            drill
                .times
                .last()
                .map_or_else(|| UNKNOWN.to_owned(), |time| full_day(time.date)),
            who.join(", ")
        );
        out += &hanging("    ", &text, WIDTH);
    }
    out
}

/// Writes a drill of one athlete, each time it was done.
#[must_use]
pub fn over_time(drill: &Drill, name: &str) -> String {
    let own: Vec<&Time> = (drill.times.iter())
        .filter(|time| time.athlete == name)
        .collect();
    let against = drill.over_time(name);
    let mut out = hanging("", &first(drill, name, own.len(), &against), WIDTH);
    if let Some(tendency) = drill.tendency(name) {
        out += &hanging("", &told(drill, tendency), WIDTH);
    }
    let _ = write!(
        out,
        "\n{}reps  {}time of a rep, s  distance of a rep, m\n",
        left("day", DATE),
        left(&format!("peak, {}", drill.speeds.sign()), 18)
    );
    let once = own.len() < 2;
    for time in own {
        let outcome = against
            .iter()
            .find(|a| a.time.id == time.id)
            .map(|a| a.outcome);
        let mut line = left(&full_day(time.date), DATE);
        line += &left(&format!("{}/{}", time.reps[0], time.reps[1]), 6);
        line += &left(&of(Gauge::Peak, time.peak_m_s, drill.speeds), 18);
        line += &left(&measured(time.work_s, 1), 18);
        line += &left(&measured(time.distance_m, 0), 16);
        line += outcome.map_or("", mark);
        out += line.trim_end();
        out.push('\n');
    }
    out.push('\n');
    out + &hanging("", &notes(drill, once), WIDTH)
}

/// Writes a drill of everybody who did it, in alphabetical order.
#[must_use]
pub fn squad(drill: &Drill, standings: &[Standing<'_>]) -> String {
    let mut out = hanging(
        "",
        &format!(
            "{}: {} did it.",
            title(drill),
            count(standings.len(), "athlete", "athletes")
        ),
        WIDTH,
    );
    let heading = heading(drill.gauge(), drill.speeds);
    let _ = write!(
        out,
        "\n{}times  {}  {}clearly better than\n",
        left("athlete", NAME),
        left(&heading, VALUE),
        left("on", DATE)
    );
    for standing in standings {
        let (best, on) = standing.best.map_or_else(
            || (UNKNOWN.to_owned(), UNKNOWN.to_owned()),
            |(time, value)| {
                (
                    of(drill.gauge(), Some(value), drill.speeds),
                    full_day(time.date),
                )
            },
        );
        let above: Vec<String> = standing
            .clearly_above
            .iter()
            .map(|name| athlete(name))
            .collect();
        let line = format!(
            "{}{}  {}  {}",
            left(&cut(&athlete(standing.athlete), NAME - 1), NAME),
            right(&standing.times.to_string(), 5),
            left(&best, VALUE),
            left(&on, DATE)
        );
        // Names go on below in their own column where they are many.
        let room = WIDTH.saturating_sub(width(&line)).max(12);
        let names = if above.is_empty() {
            UNKNOWN.to_owned()
        } else {
            above.join(", ")
        };
        let first = hanging(&line, &names, WIDTH.max(width(&line) + room));
        out += &first;
    }
    out.push('\n');
    out + &hanging(
        "",
        &format!(
            "In alphabetical order; nobody stands above another but where it is clear: beyond both 95 % intervals, all pairs of the \
             squad judged together (Bonferroni). The value is the surest best of all times, so that who did it more often had more \
             tries. {}",
            meaning(drill.gauge())
        ),
        WIDTH,
    )
}

/// Name, what a rep asks for, category and ball.
pub(in crate::report) fn title(drill: &Drill) -> String {
    let ball = if drill.with_ball { ", with ball" } else { "" };
    match &drill.name {
        Some(name) => format!(
            "{} ({}, {}{ball})",
            safe(name),
            drill.category.word(),
            drill.rep()
        ),
        None => format!("{} {}{ball}", drill.category.word(), drill.rep()),
    }
}

fn first(drill: &Drill, name: &str, times: usize, against: &[Against<'_>]) -> String {
    let gauge = drill.gauge();
    let mut text = format!(
        "{}: {}, {}",
        athlete(name),
        title(drill),
        count(times, "time", "times")
    );
    if let Some((time, value)) = drill.best(against.iter().map(|a| a.time)) {
        let _ = write!(
            text,
            ". Best {} {} {} on {}",
            word(gauge),
            of(gauge, Some(value), drill.speeds),
            unit(gauge, drill.speeds),
            full_day(time.date)
        );
    }
    let gains = (against.iter()).filter(|a| matches!(a.outcome, Outcome::Gain { .. }));
    match gains.count() {
        _ if against.len() < 2 => text += ".",
        0 => text += "; no clear gain so far.",
        n => {
            let _ = write!(text, "; {} so far.", count(n, "clear gain", "clear gains"));
        }
    }
    text
}

/// What all times together say, in a sentence.
pub(in crate::report) fn told(drill: &Drill, tendency: Tendency) -> String {
    let gauge = drill.gauge();
    let change = match gauge {
        Gauge::Peak => drill.speeds.measured(tendency.four_weeks),
        Gauge::Time | Gauge::Distance => tendency.four_weeks,
    };
    let decimals = decimals(gauge);
    let verdict = match drill.is_better(tendency.four_weeks) {
        Some(true) => "clearly better",
        Some(false) => "clearly less well",
        None => "no clear change",
    };
    format!(
        "The {} times with a value over {:.0} weeks, together: {} {} {} in four weeks ({} to {}), {verdict}.",
        tendency.times,
        tendency.weeks,
        word(gauge),
        signed(change.value, decimals),
        unit(gauge, drill.speeds),
        signed(change.low, decimals),
        signed(change.high, decimals),
    )
}

/// What the outcome of a time is called in its row.
pub(in crate::report) fn mark(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::First => "first",
        Outcome::Gain { confirmed: true } => "gain, twice",
        Outcome::Gain { confirmed: false } => "gain",
        Outcome::Below => "below",
        Outcome::WithinError | Outcome::NotTried | Outcome::NoMaximalSprint => "",
    }
}

pub(in crate::report) fn word(gauge: Gauge) -> &'static str {
    match gauge {
        Gauge::Peak => "peak",
        Gauge::Time => "time of a rep",
        Gauge::Distance => "distance of a rep",
    }
}

pub(in crate::report) fn unit(gauge: Gauge, speeds: SpeedUnit) -> &'static str {
    match gauge {
        Gauge::Peak => speeds.sign(),
        Gauge::Time => "s",
        Gauge::Distance => "m",
    }
}

pub(in crate::report) fn decimals(gauge: Gauge) -> usize {
    match gauge {
        Gauge::Peak => 2,
        Gauge::Time => 1,
        Gauge::Distance => 0,
    }
}

pub(in crate::report) fn heading(gauge: Gauge, speeds: SpeedUnit) -> String {
    match gauge {
        Gauge::Peak => format!("best peak, {}", speeds.sign()),
        Gauge::Time => "best mean time, s".to_owned(),
        Gauge::Distance => "best mean dist., m".to_owned(),
    }
}

/// A value of a gauge with its interval, a speed in the unit that it is told in.
fn of(gauge: Gauge, value: Option<Measured>, speeds: SpeedUnit) -> String {
    match gauge {
        Gauge::Peak => speed_interval(value, speeds),
        Gauge::Time | Gauge::Distance => measured(value, decimals(gauge)),
    }
}

/// `8.41 (8.27–8.55)`
pub(in crate::report) fn measured(value: Option<Measured>, decimals: usize) -> String {
    value.map_or_else(
        || UNKNOWN.to_owned(),
        |m| {
            format!(
                "{:.decimals$} ({:.decimals$}–{:.decimals$})",
                m.value, m.low, m.high
            )
        },
    )
}

fn meaning(gauge: Gauge) -> &'static str {
    match gauge {
        Gauge::Peak => "Judged by the best peak speed of a rep.",
        Gauge::Time => "Judged by the mean time of a rep; less is better.",
        Gauge::Distance => "Judged by the mean distance of a rep.",
    }
}

/// What the words and numbers mean; of what was done `once` no change is told.
fn notes(drill: &Drill, once: bool) -> String {
    let numbers = format!(
        "reps: done of planned; the numbers are of reps run in full, with 95 % intervals: the best peak, the mean time and distance. {}",
        meaning(drill.gauge())
    );
    if once {
        return numbers;
    }
    format!(
        "{numbers} gain: clearly better than the mark, which is the first time and then each gain; twice: a later one is, too. below: \
         clearly less well. Without a word no change can be told. One in forty would look so by chance. Together: the line through \
         all values, with its 95 % interval; one in twenty would look clear by chance."
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_unit_is_cut_from_a_heading() {
        for gauge in [Gauge::Peak, Gauge::Time, Gauge::Distance] {
            use SpeedUnit::{KilometresPerHour, MetresPerSecond, MilesPerHour};
            for speeds in [MetresPerSecond, KilometresPerHour, MilesPerHour] {
                let heading = heading(gauge, speeds);
                assert!(width(&heading) <= VALUE, "{heading}");
            }
        }
    }
}
