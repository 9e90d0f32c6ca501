//! Pictures in the page: inline, so that their words are words, each with ids of its own.

use maud::{Markup, PreEscaped, html};

/// A picture.
#[derive(Clone, Copy, Debug)]
pub struct Drawing<'a> {
    /// Its name, a word.
    pub name: &'a str,
    /// The SVG document.
    pub svg: &'a str,
    /// The same for a narrow screen.
    pub narrow: Option<&'a str>,
}

impl<'a> Drawing<'a> {
    /// The picture of a page, where there is one.
    pub(in crate::report) fn of(
        name: &'a str,
        svg: Option<&'a str>,
        narrow: Option<&'a str>,
    ) -> Vec<Self> {
        (svg.into_iter())
            .map(|svg| Self { name, svg, narrow })
            .collect()
    }
}

const OPEN: &str = "<style";
const CLOSE: &str = "</style>";

/// The style sheets of the pictures, which name their fonts and their colours in the dark; the page holds each once.
pub(in crate::report) fn sheets(drawings: &[Drawing<'_>]) -> String {
    let mut sheets: Vec<&str> = Vec::new();
    for drawing in drawings {
        for svg in [Some(drawing.svg), drawing.narrow].into_iter().flatten() {
            for sheet in parted(svg).1 {
                if !sheets.contains(&sheet) {
                    sheets.push(sheet);
                }
            }
        }
    }
    sheets.concat()
}

/// The document without its style sheets, and the sheets.
fn parted(svg: &str) -> (String, Vec<&str>) {
    let mut body = String::with_capacity(svg.len());
    let mut sheets = Vec::new();
    let mut rest = svg;
    while let Some((before, after)) = rest.split_once(OPEN) {
        let Some((sheet, next)) = after.split_once(CLOSE) else {
            break;
        };
        body.push_str(before);
        sheets.extend(sheet.split_once('>').map(|(_, sheet)| sheet));
        rest = next;
    }
    body.push_str(rest);
    (body, sheets)
}

/// The picture with its caption; where there is one for narrow screens, the style sheet shows one of the two. Without it the
/// frame scrolls sideways.
pub(in crate::report) fn figure(drawing: &Drawing<'_>, caption: &str) -> Markup {
    html! {
        figure {
            div.wide.picture.broad[drawing.narrow.is_some()] role="region" tabindex="0"
                aria-label={ "Picture: " (drawing.name) } {
                (PreEscaped(inline(drawing.name, drawing.svg)))
            }
            @if let Some(svg) = drawing.narrow {
                div.picture.slim {
                    (PreEscaped(inline(&format!("{}-narrow", drawing.name), svg)))
                }
            }
            figcaption { (caption) }
        }
    }
}

/// The document as a part of a page.
fn inline(name: &str, svg: &str) -> String {
    let (body, _) = parted(svg);
    let own = |mark: &str| format!("{mark}{name}-");
    [" id=\"", "url(#", "href=\"#"]
        .into_iter()
        .fold(body, |body, mark| body.replace(mark, &own(mark)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_those_of_the_picture_and_styles_are_taken_out() {
        let svg = "<svg><style>a{}</style><style class=\"theme\">b{}</style><g id=\"h\"/><path fill=\"url(#h)\"/><use href=\"#h\"/></svg>";
        let drawing = Drawing {
            name: "speed",
            svg,
            narrow: Some(svg),
        };
        assert_eq!(
            inline(drawing.name, svg),
            "<svg><g id=\"speed-h\"/><path fill=\"url(#speed-h)\"/><use href=\"#speed-h\"/></svg>"
        );
        assert_eq!(sheets(&[drawing, drawing]), "a{}b{}");
    }
}
