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
/// So many bouts that the plan does not explain say that more was done than it knows of.
const LEAST_LEFT: usize = 2;

/// For each block of which hardly anything was found, whether its time passed between the work of the plan before and after it, in which
/// nothing else of the plan was done. Intermittent work that was moved there explains no time. `left_s` has when the work begins that the
/// plan does not explain, in order, s.
pub(super) fn time_passed(
    matching: &Matching,
    candidates: &[Bout],
    left_s: &[f64],
    until_s: f64,
    is_gone: &[bool],
) -> Vec<bool> {
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
    let needs_s: Vec<f64> = (0..is_gone.len())
        .map(|block| needs_s(&matching.items, block))
        .collect();
    let passed_in = |room: &dyn Fn(usize) -> Option<Room>| {
        let rooms: Vec<Option<Room>> = (0..is_gone.len())
            .map(|block| is_gone[block].then(|| room(block)).flatten())
            .collect();
        let passed = rooms.iter().map(|room| {
            // Neighbours that are both gone share their room.
            let shared = (rooms.iter().zip(&needs_s)).filter(|(other, _)| *other == room);
            let needed_s: f64 = shared.map(|(_, needs_s)| needs_s).sum();
            (room.as_ref())
                .is_some_and(|room| needed_s >= LEAST_S && room.free_s >= PASSED * needed_s)
        });
        passed.collect::<Vec<bool>>()
    };
    let as_they_lie = passed_in(&|block| room(matching, block, &done));
    let wherever = passed_in(&|block| wider_room(matching, block, &done, (left_s, until_s)));
    (as_they_lie.iter().zip(wherever))
        .map(|(as_they_lie, wherever)| *as_they_lie || wherever)
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

/// The last work before a block and the start of the first after it, s.
struct Between<'m> {
    before: Option<&'m Done<'m>>,
    from_s: f64,
    to_s: f64,
}

impl<'m> Between<'m> {
    /// By some of the work that was found; `None` where none comes after.
    fn of(block: usize, firm: &[&'m Done<'m>]) -> Option<Self> {
        let all = Self::up_to(f64::INFINITY, block, firm);
        let to_s = (firm.iter())
            .filter(|d| d.item.block > block && d.start_s >= all.from_s)
            .map(|d| d.start_s)
            .min_by(f64::total_cmp)?;
        Some(Self { to_s, ..all })
    }

    /// By some of the work that was found before, and up to a time, s.
    fn up_to(to_s: f64, block: usize, firm: &[&'m Done<'m>]) -> Self {
        let before = (firm.iter().copied())
            .filter(|d| d.item.block < block)
            .max_by(|a, b| a.end_s.total_cmp(&b.end_s));
        Self {
            before,
            from_s: before.map_or(0.0, |d| d.end_s),
            to_s,
        }
    }

    fn holds(&self, done: &Done<'_>) -> bool {
        self.from_s <= done.start_s && done.end_s <= self.to_s
    }

    /// Beyond the rest before, and but for so much of it, s.
    fn room(&self, taken_s: f64) -> Room {
        let rest_s = self.before.map_or(0.0, |d| d.item.rest_after.value);
        Room {
            from_s: self.from_s,
            free_s: self.to_s - self.from_s - rest_s - taken_s,
        }
    }
}

fn room(matching: &Matching, block: usize, done: &[Done<'_>]) -> Option<Room> {
    let firm: Vec<&Done> = (done.iter())
        .filter(|d| !is_moved(matching, d.item, block))
        .collect();
    let between = Between::of(block, &firm)?;
    between.before.is_some().then(|| between.room(0.0))
}

/// The same between work that cannot be mistaken, whatever calm work lies in it: that may have been at another place, so that only its
/// time is gone. Only where there is work that the plan does not explain, or only by another order.
fn wider_room(
    matching: &Matching,
    block: usize,
    done: &[Done<'_>],
    (left_s, until_s): (&[f64], f64),
) -> Option<Room> {
    let (moved, kept): (Vec<&Done>, Vec<&Done>) =
        (done.iter()).partition(|d| is_moved(matching, d.item, block));
    let (vague, firm): (Vec<&Done>, Vec<&Done>) = kept.into_iter().partition(|d| is_vague(d.item));
    let within = Between::of(block, &firm);
    // Nothing that cannot be mistaken comes after it: up to the end of the recording.
    let at_end = within.is_none();
    let between = within.unwrap_or_else(|| Between::up_to(until_s, block, &firm));
    let vague_s: f64 = (vague.iter().filter(|d| between.holds(d)))
        .map(|d| d.end_s - d.start_s + d.item.rest_after.value)
        .sum();
    let first = left_s.partition_point(|s| *s < between.from_s);
    let left = left_s[first..].partition_point(|s| *s < between.to_s);
    // Play that was moved there is none of the plan's for sure.
    let moved = moved.iter().any(|d| between.holds(d));
    (moved || left >= LEAST_LEFT && (vague_s > 0.0 || at_end)).then(|| between.room(vague_s))
}

/// Whether an item is work that hardly looks like any: a walk with a ball is found wherever nothing else is.
pub(super) fn is_vague(item: &Item) -> bool {
    item.kind == Kind::Stretch
        && matches!(
            item.category,
            Category::Technical | Category::WarmUp | Category::CoolDown
        )
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
            reordered: game_s.map(|_| order.to_vec()),
            ..Matching::told(items, fates)
        };
        time_passed(
            &matching,
            &[],
            &[],
            0.0,
            &[false, true, false, game_s.is_none()],
        )[1]
    }

    /// The block takes about seven minutes: after two they go on without it, and in nine it may have been done.
    #[test]
    fn nobody_left_out_what_took_its_time() {
        assert!(passed(1000.0, 1000.0 + 540.0, None));
        assert!(!passed(1000.0, 1000.0 + 240.0, None));
        // A game that was moved there explains nothing.
        assert!(passed(1000.0, 1000.0 + 800.0, Some((1100.0, 1700.0))));
    }

    /// A walk with a ball that was found right before the third block may have been done in the nineteen minutes before it, of which
    /// something else is known: then there was time for the second.
    #[test]
    fn calm_work_may_have_been_elsewhere() {
        let passed = |calm_s: (f64, f64), left_s: &[f64]| {
            let plan = crate::plan::parse(
                "technical 10 min\nstrength 12 x 10 m there and back, rest 30 s\nresistance 4 x 60 s",
            )
            .expect("a plan");
            let items = items::schedule(&plan, &[0, 1, 2], None).items;
            let run = |k| {
                Bout::run(
                    1800.0 + 120.0 * f64::from(k),
                    (60.0, 275.0),
                    (62.0, 280.0),
                    5.0,
                )
            };
            let bouts: Vec<Bout> = (0..4).map(run).collect();
            let mut runs = 0..4;
            let fates = (items.iter())
                .map(|item| match (item.block, item.kind) {
                    (0, _) => Fate::Stretch(calm_s.0, calm_s.1, false),
                    (2, Kind::Bout) => runs.next().map_or(Fate::Missing, Fate::Bout),
                    _ => Fate::Missing,
                })
                .collect();
            let matching = Matching::told(items, fates);
            time_passed(&matching, &bouts, left_s, 2300.0, &[false, true, false])[1]
        };
        assert!(passed((1150.0, 1750.0), &[600.0, 640.0]));
        assert!(!passed((1150.0, 1750.0), &[]));
        assert!(!passed((30.0, 1750.0), &[1760.0, 1770.0]));
    }
}
