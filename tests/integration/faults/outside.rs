//! What the program does to the world: it writes where it was told to, for its owner where places are kept, and knows no network.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Component, Path, PathBuf};
use std::process::Command;

use crate::support::cli::{Bench, Ran};
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::process::{all_files, can, skipped};

/// The commands that write, each with the places that it may write into.
const COMMANDS: [(&str, &[&str]); 17] = [
    ("review a.gpx --plan a.plan --out r", &["r"]),
    ("review a.gpx b.csv --out many --hide-place", &["many"]),
    ("review a.gpx b.csv --json", &[]),
    ("compare a.gpx b.csv --out c", &["c"]),
    ("plan a.plan --card cards/a.html", &["cards"]),
    (
        "simulate a.plan --receiver watch1v --sessions 1 --trace try/s.gpx",
        &["try"],
    ),
    (
        "pitch fit --corners corners.txt --keep field",
        &["home/.local"],
    ),
    ("pitch list", &[]),
    (
        "diary add a.gpx b.csv --date 2026-05-12 --keep-trace",
        &["home/.local"],
    ),
    ("diary plan a.plan --date 2026-05-13", &["home/.local"]),
    ("diary refresh", &["home/.local"]),
    ("diary backup copies/d.db", &["copies", "home/.local"]),
    ("diary pages --out p", &["p", "home/.local"]),
    ("weeks --out w", &["w", "home/.local"]),
    ("table a.gpx b.csv --to t/t.xlsx", &["t"]),
    ("manual --out m", &["m"]),
    ("settings", &[]),
];

fn bench() -> Outcome<Bench> {
    let bench = Bench::with("a.gpx", made::gpx(120, 1.0))?;
    bench.file("b.csv", made::csv(600, 5.0))?;
    bench.file("a.plan", "speed 4 x 6 s, rest 24 s\n")?;
    bench.file(
        "corners.txt",
        "50.0,8.0\n50.0,8.0014\n50.0006,8.0014\n50.0006,8.0\n",
    )?;
    for folder in ["cards", "try", "copies", "t"] {
        fs::create_dir(bench.path(folder))?;
    }
    Ok(bench)
}

/// The paths of a line of strace that are opened for writing, made, moved or removed.
fn written(line: &str) -> Vec<&str> {
    let opened = ["open(", "openat(", "openat2("]
        .iter()
        .any(|call| line.contains(call));
    let reads = !["O_WRONLY", "O_RDWR", "O_CREAT", "O_TRUNC"]
        .iter()
        .any(|flag| line.contains(flag));
    if opened && reads {
        return Vec::new();
    }
    // Texts in double quotes: every other piece. None of the paths has a quote in it.
    line.split('"').skip(1).step_by(2).collect()
}

/// A path without `.` and `..`, below the folder that the program was run in.
fn plain(bench: &Bench, path: &str) -> PathBuf {
    let mut plain = PathBuf::new();
    for part in bench.path(path).components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir => {
                plain.pop();
            }
            part => plain.push(part),
        }
    }
    plain
}

#[test]
fn nothing_is_written_outside_the_places_that_were_named_and_no_socket_is_made() -> Outcome {
    if !can(&["strace", "-o", "/dev/null", "true"]) {
        return skipped("there is no program strace here, or it may not trace");
    }
    let bench = bench()?;
    let calls = "trace=%network,open,openat,openat2,creat,rename,renameat,renameat2,mkdir,mkdirat,rmdir,link,linkat,symlink,\
                 symlinkat,unlink,unlinkat,mknod,mknodat,truncate,chmod,fchmodat";
    let log = "strace.txt";
    let mut found = 0;
    for (line, places) in COMMANDS {
        let outer = ["strace", "-f", "-qq", "-s", "4096", "-o", log, "-e", calls];
        let output = bench.program_under(&outer).args(line.split(' ')).output()?;
        Ran::of(output)?.done(&[]);
        let allowed: Vec<PathBuf> = places.iter().map(|place| bench.path(place)).collect();
        for call in bench.text(log)?.lines() {
            // The pipe that a signal wakes the program through is asked whether it is a socket, and is none.
            let no_socket = call.contains("sendto(") && call.contains("ENOTSOCK");
            let network = [
                "socket(",
                "socketpair(",
                "connect(",
                "bind(",
                "sendto(",
                "recvfrom(",
            ];
            if no_socket {
                continue;
            }
            assert!(
                !network.iter().any(|name| call.contains(name)),
                "{line}: {call}"
            );
            // The folders that a place lies in are made on the way to it.
            let makes = call.contains("mkdir(");
            for path in written(call) {
                let path = plain(&bench, path);
                let named = |place: &PathBuf| {
                    path.starts_with(place) || (makes && place.starts_with(&path))
                };
                assert!(allowed.iter().any(named), "{line}: {call}");
                found += 1;
            }
        }
    }
    // Otherwise the lines were not understood.
    assert!(found > 100, "{found}");
    Ok(())
}

#[test]
fn the_program_is_linked_to_nothing_that_reaches_a_network() -> Outcome {
    let program = env!("CARGO_BIN_EXE_repledger");
    let Ok(output) = Command::new("nm")
        .args(["-D", "--undefined-only", program])
        .output()
    else {
        return skipped("there is no program nm here");
    };
    let symbols = String::from_utf8(output.stdout)?;
    let names: Vec<_> = symbols
        .lines()
        .filter_map(|line| line.split_whitespace().last()?.split('@').next())
        .collect();
    assert!(
        names.contains(&"read") || names.contains(&"open64"),
        "{names:?}"
    );
    for name in [
        "socket",
        "socketpair",
        "connect",
        "bind",
        "listen",
        "accept",
        "accept4",
        "getaddrinfo",
        "gethostbyname",
        "sendto",
        "sendmsg",
        "recvfrom",
        "res_query",
    ] {
        assert!(!names.contains(&name), "{name}");
    }
    Ok(())
}

/// Nobody but the owner may read what the data folder holds, whatever the mask allows.
#[test]
fn the_data_folder_is_for_its_owner_under_any_mask() -> Outcome {
    let bench = bench()?;
    bench.run("diary add a.gpx --diary d.db")?.done(&[]);
    fs::remove_file(bench.path("d.db"))?;
    let script = "umask 000
        \"$1\" diary add a.gpx --keep-trace
        \"$1\" pitch fit --corners corners.txt --keep field
        \"$1\" diary backup copies/d.db
        \"$1\" diary note gym --minutes 5 --diary copies/named.db";
    let output = bench.program_under(&["sh", "-ec", script, "sh"]).output()?;
    Ran::of(output)?.done(&["added 1", "field", "read back whole"]);
    let data = bench.path("home/.local/share/repledger");
    let mode =
        |path: &Path| -> Outcome<u32> { Ok(fs::metadata(path)?.permissions().mode() & 0o777) };
    for folder in [
        "home/.local/share/repledger",
        "home/.local/share/repledger/pitches",
    ] {
        assert_eq!(mode(&bench.path(folder))?, 0o700, "{folder}");
    }
    let mut files = all_files(&data)?;
    files.push(bench.path("copies/d.db"));
    files.push(bench.path("copies/named.db"));
    assert!(files.len() >= 4, "{files:?}");
    for file in files {
        assert_eq!(mode(&file)?, 0o600, "{}", file.display());
    }
    Ok(())
}

/// The files that `SQLite` lays beside a diary are there while it is open, and after a kill.
#[test]
fn what_lies_beside_a_diary_is_for_its_owner_too() -> Outcome {
    use std::io::BufRead;
    let bench = bench()?;
    bench.pipe("late.csv")?;
    let script = "umask 000; exec \"$1\" diary add --date 2026-05-12 --diary d.db a.gpx late.csv";
    let mut child = bench.program_under(&["sh", "-ec", script, "sh"]).spawn()?;
    let out = child.stdout.take().ok_or("no pipe")?;
    let first = std::io::BufReader::new(out)
        .lines()
        .next()
        .ok_or("no line")??;
    assert!(first.starts_with("added 1"), "{first}");
    let beside = || -> Outcome<Vec<String>> {
        let mut names = bench.names("")?;
        names.retain(|name| name.starts_with("d.db"));
        Ok(names)
    };
    let open = beside()?;
    assert_eq!(open, ["d.db", "d.db-shm", "d.db-wal"]);
    for name in &open {
        let mode = fs::metadata(bench.path(name))?.permissions().mode() & 0o777;
        assert_eq!(mode, 0o600, "{name}");
    }
    child.kill()?;
    child.wait()?;
    for name in beside()? {
        let mode = fs::metadata(bench.path(&name))?.permissions().mode() & 0o777;
        assert_eq!(mode, 0o600, "{name}");
    }
    bench
        .run("diary check --diary d.db")?
        .done(&["whole: 1 entries"]);
    Ok(())
}
