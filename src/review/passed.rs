//! Whether the time that a block takes passed where it should have been: who leaves a block out goes on to the next, who does it at a
//! walk, or in another manner than any that is looked for, needs its time.

use crate::bouts::Bout;
use crate::plan::Category;
use crate::review::items::{Item, Kind};
use crate::review::matching::Matching;

/// So much of its time, rests and all, has to pass beyond the rest before it.
const PASSED: f64 = 0.75;
/// A block that takes less than this may be waited out, s.
const LEAST_S: f64 = 240.0;

/// For each block of which hardly anything was found, whether its time passed between the work of the plan before and after it, in which
/// nothing else of the plan was done. Intermittent work that was moved there explains no time.
pub(super) fn time_passed(matching: &Matching, candidates: &[Bout], is_gone: &[bool]) -> Vec<bool> {
    let done: Vec<Done> = (matching.items.iter().zip(&matching.fates))
        .filter(|(item, _)| item.kind != Kind::Extra && !is_gone[item.block])
        .filter_map(|(item, fate)| {
            let (start_s, end_s) = fate.span_s(candidates)?;
            Some(Done {
                item,
                start_s,
                end_s,
            })
        })
        .collect();
    let rooms: Vec<Option<Room>> = (0..is_gone.len())
        .map(|block| {
            is_gone[block]
                .then(|| room(matching, block, &done))
                .flatten()
        })
        .collect();
    let needs_s: Vec<f64> = (0..is_gone.len())
        .map(|block| needs_s(&matching.items, block))
        .collect();
    (rooms.iter())
        .map(|room| {
            // Neighbours that are both gone share their room.
            let shared = (rooms.iter().zip(&needs_s)).filter(|(other, _)| *other == room);
            let needed_s: f64 = shared.map(|(_, needs_s)| needs_s).sum();
            (room.as_ref())
                .is_some_and(|room| needed_s >= LEAST_S && room.free_s >= PASSED * needed_s)
        })
        .collect()
}

/// Whether an item is intermittent work that was brought nearer to a block than the plan has it: it was moved to where it fits, and a game
/// holds any work.
pub(super) fn is_moved(matching: &Matching, item: &Item, block: usize) -> bool {
    let Some(order) = matching
        .reordered
        .as_ref()
        .filter(|_| item.kind == Kind::Stretch)
    else {
        return false;
    };
    let place = |block: usize| order.iter().position(|&b| b == block);
    let (from, to) = (item.block.min(block) + 1, item.block.max(block));
    (from..to).any(|between| {
        if item.block > block {
            place(item.block) < place(between)
        } else {
            place(item.block) > place(between)
        }
    })
}

/// Work of the plan that was found.
struct Done<'m> {
    item: &'m Item,
    start_s: f64,
    end_s: f64,
}

/// The time between the work of the plan before and after a block.
#[derive(PartialEq)]
struct Room {
    from_s: f64,
    free_s: f64,
}

fn room(matching: &Matching, block: usize, done: &[Done<'_>]) -> Option<Room> {
    let firm = || done.iter().filter(|d| !is_moved(matching, d.item, block));
    let before =
        (firm().filter(|d| d.item.block < block)).max_by(|a, b| a.end_s.total_cmp(&b.end_s))?;
    let from_s = before.end_s;
    let to_s = (firm())
        .filter(|d| d.item.block > block && d.start_s >= from_s)
        .map(|d| d.start_s)
        .min_by(f64::total_cmp)?;
    Some(Room {
        from_s,
        free_s: to_s - from_s - before.item.rest_after.value,
    })
}

/// The time that a block takes with its rests, s; none for what looks like standing about.
fn needs_s(items: &[Item], block: usize) -> f64 {
    (items.iter())
        .filter(|i| i.block == block && i.kind != Kind::Extra && i.category != Category::Technical)
        .map(|i| i.work.value + i.rest_after.value)
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::review::chain::Fate;
    use crate::review::items;
    use std::collections::HashMap;

    /// Three blocks of which the second is gone; the first ends and the third begins at these times, s, and the game after them stands
    /// between these, moved there.
    fn passed(ends_s: f64, begins_s: f64, game_s: Option<(f64, f64)>) -> bool {
        let plan = crate::plan::parse(
            "resistance 10 min, then 2 min\nstrength 12 x 10 m there and back, rest 30 s\nresistance 10 min\ngame 10 min",
        )
        .expect("a plan");
        let order = match game_s {
            Some(_) => [0, 1, 3, 2],
            None => [0, 1, 2, 3],
        };
        let items = items::schedule(&plan, &order, None).items;
        let fates = (items.iter())
            .map(|item| match (item.block, game_s) {
                (0, _) => Fate::Stretch(ends_s - 600.0, ends_s, false),
                (2, _) => Fate::Stretch(begins_s, begins_s + 600.0, false),
                (3, Some((from_s, to_s))) => Fate::Stretch(from_s, to_s, false),
                _ => Fate::Missing,
            })
            .collect();
        let matching = Matching {
            items,
            fates,
            odds: Vec::new(),
            done: HashMap::new(),
            done_of_block: HashMap::new(),
            reordered: game_s.map(|_| order.to_vec()),
            gain: 0.0,
        };
        time_passed(&matching, &[], &[false, true, false, game_s.is_none()])[1]
    }

    /// The block takes about seven minutes: after two they go on without it, and in nine it may have been done.
    #[test]
    fn nobody_left_out_what_took_its_time() {
        assert!(passed(1000.0, 1000.0 + 540.0, None));
        assert!(!passed(1000.0, 1000.0 + 240.0, None));
        // A game that was moved there explains nothing.
        assert!(passed(1000.0, 1000.0 + 800.0, Some((1100.0, 1700.0))));
    }
}
