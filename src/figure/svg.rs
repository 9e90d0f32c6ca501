//! SVG as it is written: text that knows where each of its colours stands, so that it can be had in either theme.
//!
//! As written, a picture follows its reader: a browser that is set to dark shows it dark, by a style sheet inside it. What knows no
//! such sheet, the PNG among them, shows it light; [`Svg::settled`] settles it either way.

use std::collections::BTreeSet;
use std::fmt::{self, Write as _};
use std::ops::Deref;

use super::style::{Colour, Theme, hex};

/// A picture, or a part of one under construction. As text it is the document that follows its reader.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Svg {
    text: String,
    /// What depends on the theme, in order of place, none touching another's text.
    places: Vec<Place>,
}

/// So many bytes of the text from one on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Place {
    at: usize,
    length: usize,
    what: Themed,
}

/// What depends on the theme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Themed {
    /// A colour, written as it is on paper.
    Colour(Colour),
    /// There in this theme alone.
    Only(Theme),
    /// There only while the picture follows its reader.
    Following,
}

impl Svg {
    /// The picture settled on one theme, whatever its reader is set to.
    #[must_use]
    pub fn settled(&self, theme: Theme) -> String {
        let mut out = String::with_capacity(self.text.len());
        let mut from = 0;
        for place in &self.places {
            let end = place.at + place.length;
            out.push_str(self.part(from, place.at));
            match place.what {
                Themed::Colour(colour) if theme == Theme::Dark => out.push_str(&hex(colour.dark)),
                Themed::Only(other) if theme != other => {}
                Themed::Following => {}
                Themed::Colour(_) | Themed::Only(_) => out.push_str(self.part(place.at, end)),
            }
            from = end;
        }
        out.push_str(self.part(from, self.text.len()));
        out
    }

    /// The document that follows its reader.
    #[must_use]
    pub fn into_text(self) -> String {
        self.text
    }

    fn part(&self, from: usize, to: usize) -> &str {
        self.text.get(from..to).unwrap_or_default()
    }

    /// Text as it is in either theme.
    pub(super) fn push(&mut self, text: &str) {
        self.text.push_str(text);
    }

    /// Text from outside as XML character data; characters that XML 1.0 forbids are left out.
    pub(super) fn escaped(&mut self, text: &str) {
        for c in text.chars() {
            match c {
                '&' => self.push("&amp;"),
                '<' => self.push("&lt;"),
                '>' => self.push("&gt;"),
                '"' => self.push("&quot;"),
                '\t' | '\n' | '\r' => self.push(" "),
                '\0'..'\u{20}' | '\u{7f}'..'\u{a0}' | '\u{fffe}' | '\u{ffff}' => {}
                _ => self.text.push(c),
            }
        }
    }

    /// An attribute that is a colour, a blank before it.
    pub(super) fn colour(&mut self, attribute: &str, colour: Colour) {
        self.coloured(attribute, colour, &hex(colour.light));
    }

    /// The same of a colour that is written that way on paper.
    pub(super) fn coloured(&mut self, attribute: &str, colour: Colour, written: &str) {
        let _ = write!(self.text, " {attribute}=\"");
        self.themed(Themed::Colour(colour), written);
        self.push("\"");
    }

    /// What follows after it.
    pub(super) fn append(&mut self, other: &Self) {
        let before = self.text.len();
        self.text.push_str(&other.text);
        self.places.extend(other.places.iter().map(|place| Place {
            at: before + place.at,
            ..*place
        }));
    }

    /// A raster in the colours of both themes, as PNG files in base 64; `corner` and `size` place it.
    pub(super) fn raster(
        &mut self,
        corner: (f64, f64),
        size: (f64, f64),
        (light, dark): (&str, &str),
    ) {
        let place = format!(
            " x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\" preserveAspectRatio=\"none\" href=\"data:image/png;base64,",
            corner.0, corner.1, size.0, size.1
        );
        let only = Themed::Only;
        self.themed(
            only(Theme::Light),
            &format!("<image class=\"light\"{place}{light}\"/>\n"),
        );
        self.themed(only(Theme::Dark), "<image class=\"dark\"");
        self.themed(Themed::Following, " display=\"none\"");
        self.themed(only(Theme::Dark), &format!("{place}{dark}\"/>\n"));
    }

    /// The style sheet by which a picture of these colours follows its reader, a line of its own.
    pub(super) fn sheet(&mut self, used: &BTreeSet<Colour>) {
        let mut sheet = String::from("<style class=\"theme\">@media (prefers-color-scheme:dark){");
        for colour in used {
            let (from, to) = (hex(colour.light), hex(colour.dark));
            for property in ["fill", "stroke", "stop-color"] {
                let _ = write!(sheet, "[{property}=\"{from}\" i]{{{property}:{to}}}");
            }
        }
        sheet.push_str(".light{display:none}.dark{display:inline}}</style>\n");
        self.themed(Themed::Following, &sheet);
    }

    /// The colours that were written.
    pub(super) fn colours(&self) -> impl Iterator<Item = Colour> + '_ {
        self.places.iter().filter_map(|place| match place.what {
            Themed::Colour(colour) => Some(colour),
            Themed::Only(_) | Themed::Following => None,
        })
    }

    fn themed(&mut self, what: Themed, text: &str) {
        self.places.push(Place {
            at: self.text.len(),
            length: text.len(),
            what,
        });
        self.push(text);
    }
}

impl fmt::Display for Svg {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl fmt::Write for Svg {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.push(text);
        Ok(())
    }
}

impl Deref for Svg {
    type Target = str;

    fn deref(&self) -> &str {
        &self.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::style;

    #[test]
    fn text_from_outside_stays_text() {
        let mut svg = Svg::default();
        svg.escaped("<b>&\u{0}\u{1b}ok\u{fffe}</b>");
        assert_eq!(&*svg, "&lt;b&gt;&amp;ok&lt;/b&gt;");
    }

    #[test]
    fn colours_of_drawings_change_and_text_stays() {
        let mut inner = Svg::default();
        inner.push("<rect");
        inner.coloured("fill", style::FRAME, "#B4B0A8");
        inner.push("/>\n");
        let mut svg = Svg::default();
        svg.push("<text");
        svg.colour("fill", style::INK);
        svg.push(">");
        svg.escaped("fill=\"#1f2429\" #1f2429");
        svg.push("</text>");
        svg.append(&inner);
        let light = "<text fill=\"#1f2429\">fill=&quot;#1f2429&quot; #1f2429</text><rect fill=\"#B4B0A8\"/>\n";
        assert_eq!(&*svg, light);
        assert_eq!(svg.settled(Theme::Light), light);
        let (ink, frame) = (hex(style::INK.dark), hex(style::FRAME.dark));
        assert_eq!(
            svg.settled(Theme::Dark),
            format!(
                "<text fill=\"{ink}\">fill=&quot;#1f2429&quot; #1f2429</text><rect fill=\"{frame}\"/>\n"
            )
        );
        assert_eq!(
            svg.colours().collect::<Vec<_>>(),
            [style::INK, style::FRAME]
        );
    }

    #[test]
    fn one_raster_stays_and_the_sheet_goes() {
        let mut svg = Svg::default();
        svg.sheet(&BTreeSet::from([style::INK]));
        svg.raster((0.0, 0.0), (1.0, 1.0), ("L", "D"));
        let (light, dark) = (svg.settled(Theme::Light), svg.settled(Theme::Dark));
        assert!(svg.contains("@media") && svg.contains("class=\"dark\" display=\"none\" x="));
        assert!(light.contains("base64,L\"") && !light.contains("base64,D\""));
        assert!(dark.contains("base64,D\"") && !dark.contains("base64,L\""));
        for settled in [light, dark] {
            assert!(settled.starts_with("<image class=") && !settled.contains("display=\"none\""));
        }
    }
}
