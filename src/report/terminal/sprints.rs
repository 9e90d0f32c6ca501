//! The best sprint's curve, and the model of energy where it was asked for.

use std::fmt::Write as _;

use crate::measured::Measured;
use crate::profile::{Fit, Sprint};
use crate::session::Session;

use super::COLUMNS;
use crate::report::layout::{clock, count, hanging, short, thousands};

/// The best sprint: at which speed it would have levelled off, how soon, and its splits; nothing where no sprint was fitted.
pub(super) fn best(session: &Session) -> String {
    let Some((sprint, fit)) = session.profile.best() else {
        return String::new();
    };
    let speeds = session.settings.speeds;
    let fitted = session.profile.fitted().count();
    let mut text = format!(
        "{} from standing with a curve, at the speed of a sprint or not; the best, {}, would have levelled off at {} ({}), 63 % of that \
         after {:.2} s ({:.2} to {:.2})",
        count(fitted, "run", "runs"),
        name(sprint),
        speeds.text(fit.vmax_m_s.value, 2),
        speeds.ends(fit.vmax_m_s),
        fit.tau_s.value,
        fit.tau_s.low,
        fit.tau_s.high,
    );
    let splits: Vec<String> = fit
        .splits
        .iter()
        .map(|s| {
            let time = s.time_s;
            format!(
                "{} m {:.2} s ({:.2} to {:.2})",
                short(s.distance_m, 0),
                time.value,
                time.low,
                time.high
            )
        })
        .collect();
    if !splits.is_empty() {
        text += "; from its first movement ";
        text += &splits.join(", ");
    }
    if let Some(power) = fit.power {
        // Writing to a string cannot fail.
        let _ = write!(
            text,
            "; F0 {:.1} N/kg ({}), V0 {} ({}), {:.1} W/kg ({})",
            power.force_n_kg.value,
            ends(power.force_n_kg),
            speeds.text(power.velocity_m_s.value, 1),
            ends(speeds.measured(power.velocity_m_s)),
            power.power_w_kg.value,
            ends(power.power_w_kg)
        );
    }
    hanging("Sprints    ", &text, COLUMNS) + &too_short(session)
}

/// `7.1 to 8.6`
fn ends(m: Measured) -> String {
    format!("{:.1} to {:.1}", m.low, m.high)
}

fn name(sprint: &Sprint) -> String {
    match sprint.place {
        Some(place) => format!("rep {} of block {}", place.rep, place.block),
        None => format!("at {}", clock(sprint.start_s)),
    }
}

/// That the plan, not the player, fell short, where no rep of a block could reach 95 % of his top speed.
fn too_short(session: &Session) -> String {
    let mut told: Option<(usize, &Fit)> = None;
    for (sprint, fit) in session.profile.fitted() {
        if let (Some(place), Some(true)) = (sprint.place, fit.plan_too_short) {
            told.get_or_insert((place.block, fit));
        }
    }
    told.map_or_else(String::new, |(block, fit)| {
        let text = format!(
            "block {block} is too short to reach 95 % of this player's top speed, which takes him {:.0} m or more: the plan, \
             not the player, fell short",
            fit.needed_m.low.floor()
        );
        hanging("           ", &text, COLUMNS)
    })
}

/// What the model of energy makes of the session.
pub(super) fn model(session: &Session) -> String {
    session.profile.metabolic.map_or_else(String::new, |m| {
        let text = format!(
            "{:.1} kJ/kg, {} m above 20 W/kg, by a disputed model of metabolic power, not measured",
            m.energy_j_kg / 1000.0,
            thousands(m.high_distance_m)
        );
        hanging("Energy     ", &text, COLUMNS)
    })
}
