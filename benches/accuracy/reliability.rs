//! How often the 95 % intervals hold the truth, and how narrow they could be, as rows for docs/trust.md.

use repledger::simulation::score::Held;

use crate::score::Score;
use crate::table::{median, of, share};

/// What is looked at, with the unit of its widths and their decimals.
const QUANTITIES: [(&str, &str, usize); 6] = [
    ("distance", "m", 0),
    ("top", "m/s", 2),
    ("rep peak", "m/s", 2),
    ("rep distance", "m", 1),
    ("work", "s", 1),
    ("rest", "s", 1),
];

/// A row a receiver: of each quantity the share of intervals that hold the truth, the median width, and the width that an
/// interval of one size would need to hold 95 % of these very errors: its floor, known only with the truth in hand.
pub fn print(scores: &[Score], groups: &[&str]) {
    print!("| receiver |");
    for (name, unit, _) in QUANTITIES {
        print!(" {name}: n, held, width / floor in {unit} |");
    }
    println!("\n|{}", " --- |".repeat(QUANTITIES.len() + 1));
    for &group in groups {
        print!("| {group} |");
        for (name, _, decimals) in QUANTITIES {
            let held: Vec<Held> = of(scores, group)
                .iter()
                .filter_map(|s| s.covered.get(name))
                .flatten()
                .copied()
                .collect();
            let holds = share(held.iter().filter(|h| h.holds).count(), held.len());
            let width = median(held.iter().map(|h| h.width).collect());
            print!(
                " {}, {:.1} %, {width:.decimals$} / {:.decimals$} |",
                held.len(),
                100.0 * holds,
                floor(&held)
            );
        }
        println!();
    }
}

/// Twice the size that 95 % of the errors stay within.
fn floor(held: &[Held]) -> f64 {
    let mut sizes: Vec<f64> = held.iter().map(|h| h.error.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let index = (0.95 * sizes.len() as f64) as usize;
    2.0 * sizes
        .get(index.min(sizes.len().saturating_sub(1)))
        .copied()
        .unwrap_or(f64::NAN)
}
