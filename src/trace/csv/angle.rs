//! Latitude and longitude as maps and receivers write them: decimal degrees, degrees and minutes, with or without a letter.

use super::role::Role;
use super::rows::is_blank;
use crate::trace::candidate::Field;
use crate::trace::number;

/// The degrees of a cell, with the letter of the hemisphere in it or in the cell of its column.
///
/// ## Definition
/// `41.7262`, `41.7262 N`, `41°43.57'N`, `41 43 34.2 N`. Four digits or more before the point, with a letter, are degrees and minutes
/// run together, as NMEA 0183 writes them: `4143.57,N`. South and west are negative. `O` is east in one language and west in another: it is
/// what the header says (`o`), or neither.
pub(super) fn degrees(role: Role, cell: &str, beside: Option<f64>, o: Option<f64>) -> Field {
    if is_blank(cell) {
        return Field::Absent;
    }
    if beside.is_none()
        && let Some(value) = number::parse(cell)
    {
        return Field::Number(value);
    }
    written(role, cell, beside, o).map_or(Field::Bad, Field::Number)
}

/// The sign of a hemisphere named by a letter or a word, `None` where it is not understood.
pub(super) fn hemisphere(role: Role, word: &str, o: Option<f64>) -> Option<f64> {
    let word = word.trim().to_lowercase();
    let mut letters = word.chars();
    if let (letter, None) = (letters.next()?, letters.next()) {
        return sign(role, letter, o);
    }
    let [positive, negative]: [&[&str]; 2] = match role {
        Role::Latitude => [
            &["north", "nord", "norte", "noord"],
            &["south", "süd", "sud", "sur", "sul", "zuid"],
        ],
        _ => [
            &["east", "ost", "est", "este", "leste", "oost"],
            &["west", "ouest", "oeste", "ovest"],
        ],
    };
    let is = |names: &[&str]| names.contains(&word.as_str());
    match (is(positive), is(negative)) {
        (true, _) => Some(1.0),
        (_, true) => Some(-1.0),
        _ => None,
    }
}

/// The role whose hemispheres a heading such as `N/S` or `E/O` names, and the sign of an O: Ost beside W, Ovest beside E.
pub(super) fn sides(word: &str) -> Option<(Role, Option<f64>)> {
    let (a, b) = word.trim().split_once('/')?;
    Some(match (a.trim(), b.trim()) {
        ("n", "s" | "z") | ("s" | "z", "n") => (Role::Latitude, None),
        ("e", "w") | ("w", "e") => (Role::Longitude, None),
        ("o", "w") | ("w", "o") => (Role::Longitude, Some(1.0)),
        ("e" | "l", "o") | ("o", "e" | "l") => (Role::Longitude, Some(-1.0)),
        _ => return None,
    })
}

/// Whether a cell names the hemisphere of that role, so that no header need tell what it is.
pub(super) fn names_itself(role: Role, cell: &str) -> bool {
    let lettered = cell.contains(match role {
        Role::Latitude => ['N', 'n', 'S', 's'],
        _ => ['E', 'e', 'W', 'w'],
    });
    lettered && written(role, cell, None, None).is_some()
}

fn written(role: Role, cell: &str, beside: Option<f64>, o: Option<f64>) -> Option<f64> {
    // Longer than any angle, and so not worth a copy.
    if cell.len() > 40 {
        return None;
    }
    let is_letter = |c: &char| c.is_alphabetic() && !matches!(c, 'd' | 'º');
    let mut letters = cell.chars().filter(is_letter);
    let letter = letters.next();
    if letters.next().is_some() {
        return None;
    }
    let named = match letter {
        Some(letter) => Some(sign(role, letter, o)?),
        None => beside,
    };
    let sign = named.unwrap_or(1.0);
    let parts: Vec<&str> = cell
        .split(|c: char| c.is_whitespace() || is_letter(&c) || "°º˚d'′’\"″”".contains(c))
        .filter(|part| !part.is_empty())
        .collect();
    let mut degrees = number::parse(parts.first()?)?;
    let lettered = named.is_some();
    let whole = parts.first()?.split(['.', ',']).next()?;
    if lettered && parts.len() == 1 && whole.trim_start_matches('-').len() > 3 {
        let minutes = degrees % 100.0;
        degrees = (degrees / 100.0).trunc() + minutes / 60.0;
        return (0.0..60.0).contains(&minutes).then_some(sign * degrees);
    }
    let mut size = degrees.abs();
    let mut unit = 1.0;
    for part in parts.get(1..)? {
        let value = number::parse(part)?;
        unit /= 60.0;
        if !(0.0..60.0).contains(&value) || unit < 1.0 / 3600.0 - 1e-9 {
            return None;
        }
        size += value * unit;
    }
    if degrees < 0.0 && lettered {
        return None;
    }
    let minus = parts.first()?.starts_with('-');
    Some(if minus { -size } else { sign * size })
}

fn sign(role: Role, letter: char, o: Option<f64>) -> Option<f64> {
    match (role, letter.to_ascii_uppercase()) {
        (Role::Latitude, 'N') | (Role::Longitude, 'E' | 'L') => Some(1.0),
        // Zuid.
        (Role::Latitude, 'S' | 'Z') | (Role::Longitude, 'W') => Some(-1.0),
        (Role::Longitude, 'O') => o,
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(role: Role, cell: &str, side: Option<&str>, expected: f64) {
        let beside = side.map(|word| hemisphere(role, word, None).expect("a hemisphere"));
        match degrees(role, cell, beside, None) {
            Field::Number(value) => assert!((value - expected).abs() < 1e-9, "{cell}: {value}"),
            _ => panic!("{cell} not read"),
        }
    }

    #[test]
    fn degrees_and_minutes_are_read() {
        let lat = 41.0 + 43.57 / 60.0;
        for cell in [
            "41°43.57'N",
            "41° 43.57′ N",
            "N 41 43.57",
            "41°43,57'N",
            "41d43.57'n",
        ] {
            check(Role::Latitude, cell, None, lat);
        }
        check(Role::Latitude, "4143.57", Some("N"), lat);
        check(Role::Latitude, "4143.57", Some("S"), -lat);
        check(
            Role::Longitude,
            "01229.5",
            Some("west"),
            -(12.0 + 29.5 / 60.0),
        );
        check(
            Role::Latitude,
            "41°43'34.2\"S",
            None,
            -(41.0 + 43.0 / 60.0 + 34.2 / 3600.0),
        );
        check(Role::Longitude, "12.4921 W", None, -12.4921);
        check(Role::Longitude, "-12.4921", None, -12.4921);
        check(Role::Longitude, "12.4921", Some("E"), 12.4921);
        check(Role::Longitude, "-0°30'", None, -0.5);
    }

    #[test]
    fn what_can_mean_two_things_is_not_read() {
        for cell in [
            "12.5 O",
            "41°61'N",
            "41°43'N 12°29'E",
            "x",
            "1 2 3 4",
            "-41.5 S",
        ] {
            assert!(
                matches!(degrees(Role::Latitude, cell, None, None), Field::Bad),
                "{cell}"
            );
        }
        assert!(matches!(
            degrees(Role::Latitude, "12.5 E", None, None),
            Field::Bad
        ));
        assert!(matches!(
            degrees(Role::Latitude, "-", None, None),
            Field::Absent
        ));
        assert!(names_itself(Role::Latitude, "41.5N") && !names_itself(Role::Latitude, "41.5"));
    }

    #[test]
    fn an_o_is_what_the_header_says() {
        for (header, sign) in [("o/w", 1.0), ("w/o", 1.0), ("e/o", -1.0), ("l/o", -1.0)] {
            let (role, o) = sides(header).expect("hemispheres");
            assert_eq!(hemisphere(role, "O", o), Some(sign), "{header}");
        }
        assert_eq!(sides("e/w"), Some((Role::Longitude, None)));
        assert_eq!(hemisphere(Role::Longitude, "O", None), None);
        assert_eq!(hemisphere(Role::Longitude, "Ovest", None), Some(-1.0));
        assert_eq!(hemisphere(Role::Longitude, "Oost", None), Some(1.0));
        assert_eq!(hemisphere(Role::Latitude, "Zuid", None), Some(-1.0));
        assert_eq!(hemisphere(Role::Latitude, "", None), None);
        assert_eq!(hemisphere(Role::Latitude, "W", None), None);
    }
}
