//! The stages, each in a function of its own name, so that a profiler can tell them apart.

use std::hint::black_box;

use repledger::bouts::Bouts;
use repledger::efforts::Efforts;
use repledger::motion::Motion;
use repledger::pitch::Ground;
use repledger::plan::Plan;
use repledger::profile::Profile;
use repledger::report::table::{Item, Of, Table};
use repledger::report::{self, page, table};
use repledger::review::{Evidence, Review};
use repledger::session::Session;
use repledger::settings::Settings;
use repledger::trace::{Options, Trace};
use repledger::track::Track;
use repledger::{bouts, efforts, figure, motion, plan, profile, review, trace, track};

use crate::made::{self, Growing};

/// Their names, in the order in which they run.
pub const NAMES: [&str; 15] = [
    "stage_read_csv",
    "stage_read_gpx",
    "stage_clean",
    "stage_smooth",
    "stage_efforts",
    "stage_bouts",
    "stage_plan",
    "stage_review",
    "stage_profile",
    "stage_pitch",
    "stage_json",
    "stage_account",
    "stage_figures",
    "stage_page",
    "stage_tables",
];

#[inline(never)]
fn stage_read_csv(bytes: &[u8]) -> Result<Trace, trace::Error> {
    trace::read(bytes, &Options::default())
}

#[inline(never)]
fn stage_read_gpx(bytes: &[u8]) -> Result<Trace, trace::Error> {
    // Without this the compiler finds that the two readings are the same code, and makes one of them.
    black_box("GPX");
    trace::read(bytes, &Options::default())
}

#[inline(never)]
fn stage_clean(trace: &Trace, settings: &Settings) -> Result<Track, track::Error> {
    track::clean(trace, &settings.track)
}

#[inline(never)]
fn stage_smooth(track: &Track, settings: &Settings) -> Motion {
    motion::estimate(track, &settings.motion)
}

#[inline(never)]
fn stage_efforts(motion: &Motion, settings: &Settings) -> Efforts {
    efforts::detect(motion, &settings.efforts)
}

#[inline(never)]
fn stage_bouts(motion: &Motion) -> Bouts {
    bouts::find(motion, &bouts::Rules::default())
}

#[inline(never)]
fn stage_plan(text: &str) -> Result<Plan, String> {
    let plan = plan::parse(text).map_err(|mistakes| format!("{mistakes:?}"))?;
    black_box(plan.to_string());
    Ok(plan)
}

#[inline(never)]
fn stage_review(evidence: &Evidence<'_>, plan: Option<&Plan>, settings: &Settings) -> Review {
    review::assess(evidence, plan, &settings.review)
}

#[inline(never)]
fn stage_profile(
    motion: &Motion,
    efforts: &Efforts,
    plan: Option<&Plan>,
    review: &Review,
    settings: &Settings,
) -> Profile {
    profile::profile(motion, efforts, (plan, review), &settings.profile)
}

#[inline(never)]
fn stage_pitch(motion: &Motion, track: &Track) {
    let size = repledger::pitch::Size {
        length_m: 100.0,
        width_m: 64.0,
    };
    black_box(Ground::default().under(motion, track.frame.as_ref(), Some(size)));
}

#[inline(never)]
fn stage_json(session: &Session) -> Result<String, serde_json::Error> {
    report::review::json::render(session)
}

#[inline(never)]
fn stage_account(session: &Session) -> String {
    report::terminal::render(session)
}

#[inline(never)]
fn stage_figures(session: &Session) -> Result<Vec<figure::Picture>, figure::Error> {
    figure::all(session)
}

#[inline(never)]
fn stage_page(session: &Session) -> String {
    page::render(session, &[], &[])
}

#[inline(never)]
fn stage_tables(session: &Session) {
    let items = [Item::of_session("made.csv", session)];
    for of in Of::ALL {
        let table = Table::of(of, &items);
        black_box(table::csv::render(&table, table::csv::Locale::Point));
        black_box(table::json::render_lines(&table).is_ok());
    }
}

/// Runs every stage once on a session of a size.
pub fn run(growing: Growing, size: usize) -> Result<(), Box<dyn std::error::Error>> {
    let settings = Settings::default();
    let fixes = growing.fixes(size);
    let csv = made::csv(&fixes);
    let gpx = made::gpx(&made::trace(&fixes))?;
    let text = growing.plan(size);

    let read = stage_read_csv(csv.as_bytes())?;
    black_box(stage_read_gpx(&gpx)?);
    let track = stage_clean(&read, &settings)?;
    let motion = stage_smooth(&track, &settings);
    let efforts = stage_efforts(&motion, &settings);
    let bouts = stage_bouts(&motion);
    let plan = text.as_deref().map(stage_plan).transpose()?;
    let evidence = Evidence {
        track: &track,
        motion: &motion,
        efforts: &efforts,
        bouts: &bouts,
        thresholds: &settings.efforts,
    };
    let review = stage_review(&evidence, plan.as_ref(), &settings);
    let profile = stage_profile(&motion, &efforts, plan.as_ref(), &review, &settings);
    stage_pitch(&motion, &track);
    let session = Session {
        title: None,
        athlete: None,
        device: None,
        zone: None,
        format: read.format,
        track,
        motion,
        efforts,
        bouts,
        pitch: None,
        plan,
        review,
        profile,
        settings,
    };
    stage_json(&session)?;
    black_box(stage_account(&session));
    black_box(stage_figures(&session)?);
    black_box(stage_page(&session));
    stage_tables(&session);
    Ok(())
}
