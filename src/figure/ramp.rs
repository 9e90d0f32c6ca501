//! The colours of a density: from paper to ink, evenly darker, told apart without hue.

use super::style::Colour;

/// Lightness, green to red and blue to yellow of the stops, in Oklab.
///
/// The lightness falls by the same amount from stop to stop; the hue turns from the paper over a green-blue to a deep
/// violet-blue, as a second cue for those who see it.
const STOPS: [[f64; 3]; 6] = [
    [0.990, 0.000, 0.003],
    [0.838, -0.045, 0.020],
    [0.686, -0.070, -0.025],
    [0.534, -0.040, -0.085],
    [0.382, 0.005, -0.110],
    [0.230, 0.025, -0.070],
];

/// The colour of `share`, 0 to 1; values outside take the nearer end.
///
/// ## References
/// Ottosson (2020), A perceptual color space for image processing, <https://bottosson.github.io/posts/oklab/>.
pub(super) fn colour(share: f64) -> Colour {
    let place = share.clamp(0.0, 1.0) * (STOPS.len() - 1) as f64;
    let index = (place.floor() as usize).min(STOPS.len() - 2);
    let part = place - index as f64;
    let [from, to] = [STOPS[index], STOPS[index + 1]];
    let mix = |i: usize| from[i] + (to[i] - from[i]) * part;
    srgb([mix(0), mix(1), mix(2)])
}

/// Oklab to sRGB, cut to what a screen shows.
fn srgb([lightness, a, b]: [f64; 3]) -> Colour {
    let l = (lightness + 0.396_337_777_4 * a + 0.215_803_757_3 * b).powi(3);
    let m = (lightness - 0.105_561_345_8 * a - 0.063_854_172_8 * b).powi(3);
    let s = (lightness - 0.089_484_177_5 * a - 1.291_485_548_0 * b).powi(3);
    (
        encode(4.076_741_662_1 * l - 3.307_711_591_3 * m + 0.230_969_929_2 * s),
        encode(-1.268_438_004_6 * l + 2.609_757_401_1 * m - 0.341_319_396_5 * s),
        encode(-0.004_196_086_3 * l - 0.703_418_614_7 * m + 1.707_614_701_0 * s),
    )
}

/// Linear light to an sRGB byte (IEC 61966-2-1).
fn encode(linear: f64) -> u8 {
    let c = linear.clamp(0.0, 1.0);
    let encoded = if c <= 0.003_130_8 {
        12.92 * c
    } else {
        1.055 * c.powf(1.0 / 2.4) - 0.055
    };
    (encoded * 255.0).round() as u8
}

#[cfg(test)]
mod tests {
    use super::{colour, srgb};

    /// Relative luminance to lightness, CIE 15:2004.
    fn lightness((r, g, b): (u8, u8, u8)) -> f64 {
        let linear = |v: u8| {
            let c = f64::from(v) / 255.0;
            if c <= 0.040_45 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        let y = 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
        116.0 * y.cbrt() - 16.0
    }

    #[test]
    fn lightness_falls_evenly() {
        let steps: Vec<f64> = (0..=20)
            .map(|i| lightness(colour(f64::from(i) / 20.0)))
            .collect();
        for pair in steps.windows(2) {
            let fall = pair[0] - pair[1];
            // An even fall over 20 steps is about 4.2; CIE and Oklab lightness differ a little over hues.
            assert!(2.4 < fall && fall < 6.0, "{steps:?}");
        }
    }

    /// White, and sRGB red (0.628, 0.225, 0.126), as Ottosson (2020) gives them.
    #[test]
    fn known_colours_come_out() {
        assert_eq!(srgb([1.0, 0.0, 0.0]), (255, 255, 255));
        let (r, g, b) = srgb([0.628, 0.225, 0.126]);
        assert!(r >= 254 && g <= 6 && b <= 6, "{r} {g} {b}");
    }
}
