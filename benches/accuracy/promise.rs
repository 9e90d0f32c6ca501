//! What `repledger simulate` promises for the plans of known sessions, beside what the review keeps on them.

use anyhow::Result;
use rayon::prelude::*;
use repledger::settings::Settings;
use repledger::simulation::outlook::{Study, outlook};
use repledger::simulation::{Kind, Mess};

use crate::case::Case;
use crate::folder::Entry;
use crate::score;
use crate::table::share;

/// Reps planned, judged, and judged rightly.
type Counts = [usize; 3];

/// A row a receiver: shares promised and kept, summed over its sessions. Messy sessions are left out, since the outlook is of
/// sessions that depart from their plan up to 5 times.
pub fn print(entries: &[Entry], sessions: u32, seed: u64) -> Result<()> {
    let rows: Vec<(Kind, Counts, Counts)> = (entries.par_iter())
        .filter_map(|entry| compared(entry, sessions, seed).transpose())
        .collect::<Result<_>>()?;
    println!("\npromised / kept   reps    told        right of these");
    for kind in Kind::ALL {
        let of_kind = || rows.iter().filter(move |row| row.0 == kind);
        let sum = |of: fn(&(Kind, Counts, Counts)) -> Counts| {
            of_kind().map(of).fold([0; 3], |a: Counts, b| {
                [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
            })
        };
        let (promised, kept) = (sum(|r| r.1), sum(|r| r.2));
        if kept[0] > 0 {
            println!(
                "{:<14} {:>7}    {:.3} / {:.3}  {:.3} / {:.3}",
                kind.word(),
                kept[0],
                share(promised[1], promised[0]),
                share(kept[1], kept[0]),
                share(promised[2], promised[1]),
                share(kept[2], kept[1]),
            );
        }
    }
    Ok(())
}

fn compared(entry: &Entry, sessions: u32, seed: u64) -> Result<Option<(Kind, Counts, Counts)>> {
    let case: Case = entry.case()?;
    let kind = Kind::ALL.into_iter().find(|k| k.word() == case.group);
    let (Some(kind), Some(plan)) = (kind, &case.plan) else {
        return Ok(None);
    };
    if case.mess == Some(Mess::Messy) {
        return Ok(None);
    }
    let study = Study {
        kinds: vec![kind],
        sessions,
        seed,
    };
    let outlook = outlook(plan, &study, &Settings::default(), &|_| ())?;
    let mut promised = [0; 3];
    for receiver in &outlook.receivers {
        promised = [
            receiver.all.planned,
            receiver.all.resolved,
            receiver.all.right,
        ];
    }
    let kept = score::of(&case).tally;
    Ok(Some((
        kind,
        promised,
        [kept.planned, kept.resolved, kept.right],
    )))
}
