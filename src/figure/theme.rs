//! Light and dark: each picture is drawn in the colours of paper, and each of those colours has its counterpart.
//!
//! An SVG as the charts make it follows the reader: a browser that is set to dark shows it dark, by a style sheet inside
//! it. What knows no such sheet, the PNG among them, shows it light; [`themed`] settles it either way.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use super::ramp;
use super::style::{self, Colour, Theme, hex};

/// Begins each colour in an SVG; text cannot hold it, its quotes are escaped.
const BEFORE: &str = "=\"#";
/// Begins the line of the style sheet that follows the reader.
const SHEET: &str = "<style class=\"theme\">";
/// Begin the lines of a raster that is there once for each theme.
const LIGHT_IMAGE: &str = "<image class=\"light\"";
const DARK_IMAGE: &str = "<image class=\"dark\" display=\"none\"";

/// A picture of this module settled on one theme, whatever its reader is set to.
#[must_use]
pub fn themed(svg: &str, theme: Theme) -> String {
    let mut out = String::with_capacity(svg.len());
    for line in svg.split_inclusive('\n') {
        match theme {
            _ if line.starts_with(SHEET) => {}
            Theme::Light if line.starts_with(DARK_IMAGE) => {}
            Theme::Light => out.push_str(line),
            Theme::Dark if line.starts_with(LIGHT_IMAGE) => {}
            Theme::Dark => match line.strip_prefix(DARK_IMAGE) {
                Some(rest) => {
                    out.push_str("<image class=\"dark\"");
                    out.push_str(rest);
                }
                None => darken(&mut out, line),
            },
        }
    }
    out
}

/// A raster of the picture, in the colours of both themes; `corner` and `size` place it.
pub(super) fn image(corner: (f64, f64), size: (f64, f64), light: &str, dark: &str) -> String {
    let place = format!(
        "x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\" preserveAspectRatio=\"none\"",
        corner.0, corner.1, size.0, size.1
    );
    let data = "href=\"data:image/png;base64,";
    format!("{LIGHT_IMAGE} {place} {data}{light}\"/>\n{DARK_IMAGE} {place} {data}{dark}\"/>\n")
}

/// The style sheet by which `body` follows its reader, a line of its own.
pub(super) fn sheet(body: &str) -> String {
    let used: BTreeSet<Colour> = body
        .match_indices(BEFORE)
        .filter_map(|(at, _)| parse(body.get(at + BEFORE.len()..)?))
        .collect();
    let mut sheet = format!("{SHEET}@media (prefers-color-scheme:dark){{");
    for colour in used {
        if let Some(dark) = dark(colour) {
            let (from, to) = (hex(colour), hex(dark));
            for property in ["fill", "stroke", "stop-color"] {
                let _ = write!(sheet, "[{property}=\"{from}\" i]{{{property}:{to}}}");
            }
        }
    }
    sheet.push_str(".light{display:none}.dark{display:inline}}</style>\n");
    sheet
}

/// The counterpart of a colour of the light theme.
pub(super) fn dark(light: Colour) -> Option<Colour> {
    style::PAIRS
        .into_iter()
        .find(|(from, _)| *from == light)
        .map(|(_, to)| to)
        .or_else(|| ramp::dark_of(light))
}

/// Writes a line with each colour replaced by its counterpart.
fn darken(out: &mut String, line: &str) {
    let mut rest = line;
    while let Some(at) = rest.find(BEFORE) {
        let (before, after) = rest.split_at(at + BEFORE.len());
        if let Some(colour) = parse(after).and_then(dark) {
            out.push_str(before.trim_end_matches('#'));
            out.push_str(&hex(colour));
            rest = after.get(6..).unwrap_or("");
        } else {
            out.push_str(before);
            rest = after;
        }
    }
    out.push_str(rest);
}

/// The colour whose six digits `text` begins with.
fn parse(text: &str) -> Option<Colour> {
    let digits = text.get(..6)?;
    if !text.get(6..)?.starts_with('"') {
        return None;
    }
    let byte = |from: usize| u8::from_str_radix(digits.get(from..from + 2)?, 16).ok();
    Some((byte(0)?, byte(2)?, byte(4)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_of_drawings_change_and_text_stays() {
        let line = "<text fill=\"#1f2429\">fill=&quot;#1f2429&quot; #1f2429</text><rect fill=\"#B4B0A8\"/>\n";
        let ink = hex(dark(style::INK).expect("ink"));
        let frame = hex(dark(style::FRAME).expect("frame"));
        assert_eq!(
            themed(line, Theme::Dark),
            format!(
                "<text fill=\"{ink}\">fill=&quot;#1f2429&quot; #1f2429</text><rect fill=\"{frame}\"/>\n"
            )
        );
        assert_eq!(themed(line, Theme::Light), line);
    }

    #[test]
    fn one_raster_stays_and_the_sheet_goes() {
        let svg = format!("{}{}", sheet(""), image((0.0, 0.0), (1.0, 1.0), "L", "D"));
        let light = themed(&svg, Theme::Light);
        let dark = themed(&svg, Theme::Dark);
        assert!(light.contains("base64,L\"") && !light.contains("base64,D\""));
        assert!(dark.contains("base64,D\"") && !dark.contains("base64,L\""));
        assert!(!dark.contains("display=\"none\"") && !dark.contains("@media"));
    }

    #[test]
    fn no_two_colours_share_a_counterpart_by_chance() {
        let mut light: Vec<Colour> = style::PAIRS.iter().map(|p| p.0).collect();
        light.extend(ramp::lines().map(|p| p.0));
        let all = light.len();
        light.sort_unstable();
        light.dedup();
        assert_eq!(light.len(), all);
    }
}
