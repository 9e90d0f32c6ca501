//! The colours of a density: away from the ground in even steps of lightness, told apart without hue.

use super::colour_space::srgb;
use super::style::{Colour, Rgb, Theme};

/// Lightness, green to red and blue to yellow of the stops, in Oklab.
///
/// The lightness changes by the same amount from stop to stop, from the ground to its opposite; the hue turns over a
/// green-blue, as a second cue for those who see it.
const LIGHT: [[f64; 3]; 6] = [
    [0.990, 0.000, 0.003],
    [0.838, -0.045, 0.020],
    [0.686, -0.070, -0.025],
    [0.534, -0.040, -0.085],
    [0.382, 0.005, -0.110],
    [0.230, 0.025, -0.070],
];
/// The same on the dark ground.
const DARK: [[f64; 3]; 6] = [
    [0.212, -0.001, -0.006],
    [0.356, 0.005, -0.085],
    [0.500, -0.035, -0.085],
    [0.644, -0.065, -0.030],
    [0.788, -0.055, 0.030],
    [0.932, -0.015, 0.050],
];

/// So many steps has a line's or a key's colour; each has its counterpart in the other theme.
const STEPS: u32 = 32;

/// The colour of `share`, 0 to 1; values outside take the nearer end.
pub(super) fn shade(share: f64, theme: Theme) -> Rgb {
    let stops = match theme {
        Theme::Light => &LIGHT,
        Theme::Dark => &DARK,
    };
    let place = share.clamp(0.0, 1.0) * (stops.len() - 1) as f64;
    let index = (place.floor() as usize).min(stops.len() - 2);
    let part = place - index as f64;
    let [from, to] = [stops[index], stops[index + 1]];
    let mix = |i: usize| from[i] + (to[i] - from[i]) * part;
    srgb([mix(0), mix(1), mix(2)])
}

/// The colour of `share` for a line, a mark or a key, in one of a few steps.
pub(super) fn colour(share: f64) -> Colour {
    let step = (share.clamp(0.0, 1.0) * f64::from(STEPS)).round();
    of_step(step / f64::from(STEPS))
}

/// All that [`colour`] can give.
pub(super) fn colours() -> impl Iterator<Item = Colour> {
    (0..=STEPS).map(|step| of_step(f64::from(step) / f64::from(STEPS)))
}

fn of_step(share: f64) -> Colour {
    Colour {
        light: shade(share, Theme::Light),
        dark: shade(share, Theme::Dark),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::colour_space::seen::{EYES, oklab};

    /// Bytes round, and eyes with two kinds of cone see hues as lightness: a step may be a fifth off the mean.
    const UNEVEN: f64 = 0.2;

    #[test]
    fn lightness_changes_in_even_steps_for_all_eyes() {
        for theme in [Theme::Light, Theme::Dark] {
            for (eyes, matrix) in EYES {
                let seen: Vec<[f64; 3]> = (0..=STEPS)
                    .map(|i| oklab(shade(f64::from(i) / f64::from(STEPS), theme), &matrix))
                    .collect();
                let mean = (seen[STEPS as usize][0] - seen[0][0]) / f64::from(STEPS);
                assert!(
                    mean.abs() * f64::from(STEPS) > 0.7,
                    "{theme:?} {eyes}: much of the range"
                );
                for pair in seen.windows(2) {
                    let step = (pair[1][0] - pair[0][0]) / mean;
                    assert!((step - 1.0).abs() < UNEVEN, "{theme:?} {eyes}: {step}");
                }
            }
        }
    }

    #[test]
    fn the_colour_of_a_line_is_one_of_the_steps() {
        for i in 0..=100 {
            let colour = colour(f64::from(i) / 100.0);
            assert!(colours().any(|step| step == colour));
        }
    }
}
