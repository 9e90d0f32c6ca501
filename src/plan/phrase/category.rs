//! The word that a block begins with.

use super::{Phrases, Said};
use crate::plan::Category;
use crate::plan::near::nearest;
use crate::plan::word::{Kind, Word};

/// Words that people use for our categories: suggested, never taken.
const OTHER_NAMES: [(&str, Category); 14] = [
    ("sprint", Category::Speed),
    ("sprints", Category::Speed),
    ("endurance", Category::Resistance),
    ("stamina", Category::Resistance),
    ("conditioning", Category::Resistance),
    ("agility", Category::Strength),
    ("shuttles", Category::Strength),
    ("technique", Category::Technical),
    ("tech", Category::Technical),
    ("match", Category::Game),
    ("games", Category::Game),
    ("warming", Category::WarmUp),
    ("warmdown", Category::CoolDown),
    ("cooling", Category::CoolDown),
];

const EXPECTED_CATEGORY: &str =
    "warm-up, technical, strength, resistance, speed, game, cool-down or gym";

/// Whether the words in front of a colon begin with a category: then the line is a block, and no header line.
pub(in crate::plan) fn begins_with_category(text: &str) -> bool {
    let words: Vec<&str> = text
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty())
        .collect();
    (1..=words.len().min(2)).any(|n| {
        let start: String = words.iter().take(n).copied().collect();
        category_of(&letters_of(&start)).is_some()
    })
}

fn letters_of(text: &str) -> String {
    let letters = text.chars().filter(|c| c.is_alphabetic());
    letters.flat_map(char::to_lowercase).collect()
}

fn category_of(letters: &str) -> Option<Category> {
    Category::ALL
        .into_iter()
        .find(|category| letters_of(category.word()) == letters)
}

impl Phrases<'_> {
    pub(super) fn category(&mut self, said: &mut Said) -> Option<Category> {
        let two = format!("{}{}", self.letters(0), self.letters(1));
        let one = self.letters(0);
        if let Some(category) = category_of(&one) {
            self.at += 1;
            return Some(category);
        }
        if let Some(category) = category_of(&two) {
            self.at += 2;
            return Some(category);
        }
        let from = self.at;
        if one.is_empty() {
            let span = self.span();
            said.lost = !matches!(
                self.kind(),
                Some(Kind::Number(_) | Kind::Clock(_) | Kind::Quoted(_))
            );
            self.wrong(span, "a block begins with its category")
                .expected = Some(EXPECTED_CATEGORY.to_owned());
            if said.lost {
                self.skip();
            }
            return None;
        }
        let near = |letters: &str| {
            let words = Category::ALL.map(|category| letters_of(category.word()));
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let other = OTHER_NAMES.iter().find(|(name, _)| *name == letters);
            nearest(letters, &words)
                .and_then(category_of)
                .or(other.map(|(_, category)| *category))
        };
        // `match prep 20 min` is no match.
        let prepares = one == "match"
            && matches!(self.letters(1).as_str(), "prep" | "preparation" | "priming");
        let found = if let Some(category) = near(&one).filter(|_| !prepares) {
            self.at += 1;
            // `warming up`: the second half belongs to it.
            if matches!(self.letters(0).as_str(), "up" | "down") {
                self.at += 1;
            }
            Some(category)
        } else if !self.letters(1).is_empty()
            && let Some(category) = near(&two)
        {
            self.at += 2;
            Some(category)
        } else {
            self.at += 1;
            said.lost = true;
            None
        };
        let span = self.since(from);
        let written = self.line.slice(&span).to_owned();
        let mistake = self.wrong(span, format!("`{written}` is no category"));
        mistake.expected = Some(EXPECTED_CATEGORY.to_owned());
        mistake.suggestion = found.map(|category| category.word().to_owned());
        let numbers = |word: &Word| matches!(word.kind, Kind::Number(_) | Kind::Clock(_));
        if found.is_none() && !self.words.iter().any(numbers) {
            // Prose: one mistake is enough.
            self.at = self.words.len();
        } else if found.is_none() {
            while self.kind() == Some(&Kind::Letters) {
                self.at += 1;
            }
        }
        None
    }
}
