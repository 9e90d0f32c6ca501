//! Looks for a word in a list, and for the one that was probably meant.

use strsim::damerau_levenshtein;

/// Whether a word is among those of a list, which has commas between them.
pub(super) fn is_one_of(word: &str, words: &str) -> bool {
    words.split(", ").any(|one| one == word)
}

/// The candidate that differs from `word` by few letters (one, or a third of its length), if any does.
pub(super) fn nearest<'a>(word: &str, candidates: &[&'a str]) -> Option<&'a str> {
    let letters = word.chars().count();
    if !(2..=40).contains(&letters) {
        return None;
    }
    let word = word.to_lowercase();
    candidates
        .iter()
        .map(|candidate| (damerau_levenshtein(&word, candidate), *candidate))
        .filter(|(distance, candidate)| {
            let shorter = candidate.chars().count().min(letters);
            shorter > 2 && *distance <= (shorter / 3).max(1)
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_slip_is_found_and_a_stranger_is_not() {
        let words = ["warm-up", "resistance", "rest", "speed"];
        assert_eq!(nearest("Resistence", &words), Some("resistance"));
        assert_eq!(nearest("sped", &words), Some("speed"));
        assert_eq!(nearest("rset", &words), Some("rest"));
        assert_eq!(nearest("volleyball", &words), None);
        assert_eq!(nearest("m", &words), None);
    }
}
