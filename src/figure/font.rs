//! The embedded font: for the PNG as TrueType, inside each SVG as a small web font, so that both look the same everywhere.

use std::fmt::Write as _;
use std::sync::{Arc, OnceLock};

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use resvg::usvg::fontdb::Database;

/// The family's name.
pub(super) const FAMILY: &str = "Inter";

/// The fonts that text of a PNG is set in, read once; none comes from the system.
pub(super) fn database() -> Arc<Database> {
    static FONTS: OnceLock<Arc<Database>> = OnceLock::new();
    Arc::clone(FONTS.get_or_init(|| {
        let mut fonts = Database::new();
        fonts.load_font_data(include_bytes!("font/Inter-Regular.ttf").to_vec());
        fonts.load_font_data(include_bytes!("font/Inter-SemiBold.ttf").to_vec());
        fonts.set_sans_serif_family(FAMILY);
        Arc::new(fonts)
    }))
}

/// The style sheet that brings the font into an SVG.
///
/// A reader of SVG that does not know web fonts takes the next family of the list instead; nothing else is lost.
pub(super) fn style_sheet() -> &'static str {
    static SHEET: OnceLock<String> = OnceLock::new();
    SHEET.get_or_init(|| {
        let faces: [(u32, &[u8]); 2] = [
            (400, include_bytes!("font/Inter-Regular.woff2")),
            (600, include_bytes!("font/Inter-SemiBold.woff2")),
        ];
        let mut sheet = String::new();
        for (weight, file) in faces {
            let _ = write!(
                sheet,
                "@font-face{{font-family:{FAMILY};font-weight:{weight};src:url(data:font/woff2;base64,{})}}",
                STANDARD.encode(file)
            );
        }
        sheet
    })
}
