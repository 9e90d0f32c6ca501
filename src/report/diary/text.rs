//! The diary for a terminal of 80 columns: the list of its entries, and one of them in full.

use std::fmt::Write as _;

use crate::diary::{Block, Entry, HeartOf, MatchDay, Planned, Recording, Rep, Rest};
use crate::measured::Measured;
use crate::progress::heart_load;
use crate::report::day_words;
use crate::report::kept::Kept;
use crate::report::layout::{
    clock, count, cut, ends, hanging, left, right, safe, short, thousands,
};
use crate::report::{terminal, words};
use crate::review::Verdict;
use crate::units::SpeedUnit;

const COLUMNS: usize = 80;
const TITLE: usize = 22;
const ATHLETE: usize = 10;

/// A line an entry, the last day at the end; names of athletes only where there are several.
#[must_use]
pub fn list(entries: &[Entry]) -> String {
    if entries.is_empty() {
        return "no entries\n".to_owned();
    }
    let several = entries
        .windows(2)
        .any(|pair| pair[0].athlete != pair[1].athlete);
    let mut out = format!(
        "{} {} {}{} {} {} {} {} {}\n",
        right("id", 5),
        left("day", 10),
        if several {
            left("athlete", ATHLETE) + " "
        } else {
            String::new()
        },
        left("what", 8),
        right("min", 4),
        right("RPE", 4),
        right("m", 6),
        right("reps", 5),
        "title"
    );
    let title = if several { TITLE } else { TITLE + ATHLETE + 1 };
    for entry in entries {
        let recorded = entry.recorded.as_ref();
        let name = safe(&entry.athlete);
        let line = format!(
            "{} {} {}{} {} {} {} {} {}",
            right(&entry.id.to_string(), 5),
            entry.date,
            if several {
                left(&name, ATHLETE) + " "
            } else {
                String::new()
            },
            left(entry.activity.word(), 8),
            right(&minutes(entry.duration_s), 4),
            right(
                &entry
                    .rpe
                    .map_or_else(|| "-".to_owned(), |rpe| short(rpe, 1)),
                4
            ),
            right(
                &recorded.map_or_else(|| "-".to_owned(), |r| thousands(r.distance_m.value)),
                6
            ),
            right(
                &recorded
                    .and_then(|r| r.counts)
                    .map_or_else(|| "-".to_owned(), |c| format!("{}/{}", c.done, c.planned)),
                5
            ),
            cut(&safe(entry.title.as_deref().unwrap_or_default()), title),
        );
        out += line.trim_end();
        out.push('\n');
    }
    out
}

/// One line that says what an entry is.
#[must_use]
pub fn in_brief(entry: &Entry) -> String {
    let mut parts = vec![entry.date.to_string()];
    if !entry.athlete.is_empty() {
        parts.push(safe(&entry.athlete));
    }
    parts.push(entry.activity.word().to_owned());
    parts.extend(
        entry
            .title
            .as_deref()
            .map(|title| format!("\"{}\"", safe(title))),
    );
    parts.push(format!("{} min", minutes(entry.duration_s)));
    parts.extend(entry.rpe.map(|rpe| format!("RPE {}", short(rpe, 1))));
    if let Some(recorded) = &entry.recorded {
        parts.push(format!("{} m", thousands(recorded.distance_m.value)));
        parts.extend(
            recorded
                .counts
                .map(|c| format!("{} of {} reps done", c.done, c.planned)),
        );
    }
    parts.join(", ")
}

/// One entry in full.
#[must_use]
pub fn show(
    entry: &Entry,
    recording: Option<&Recording>,
    trace_kept: bool,
    speeds: SpeedUnit,
) -> String {
    let mut out = hanging(&format!("{}: ", entry.id), &in_brief(entry), COLUMNS);
    if let Some(note) = &entry.note {
        out += &hanging("note  ", &safe(note), COLUMNS);
    }
    let Some(recording) = recording else {
        return out;
    };
    let sums = &recording.summary;
    out.push('\n');
    let _ = writeln!(
        out,
        "distance   {} m (95 %: {})",
        thousands(sums.distance_m.value),
        ends(sums.distance_m, thousands)
    );
    if let Some(top) = sums.top_speed_m_s {
        let _ = writeln!(out, "top speed  {}", speed(top, speeds));
    }
    let _ = writeln!(
        out,
        "fast       {} m from {} on, {} m from {} on; {}",
        thousands(sums.fast_m[0]),
        speeds.edge(sums.thresholds_m_s[0], 2),
        thousands(sums.fast_m[1]),
        speeds.edge(sums.thresholds_m_s[1], 2),
        count(sums.sprints, "sprint", "sprints")
    );
    if let Some(curve) = sums.curve_top_m_s {
        let text = format!(
            "the best sprint would have levelled off at {}; from its first movement",
            speed(curve, speeds)
        );
        out += &hanging("curve      ", &text, COLUMNS);
    }
    for split in &sums.splits {
        let _ = writeln!(
            out,
            "           {} m in {:.2} s (95 %: {:.2} to {:.2})",
            short(split.distance_m, 1),
            split.time_s.value,
            split.time_s.low,
            split.time_s.high
        );
    }
    if let Some(heart) = &sums.heart {
        let _ = writeln!(
            out,
            "heart rate {:.0} beats a minute in the mean, {:.0} at the highest{}",
            heart.mean_bpm,
            heart.highest_bpm,
            heart_load(heart).map_or_else(String::new, |load| format!(
                "; load {} ({})",
                thousands(load),
                words::heart_load(heart.numbers.map(|n| n.load).unwrap_or_default())
            ))
        );
    }
    if let Some(counts) = sums.counts {
        let text = format!(
            "{} of {} reps done, {} short, {} slow, {} missed, {} unresolved; {} of {} rests kept",
            counts.done,
            counts.planned,
            counts.short,
            counts.slow,
            counts.missed,
            counts.unresolved,
            sums.rests[0],
            sums.rests[1]
        );
        out.push('\n');
        out += &hanging("plan       ", &text, COLUMNS);
    }
    out += &terminal::marks(&Kept::of(recording).facts(entry, speeds));
    if !recording.blocks.is_empty() {
        out.push('\n');
    }
    for block in &recording.blocks {
        out += &of_block(block);
    }
    out.push('\n');
    out += &source(recording, trace_kept);
    out
}

/// The plans of the diary, a line each.
#[must_use]
pub fn plans(plans: &[Planned]) -> String {
    if plans.is_empty() {
        return "no plans\n".to_owned();
    }
    let line = |plan: &Planned| {
        let done = plan.done_by.map_or_else(
            || "to be done".to_owned(),
            |id| format!("done by entry {id}"),
        );
        let title = safe(plan.title.as_deref().unwrap_or_default());
        let text = format!(
            "{} {} {} {} {}",
            right(&plan.id.to_string(), 5),
            plan.date,
            left(&safe(&plan.athlete), ATHLETE),
            left(&done, 18),
            cut(&title, 30)
        );
        text.trim_end().to_owned() + "\n"
    };
    plans.iter().map(line).collect()
}

/// The match days of the diary, a line each.
#[must_use]
pub fn match_days(days: &[MatchDay]) -> String {
    if days.is_empty() {
        return "no match days\n".to_owned();
    }
    let line = |day: &MatchDay| {
        let who = day
            .athlete
            .as_deref()
            .map_or_else(|| "everybody".to_owned(), safe);
        let label = safe(day.label.as_deref().unwrap_or_default());
        let text = format!("{} {} {}", day.date, left(&who, ATHLETE), cut(&label, 50));
        text.trim_end().to_owned() + "\n"
    };
    days.iter().map(line).collect()
}

fn of_block(block: &Block) -> String {
    let name = block
        .review
        .name
        .as_deref()
        .map(|n| format!(" \"{}\"", safe(n)));
    let mut out = format!(
        "{} {}{}{}: {}\n",
        right(&block.review.index.to_string(), 3),
        block.review.category.word(),
        name.unwrap_or_default(),
        if block.review.with_ball {
            ", with ball"
        } else {
            ""
        },
        words::block_verdict(block.review.verdict)
    );
    // Neighbours with one story share a line.
    let alike =
        |a: &Rep, b: &Rep| (a.set, a.review.verdict, &a.why) == (b.set, b.review.verdict, &b.why);
    for run in block.reps.chunk_by(alike) {
        let (Some(first), Some(last)) = (run.first(), run.last()) else {
            continue;
        };
        if first.review.verdict == Verdict::Done {
            continue;
        }
        let why = first.why.as_deref().map(|why| format!(" ({})", safe(why)));
        let reps = if run.len() == 1 {
            format!("rep {}", first.review.index)
        } else {
            format!("reps {} to {}", first.review.index, last.review.index)
        };
        out += &hanging(
            &format!("    set {} {reps}: ", first.set),
            &format!(
                "{}{}",
                words::verdict(first.review.verdict),
                why.unwrap_or_default()
            ),
            COLUMNS,
        );
    }
    let spoiled = |rest: &&Rest| {
        use crate::review::RestVerdict::{Long, Short};
        matches!(rest.verdict, Some(Long | Short))
    };
    for rest in block.rests.iter().filter(spoiled) {
        let after = rest
            .after_rep
            .map(|rep| format!(" rep {rep}"))
            .unwrap_or_default();
        let mut took = rest.rest_s.map_or_else(|| "?".to_owned(), clock);
        if let Some([low_s, high_s]) = rest.interval_s {
            let _ = write!(took, " ({} to {})", clock(low_s), clock(high_s));
        }
        let planned = rest.planned_s.map_or_else(|| "?".to_owned(), clock);
        let verdict = rest.verdict.map_or("", words::rest_verdict);
        let _ = writeln!(
            out,
            "    rest after set {}{after}: {took} of {planned}, {verdict}",
            rest.set
        );
    }
    out
}

/// The files of a recording: one a line where it is kept.
fn joined(paths: &str) -> String {
    let paths: Vec<String> = paths.lines().map(safe).collect();
    paths.join(" + ")
}

fn source(recording: &Recording, trace_kept: bool) -> String {
    let mut out = String::new();
    let source = &recording.source;
    let path = source
        .path
        .as_deref()
        .map_or_else(|| "standard input".to_owned(), joined);
    out += &hanging("from       ", &path, COLUMNS);
    let hash = source.sha256_text();
    let _ = writeln!(out, "SHA-256    {hash}");
    let reviewed = format!(
        "by repledger {}, settings {}; the recording itself is {}",
        safe(&recording.version),
        if recording.settings.is_empty() {
            "as they are without changes"
        } else {
            "with changes"
        },
        if trace_kept { "kept" } else { "not kept" }
    );
    out += &hanging("reviewed   ", &reviewed, COLUMNS);
    if let Some(device) = &recording.device {
        let known = format!(
            "{}; the diary judges it by its earlier recordings too, so a review of the file alone may differ by some metres and \
             hundredths",
            safe(device)
        );
        out += &hanging("device     ", &known, COLUMNS);
    }
    for line in recording.settings.lines() {
        let _ = writeln!(out, "           {}", safe(line));
    }
    out
}

fn minutes(seconds: f64) -> String {
    thousands((seconds / 60.0).round())
}

fn speed(speed: Measured, speeds: SpeedUnit) -> String {
    format!(
        "{} (95 %: {}), {}",
        speeds.text(speed.value, 2),
        speeds.ends(speed),
        speeds.other().text(speed.value, 2)
    )
}

/// What is known of everybody's heart.
#[must_use]
pub fn hearts(hearts: &[HeartOf]) -> String {
    if hearts.is_empty() {
        return "Nothing is known of anybody's heart: no recording has a heart rate.\n".to_owned();
    }
    let mut out = String::new();
    for heart in hearts {
        let recorded = heart.highest_bpm.map_or_else(
            || "no heart rate recorded".to_owned(),
            |bpm| format!("highest recorded {bpm:.0}"),
        );
        let told = match heart.numbers {
            None => "the highest rate is not known, so there is no load by heart rate; `diary athlete NAME --heart-max BPM` writes it down"
                .to_owned(),
            Some(numbers) => {
                let rest = numbers.rest_bpm.map_or_else(String::new, |rest| format!(", rest {rest:.0}"));
                let doubt = if heart.highest_bpm.is_some_and(|bpm| bpm > numbers.max_bpm) {
                    "; a recording lies above it: it is too low, or a sensor was wrong"
                } else {
                    ""
                };
                format!("highest {:.0}{rest}, load by {}{doubt}", numbers.max_bpm, words::heart_load(numbers.load))
            }
        };
        let name = day_words::athlete(&heart.athlete);
        out += &hanging("", &format!("{name}: {told}; {recorded}."), COLUMNS);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Category;
    use crate::review::{BlockReview, BlockVerdict, RepReview};

    #[test]
    fn neighbours_with_one_story_share_a_line() {
        let rep = |set, index, why: &str| Rep {
            set,
            why: (!why.is_empty()).then(|| why.to_owned()),
            review: RepReview::new(
                index,
                if why.is_empty() {
                    Verdict::Done
                } else {
                    Verdict::Missed
                },
            ),
        };
        let block = Block {
            review: BlockReview {
                index: 3,
                category: Category::Strength,
                name: None,
                with_ball: false,
                verdict: BlockVerdict::Short,
                start_s: None,
                end_s: None,
                reps_done: None,
                sets: Vec::new(),
            },
            reps: vec![
                rep(1, 1, ""),
                rep(1, 2, "a"),
                rep(1, 3, "a"),
                rep(1, 4, "b"),
                rep(2, 1, "b"),
            ],
            rests: Vec::new(),
            heart: None,
        };
        let told = of_block(&block);
        let lines: Vec<&str> = told.lines().skip(1).map(str::trim).collect();
        assert_eq!(
            lines,
            [
                "set 1 reps 2 to 3: missed (a)",
                "set 1 rep 4: missed (b)",
                "set 2 rep 1: missed (b)"
            ]
        );
    }
}
