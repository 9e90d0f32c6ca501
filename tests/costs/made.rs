//! Sessions that grow in one way each.

use std::fmt::Write as _;

use repledger::trace::{self, Clock, Fix, Format, Position, Trace};

/// What grows from one size to the next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Growing {
    /// Fixes at 10 Hz, with runs and rests, and no plan.
    Fixes,
    /// Fixes with a silence of 15 s a minute.
    Gaps,
    /// Fixes of a steady run in small circles: a turn every few seconds and never a rest.
    Circles,
    /// Fixes all over the place, a microsecond apart.
    Scatter,
    /// Sets of eight reps at 1 Hz, all done.
    Sets,
    /// Reps of one set at 1 Hz, all done.
    Reps,
    /// Blocks of eight reps at 1 Hz, all done.
    Blocks,
    /// Reps that nobody did, in a recording that does not grow.
    Missed,
}

impl Growing {
    pub const ALL: [Self; 8] = [
        Self::Fixes,
        Self::Gaps,
        Self::Circles,
        Self::Scatter,
        Self::Sets,
        Self::Reps,
        Self::Blocks,
        Self::Missed,
    ];

    pub fn word(self) -> &'static str {
        match self {
            Self::Fixes => "fixes",
            Self::Gaps => "gaps",
            Self::Circles => "circles",
            Self::Scatter => "scatter",
            Self::Sets => "sets",
            Self::Reps => "reps",
            Self::Blocks => "blocks",
            Self::Missed => "missed",
        }
    }

    /// The smaller of the two sizes that are counted: enough that what does not grow is small beside what does.
    pub fn size(self) -> usize {
        match self {
            Self::Fixes | Self::Gaps | Self::Circles => 12_000,
            Self::Scatter => 4_000,
            // Twice as many take less than the 100 minutes from which on a session is read on a coarser grid. Of fewer the review keeps
            // all accounts that there are, and takes 3.4 times as much for 160 as for 80: too near to a square to be told from one.
            Self::Sets | Self::Reps | Self::Blocks => 160,
            Self::Missed => 80,
        }
    }

    /// The plan, where reps grow.
    pub fn plan(self, size: usize) -> Option<String> {
        let sets = size / REPS_A_SET;
        match self {
            Self::Fixes | Self::Gaps | Self::Circles | Self::Scatter => None,
            Self::Sets => Some(format!(
                "resistance {sets} x {REPS_A_SET} x 6 s, rest {REST_S} s, {SET_REST_S} s between sets\n"
            )),
            Self::Reps => Some(format!("resistance {size} x 6 s, rest {REST_S} s\n")),
            Self::Blocks => Some(
                format!("resistance {REPS_A_SET} x 6 s, rest {REST_S} s, then {SET_REST_S} s\n")
                    .repeat(sets),
            ),
            Self::Missed => Some(format!("speed {size} x 300 m, rest {REST_S} s\n")),
        }
    }

    /// Time, place and speed of each fix.
    pub fn fixes(self, size: usize) -> Vec<(f64, [f64; 2], f64)> {
        match self {
            Self::Fixes => run_and_rest(size, 10.0, usize::MAX),
            Self::Gaps => {
                let mut fixes = run_and_rest(size * 4 / 3, 10.0, usize::MAX);
                fixes.retain(|fix| fix.0 % 60.0 >= 15.0);
                fixes
            }
            Self::Circles => circles(size),
            Self::Scatter => scatter(size),
            Self::Sets | Self::Blocks => {
                run_and_rest((size + size / REPS_A_SET) * EVERY_S, 1.0, REPS_A_SET)
            }
            Self::Reps => run_and_rest(size * EVERY_S, 1.0, usize::MAX),
            Self::Missed => run_and_rest(600, 1.0, usize::MAX),
        }
    }
}

const REPS_A_SET: usize = 8;
/// From one start to the next, s, and what of it is rest, within a set and between sets. What is counted here is counted slowly: seconds
/// in which nothing happens are kept few.
const EVERY_S: usize = 16;
const REST_S: usize = EVERY_S - 6;
const SET_REST_S: usize = REST_S + EVERY_S;

/// Every so often a run of 6 s up to 7.5 m/s and back, walking between; after each set as long again.
fn run_and_rest(count: usize, hz: f64, reps_a_set: usize) -> Vec<(f64, [f64; 2], f64)> {
    let every_s = EVERY_S as f64;
    let mut x_m = 0.0;
    (0..count)
        .map(|k| {
            let time_s = k as f64 / hz;
            let since_s = time_s - 12.0;
            let (rep, into_s) = if reps_a_set == usize::MAX {
                ((since_s / every_s).floor(), since_s.rem_euclid(every_s))
            } else {
                let set_s = every_s * (reps_a_set + 1) as f64;
                let in_set_s = since_s.rem_euclid(set_s);
                if in_set_s >= set_s - every_s {
                    (0.0, every_s - 1.0)
                } else {
                    ((in_set_s / every_s).floor(), in_set_s % every_s)
                }
            };
            let running = if since_s < 0.0 {
                0.0
            } else if into_s < 6.0 {
                7.5 * (1.0 - (-into_s).exp())
            } else {
                7.5 - 4.0 * (into_s - 6.0)
            };
            let speed_m_s = f64::max(running, 0.3);
            x_m += if rep as i64 % 2 == 0 {
                speed_m_s
            } else {
                -speed_m_s
            } / hz;
            (time_s, [x_m + wobble(k), wobble(k + 5)], speed_m_s)
        })
        .collect()
}

fn circles(count: usize) -> Vec<(f64, [f64; 2], f64)> {
    (0..count)
        .map(|k| {
            let time_s = k as f64 / 10.0;
            // 3 m/s around a circle of 2 m.
            let (sin, cos) = (1.5 * time_s).sin_cos();
            (
                time_s,
                [2.0 * cos + wobble(k), 2.0 * sin + wobble(k + 5)],
                3.0,
            )
        })
        .collect()
}

fn scatter(count: usize) -> Vec<(f64, [f64; 2], f64)> {
    (0..count)
        .map(|k| {
            let thrown = |k: usize| 40.0 * ((k * 7919) % 1009) as f64 / 1009.0;
            (k as f64 * 1e-6, [thrown(k), thrown(k + 400)], 3.0)
        })
        .collect()
}

/// A centimetre or two of noise without chance, so that every run counts the same.
fn wobble(k: usize) -> f64 {
    0.02 * ((k * 7919) % 101) as f64 / 101.0
}

fn degrees([x_m, y_m]: [f64; 2]) -> [f64; 2] {
    [50.0 + y_m / 111_229.0, 8.0 + x_m / 71_696.0]
}

pub fn trace(fixes: &[(f64, [f64; 2], f64)]) -> Trace {
    let fixes = fixes
        .iter()
        .zip(2..)
        .map(|(&(time_s, place, speed_m_s), line)| {
            let [latitude_deg, longitude_deg] = degrees(place);
            Fix {
                time_s,
                position: Some(Position::Geodetic {
                    latitude_deg,
                    longitude_deg,
                }),
                speed_m_s: Some(speed_m_s),
                line,
                ..Fix::default()
            }
        })
        .collect();
    Trace::new(
        fixes,
        Clock::Utc(jiff::Timestamp::UNIX_EPOCH),
        Format::Csv { delimiter: ',' },
    )
}

pub fn gpx(trace: &Trace) -> Result<Vec<u8>, String> {
    trace::gpx::write(trace).map_err(|error| error.to_string())
}

pub fn csv(fixes: &[(f64, [f64; 2], f64)]) -> String {
    let mut text = String::from("time (s),lat,lon,speed (m/s)\n");
    for &(time_s, place, speed_m_s) in fixes {
        let [lat, lon] = degrees(place);
        let _ = writeln!(text, "{time_s:.6},{lat:.7},{lon:.7},{speed_m_s:.3}");
    }
    text
}
