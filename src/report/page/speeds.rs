//! Speeds to be read off by the script: one a second, and the blocks to choose from.

use maud::{Markup, PreEscaped, html};
use serde_json::{Value, json};

use super::verdict::name;
use crate::measured::Measured;
use crate::review::BlockReview;
use crate::session::Session;

/// Most seconds that are handed over; a day has 86,400.
const MOST_S: usize = 6 * 3600;

fn blocks(session: &Session) -> impl Iterator<Item = (&BlockReview, f64, f64)> {
    let plan = session.review.plan.iter();
    plan.flat_map(|p| &p.blocks)
        .filter_map(|b| Some((b, b.start_s?, b.end_s?)))
}

/// What the script shows; without it nothing is there.
pub(super) fn reader(session: &Session) -> Markup {
    html! {
        div.reader #reader hidden {
            label for="block" { "Block" }
            select #block {
                option value="" { "all of the session" }
                @for (block, ..) in blocks(session) { option value=(block.index) { (name(block)) } }
            }
            label for="at" { "Time" }
            input #at type="range" min="0" max="0" step="1" value="0";
            output #read for="at" {}
        }
    }
}

/// The data of the script: value, lower and upper end of the 95 % interval, in hundredths of m/s.
pub(super) fn data(session: &Session) -> Markup {
    let blocks: Vec<Value> = blocks(session)
        .map(|(b, start_s, end_s)| json!({"index": b.index, "start_s": start_s, "end_s": end_s}))
        .collect();
    let told = session.settings.speeds;
    let units: Vec<Value> = [told, told.other()]
        .map(|unit| json!({"sign": unit.sign(), "times": 0.01 * unit.of(1.0), "decimals": unit.decimals(2)}))
        .into();
    let data = json!({"speeds": speeds(session), "blocks": blocks, "units": units}).to_string();
    // Nothing in a number or a name of ours ends the element, and nothing should come to.
    let data = data.replace('<', "\\u003c");
    html! { script #speeds type="application/json" { (PreEscaped(data)) } }
}

/// The speed at each whole second with its interval; `None` where nothing was recorded near.
fn speeds(session: &Session) -> Vec<Option<[u32; 3]>> {
    let mut speeds = Vec::new();
    for sample in &session.motion.samples {
        let second = sample.time_s.round();
        if !(0.0..MOST_S as f64).contains(&second) {
            continue;
        }
        let second = second as usize;
        if speeds.len() <= second {
            speeds.resize(second + 1, None);
        }
        let known = sample.speed_m_s.is_finite() && sample.speed_sd_m_s.is_finite();
        if !sample.bridged && known && speeds[second].is_none() {
            let speed = Measured::normal(sample.speed_m_s, sample.speed_sd_m_s).at_least(0.0);
            speeds[second] =
                Some([speed.value, speed.low, speed.high].map(|m_s| (m_s * 100.0).round() as u32));
        }
    }
    speeds
}
