//! Reads the corners of a pitch from a file, and makes the pitch of them.

// What comes from outside is taken by `get`, never by an index that may not be there.
#![warn(clippy::indexing_slicing, clippy::string_slice)]

use std::f64::consts::PI;
use std::fmt;

use geojson::{GeoJson, GeometryValue};

use crate::geodesy::{Degrees, LocalFrame};
use crate::pitch::{Pitch, Size, Source};

/// How far opposite sides may differ, as a share and in m: corners are paced out or tapped on a map.
const SIDE_SHARE: f64 = 0.05;
const SIDE_M: f64 = 2.0;
/// How far a corner may be off a right angle, degrees.
const ANGLE_DEG: f64 = 5.0;
/// Shortest and longest side, m.
const SIDES_M: (f64, f64) = (5.0, 200.0);
/// How well corners are known, one standard deviation each, m; four of them halve it.
const CORNER_SD_M: f64 = 1.0;

/// Why a file gives no pitch.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum FileError {
    /// Neither lines of `latitude,longitude` nor GeoJSON.
    Line {
        /// From 1.
        line: usize,
        /// What stands there.
        text: String,
    },
    /// GeoJSON that is broken, or holds no polygon.
    GeoJson {
        /// What is wrong.
        why: String,
    },
    /// Another number of corners than four.
    Corners {
        /// How many.
        found: usize,
    },
    /// Two corners without a size, or with one that does not suit them.
    Size {
        /// What is wrong.
        why: String,
    },
    /// Four corners that make no pitch.
    NoRectangle {
        /// What is wrong, with the numbers.
        why: String,
    },
    /// Not text.
    Encoding,
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Line { line, text } => write!(
                f,
                "line {line}: {text:?} is no corner; write latitude and longitude in degrees, such as -30.00121,-110.00467"
            ),
            Self::GeoJson { why } => {
                write!(
                    f,
                    "{why}; a polygon with the four corners of the pitch is wanted"
                )
            }
            Self::Corners { found } => write!(
                f,
                "a pitch has four corners, in order around it; {found} were found"
            ),
            Self::Size { why } => write!(
                f,
                "{why}; two corners are the ends of one line, with the pitch to the left on the way from the first to the second, \
                 and need a line such as `size: 100 x 64 m`"
            ),
            Self::NoRectangle { why } => write!(f, "the corners make no pitch: {why}"),
            Self::Encoding => write!(f, "the file is no text in UTF-8"),
        }
    }
}

impl std::error::Error for FileError {}

/// The four corners in a file, in order around the pitch.
///
/// # Definition
/// Text with one `latitude,longitude` in degrees a line, `#` before comments; two corners, with the pitch to the left on the way
/// from the first to the second, do where a line says `size: 100 x 64 m`. Or GeoJSON with a polygon, alone, in a feature,
/// or as the first of a collection, whose outer ring is closed (five positions) and has longitude first.
///
/// # Errors
/// With the line or what is wrong with the GeoJSON.
///
/// # References
/// RFC 7946, The GeoJSON format, 3.1.6.
pub fn read(bytes: &[u8]) -> Result<[Degrees; 4], FileError> {
    let text = std::str::from_utf8(bytes).map_err(|_| FileError::Encoding)?;
    let text = text.trim_start_matches('\u{feff}');
    let corners = if text.trim_start().starts_with('{') {
        by_geojson(text)?
    } else {
        let (corners, size) = by_lines(text)?;
        match (corners.as_slice(), size) {
            (&[from, to], Some(size)) => beside(from, to, size)?,
            ([_, _], None) => {
                return Err(FileError::Size {
                    why: "the size is missing".to_owned(),
                });
            }
            _ => corners,
        }
    };
    <[Degrees; 4]>::try_from(corners).map_err(|corners| FileError::Corners {
        found: corners.len(),
    })
}

/// The corners, and the size if a line gives it.
fn by_lines(text: &str) -> Result<(Vec<Degrees>, Option<[f64; 2]>), FileError> {
    let mut corners = Vec::new();
    let mut size = None;
    for (line, whole) in (1..).zip(text.lines()) {
        let content = whole.split('#').next().unwrap_or_default().trim();
        if content.is_empty() {
            continue;
        }
        let wrong = || FileError::Line {
            line,
            text: content.chars().take(60).collect(),
        };
        if let Some(sides) = content.strip_prefix("size") {
            let numbers: Vec<f64> = sides
                .trim_start_matches(':')
                .trim_end_matches('m')
                .split(['x', '×'])
                .map(|n| n.trim().parse().unwrap_or(f64::NAN))
                .collect();
            let fits = |m: &f64| (SIDES_M.0..=SIDES_M.1).contains(m);
            size = match numbers.as_slice() {
                [a, b] if fits(a) && fits(b) => Some([*a, *b]),
                _ => {
                    return Err(FileError::Size {
                        why: format!("line {line}: {content:?} is no size"),
                    });
                }
            };
            continue;
        }
        let (latitude, longitude) = content.split_once([',', ';', '\t']).ok_or_else(wrong)?;
        let number = |text: &str| text.trim().parse::<f64>().map_err(|_| wrong());
        corners.push(degrees(number(latitude)?, number(longitude)?).ok_or_else(wrong)?);
    }
    Ok((corners, size))
}

/// Four corners from the two ends of one line, with the pitch to its left.
fn beside(from: Degrees, to: Degrees, size_m: [f64; 2]) -> Result<Vec<Degrees>, FileError> {
    let frame = LocalFrame::new(from);
    let way = frame.to_local(to);
    let long_m = way.x.hypot(way.y);
    let suits = |m: f64| (m - long_m).abs() <= SIDE_SHARE * m + SIDE_M;
    let other_m = match size_m {
        [a, b] if suits(a) => b,
        [a, b] if suits(b) => a,
        [a, b] => {
            return Err(FileError::Size {
                why: format!(
                    "the two corners are {long_m:.1} m apart, and the size is {a} x {b} m"
                ),
            });
        }
    };
    let left = [-way.y / long_m * other_m, way.x / long_m * other_m];
    Ok(vec![
        from,
        to,
        frame.to_degrees((way.x + left[0], way.y + left[1]).into()),
        frame.to_degrees((left[0], left[1]).into()),
    ])
}

fn by_geojson(text: &str) -> Result<Vec<Degrees>, FileError> {
    let wrong = |why: String| FileError::GeoJson { why };
    let document: GeoJson = text
        .parse()
        .map_err(|e: geojson::Error| wrong(e.to_string()))?;
    let geometry = match document {
        GeoJson::Geometry(geometry) => Some(geometry),
        GeoJson::Feature(feature) => feature.geometry,
        GeoJson::FeatureCollection(all) => all
            .features
            .into_iter()
            .filter_map(|feature| feature.geometry)
            .find(|g| matches!(g.value, GeometryValue::Polygon { .. })),
    };
    let Some(GeometryValue::Polygon {
        coordinates: rings, ..
    }) = geometry.map(|g| g.value)
    else {
        return Err(wrong("it holds no polygon".to_owned()));
    };
    let ring = rings
        .first()
        .ok_or_else(|| wrong("its polygon has no ring".to_owned()))?;
    let mut corners = Vec::new();
    for position in ring {
        let (Some(&longitude), Some(&latitude)) =
            (position.as_slice().first(), position.as_slice().get(1))
        else {
            return Err(wrong("a position has no two numbers".to_owned()));
        };
        corners.push(degrees(latitude, longitude).ok_or_else(|| {
            wrong(format!(
                "[{longitude}, {latitude}] is no longitude and latitude"
            ))
        })?);
    }
    // The ring ends where it begins.
    if corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    Ok(corners)
}

fn degrees(latitude_deg: f64, longitude_deg: f64) -> Option<Degrees> {
    let fits = (-90.0..=90.0).contains(&latitude_deg) && (-180.0..=180.0).contains(&longitude_deg);
    fits.then_some(Degrees {
        latitude_deg,
        longitude_deg,
    })
}

/// The pitch between four corners, in the metres of a frame.
///
/// # Definition
/// Each side is the mean of the two that lie opposite each other; the longer one is the touchline. The centre is the mean of
/// the corners.
///
/// # Errors
/// Where the corners are farther from a rectangle than pacing and tapping make them, or too near or far for a pitch.
#[expect(
    clippy::indexing_slicing,
    reason = "the corners are four and counted in a circle"
)]
pub fn from_corners(corners: &[Degrees; 4], frame: &LocalFrame) -> Result<Pitch, FileError> {
    let at = corners.map(|corner| frame.to_local(corner));
    let side = |k: usize| {
        let (from, to) = (at[k % 4], at[(k + 1) % 4]);
        [to.x - from.x, to.y - from.y]
    };
    let length = |[x, y]: [f64; 2]| x.hypot(y);
    let no = |why: String| Err(FileError::NoRectangle { why });
    for k in 0..2 {
        let (a, b) = (length(side(k)), length(side(k + 2)));
        if (a - b).abs() > SIDE_SHARE * a.max(b) + SIDE_M {
            return no(format!("opposite sides are {a:.1} m and {b:.1} m long"));
        }
        let mean = f64::midpoint(a, b);
        if !(SIDES_M.0..=SIDES_M.1).contains(&mean) {
            return no(format!(
                "a side is {mean:.1} m long, and must be {} to {} m",
                SIDES_M.0, SIDES_M.1
            ));
        }
    }
    for k in 0..4 {
        let ([ax, ay], [bx, by]) = (side(k), side((k + 1) % 4));
        let cos = (ax * bx + ay * by) / (length([ax, ay]) * length([bx, by]));
        let angle_deg = cos.clamp(-1.0, 1.0).acos().to_degrees();
        if (angle_deg - 90.0).abs() > ANGLE_DEG {
            return no(format!(
                "the angle at corner {} is {:.0} degrees; give them in order around the pitch",
                (k + 1) % 4 + 1,
                180.0 - angle_deg
            ));
        }
    }
    // Along one pair of sides, and along the other.
    let mean = |k: usize| {
        let ([ax, ay], [bx, by]) = (side(k), side(k + 2));
        [f64::midpoint(ax, -bx), f64::midpoint(ay, -by)]
    };
    let (one, other) = (mean(0), mean(1));
    let (long, short) = if length(one) >= length(other) {
        (one, other)
    } else {
        (other, one)
    };
    Ok(Pitch {
        size: Size {
            length_m: length(long),
            width_m: length(short),
        },
        centre_m: [
            at.iter().map(|c| c.x).sum::<f64>() / 4.0,
            at.iter().map(|c| c.y).sum::<f64>() / 4.0,
        ],
        turn_rad: long[1].atan2(long[0]).rem_euclid(PI),
        centre_sd_m: CORNER_SD_M / 2.0,
        turn_sd_rad: CORNER_SD_M / length(long),
        source: Source::Corners,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Corners of a pitch of 100 x 64 m, turned by 30 degrees, about a place in the open sea.
    fn corners() -> ([Degrees; 4], LocalFrame) {
        let frame = LocalFrame::new(Degrees {
            latitude_deg: -30.0,
            longitude_deg: -110.0,
        });
        let (sin, cos) = 30.0_f64.to_radians().sin_cos();
        let corners = [[-50.0, -32.0], [50.0, -32.0], [50.0, 32.0], [-50.0, 32.0]].map(|[a, b]| {
            frame.to_degrees((10.0 + cos * a - sin * b, 5.0 + sin * a + cos * b).into())
        });
        (corners, frame)
    }

    fn as_lines(corners: &[Degrees]) -> String {
        let lines: Vec<String> = corners
            .iter()
            .map(|c| format!("{:.8}, {:.8}  # a corner", c.latitude_deg, c.longitude_deg))
            .collect();
        lines.join("\n")
    }

    fn as_geojson(corners: &[Degrees]) -> String {
        let ring: Vec<String> = corners
            .iter()
            .chain(corners.first())
            .map(|c| format!("[{:.8},{:.8}]", c.longitude_deg, c.latitude_deg))
            .collect();
        format!(
            "{{\"type\":\"Feature\",\"properties\":null,\"geometry\":{{\"type\":\"Polygon\",\"coordinates\":[[{}]]}}}}",
            ring.join(",")
        )
    }

    #[test]
    fn lines_and_geojson_give_the_same_pitch() -> Result<(), FileError> {
        let (corners, frame) = corners();
        for text in [
            format!("# by the river\n\n{}", as_lines(&corners)),
            as_geojson(&corners),
        ] {
            let pitch = from_corners(&read(text.as_bytes())?, &frame)?;
            assert!((pitch.size.length_m - 100.0).abs() < 0.01, "{pitch:?}");
            assert!((pitch.size.width_m - 64.0).abs() < 0.01);
            assert!((pitch.turn_rad.to_degrees() - 30.0).abs() < 0.01);
            assert!((pitch.centre_m[0] - 10.0).abs() < 0.01);
            assert!((pitch.centre_m[1] - 5.0).abs() < 0.01);
        }
        Ok(())
    }

    #[test]
    fn two_corners_and_a_size_do() -> Result<(), FileError> {
        let (corners, frame) = corners();
        let whole = from_corners(&corners, &frame)?;
        for pair in [[0, 1], [1, 2], [2, 3], [3, 0]] {
            let ends = pair.map(|k| corners[k]);
            let text = format!("size: 100 x 64 m\n{}", as_lines(&ends));
            let pitch = from_corners(&read(text.as_bytes())?, &frame)?;
            for axis in 0..2 {
                assert!((pitch.centre_m[axis] - whole.centre_m[axis]).abs() < 0.01);
            }
            assert!((pitch.turn_rad - whole.turn_rad).abs() < 1e-3);
        }
        let left = read(format!("size: 100 x -64 m\n{}", as_lines(&corners[..2])).as_bytes());
        assert!(left.is_err_and(|e| e.to_string().contains("no size")));
        let bare = read(as_lines(&corners[..2]).as_bytes());
        assert!(bare.is_err_and(|e| e.to_string().contains("size: 100 x 64 m")));
        let text = format!("size: 60 x 40 m\n{}", as_lines(&corners[..2]));
        assert!(read(text.as_bytes()).is_err_and(|e| e.to_string().contains("100.0 m apart")));
        Ok(())
    }

    #[test]
    fn the_corner_that_the_list_begins_with_does_not_matter() -> Result<(), FileError> {
        let (mut corners, frame) = corners();
        let first = from_corners(&corners, &frame)?;
        for _ in 0..3 {
            corners.rotate_left(1);
            let again = from_corners(&corners, &frame)?;
            assert!((again.turn_rad - first.turn_rad).abs() < 1e-9);
            assert!((again.size.length_m - first.size.length_m).abs() < 1e-9);
        }
        corners.reverse();
        let again = from_corners(&corners, &frame)?;
        assert!((again.turn_rad - first.turn_rad).abs() < 1e-9);
        Ok(())
    }

    #[test]
    fn what_is_no_pitch_says_why() {
        let (corners, frame) = corners();
        let why = |bytes: &[u8]| match read(bytes).and_then(|c| from_corners(&c, &frame)) {
            Ok(pitch) => format!("{pitch:?}"),
            Err(error) => error.to_string(),
        };
        let lines = as_lines(&corners);
        assert!(why(lines.replace("-110.0", "west").as_bytes()).starts_with("line 1: "));
        assert!(why(b"1,2\n91,0\n").starts_with("line 2: "));
        assert!(why(as_lines(&corners[..3]).as_bytes()).contains("3 were found"));
        assert!(why(b"{\"type\":\"Point\",\"coordinates\":[1,2]}").contains("no polygon"));
        assert!(why(b"{").contains("polygon"));
        assert!(why(&[0xff, 0xfe, 0]).contains("UTF-8"));
        let crossed = [corners[0], corners[2], corners[1], corners[3]];
        assert!(why(as_lines(&crossed).as_bytes()).contains("no pitch"));
    }
}
