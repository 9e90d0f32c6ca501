//! Turns a picture from SVG into PNG, with the embedded font and nothing from the system.

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{ImageRendering, Options, Tree};

use super::{Error, font};

/// Most pixels of a side, so that no picture asks for more memory than it is worth.
const LONGEST_SIDE: f64 = 16_384.0;

/// The parsed picture, text laid out in the embedded font: for measuring where its text lies.
///
/// # Errors
/// Where `svg` is no SVG.
pub fn tree(svg: &str) -> Result<Tree, Error> {
    let options = Options {
        fontdb: font::database(),
        font_family: font::FAMILY.to_owned(),
        // A map's cells are a third of its bandwidth: between them a straight line is as smooth as a cubic.
        image_rendering: ImageRendering::Smooth,
        ..Options::default()
    };
    Tree::from_str(svg, &options).map_err(|e| Error::Svg(e.to_string()))
}

/// The picture as PNG, `scale` pixels for each CSS pixel of the SVG.
///
/// # Errors
/// Where `svg` is no SVG, or the picture would be empty or longer than 16,384 pixels on a side.
pub fn png(svg: &str, scale: f64) -> Result<Vec<u8>, Error> {
    let tree = tree(svg)?;
    let width = (f64::from(tree.size().width()) * scale).ceil();
    let height = (f64::from(tree.size().height()) * scale).ceil();
    let sides = 1.0..=LONGEST_SIDE;
    if !(sides.contains(&width) && sides.contains(&height)) {
        return Err(Error::Size { width, height });
    }
    let mut pixels =
        Pixmap::new(width as u32, height as u32).ok_or(Error::Size { width, height })?;
    let scale = scale as f32;
    resvg::render(
        &tree,
        Transform::from_scale(scale, scale),
        &mut pixels.as_mut(),
    );
    let (width, height) = (pixels.width(), pixels.height());
    encode(&opaque(pixels.take()), width, height, None)
}

/// Pixels without their fourth channel: the ground covers every one of them, so nothing is transparent. The same memory
/// serves for both, since a large picture has some 20 MB of them.
fn opaque(mut rgba: Vec<u8>) -> Vec<u8> {
    let pixels = rgba.len() / 4;
    let fours = pixels / 4;
    for k in 0..fours {
        // Four at a time, in a quarter of the instructions.
        if let Some(&[a, b, c, _, d, e, f, _, g, h, i, _, j, l, m, _]) =
            rgba[16 * k..].first_chunk()
        {
            rgba[12 * k..12 * k + 12].copy_from_slice(&[a, b, c, d, e, f, g, h, i, j, l, m]);
        }
    }
    for k in 4 * fours..pixels {
        rgba.copy_within(4 * k..4 * k + 3, 3 * k);
    }
    rgba.truncate(3 * pixels);
    rgba
}

/// Pixels as a PNG file: three bytes each, or with a palette one.
pub(super) fn encode(
    data: &[u8],
    width: u32,
    height: u32,
    palette: Option<&[u8]>,
) -> Result<Vec<u8>, Error> {
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, width, height);
    if let Some(palette) = palette {
        encoder.set_color(png::ColorType::Indexed);
        encoder.set_palette(palette);
    } else {
        encoder.set_color(png::ColorType::Rgb);
    }
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header().map_err(Error::png)?;
    writer.write_image_data(data).map_err(Error::png)?;
    writer.finish().map_err(Error::png)?;
    Ok(file)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pixels_lose_their_fourth_channel_and_nothing_else() {
        for pixels in 0..11_u8 {
            let rgba: Vec<u8> = (0..4 * pixels).collect();
            let rgb: Vec<u8> = (0..4 * pixels).filter(|byte| byte % 4 != 3).collect();
            assert_eq!(opaque(rgba), rgb);
        }
    }
}
