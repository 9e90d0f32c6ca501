//! Names of any length, in any script, stay within the pictures.

use repledger::diary::Entry;
use repledger::figure::{self, Sheet};
use repledger::progress::{self, IsoWeek, Quantity, Sort};

use super::{assert_readable, scenes};
use crate::support::season::{Season, season};

/// Names of 5 to 200 characters: narrow, wide, with and without blanks, and of a script whose characters are as wide as high.
fn names() -> Vec<String> {
    let mut names = Vec::new();
    for length in [5, 17, 40, 90, 200] {
        for pattern in [
            "i",
            "W",
            "halfway ",
            "\u{738b}",
            "\u{e9}-",
            "\u{17f}W 5 x 10 m ",
        ] {
            names.push(pattern.chars().cycle().take(length).collect());
        }
    }
    names
}

#[test]
fn names_of_session_and_blocks_stay_within_the_pictures() {
    let mut made = scenes::session(1800.0, 10.0);
    for name in names() {
        for block in &mut made.review.as_mut().expect("a review").blocks {
            block.name = Some(name.clone());
        }
        for sheet in [Sheet::WIDE, Sheet::NARROW] {
            let mut scene = made.scene().on(sheet);
            scene.title = Some(&name);
            let pictures = figure::pictures(&scene).expect("the charts can be drawn");
            assert!(pictures.len() > 4);
            for picture in pictures {
                let of = format!("{} of {name:?}, {sheet:?}", picture.name);
                assert_readable(&of, &picture.svg);
            }
        }
    }
}

#[test]
fn names_of_athletes_stay_within_the_pictures() {
    for name in names() {
        let mut made: Season = season();
        let own = |entry: &mut Entry| {
            if entry.athlete == "Ana" {
                entry.athlete.clone_from(&name);
            }
        };
        made.entries.iter_mut().for_each(own);
        let today = made
            .entries
            .iter()
            .map(|entry| entry.date)
            .max()
            .expect("entries");
        let log = made.log();
        let now = IsoWeek::of(today);
        let from = now.later(-7).expect("a week");
        let trend = progress::trend(&log, &name, 12, today);
        let best = figure::best(&progress::best(&log, &name, today));
        let rows = progress::squad(&log, (from, now), today, Sort::Name);
        let grid = progress::grid(&rows, (from, now), now, Quantity::TopSpeed);
        for (what, svg) in [
            ("weeks", figure::weeks(&trend, Sheet::WIDE)),
            ("narrow weeks", figure::weeks(&trend, Sheet::NARROW)),
            ("best", best),
            ("grid", figure::grid(&grid, Sheet::WIDE)),
            ("narrow grid", figure::grid(&grid, Sheet::NARROW)),
        ] {
            let svg = svg
                .expect("the chart can be drawn")
                .expect("something to draw");
            assert_readable(&format!("{what} of {name:?}"), &svg);
        }
    }
}
