//! The page that a picture is put together on: text, marks and the panels drawn by plotters, as SVG.

use std::fmt::Write as _;

use super::style::{self, Anchor, Colour, Sheet, Type, hex};
use super::{font, lettering, theme};

/// A picture under construction; what is added last lies on top.
pub(super) struct Canvas {
    /// What it is laid out on.
    pub(super) sheet: Sheet,
    height: f64,
    title: String,
    body: String,
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
            body: String::new(),
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
            r#"<text x="{x:.1}" y="{y:.1}" font-size="{}" font-weight="{weight}" fill="{}" text-anchor="{anchor}">"#,
            kind.size,
            hex(kind.colour)
        );
        escape(&mut self.body, text);
        self.body.push_str("</text>\n");
    }

    /// Texts after each other in one line with a rim of paper, for places where lines pass behind them. They stay in
    /// order without touching whatever font the reader has.
    pub(super) fn rimmed(&mut self, x: f64, y: f64, words: &[(&str, Type)]) {
        let _ = write!(
            self.body,
            r#"<text x="{x:.1}" y="{y:.1}" stroke="{}" stroke-width="4" stroke-linejoin="round" paint-order="stroke">"#,
            hex(style::PAPER)
        );
        for (i, (text, kind)) in words.iter().enumerate() {
            let weight = if kind.bold { 600 } else { 400 };
            let apart = if i == 0 { 0.0 } else { WORD_SPACE };
            let _ = write!(
                self.body,
                r#"<tspan dx="{apart}" font-size="{}" font-weight="{weight}" fill="{}">"#,
                kind.size,
                hex(kind.colour)
            );
            escape(&mut self.body, text);
            self.body.push_str("</tspan>");
        }
        self.body.push_str("</text>\n");
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
        let _ = writeln!(
            self.body,
            r#"<line x1="{:.2}" y1="{:.2}" x2="{:.2}" y2="{:.2}" stroke="{}" stroke-width="{width}"{dash}/>"#,
            from.0,
            from.1,
            to.0,
            to.1,
            hex(colour)
        );
    }

    /// A filled shape without a rim.
    pub(super) fn polygon(&mut self, corners: &[(f64, f64)], fill: Colour, opacity: f64) {
        self.body.push_str("<path d=\"");
        for (i, (x, y)) in corners.iter().enumerate() {
            let _ = write!(self.body, "{}{x:.1} {y:.1}", if i == 0 { "M" } else { "L" });
        }
        let _ = writeln!(
            self.body,
            r#"z" fill="{}" fill-opacity="{opacity}"/>"#,
            hex(fill)
        );
    }

    /// A filled rectangle.
    pub(super) fn rect(
        &mut self,
        corner: (f64, f64),
        size: (f64, f64),
        fill: Colour,
        opacity: f64,
    ) {
        let _ = writeln!(
            self.body,
            r#"<rect x="{:.2}" y="{:.2}" width="{:.2}" height="{:.2}" fill="{}" fill-opacity="{opacity}"/>"#,
            corner.0,
            corner.1,
            size.0.max(0.0),
            size.1.max(0.0),
            hex(fill)
        );
    }

    /// An open rectangle.
    pub(super) fn outline(
        &mut self,
        corner: (f64, f64),
        size: (f64, f64),
        stroke: Colour,
        width: f64,
    ) {
        let _ = writeln!(
            self.body,
            r#"<rect x="{:.2}" y="{:.2}" width="{:.2}" height="{:.2}" fill="none" stroke="{}" stroke-width="{width}"/>"#,
            corner.0,
            corner.1,
            size.0.max(0.0),
            size.1.max(0.0),
            hex(stroke)
        );
    }

    /// A rectangle of slanted hair lines: nothing was recorded here.
    pub(super) fn hatched(&mut self, corner: (f64, f64), size: (f64, f64)) {
        let _ = writeln!(
            self.body,
            r#"<rect x="{:.2}" y="{:.2}" width="{:.2}" height="{:.2}" fill="url(#hatch)"/>"#,
            corner.0,
            corner.1,
            size.0.max(0.0),
            size.1.max(0.0)
        );
    }

    /// A sign of about `size` pixels centred at a point.
    pub(super) fn mark(&mut self, mark: Mark, at: (f64, f64), size: f64, colour: Colour) {
        let (x, y) = at;
        let r = size / 2.0;
        let ink = hex(colour);
        let open = format!(
            r#"fill="{}" stroke="{ink}" stroke-width="1.4""#,
            hex(style::PAPER)
        );
        let _ = match mark {
            Mark::Down | Mark::OpenDown => {
                let paint = if mark == Mark::Down {
                    format!(r#"fill="{ink}""#)
                } else {
                    open
                };
                writeln!(
                    self.body,
                    r#"<path d="M{:.1} {:.1}h{size:.1}L{x:.1} {:.1}z" {paint}/>"#,
                    x - r,
                    y - r,
                    y + r
                )
            }
            Mark::Disc => writeln!(
                self.body,
                r#"<circle cx="{x:.1}" cy="{y:.1}" r="{r:.1}" fill="{ink}"/>"#
            ),
            Mark::Ring => writeln!(
                self.body,
                r#"<circle cx="{x:.1}" cy="{y:.1}" r="{r:.1}" {open}/>"#
            ),
            Mark::Cross => writeln!(
                self.body,
                r#"<path d="M{:.1} {:.1}l{size:.1} {size:.1}m0 {:.1}l{:.1} {size:.1}" fill="none" stroke="{ink}" stroke-width="1.8"/>"#,
                x - r,
                y - r,
                -size,
                -size
            ),
            Mark::Square => writeln!(
                self.body,
                r#"<rect x="{:.1}" y="{:.1}" width="{size:.1}" height="{size:.1}" {open}/>"#,
                x - r,
                y - r
            ),
            Mark::Half => writeln!(
                self.body,
                r#"<circle cx="{x:.1}" cy="{y:.1}" r="{r:.1}" {open}/><path d="M{x:.1} {:.1}a{r:.1} {r:.1} 0 0 0 0 {size:.1}z" fill="{ink}"/>"#,
                y - r
            ),
            Mark::ArrowDown => writeln!(
                self.body,
                r#"<path d="M{x:.1} {:.1}v{size:.1}m{:.1} {:.1}l{:.1} {:.1}l{:.1} {:.1}" fill="none" stroke="{ink}" stroke-width="1.6"/>"#,
                y - r,
                -0.75 * r,
                -0.75 * r,
                0.75 * r,
                0.75 * r,
                0.75 * r,
                -0.75 * r
            ),
            Mark::Question => writeln!(
                self.body,
                r#"<path d="M{:.1} {:.1}a{b:.1} {b:.1} 0 1 1 {:.1} {:.1}q{:.1} {:.1} {:.1} {:.1}" fill="none" stroke="{ink}" stroke-width="1.6"/><circle cx="{x:.1}" cy="{:.1}" r="1.1" fill="{ink}"/>"#,
                x - 0.55 * r,
                y - 0.4 * r,
                0.9 * r,
                0.4 * r,
                -0.35 * r,
                0.3 * r,
                -0.35 * r,
                0.75 * r,
                y + r,
                b = 0.55 * r
            ),
            Mark::Waves => writeln!(
                self.body,
                r#"<path d="M{left:.1} {:.1}q{h:.1} {up:.1} {r:.1} 0t{r:.1} 0M{left:.1} {:.1}q{h:.1} {up:.1} {r:.1} 0t{r:.1} 0" fill="none" stroke="{ink}" stroke-width="1.6"/>"#,
                y - 0.4 * r,
                y + 0.5 * r,
                left = x - r,
                h = 0.5 * r,
                up = -0.8 * r
            ),
            Mark::Diamond => writeln!(
                self.body,
                r#"<path d="M{:.1} {y:.1}L{x:.1} {:.1}L{:.1} {y:.1}L{x:.1} {:.1}z" {open}/>"#,
                x - r,
                y - r,
                x + r,
                y + r
            ),
        };
    }

    /// SVG made elsewhere.
    pub(super) fn raw(&mut self, fragment: &str) {
        self.body.push_str(fragment);
    }

    /// The whole document.
    pub(super) fn finish(self) -> String {
        let mut svg = String::with_capacity(self.body.len() + 1024);
        let (w, h) = (self.sheet.width, self.height);
        let _ = write!(
            svg,
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h:.0}" viewBox="0 0 {w} {h:.0}" font-family="{}" role="img">"#,
            style::FAMILY
        );
        svg.push_str("\n<title>");
        escape(&mut svg, &self.title);
        svg.push_str("</title>\n");
        let _ = writeln!(svg, "<style>{}</style>", font::style_sheet());
        // The ground reaches over the edge, so that a last row of pixels that the page covers only in part has it, too.
        let ground = format!(
            r#"<defs><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M-1 1l2 -2M0 6l6 -6M5 7l2 -2" stroke="{}" stroke-width="0.8"/></pattern></defs>
<rect width="{}" height="{:.0}" fill="{}"/>
"#,
            hex(style::FRAME),
            w + 1.0,
            h + 1.0,
            hex(style::PAPER)
        );
        svg.push_str(&theme::sheet(&format!("{ground}{}", self.body)));
        svg.push_str(&ground);
        svg.push_str(&self.body);
        svg.push_str("</svg>\n");
        svg
    }
}

/// Writes `text` as XML character data; characters that XML 1.0 forbids are left out.
fn escape(svg: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => svg.push_str("&amp;"),
            '<' => svg.push_str("&lt;"),
            '>' => svg.push_str("&gt;"),
            '"' => svg.push_str("&quot;"),
            '\t' | '\n' | '\r' => svg.push(' '),
            '\0'..'\u{20}' | '\u{7f}'..'\u{a0}' | '\u{fffe}' | '\u{ffff}' => {}
            _ => svg.push(c),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::escape;

    #[test]
    fn text_from_outside_stays_text() {
        let mut svg = String::new();
        escape(&mut svg, "<b>&\u{0}\u{1b}ok\u{fffe}</b>");
        assert_eq!(svg, "&lt;b&gt;&amp;ok&lt;/b&gt;");
    }
}
