//! How often the intervals of sprints' curves hold the truth, and what follows from them: force, speed and power.

use rayon::prelude::*;
use repledger::measured::Measured;
use repledger::profile::{Body, force_velocity};
use repledger::session;
use repledger::settings::Settings;
use repledger::simulation::{Kind, Receiver, Rng, all_out};

/// What is looked at.
const QUANTITIES: [&str; 6] = ["vmax", "tau", "20 m", "F0", "V0", "Pmax"];
const BODY: Body = Body {
    mass_kg: 75.0,
    height_m: 1.8,
    temperature_c: 20.0,
    pressure_mmhg: 760.0,
};

/// Errors of one quantity, each in half-widths of its own interval on its side, with the error and the width as shares of
/// the truth.
#[derive(Clone, Default)]
struct Errors(Vec<[f64; 3]>);

impl Errors {
    fn take(&mut self, told: Measured, truly: f64) {
        let half = if truly > told.value {
            told.high - told.value
        } else {
            told.value - told.low
        };
        let off = told.value - truly;
        let (share, width) = (off / truly, told.width() / truly);
        self.0.push([(off / half).abs(), share, width]);
    }

    /// The share of intervals that hold the truth when all are this many times as wide.
    fn held(&self, times: f64) -> f64 {
        self.0.iter().filter(|e| e[0] <= times).count() as f64 / self.0.len() as f64
    }

    fn mean(&self, of: impl Fn(&[f64; 3]) -> f64) -> f64 {
        self.0.iter().map(of).sum::<f64>() / self.0.len() as f64
    }
}

/// Two tables as Markdown, a row a kind: receivers as their kind mostly is, and with filters and losses drawn wide. Of each quantity
/// the share held, and the share held if all intervals were as wide as those of all other kinds should be: what to expect
/// of a kind that nobody has seen.
pub fn print(kinds: &[Kind], seeds: &[u64]) {
    for (name, wide) in [("as sold", false), ("drawn wide", true)] {
        let rows: Vec<(Kind, usize, Vec<Errors>)> = kinds
            .iter()
            .map(|&kind| {
                let all: Vec<Vec<[(Measured, f64); 6]>> = (seeds.par_iter())
                    .map(|&seed| of_session(seed, kind, wide))
                    .collect();
                let mut errors = vec![Errors::default(); QUANTITIES.len()];
                for sprint in all.iter().flatten() {
                    for (errors, (told, truly)) in errors.iter_mut().zip(sprint) {
                        errors.take(*told, *truly);
                    }
                }
                (kind, all.iter().map(Vec::len).sum(), errors)
            })
            .filter(|row: &(Kind, usize, Vec<Errors>)| row.1 > 0)
            .collect();
        println!(
            "{name}: held, of a kind never seen, bias, width, of {} sessions of six sprints\n",
            seeds.len()
        );
        print!("| receiver | fitted |");
        for quantity in QUANTITIES {
            print!(" {quantity} |");
        }
        println!("\n|{}", " --- |".repeat(QUANTITIES.len() + 2));
        for (kind, fitted, errors) in &rows {
            print!("| {} | {fitted} |", kind.word());
            for (k, own) in errors.iter().enumerate() {
                let others = rows.iter().filter(|row| row.0 != *kind);
                let times = factor(others.flat_map(|row| row.2[k].0.iter().map(|e| e[0])));
                print!(
                    " {:.2}, {:.2}, {:+.1} %, {:.0} % |",
                    own.held(1.0),
                    own.held(times),
                    100.0 * own.mean(|e| e[1]),
                    100.0 * own.mean(|e| e[2])
                );
            }
            println!();
        }
        println!();
    }
}

/// How many times as wide intervals must be for 95 % to hold their truth.
fn factor(errors: impl Iterator<Item = f64>) -> f64 {
    let mut errors: Vec<f64> = errors.collect();
    errors.sort_by(f64::total_cmp);
    let at = (0.95 * errors.len() as f64) as usize;
    let last = errors.len().saturating_sub(1);
    errors.get(at.min(last)).copied().unwrap_or(1.0)
}

/// What was told of each fitted sprint, beside what is true.
fn of_session(seed: u64, kind: Kind, wide: bool) -> Vec<[(Measured, f64); 6]> {
    let (truth, curves) = all_out(seed);
    let mut rng = Rng::stream(seed, 23);
    let receiver = if wide {
        Receiver::random(kind, &mut rng)
    } else {
        Receiver::plain(kind, &mut rng)
    };
    let mut settings = Settings::default();
    settings.profile.mass_kg = Some(BODY.mass_kg);
    settings.profile.height_m = Some(BODY.height_m);
    let trace = receiver.record(&truth, seed).trace();
    let Ok(session) = session::account(trace, None, &settings) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for sprint in &session.profile.sprints {
        let near = curves.iter().min_by(|a, b| {
            let off_s = |start_s: f64| (start_s - sprint.start_s).abs();
            off_s(a.0).total_cmp(&off_s(b.0))
        });
        let (Some((_, curve)), Ok(fit)) = (near, &sprint.fit) else {
            continue;
        };
        let (Some(told), Some(twenty)) = (fit.power, fit.splits.get(2)) else {
            continue;
        };
        let truly = force_velocity(*curve, BODY);
        all.push([
            (fit.vmax_m_s, curve.vmax_m_s),
            (fit.tau_s, curve.tau_s),
            (twenty.time_s, curve.time_s(20.0)),
            (told.force_n_kg, truly.force_n_kg),
            (told.velocity_m_s, truly.velocity_m_s),
            (told.power_w_kg, truly.power_w_kg),
        ]);
    }
    all
}
