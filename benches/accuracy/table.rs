//! Tables of scores, a row a receiver, inside 120 columns.

use repledger::measured::Measured;
use repledger::simulation::Mess;
use repledger::simulation::score::Tally;

use crate::score::{Found, Said, Score};

/// The row of all groups together.
pub const ALL: &str = "all";

/// The scores of a group, or all of them.
pub fn of<'a>(scores: &'a [Score], group: &str) -> Vec<&'a Score> {
    (scores.iter())
        .filter(|s| group == ALL || s.group == group)
        .collect()
}

/// The groups in the order of the scores, and all together where there are several.
pub fn groups(scores: &[Score]) -> Vec<&str> {
    let mut groups: Vec<&str> = Vec::new();
    for score in scores {
        if !groups.contains(&score.group.as_str()) {
            groups.push(&score.group);
        }
    }
    if groups.len() > 1 {
        groups.push(ALL);
    }
    groups
}

/// Columns of the name of the longest group.
fn names(groups: &[&str]) -> usize {
    groups.iter().map(|g| g.len()).max().unwrap_or(0).max(9)
}

fn mean(values: impl IntoIterator<Item = f64>) -> f64 {
    let (mut sum, mut n) = (0.0, 0.0_f64);
    for value in values {
        sum += value;
        n += 1.0;
    }
    sum / n
}

pub fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

fn rms(values: impl IntoIterator<Item = f64>) -> f64 {
    mean(values.into_iter().map(|v| v * v)).sqrt()
}

pub fn share(hit: usize, of: usize) -> f64 {
    if of == 0 {
        f64::NAN
    } else {
        hit as f64 / of as f64
    }
}

fn sum(parts: impl Iterator<Item = Found>) -> Found {
    parts.fold(Found::default(), |a, b| Found {
        hit: a.hit + b.hit,
        missed: a.missed + b.missed,
        false_alarm: a.false_alarm + b.false_alarm,
    })
}

fn f1(found: Found) -> f64 {
    share(
        2 * found.hit,
        2 * found.hit + found.missed + found.false_alarm,
    )
}

/// A number in six columns; a dash where there is none.
fn cell(value: f64, decimals: usize) -> String {
    if value.is_finite() {
        format!("{value:>7.decimals$}")
    } else {
        format!("{:>7}", "-")
    }
}

/// Distance, speed and efforts.
pub fn motion(scores: &[Score], groups: &[&str]) {
    let name = names(groups);
    println!(
        "\n{:<name$}   n fail | dist%  bias%   top%  bias%  peak  bias | sprint  clear  accel |   lag  s/session",
        "motion"
    );
    println!(
        "{:<name$}          |                                RMSE   m/s |     F1     F1     F1 |     s",
        ""
    );
    for &group in groups {
        let rows = of(scores, group);
        let failed = rows.iter().filter(|s| s.failure.is_some()).count();
        let distance: Vec<f64> = rows.iter().filter_map(|s| s.distance_error).collect();
        let top: Vec<f64> = rows.iter().filter_map(|s| s.top_speed_error).collect();
        let peaks: Vec<f64> = rows.iter().flat_map(|s| s.peak_errors.clone()).collect();
        let accelerations = if rows.iter().any(|s| s.accelerations_counted) {
            f1(sum(rows.iter().map(|s| s.accelerations)))
        } else {
            f64::NAN
        };
        println!(
            "{group:<name$}{:>4}{failed:>5} |{}{}{}{}{}{} |{}{}{} |{}{}",
            rows.len(),
            &cell(mean(distance.iter().map(|e| e.abs())), 2)[1..],
            cell(mean(distance.iter().copied()), 2),
            cell(mean(top.iter().map(|e| e.abs())), 2),
            cell(mean(top.iter().copied()), 2),
            cell(rms(peaks.iter().copied()), 3),
            cell(mean(peaks.iter().copied()), 2),
            cell(f1(sum(rows.iter().map(|s| s.sprints))), 3),
            cell(f1(sum(rows.iter().map(|s| s.clear_sprints))), 3),
            cell(accelerations, 3),
            cell(mean(rows.iter().map(|s| s.lag_s)), 2),
            cell(mean(rows.iter().map(|s| s.seconds)), 3),
        );
    }
}

/// How many sprints there were and were said, each with its probability, and in how many sessions the interval held the number.
pub fn counts(scores: &[Score], groups: &[&str]) {
    let name = names(groups);
    println!(
        "\n{:<name$}  truly    said   held  width  (sprints: the sum of probabilities, intervals of a session)",
        "counts"
    );
    for &group in groups {
        let rows = of(scores, group);
        let all: Vec<_> = rows.iter().filter_map(|s| s.sprint_count).collect();
        let truly: usize = all.iter().map(|(n, _)| n).sum();
        let said: f64 = all.iter().map(|(_, said)| said.value).sum();
        let held = |(n, said): &&(usize, Measured)| said.holds(*n as f64);
        println!(
            "{group:<name$}{truly:>7} {said:>7.1}{}{}",
            cell(share(all.iter().filter(held).count(), all.len()), 2),
            cell(mean(all.iter().map(|(_, said)| said.width())), 1),
        );
    }
}

/// Verdicts and times.
pub fn matching(scores: &[Score], groups: &[&str]) {
    let name = names(groups);
    println!(
        "\n{:<name$}resol- right accused    not done     rep    all right  coll- | work   bout   rest   peak",
        "matching"
    );
    println!(
        "{:<name$}   ved                 rec.  prec.     F1  clean    all apsed | MAE s  MAE s  MAE s   RMSE",
        ""
    );
    for &group in groups {
        let mut rows = of(scores, group);
        rows.retain(|s| s.planned);
        if rows.is_empty() {
            continue;
        }
        let total = sum_tallies(&rows);
        let clean: Vec<&&Score> = (rows.iter())
            .filter(|s| s.mess == Some(Mess::Clean))
            .collect();
        let of_all =
            |f: fn(&Score) -> bool| share(rows.iter().filter(|s| f(s)).count(), rows.len());
        let cleans = share(clean.iter().filter(|s| s.all_right).count(), clean.len());
        println!(
            "{group:<name$}{}{} {} {}{}{}{}{}{} |{}{}{}{}",
            &cell(share(total.resolved, total.planned), 3)[1..],
            &cell(share(total.right, total.resolved), 3)[1..],
            cell(share(total.accused, total.done), 3),
            cell(share(total.not_done_right, total.not_done), 3),
            cell(share(total.named_right, total.named), 3),
            cell(f1(sum(rows.iter().map(|s| s.reps))), 3),
            cell(cleans, 2),
            cell(of_all(|s| s.all_right), 2),
            &cell(of_all(|s| s.tally.collapsed()), 2)[1..],
            &cell(mean(rows.iter().flat_map(|s| s.work_errors.clone())), 2)[1..],
            cell(mean(rows.iter().flat_map(|s| s.bout_errors.clone())), 2),
            cell(mean(rows.iter().flat_map(|s| s.rest_errors.clone())), 2),
            cell(
                rms(rows.iter().flat_map(|s| s.matched_peak_errors.clone())),
                3
            ),
        );
    }
}

fn sum_tallies(rows: &[&Score]) -> Tally {
    rows.iter().fold(Tally::default(), |sum, s| sum + s.tally)
}

/// Probabilities said of verdicts, from and below.
const SAID: [(f64, f64); 6] = [
    (0.0, 0.5),
    (0.5, 0.6),
    (0.6, 0.7),
    (0.7, 0.8),
    (0.8, 0.9),
    (0.9, 1.01),
];

/// How often verdicts were right by the probability said of them: all, and those of missed, short and slow alone.
pub fn probabilities(scores: &[Score]) {
    println!(
        "\nprobability    said    said  right | not done:  said    said  right | (n, mean of what was said, share right)"
    );
    let said: Vec<Said> = scores.iter().flat_map(|s| s.said.clone()).collect();
    let row = |from: f64, below: f64, only_not_done: bool| {
        let some: Vec<Said> = (said.iter().copied())
            .filter(|s| from <= s.probability && s.probability < below)
            .filter(|s| !only_not_done || !s.done)
            .collect();
        format!(
            "{:>8} {} {}",
            some.len(),
            cell(mean(some.iter().map(|s| s.probability)), 3),
            &cell(
                share(some.iter().filter(|s| s.right).count(), some.len()),
                3
            )[1..]
        )
    };
    for (from, below) in SAID {
        println!(
            "{from:.1} to {:.1} {} |         {} |",
            below.min(1.0),
            row(from, below, false),
            row(from, below, true)
        );
    }
    let (all, not_done) = (row(0.0, 1.01, false), row(0.0, 1.01, true));
    println!("any        {all} |         {not_done} |");
}

/// Coverage and median width of the 95 % intervals.
pub fn intervals(scores: &[Score], groups: &[&str]) {
    let names = [
        "distance",
        "top",
        "rep peak",
        "rep distance",
        "work",
        "rest",
    ];
    let wide = self::names(groups);
    println!("\nintervals  (share that holds the truth, median width)");
    print!("{:<wide$} ", "");
    for name in names {
        print!("|{name:^15}");
    }
    println!();
    for &group in groups {
        print!("{group:<wide$} ");
        for name in names {
            let all: Vec<_> = of(scores, group)
                .iter()
                .filter_map(|s| s.covered.get(name).cloned())
                .flatten()
                .collect();
            let held = share(all.iter().filter(|c| c.holds).count(), all.len());
            let width = median(all.iter().map(|c| c.width).collect());
            print!("|{}{} ", cell(held, 3), cell(width, 2));
        }
        println!();
    }
}

/// The sessions with most reps wrong.
pub fn worst(scores: &[Score]) {
    let mut order: Vec<&Score> = scores.iter().collect();
    order.sort_by_key(|s| std::cmp::Reverse((s.failure.is_some(), s.wrong.len())));
    println!();
    for score in order
        .iter()
        .take(15)
        .filter(|s| s.failure.is_some() || !s.wrong.is_empty())
    {
        println!(
            "{} {} {}: {} of {} wrong, {} unresolved, distance {:+.1} %, top speed {:+.1} %",
            score.group,
            score.name,
            score.mess.map_or("", Mess::word),
            score.tally.wrong(),
            score.tally.planned,
            score.tally.planned - score.tally.resolved,
            score.distance_error.unwrap_or(f64::NAN),
            score.top_speed_error.unwrap_or(f64::NAN),
        );
        if let Some(failure) = &score.failure {
            println!("  failed: {failure}");
        }
        for wrong in score.wrong.iter().take(12) {
            println!("  {wrong}");
        }
        println!("  departures: {}", score.departures);
    }
}
