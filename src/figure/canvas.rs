//! The page that a picture is put together on: text, marks and the panels drawn by plotters, as SVG.

use std::fmt::Write as _;

use super::style::{self, Anchor, Colour, Sheet, Type};
use super::svg::Svg;
use super::{font, lettering};

/// A picture under construction; what is added last lies on top.
pub(super) struct Canvas {
    /// What it is laid out on.
    pub(super) sheet: Sheet,
    height: f64,
    title: String,
    body: Svg,
}

/// The words above a picture: `title` says what is seen, the line below it from what. On a narrow sheet both are broken
/// into lines.
pub(super) struct Heading {
    title: String,
    lines: Vec<(f64, String, Type)>,
    /// How far down the page it reaches.
    pub(super) height: f64,
}

/// Most lines of a title and of the words below it on a narrow sheet.
const MOST_LINES: usize = 8;

impl Heading {
    /// The words, laid out on a sheet.
    pub(super) fn new(sheet: Sheet, title: &str, subtitle: &str) -> Self {
        let mut lines = Vec::new();
        let height = if sheet.narrow {
            let mut y = 8.0;
            for (text, kind, each) in [
                (title, style::NARROW_TITLE, 20.0),
                (subtitle, style::TICK, 16.0),
            ] {
                for line in lettering::broken(text, kind, sheet.room(), MOST_LINES) {
                    y += each;
                    lines.push((y, line, kind));
                }
                y += 3.0;
            }
            y + 8.0
        } else {
            for (y, text, kind) in [
                (42.0, title, style::TITLE),
                (63.0, subtitle, style::SUBTITLE),
            ] {
                lines.extend(lettering::fit(text, kind, sheet.room()).map(|line| (y, line, kind)));
            }
            style::HEADING
        };
        Self {
            title: title.to_owned(),
            lines,
            height,
        }
    }
}

/// Between two texts of a line.
pub(super) const WORD_SPACE: f64 = 10.0;

/// A small sign that is told by its shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mark {
    /// A filled triangle that points down: a sprint.
    Down,
    /// A filled disc: done.
    Disc,
    /// A ring.
    Ring,
    /// A disc filled to its half: cut short.
    Half,
    /// An open triangle that points down.
    OpenDown,
    /// An arrow that points down: slow.
    ArrowDown,
    /// A cross: missed.
    Cross,
    /// A diamond, open: not in the plan.
    Diamond,
    /// An open square.
    Square,
    /// A question mark: cannot be told.
    Question,
    /// Two waves: done, and open whether at the speed asked for.
    Waves,
}

/// How the form of a sign is painted.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Paint {
    /// Filled, without a rim.
    Filled,
    /// A rim around paper.
    Open,
    /// A line of that width.
    Drawn(f64),
}

impl Canvas {
    /// A wide page with its heading.
    pub(super) fn new(height: f64, title: &str, subtitle: &str) -> Self {
        let heading = Heading::new(Sheet::WIDE, title, subtitle);
        Self::on(Sheet::WIDE, height, heading)
    }

    /// A page on a sheet with its heading.
    pub(super) fn on(sheet: Sheet, height: f64, heading: Heading) -> Self {
        let mut page = Self {
            sheet,
            height: height.ceil(),
            title: heading.title,
            body: Svg::default(),
        };
        for (y, line, kind) in heading.lines {
            page.text(sheet.margin, y, &line, kind, Anchor::Start);
        }
        page
    }

    /// One line of text with its baseline at `y`.
    pub(super) fn text(&mut self, x: f64, y: f64, text: &str, kind: Type, anchor: Anchor) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let weight = if kind.bold { 600 } else { 400 };
        let _ = write!(
            self.body,
            r#"<text x="{x:.1}" y="{y:.1}" font-size="{}" font-weight="{weight}""#,
            kind.size
        );
        self.body.colour("fill", kind.colour);
        let _ = write!(self.body, r#" text-anchor="{anchor}">"#);
        self.body.escaped(text);
        self.body.push("</text>\n");
    }

    /// Texts after each other in one line with a rim of paper, for places where lines pass behind them. They stay in
    /// order without touching whatever font the reader has.
    pub(super) fn rimmed(&mut self, x: f64, y: f64, words: &[(&str, Type)]) {
        let _ = write!(self.body, r#"<text x="{x:.1}" y="{y:.1}""#);
        self.body.colour("stroke", style::PAPER);
        (self.body).push(r#" stroke-width="4" stroke-linejoin="round" paint-order="stroke">"#);
        for (i, (text, kind)) in words.iter().enumerate() {
            let weight = if kind.bold { 600 } else { 400 };
            let apart = if i == 0 { 0.0 } else { WORD_SPACE };
            let _ = write!(
                self.body,
                r#"<tspan dx="{apart}" font-size="{}" font-weight="{weight}""#,
                kind.size
            );
            self.body.colour("fill", kind.colour);
            self.body.push(">");
            self.body.escaped(text);
            self.body.push("</tspan>");
        }
        self.body.push("</text>\n");
    }

    /// A line of text from `x` on, cut where it would pass `room`; tells whether it was drawn whole.
    pub(super) fn fitted(&mut self, x: f64, y: f64, text: &str, kind: Type, room: f64) -> bool {
        match lettering::fit(text, kind, room) {
            Some(cut) => {
                self.text(x, y, &cut, kind, Anchor::Start);
                cut == text
            }
            None => false,
        }
    }

    /// A straight line; `dash` as in SVG, or empty.
    pub(super) fn line(
        &mut self,
        from: (f64, f64),
        to: (f64, f64),
        colour: Colour,
        width: f64,
        dash: &str,
    ) {
        let dash = if dash.is_empty() {
            String::new()
        } else {
            format!(r#" stroke-dasharray="{dash}""#)
        };
        let _ = write!(
            self.body,
            r#"<line x1="{:.2}" y1="{:.2}" x2="{:.2}" y2="{:.2}""#,
            from.0, from.1, to.0, to.1
        );
        self.body.colour("stroke", colour);
        let _ = writeln!(self.body, r#" stroke-width="{width}"{dash}/>"#);
    }

    /// A filled shape without a rim.
    pub(super) fn polygon(&mut self, corners: &[(f64, f64)], fill: Colour, opacity: f64) {
        self.path(corners);
        self.body.push("z\"");
        self.body.colour("fill", fill);
        let _ = writeln!(self.body, r#" fill-opacity="{opacity}"/>"#);
    }

    /// An open line through points.
    pub(super) fn polyline(&mut self, points: &[(f64, f64)], colour: Colour, width: f64) {
        self.path(points);
        self.body.push("\" fill=\"none\"");
        self.body.colour("stroke", colour);
        let _ = writeln!(
            self.body,
            r#" stroke-width="{width:.2}" stroke-linejoin="round" stroke-linecap="round"/>"#
        );
    }

    /// The beginning of a path.
    fn path(&mut self, points: &[(f64, f64)]) {
        self.body.push("<path d=\"");
        for (i, (x, y)) in points.iter().enumerate() {
            let _ = write!(self.body, "{}{x:.1} {y:.1}", if i == 0 { "M" } else { "L" });
        }
    }

    /// A filled rectangle.
    pub(super) fn rect(
        &mut self,
        corner: (f64, f64),
        size: (f64, f64),
        fill: Colour,
        opacity: f64,
    ) {
        self.rectangle(corner, size);
        self.body.colour("fill", fill);
        let _ = writeln!(self.body, r#" fill-opacity="{opacity}"/>"#);
    }

    /// An open rectangle.
    pub(super) fn outline(
        &mut self,
        corner: (f64, f64),
        size: (f64, f64),
        stroke: Colour,
        width: f64,
    ) {
        self.rectangle(corner, size);
        self.body.push(" fill=\"none\"");
        self.body.colour("stroke", stroke);
        let _ = writeln!(self.body, r#" stroke-width="{width}"/>"#);
    }

    /// A rectangle of slanted hair lines: nothing was recorded here.
    pub(super) fn hatched(&mut self, corner: (f64, f64), size: (f64, f64)) {
        self.rectangle(corner, size);
        self.body.push(" fill=\"url(#hatch)\"/>\n");
    }

    /// The beginning of a rectangle.
    fn rectangle(&mut self, corner: (f64, f64), size: (f64, f64)) {
        let _ = write!(
            self.body,
            r#"<rect x="{:.2}" y="{:.2}" width="{:.2}" height="{:.2}""#,
            corner.0,
            corner.1,
            size.0.max(0.0),
            size.1.max(0.0)
        );
    }

    /// A sign of about `size` pixels centred at a point.
    pub(super) fn mark(&mut self, mark: Mark, (x, y): (f64, f64), size: f64, colour: Colour) {
        let r = size / 2.0;
        let circle = || format!(r#"circle cx="{x:.1}" cy="{y:.1}" r="{r:.1}""#);
        let paint = match mark {
            Mark::Down | Mark::Disc => Paint::Filled,
            Mark::Ring | Mark::Half | Mark::OpenDown | Mark::Diamond | Mark::Square => Paint::Open,
            Mark::Cross => Paint::Drawn(1.8),
            Mark::ArrowDown | Mark::Question | Mark::Waves => Paint::Drawn(1.6),
        };
        let form = match mark {
            Mark::Down | Mark::OpenDown => format!(
                r#"path d="M{:.1} {:.1}h{size:.1}L{x:.1} {:.1}z""#,
                x - r,
                y - r,
                y + r
            ),
            Mark::Disc | Mark::Ring | Mark::Half => circle(),
            Mark::Cross => format!(
                r#"path d="M{:.1} {:.1}l{size:.1} {size:.1}m0 {:.1}l{:.1} {size:.1}""#,
                x - r,
                y - r,
                -size,
                -size
            ),
            Mark::Square => format!(
                r#"rect x="{:.1}" y="{:.1}" width="{size:.1}" height="{size:.1}""#,
                x - r,
                y - r
            ),
            Mark::ArrowDown => format!(
                r#"path d="M{x:.1} {:.1}v{size:.1}m{:.1} {:.1}l{:.1} {:.1}l{:.1} {:.1}""#,
                y - r,
                -0.75 * r,
                -0.75 * r,
                0.75 * r,
                0.75 * r,
                0.75 * r,
                -0.75 * r
            ),
            Mark::Question => format!(
                r#"path d="M{:.1} {:.1}a{b:.1} {b:.1} 0 1 1 {:.1} {:.1}q{:.1} {:.1} {:.1} {:.1}""#,
                x - 0.55 * r,
                y - 0.4 * r,
                0.9 * r,
                0.4 * r,
                -0.35 * r,
                0.3 * r,
                -0.35 * r,
                0.75 * r,
                b = 0.55 * r
            ),
            Mark::Waves => format!(
                r#"path d="M{left:.1} {:.1}q{h:.1} {up:.1} {r:.1} 0t{r:.1} 0M{left:.1} {:.1}q{h:.1} {up:.1} {r:.1} 0t{r:.1} 0""#,
                y - 0.4 * r,
                y + 0.5 * r,
                left = x - r,
                h = 0.5 * r,
                up = -0.8 * r
            ),
            Mark::Diamond => format!(
                r#"path d="M{:.1} {y:.1}L{x:.1} {:.1}L{:.1} {y:.1}L{x:.1} {:.1}z""#,
                x - r,
                y - r,
                x + r,
                y + r
            ),
        };
        self.shape(&form, colour, paint);
        // Two signs have a filled part beside their lines.
        match mark {
            Mark::Half => {
                let half = format!(
                    r#"path d="M{x:.1} {:.1}a{r:.1} {r:.1} 0 0 0 0 {size:.1}z""#,
                    y - r
                );
                self.shape(&half, colour, Paint::Filled);
            }
            Mark::Question => {
                let dot = format!(r#"circle cx="{x:.1}" cy="{:.1}" r="1.1""#, y + r);
                self.shape(&dot, colour, Paint::Filled);
            }
            _ => {}
        }
        self.body.push("\n");
    }

    /// A filled shape, given by its element's name with the attributes of its form.
    pub(super) fn filled(&mut self, form: &str, colour: Colour) {
        self.shape(form, colour, Paint::Filled);
        self.body.push("\n");
    }

    fn shape(&mut self, form: &str, colour: Colour, paint: Paint) {
        let _ = write!(self.body, "<{form}");
        match paint {
            Paint::Filled => self.body.colour("fill", colour),
            Paint::Open => {
                self.body.colour("fill", style::PAPER);
                self.body.colour("stroke", colour);
                self.body.push(" stroke-width=\"1.4\"");
            }
            Paint::Drawn(width) => {
                self.body.push(" fill=\"none\"");
                self.body.colour("stroke", colour);
                let _ = write!(self.body, " stroke-width=\"{width}\"");
            }
        }
        self.body.push("/>");
    }

    /// SVG made elsewhere.
    pub(super) fn raw(&mut self, fragment: &Svg) {
        self.body.append(fragment);
    }

    /// The whole document.
    pub(super) fn finish(self) -> Svg {
        let mut svg = Svg::default();
        let (w, h) = (self.sheet.width, self.height);
        let _ = write!(
            svg,
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h:.0}" viewBox="0 0 {w} {h:.0}" font-family="{}" role="img">"#,
            style::FAMILY
        );
        svg.push("\n<title>");
        svg.escaped(&self.title);
        svg.push("</title>\n");
        let _ = writeln!(svg, "<style>{}</style>", font::style_sheet());
        let ground = ground(w, h);
        svg.sheet(&ground.colours().chain(self.body.colours()).collect());
        svg.append(&ground);
        svg.append(&self.body);
        svg.push("</svg>\n");
        svg
    }
}

/// What lies below all, and the hatching that others refer to.
fn ground(width: f64, height: f64) -> Svg {
    let mut svg = Svg::default();
    svg.push(r#"<defs><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M-1 1l2 -2M0 6l6 -6M5 7l2 -2""#);
    svg.colour("stroke", style::FRAME);
    svg.push(" stroke-width=\"0.8\"/></pattern></defs>\n");
    // It reaches over the edge, so that a last row of pixels that the page covers only in part has it, too.
    let (width, height) = (width + 1.0, height + 1.0);
    let _ = write!(svg, r#"<rect width="{width}" height="{height:.0}""#);
    svg.colour("fill", style::PAPER);
    svg.push("/>\n");
    svg
}
