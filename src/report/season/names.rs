//! Names of the pages' files.

use sha2::{Digest, Sha256};

use crate::diary::{Entry, Recording};
use crate::progress::IsoWeek;

/// The page that is opened first.
pub(super) const FIRST: &str = "index.html";
const ATHLETE: &str = "athlete-";
const WEEK: &str = "week-";
const SESSION: &str = "session-";
const REVIEW: &str = "review-";
const ENDING: &str = ".html";

/// Most characters of an athlete's name in that of his file.
const MOST: usize = 24;

/// `athlete-mika-5e1fb3a4.html`: what of the name a file can be called, and a hash of the whole of it.
pub(super) fn athlete(name: &str) -> String {
    let mut slug = String::new();
    for c in name.chars().flat_map(char::to_lowercase) {
        if c.is_ascii_alphanumeric() {
            slug.push(c);
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
        if slug.len() >= MOST {
            break;
        }
    }
    let slug = slug.trim_end_matches('-');
    let dash = if slug.is_empty() { "" } else { "-" };
    format!("{ATHLETE}{slug}{dash}{}{ENDING}", hash(name.as_bytes()))
}

/// `week-2026-W20.html`
pub(super) fn week(week: IsoWeek) -> String {
    format!("{WEEK}{week}{ENDING}")
}

/// `session-2026-05-12-0c9d41ab.html`: the hash tells the sessions of a day apart, without their number in the diary.
pub(super) fn session(entry: &Entry) -> String {
    let mut bytes = entry.id.to_le_bytes().to_vec();
    bytes.extend(entry.athlete.as_bytes());
    format!("{SESSION}{}-{}{ENDING}", entry.date, hash(&bytes))
}

/// `review-2026-05-12-9d41ab0c5e1fb3a4.html`: the hash is of all that the page is made of, so that a page that is there need not be made
/// again to know that it is the same. `around` is what does not come from the diary.
pub(super) fn review(entry: &Entry, recording: &Recording, around: &[&str]) -> String {
    let mut made_of = Sha256::new();
    let mut part = |bytes: &[u8]| {
        made_of.update((bytes.len() as u64).to_le_bytes());
        made_of.update(bytes);
    };
    part(session(entry).as_bytes());
    part(&recording.source.sha256);
    let own = [
        &entry.athlete,
        entry.title.as_deref().unwrap_or_default(),
        recording.plan.as_deref().unwrap_or_default(),
        &recording.settings,
        recording.reading.columns.as_deref().unwrap_or_default(),
        recording.device.as_deref().unwrap_or_default(),
    ];
    for text in own.iter().chain(around) {
        part(text.as_bytes());
    }
    part(&[match recording.reading.day_first {
        None => 0,
        Some(false) => 1,
        Some(true) => 2,
    }]);
    if let Some(earlier) = recording.earlier_top {
        let top = earlier.speed_m_s;
        for end in [top.value, top.low, top.high] {
            part(&end.to_le_bytes());
        }
        part(
            earlier
                .date
                .map_or_else(String::new, |d| d.to_string())
                .as_bytes(),
        );
    }
    let digest: [u8; 32] = made_of.finalize().into();
    let [a, b, c, d, e, f, g, h, ..] = digest;
    let short = u64::from_be_bytes([a, b, c, d, e, f, g, h]);
    format!("{REVIEW}{}-{short:016x}{ENDING}", entry.date)
}

/// Whether a name is one of these.
pub(super) fn is_page(name: &str) -> bool {
    name == FIRST
        || (name.ends_with(ENDING)
            && [ATHLETE, WEEK, SESSION, REVIEW]
                .iter()
                .any(|begin| name.starts_with(begin)))
}

/// Whether a name is that of a review.
pub(super) fn is_review(name: &str) -> bool {
    is_page(name) && name.starts_with(REVIEW)
}

/// The first 32 bits of SHA-256 in base 16.
fn hash(bytes: &[u8]) -> String {
    let digest: [u8; 32] = Sha256::digest(bytes).into();
    let [a, b, c, d, ..] = digest;
    format!("{:08x}", u32::from_be_bytes([a, b, c, d]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_has_a_file_of_its_own_that_any_system_takes() {
        let long = "x/\\:*?\"<>|".repeat(20);
        let names = [
            "Mika",
            "mika",
            "MIKA",
            "",
            " ",
            "../../etc",
            "عمر",
            "a\u{202e}b",
            &long,
            "CON",
        ];
        let files: Vec<String> = names.iter().map(|name| athlete(name)).collect();
        for (at, file) in files.iter().enumerate() {
            assert!(file.len() < 60 && is_page(file), "{file}");
            assert!(
                file.chars()
                    .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '.'),
                "{file}"
            );
            assert!(!files[at + 1..].contains(file), "{file}");
        }
        assert!(files[0].starts_with("athlete-mika-"));
        assert!(!is_page("page.html") && !is_page("notes-session-.txt"));
    }
}
