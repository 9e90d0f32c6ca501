//! Accounts: drawn from a chain as often as they are likely, held against each other, and the one that is told.

use crate::bouts::Bout;
use crate::review::chain::{Chain, Fate, Memory};
use crate::review::items::{Item, Kind};
use crate::review::learn;

/// Two stretches of time are the same work from this overlap on.
const SAME: f64 = 0.5;

/// Draws accounts. The chances are the same each time, so that a session is always read alike.
pub(super) fn draw(chain: &Chain<'_>, items: &[Item], draws: usize) -> Vec<Vec<Fate>> {
    let endings = chain.drawable();
    let mut memory = Memory::default();
    (0..draws as u64)
        .map(|n| {
            // Each account has chances of its own, so that the last digit of one changes no other.
            // splitmix64 (Steele, Lea, Flood 2014, 10.1145/2660193.2660195).
            let mut state = n << 32;
            let mut chance = || {
                state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
                let mut z = state;
                z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
                z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
                ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
            };
            let mut fates = chain.draw(&endings, &mut memory, &mut chance);
            close_up(items, &mut fates);
            fates
        })
        .collect()
}

/// Who leaves a rep out and does one more at the end has left none out: those behind it close up, and the rest was long.
fn close_up(items: &[Item], fates: &mut [Fate]) {
    for extra in (0..items.len()).filter(|&k| items[k].kind == Kind::Extra) {
        let set = (items[extra].block, items[extra].set);
        let first = (0..extra)
            .rev()
            .take_while(|&k| (items[k].block, items[k].set) == set)
            .last();
        let Some(first) = first.filter(|_| matches!(fates[extra], Fate::Bout(_))) else {
            continue;
        };
        if let Some(out) = (first..extra).rev().find(|&k| fates[k] == Fate::Missing) {
            fates[out..=extra].rotate_left(1);
        }
    }
}

/// Whether two fates of an item are the same work.
pub(super) fn same(a: &Fate, b: &Fate, candidates: &[Bout]) -> bool {
    if a == b {
        return true;
    }
    match (a.span_s(candidates), b.span_s(candidates)) {
        (None, None) => (*a == Fate::Hidden) == (*b == Fate::Hidden),
        (Some(a), Some(b)) => {
            let both = a.1.min(b.1) - a.0.max(b.0);
            both > SAME * (a.1.max(b.1) - a.0.min(b.0))
        }
        _ => false,
    }
}

/// The account that agrees best with all that were drawn.
pub(super) fn told(drawn: &[Vec<Fate>], candidates: &[Bout]) -> usize {
    let items = drawn.first().map_or(0, Vec::len);
    let mut agreement = vec![0.0; drawn.len()];
    for k in 0..items {
        // Few different fates are drawn of an item: each is held against the others once.
        let mut kinds: Vec<(Fate, usize)> = Vec::new();
        let of: Vec<usize> = drawn
            .iter()
            .map(|fates| {
                let fate = fates[k];
                let known = kinds.iter().position(|(f, _)| *f == fate);
                let known = known.unwrap_or_else(|| {
                    kinds.push((fate, 0));
                    kinds.len() - 1
                });
                kinds[known].1 += 1;
                known
            })
            .collect();
        let agree: Vec<f64> = kinds
            .iter()
            .map(|(fate, own)| {
                let others: usize = kinds
                    .iter()
                    .filter(|(f, _)| same(f, fate, candidates))
                    .map(|(_, n)| n)
                    .sum();
                // The very same edges count a little, so that of alike accounts the middle one is told.
                others as f64 + 0.1 * *own as f64
            })
            .collect();
        for (agreement, kind) in agreement.iter_mut().zip(of) {
            *agreement += agree[kind];
        }
    }
    (0..drawn.len())
        .max_by(|a, b| agreement[*a].total_cmp(&agreement[*b]))
        .unwrap_or(0)
}

/// The account that is told with the borders of its stretches in the middle of where the accounts drawn have them.
pub(super) fn settled(mut fates: Vec<Fate>, drawn: &[Vec<Fate>], candidates: &[Bout]) -> Vec<Fate> {
    let mut free_from_s = f64::NEG_INFINITY;
    for k in 0..fates.len() {
        if let Fate::Stretch(_, _, cut) = fates[k] {
            let alike = drawn.iter().map(|d| &d[k]);
            let spans: Vec<(f64, f64)> = alike
                .filter(|fate| same(fate, &fates[k], candidates))
                .filter_map(|fate| fate.span_s(candidates))
                .collect();
            let starts: Vec<f64> = spans.iter().map(|s| s.0).collect();
            let ends: Vec<f64> = spans.iter().map(|s| s.1).collect();
            let start_s = learn::median(&starts).max(free_from_s);
            fates[k] = Fate::Stretch(start_s, learn::median(&ends).max(start_s), cut);
        }
        if let Some((_, end_s)) = fates[k].span_s(candidates) {
            free_from_s = free_from_s.max(end_s);
        }
    }
    fates
}
