//! The accounts that teach what the session's own times, speeds and places are.

use super::account::told;
use crate::bouts::Bout;
use crate::review::chain::Fate;
use crate::review::items::Item;

/// How many accounts of one order may teach.
const TEACHERS: usize = 3;

/// Sets that are left out, and the accounts drawn that leave out just these.
type Group = (Vec<(usize, usize)>, Vec<usize>);

/// The accounts that teach: of the accounts drawn, those that leave out the same sets stand together, and the one of each
/// that agrees best with its own teaches. What a wrong account teaches makes it look right; so others may teach as well.
pub(super) fn teachers<'d>(
    items: &[Item],
    drawn: &'d [Vec<Fate>],
    candidates: &[Bout],
) -> Vec<&'d [Fate]> {
    let left_out = |fates: &[Fate]| -> Vec<(usize, usize)> {
        let mut sets: Vec<(usize, usize)> = Vec::new();
        let mut there = None;
        for (item, fate) in items.iter().zip(fates) {
            let set = (item.block, item.set);
            let gone = fate.is_left_out();
            if !gone {
                there = Some(set);
                if sets.last() == Some(&set) {
                    sets.pop();
                }
            } else if there != Some(set) && sets.last() != Some(&set) {
                sets.push(set);
            }
        }
        sets
    };
    let mut groups: Vec<Group> = Vec::new();
    for (n, fates) in drawn.iter().enumerate() {
        let sets = left_out(fates);
        match groups.iter_mut().find(|(known, _)| *known == sets) {
            Some((_, group)) => group.push(n),
            None => groups.push((sets, vec![n])),
        }
    }
    groups.sort_by_key(|(_, group)| std::cmp::Reverse(group.len()));
    groups.truncate(TEACHERS);
    groups
        .into_iter()
        .map(|(_, group)| {
            let own: Vec<Vec<Fate>> = group.iter().map(|&n| drawn[n].clone()).collect();
            drawn[group[told(&own, candidates)]].as_slice()
        })
        .collect()
}
