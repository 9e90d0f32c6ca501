//! Load by heart rate. It stands beside RPE x minutes and is never mixed into it.

use crate::diary::{CLASS_BPM, Heart, HeartLoad};

/// The two numbers by which a high heart rate weighs more than a low one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Banister {
    /// Factor.
    pub b: f64,
    /// Exponent.
    pub c: f64,
}

impl Banister {
    /// For men.
    pub const MEN: Self = Self { b: 0.64, c: 1.92 };
    /// For women.
    pub const WOMEN: Self = Self { b: 0.86, c: 1.67 };
}

/// Load by heart rate: minutes, weighted by how far the heart rate lay between rest and maximum.
///
/// # Formula
/// T x b e^(c x), with x = (HR - rest) / (max - rest).
///
/// # Units
/// `duration_s` in s; heart rates in beats a minute. `None` where the maximum is not above rest, the rate below rest or above
/// the maximum, or a number is not finite: a wrong maximum shows itself so.
///
/// # Examples
/// ```
/// use repledger::progress::{Banister, banister};
///
/// let load = banister(3600.0, 150.0, 50.0, 185.0, Banister::MEN);
/// assert!(load.is_some_and(|load| (load - 117.94).abs() < 0.005));
/// ```
///
/// # References
/// Morton, Fitz-Clarke, Banister (1990), J Appl Physiol 69:1171.
#[must_use]
pub fn banister(duration_s: f64, rate: f64, rest: f64, max: f64, weight: Banister) -> Option<f64> {
    let x = (rate - rest) / (max - rest);
    (rest < max && (0.0..=1.0).contains(&x) && duration_s >= 0.0 && duration_s.is_finite())
        .then(|| duration_s / 60.0 * x * weight.b * (weight.c * x).exp())
}

/// Load by zones of heart rate: the minutes in 50-60, 60-70, 70-80, 80-90 and 90-100 % of the maximum times 1 to 5.
///
/// # Units
/// `zones_s` in s; the load is in weighted minutes.
///
/// # References
/// Edwards (1993), The heart rate monitor book.
#[must_use]
fn edwards(zones_s: [f64; 5]) -> f64 {
    zones_s
        .iter()
        .zip(1..)
        .map(|(time_s, weight)| time_s / 60.0 * f64::from(weight))
        .sum()
}

/// The load of a recording by its athlete's numbers; `None` where they are not known, or the rate at rest that Banister's needs.
///
/// # Definition
/// Of time in classes of five beats: a class that an edge of two zones cuts is shared out in proportion, and Banister's weight is taken in
/// the middle of each class, so that the load is the sum over the session and not that of its mean, which lies below it. Rates
/// above the highest count as the highest, those below rest as rest.
#[must_use]
pub(crate) fn heart_load(heart: &Heart) -> Option<f64> {
    let numbers = heart.numbers?;
    let max = numbers.max_bpm;
    let weight = match numbers.load {
        HeartLoad::Edwards => {
            let mut zones_s = [0.0; 5];
            for (zone, time_s) in zones_s.iter_mut().zip(zones_s_of(heart, max)) {
                *zone = time_s;
            }
            return Some(edwards(zones_s));
        }
        HeartLoad::BanisterMen => Banister::MEN,
        HeartLoad::BanisterWomen => Banister::WOMEN,
    };
    let rest = numbers.rest_bpm?;
    let of = |(from, time_s): &(u16, f64)| {
        let rate = (f64::from(*from) + f64::from(CLASS_BPM) / 2.0).clamp(rest, max);
        banister(*time_s, rate, rest, max, weight)
    };
    heart.classes_s.iter().map(of).sum()
}

/// Time in 50-60, 60-70, 70-80, 80-90 and 90-100 % of the highest rate, s; what lies above counts as the last.
fn zones_s_of(heart: &Heart, max_bpm: f64) -> [f64; 5] {
    let width = f64::from(CLASS_BPM);
    let mut zones = [0.0; 5];
    for &(from, time_s) in &heart.classes_s {
        let from = f64::from(from);
        for (zone, lower) in zones.iter_mut().zip([0.5, 0.6, 0.7, 0.8, 0.9]) {
            let upper = if lower > 0.85 {
                f64::INFINITY
            } else {
                (lower + 0.1) * max_bpm
            };
            let shared = (from + width).min(upper) - from.max(lower * max_bpm);
            *zone += time_s * (shared / width).clamp(0.0, 1.0);
        }
    }
    zones
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked out from the formula of Morton et al. (1990).
    #[test]
    fn the_formula_gives_its_numbers() {
        for (minutes, rate, rest, max, men, women) in [
            (60.0, 150.0, 50.0, 185.0, 117.94, Some(131.69)),
            (60.0, 160.0, 50.0, 200.0, 115.11, Some(128.77)),
            (30.0, 130.0, 60.0, 200.0, 25.07, None),
        ] {
            let load = |weight| banister(minutes * 60.0, rate, rest, max, weight).unwrap_or(0.0);
            assert!((load(Banister::MEN) - men).abs() < 5e-3);
            if let Some(women) = women {
                assert!((load(Banister::WOMEN) - women).abs() < 5e-3);
            }
        }
    }

    #[test]
    fn rates_outside_rest_and_maximum_have_no_load() {
        for (rate, rest, max) in [
            (190.0, 50.0, 185.0),
            (45.0, 50.0, 185.0),
            (60.0, 60.0, 60.0),
            (f64::NAN, 50.0, 180.0),
        ] {
            assert_eq!(banister(60.0, rate, rest, max, Banister::MEN), None);
        }
    }

    fn heart(classes_s: &[(u16, f64)], rest_bpm: Option<f64>, load: HeartLoad) -> Heart {
        Heart {
            classes_s: classes_s.to_vec(),
            mean_bpm: 150.0,
            highest_bpm: 190.0,
            numbers: Some(crate::diary::HeartNumbers {
                max_bpm: 200.0,
                rest_bpm,
                load,
            }),
        }
    }

    #[test]
    fn classes_are_shared_out_over_the_zones() {
        // Of 200: ten minutes at 100-105 weigh 1, at 195-200 weigh 5; ten at 95-100 are below all zones.
        let load = |classes: &[(u16, f64)]| heart_load(&heart(classes, None, HeartLoad::Edwards));
        assert_eq!(load(&[(95, 600.0), (100, 600.0), (195, 600.0)]), Some(60.0));
        // The highest of 190 puts an edge at 95, 114, 133 ...: a class from 110 has 4 of 5 beats below it.
        let mut cut = heart(&[(110, 600.0)], None, HeartLoad::Edwards);
        if let Some(numbers) = &mut cut.numbers {
            numbers.max_bpm = 190.0;
        }
        assert!(heart_load(&cut).is_some_and(|load| (load - (8.0 + 2.0 * 2.0)).abs() < 1e-9));
    }

    #[test]
    fn banister_needs_the_rate_at_rest_and_takes_each_class() {
        let classes = [(140, 1800.0), (180, 1800.0)];
        assert_eq!(
            heart_load(&heart(&classes, None, HeartLoad::BanisterMen)),
            None
        );
        let found = heart_load(&heart(&classes, Some(60.0), HeartLoad::BanisterMen)).unwrap_or(0.0);
        let of = |rate| banister(1800.0, rate, 60.0, 200.0, Banister::MEN).unwrap_or(0.0);
        assert!((found - (of(142.5) + of(182.5))).abs() < 1e-9);
        // A rate above the highest counts as the highest: the load is known, and finite.
        assert!(heart_load(&heart(&[(230, 60.0)], Some(60.0), HeartLoad::BanisterWomen)).is_some());
    }

    /// Worked out from the weights of Edwards (1993).
    #[test]
    fn zones_weigh_one_to_five() {
        let zones = [10.0, 15.0, 20.0, 10.0, 5.0].map(|minutes| minutes * 60.0);
        assert!((edwards(zones) - 165.0).abs() < 1e-9);
    }
}
