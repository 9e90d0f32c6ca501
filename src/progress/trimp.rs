//! Load by heart rate.

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
pub fn edwards(zones_s: [f64; 5]) -> f64 {
    zones_s
        .iter()
        .zip(1..)
        .map(|(time_s, weight)| time_s / 60.0 * f64::from(weight))
        .sum()
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

    /// Worked out from the weights of Edwards (1993).
    #[test]
    fn zones_weigh_one_to_five() {
        let zones = [10.0, 15.0, 20.0, 10.0, 5.0].map(|minutes| minutes * 60.0);
        assert!((edwards(zones) - 165.0).abs() < 1e-9);
    }
}
