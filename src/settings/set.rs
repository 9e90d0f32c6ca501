//! Named sets: the speed bands for men, for women, and as shares of the player's own top speed.

use std::fmt;

use crate::settings::error::{Error, Place};
use crate::settings::value::Value;
use crate::settings::{Origin, Setting};

/// The name of the setting that chooses the set.
pub(super) const KEY: &str = "set";
/// The name of the setting that the own set takes its shares of.
const TOP_SPEED: &str = "athlete.top_speed";

/// A named set of speed bands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Set {
    /// The defaults.
    Men,
    /// Lower edges for adult women.
    Women,
    /// Shares of the player's own top speed; the only set for children and youths.
    Own,
}

impl Set {
    /// The words that choose a set.
    pub(super) const NAMES: &[&str] = &["men", "women", "own"];

    /// The set of this name.
    #[must_use]
    fn named(name: &str) -> Option<Self> {
        match name {
            "men" => Some(Self::Men),
            "women" => Some(Self::Women),
            "own" => Some(Self::Own),
            _ => None,
        }
    }

    /// What the set says of one setting, if it differs from the default; `top_speed_m_s` is the player's own.
    ///
    /// # Units
    /// m/s.
    ///
    /// # References
    /// Women: common practice near Park, Scott and Lovell (2019), Sci Med Football 3:21, whose data gave 3.46, 5.29 and 6.26
    /// m/s. Own: 80 % for a sprint is common practice; 60 and 80 % of 9.2 m/s are 5.5 and 7.4 m/s.
    fn value_m_s(self, key: &str, top_speed_m_s: f64) -> Option<f64> {
        let own = |share: f64| Some((share * top_speed_m_s * 100.0).round() / 100.0);
        match (self, key) {
            (Self::Women, "run.from") => Some(3.5),
            (Self::Women, "high_speed_run.from") => Some(5.3),
            (Self::Women, "sprint.from") => Some(6.3),
            (Self::Own, "run.from") => own(0.45),
            (Self::Own, "high_speed_run.from") => own(0.60),
            (Self::Own, "sprint.from") => own(0.80),
            _ => None,
        }
    }
}

impl fmt::Display for Set {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Men => "men",
            Self::Women => "women",
            Self::Own => "own",
        })
    }
}

/// Puts the values of the chosen set where nobody said otherwise. `chosen_at` is where the set was chosen.
pub(super) fn fill_in(list: &mut [Setting], chosen_at: Place) -> Result<(), Error> {
    let value_of = |name: &str| {
        list.iter()
            .find(|setting| setting.key.name == name)
            .map(|setting| &setting.value)
    };
    let set = value_of(KEY)
        .and_then(Value::as_text)
        .and_then(Set::named)
        .unwrap_or(Set::Men);
    let top_speed_m_s = value_of(TOP_SPEED).and_then(Value::number);
    if set == Set::Own && top_speed_m_s.is_none() {
        return Err(Error::NoTopSpeed { place: chosen_at });
    }
    for setting in list
        .iter_mut()
        .filter(|setting| setting.origin == Origin::Default)
    {
        if let Some(value) = set.value_m_s(setting.key.name, top_speed_m_s.unwrap_or_default()) {
            setting.value = Value::Number(value);
            setting.origin = Origin::Set(set);
        }
    }
    Ok(())
}
