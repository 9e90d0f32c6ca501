//! All settings of a session in one value, with the named sets, the file form and where each value came from.
//!
//! A setting has a dotted name such as `sprint.from`. Its value comes, in rising order of precedence, from the default,
//! the named set, the settings file and the command line. [`resolve`] puts them together, [`render`] prints the result
//! as a file that can be edited and passed back.
//!
//! # Examples
//! ```
//! use repledger::settings;
//!
//! let file = Some(("my.toml", "set = \"women\"\nturn.within = \"1.5 s\"\n"));
//! let resolved = settings::resolve(file, &["sprint.from=6.5m/s".to_owned()])?;
//! assert_eq!(resolved.settings.efforts.bands.sprint_m_s, 6.5);
//! assert_eq!(resolved.settings.efforts.bands.high_speed_m_s, 5.3);
//! assert_eq!(resolved.settings.efforts.turn_within_s, 1.5);
//! # Ok::<(), settings::Error>(())
//! ```

// What comes from outside is taken by `get`, never by an index that may not be there.
#![warn(clippy::indexing_slicing, clippy::string_slice)]

mod error;
mod file;
mod key;
mod keys;
mod quantity;
mod render;
mod schema;
mod set;
mod value;

pub use error::{Error, Place};
pub use key::Key;
pub use keys::{SECTIONS, Section};
pub use quantity::Kind;
pub use render::render;
pub use schema::schema;
pub use set::Set;
pub use value::Value;

use jiff::tz::TimeZone;

use crate::units::SpeedUnit;
use crate::{efforts, motion, profile, review, trace, track};

/// The settings of every stage.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Settings {
    /// For the reader.
    pub trace: trace::Options,
    /// For the cleaning.
    pub track: track::Rules,
    /// For the smoothing.
    pub motion: motion::Settings,
    /// What counts as an effort.
    pub efforts: efforts::Thresholds,
    /// How far from the plan still counts.
    pub review: review::Tolerances,
    /// The player's body, and what models are wanted.
    pub profile: profile::Settings,
    /// In which zone times are told.
    pub zone: Zone,
    /// In which unit people are told speeds. Documents for programs keep to m/s.
    pub speeds: SpeedUnit,
}

/// In which zone times are told; that of the recording stands between the two. Documents for programs keep to universal time.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Zone {
    /// Whatever the recording says.
    pub asked: Option<TimeZone>,
    /// Where the recording says none.
    pub usual: Option<TimeZone>,
}

/// The settings in force, and where each came from.
#[derive(Clone, Debug, PartialEq)]
pub struct Resolved {
    /// What the stages get.
    pub settings: Settings,
    /// Every setting, in the order of [`SECTIONS`].
    pub list: Vec<Setting>,
}

/// One setting in force.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Which one.
    pub key: &'static Key,
    /// Its value.
    pub value: Value,
    /// Where the value came from.
    pub origin: Origin,
}

/// Where the value of a setting came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Nobody said otherwise.
    Default,
    /// The named set differs from the default.
    Set(Set),
    /// The settings file of this name.
    File(String),
    /// `--set` on the command line.
    CommandLine,
}

impl Resolved {
    /// The setting with this dotted name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Setting> {
        self.list.iter().find(|setting| setting.key.name == name)
    }
}

/// Puts defaults, a named set, a settings file and the command line together, the last of them winning.
///
/// `file` is the file's name, for messages, and its text; each of `overrides` reads `name=value`.
///
/// # Errors
/// An unknown name, a value out of range, bands that do not increase, or a set that needs a top speed that is not
/// given. The message says where, what is allowed, and which name was perhaps meant.
pub fn resolve(file: Option<(&str, &str)>, overrides: &[String]) -> Result<Resolved, Error> {
    let mut given = match file {
        Some((name, text)) => file::assignments(name, text)?,
        None => Vec::new(),
    };
    for text in overrides {
        given.push(file::assignment(text)?);
    }

    let mut list: Vec<Setting> = keys::all()
        .map(|key| Setting {
            key,
            value: key.default.clone(),
            origin: Origin::Default,
        })
        .collect();
    let mut set_at = Place::CommandLine;
    for assignment in given {
        // `assignments` only returns names of keys, so the search finds one.
        if let Some(setting) = list
            .iter_mut()
            .find(|setting| setting.key == assignment.key)
        {
            setting.value = assignment.value;
            setting.origin = assignment.place.origin();
            if setting.key.name == set::KEY {
                set_at = assignment.place;
            }
        }
    }
    set::fill_in(&mut list, set_at)?;
    check_bands(&list)?;

    let mut settings = Settings::default();
    for setting in &list {
        (setting.key.apply)(&mut settings, &setting.value);
    }
    Ok(Resolved { settings, list })
}

/// Bands must increase, or one of them could never be entered.
fn check_bands(list: &[Setting]) -> Result<(), Error> {
    let edges: Vec<(&Setting, f64)> = list
        .iter()
        .filter(|setting| keys::BAND_EDGES.contains(&setting.key.name))
        .filter_map(|setting| setting.value.number().map(|edge| (setting, edge)))
        .collect();
    for pair in edges.windows(2) {
        let [(lower, low), (upper, high)] = pair else {
            continue;
        };
        if low >= high {
            return Err(Error::Bands {
                lower: lower.key.name,
                low: lower.key.text(&lower.value),
                upper: upper.key.name,
                high: upper.key.text(&upper.value),
            });
        }
    }
    Ok(())
}
