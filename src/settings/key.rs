//! What is known of a setting: its name, unit, default, range, meaning and source.

use std::fmt;

use crate::settings::Settings;
use crate::settings::quantity::Kind;
use crate::settings::value::Value;

/// One setting. Name, meaning, range and source stand together, so that the file form, the errors and the manual agree.
#[derive(Clone, Debug)]
pub struct Key {
    /// Dotted name, such as `sprint.from`.
    pub name: &'static str,
    /// What kind of value it takes, and in which range.
    pub kind: Kind,
    /// Whether it may be left open, written `"none"`.
    pub optional: bool,
    /// The value when nobody says otherwise.
    pub default: Value,
    /// What it means, in plain words.
    pub about: &'static str,
    /// The published reference for the default, or that there is none.
    pub source: &'static str,
    /// Puts a value where the stages read it; does nothing with a value of another kind.
    pub(super) apply: fn(&mut Settings, &Value),
}

impl Key {
    /// A value as it is written in a file, without quotes: with its unit, and read back to the same value.
    #[must_use]
    pub fn text(&self, value: &Value) -> String {
        match value {
            Value::Number(number) => self.kind.write(*number),
            Value::Text(text) => text.clone().into_owned(),
            Value::None => NONE.to_owned(),
        }
    }

    /// What may stand for this setting, for messages and the manual.
    #[must_use]
    pub(crate) fn expected(&self) -> String {
        let or_none = if self.optional { ", or \"none\"" } else { "" };
        format!("{}{or_none}", self.kind.expected())
    }

    /// Reads a value that was written as text, or `None` when it is not allowed.
    pub(super) fn read(&self, text: &str) -> Option<Value> {
        if self.optional && text.trim() == NONE {
            return Some(Value::None);
        }
        self.kind.read(text)
    }

    /// Takes a plain number, in SI, or `None` when it is not allowed.
    pub(super) fn take(&self, number: f64) -> Option<Value> {
        self.kind.take(number)
    }
}

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

/// How an open setting is written.
const NONE: &str = "none";

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name)
    }
}
