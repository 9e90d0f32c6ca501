//! Sessions from the simulator, from three minutes to three hours, whole from recording to account.

use repledger::plan::{self, Plan};
use repledger::session::{self, Session};
use repledger::settings::Settings;
use repledger::simulation::{Athlete, Departures, Kind, Receiver, Rng, execute};

use crate::support::sessions::long;

/// Minutes of the sessions.
const MINUTES: [u32; 20] = [
    3, 4, 5, 7, 9, 12, 15, 20, 24, 26, 30, 38, 45, 55, 65, 75, 90, 110, 140, 180,
];

/// What a player may write, each with the minutes that it takes.
const BLOCKS: [(&str, u32); 9] = [
    (
        "speed \"edge of the area to halfway\", 6 x 20 m, rest 20 s",
        3,
    ),
    (
        "resistance \"channel runs, right flank, start at the corner of the penalty area and finish behind the halfway line\", \
      2 x 5 x 10 s, rest 20 s, 45 s between sets, then 1 min",
        7,
    ),
    (
        "strength \"cone shuffles\", 2 x 5 reps over 9 m there and back, 60 s between sets, then 1 min",
        4,
    ),
    (
        "speed with ball, 5 x 40 m at 95%, rest walk back, then 2 min",
        7,
    ),
    ("technical \"wall passes\", 6 min", 6),
    (
        "speed \"MMMMMMMMMM WWWWWWWWWW\", with ball, 8 x 30 m at 95%, rest 40 s, then 1 min",
        8,
    ),
    (
        "resistance, 3 x 8 x 10 s, rest 20 s, 90 s between sets, then 2 min",
        15,
    ),
    ("game \"four against four\", 12 min", 12),
    (
        "resistance \"Ausdauerläufe über das größte Feld\", 8 x 15 s, rest 30 s, then 2 min",
        8,
    ),
];

/// A plan of about so many minutes.
fn plan(minutes: u32) -> Plan {
    let mut text = String::from(
        "title: A long name for a session on a wet evening in the last week before the first match\ntop speed: 8.8 m/s\n\n",
    );
    let mut left = minutes;
    if minutes > 10 {
        text.push_str("warm-up \"two laps and leg swings\", 5 min\n");
        left -= 5;
    }
    for (block, takes) in BLOCKS.iter().cycle().take(60) {
        if *takes <= left {
            text.push_str(block);
            text.push('\n');
            left -= takes;
        }
    }
    plan::parse(&text).unwrap_or_else(|e| panic!("a plan of {minutes} min: {e:?}"))
}

/// The sessions with their names; the receiver changes from one to the next.
pub fn sessions() -> Vec<(String, Session)> {
    let is_looked_at = |&(seed, minutes): &(u64, u32)| {
        long() || minutes == 180 || (seed % 2 == 0 && minutes < 140)
    };
    (0..)
        .zip(MINUTES)
        .filter(is_looked_at)
        .map(|(seed, minutes)| {
            let kind = Kind::ALL[seed as usize % Kind::ALL.len()];
            let plan = plan(minutes);
            let athlete = Athlete::random(&mut Rng::stream(seed, 1));
            let departures = Departures::usual(&plan, &mut Rng::stream(seed, 2));
            let truth = execute(&plan, &athlete, &departures, seed).expect("no more than 4 h");
            let receiver = Receiver::random(kind, &mut Rng::stream(seed, 3));
            let trace = receiver.record(&truth, seed).trace();
            let session = session::account(trace, Some(&plan), &Settings::default())
                .expect("a simulated recording can be read");
            (format!("{minutes} min with {}", kind.word()), session)
        })
        .collect()
}
