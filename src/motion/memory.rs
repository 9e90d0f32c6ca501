//! What one recording shows of its device, and what earlier recordings of the same device add to it.
//!
//! One session tells a filter's time constant to half a second or so; ten sessions of the same watch tell it far closer. What a
//! session shows is kept without what was believed before it, as log-weights of the time constants, so that what several show
//! adds up.
//!
//! Sessions of one device are no independent witnesses: the same player, the same kind of session, and what the model gets wrong
//! it gets wrong each time. And a device may have got another firmware, or lent its name to another. So that n earlier
//! recordings count as n / (1 + rho n), and are believed with nine parts of ten.

use crate::motion::device::COUNT;

/// Correlation of what two recordings of a device get wrong.
const ALIKE: f64 = 0.3;
/// How far earlier recordings are believed to be of a device that does the same.
const SAME: f64 = 0.9;
/// Rates of one device differ by no more than this factor.
const RATE: f64 = 1.2;
/// Log-weights never count below this: what one recording excludes, others may know better.
const LEAST_LOG: f64 = -30.0;

/// What one recording shows of the device that made it, apart from what was believed before; `None` where it shows nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Witness {
    /// Fixes a second.
    pub rate_hz: f64,
    /// Log-weight of each time constant of the filter of positions, the best 0.
    pub position: Option<[f64; COUNT]>,
    /// The same of the speed.
    pub speed: Option<[f64; COUNT]>,
    /// How much later the speed is than that of the positions, s at a fix a second.
    pub apart_s: Option<f64>,
    /// How late a fast receiver's speed is, s.
    pub lag_s: Option<f64>,
    /// Noise of the speed along one axis, m/s.
    pub speed_noise_m_s: Option<f64>,
    /// The way of the positions as a share of that of the speed.
    pub agreement: Option<f64>,
}

impl Witness {
    /// What tells of receivers of that rate.
    pub(super) fn of_rate(all: &[Self], rate_hz: f64) -> Vec<&Self> {
        let like = |w: &&Self| (1.0 / RATE..=RATE).contains(&(w.rate_hz / rate_hz));
        all.iter().filter(like).collect()
    }
}

/// Log-weights with the best at 0, as they are kept.
pub(super) fn best_at_zero(logs: [f64; COUNT]) -> [f64; COUNT] {
    let most = logs.into_iter().fold(f64::NEG_INFINITY, f64::max);
    logs.map(|log| (log - most).max(LEAST_LOG))
}

/// How much each of n earlier recordings counts.
pub(super) fn each_of(n: usize) -> f64 {
    1.0 / (1.0 + ALIKE * n as f64)
}

/// What is believed before a recording is looked at: `base` by what earlier ones showed, and, in case the device is no more
/// the same, `base` itself. Both are distributions up to a factor; `shown` are log-weights.
pub(super) fn believed(base: &[f64], shown: &[f64]) -> Vec<f64> {
    let most = shown.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let told: Vec<f64> = base
        .iter()
        .zip(shown)
        .map(|(base, log)| base * (log - most).exp())
        .collect();
    let (of_told, of_base): (f64, f64) = (told.iter().sum(), base.iter().sum());
    told.iter()
        .zip(base)
        .map(|(told, base)| SAME * told / of_told + (1.0 - SAME) * base / of_base)
        .collect()
}

/// The mean of what is known, with what this recording shows as one more; `None` where nobody knows.
pub(super) fn mean(own: Option<f64>, others: impl Iterator<Item = Option<f64>>) -> Option<f64> {
    let (sum, n) = std::iter::once(own)
        .chain(others)
        .flatten()
        .fold((0.0, 0.0), |(sum, n), value| (sum + value, n + 1.0));
    (n > 0.0).then(|| sum / n)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two time constants, even before: each of three recordings is four times as likely with the first. They count as
    /// 3 / 1.9, so 4^(3/1.9) = 8.926 to 1: .8993 of nine parts of ten, and one half of the tenth.
    #[test]
    fn recordings_add_up_but_not_as_if_they_were_independent() {
        let shown = 3.0 * each_of(3) * 4.0_f64.ln();
        let believed = believed(&[1.0, 1.0], &[shown, 0.0]);
        assert!(
            (believed[0] - (0.9 * 0.8993 + 0.05)).abs() < 1e-4,
            "{believed:?}"
        );
        assert!((believed.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn however_sure_earlier_recordings_are_another_device_is_not_excluded() {
        let believed = believed(&[0.5, 0.5], &[0.0, -1000.0]);
        assert!((believed[1] - 0.05).abs() < 1e-12);
    }

    #[test]
    fn recordings_of_another_rate_tell_nothing() {
        let of = |rate_hz| Witness {
            rate_hz,
            ..Witness::default()
        };
        let all = [of(1.0), of(0.99), of(10.0)];
        assert_eq!(Witness::of_rate(&all, 1.0).len(), 2);
        assert_eq!(Witness::of_rate(&all, 10.0), [&all[2]]);
    }

    #[test]
    fn a_mean_takes_what_is_known() {
        assert_eq!(mean(None, [None].into_iter()), None);
        assert_eq!(mean(Some(1.0), [None, Some(3.0)].into_iter()), Some(2.0));
        assert_eq!(mean(None, [Some(3.0)].into_iter()), Some(3.0));
    }
}
