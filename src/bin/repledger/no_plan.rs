//! What was given as a plan by mistake.

/// What a file is that was given as a plan by mistake, told by how it begins.
pub fn something_else(bytes: &[u8]) -> Option<&'static str> {
    let text = bytes.trim_ascii_start();
    match text.strip_prefix(b"\xef\xbb\xbf").unwrap_or(text) {
        [b'<', ..] => Some(markup(text)),
        [b'{', b'\\', b'r', b't', b'f', ..] => {
            Some("a document in RTF, such as a word processor writes; save it as plain text")
        }
        [_, _, _, _, _, _, _, _, b'.', b'F', b'I', b'T', ..] => Some("a recording in FIT"),
        [b'P', b'K', 3, 4, ..] => Some("a packed document, such as a word processor writes"),
        [0x1f, 0x8b, ..] => Some("a compressed file"),
        [b'{' | b'[', ..] => Some("JSON"),
        [0x89, b'P', b'N', b'G', ..]
        | [0xff, 0xd8, 0xff, ..]
        | [b'G', b'I', b'F', b'8', ..]
        | [
            b'R',
            b'I',
            b'F',
            b'F',
            _,
            _,
            _,
            _,
            b'W',
            b'E',
            b'B',
            b'P',
            ..,
        ]
        | [_, _, _, _, b'f', b't', b'y', b'p', ..] => Some("a picture or a film"),
        [b'R', b'I', b'F', b'F', ..] | [b'f', b'L', b'a', b'C', ..] => Some("a sound"),
        [b'%', b'P', b'D', b'F', ..] => Some("a PDF document"),
        [b'S', b'Q', b'L', b'i', b't', b'e', ..] => Some("a database, such as a diary"),
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => None,
        _ if head(bytes).contains(&0) => Some("a binary file"),
        _ if is_table(bytes) => Some("a table, such as a recording in CSV"),
        _ if names_columns(bytes) => Some(
            "a table; a plan has a line of words for each block, such as `speed 5 x 40 m, walk back`",
        ),
        _ => None,
    }
}

/// How a file begins.
fn head(bytes: &[u8]) -> &[u8] {
    bytes.get(..bytes.len().min(4096)).unwrap_or_default()
}

/// What kind of XML or HTML it is.
fn markup(text: &[u8]) -> &'static str {
    let head = String::from_utf8_lossy(head(text)).to_lowercase();
    if head.contains("<gpx") {
        "a GPX recording"
    } else if head.contains("<trainingcenterdatabase") {
        "a TCX recording"
    } else if head.contains("<html") || head.contains("<!doctype html") {
        "a web page"
    } else {
        "an XML file"
    }
}

/// Whether the first line names the columns of a table: two or more words that head one, with the same sign between them as
/// stands between the cells of the next line.
fn names_columns(bytes: &[u8]) -> bool {
    const COLUMNS: &str = "block drill exercise category type kind activity name what dose work sets \
         reps distance time duration length rest pause recovery notes note intensity speed";
    let text = String::from_utf8_lossy(head(bytes)).to_lowercase();
    let mut rows = text.lines().filter(|line| !line.trim().is_empty());
    let (Some(first), Some(second)) = (rows.next(), rows.next()) else {
        return false;
    };
    [',', ';', '\t', '|'].into_iter().any(|sign| {
        let cells: Vec<&str> = (first.split(sign))
            .map(|cell| cell.trim().trim_matches('\u{feff}').trim_matches('"'))
            .filter(|cell| !cell.is_empty())
            .collect();
        let named = |cell: &&str| COLUMNS.split(' ').any(|name| name == *cell);
        cells.len() > 1 && cells.iter().all(named) && second.contains(sign)
    })
}

/// Whether the first lines are cells of as many columns, most of them numbers.
fn is_table(bytes: &[u8]) -> bool {
    let head = head(bytes);
    let text = String::from_utf8_lossy(head);
    // The first line names the columns, and the last may be cut off.
    let mut rows: Vec<&str> = text
        .lines()
        .filter(|line| !line.trim().is_empty())
        .collect();
    if rows.len() > 2 && bytes.len() > head.len() {
        rows.pop();
    }
    let Some((_, rows)) = rows.split_first() else {
        return false;
    };
    [',', ';', '\t'].into_iter().any(|sign| {
        let cells: Vec<Vec<&str>> = rows.iter().map(|row| row.split(sign).collect()).collect();
        let columns = cells.first().map_or(0, Vec::len);
        let all: Vec<&&str> = cells.iter().flatten().collect();
        let numbers = all
            .iter()
            .filter(|cell| cell.trim().parse::<f64>().is_ok())
            .count();
        columns > 2 && cells.iter().all(|row| row.len() == columns) && numbers * 2 > all.len()
    })
}
