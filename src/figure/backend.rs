//! What plotters draws with: SVG that knows where its colours stand, which plotters' own does not tell.
//!
//! Our panels hold no text, so that shapes are all there is.

use std::collections::BTreeMap;
use std::convert::Infallible;
use std::fmt::Write as _;
use std::sync::OnceLock;

use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, DrawingBackend, DrawingErrorKind,
};

use super::ramp;
use super::style::{self, Colour, Rgb};
use super::svg::Svg;

/// Shapes in whole units, written one after another.
pub(super) struct Backend<'a> {
    svg: &'a mut Svg,
    size: (u32, u32),
}

/// Nothing can go wrong in a text.
type Drawn = Result<(), DrawingErrorKind<Infallible>>;

impl<'a> Backend<'a> {
    /// For a drawing of this width and height.
    pub(super) fn new(svg: &'a mut Svg, size: (u32, u32)) -> Self {
        Self { svg, size }
    }

    /// A shape that is seen: its first attributes, those of its colour, its last.
    fn shape(
        &mut self,
        name: &str,
        colour: BackendColor,
        first: &str,
        paints: &[Paint],
        last: &str,
    ) {
        if colour.alpha == 0.0 {
            return;
        }
        let _ = write!(self.svg, "<{name}{first} opacity=\"{}\"", colour.alpha);
        for paint in paints {
            match paint {
                Paint::In(attribute) => self.paint(attribute, colour.rgb),
                Paint::None(attribute) => {
                    let _ = write!(self.svg, " {attribute}=\"none\"");
                }
            }
        }
        let _ = writeln!(self.svg, "{last}/>");
    }

    /// An attribute in a colour that plotters was given as it is on paper.
    fn paint(&mut self, attribute: &str, rgb: Rgb) {
        let (r, g, b) = rgb;
        let written = format!("#{r:02X}{g:02X}{b:02X}");
        match colours().get(&rgb) {
            Some(colour) => self.svg.coloured(attribute, *colour, &written),
            None => {
                let _ = write!(self.svg, " {attribute}=\"{written}\"");
            }
        }
    }
}

/// How a shape is painted.
enum Paint {
    /// This attribute in its colour.
    In(&'static str),
    /// This attribute not at all.
    None(&'static str),
}

/// Filled, or only its rim.
fn filled(fill: bool) -> [Paint; 2] {
    if fill {
        [Paint::In("fill"), Paint::None("stroke")]
    } else {
        [Paint::None("fill"), Paint::In("stroke")]
    }
}

/// The colours of charts, by what each is on paper: all that plotters keeps of one.
fn colours() -> &'static BTreeMap<Rgb, Colour> {
    static COLOURS: OnceLock<BTreeMap<Rgb, Colour>> = OnceLock::new();
    COLOURS.get_or_init(|| {
        let all = style::COLOURS.into_iter().chain(ramp::colours());
        all.map(|colour| (colour.light, colour)).collect()
    })
}

fn points(path: impl IntoIterator<Item = BackendCoord>) -> String {
    let mut points = String::from(" points=\"");
    for (x, y) in path {
        let _ = write!(points, "{x},{y} ");
    }
    points.push('"');
    points
}

impl DrawingBackend for Backend<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        self.size
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, at: BackendCoord, colour: BackendColor) -> Drawn {
        self.draw_rect(at, (at.0 + 1, at.1 + 1), &colour, true)
    }

    fn draw_line<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
    ) -> Drawn {
        let last = format!(
            " stroke-width=\"{}\" x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"",
            style.stroke_width(),
            from.0,
            from.1,
            to.0,
            to.1
        );
        self.shape("line", style.color(), "", &[Paint::In("stroke")], &last);
        Ok(())
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        corner: BackendCoord,
        opposite: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let first = format!(
            " x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"",
            corner.0,
            corner.1,
            opposite.0 - corner.0,
            opposite.1 - corner.1
        );
        self.shape("rect", style.color(), &first, &filled(fill), "");
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        let last = format!(" stroke-width=\"{}\"{}", style.stroke_width(), points(path));
        let first = " fill=\"none\"";
        self.shape(
            "polyline",
            style.color(),
            first,
            &[Paint::In("stroke")],
            &last,
        );
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        centre: BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let first = format!(" cx=\"{}\" cy=\"{}\" r=\"{radius}\"", centre.0, centre.1);
        let last = format!(" stroke-width=\"{}\"", style.stroke_width());
        self.shape("circle", style.color(), &first, &filled(fill), &last);
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        self.shape(
            "polygon",
            style.color(),
            "",
            &[Paint::In("fill")],
            &points(path),
        );
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_colours_look_alike_on_paper() {
        assert_eq!(
            colours().len(),
            style::COLOURS.len() + ramp::colours().count()
        );
    }

    #[test]
    fn a_shape_knows_its_colour_and_what_is_not_seen_is_not_written() {
        let mut svg = Svg::default();
        let mut backend = Backend::new(&mut svg, (10, 10));
        let (r, g, b) = style::INK.light;
        let ink = plotters::style::RGBColor(r, g, b);
        let unseen = plotters::style::Color::mix(&ink, 0.0);
        backend.draw_line((0, 1), (2, 3), &ink).expect("drawn");
        backend.draw_line((0, 1), (2, 3), &unseen).expect("drawn");
        assert_eq!(
            &*svg,
            "<line opacity=\"1\" stroke=\"#1F2429\" stroke-width=\"1\" x1=\"0\" y1=\"1\" x2=\"2\" y2=\"3\"/>\n"
        );
        assert_eq!(svg.colours().collect::<Vec<_>>(), [style::INK]);
    }
}
