//! Months by their names.

/// The months in English, German, French, Spanish, Italian, Portuguese and Dutch. A beginning of three letters or more will do where
/// it begins one month only.
const MONTHS: [&str; 12] = [
    "january januar janvier enero gennaio janeiro januari",
    "february februar février febrero febbraio fevereiro februari",
    "march märz mars marzo março maart mrt",
    "april avril abril aprile",
    "may mai mayo maggio maio mei",
    "june juni juin junio giugno junho",
    "july juli juillet julio luglio julho",
    "august août agosto augustus",
    "september septembre septiembre settembre setembro",
    "october oktober octobre octubre ottobre outubro",
    "november novembre noviembre novembro",
    "december dezember décembre diciembre dicembre dezembro",
];

/// The month of a word.
pub(super) fn month(word: &str) -> Option<i64> {
    if word.len() > 12 || word.chars().count() < 3 {
        return None;
    }
    let word = word.to_lowercase();
    let mut found = (1..)
        .zip(MONTHS)
        .filter(|(_, names)| names.split(' ').any(|name| name.starts_with(&word)));
    let (number, _) = found.next()?;
    found.next().is_none().then_some(number)
}
