//! Several programs at once in one place.

use std::collections::BTreeSet;

use crate::support::cli::Bench;
use crate::support::made;
use crate::support::outcome::Outcome;
use crate::support::process::{all_files, are_whole, ended};

/// Two programs write other files into one folder, again and again: each knows afterwards what the other wrote.
#[test]
fn two_writers_into_one_folder_know_each_others_files() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(300, 5.0))?;
    bench.file("b.csv", made::csv(400, 5.0))?;
    let both = || -> Outcome {
        let start = |name: &str| {
            bench
                .program()
                .args(["review", name, "--out", "out"])
                .spawn()
        };
        let children = [start("a.csv")?, start("b.csv")?];
        for child in children {
            ended(child)?.done(&[]);
        }
        Ok(())
    };
    for _ in 0..6 {
        both()?;
        let files = all_files(&bench.path("out"))?;
        are_whole(&files)?;
        // All are of one of them, since they write one after the other.
        let account = bench.text("out/account.txt")?;
        let whose = ["a.csv", "b.csv"].into_iter().find(|name| {
            bench
                .run(&format!("review {name}"))
                .is_ok_and(|ran| ran.out == account)
        });
        let whose = whose.ok_or("neither's account")?;
        let json = bench.run(&format!("review {whose} --json"))?.out;
        assert_eq!(bench.text("out/review.json")?, json);
    }
    bench.run("review a.csv --out out")?.done(&[]);
    Ok(())
}

#[test]
fn two_tables_in_one_folder_stay_their_own() -> Outcome {
    let bench = Bench::with("a.csv", made::csv(60, 1.0))?;
    for _ in 0..10 {
        let start = |name: &str| {
            bench
                .program()
                .args(["table", "a.csv", "--of", "bands", "--to", name])
                .spawn()
        };
        for child in [start("x.csv")?, start("y.csv")?, start("z.json")?] {
            ended(child)?.done(&[]);
        }
        let listed: BTreeSet<_> = bench
            .text(".repledger")?
            .lines()
            .skip(1)
            .filter_map(|line| line.split(' ').nth(1).map(ToOwned::to_owned))
            .collect();
        assert_eq!(
            listed,
            ["x.csv", "y.csv", "z.json"].map(String::from).into()
        );
        bench.file("a.csv", made::csv(90, 1.0))?;
    }
    Ok(())
}
