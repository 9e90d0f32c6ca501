//! What was meant: the settings of defaults, file and command line, resolved once.

use std::path::PathBuf;

use anyhow::Context;
use etcetera::BaseStrategy;
use repledger::settings::{self, Place, Resolved};
use repledger::units::SpeedUnit;

use crate::args::{Input, SettingsFrom};
use crate::exit_status::WrongUsage;
use crate::input::{self, SETTINGS};

/// Where the settings file is found without being named, below the configuration folder.
const FILE: &str = "repledger/settings.toml";

/// The settings in force.
pub fn resolve(typed: &SettingsFrom) -> anyhow::Result<Resolved> {
    let file = match &typed.settings {
        Some(path) => {
            let input = Input::File(path.clone());
            Some((input.name(), input.read_text(SETTINGS)?))
        }
        None => find()?,
    };
    let file = file
        .as_ref()
        .map(|(name, text)| (name.as_str(), text.as_str()));
    settings::resolve(file, &typed.set).map_err(|error| {
        if is_wrong_usage(&error, typed) {
            WrongUsage(error.to_string()).into()
        } else {
            error.into()
        }
    })
}

/// In which unit people are told speeds, of the settings in force.
pub fn speeds(typed: &SettingsFrom) -> anyhow::Result<SpeedUnit> {
    Ok(resolve(typed)?.settings.speeds)
}

/// Whether the mistake is one of the command line, not of the file.
fn is_wrong_usage(error: &settings::Error, typed: &SettingsFrom) -> bool {
    match error {
        settings::Error::NoValue { .. } => true,
        settings::Error::Bands { .. } => !typed.set.is_empty(),
        settings::Error::UnknownKey { place, .. }
        | settings::Error::Value { place, .. }
        | settings::Error::NoTopSpeed { place } => *place == Place::CommandLine,
        _ => false,
    }
}

/// The settings file in the configuration folder, with its name, if there is one.
fn find() -> anyhow::Result<Option<(String, String)>> {
    let Some(path) = usual_path() else {
        return Ok(None);
    };
    let text = input::read_text_if_there(&path, SETTINGS)
        .context("in the settings file that is found without being named")?;
    Ok(text.map(|text| (path.display().to_string(), text)))
}

/// Nothing where the system names no home folder.
fn usual_path() -> Option<PathBuf> {
    let strategy = etcetera::choose_base_strategy().ok()?;
    Some(strategy.config_dir().join(FILE))
}
