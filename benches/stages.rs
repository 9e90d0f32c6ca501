//! Time of each stage on a made session: 90 minutes at 10 Hz, 54,000 fixes, positions and receiver speed.
//!
//! `cargo bench --bench stages`

#![allow(clippy::expect_used, reason = "a bench has no user")]

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use jiff::Timestamp;
use repledger::report::{self, page, terminal};
use repledger::review::{self, Evidence};
use repledger::settings::Settings;
use repledger::trace::{Clock, Fix, Format, Position, Trace};
use repledger::{bouts, efforts, figure, motion, pitch, plan, profile, session, simulation, track};

fn main() {
    divan::main();
}

/// Shuttles of 30 m at changing speeds; a pattern without chance, so that every run measures the same.
fn made(fixes: usize, with_speed: bool) -> Trace {
    let mut along_m = 0.0;
    let fixes = (0..fixes)
        .map(|k| {
            let time_s = k as f64 * 0.1;
            let speed_m_s = 3.5 + 3.5 * (time_s / 7.0).sin();
            along_m += speed_m_s * 0.1;
            let ripple = 0.02 * ((k * 7919) % 101) as f64 / 101.0;
            Fix {
                time_s,
                position: Some(Position::Geodetic {
                    latitude_deg: 44.0 + (30.0 * (along_m / 30.0).sin() + ripple) / 111_111.0,
                    longitude_deg: -30.0 + (10.0 * (along_m / 47.0).cos() - ripple) / 80_000.0,
                }),
                speed_m_s: with_speed.then_some(speed_m_s + ripple),
                line: k as u64 + 1,
                ..Fix::default()
            }
        })
        .collect();
    Trace::new(
        fixes,
        Clock::Utc(Timestamp::UNIX_EPOCH),
        Format::Csv { delimiter: ',' },
    )
}

#[divan::bench(args = [true, false])]
fn cleaning(bencher: Bencher<'_, '_>, with_speed: bool) {
    let trace = made(54_000, with_speed);
    bencher.bench_local(|| track::clean(black_box(&trace), &track::Rules::default()));
}

#[divan::bench(args = [true, false])]
fn smoothing(bencher: Bencher<'_, '_>, with_speed: bool) {
    let track = track::clean(&made(54_000, with_speed), &track::Rules::default())
        .expect("a made session is sound");
    bencher
        .counter(ItemsCount::of_iter(&track.points))
        .bench_local(|| motion::estimate(black_box(&track), &motion::Settings::default()));
}

#[divan::bench]
fn finding_efforts(bencher: Bencher<'_, '_>) {
    let settings = Settings::default();
    let track =
        track::clean(&made(54_000, true), &settings.track).expect("a made session is sound");
    let motion = motion::estimate(&track, &settings.motion);
    bencher.bench_local(|| efforts::detect(black_box(&motion), &settings.efforts));
}

/// 90 minutes at 10 Hz with a plan: about 54,000 samples, all pictures have something to show.
fn reviewed() -> session::Session {
    simulated(PLAN)
}

fn simulated(plan: &str) -> session::Session {
    let plan = plan::parse(plan).expect("the plan is sound");
    let simulated = simulation::demo(&plan, simulation::Kind::Unit10).expect("no more than 4 h");
    session::account(simulated.trace(), Some(&plan), &Settings::default())
        .expect("a sound recording")
}

#[divan::bench]
fn finding_bouts(bencher: Bencher<'_, '_>) {
    let session = reviewed();
    bencher.bench_local(|| bouts::find(black_box(&session.motion), &bouts::Rules::default()));
}

fn matched(bencher: Bencher<'_, '_>, session: &session::Session) {
    let evidence = Evidence {
        track: &session.track,
        motion: &session.motion,
        efforts: &session.efforts,
        bouts: &session.bouts,
        thresholds: &session.settings.efforts,
    };
    let plan = session.plan.as_ref();
    bencher.bench_local(|| review::assess(black_box(&evidence), plan, &session.settings.review));
}

#[divan::bench]
fn matching(bencher: Bencher<'_, '_>) {
    matched(bencher, &reviewed());
}

/// 300 reps in nearly three hours.
#[divan::bench(sample_count = 10)]
fn matching_a_long_plan(bencher: Bencher<'_, '_>) {
    matched(
        bencher,
        &simulated("resistance, 15 x 20 x 10 s, rest 20 s, 90 s between sets\n"),
    );
}

#[divan::bench]
fn fitting_sprints(bencher: Bencher<'_, '_>) {
    let s = reviewed();
    bencher.bench_local(|| {
        let reviewed = (s.plan.as_ref(), &s.review);
        profile::profile(
            black_box(&s.motion),
            &s.efforts,
            reviewed,
            &s.settings.profile,
        )
    });
}

#[divan::bench]
fn laying_a_pitch(bencher: Bencher<'_, '_>) {
    let session = reviewed();
    let size = pitch::Size {
        length_m: 100.0,
        width_m: 64.0,
    };
    bencher.bench_local(|| pitch::fit(black_box(&session.motion), size));
}

#[divan::bench]
fn finding_laps(bencher: Bencher<'_, '_>) {
    let session = reviewed();
    bencher.bench_local(|| pitch::laps(black_box(&session.motion)));
}

#[divan::bench(args = ["account", "JSON", "page without pictures"])]
fn reporting(bencher: Bencher<'_, '_>, what: &str) {
    let session = reviewed();
    bencher.bench_local(|| match what {
        "account" => terminal::render(black_box(&session)),
        "JSON" => report::review::json::render(black_box(&session)).expect("numbers and words"),
        _ => page::render(black_box(&session), &[], &[]),
    });
}

const PLAN: &str = "\
top speed: 8.8 m/s
warm-up, 12 min
speed, 2 x 6 x 30 m at 95%, rest 40 s, 3 min between sets, then 2 min
resistance, 3 x 8 x 10 s, rest 20 s, 90 s between sets, then 3 min
technical, 10 min
strength, 3 x 6 reps over 9 m there and back, 75 s between sets, then 2 min
game, 14 min
speed with ball, 8 x 40 m, rest walk back, then 3 min
cool-down 8 min
";

#[divan::bench(args = ["heatmap", "sprints", "heatmap_blocks", "speed", "timeline", "reps", "fade"])]
fn drawing(bencher: Bencher<'_, '_>, name: &str) {
    let session = reviewed();
    let scene = figure::Scene::of(&session);
    let draw = match name {
        "heatmap" => figure::heatmap,
        "sprints" => figure::sprints,
        "heatmap_blocks" => figure::heatmap_blocks,
        "speed" => figure::speed,
        "timeline" => figure::timeline,
        "reps" => figure::reps,
        _ => figure::fade,
    };
    bencher.bench_local(|| {
        draw(black_box(&scene))
            .map(|svg| svg.is_some())
            .expect("drawn")
    });
}

#[divan::bench(args = ["heatmap", "speed"])]
fn rasterising(bencher: Bencher<'_, '_>, name: &str) {
    let session = reviewed();
    let scene = figure::Scene::of(&session);
    let draw = if name == "heatmap" {
        figure::heatmap
    } else {
        figure::speed
    };
    let svg = draw(&scene).expect("drawn").expect("something to show");
    let svg = svg.settled(figure::Theme::Light);
    bencher.bench_local(|| figure::png(black_box(&svg), 2.0).map(|png| png.len()));
}

#[divan::bench]
fn drawing_all(bencher: Bencher<'_, '_>) {
    let session = reviewed();
    bencher.bench_local(|| {
        figure::all(black_box(&session))
            .map(|list| list.len())
            .expect("drawn")
    });
}
