//! Colours as people see them: sRGB, linear light, Oklab.
//!
//! By hand: of a library of colour we would use one way, from Oklab to sRGB; the way back and the eyes of others serve tests alone.

use super::style::Rgb;

/// sRGB byte to linear light (IEC 61966-2-1).
#[cfg(test)]
pub(super) fn linear(byte: u8) -> f64 {
    let c = f64::from(byte) / 255.0;
    if c <= 0.040_45 {
        c / 12.92
    } else {
        ((c + 0.055) / 1.055).powf(2.4)
    }
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

/// Oklab to sRGB, cut to what a screen shows.
///
/// ## References
/// Ottosson (2020), A perceptual color space for image processing, <https://bottosson.github.io/posts/oklab/>.
pub(super) fn srgb([lightness, a, b]: [f64; 3]) -> Rgb {
    let l = (lightness + 0.396_337_777_4 * a + 0.215_803_757_3 * b).powi(3);
    let m = (lightness - 0.105_561_345_8 * a - 0.063_854_172_8 * b).powi(3);
    let s = (lightness - 0.089_484_177_5 * a - 1.291_485_548_0 * b).powi(3);
    (
        encode(4.076_741_662_1 * l - 3.307_711_591_3 * m + 0.230_969_929_2 * s),
        encode(-1.268_438_004_6 * l + 2.609_757_401_1 * m - 0.341_319_396_5 * s),
        encode(-0.004_196_086_3 * l - 0.703_418_614_7 * m + 1.707_614_701_0 * s),
    )
}

/// What the tests of the colours share.
#[cfg(test)]
pub(super) mod seen {
    use super::{Rgb, linear};

    /// How colours look to those without one kind of cone, on linear light.
    ///
    /// ## References
    /// Machado, Oliveira and Fernandes (2009), A physiologically-based model for simulation of color vision deficiency,
    /// IEEE Trans Vis Comput Graph 15:1291, severity 1.0 (values from memory).
    pub(in crate::figure) const EYES: [(&str, [[f64; 3]; 3]); 4] = [
        ("usual", [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]),
        (
            "protanopia",
            [
                [0.152_286, 1.052_583, -0.204_868],
                [0.114_503, 0.786_281, 0.099_216],
                [-0.003_882, -0.048_116, 1.051_998],
            ],
        ),
        (
            "deuteranopia",
            [
                [0.367_322, 0.860_646, -0.227_968],
                [0.280_085, 0.672_501, 0.047_413],
                [-0.011_820, 0.042_940, 0.968_881],
            ],
        ),
        (
            "tritanopia",
            [
                [1.255_528, -0.076_749, -0.178_779],
                [-0.078_411, 0.930_809, 0.147_602],
                [0.004_733, 0.691_367, 0.303_900],
            ],
        ),
    ];

    /// A colour in Oklab, as those eyes see it (Ottosson 2020).
    pub(in crate::figure) fn oklab((r, g, b): Rgb, eyes: &[[f64; 3]; 3]) -> [f64; 3] {
        let rgb = [linear(r), linear(g), linear(b)];
        let by = |m: &[f64; 3], v: [f64; 3]| m[0] * v[0] + m[1] * v[1] + m[2] * v[2];
        let seen = eyes.map(|row| by(&row, rgb).clamp(0.0, 1.0));
        let cones = [
            by(&[0.412_221_470_8, 0.536_332_536_3, 0.051_445_992_9], seen),
            by(&[0.211_903_498_2, 0.680_699_545_1, 0.107_396_956_6], seen),
            by(&[0.088_302_461_9, 0.281_718_837_6, 0.629_978_700_5], seen),
        ]
        .map(f64::cbrt);
        [
            by(&[0.210_454_255_3, 0.793_617_785_0, -0.004_072_046_8], cones),
            by(&[1.977_998_495_1, -2.428_592_205_0, 0.450_593_709_9], cones),
            by(&[0.025_904_037_1, 0.782_771_766_2, -0.808_675_766_0], cones),
        ]
    }

    /// Contrast of two colours, 1 to 21 (W3C, WCAG 2.2, "contrast ratio").
    pub(in crate::figure) fn contrast(a: Rgb, b: Rgb) -> f64 {
        let luminance =
            |(r, g, b): Rgb| 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }
}

#[cfg(test)]
mod tests {
    use super::seen::{EYES, contrast, oklab};
    use super::srgb;

    /// White, and sRGB red (0.628, 0.225, 0.126), as Ottosson (2020) gives them.
    #[test]
    fn known_colours_come_out() {
        assert_eq!(srgb([1.0, 0.0, 0.0]), (255, 255, 255));
        let (r, g, b) = srgb([0.628, 0.225, 0.126]);
        assert!(r >= 254 && g <= 6 && b <= 6, "{r} {g} {b}");
        let [l, a, b] = oklab((255, 0, 0), &EYES[0].1);
        assert!((l - 0.628).abs() < 1e-3 && (a - 0.225).abs() < 1e-3 && (b - 0.126).abs() < 1e-3);
    }

    /// Black on white is 21:1 (WCAG 2.2).
    #[test]
    fn contrast_of_black_on_white() {
        assert!((contrast((0, 0, 0), (255, 255, 255)) - 21.0).abs() < 1e-9);
    }
}
