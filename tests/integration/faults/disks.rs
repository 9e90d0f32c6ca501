//! Disks that are full or may not be written, and files that may not be read.

use crate::support::cli::{Bench, Ran};
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::process::{all_files, can, skipped};

#[test]
fn a_full_disk_leaves_whole_files_and_a_message() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(600, 5.0))?;
    bench.file("out/readme", "")?;
    // Room for the account and the first files.
    let script = "mount -t tmpfs -o size=96k tmpfs out
        set +e; \"$1\" review a.csv --out out; status=$?
        ls -A out >&2; exit $status";
    let Some(ran) = bench.with_mounts(script)? else {
        return Ok(());
    };
    ran.could_not(&["cannot write 'out/", "No space left", "account.txt"]);
    assert!(!ran.err.contains(".part"), "{}", ran.err);
    Ok(())
}

#[test]
fn a_disk_that_fills_up_leaves_the_diary_as_it_was() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(6000, 5.0))?;
    bench.file("data/readme", "")?;
    // First there is no room at all, then not enough for the recording.
    let script = "mount -t tmpfs -o size=600k tmpfs data
        \"$1\" diary note gym --minutes 5 --diary data/d.db >&2
        set +e
        dd if=/dev/zero of=data/filler bs=4k 2>/dev/null
        add=\"diary add a.csv --date 2026-05-12 --keep-trace --diary data/d.db\"
        \"$1\" $add
        \"$1\" pitch fit --corners corners.txt --keep field --pitches data/pitches
        truncate -s -80K data/filler
        \"$1\" $add; status=$?
        \"$1\" diary backup data/copy.db --diary data/d.db
        ls -A data >&2
        rm data/filler
        \"$1\" diary check --diary data/d.db >&2
        \"$1\" $add >&2
        exit $status";
    bench.file(
        "corners.txt",
        "50.0,8.0\n50.0,8.0014\n50.0006,8.0014\n50.0006,8.0\n",
    )?;
    let Some(ran) = bench.with_mounts(script)? else {
        return Ok(());
    };
    ran.could_not(&[
        "cannot write 'data/pitches/field.toml'",
        "cannot write 'data/copy.db'",
        "whole: 1 entries",
        "added 2",
    ]);
    let full = ran.err.matches("the disk is full; nothing was changed");
    assert!(full.count() >= 2, "{}", ran.err);
    for half in [".part", "copy.db\n", "-journal"] {
        assert!(!ran.err.contains(half), "{}", ran.err);
    }
    Ok(())
}

/// Pages that do not fit leave whole ones, known as ours, and once there is room the next run goes on.
#[test]
fn a_disk_that_fills_up_under_pages_leaves_whole_ones() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(600, 5.0))?;
    bench.file("site/readme", "")?;
    bench
        .run("diary add a.csv --date 2026-05-12 --diary d.db")?
        .done(&[]);
    for day in 1..9 {
        let note = format!("diary note gym --minutes 5 --date 2026-05-0{day} --diary d.db");
        bench.run(&note)?.done(&[]);
    }
    let script = "mount -t tmpfs -o size=600k tmpfs site
        set +e
        pages=\"diary pages --out site --diary d.db --today 2026-05-13\"
        dd if=/dev/zero of=site/filler bs=4k count=100 2>/dev/null
        \"$1\" $pages; status=$?
        for page in site/*.html; do tail -c 8 $page | grep -q '</html>' || echo half $page >&2; done
        ls -A site | grep part >&2
        test -e site/index.html && echo too early >&2
        rm site/filler
        mount -o remount,size=8m site
        \"$1\" $pages >&2
        test -e site/index.html || echo none >&2
        exit $status";
    let Some(ran) = bench.with_mounts(script)? else {
        return Ok(());
    };
    ran.could_not(&["cannot write 'site/", "No space left", "open index.html"]);
    for fault in ["half", ".part", "too early", "none"] {
        assert!(!ran.err.contains(fault), "{fault}: {}", ran.err);
    }
    Ok(())
}

#[test]
fn where_nothing_may_be_written_nothing_is_and_the_reason_is_told() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(60, 1.0))?;
    bench.file("still/readme", "")?;
    bench
        .run("diary note gym --minutes 5 --diary still/d.db")?
        .done(&[]);
    bench
        .run("table a.csv --of bands --to still/t.csv")?
        .done(&[]);
    bench
        .run("diary note gym --minutes 5 --diary d.db")?
        .done(&[]);
    let before = all_files(&bench.path("still"))?;
    for (line, told) in [
        ("review a.csv --out still/out", "still/out"),
        ("table a.csv --of reps --to still/t.csv", "still/"),
        ("diary pages --out still/site --diary d.db", "still/site"),
        ("diary pages --out still --diary d.db", "still"),
        (
            "diary note gym --minutes 5 --diary still/d.db",
            "may not be written",
        ),
        (
            "diary note gym --minutes 5 --diary still/new.db",
            "may not be written",
        ),
        (
            "diary backup still/copy.db --diary still/d.db",
            "may not be written",
        ),
    ] {
        let script =
            format!("mount --bind still still; mount -o remount,bind,ro still; \"$1\" {line}");
        let Some(ran) = bench.with_mounts(&script)? else {
            return Ok(());
        };
        ran.could_not(&[told]);
        assert_eq!(all_files(&bench.path("still"))?, before, "{line}");
    }
    Ok(())
}

/// Root may do everything; without its capabilities it may do what others may.
fn as_anybody(bench: &Bench, line: &str) -> Outcome<Option<Ran>> {
    let outer: &[&str] = if can(&["sh", "-c", "test $(id -u) = 0"]) {
        &["setpriv", "--bounding-set=-all", "--inh-caps=-all"]
    } else {
        &[]
    };
    if !outer.is_empty() && !can(&[outer, &["true"]].concat()) {
        skipped("root cannot put its rights aside here")?;
        return Ok(None);
    }
    let output = bench.program_under(outer).args(line.split(' ')).output()?;
    Ran::of(output).map(Some)
}

#[test]
fn what_may_not_be_read_or_written_is_named() -> Outcome {
    use std::fs::{Permissions, set_permissions};
    use std::os::unix::fs::PermissionsExt;
    let bench = Bench::with("a.csv", made::csv(60, 1.0))?;
    bench.file("b.csv", made::csv(70, 1.0))?;
    bench.file("closed.csv", made::csv(80, 1.0))?;
    bench.file("closed/readme", "")?;
    bench
        .run("diary note gym --minutes 5 --diary d.db")?
        .done(&[]);
    for (name, mode) in [("closed.csv", 0o000), ("closed", 0o500), ("d.db", 0o000)] {
        set_permissions(bench.path(name), Permissions::from_mode(mode))?;
    }
    let Some(ran) = as_anybody(&bench, "review a.csv closed.csv b.csv")? else {
        return Ok(());
    };
    assert_eq!(ran.status, Some(1), "{ran:?}");
    assert_eq!(ran.out.lines().count(), 3, "{ran:?}");
    assert!(ran.err.contains("cannot read 'closed.csv'"), "{}", ran.err);
    for (line, told) in [
        ("review a.csv --out closed/out", "closed/out"),
        ("table a.csv --of bands --to closed/t.csv", "closed"),
        ("diary list --diary d.db", "'d.db'"),
        (
            "diary note gym --minutes 5 --diary closed/d.db",
            "permissions",
        ),
        ("pitch list --pitches closed.csv", "closed.csv"),
    ] {
        let ran = as_anybody(&bench, line)?.ok_or("it was possible before")?;
        ran.could_not(&[told]);
    }
    set_permissions(bench.path("closed"), Permissions::from_mode(0o700))?;
    assert_eq!(bench.names("closed")?, ["readme"]);
    Ok(())
}
