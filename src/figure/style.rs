//! How the pictures look: sizes, colours, widths, in one place.
//!
//! Paper and ink, one blue for what was measured, one orange for what is picked out. The two stay apart for colour-blind
//! readers; whatever matters has a shape or a word too. Each colour says what it is on paper and what stands for it on a dark
//! ground. Lengths are CSS pixels.

/// Red, green, blue.
pub(super) type Rgb = (u8, u8, u8);

/// A colour of a chart, in both themes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Colour {
    /// What it is on paper.
    pub(super) light: Rgb,
    /// What stands for it on a dark ground.
    pub(super) dark: Rgb,
}

impl Colour {
    const fn new(light: Rgb, dark: Rgb) -> Self {
        Self { light, dark }
    }

    /// What it is in a theme.
    pub(super) fn of(self, theme: Theme) -> Rgb {
        match theme {
            Theme::Light => self.light,
            Theme::Dark => self.dark,
        }
    }
}

/// `#rrggbb`
pub(super) fn hex((r, g, b): Rgb) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// What a picture is drawn on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Theme {
    /// Ink on paper.
    Light,
    /// Light lines on a dark ground.
    Dark,
}

/// The ground.
pub(super) const PAPER: Colour = Colour::new((0xfd, 0xfc, 0xfa), (0x17, 0x19, 0x1c));
/// Text and marks that matter most.
pub(super) const INK: Colour = Colour::new((0x1f, 0x24, 0x29), (0xec, 0xe8, 0xe1));
/// Text that explains.
pub(super) const SOFT_INK: Colour = Colour::new((0x5a, 0x60, 0x66), (0xae, 0xab, 0xa4));
/// Grid lines.
pub(super) const RULE: Colour = Colour::new((0xe3, 0xdf, 0xd8), (0x2e, 0x32, 0x36));
/// Frames and axis lines.
pub(super) const FRAME: Colour = Colour::new((0xb4, 0xb0, 0xa8), (0x64, 0x68, 0x6c));
/// Tint of every other block.
pub(super) const SHADE: Colour = Colour::new((0xee, 0xeb, 0xe4), (0x24, 0x27, 0x2b));
/// What was measured (Okabe and Ito 2008, "blue").
pub(super) const MEASURED: Colour = Colour::new((0x00, 0x72, 0xb2), (0x56, 0xa8, 0xdf));
/// What is picked out (Okabe and Ito 2008, "vermillion").
pub(super) const PICKED: Colour = Colour::new((0xd5, 0x5e, 0x00), (0xf0, 0x91, 0x3f));
/// Heart rate (Okabe and Ito 2008, "reddish purple", darkened to read as a thin line on paper).
pub(super) const HEART: Colour = Colour::new((0x9a, 0x3f, 0x76), (0xd8, 0x8f, 0xba));

/// All of these.
pub(super) const COLOURS: [Colour; 9] = [
    PAPER, INK, SOFT_INK, RULE, FRAME, SHADE, MEASURED, PICKED, HEART,
];

/// Opacity of a 95 % band.
pub(super) const BAND_OPACITY: f64 = 0.22;

/// Widths of lines.
pub(super) const HAIR: f64 = 0.75;
/// Width of a data line.
pub(super) const LINE: f64 = 1.25;
/// Width of a line that is picked out.
pub(super) const BOLD: f64 = 2.5;

/// The sheet that a picture is laid out on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// Its width.
    pub(super) width: f64,
    /// Space around the picture.
    pub(super) margin: f64,
    /// Whether panels stand below each other and lines are broken, for a phone held upright.
    pub(super) narrow: bool,
}

impl Sheet {
    /// For screens and paper.
    pub const WIDE: Self = Self {
        width: WIDTH,
        margin: MARGIN,
        narrow: false,
    };
    /// For phones, drawn one to one on the narrowest that are common.
    pub const NARROW: Self = Self {
        width: 360.0,
        margin: 14.0,
        narrow: true,
    };

    /// Width between the margins.
    pub(super) fn room(self) -> f64 {
        self.width - 2.0 * self.margin
    }

    /// One of two values.
    pub(super) fn either<T>(self, wide: T, narrow: T) -> T {
        if self.narrow { narrow } else { wide }
    }
}

/// Width of a picture for screens and paper.
pub(super) const WIDTH: f64 = 1200.0;
/// Space around it.
pub(super) const MARGIN: f64 = 28.0;
/// Height of its heading: title and the line below it.
pub(super) const HEADING: f64 = 76.0;

/// The families tried in order; the first is the embedded one.
pub(super) const FAMILY: &str = "Inter, 'Helvetica Neue', Arial, 'Liberation Sans', sans-serif";

/// Where a text stands against its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    /// It begins there.
    Start,
    /// It is centred there.
    Middle,
    /// It ends there.
    End,
}

/// How a text is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Type {
    /// Size of the em.
    pub(super) size: f64,
    /// Semibold instead of regular.
    pub(super) bold: bool,
    /// Its colour.
    pub(super) colour: Colour,
}

/// The title of a picture.
pub(super) const TITLE: Type = Type {
    size: 22.0,
    bold: true,
    colour: INK,
};
/// The title of a picture on a narrow sheet.
pub(super) const NARROW_TITLE: Type = Type {
    size: 16.0,
    bold: true,
    colour: INK,
};
/// The line below a title.
pub(super) const SUBTITLE: Type = Type {
    size: 13.0,
    bold: false,
    colour: SOFT_INK,
};
/// Names of panels and blocks.
pub(super) const LABEL: Type = Type {
    size: 12.0,
    bold: true,
    colour: INK,
};
/// Names of axes, keys, plain words.
pub(super) const PLAIN: Type = Type {
    size: 12.0,
    bold: false,
    colour: INK,
};
/// Numbers at axes, notes.
pub(super) const TICK: Type = Type {
    size: 12.0,
    bold: false,
    colour: SOFT_INK,
};
/// Values written at a mark.
pub(super) const VALUE: Type = Type {
    size: 12.0,
    bold: true,
    colour: INK,
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::colour_space::seen::{EYES, contrast, oklab};

    /// A colour in both themes.
    fn both(colour: Colour) -> [Rgb; 2] {
        [colour.light, colour.dark]
    }

    /// Text 4.5:1 (WCAG 2.2, 1.4.3), signs and lines that carry meaning 3:1 (1.4.11), on all that they may lie on.
    #[test]
    fn text_and_signs_stand_out_from_their_ground() {
        for ground in [PAPER, SHADE].map(both) {
            for kind in [TITLE, SUBTITLE, LABEL, PLAIN, TICK, VALUE] {
                for (text, ground) in both(kind.colour).into_iter().zip(ground) {
                    let found = contrast(text, ground);
                    assert!(found >= 4.5, "{kind:?} on {ground:?}: {found:.2}");
                }
            }
            for sign in [INK, SOFT_INK, MEASURED, PICKED, HEART] {
                for (sign, ground) in both(sign).into_iter().zip(ground) {
                    let found = contrast(sign, ground);
                    assert!(found >= 3.0, "{sign:?} on {ground:?}: {found:.2}");
                }
            }
        }
    }

    /// In Oklab a difference of 0.02 is about the least that is seen side by side; signs lie apart.
    #[test]
    fn signs_differ_for_all_eyes() {
        for (eyes, matrix) in EYES {
            for (a, b) in [(MEASURED, PICKED), (MEASURED, INK), (PICKED, INK)] {
                for (a, b) in both(a).into_iter().zip(both(b)) {
                    let (x, y) = (oklab(a, &matrix), oklab(b, &matrix));
                    let apart = (0..3).map(|i| (x[i] - y[i]).powi(2)).sum::<f64>().sqrt();
                    assert!(apart > 0.1, "{eyes}: {a:?} and {b:?} are {apart:.3} apart");
                }
            }
        }
    }
}
