//! Pictures in the page: inline, so that their words are words, each with ids of its own.

use maud::{Markup, PreEscaped, html};

/// A picture.
#[derive(Clone, Copy, Debug)]
pub struct Drawing<'a> {
    /// Its name, a word.
    pub name: &'a str,
    /// The SVG document.
    pub svg: &'a str,
}

const OPEN: &str = "<style>";
const CLOSE: &str = "</style>";

/// The style sheet of the pictures, which names their fonts; all pictures have the same one, and the page holds it once.
pub(super) fn fonts<'a>(drawings: &[Drawing<'a>]) -> &'a str {
    drawings
        .iter()
        .find_map(|d| parted(d.svg))
        .map_or("", |(_, style, _)| style)
}

/// The document before, in and after its style sheet.
fn parted(svg: &str) -> Option<(&str, &str, &str)> {
    let (before, rest) = svg.split_once(OPEN)?;
    let (style, after) = rest.split_once(CLOSE)?;
    Some((before, style, after))
}

/// The picture with its caption, in a frame that scrolls sideways on narrow screens.
pub(super) fn figure(drawing: &Drawing<'_>, caption: &str) -> Markup {
    html! {
        figure {
            div.wide.picture role="region" tabindex="0" aria-label={ "Picture: " (drawing.name) } {
                (PreEscaped(inline(drawing)))
            }
            figcaption { (caption) }
        }
    }
}

/// The document as a part of a page.
fn inline(drawing: &Drawing<'_>) -> String {
    let body = match parted(drawing.svg) {
        Some((before, _, after)) => format!("{before}{after}"),
        None => drawing.svg.to_owned(),
    };
    let own = |mark: &str| format!("{mark}{}-", drawing.name);
    [" id=\"", "url(#", "href=\"#"]
        .into_iter()
        .fold(body, |body, mark| body.replace(mark, &own(mark)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_those_of_the_picture_and_styles_are_taken_out() {
        let svg =
            "<svg><style>a{}</style><g id=\"h\"/><path fill=\"url(#h)\"/><use href=\"#h\"/></svg>";
        let drawing = Drawing { name: "speed", svg };
        assert_eq!(
            inline(&drawing),
            "<svg><g id=\"speed-h\"/><path fill=\"url(#speed-h)\"/><use href=\"#speed-h\"/></svg>"
        );
        assert_eq!(fonts(&[drawing]), "a{}");
    }
}
