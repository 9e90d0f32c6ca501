//! `warm up 10m`: metres that are meant as minutes.

use crate::plan::near::is_one_of;
use crate::plan::word;
use crate::plan::{Block, Category, Dose, Work};

/// The shortest way that a warm-up, a cool-down or a game may have, m; what is less and written with a bare m is minutes.
const LEAST_WAY_M: f64 = 100.0;

/// A block with its dose in minutes where that is meant, and whether it is.
pub(super) fn as_meant(block: Block, content: &str) -> (Block, bool) {
    match minutes_meant(&block, content) {
        Some(duration_s) => {
            let dose = Dose::Continuous { duration_s };
            (Block { dose, ..block }, true)
        }
        None => (block, false),
    }
}

/// The time that is meant where a warm-up, a cool-down or a game is written with a few `m` and nothing else, s.
fn minutes_meant(block: &Block, content: &str) -> Option<f64> {
    let whole = matches!(
        block.category,
        Category::WarmUp | Category::CoolDown | Category::Game
    ) || block.category == Category::Gym && stays_in_place(block.name.as_deref());
    let Dose::Reps {
        sets: 1,
        reps: 1,
        work: Work::Distance(number),
    } = block.dose
    else {
        return None;
    };
    let plain = block.mixed.is_empty() && block.over_m.is_none() && !block.there_and_back;
    if !whole || !plain || number >= LEAST_WAY_M || block.target.is_some() {
        return None;
    }
    let content = content.split('#').next().unwrap_or_default();
    let written = number.to_string();
    let bare = content.match_indices(written.as_str()).any(|(at, _)| {
        let before = content.get(..at).unwrap_or_default().trim_end();
        let behind = content.get(at + written.len()..).unwrap_or_default();
        let unit = behind.trim_start().strip_prefix(['m', 'M']);
        let last = before
            .rsplit(char::is_whitespace)
            .next()
            .unwrap_or_default();
        let counts =
            |c: char| c.is_ascii_digit() || matches!(c, 'x' | 'X' | '.') || word::is_times(c);
        let counted = !last.is_empty() && last.chars().all(counts);
        !counted && unit.is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
    });
    bare.then_some(60.0 * number)
}

/// Whether work in the gym goes nowhere: `gym 45m`, `stretching 10m`.
fn stays_in_place(name: Option<&str>) -> bool {
    const STAYS: &str = "stretch, stretches, stretching, mobility, core, abs, yoga, pilates, foam, plank, \
     planks, bike, weights";
    name.is_none_or(|name| {
        name.split(' ')
            .any(|word| is_one_of(&word.to_lowercase(), STAYS))
    })
}
