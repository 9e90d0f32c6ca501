//! A squad by week: cells, marks, gaps and the picture of small multiples.

use jiff::ToSpan;
use jiff::civil::{Date, date};
use repledger::diary::Activity;
use repledger::figure;
use repledger::progress::{Cell, Grid, IsoWeek, Quantity, Sort, Verdict, grid, squad};
use repledger::report;
use serde_json::Value;

use crate::figure::assert_readable;
use crate::support::outcome::Outcome;
use crate::support::season::{Season, recorded, season};

const TODAY: Date = date(2026, 5, 21);

fn seen(season: &Season, last: i64, of: Quantity) -> Grid<'_> {
    let to = IsoWeek::of(TODAY);
    let from = to.later(1 - last).expect("within the calendar");
    let rows = squad(&season.log(), (from, to), TODAY, Sort::Name);
    grid(&rows, (from, to), to, of)
}

fn cell(grid: &Grid<'_>, athlete: &str, week: i8) -> Cell {
    let line = grid.lines.iter().find(|line| line.athlete == athlete);
    let at = grid.weeks.iter().position(|w| w.week == week);
    line.expect("athlete").cells[at.expect("week")]
}

/// So many athletes over so many weeks, with weeks away, beginners and long names.
fn large(athletes: i64, weeks: i64) -> Season {
    let mut season = Season::default();
    for who in 0..athletes {
        let name = match who % 5 {
            0 => format!(
                "Player {who} of the second eleven, on loan from another club since the winter"
            ),
            1 => format!("王小明 {who}"),
            _ => format!("Player {who}"),
        };
        for week in 0..weeks {
            if (who + week) % 7 == 3 || week < who % 4 {
                continue;
            }
            let day = TODAY - (7 * (weeks - 1 - week)).days();
            let entry = season.note(
                &name,
                day,
                Activity::Training,
                60.0 + week as f64,
                Some(5.0),
            );
            if who % 3 != 2 {
                let top = 7.0 + 0.05 * who as f64;
                entry.recorded = Some(recorded(
                    4000.0 + 900.0 * week as f64,
                    [300.0, 40.0],
                    (top, 0.2),
                    (20, 24),
                ));
            }
        }
    }
    season
}

#[test]
fn a_gap_is_no_zero_and_each_says_what_it_is() {
    let mut season = season();
    season.note("Cem", date(2026, 4, 7), Activity::Team, 0.0, Some(4.0));
    let minutes = seen(&season, 12, Quantity::Minutes);
    assert_eq!(cell(&minutes, "Cem", 14), Cell::Before);
    assert_eq!(cell(&minutes, "Cem", 16), Cell::Nothing);
    let zero = cell(&minutes, "Cem", 15);
    assert_eq!(zero.known().map(|known| known.value.value), Some(0.0));
    let distance = seen(&season, 12, Quantity::Distance);
    assert_eq!(cell(&distance, "Cem", 15), Cell::Unknown);
    let text = report::grid::text::render(&minutes, TODAY);
    let line = text
        .lines()
        .find(|line| line.starts_with("Cem"))
        .unwrap_or_default();
    assert_eq!(
        line.split_whitespace().collect::<Vec<_>>().join(" "),
        "Cem 0 · · · · · · 0",
        "{text}"
    );
}

#[test]
fn a_clear_change_is_marked_and_a_usual_one_is_not() {
    let season = season();
    let distance = seen(&season, 12, Quantity::Distance);
    let verdict = |week| {
        cell(&distance, "Ana", week)
            .known()
            .and_then(|k| Some(k.step?.verdict))
    };
    // From the ninth week on she runs 2.5 km more.
    assert_eq!(verdict(19), Some(Verdict::Up));
    assert_eq!(verdict(18), Some(Verdict::NotClear));
    assert_eq!(verdict(21), None, "a week that is not over");
    let text = report::grid::text::render(&distance, TODAY);
    let mut lines = text.lines().filter(|line| line.starts_with("Ana"));
    assert!(lines.any(|line| line.contains('↑')), "{text}");
}

#[test]
fn every_quantity_has_text_within_80_columns_json_as_its_schema_says_and_a_picture() -> Outcome {
    let season = season();
    let schema: Value = serde_json::from_str(&report::grid::json::schema()?)?;
    let validator = crate::support::schema::validator_for(&schema)?;
    for of in Quantity::EVERY {
        let grid = seen(&season, 30, of);
        let text = report::grid::text::render(&grid, TODAY);
        for line in text.lines() {
            assert!(unicode_width::UnicodeWidthStr::width(line) <= 80, "{line}");
        }
        let document: Value = serde_json::from_str(&report::grid::json::render(&grid, TODAY)?)?;
        let errors = validator.faults(&document);
        assert!(errors.is_empty(), "{of:?}: {errors:?}");
        // The diary begins in the tenth week; what is before it is not asked about.
        assert_eq!(document["weeks"][0]["week"], "2026-W10");
        // Nobody of this season recorded a heart rate, and an empty picture is none.
        assert_eq!(
            figure::grid(&grid, figure::Sheet::WIDE)?.is_some(),
            of != Quantity::HeartLoad,
            "{of:?}"
        );
    }
    Ok(())
}

#[test]
fn no_text_lies_over_another_for_2_to_40_athletes_and_1_to_52_weeks() -> Outcome {
    for (athletes, weeks) in [
        (2, 1),
        (2, 52),
        (7, 12),
        (13, 26),
        (24, 8),
        (40, 1),
        (40, 12),
        (40, 52),
    ] {
        let season = large(athletes, weeks);
        for of in [Quantity::Distance, Quantity::TopSpeed, Quantity::Load] {
            for sheet in [figure::Sheet::WIDE, figure::Sheet::NARROW] {
                let svg = figure::grid(&seen(&season, weeks, of), sheet)?.ok_or("nothing drawn")?;
                let name = format!("{athletes} athletes, {weeks} weeks, {of:?}, {sheet:?}");
                assert_readable(&name, &svg);
            }
        }
    }
    Ok(())
}

#[test]
fn all_panels_share_one_scale() -> Outcome {
    let mut season = Season::default();
    season.note("Ana", date(2026, 5, 12), Activity::Team, 400.0, None);
    season.note("Ben", date(2026, 5, 12), Activity::Team, 100.0, None);
    let svg = figure::grid(&seen(&season, 2, Quantity::Minutes), figure::Sheet::WIDE)?
        .ok_or("nothing drawn")?;
    let heights: Vec<f64> = (svg.lines())
        .filter(|line| line.contains("fill-opacity=\"0.78\"") && !line.contains("width=\"18.00\""))
        .filter_map(|line| {
            line.split("height=\"")
                .nth(1)?
                .split('"')
                .next()?
                .parse()
                .ok()
        })
        .collect();
    let [ana, ben] = heights[..] else {
        return Err(format!("{heights:?}").into());
    };
    assert!((ana / ben - 4.0).abs() < 0.05, "{ana} and {ben}");
    Ok(())
}
