//! Tables of scores, a row a receiver, inside 120 columns.

use repledger::simulation::{Kind, Mess};

use crate::score::{Found, Score};

pub fn of(scores: &[Score], kind: Kind) -> Vec<&Score> {
    scores.iter().filter(|s| s.kind == kind).collect()
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
pub fn motion(scores: &[Score], kinds: &[Kind]) {
    println!(
        "\nmotion        n fail | dist%  bias%   top%  bias%  peak  bias | sprint  clear  accel |   lag  s/session"
    );
    println!(
        "                     |                                RMSE   m/s |     F1     F1     F1 |     s"
    );
    for &kind in kinds {
        let rows = of(scores, kind);
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
            "{:<12}{:>4}{failed:>4} |{}{}{}{}{}{} |{}{}{} |{}{}",
            kind.word(),
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

/// Verdicts and times.
pub fn matching(scores: &[Score], kinds: &[Kind]) {
    println!(
        "\nmatching    resol- right  not done     rep   all right     ... of resolved | work   rest   peak"
    );
    println!(
        "              ved        rec.  prec.    F1  clean   all     clean   all   | MAE s  MAE s   RMSE"
    );
    for &kind in kinds {
        let rows = of(scores, kind);
        let total = |f: fn(&Score) -> usize| rows.iter().map(|s| f(s)).sum::<usize>();
        let not_done = sum(rows.iter().map(|s| s.not_done));
        let clean: Vec<&&Score> = rows.iter().filter(|s| s.mess == Mess::Clean).collect();
        let all = |f: fn(&Score) -> bool| share(rows.iter().filter(|s| f(s)).count(), rows.len());
        let cleans =
            |f: fn(&Score) -> bool| share(clean.iter().filter(|s| f(s)).count(), clean.len());
        println!(
            "{:<12}{}{}{}{}{}{}{} {}{}   |{}{}{}",
            kind.word(),
            &cell(share(total(|s| s.resolved), total(|s| s.planned)), 3)[1..],
            cell(share(total(|s| s.right), total(|s| s.resolved)), 3),
            &cell(share(not_done.hit, not_done.hit + not_done.missed), 3)[1..],
            cell(share(not_done.hit, not_done.hit + not_done.false_alarm), 3),
            cell(f1(sum(rows.iter().map(|s| s.reps))), 3),
            cell(cleans(|s| s.all_right), 2),
            cell(all(|s| s.all_right), 2),
            cell(cleans(|s| s.resolved_right), 2),
            cell(all(|s| s.resolved_right), 2),
            &cell(mean(rows.iter().flat_map(|s| s.work_errors.clone())), 2)[1..],
            cell(mean(rows.iter().flat_map(|s| s.rest_errors.clone())), 2),
            cell(
                rms(rows.iter().flat_map(|s| s.matched_peak_errors.clone())),
                3
            ),
        );
    }
}

/// Coverage and median width of the 95 % intervals.
pub fn intervals(scores: &[Score], kinds: &[Kind]) {
    let names = [
        "distance",
        "top",
        "rep peak",
        "rep distance",
        "work",
        "rest",
    ];
    println!("\nintervals  (share that holds the truth, median width)");
    print!("{:<12}", "");
    for name in names {
        print!("|{name:^15}");
    }
    println!();
    for &kind in kinds {
        print!("{:<12}", kind.word());
        for name in names {
            let all: Vec<_> = of(scores, kind)
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
        let seen = score.planned - score.resolved;
        println!(
            "{} seed {} {}: {} of {} wrong, {seen} unresolved, distance {:+.1} %, top speed {:+.1} %",
            score.kind.word(),
            score.seed,
            score.mess.word(),
            score.wrong.len(),
            score.planned,
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
