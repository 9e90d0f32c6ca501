//! Which programs hold a diary: Linux lists the locks on files, with the process that has each.

use std::path::{Path, PathBuf};

use anyhow::anyhow;
use repledger::diary;

use crate::printer::chain;

/// The same error; of a diary that stayed locked with the processes that hold it now, where the system tells.
pub fn named(error: anyhow::Error, diary: &Path) -> anyhow::Error {
    if !matches!(error.downcast_ref(), Some(diary::Error::Locked)) {
        return error;
    }
    let holders: Vec<String> = holders(diary)
        .into_iter()
        .map(|(process, name)| match name {
            Some(name) => format!("process {process} ('{name}')"),
            None => format!("process {process}"),
        })
        .collect();
    if holders.is_empty() {
        return error;
    }
    anyhow!("{}. It is held by {}", chain(&error), holders.join(", "))
}

/// How many times the list of locks is read for one that is known to be there.
#[cfg(target_os = "linux")]
const LOOKS: usize = 5;

/// The processes that lock the diary or the files beside it for writing, but for this one, with their names.
#[cfg(target_os = "linux")]
fn holders(diary: &Path) -> Vec<(u32, Option<String>)> {
    use std::fs;
    use std::os::unix::fs::MetadataExt;

    let beside = |ending: &str| {
        let mut name = diary.as_os_str().to_owned();
        name.push(ending);
        PathBuf::from(name)
    };
    let nodes: Vec<u64> = ["", "-wal", "-shm"]
        .into_iter()
        .filter_map(|ending| Some(fs::metadata(beside(ending)).ok()?.ino()))
        .collect();
    let look = |_| -> Vec<u32> {
        let locks = fs::read_to_string("/proc/locks").unwrap_or_default();
        let all = locks.lines().filter_map(|line| holder(line, &nodes));
        all.filter(|process| *process != std::process::id())
            .collect()
    };
    // The list is read in parts, and a line is passed over where locks before it go meanwhile.
    let mut processes = (0..LOOKS)
        .map(look)
        .find(|found| !found.is_empty())
        .unwrap_or_default();
    processes.sort_unstable();
    processes.dedup();
    let name = |process: u32| {
        let name = fs::read_to_string(format!("/proc/{process}/comm")).ok()?;
        Some(name.trim_end().to_owned())
    };
    processes.into_iter().map(|p| (p, name(p))).collect()
}

#[cfg(not(target_os = "linux"))]
fn holders(_: &Path) -> Vec<(u32, Option<String>)> {
    Vec::new()
}

/// The process of a line of `/proc/locks`, where it is a lock for writing on one of these nodes (man 5 proc):
/// `1: POSIX  ADVISORY  WRITE 5434 08:01:7864448 123 123`.
#[cfg(target_os = "linux")]
fn holder(line: &str, nodes: &[u64]) -> Option<u32> {
    let mut words = line.split_whitespace().skip_while(|w| *w != "WRITE");
    words.next()?;
    let process = words.next()?.parse().ok().filter(|p| *p > 0)?;
    let node = words.next()?.rsplit(':').next()?.parse().ok()?;
    nodes.contains(&node).then_some(process)
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::holder;

    /// The lines are those of man 5 proc, with one more of a process that waits.
    #[test]
    fn a_lock_for_writing_has_a_holder() {
        let nodes = [7_864_448];
        let of = |line: &str| holder(line, &nodes);
        assert_eq!(
            of("1: POSIX  ADVISORY  WRITE 5433 08:01:7864448 128 128"),
            Some(5433)
        );
        assert_eq!(
            of("2: POSIX  ADVISORY  READ  5433 08:01:7864448 128 128"),
            None
        );
        assert_eq!(
            of("3: FLOCK  ADVISORY  WRITE 2001 08:01:7864554 0 EOF"),
            None
        );
        assert_eq!(of("4: OFDLCK ADVISORY  WRITE -1 08:01:7864448 0 EOF"), None);
        assert_eq!(of(""), None);
    }
}
