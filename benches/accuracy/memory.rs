//! What earlier recordings of a device are worth: the same session reviewed alone, and with nine earlier ones of its receiver.

use anyhow::Result;
use rayon::prelude::*;
use repledger::motion::Witness;
use repledger::session::{Session, account};
use repledger::settings::Settings;
use repledger::simulation::{Kind, Mess, Receiver, Simulated, session};

use crate::table::median;

/// Earlier sessions of a device.
const EARLIER: u64 = 9;
/// Athletes and sessions of a device: far from each other's numbers.
const APART: u64 = 1_000_003;

/// One session by what was known of its device.
#[derive(Clone, Copy)]
struct Outcome {
    /// Error of the filter's time constant: of the speed where there is one, else of the positions, s.
    lag_s: Option<f64>,
    /// Error of the top speed, % of it, whether the interval holds the truth, and its width, m/s.
    top: (f64, bool, f64),
}

/// A row a kind: errors alone, and with what earlier recordings show.
pub fn print(kinds: &[Kind], seeds: &[(u64, Mess)]) -> Result<()> {
    println!("device known by {EARLIER} earlier recordings   (alone / known)");
    println!(
        "             |  n |   lag RMSE s  |  top speed off %  |    bias %     |     held      | width m/s"
    );
    for &kind in kinds {
        let pairs: Vec<(Outcome, Outcome)> = seeds
            .par_iter()
            .map(|&(seed, mess)| of_device(seed, kind, mess))
            .collect::<Result<_>>()?;
        let (alone, known): (Vec<Outcome>, Vec<Outcome>) = pairs.into_iter().unzip();
        let both = |of: fn(&[Outcome]) -> f64, decimals: usize| {
            format!("{:.decimals$} / {:.decimals$}", of(&alone), of(&known))
        };
        println!(
            "{:12} | {:2} | {:13} | {:17} | {:13} | {:13} | {}",
            kind.word(),
            alone.len(),
            both(lag_rmse_s, 3),
            both(|all| mean(all, |o| o.top.0.abs()), 2),
            both(|all| mean(all, |o| o.top.0), 2),
            both(|all| mean(all, |o| f64::from(u8::from(o.top.1))), 3),
            both(|all| median(all.iter().map(|o| o.top.2).collect()), 2),
        );
    }
    Ok(())
}

fn of_device(seed: u64, kind: Kind, mess: Mess) -> Result<(Outcome, Outcome)> {
    let last = session(seed, kind, mess);
    let receiver = last.receiver.clone();
    let witnesses: Vec<Witness> = (1..=EARLIER)
        .map(|k| {
            let other = session(seed + k * APART, kind, mess);
            let recording = receiver.record(&other.truth, seed + k * APART);
            let reviewed = account(recording.trace(), None, &Settings::default())?;
            Ok(reviewed.motion.doubts.witness)
        })
        .collect::<Result<_>>()?;
    let review = |known: Vec<Witness>| {
        let mut settings = Settings::default();
        settings.motion.known = known;
        let reviewed = account(last.recording.trace(), None, &settings)?;
        Ok::<_, anyhow::Error>(outcome(&reviewed, &last, &receiver))
    };
    Ok((review(Vec::new())?, review(witnesses)?))
}

fn outcome(reviewed: &Session, made: &Simulated, receiver: &Receiver) -> Outcome {
    let device = reviewed.motion.doubts.device;
    let lag_s = device.and_then(|device| match (device.speed, device.position) {
        (Some(speed), _) => Some(speed.mean_s - receiver.speed_lag_s),
        (None, Some(position)) => Some(position.mean_s - receiver.low_pass_s),
        _ => None,
    });
    let truly = made.truth.top_speed_m_s;
    let top = reviewed.review.totals.top_speed_m_s;
    let top = top.map_or((f64::NAN, false, f64::NAN), |top| {
        (
            100.0 * (top.value / truly - 1.0),
            top.holds(truly),
            top.width(),
        )
    });
    Outcome { lag_s, top }
}

fn lag_rmse_s(all: &[Outcome]) -> f64 {
    let errors: Vec<f64> = all.iter().filter_map(|o| o.lag_s).collect();
    (errors.iter().map(|e| e * e).sum::<f64>() / errors.len() as f64).sqrt()
}

fn mean(all: &[Outcome], of: impl Fn(&Outcome) -> f64) -> f64 {
    all.iter().map(of).sum::<f64>() / all.len() as f64
}
